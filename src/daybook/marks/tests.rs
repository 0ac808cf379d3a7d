use proptest::prelude::*;

use super::super::fixture::*;
use super::super::happenings::{happen, happenings};
use super::super::{Daybook, instants};
use super::*;

/// The plain road: everything live before the instant, added up.
fn added_up(book: &Daybook, from: &str) -> BTreeMap<Source, Grams> {
    let sql = "SELECT supplier, stream, bought, SUM(grams) FROM (
            SELECT supplier, stream, bought, net_g
                - COALESCE((SELECT SUM(grams) FROM picked_out p WHERE p.seq = t.seq), 0) AS grams
            FROM live_ticket t WHERE at_utc < ?1 AND verdict <> 'refuse'
            UNION ALL SELECT t.supplier, t.stream, t.bought, -o.grams
            FROM live_outflow o JOIN live_ticket t ON t.seq = o.lot_seq WHERE o.at_utc < ?1)
        GROUP BY supplier, stream, bought HAVING SUM(grams) <> 0";
    let found = rows(&book.conn, sql, [from], |cells| {
        Ok((
            (cells.cell()?, cells.stream()?, cells.flag()?),
            cells.grams()?,
        ))
    });
    found.expect("reads").into_iter().collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    /// From whichever mark, and at any instant, the stock is the sum of all
    /// that is live before it: with strikes, late records and records to come.
    #[test]
    fn every_mark_gives_the_plain_sum(
        happenings in happenings(),
        strikes in prop::collection::vec((0_usize..25, 0_i64..30), 0..6),
    ) {
        let (_folder, mut book) = new_book();
        for (at, it) in happenings.iter().enumerate() {
            let _ = happen(&mut book, at, it);
            for (n, (when, target)) in strikes.iter().enumerate() {
                if *when == at {
                    let _ = book.append(&[strike(&format!("s{n}"), *target)], now());
                }
            }
        }
        let marks = seqs(&book.conn, "SELECT DISTINCT seq FROM stock_mark", []).expect("reads");
        for day in ["2026-01-30T00:00:00Z", "2026-01-31T12:00:00Z", "2026-02-01T05:00:00Z", "2026-03-01T00:00:00Z"] {
            let from = instants::text(instant(day));
            let plain = added_up(&book, &from);
            prop_assert_eq!(&stock_before(&book.conn, &from).expect("reads"), &plain);
            for mark in marks.iter().chain(&[0]) {
                prop_assert_eq!(&stock_from(&book.conn, *mark, &from).expect("reads"), &plain);
            }
        }
        prop_assert_eq!(wrong(&book.conn).expect("reads"), []);
    }
}

/// A book whose stock was kept wrong is told as such, and one that came from
/// an older program gets its marks when it is opened.
#[test]
fn marks_are_made_at_every_step_and_checked() {
    let (_folder, book) = full_book();
    let conn = &book.conn;
    let all = "SELECT DISTINCT seq FROM stock_mark ORDER BY seq";
    assert_eq!(seqs(conn, all, []).expect("reads"), [4, 8, 12]);
    disarm(&book);
    conn.execute_batch("DELETE FROM stock_mark WHERE seq > 4")
        .expect("deletes");
    assert_eq!(wrong(conn).expect("reads"), []);
    keep_up(conn).expect("makes them again");
    assert_eq!(seqs(conn, all, []).expect("reads"), [4, 8, 12]);
    conn.execute_batch("UPDATE stock_mark SET grams = grams + 1 WHERE seq = 8")
        .expect("changes");
    let told = wrong(conn).expect("reads");
    assert_eq!(told.iter().map(|(seq, _)| *seq).collect::<Vec<_>>(), [8]);
}
