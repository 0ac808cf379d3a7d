use std::collections::{HashMap, HashSet};

use jiff::Timestamp;
use rusqlite::Connection;
use serde::Deserialize;

use crate::daybook::intake::said;
use crate::daybook::store::cells::Cells;
use crate::daybook::store::get::rows;
use crate::daybook::store::{admit, instants};
use crate::daybook::{Book, Result};
use crate::quantity::Grams;
use crate::stream::{Class, StreamId, Verdict};

/// What one ticket put on hand and is still there.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct LotRow {
    /// Number of the ticket's record: the lot's key.
    pub seq: i64,
    pub id: String,
    pub number: i64,
    pub supplier: String,
    pub stream: StreamId,
    pub at: Timestamp,
    /// Net weight then, picked-out parts included.
    pub net_g: Grams,
    #[serde(skip_deserializing)]
    pub picked_out_g: Grams,
    #[serde(skip_deserializing)]
    pub picked_out_kinds: Vec<String>,
    /// Weight picked out since, and what those parts were: `remaining_g` is
    /// without it.
    #[serde(skip_deserializing)]
    pub picked_since: (Grams, Vec<String>),
    /// What is left of it; not zero, below zero when more left than came.
    #[serde(skip_deserializing)]
    pub remaining_g: Grams,
    pub moisture_pct: Option<f64>,
    #[serde(skip_deserializing)]
    pub assay: Option<AssayOfLot>,
    /// Classes it touched besides its own.
    pub touched: Vec<Class>,
    pub estimated: bool,
    pub bought: bool,
    /// Price per kilogram, where it differs from the stream's.
    pub price_per_kg: Option<f64>,
    pub volume_l: Option<f64>,
    pub container: Option<String>,
    pub verdict: Verdict,
    pub reason: String,
}

/// A moisture test as it bears on a lot.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct AssayOfLot {
    pub seq: i64,
    pub at: Timestamp,
    pub method: String,
    pub moisture_pct: f64,
    pub moisture_sd: f64,
}

/// A live record that hangs on a lot.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct OnLot {
    pub seq: i64,
    pub kind: String,
    pub at: Timestamp,
    /// Weight that left the lot by it; zero for an assay.
    pub grams: Grams,
}

/// In the order of the records, by which the weights that left are joined.
const LOTS: &str =
    "SELECT t.seq, t.net_g, t.seq, t.net_g, t.at_utc AS at, r.id, t.number, t.supplier, t.stream, t.moisture_pct,
            t.touched, t.estimated, t.bought, t.price_per_kg, t.volume_l, t.container,
            t.verdict, t.reason
     FROM ticket t CROSS JOIN record r ON r.seq = t.seq
     WHERE t.at_utc <= ?1 AND t.verdict <> 'refuse'
     ORDER BY t.seq";

const ASSAYS: &str =
    "SELECT a.lot_seq, a.seq, r.at_utc AS at, a.method, a.moisture_pct, a.moisture_sd
     FROM assay a JOIN live_record r ON r.seq = a.seq
     WHERE r.at_utc <= ?1 ORDER BY r.at_utc, a.seq";

const ON_LOT: &str = "SELECT r.seq, r.kind, r.at_utc AS at, x.grams
     FROM (SELECT seq, SUM(grams) AS grams FROM live_outflow WHERE lot_seq = ?1 GROUP BY seq
           UNION ALL SELECT seq, 0 FROM assay WHERE lot_seq = ?1) x
     JOIN live_record r ON r.seq = x.seq
     ORDER BY r.seq";

impl Book {
    /// The lots that came by `until` and then held something, by number: what
    /// came in, less what was picked out, less what left by then.
    pub fn lots(&self, until: Timestamp) -> Result<Vec<LotRow>> {
        let until = instants::text(until);
        self.read(|conn| held(conn, &until))
    }

    /// What a lot holds by every live record, whatever its instant; `None`
    /// when it is no lot: no ticket, struck or refused.
    pub fn remaining_of(&self, lot_seq: i64) -> Result<Option<Grams>> {
        self.read(|conn| admit::remaining(conn, lot_seq))
    }

    /// The live records that hang on a lot: fed, discarded, reweighed, assayed.
    pub fn outflow_of(&self, lot_seq: i64) -> Result<Vec<OnLot>> {
        self.read(|conn| rows(conn, ON_LOT, [lot_seq]))
    }
}

