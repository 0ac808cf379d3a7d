use jiff::Timestamp;
use rusqlite::Connection;
use serde::Deserialize;
use serde::de::DeserializeOwned;

use super::cells::Cells;
use crate::daybook::error::BadRows;
use crate::daybook::{
    Addition, Book, DaybookError, Discard, Draw, Entry, Farm, Fed, MonthClosed, MonthRow,
    NewRecord, OutflowKind, Payment, Record, Remainder, Result, Reweigh, Sheet, Ticket,
};
use crate::quantity::wire::Text;
use crate::quantity::{Flow, Grams};

/// A record's kind, if there is such a record.
pub(crate) fn kind(conn: &Connection, seq: i64) -> rusqlite::Result<Option<String>> {
    Ok(rows(conn, "SELECT kind FROM record WHERE seq = ?1", [seq])?.pop())
}

/// Refuses a record that is none of a kind, with `other` where it is of another.
pub(crate) fn is_a(book: &Book, seq: i64, wanted: &str, other: DaybookError) -> Result<()> {
    match book.read(|conn| kind(conn, seq))? {
        Some(kind) if kind == wanted => Ok(()),
        Some(_) => Err(other),
        None => Err(DaybookError::NoSuchRecord { seq }),
    }
}

/// The strike that voids a record, if any.
pub(crate) fn struck_by(conn: &Connection, seq: i64) -> rusqlite::Result<Option<i64>> {
    Ok(rows(conn, "SELECT seq FROM strike WHERE target_seq = ?1", [seq])?.pop())
}

#[derive(Deserialize)]
struct Spine {
    id: String,
    kind: String,
    #[serde(with = "Text")]
    at_utc: Timestamp,
    #[serde(with = "Text")]
    recorded_utc: Timestamp,
    by_whom: String,
    digest: String,
}

/// A record, rebuilt from the typed tables.
pub(crate) fn record(conn: &Connection, seq: i64) -> rusqlite::Result<Option<Record>> {
    let mut spines: Vec<Spine> = rows(conn, "SELECT * FROM record WHERE seq = ?1", [seq])?;
    let Some(spine) = spines.pop() else {
        return Ok(None);
    };
    Ok(Some(Record {
        seq,
        recorded_at: spine.recorded_utc,
        content: NewRecord {
            id: spine.id,
            at: spine.at_utc,
            by: spine.by_whom,
            entry: entry(conn, seq, &spine.kind)?,
        },
        digest: spine.digest,
    }))
}

/// What a record says, from the tables of its kind.
pub(crate) fn entry(conn: &Connection, seq: i64, kind: &str) -> rusqlite::Result<Entry> {
    Ok(match kind {
        "farm" => Entry::Farm(farm(conn, seq)?),
        "container" => Entry::Container(one(conn, seq, "container")?),
        "ticket" => Entry::Ticket(Ticket {
            picked_out: many(conn, seq, "*", "picked_out")?,
            ..one(conn, seq, "ticket")?
        }),
        "strike" => Entry::Strike(one(conn, seq, "strike")?),
        "assay" => Entry::Assay(one(conn, seq, "assay")?),
        "reweigh" => Entry::Reweigh(reweigh(conn, seq)?),
        "cohort" => Entry::Cohort(one(conn, seq, "cohort")?),
        "cohort-end" => Entry::CohortEnd(one(conn, seq, "cohort_end")?),
        "sheet" => Entry::Sheet(Sheet {
            draws: many(conn, seq, "*", "sheet_draw")?,
            additions: additions(conn, seq, "sheet_addition")?,
            ..one(conn, seq, "sheet")?
        }),
        "fed" => Entry::Fed(fed(conn, seq)?),
        "discard" => Entry::Discard(discard(conn, seq)?),
        "month-closed" => Entry::MonthClosed(MonthClosed {
            rows: month_rows(conn, seq)?,
            ..one(conn, seq, "month_closed")?
        }),
        "harvest" => Entry::Harvest(one(conn, seq, "harvest")?),
        "money" => Entry::Money(Payment {
            cohort_seqs: many(conn, seq, "cohort_seq", "money_cohort")?,
            ..one(conn, seq, "money")?
        }),
        "adopted" => Entry::Adopted(one(conn, seq, "adopted")?),
        "correction" => Entry::Correction(one(conn, seq, "correction")?),
        "look" => Entry::Look(one(conn, seq, "look")?),
        "leave" => Entry::Leave(one(conn, seq, "leave")?),
        "own-stream" => Entry::OwnStream(one(conn, seq, "own_stream")?),
        other => {
            let what = format!("the kind `{other}`, unknown here");
            return Err(BadRows::as_sqlite(seq, what));
        }
    })
}

pub(crate) fn farm(conn: &Connection, seq: i64) -> rusqlite::Result<Farm> {
    Ok(Farm {
        said: one(conn, seq, "farm")?,
        chosen: one(conn, seq, "farm")?,
        ..one(conn, seq, "farm")?
    })
}

fn one<T: DeserializeOwned>(conn: &Connection, seq: i64, table: &str) -> rusqlite::Result<T> {
    let sql = format!("SELECT * FROM {table} WHERE seq = ?1");
    let row = rows(conn, &sql, [seq])?.pop();
    row.ok_or_else(|| BadRows::as_sqlite(seq, "no row in the table of its kind"))
}

