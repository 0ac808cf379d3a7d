use std::collections::BTreeMap;

use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::{Offset, TimeZone};

use super::cells::Cells;
use super::lookup::{rows, seqs};
use super::nights::filed;
use super::said::{self, told};
use super::{
    Adopted, AssayOfLot, Book, DaybookError, Entry, Filed, Harvest, OwnFigure, Payment, instants,
};
use crate::quantity::Grams;
use crate::stream::{Class, Leave, StreamId, Verdict};

/// Weight of a lot fed to a feed group.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FedLine {
    /// Position of the record of feeding.
    pub fed_seq: i64,
    pub night: Date,
    pub at: Timestamp,
    pub group: String,
    /// Position of the lot's ticket.
    pub lot_seq: i64,
    /// Weight.
    pub grams: Grams,
}

/// Weight fed that never was in stock.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AddedLine {
    /// Position of the record of feeding.
    pub fed_seq: i64,
    pub night: Date,
    /// When it was fed.
    pub at: Timestamp,
    pub group: String,
    /// The stream bought, or `None` for water.
    pub stream: Option<StreamId>,
    /// Weight.
    pub grams: Grams,
}

/// What the book says of a lot whatever is left of it.
#[derive(Debug, Clone, PartialEq)]
pub struct LotFacts {
    /// Position of its ticket.
    pub seq: i64,
    /// The ticket's id.
    pub id: String,
    /// The ticket's number.
    pub number: i64,
    /// Who brought it.
    pub supplier: String,
    pub stream: StreamId,
    /// When it came.
    pub at: Timestamp,
    /// Net weight then, picked-out parts included.
    pub net_g: Grams,
    /// Moisture tested at the dock, per cent wet basis.
    pub moisture_pct: Option<f64>,
    /// Classes it touched besides its own.
    pub touched: Vec<Class>,
    /// Whether it was bought.
    pub bought: bool,
    /// Price per kilogram, where it differs from the stream's.
    pub price_per_kg: Option<f64>,
    /// What staff were told to do.
    pub verdict: Verdict,
    /// Its newest moisture test.
    pub assay: Option<AssayOfLot>,
}

/// Loads of a span that cost or brought money, by price.
#[derive(Debug, Clone, PartialEq)]
pub struct PricedLoads {
    pub bought: bool,
    pub stream: StreamId,
    /// Price per kilogram on the tickets, where it differs from the stream's.
    pub price_per_kg: Option<f64>,
    pub loads: i64,
    /// Net weight together.
    pub net_g: Grams,
}

const FED: &str = "SELECT f.seq, f.night, o.at_utc, o.group_name, o.lot_seq, o.grams
     FROM fed f JOIN live_outflow o ON o.seq = f.seq
     WHERE f.night BETWEEN ?1 AND ?2 AND o.kind = 'fed' ORDER BY f.night, f.seq, o.ord";

const FED_OF_LOT: &str = "SELECT f.seq, f.night, o.at_utc, o.group_name, o.lot_seq, o.grams
     FROM live_outflow o JOIN fed f ON f.seq = o.seq
     WHERE o.lot_seq = ?1 AND o.kind = 'fed' ORDER BY f.night, f.seq, o.ord";

const ADDED: &str = "SELECT f.seq, f.night, r.at_utc, i.group_name, i.stream, i.grams
     FROM fed f JOIN live_inflow i ON i.seq = f.seq JOIN record r ON r.seq = f.seq
     WHERE f.night BETWEEN ?1 AND ?2 ORDER BY f.night, f.seq, i.ord";

const LOT: &str = "SELECT t.seq, r.id, t.number, t.supplier, t.stream, t.at_utc, t.net_g,
            t.moisture_pct, t.touched, t.bought, t.price_per_kg, t.verdict
     FROM live_ticket t JOIN record r ON r.seq = t.seq WHERE t.seq = ?1";

const LOT_ASSAY: &str = "SELECT a.seq, r.at_utc, a.method, a.moisture_pct, a.moisture_sd
     FROM assay a JOIN live_record r ON r.seq = a.seq
     WHERE a.lot_seq = ?1 ORDER BY r.at_utc DESC, a.seq DESC LIMIT 1";