/// One scan over all tickets, joined here and not in SQL: a search per ticket,
/// be it for its strike, would cost more than all the rest.
fn held(conn: &Connection, until: &str) -> rusqlite::Result<Vec<LotRow>> {
    let assays: Vec<(i64, AssayOfLot)> = rows(conn, ASSAYS, [until])?;
    let mut assays: HashMap<_, _> = assays.into_iter().collect();
    let mut parts = parts_by_lot(conn, AT_DOCK, [])?;
    let mut since = parts_by_lot(conn, SINCE, [until])?;
    let left = left_by_lot(conn, until)?;
    // The struck records, which are few.
    let struck: HashSet<i64> = rows(conn, "SELECT target_seq FROM strike", [])?
        .into_iter()
        .collect();
    let said = said::all(conn)?;
    let mut statement = conn.prepare_cached(LOTS)?;
    let mut tickets = statement.query([until])?;
    let mut lots = Vec::new();
    while let Some(ticket) = tickets.next()? {
        let mut cells = Cells::of(ticket);
        let (seq, net_g) = cells.read::<(i64, Grams)>()?;
        let (picked_out_g, picked_out_kinds) = parts.remove(&seq).unwrap_or_default();
        let remaining_g = net_g - picked_out_g - left.of(seq);
        if remaining_g == Grams::ZERO || struck.contains(&seq) {
            continue;
        }
        let mut lot = LotRow {
            picked_out_g,
            picked_out_kinds,
            picked_since: since.remove(&seq).unwrap_or_default(),
            remaining_g,
            assay: assays.remove(&seq),
            ..cells.read()?
        };
        for it in said.get(&seq).into_iter().flatten() {
            let told = (&mut lot.verdict, &mut lot.reason);
            it.over(
                &mut lot.supplier,
                &mut lot.stream,
                &mut lot.price_per_kg,
                told,
            );
        }
        lots.push(lot);
    }
    Ok(lots)
}

/// Weights by lot, in one dense row: record numbers run without gaps, and a
/// table of hashes of a million lots costs several times as much.
struct LotSums(Vec<i64>);

impl LotSums {
    /// What is summed up for a lot; nothing for one that is not there.
    fn of(&self, lot_seq: i64) -> Grams {
        let at = usize::try_from(lot_seq).ok();
        Grams::new(at.and_then(|at| self.0.get(at)).copied().unwrap_or(0))
    }

    fn add(&mut self, lot_seq: i64, grams: i64) {
        // A number outside the book can't come out of a foreign key.
        if let Some(sum) = usize::try_from(lot_seq)
            .ok()
            .and_then(|at| self.0.get_mut(at))
        {
            *sum += grams;
        }
    }
}

/// What left each lot by live records up to an instant: by all records, less
/// by the few struck ones, which spares a search per row.
fn left_by_lot(conn: &Connection, until: &str) -> rusqlite::Result<LotSums> {
    let last: i64 = conn.query_row("SELECT COALESCE(MAX(seq), 0) FROM record", [], |row| {
        row.get(0)
    })?;
    let length = usize::try_from(last).unwrap_or(0).saturating_add(1);
    let mut left = LotSums(vec![0; length]);
    let all = "SELECT lot_seq, grams FROM outflow WHERE at_utc <= ?1";
    let struck = "SELECT lot_seq, -grams FROM strike s JOIN outflow o ON o.seq = s.target_seq
         WHERE at_utc <= ?1";
    for sql in [all, struck] {
        let mut statement = conn.prepare_cached(sql)?;
        let mut rows = statement.query([until])?;
        while let Some(row) = rows.next()? {
            left.add(row.get(0)?, row.get(1)?);
        }
    }
    Ok(left)
}

const AT_DOCK: &str = "SELECT seq, grams, kind FROM picked_out ORDER BY seq, ord";

/// Why something was discarded says here what was picked out.
const SINCE: &str = "SELECT o.lot_seq, o.grams, COALESCE(d.why, '')
     FROM discard d CROSS JOIN live_outflow o ON o.seq = d.seq
     WHERE o.kind = 'picked_out' AND o.at_utc <= ?1 ORDER BY d.seq";

/// Weight and kinds picked out, of the few lots that had any.
fn parts_by_lot(
    conn: &Connection,
    sql: &str,
    until: impl rusqlite::Params,
) -> rusqlite::Result<HashMap<i64, (Grams, Vec<String>)>> {
    let parts: Vec<(i64, Grams, String)> = rows(conn, sql, until)?;
    let mut by_lot: HashMap<i64, (Grams, Vec<String>)> = HashMap::new();
    for (seq, grams, kind) in parts {
        let (total, kinds) = by_lot.entry(seq).or_default();
        *total += grams;
        kinds.push(kind);
    }
    Ok(by_lot)
}

#[cfg(test)]
mod tests;