/// A record's rows in order, which must count 0, 1, 2 ...
fn many<T: DeserializeOwned>(
    conn: &Connection,
    seq: i64,
    columns: &str,
    table: &str,
) -> rusqlite::Result<Vec<T>> {
    let sql = format!("SELECT ord, {columns} FROM {table} WHERE seq = ?1 ORDER BY ord");
    let rows: Vec<(usize, T)> = rows(conn, &sql, [seq])?;
    let ords = rows.iter().map(|(ord, _)| *ord);
    if let Some((_, ord)) = (0..).zip(ords).find(|(at, ord)| at != ord) {
        let what = format!("rows missing before row {ord}");
        return Err(BadRows::as_sqlite(seq, what));
    }
    Ok(rows.into_iter().map(|(_, row)| row).collect())
}

/// Every row of a query.
pub(crate) fn rows<T: DeserializeOwned>(
    conn: &Connection,
    sql: &str,
    values: impl rusqlite::Params,
) -> rusqlite::Result<Vec<T>> {
    conn.prepare_cached(sql)?
        .query_map(values, |row| Cells::of(row).read())?
        .collect()
}

/// Water bears no stream, and what was bought bears one.
fn additions(conn: &Connection, seq: i64, table: &str) -> rusqlite::Result<Vec<Addition>> {
    let rows: Vec<(String, Addition)> = many(conn, seq, "kind, *", table)?;
    let (kinds, additions): (Vec<_>, Vec<_>) = rows.into_iter().unzip();
    for (kind, addition) in kinds.iter().zip(&additions) {
        if kind != addition.kind() {
            return Err(BadRows::as_sqlite(
                seq,
                format!("an inflow `{kind}` out of place"),
            ));
        }
    }
    Ok(additions)
}

fn month_rows(conn: &Connection, seq: i64) -> rusqlite::Result<Vec<MonthRow>> {
    let weights = Flow::NAMES.into_iter().filter(|name| *name != "bought");
    let weights: Vec<String> = weights.map(|name| format!("{name}_g AS {name}")).collect();
    let columns = format!(
        "supplier, stream, bought, {}, loads, refused_loads",
        weights.join(", ")
    );
    let rows: Vec<(_, _, _, Flow)> = many(conn, seq, &columns, "month_figure")?;
    let row = |(supplier, stream, bought, flow)| MonthRow {
        supplier,
        stream,
        bought,
        flow,
    };
    Ok(rows.into_iter().map(row).collect())
}

#[derive(Deserialize)]
struct Outflow {
    lot_seq: i64,
    kind: OutflowKind,
    grams: Grams,
    group_name: Option<String>,
}

/// That an outflow is none of its record's.
fn misplaced(seq: i64, outflow: &Outflow) -> rusqlite::Error {
    let what = format!("an outflow `{}` out of place", outflow.kind.as_str());
    BadRows::as_sqlite(seq, what)
}

fn only_outflow(conn: &Connection, seq: i64) -> rusqlite::Result<Outflow> {
    let mut found: Vec<Outflow> = many(conn, seq, "*", "outflow")?;
    match (found.pop(), found.len()) {
        (Some(outflow), 0) if outflow.group_name.is_none() => Ok(outflow),
        (Some(outflow), 0) => Err(misplaced(seq, &outflow)),
        (last, more) => {
            let rows = more + usize::from(last.is_some());
            Err(BadRows::as_sqlite(
                seq,
                format!("not one row of outflow but {rows}"),
            ))
        }
    }
}

fn fed(conn: &Connection, seq: i64) -> rusqlite::Result<Fed> {
    let mut fed = Fed {
        additions: additions(conn, seq, "inflow")?,
        ..one(conn, seq, "fed")?
    };
    for outflow in many::<Outflow>(conn, seq, "*", "outflow")? {
        let (lot_seq, grams) = (outflow.lot_seq, outflow.grams);
        match (outflow.kind, &outflow.group_name) {
            // Draws were written before remainders, so one after them was slipped in.
            (OutflowKind::Fed, Some(group)) if fed.remainders.is_empty() => {
                let group = group.clone();
                fed.draws.push(Draw {
                    group,
                    lot_seq,
                    grams,
                });
            }
            (OutflowKind::Shrink, None) => fed.remainders.push(Remainder { lot_seq, grams }),
            _ => return Err(misplaced(seq, &outflow)),
        }
    }
    Ok(fed)
}

fn reweigh(conn: &Connection, seq: i64) -> rusqlite::Result<Reweigh> {
    let lost = only_outflow(conn, seq)?;
    let mut reweigh: Reweigh = one(conn, seq, "reweigh")?;
    if lost.kind != OutflowKind::Shrink || lost.lot_seq != reweigh.lot_seq {
        return Err(misplaced(seq, &lost));
    }
    // Out of range only in a tampered book, where the digest then tells.
    let book_g = reweigh.found_g.get().saturating_add(lost.grams.get());
    reweigh.book_g = Grams::new(book_g);
    Ok(reweigh)
}

fn discard(conn: &Connection, seq: i64) -> rusqlite::Result<Discard> {
    #[derive(Deserialize)]
    struct Why {
        why: Option<String>,
    }
    let Why { why } = one(conn, seq, "discard")?;
    let gone = only_outflow(conn, seq)?;
    let OutflowKind::To(to) = gone.kind else {
        return Err(misplaced(seq, &gone));
    };
    Ok(Discard {
        lot_seq: gone.lot_seq,
        to,
        grams: gone.grams,
        why,
    })
}

/// The ticket number of a record, if it is a ticket.
pub(crate) fn number(conn: &Connection, seq: i64) -> rusqlite::Result<Option<i64>> {
    Ok(rows(conn, "SELECT number FROM ticket WHERE seq = ?1", [seq])?.pop())
}
