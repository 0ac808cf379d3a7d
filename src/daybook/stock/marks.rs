//! Stock by source at an instant, from marks kept along the book.
//!
//! Let a record's change be what it adds to the stock of a source: a ticket its
//! net weight less what was picked out, an outflow its weight with the sign
//! turned, a strike the struck record's changes with the sign turned, at the
//! struck record's instant. Then the stock just before an instant is the sum of
//! all changes before it, and for any record M
//!
//! stock(before t) = Σ(seq ≤ M) − Σ(seq ≤ M, at ≥ t) + Σ(seq > M, at < t),
//!
//! whatever was struck or came late. The first sum is the mark at M. With M
//! near t the other two are small, since books are mostly written in the order
//! of what happens; another M costs time, never a gram.
//!
//! All this goes by tickets as first written. What lots with a corrected
//! supplier or stream held then is moved to the source they are told under.

use std::collections::BTreeMap;

use rusqlite::{Connection, Params};

use crate::daybook::intake::said::told;
use crate::daybook::store::get::rows;
use crate::quantity::Grams;
use crate::stream::StreamId;
use crate::words::{Said, say};

/// Records from one mark to the next (our default): some milliseconds of
/// summing either way. Few in tests, so that short books have marks.
const STEP: i64 = if cfg!(test) { 4 } else { 4096 };

/// Records looked at to find where in the book an instant lies.
const NEIGHBOURS: i64 = 400;

/// Supplier, stream, whether bought.
pub(crate) type Source = (String, StreamId, bool);

macro_rules! came {
    () => {
        "t.net_g - COALESCE((SELECT SUM(p.grams) FROM picked_out p WHERE p.seq = t.seq), 0)"
    };
}

/// Every change: the record that made it, its grams, and the tables it stands
/// in, where `r` is the record whose instant it has.
const CHANGES: [(&str, &str, &str); 4] = [
    (
        "r.seq",
        came!(),
        "record r CROSS JOIN ticket t ON t.seq = r.seq",
    ),
    (
        "r.seq",
        "-o.grams",
        "record r CROSS JOIN outflow o ON o.seq = r.seq CROSS JOIN ticket t ON t.seq = o.lot_seq",
    ),
    (
        "s.seq",
        concat!("-(", came!(), ")"),
        "strike s CROSS JOIN record r ON r.seq = s.target_seq CROSS JOIN ticket t ON t.seq = r.seq",
    ),
    (
        "s.seq",
        "o.grams",
        "strike s CROSS JOIN record r ON r.seq = s.target_seq
         CROSS JOIN outflow o ON o.seq = r.seq CROSS JOIN ticket t ON t.seq = o.lot_seq",
    ),
];

/// Lots that were ever corrected: as first written, as told, and what they held
/// just before `?1`.
const MOVED: &str = concat!(
    "SELECT t.first_supplier, t.first_stream, t.bought, t.supplier, t.stream, t.bought, ",
    came!(),
    " - COALESCE((SELECT SUM(o.grams) FROM live_outflow o
           WHERE o.lot_seq = t.seq AND o.at_utc < ?1), 0)
     FROM ",
    told!(),
    " t WHERE t.seq IN (SELECT ticket_seq FROM correction)
       AND t.at_utc < ?1 AND t.verdict <> 'refuse'"
);

/// Which changes are wanted, of the record SEQ; `+` keeps SQLite from walking
/// the other way round, over a range that may be the whole book.
const BETWEEN: &str = "SEQ > ?1 AND SEQ <= ?2";
const WRITTEN_AFTER_BUT_BEFORE: &str = "SEQ > ?1 AND +r.at_utc < ?2";
const WRITTEN_UP_TO_BUT_FROM: &str = "+SEQ <= ?1 AND r.at_utc >= ?2";

/// What each source held just before `from`; none that held nothing.
pub(crate) fn stock_before(
    conn: &Connection,
    from: &str,
) -> rusqlite::Result<BTreeMap<Source, Grams>> {
    let mut stock = stock_from(conn, mark_near(conn, from)?, from)?;
    let moved: Vec<(Source, Source, Grams)> = rows(conn, MOVED, [from])?;
    for (first, told, grams) in moved {
        *stock.entry(first).or_default() -= grams;
        *stock.entry(told).or_default() += grams;
    }
    stock.retain(|_, grams| *grams != Grams::ZERO);
    Ok(stock)
}

/// The same by tickets as first written, from any mark.
fn stock_from(
    conn: &Connection,
    mark: i64,
    from: &str,
) -> rusqlite::Result<BTreeMap<Source, Grams>> {
    let mut stock = kept(conn, mark)?;
    let late = changes(conn, WRITTEN_AFTER_BUT_BEFORE, (mark, from))?;
    let early = changes(conn, WRITTEN_UP_TO_BUT_FROM, (mark, from))?;
    late.into_iter().for_each(|(source, grams)| {
        *stock.entry(source).or_default() += grams;
    });
    early.into_iter().for_each(|(source, grams)| {
        *stock.entry(source).or_default() -= grams;
    });
    Ok(stock)
}