const PRICED: &str = concat!(
    "SELECT bought, stream, price_per_kg, COUNT(*), SUM(net_g) FROM ",
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
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn leaves(&self, until: Timestamp) -> Result<Vec<Leave>, DaybookError> {
        let sql = "SELECT l.seq FROM leave l JOIN live_record r ON r.seq = l.seq
                   WHERE l.given_on <= ?1 ORDER BY l.seq";
        let last = until.to_zoned_datetime(TimeZone::fixed(Offset::MAX)).date();
        self.read(|conn| {
            let seqs = seqs(conn, sql, [last.to_string()])?;
            let all = filed(conn, seqs, |entry| match entry {
                Entry::Leave(leave) => Some(leave),
                _ => None,
            })?;
            Ok(all.into_iter().map(|leave| leave.entry).collect())
        })
    }

    /// What was last paid for a kilogram of each stream in a span, bounds included.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn prices_paid(
        &self,
        from: Timestamp,
        until: Timestamp,
    ) -> Result<Vec<(StreamId, f64)>, DaybookError> {
        let span = [instants::text(from), instants::text(until)];
        self.read(|conn| {
            rows(conn, PAID, span, |cells| {
                Ok((cells.stream()?, cells.cell()?))
            })
        })
    }

    /// Live harvests by `until`, in the order of writing.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn harvests(&self, until: Timestamp) -> Result<Vec<Filed<Harvest>>, DaybookError> {
        let sql = "SELECT h.seq FROM harvest h JOIN live_record r ON r.seq = h.seq
                   WHERE r.at_utc <= ?1 ORDER BY h.seq";
        self.read(|conn| {
            let seqs = seqs(conn, sql, [instants::text(until)])?;
            filed(conn, seqs, |entry| match entry {
                Entry::Harvest(harvest) => Some(harvest),
                _ => None,
            })
        })
    }

    /// Live money records from an instant on and before another, in the order of writing.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn money(
        &self,
        from: Timestamp,
        to: Timestamp,
    ) -> Result<Vec<Filed<Payment>>, DaybookError> {
        let sql = "SELECT m.seq FROM money m JOIN live_record r ON r.seq = m.seq
                   WHERE r.at_utc >= ?1 AND r.at_utc < ?2 ORDER BY m.seq";
        self.read(|conn| {
            let span = [
                instants::text_not_before(from),
                instants::text_not_before(to),
            ];
            filed(conn, seqs(conn, sql, span)?, |entry| match entry {
                Entry::Money(money) => Some(money),
                _ => None,
            })
        })
    }

    /// Accepted loads from an instant on and before another, by what they cost.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn priced_loads(
        &self,
        from: Timestamp,
        to: Timestamp,
    ) -> Result<Vec<PricedLoads>, DaybookError> {
        let span = [
            instants::text_not_before(from),
            instants::text_not_before(to),
        ];
        self.read(|conn| {
            rows(conn, PRICED, span, |cells| {
                Ok(PricedLoads {
                    bought: cells.flag()?,
                    stream: cells.stream()?,
                    price_per_kg: cells.cell()?,
                    loads: cells.cell()?,
                    net_g: cells.grams()?,
                })
            })
        })
    }

    /// The farm's own figures by `until`, the newest of each.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn own_figures(
        &self,
        until: Timestamp,
    ) -> Result<BTreeMap<(OwnFigure, String), Filed<Adopted>>, DaybookError> {
        let sql = "SELECT a.seq FROM adopted a JOIN live_record r ON r.seq = a.seq
                   WHERE r.at_utc <= ?1 ORDER BY a.seq";
        self.read(|conn| {
            let seqs = seqs(conn, sql, [instants::text(until)])?;
            let all = filed(conn, seqs, |entry| match entry {
                Entry::Adopted(own) => Some(own),
                _ => None,
            })?;
            let keyed = all.into_iter();
            Ok(keyed
                .map(|own| ((own.entry.what, own.entry.subject.clone()), own))
                .collect())
        })
    }

    /// What was fed from lots in the nights from `from` to `to`, both among them.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn fed_lines(&self, from: Date, to: Date) -> Result<Vec<FedLine>, DaybookError> {
        let span = [from.to_string(), to.to_string()];
        self.read(|conn| rows(conn, FED, span, fed_line))
    }

    /// What was fed from these lots, lot by lot.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn fed_of_lots(&self, lot_seqs: &[i64]) -> Result<Vec<FedLine>, DaybookError> {
        self.read(|conn| {
            let mut lines = Vec::new();
            for lot in lot_seqs {
                lines.extend(rows(conn, FED_OF_LOT, [lot], fed_line)?);
            }
            Ok(lines)
        })
    }

    /// What was bought and fed the same night, and water, in those nights.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn added_lines(&self, from: Date, to: Date) -> Result<Vec<AddedLine>, DaybookError> {
        let span = [from.to_string(), to.to_string()];
        self.read(|conn| {
            rows(conn, ADDED, span, |cells| {
                Ok(AddedLine {
                    fed_seq: cells.cell()?,
                    night: cells.date()?,
                    at: cells.instant()?,
                    group: cells.cell()?,
                    stream: cells.text_if_any(StreamId::parse)?,
                    grams: cells.grams()?,
                })
            })
        })
    }

    /// The facts of lots, by position; a struck ticket has none.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn lot_facts(
        &self,
        lot_seqs: impl IntoIterator<Item = i64>,
    ) -> Result<BTreeMap<i64, LotFacts>, DaybookError> {
        self.read(|conn| {
            let said = said::all(conn)?;
            let mut facts = BTreeMap::new();
            for seq in lot_seqs {
                if facts.contains_key(&seq) {
                    continue;
                }
                let assay = rows(conn, LOT_ASSAY, [seq], assay)?.pop();
                if let Some(mut lot) = rows(conn, LOT, [seq], lot)?.pop() {
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

fn fed_line(cells: &mut Cells<'_>) -> rusqlite::Result<FedLine> {
    Ok(FedLine {
        fed_seq: cells.cell()?,
        night: cells.date()?,
        at: cells.instant()?,
        group: cells.cell()?,
        lot_seq: cells.cell()?,
        grams: cells.grams()?,
    })
}

fn assay(cells: &mut Cells<'_>) -> rusqlite::Result<AssayOfLot> {
    Ok(AssayOfLot {
        seq: cells.cell()?,
        at: cells.instant()?,
        method: cells.cell()?,
        moisture_pct: cells.cell()?,
        moisture_sd: cells.cell()?,
    })
}

fn lot(cells: &mut Cells<'_>) -> rusqlite::Result<LotFacts> {
    Ok(LotFacts {
        seq: cells.cell()?,
        id: cells.cell()?,
        number: cells.cell()?,
        supplier: cells.cell()?,
        stream: cells.stream()?,
        at: cells.instant()?,
        net_g: cells.grams()?,
        moisture_pct: cells.cell()?,
        touched: cells.classes()?,
        bought: cells.flag()?,
        price_per_kg: cells.cell()?,
        verdict: cells.verdict()?,
        assay: None,
    })
}

#[cfg(test)]
mod tests;
