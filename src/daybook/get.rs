use rusqlite::{Connection, OptionalExtension};

use super::cells::Cells;
use super::closed;
use super::error::BadRows;
use super::harvest_rows;
use super::{
    Addition, Assay, Cohort, CohortEnd, Container, Discard, Draw, Entry, Fed, NewRecord,
    OutflowKind, PickedOut, Record, Remainder, Reweigh, Sheet, Strike, Ticket,
};
use super::{farm_record, word_record};
use crate::larvae::Feeding;
use crate::quantity::Grams;
use crate::stream::StreamId;

/// A record's kind, if there is such a record.
pub(super) fn kind(conn: &Connection, seq: i64) -> rusqlite::Result<Option<String>> {
    conn.prepare_cached("SELECT kind FROM record WHERE seq = ?1")?
        .query_row([seq], |row| row.get(0))
        .optional()
}

/// The strike that voids a record, if any.
pub(super) fn struck_by(conn: &Connection, seq: i64) -> rusqlite::Result<Option<i64>> {
    conn.prepare_cached("SELECT seq FROM strike WHERE target_seq = ?1")?
        .query_row([seq], |row| row.get(0))
        .optional()
}

/// A record, rebuilt from the typed tables.
pub(super) fn record(conn: &Connection, seq: i64) -> rusqlite::Result<Option<Record>> {
    let spine = conn
        .prepare_cached(
            "SELECT id, kind, at_utc, recorded_utc, by_whom, digest FROM record WHERE seq = ?1",
        )?
        .query_row([seq], |row| {
            let mut cells = Cells::of(row);
            let id: String = cells.cell()?;
            let kind: String = cells.cell()?;
            let (at, recorded_at) = (cells.instant()?, cells.instant()?);
            Ok((id, kind, at, recorded_at, cells.cell()?, cells.cell()?))
        })
        .optional()?;
    let Some((id, kind, at, recorded_at, by, digest)) = spine else {
        return Ok(None);
    };
    let entry = entry(conn, seq, &kind)?;
    let content = NewRecord { id, at, by, entry };
    Ok(Some(Record {
        seq,
        recorded_at,
        content,
        digest,
    }))
}

/// What a record says, from the tables of its kind.
pub(super) fn entry(conn: &Connection, seq: i64, kind: &str) -> rusqlite::Result<Entry> {
    match kind {
        "farm" => farm_record::get(conn, seq).map(Entry::Farm),
        "container" => one(conn, seq, CONTAINER, container).map(Entry::Container),
        "ticket" => {
            let mut ticket = one(conn, seq, TICKET, ticket)?;
            ticket.picked_out = many(conn, seq, PICKED_OUT, picked_out)?;
            Ok(Entry::Ticket(ticket))
        }
        "strike" => one(conn, seq, STRIKE, strike).map(Entry::Strike),
        "assay" => one(conn, seq, ASSAY, assay).map(Entry::Assay),
        "reweigh" => reweigh(conn, seq).map(Entry::Reweigh),
        "cohort" => one(conn, seq, COHORT, cohort).map(Entry::Cohort),
        "cohort-end" => one(conn, seq, COHORT_END, cohort_end).map(Entry::CohortEnd),
        "sheet" => sheet(conn, seq).map(Entry::Sheet),
        "fed" => fed(conn, seq).map(Entry::Fed),
        "discard" => discard(conn, seq).map(Entry::Discard),
        "month-closed" => closed::get(conn, seq).map(Entry::MonthClosed),
        "harvest" => harvest_rows::get_harvest(conn, seq).map(Entry::Harvest),
        "money" => harvest_rows::get_money(conn, seq).map(Entry::Money),
        "adopted" => harvest_rows::get_adopted(conn, seq).map(Entry::Adopted),
        "correction" => word_record::get_correction(conn, seq).map(Entry::Correction),
        "look" => word_record::get_look(conn, seq).map(Entry::Look),
        "leave" => word_record::get_leave(conn, seq).map(Entry::Leave),
        other => Err(BadRows::as_sqlite(
            seq,
            format!("the kind `{other}`, unknown here"),
        )),
    }
}

const CONTAINER: &str = "SELECT name, tare_g, tare_text, volume_l FROM container WHERE seq = ?1";
const STRIKE: &str = "SELECT target_seq, why FROM strike WHERE seq = ?1";
const ASSAY: &str = "SELECT lot_seq, method, wet_g, dry_g, moisture_pct, moisture_sd
                     FROM assay WHERE seq = ?1";
const COHORT: &str = "SELECT name, hatched, larvae, counted, trays, tray_area_m2, depth_cm,
                             start_count, start_ug, feeding
                      FROM cohort WHERE seq = ?1";
const COHORT_END: &str = "SELECT name, why FROM cohort_end WHERE seq = ?1";
const TICKET: &str =
    "SELECT supplier, stream, gross_g, gross_text, tare_g, tare_text, container, unit, division,
            net_g, volume_l, estimated, bought, price_per_kg, moisture_pct, touched, verdict,
            reason, confirmed, note
     FROM ticket WHERE seq = ?1";