/// Makes the marks that are due.
pub(crate) fn keep_up(conn: &Connection) -> rusqlite::Result<()> {
    let last = |table: &str| -> rusqlite::Result<i64> {
        let sql = format!("SELECT COALESCE(MAX(seq), 0) FROM {table}");
        conn.prepare_cached(&sql)?.query_row([], |row| row.get(0))
    };
    let (mut mark, head) = (last("stock_mark")?, last("record")?);
    while mark + STEP <= head {
        let next = mark + STEP;
        let mut put = conn.prepare_cached(
            "INSERT INTO stock_mark (seq, supplier, stream, bought, grams)
             VALUES (?1, ?2, ?3, ?4, ?5)",
        )?;
        let before = kept(conn, mark)?;
        for ((supplier, stream, bought), grams) in gone_on(conn, before, mark, next)? {
            put.execute((next, supplier, stream.as_str(), bought, grams.get()))?;
        }
        mark = next;
    }
    Ok(())
}

/// Every mark that is not what the records say.
pub(crate) fn wrong(conn: &Connection) -> rusqlite::Result<Vec<(i64, Said)>> {
    let marks: Vec<i64> = rows(conn, "SELECT DISTINCT seq FROM stock_mark ORDER BY seq", [])?;
    let mut wrong = Vec::new();
    let (mut stock, mut at) = (BTreeMap::new(), 0);
    for mark in marks {
        stock = gone_on(conn, stock, at, mark)?;
        at = mark;
        if mark < STEP || mark % STEP != 0 {
            wrong.push((mark, say!("flaw-mark-stray", mark)));
        } else if kept(conn, mark)? != stock {
            wrong.push((mark, say!("flaw-mark-wrong", mark)));
        }
    }
    Ok(wrong)
}

/// The stock at record `after`, brought on to record `upto`.
fn gone_on(
    conn: &Connection,
    mut stock: BTreeMap<Source, Grams>,
    after: i64,
    upto: i64,
) -> rusqlite::Result<BTreeMap<Source, Grams>> {
    for (source, grams) in changes(conn, BETWEEN, (after, upto))? {
        *stock.entry(source).or_default() += grams;
    }
    stock.retain(|_, grams| *grams != Grams::ZERO);
    Ok(stock)
}

/// A mark from which few records are on the wrong side of `from`; 0, before
/// the first record, when there is none.
///
/// The last records before the instant say where in the book it lies: the
/// middle one, unless history was written kind by kind; then the highest, and
/// what lies between the two tells which. A single late record decides nothing.
fn mark_near(conn: &Connection, from: &str) -> rusqlite::Result<i64> {
    let sql = "SELECT seq FROM record WHERE at_utc < ?1 ORDER BY at_utc DESC LIMIT ?2";
    let mut near: Vec<i64> = rows(conn, sql, (from, NEIGHBOURS))?;
    near.sort_unstable();
    let mark = |seq: Option<&i64>| -> rusqlite::Result<i64> {
        conn.prepare_cached("SELECT COALESCE(MAX(seq), 0) FROM stock_mark WHERE seq <= ?1")?
            .query_row([seq], |row| row.get(0))
    };
    let (middle, highest) = (mark(near.get(near.len() / 2))?, mark(near.last())?);
    let sql = "SELECT AVG(before) FROM (
        SELECT +at_utc < ?3 AS before FROM record WHERE seq > ?1 AND seq <= ?2
        UNION ALL SELECT at_utc < ?3 FROM outflow WHERE seq > ?1 AND seq <= ?2)";
    let before: Option<f64> = conn
        .prepare_cached(sql)?
        .query_row((middle, highest, from), |row| row.get(0))?;
    let most_before = before.is_some_and(|share| share > 0.5);
    Ok(if most_before { highest } else { middle })
}

fn kept(conn: &Connection, mark: i64) -> rusqlite::Result<BTreeMap<Source, Grams>> {
    let sql = "SELECT supplier, stream, bought, grams FROM stock_mark WHERE seq = ?1";
    let found: Vec<(Source, Grams)> = rows(conn, sql, [mark])?;
    Ok(found.into_iter().collect())
}

fn changes(
    conn: &Connection,
    which: &str,
    values: impl Params + Copy,
) -> rusqlite::Result<Vec<(Source, Grams)>> {
    let mut found = Vec::new();
    for (seq, grams, tables) in CHANGES {
        let sql = format!(
            "SELECT t.supplier, t.stream, t.bought, SUM({grams}) FROM {tables}
             WHERE t.verdict <> 'refuse' AND {} GROUP BY t.supplier, t.stream, t.bought",
            which.replace("SEQ", seq)
        );
        found.extend(rows(conn, &sql, values)?);
    }
    Ok(found)
}

#[cfg(test)]
mod tests;
