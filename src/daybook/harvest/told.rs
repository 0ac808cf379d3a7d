use std::collections::BTreeMap;

use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::{Offset, TimeZone};
use serde::Deserialize;

use crate::daybook::intake::said::{self, told};
use crate::daybook::store::get::rows;
use crate::daybook::store::instants;
use crate::daybook::{Adopted, AssayOfLot, Book, Filed, Harvest, OwnFigure, Payment, Result};
use crate::quantity::Grams;
use crate::stream::{Class, Leave, StreamId, Verdict};

/// Weight fed to a feed group, of a lot by its ticket's position, or of what
/// never was in stock: a stream bought, or water where there is none.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct FedLine<Of = i64> {
    pub fed_seq: i64,
    pub night: Date,
    pub at: Timestamp,
    pub group: String,
    pub of: Of,
    pub grams: Grams,
}

impl<Of> FedLine<Of> {
    /// The same of something else.
    pub fn map<T>(self, of: impl FnOnce(Of) -> T) -> FedLine<T> {
        FedLine {
            fed_seq: self.fed_seq,
            night: self.night,
            at: self.at,
            group: self.group,
            of: of(self.of),
            grams: self.grams,
        }
    }
}

/// What the book says of a lot whatever is left of it.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct LotFacts {
    pub seq: i64,
    pub id: String,
    pub number: i64,
    pub supplier: String,
    pub stream: StreamId,
    pub at: Timestamp,
    /// Net weight then, picked-out parts included.
    pub net_g: Grams,
    pub moisture_pct: Option<f64>,
    /// Classes it touched besides its own.
    pub touched: Vec<Class>,
    pub bought: bool,
    /// Price per kilogram, where it differs from the stream's.
    pub price_per_kg: Option<f64>,
    pub verdict: Verdict,
    #[serde(skip_deserializing)]
    pub assay: Option<AssayOfLot>,
}

/// Loads of a span that cost or brought money, by price.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct PricedLoads {
    pub bought: bool,
    pub stream: StreamId,
    /// Price per kilogram on the tickets, where it differs from the stream's.
    pub price_per_kg: Option<f64>,
    pub loads: i64,
    pub net_g: Grams,
}

const FED: &str = "SELECT f.seq AS fed_seq, f.night, o.at_utc AS at, o.group_name AS \"group\", o.lot_seq AS of, o.grams
     FROM fed f JOIN live_outflow o ON o.seq = f.seq
     WHERE f.night BETWEEN ?1 AND ?2 AND o.kind = 'fed' ORDER BY f.night, f.seq, o.ord";

const FED_OF_LOT: &str = "SELECT f.seq AS fed_seq, f.night, o.at_utc AS at, o.group_name AS \"group\", o.lot_seq AS of, o.grams
     FROM live_outflow o JOIN fed f ON f.seq = o.seq
     WHERE o.lot_seq = ?1 AND o.kind = 'fed' ORDER BY f.night, f.seq, o.ord";

const ADDED: &str =
    "SELECT f.seq AS fed_seq, f.night, r.at_utc AS at, i.group_name AS \"group\", i.stream AS of, i.grams
     FROM fed f JOIN live_inflow i ON i.seq = f.seq JOIN record r ON r.seq = f.seq
     WHERE f.night BETWEEN ?1 AND ?2 ORDER BY f.night, f.seq, i.ord";

const LOT: &str = "SELECT t.seq, r.id, t.number, t.supplier, t.stream, t.at_utc AS at, t.net_g,
            t.moisture_pct, t.touched, t.bought, t.price_per_kg, t.verdict
     FROM live_ticket t JOIN record r ON r.seq = t.seq WHERE t.seq = ?1";

const LOT_ASSAY: &str = "SELECT a.seq, r.at_utc AS at, a.method, a.moisture_pct, a.moisture_sd
     FROM assay a JOIN live_record r ON r.seq = a.seq
     WHERE a.lot_seq = ?1 ORDER BY r.at_utc DESC, a.seq DESC LIMIT 1";

const PRICED: &str = concat!(
    "SELECT bought, stream, price_per_kg, COUNT(*) AS loads, SUM(net_g) AS net_g FROM ",
    told!(),
    " WHERE at_utc >= ?1 AND at_utc < ?2 AND verdict <> 'refuse'
     GROUP BY bought, stream, price_per_kg ORDER BY bought, stream, price_per_kg"
);

