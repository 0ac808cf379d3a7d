use proptest::prelude::*;

use super::*;
use crate::daybook::Daybook;
use crate::daybook::fixture::*;
use crate::daybook::happenings::{happen, happenings};

fn stock_at(book: &Daybook, at: Timestamp) -> BTreeMap<Source, Grams> {
    let mut stock = BTreeMap::new();
    // The instant before, since a span leaves out its end.
    let before = at - jiff::SignedDuration::from_secs(1);
    for lot in book.lots(before).expect("reads") {
        let source = stock.entry((lot.supplier, lot.stream, lot.bought));
        *source.or_insert(Grams::ZERO) += lot.remaining_g;
    }
    stock.retain(|_, grams| *grams != Grams::ZERO);
    stock
}

fn side(rows: &[MonthRow], of: impl Fn(&MonthRow) -> Grams) -> BTreeMap<Source, Grams> {
    let source = |row: &MonthRow| (row.supplier.clone(), row.stream.clone(), row.bought);
    let told = rows.iter().map(|row| (source(row), of(row)));
    told.filter(|(_, grams)| *grams != Grams::ZERO).collect()
}

#[test]
fn a_month_of_one_lot_by_hand() {
    let book = full_book();
    let (from, to) = (
        instant("2026-03-01T00:00:00Z"),
        instant("2026-04-01T00:00:00Z"),
    );
    let rows = book.month_rows(from, to).expect("reads");
    let [row] = rows.as_slice() else {
        panic!("{rows:?}")
    };
    let closing = 13_926 - (600 + 120) - 5_400 - (-74 - 3);
    let of_month = Flow {
        received: Grams::new(13_926),
        picked_out: Grams::new(720),
        fed: Grams::new(5_400),
        shrink: Grams::new(-77),
        closing: Grams::new(closing),
        loads: 1,
        ..Flow::default()
    };
    assert_eq!(row.flow, of_month);
    let inflows = book.inflows_between(from, to).expect("reads").into_iter();
    let told = inflows.map(|row| (row.stream.is_none(), row.grams.get()));
    assert_eq!(told.collect::<Vec<_>>(), [(true, 250), (false, 900)]);
    // A month later only the stock is left to tell, and before nothing is.
    let rows = |from, to| book.month_rows(from, to).expect("reads");
    let next = Flow {
        opening: row.flow.closing,
        closing: row.flow.closing,
        ..Flow::default()
    };
    assert_eq!(rows(to, instant("2026-05-01T00:00:00Z"))[0].flow, next);
    assert_eq!(rows(instant("2026-01-01T00:00:00Z"), from), []);
    assert_eq!(book.inflows_between(to, Timestamp::MAX).expect("reads"), []);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    /// Opening and closing are the stock as the lots tell it, and one span
    /// closes where the next opens.
    #[test]
    fn spans_join_and_balance(happenings in happenings(), struck in 0_usize..25) {
        let mut book = new_book();
        for (at, it) in happenings.iter().enumerate() {
            let seq = happen(&mut book, at, it);
            if let Some(seq) = seq.filter(|_| at == struck) {
                let _ = book.append(&[strike("s", seq)], now());
            }
        }
        let bounds = ["2026-01-01", "2026-01-31", "2026-02-01", "2026-02-02", "2026-03-01"]
            .map(|day| instant(&format!("{day}T00:00:00Z")));
        for pair in bounds.windows(2) {
            let rows = book.month_rows(pair[0], pair[1]).expect("reads");
            prop_assert_eq!(side(&rows, |row| row.flow.opening), stock_at(&book, pair[0]));
            prop_assert_eq!(side(&rows, |row| row.flow.closing), stock_at(&book, pair[1]));
            for row in &rows {
                prop_assert!(row.flow.estimated <= row.flow.received);
            }
        }
        let all = book.month_rows(bounds[0], bounds[4]).expect("reads");
        let parts = |of: fn(&MonthRow) -> Grams| -> Grams {
            (bounds.windows(2))
                .flat_map(|pair| book.month_rows(pair[0], pair[1]).expect("reads"))
                .map(|row| of(&row))
                .sum()
        };
        let of: [fn(&MonthRow) -> Grams; 5] = [
            |row| row.flow.received,
            |row| row.flow.refused,
            |row| row.flow.picked_out,
            |row| row.flow.fed,
            |row| row.flow.shrink,
        ];
        let span = Span { from: bounds[0], to: bounds[4], as_of: AsOf::NOW };
        let moves = book.moves_in(span).expect("reads");
        for of in of {
            let unbought = all.iter().filter(|row| !row.bought).map(of).sum::<Grams>();
            prop_assert_eq!(moves.as_ref().map(of).unwrap_or_default(), unbought);
            prop_assert_eq!(parts(of), all.iter().map(of).sum::<Grams>());
        }
    }
}

/// Months closed before an eighth way out was known keep their digest.
#[test]
fn a_later_outlet_is_sealed_only_where_it_holds_something() {
    let sealed = |grams: &[i64]| -> String {
        let grams: Vec<Grams> = grams.iter().copied().map(Grams::new).collect();
        serde_json::to_string(crate::daybook::month::record::sealed(&grams)).expect("plain data")
    };
    assert_eq!(sealed(&[1, 0, 0, 0, 0, 0, 0]), "[1,0,0,0,0,0,0]");
    assert_eq!(sealed(&[1, 0, 0, 0, 0, 0, 0, 0]), "[1,0,0,0,0,0,0]");
    assert_eq!(sealed(&[0, 0, 0, 0, 0, 0, 0, 5, 0]), "[0,0,0,0,0,0,0,5]");
}
