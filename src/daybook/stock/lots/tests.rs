use proptest::prelude::*;

use super::*;
use crate::daybook::fixture::*;
use crate::daybook::happenings::{happen, happenings};
use crate::daybook::{Assay, Entry, Outlet};

#[test]
fn a_lot_is_what_came_less_what_left_by_then() {
    let mut book = full_book();
    // 13,926 − 600 picked out; reweighed 74 up; 5,400 fed and a rest of −3; 120 more picked out.
    let remaining = 13_926 - 600 + 74 - 5_400 + 3 - 120;
    let lots = book.lots(now()).expect("reads");
    let [lot] = lots.as_slice() else {
        panic!("{lots:?}")
    };
    assert_eq!(lot.remaining_g, Grams::new(remaining));
    assert_eq!(lot.picked_out_kinds, ["bone"]);
    assert_eq!(lot.picked_since.0, Grams::new(120));
    assert_eq!(lot.assay.as_ref().map(|assay| assay.seq), Some(4));
    assert_eq!(book.remaining_of(3).expect("reads"), Some(lot.remaining_g));
    assert_eq!(book.remaining_of(4).expect("reads"), None);
    let hanging = book.outflow_of(3).expect("reads");
    let told = (hanging.iter()).map(|on| (on.seq, on.kind.as_str(), on.grams.get()));
    assert_eq!(
        told.collect::<Vec<_>>(),
        [
            (4, "assay", 0),
            (5, "reweigh", -74),
            (8, "fed", 5_397),
            (9, "discard", 120)
        ]
    );

    // Struck, it is in the lot again, and not picked out twice.
    let mut struck = full_book();
    struck.strike([9]);
    let lots_then = struck.lots(now()).expect("reads");
    assert_eq!(lots_then[0].picked_since, (Grams::ZERO, Vec::new()));
    assert_eq!(lots_then[0].remaining_g, Grams::new(remaining + 120));

    let later = instant("2026-03-05T00:00:00Z");
    let assay = Assay {
        lot_seq: 3,
        method: "squeeze".into(),
        wet_g: None,
        dry_g: None,
        moisture_pct: 70.0,
        moisture_sd: 5.0,
    };
    let more = [
        new("later", later, discard(3, Outlet::Composted, remaining)),
        new("assay", later, Entry::Assay(assay)),
    ];
    book.add(&more);
    let lots_at = |at| book.lots(at).expect("reads");
    assert_eq!(lots_at(now()), lots, "then nothing had changed");
    assert_eq!(lots_at(later), []);
    assert_eq!(lots_at(instant("2026-02-28T00:00:00Z")), []);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, failure_persistence: None, ..ProptestConfig::default() })]

    /// Striking what happened, the last first, restores the stock step by step.
    #[test]
    fn a_strike_restores_the_stock_exactly(happenings in happenings()) {
        let mut book = new_book();
        let mut steps = Vec::new();
        for (at, it) in happenings.iter().enumerate() {
            let before = book.lots(Timestamp::MAX).expect("reads");
            if let Some(seq) = happen(&mut book, at, it) {
                steps.push((seq, before));
            }
        }
        for (seq, before) in steps.into_iter().rev() {
            book.strike([seq]);
            prop_assert_eq!(book.lots(Timestamp::MAX).expect("reads"), before);
        }
        prop_assert!(book.is_whole());
    }
}