/// Price last paid for a kilogram of each stream; of the columns without a
/// function, SQLite takes those of the row with the maximum.
const PAID: &str = concat!(
    "SELECT t.stream, t.price_per_kg, MAX(r.at_utc) FROM record r CROSS JOIN ",
    told!(),
    " t WHERE t.seq = r.seq AND r.at_utc BETWEEN ?1 AND ?2 AND t.bought = 1
     AND t.verdict <> 'refuse' AND t.price_per_kg IS NOT NULL GROUP BY t.stream"
);

impl Book {
    /// Leaves to feed a stream, given by the day `until` lies on anywhere on
    /// earth, the oldest record first.
    pub fn leaves(&self, until: Timestamp) -> Result<Vec<Leave>> {
        let last = until.to_zoned_datetime(TimeZone::fixed(Offset::MAX)).date();
        let all = self.live("leave", "WHERE x.given_on <= ?1", [last.to_string()])?;
        Ok(all.into_iter().map(|leave| leave.entry).collect())
    }

    /// What was last paid for a kilogram of each stream in a span, bounds included.
    pub fn prices_paid(&self, from: Timestamp, until: Timestamp) -> Result<Vec<(StreamId, f64)>> {
        self.read(|conn| rows(conn, PAID, [instants::text(from), instants::text(until)]))
    }

    /// Live harvests by `until`, in the order of writing.
    pub fn harvests(&self, until: Timestamp) -> Result<Vec<Filed<Harvest>>> {
        self.live("harvest", "WHERE r.at_utc <= ?1", [instants::text(until)])
    }

    /// Live money records from an instant on and before another, in the order of writing.
    pub fn money(&self, from: Timestamp, to: Timestamp) -> Result<Vec<Filed<Payment>>> {
        let which = "WHERE r.at_utc >= ?1 AND r.at_utc < ?2";
        self.live("money", which, instants::span(from, to))
    }

    /// Accepted loads from an instant on and before another, by what they cost.
    pub fn priced_loads(&self, from: Timestamp, to: Timestamp) -> Result<Vec<PricedLoads>> {
        self.read(|conn| rows(conn, PRICED, instants::span(from, to)))
    }

    /// The farm's own figures by `until`, the newest of each.
    pub fn own_figures(
        &self,
        until: Timestamp,
    ) -> Result<BTreeMap<(OwnFigure, String), Filed<Adopted>>> {
        let all = self.live("adopted", "WHERE r.at_utc <= ?1", [instants::text(until)])?;
        let keyed = |own: Filed<Adopted>| ((own.entry.what, own.entry.subject.clone()), own);
        Ok(all.into_iter().map(keyed).collect())
    }

    /// What was fed from lots in the nights from `from` to `to`, both among them.
    pub fn fed_lines(&self, from: Date, to: Date) -> Result<Vec<FedLine>> {
        let span = [from.to_string(), to.to_string()];
        self.read(|conn| rows(conn, FED, span))
    }

    /// What was fed from these lots, lot by lot.
    pub fn fed_of_lots(&self, lot_seqs: &[i64]) -> Result<Vec<FedLine>> {
        self.read(|conn| {
            let mut lines = Vec::new();
            for lot in lot_seqs {
                lines.extend(rows(conn, FED_OF_LOT, [lot])?);
            }
            Ok(lines)
        })
    }

    /// What was bought and fed the same night, and water, in those nights.
    pub fn added_lines(&self, from: Date, to: Date) -> Result<Vec<FedLine<Option<StreamId>>>> {
        let span = [from.to_string(), to.to_string()];
        self.read(|conn| rows(conn, ADDED, span))
    }

    /// The facts of lots, by position; a struck ticket has none.
    pub fn lot_facts(
        &self,
        lot_seqs: impl IntoIterator<Item = i64>,
    ) -> Result<BTreeMap<i64, LotFacts>> {
        self.read(|conn| {
            let said = said::all(conn)?;
            let mut facts = BTreeMap::new();
            for seq in lot_seqs {
                if facts.contains_key(&seq) {
                    continue;
                }
                let assay = rows(conn, LOT_ASSAY, [seq])?.pop();
                if let Some(mut lot) = rows::<LotFacts>(conn, LOT, [seq])?.pop() {
                    lot.assay = assay;
                    for it in said.get(&seq).into_iter().flatten() {
                        let told = (&mut lot.verdict, &mut String::new());
                        it.over(
                            &mut lot.supplier,
                            &mut lot.stream,
                            &mut lot.price_per_kg,
                            told,
                        );
                    }
                    facts.insert(seq, lot);
                }
            }
            Ok(facts)
        })
    }
}

#[cfg(test)]
mod tests;