const PICKED_OUT: &str =
    "SELECT ord, kind, grams, text FROM picked_out WHERE seq = ?1 ORDER BY ord";
const OUTFLOW: &str =
    "SELECT ord, lot_seq, kind, grams, group_name FROM outflow WHERE seq = ?1 ORDER BY ord";

pub(super) fn one<T>(
    conn: &Connection,
    seq: i64,
    sql: &str,
    build: impl FnOnce(&mut Cells<'_>) -> rusqlite::Result<T>,
) -> rusqlite::Result<T> {
    conn.prepare_cached(sql)?
        .query_row([seq], |row| build(&mut Cells::of(row)))
        .optional()?
        .ok_or_else(|| BadRows::as_sqlite(seq, "no row in the table of its kind"))
}

/// A record's rows in order; the first cell must count 0, 1, 2 ...
pub(super) fn many<T>(
    conn: &Connection,
    seq: i64,
    sql: &str,
    build: impl Fn(&mut Cells<'_>) -> rusqlite::Result<T>,
) -> rusqlite::Result<Vec<T>> {
    let mut statement = conn.prepare_cached(sql)?;
    let mut rows = statement.query([seq])?;
    let mut built = Vec::new();
    while let Some(row) = rows.next()? {
        let mut cells = Cells::of(row);
        let ord: i64 = cells.cell()?;
        if usize::try_from(ord) != Ok(built.len()) {
            return Err(BadRows::as_sqlite(
                seq,
                format!("rows missing before row {ord}"),
            ));
        }
        built.push(build(&mut cells)?);
    }
    Ok(built)
}

fn container(cells: &mut Cells<'_>) -> rusqlite::Result<Container> {
    Ok(Container {
        name: cells.cell()?,
        tare_g: cells.grams()?,
        tare_text: cells.cell()?,
        volume_l: cells.cell()?,
    })
}

fn ticket(cells: &mut Cells<'_>) -> rusqlite::Result<Ticket> {
    Ok(Ticket {
        supplier: cells.cell()?,
        stream: cells.stream()?,
        gross_g: cells.grams_if_any()?,
        gross_text: cells.cell()?,
        tare_g: cells.grams_if_any()?,
        tare_text: cells.cell()?,
        container: cells.cell()?,
        unit: cells.unit()?,
        division: cells.cell()?,
        net_g: cells.grams()?,
        volume_l: cells.cell()?,
        estimated: cells.flag()?,
        bought: cells.flag()?,
        price_per_kg: cells.cell()?,
        moisture_pct: cells.cell()?,
        touched: cells.classes()?,
        verdict: cells.verdict()?,
        reason: cells.cell()?,
        confirmed: cells.flag()?,
        note: cells.cell()?,
        picked_out: Vec::new(),
    })
}

fn picked_out(cells: &mut Cells<'_>) -> rusqlite::Result<PickedOut> {
    Ok(PickedOut {
        kind: cells.cell()?,
        grams: cells.grams()?,
        text: cells.cell()?,
    })
}

fn strike(cells: &mut Cells<'_>) -> rusqlite::Result<Strike> {
    Ok(Strike {
        target_seq: cells.cell()?,
        why: cells.cell()?,
    })
}

fn assay(cells: &mut Cells<'_>) -> rusqlite::Result<Assay> {
    Ok(Assay {
        lot_seq: cells.cell()?,
        method: cells.cell()?,
        wet_g: cells.cell()?,
        dry_g: cells.cell()?,
        moisture_pct: cells.cell()?,
        moisture_sd: cells.cell()?,
    })
}

fn cohort(cells: &mut Cells<'_>) -> rusqlite::Result<Cohort> {
    Ok(Cohort {
        name: cells.cell()?,
        hatched: cells.date()?,
        larvae: cells.cell()?,
        counted: cells.cell()?,
        trays: cells.cell()?,
        tray_area_m2: cells.cell()?,
        depth_cm: cells.cell()?,
        start_count: cells.cell()?,
        start_ug: cells.cell()?,
        feeding: cells.text_if_any(Feeding::parse)?,
    })
}

fn cohort_end(cells: &mut Cells<'_>) -> rusqlite::Result<CohortEnd> {
    Ok(CohortEnd {
        name: cells.cell()?,
        why: cells.cell()?,
    })
}

fn draw(cells: &mut Cells<'_>) -> rusqlite::Result<Draw> {
    Ok(Draw {
        group: cells.cell()?,
        lot_seq: cells.cell()?,
        grams: cells.grams()?,
    })
}

fn addition(cells: &mut Cells<'_>) -> rusqlite::Result<Addition> {
    let group = cells.cell()?;
    let bought = cells.text_as(|kind| match kind {
        "bought" => Some(true),
        "water" => Some(false),
        _ => None,
    })?;
    // Water bears no stream, and what was bought bears one.
    let stream = cells.text_if_any(|text| StreamId::parse(text).filter(|_| bought))?;
    if stream.is_none() && bought {
        return Err(cells.bad("NULL".to_owned()));
    }
    let grams = cells.grams()?;
    Ok(Addition {
        group,
        stream,
        grams,
    })
}

fn sheet(conn: &Connection, seq: i64) -> rusqlite::Result<Sheet> {
    let head = "SELECT night, verdict FROM sheet WHERE seq = ?1";
    let (night, verdict) = one(conn, seq, head, |cells| Ok((cells.date()?, cells.cell()?)))?;
    let draws = "SELECT ord, group_name, lot_seq, grams FROM sheet_draw
                 WHERE seq = ?1 ORDER BY ord";
    let additions = "SELECT ord, group_name, kind, stream, grams FROM sheet_addition
                     WHERE seq = ?1 ORDER BY ord";
    Ok(Sheet {
        night,
        verdict,
        draws: many(conn, seq, draws, draw)?,
        additions: many(conn, seq, additions, addition)?,
    })
}

/// A row of the one table of outflows.
struct Outflow {
    lot_seq: i64,
    kind: OutflowKind,
    grams: Grams,
    group: Option<String>,
}

fn outflows(conn: &Connection, seq: i64) -> rusqlite::Result<Vec<Outflow>> {
    many(conn, seq, OUTFLOW, |cells| {
        Ok(Outflow {
            lot_seq: cells.cell()?,
            kind: cells.text_as(OutflowKind::parse)?,
            grams: cells.grams()?,
            group: cells.cell()?,
        })
    })
}

fn only_outflow(conn: &Connection, seq: i64) -> rusqlite::Result<Outflow> {
    let mut found = outflows(conn, seq)?;
    match (found.pop(), found.len()) {
        (Some(outflow), 0) if outflow.group.is_none() => Ok(outflow),
        (Some(_), 0) => Err(BadRows::as_sqlite(
            seq,
            "an outflow to a feed group out of place",
        )),
        (_, more) => Err(BadRows::as_sqlite(
            seq,
            format!(
                "not one row of outflow but {}",
                if more == 0 { 0 } else { more + 1 }
            ),
        )),
    }
}

fn fed(conn: &Connection, seq: i64) -> rusqlite::Result<Fed> {
    let head = "SELECT night, sheet_seq FROM fed WHERE seq = ?1";
    let (night, sheet_seq) = one(conn, seq, head, |cells| Ok((cells.date()?, cells.cell()?)))?;
    let additions = "SELECT ord, group_name, kind, stream, grams FROM inflow
                     WHERE seq = ?1 ORDER BY ord";
    let mut fed = Fed {
        night,
        sheet_seq,
        draws: Vec::new(),
        additions: many(conn, seq, additions, addition)?,
        remainders: Vec::new(),
    };
    for Outflow {
        lot_seq,
        kind,
        grams,
        group,
    } in outflows(conn, seq)?
    {
        match (kind, group) {
            // Draws were written before remainders, so one after them was slipped in.
            (OutflowKind::Fed, Some(group)) if fed.remainders.is_empty() => {
                fed.draws.push(Draw {
                    group,
                    lot_seq,
                    grams,
                });
            }
            (OutflowKind::Shrink, None) => fed.remainders.push(Remainder { lot_seq, grams }),
            (kind, _) => {
                let what = format!("an outflow `{}` out of place", kind.as_str());
                return Err(BadRows::as_sqlite(seq, what));
            }
        }
    }
    Ok(fed)
}

fn reweigh(conn: &Connection, seq: i64) -> rusqlite::Result<Reweigh> {
    let head = "SELECT lot_seq, found_g, text FROM reweigh WHERE seq = ?1";
    let (lot_seq, found_g, text) = one(conn, seq, head, |cells| {
        Ok((cells.cell::<i64>()?, cells.grams()?, cells.cell()?))
    })?;
    let lost = only_outflow(conn, seq)?;
    if lost.kind != OutflowKind::Shrink || lost.lot_seq != lot_seq {
        return Err(BadRows::as_sqlite(
            seq,
            "an outflow that is not this reweighing's",
        ));
    }
    Ok(Reweigh {
        lot_seq,
        found_g,
        // Out of range only in a tampered book, where the digest then tells.
        book_g: Grams::new(found_g.get().saturating_add(lost.grams.get())),
        text,
    })
}

fn discard(conn: &Connection, seq: i64) -> rusqlite::Result<Discard> {
    let why = one(
        conn,
        seq,
        "SELECT why FROM discard WHERE seq = ?1",
        |cells| cells.cell(),
    )?;
    let gone = only_outflow(conn, seq)?;
    let OutflowKind::To(to) = gone.kind else {
        let what = format!("the outflow `{}`, which is no discard", gone.kind.as_str());
        return Err(BadRows::as_sqlite(seq, what));
    };
    Ok(Discard {
        lot_seq: gone.lot_seq,
        to,
        grams: gone.grams,
        why,
    })
}

/// The ticket number of a record, if it is a ticket.
pub(super) fn number(conn: &Connection, seq: i64) -> rusqlite::Result<Option<i64>> {
    conn.prepare_cached("SELECT number FROM ticket WHERE seq = ?1")?
        .query_row([seq], |row| row.get(0))
        .optional()
}
