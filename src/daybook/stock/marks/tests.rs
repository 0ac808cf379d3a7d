use proptest::prelude::*;

use super::*;
use crate::daybook::fixture::*;
use crate::daybook::happenings::{happen, happenings};
use crate::daybook::store::instants;
use crate::daybook::{Daybook, Entry};
use crate::stream::Verdict;

/// The plain road, by tickets as first written: everything live before the
/// instant, added up.
fn added_up(book: &Daybook, from: &str) -> BTreeMap<Source, Grams> {
    let sql = "SELECT supplier, stream, bought, SUM(grams) FROM (
            SELECT supplier, stream, bought, net_g
                - COALESCE((SELECT SUM(grams) FROM picked_out p WHERE p.seq = t.seq), 0) AS grams
            FROM live_ticket t WHERE at_utc < ?1 AND verdict <> 'refuse'
            UNION ALL SELECT t.supplier, t.stream, t.bought, -o.grams
            FROM live_outflow o JOIN live_ticket t ON t.seq = o.lot_seq WHERE o.at_utc < ?1)
        GROUP BY supplier, stream, bought HAVING SUM(grams) <> 0";
    let found: rusqlite::Result<Vec<(Source, Grams)>> = rows(&book.conn, sql, [from]);
    found.expect("reads").into_iter().collect()
}

/// Record by record, in Rust: each ticket under the newest words on it.
fn told_by_hand(book: &Kept, from: &str) -> BTreeMap<Source, Grams> {
    let head = book.head().seq;
    let live = (1..=head)
        .map(|seq| book.at(seq))
        .filter(|it| it.struck_by.is_none());
    let mut lots: BTreeMap<i64, (Source, Grams)> = BTreeMap::new();
    for it in live {
        let before = instants::text(it.record.content.at).as_str() < from;
        let counts = |grams| if before { grams } else { Grams::ZERO };
        let left: Vec<(i64, Grams)> = match it.record.content.entry {
            Entry::Ticket(ticket) if ticket.verdict != Verdict::Refuse => {
                let picked: Grams = ticket.picked_out.iter().map(|part| part.grams).sum();
                let source = (ticket.supplier, ticket.stream, ticket.bought);
                lots.insert(it.record.seq, (source, counts(ticket.net_g - picked)));
                continue;
            }
            Entry::Correction(said) => {
                if let Some((source, _)) = lots.get_mut(&said.ticket_seq) {
                    source.0 = said.supplier.unwrap_or_else(|| source.0.clone());
                    source.1 = said.stream.unwrap_or_else(|| source.1.clone());
                }
                continue;
            }
            Entry::Fed(fed) => (fed.draws.iter().map(|draw| (draw.lot_seq, draw.grams)))
                .chain(fed.remainders.iter().map(|rest| (rest.lot_seq, rest.grams)))
                .collect(),
            Entry::Discard(discard) => vec![(discard.lot_seq, discard.grams)],
            Entry::Reweigh(found) => vec![(found.lot_seq, found.book_g - found.found_g)],
            _ => continue,
        };
        for (lot, grams) in left {
            // A lot that nothing left of can be struck; what says nothing stays.
            if let Some((_, held)) = lots.get_mut(&lot) {
                *held -= counts(grams);
            }
        }
    }
    let mut stock = BTreeMap::new();
    for (source, held) in lots.into_values() {
        *stock.entry(source).or_insert(Grams::ZERO) += held;
    }
    stock.retain(|_, grams| *grams != Grams::ZERO);
    stock
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    /// From whichever mark, and at any instant, the stock is the sum of all
    /// that is live before it: with strikes, corrections, late records and records
    /// to come.
    #[test]
    fn every_mark_gives_the_plain_sum(
        happenings in happenings(),
        strikes in prop::collection::vec((0_usize..25, 0_i64..30), 0..9),
    ) {
        let mut book = new_book();
        for (at, it) in happenings.iter().enumerate() {
            let _ = happen(&mut book, at, it);
            for (n, (when, target)) in strikes.iter().enumerate() {
                if *when == at {
                    let _ = book.append(&[strike(&format!("s{n}"), *target)], now());
                }
            }
        }
        let marks: Vec<i64> = rows(&book.conn, "SELECT DISTINCT seq FROM stock_mark", []).expect("reads");
        for day in ["2026-01-30T00:00:00Z", "2026-01-31T12:00:00Z", "2026-02-01T05:00:00Z", "2026-03-01T00:00:00Z"] {
            let from = instants::text(instant(day));
            let told = told_by_hand(&book, &from);
            prop_assert_eq!(&stock_before(&book.conn, &from).expect("reads"), &told);
            let plain = added_up(&book, &from);
            for mark in marks.iter().chain(&[0]) {
                let mut stock = stock_from(&book.conn, *mark, &from).expect("reads");
                stock.retain(|_, grams| *grams != Grams::ZERO);
                prop_assert_eq!(&stock, &plain);
            }
        }
        prop_assert_eq!(wrong(&book.conn).expect("reads"), []);
    }
}

/// A book whose stock was kept wrong is told as such, and one that came from
/// an older program gets its marks when it is opened.
#[test]
fn marks_are_made_at_every_step_and_checked() {
    let book = full_book();
    let conn = &book.conn;
    let all = "SELECT DISTINCT seq FROM stock_mark ORDER BY seq";
    assert_eq!(rows::<i64>(conn, all, []).expect("reads"), [4, 8, 12]);
    book.disarm();
    book.run("DELETE FROM stock_mark WHERE seq > 4");
    assert_eq!(wrong(conn).expect("reads"), []);
    keep_up(conn).expect("makes them again");
    assert_eq!(rows::<i64>(conn, all, []).expect("reads"), [4, 8, 12]);
    book.run("UPDATE stock_mark SET grams = grams + 1 WHERE seq = 8");
    let told = wrong(conn).expect("reads");
    assert_eq!(told.iter().map(|(seq, _)| *seq).collect::<Vec<_>>(), [8]);
}
