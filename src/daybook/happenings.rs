//! What may happen to a farm, at random, for the property tests of this room.

use jiff::Timestamp;
use proptest::prelude::*;

use crate::daybook::fixture::{addition, correction, day, discard, draw, instant, load, new, now};
use crate::daybook::{Daybook, Entry, Fed, LotRow, Outlet, Remainder, Reweigh, fixture};
use crate::quantity::Grams;
use crate::stream::Verdict;

/// What happens to a farm, as numbers: which lot, how, how many grams.
#[derive(Debug, Clone)]
pub(super) struct Happening {
    how: u8,
    which: usize,
    grams: i64,
    hours: i64,
}

pub(super) fn happenings() -> impl Strategy<Value = Vec<Happening>> {
    let one =
        (0_u8..11, 0_usize..8, 1_i64..20_000, 0_i64..60).prop_map(|(how, which, grams, hours)| {
            Happening {
                how,
                which,
                grams,
                hours,
            }
        });
    prop::collection::vec(one, 1..25)
}

/// Appends a happening, as far as the book takes it; `None` when it does not.
pub(super) fn happen(book: &mut Daybook, at: usize, it: &Happening) -> Option<i64> {
    let started = instant("2026-01-30T00:00:00Z");
    let when = started + jiff::SignedDuration::from_hours(it.hours + i64::try_from(at).ok()?);
    let lots = book.lots(Timestamp::MAX).expect("reads");
    let lot = |which: usize| lots.get(which % lots.len().max(1));
    let source = [
        ("Quay", "spent-grain"),
        ("Cafe", "coffee-grounds"),
        ("Quay", "okara"),
    ];
    let (who, what) = source[it.which % 3];
    let entry = match it.how {
        0..=3 => {
            let mut ticket = load(who, what, it.grams);
            ticket.bought = it.which == 7;
            ticket.estimated = it.how == 1;
            if it.how == 2 {
                ticket.verdict = Verdict::Refuse;
            }
            if it.how == 3 {
                ticket.picked_out = fixture::ticket().picked_out;
                ticket.picked_out[0].grams = Grams::new(it.grams / 10);
            }
            Entry::Ticket(ticket)
        }
        4 | 5 => fed_from(lot(it.which)?, it.grams, it.how == 5),
        6 => Entry::Reweigh(Reweigh {
            lot_seq: lot(it.which)?.seq,
            found_g: Grams::new(it.grams),
            book_g: lot(it.which)?.remaining_g,
            text: "found".into(),
        }),
        10 => said_otherwise(
            lot(it.which)?.seq,
            source[usize::try_from(it.grams % 3).ok()?],
            it.grams,
        ),
        how => {
            let to = [Outlet::Composted, Outlet::Liquor, Outlet::PickedOut];
            discard(lot(it.which)?.seq, to[usize::from(how - 7)], it.grams)
        }
    };
    let new = new(&format!("h{at}"), when, entry);
    book.append(&[new], now())
        .ok()
        .map(|appended| appended[0].seq)
}

/// A correction of supplier, stream or both.
fn said_otherwise(ticket_seq: i64, (who, what): (&str, &str), which: i64) -> Entry {
    correction(ticket_seq, |it| {
        it.supplier = (which % 4 != 1).then(|| who.into());
        it.stream = (which % 4 != 0).then(|| fixture::stream(what));
        it.verdict = it.stream.as_ref().map(|_| Verdict::Compost);
        it.reason = it.stream.as_ref().map(|_| "woody".into());
    })
}

fn fed_from(lot: &LotRow, grams: i64, all: bool) -> Entry {
    let grams = if all {
        lot.remaining_g.get().max(0)
    } else {
        grams
    };
    let rest = all.then(|| Remainder {
        lot_seq: lot.seq,
        grams: lot.remaining_g - Grams::new(grams),
    });
    Entry::Fed(Fed {
        night: day("2026-02-01"),
        sheet_seq: None,
        draws: vec![draw("grower", lot.seq, grams)],
        additions: vec![addition("grower", None, 500)],
        remainders: rest.into_iter().collect(),
    })
}
