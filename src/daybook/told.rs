//! What the book told at an earlier record: it only grows, so a page printed
//! then can be printed again.

use jiff::Timestamp;
use rusqlite::OptionalExtension;

use super::cells::Cells;
use super::error::BadRows;
use super::lookup::rows;
use super::said::told;
use super::{Book, DaybookError, Entry, Farm, get, instants};
use crate::quantity::{Grams, MassUnit};
use crate::stream::{StreamId, Verdict};

/// The last record a page may know of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct AsOf(i64);

impl AsOf {
    /// Everything in the book.
    pub const NOW: Self = Self(i64::MAX);

    /// All records up to this one.
    #[must_use]
    pub const fn record(seq: i64) -> Self {
        Self(seq)
    }

    pub(super) const fn seq(self) -> i64 {
        self.0
    }
}

/// Which tickets are listed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Listed<'a> {
    /// One supplier's, refused ones too.
    Of(&'a str),
    Refused,
}

/// A ticket as a statement lists it, struck or refused ones too.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TicketTold {
    pub number: i64,
    /// When it was weighed.
    pub at: Timestamp,
    /// Who brought it.
    pub supplier: String,
    pub stream: StreamId,
    /// Supplier and stream as first written, where a correction says otherwise.
    pub first: Option<(String, StreamId)>,
    /// Gross weight; `None` when estimated.
    pub gross_g: Option<Grams>,
    /// Gross as entered.
    pub gross_text: Option<String>,
    /// Tare weight; `None` when estimated.
    pub tare_g: Option<Grams>,
    /// Tare as entered.
    pub tare_text: Option<String>,
    /// The unit of the reading.
    pub unit: MassUnit,
    pub net_g: Grams,
    /// Whether the weight is an estimate from the volume.
    pub estimated: bool,
    /// Whether it was bought.
    pub bought: bool,
    /// What staff were told to do.
    pub verdict: Verdict,
    /// Why.
    pub reason: String,
    pub picked_out_g: Grams,
    pub struck_why: Option<String>,
}

/// What stands behind a ticket number of the whole book.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NumberTold {
    pub number: i64,
    /// Whether it is this supplier's.
    pub own: bool,
    /// Whether it was weighed in the span.
    pub in_span: bool,
    pub struck_why: Option<String>,
}

/// How often a stream was on the scale, for the resolution of its sum.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Weighings {
    pub stream: StreamId,
    /// Whether its lots were bought.
    pub bought: bool,
    /// The scale division of the tickets; `None` for what was weighed out.
    pub division: Option<String>,
    /// How many: nets of two readings for tickets, single readings else.
    pub count: i64,
}

/// A record that came after a month was closed and bears on it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LateRecord {
    /// Its number in the book.
    pub seq: i64,
    /// Its kind, or that of the record it strikes: `ticket`, `correction`,
    /// `fed`, `discard` or `reweigh`.
    pub kind: String,
    /// When it happened, or what it strikes happened, or the ticket came that
    /// is corrected.
    pub at: Timestamp,
    /// When it was written.
    pub recorded_at: Timestamp,
    /// Who did it.
    pub by: String,
    /// The ticket number, of the ticket itself or of the one struck or corrected.
    pub ticket: Option<i64>,
    /// The record it strikes.
    pub target_seq: Option<i64>,
    pub why: Option<String>,
}

const TICKETS: &str = concat!(
    "SELECT t.number, t.at_utc, t.supplier, t.stream, t.first_supplier, t.first_stream,
            t.gross_g, t.gross_text, t.tare_g, t.tare_text, t.unit, t.net_g, t.estimated,
            t.bought, t.verdict, t.reason,
            COALESCE((SELECT SUM(grams) FROM picked_out p WHERE p.seq = t.seq), 0), s.why
     FROM record r CROSS JOIN ",
    told!("?3"),
    " t LEFT JOIN strike s ON s.target_seq = r.seq AND s.seq <= ?3
     WHERE t.seq = r.seq AND r.at_utc >= ?1 AND r.at_utc < ?2 AND r.seq <= ?3
       AND iif(?4 IS NULL, t.verdict = 'refuse', t.supplier = ?4)
     ORDER BY t.number"
);

const LOADS: &str = "SELECT r.at_utc, t.net_g
     FROM record r CROSS JOIN ticket t ON t.seq = r.seq
     WHERE r.at_utc >= ?1 AND r.at_utc < ?2 AND r.seq <= ?3
       AND t.verdict <> 'refuse' AND NOT t.bought AND NOT EXISTS
         (SELECT 1 FROM strike s WHERE s.target_seq = r.seq AND s.seq <= ?3)";

const NUMBERS: &str = concat!(
    "SELECT t.number, t.supplier = ?3, t.at_utc >= ?4 AND t.at_utc < ?5, s.why
     FROM ",
    told!("?6"),
    " t LEFT JOIN strike s ON s.target_seq = t.seq AND s.seq <= ?6
     WHERE t.number BETWEEN ?1 AND ?2 AND t.seq <= ?6 ORDER BY t.number"
);

const PARTS: &str = concat!(
    "SELECT p.kind, SUM(p.grams)
     FROM record r CROSS JOIN picked_out p ON p.seq = r.seq CROSS JOIN ",
    told!("?3"),
    " t WHERE t.seq = r.seq AND r.at_utc >= ?1 AND r.at_utc < ?2 AND r.seq <= ?3 AND (?4 IS NULL OR t.supplier = ?4)
       AND t.verdict <> 'refuse' AND NOT t.bought AND NOT EXISTS
         (SELECT 1 FROM strike s WHERE s.target_seq = r.seq AND s.seq <= ?3)
     GROUP BY p.kind ORDER BY p.kind"
);

const WEIGHED_IN: &str = concat!(
    "SELECT t.stream, t.bought, t.division, COUNT(*)
     FROM record r CROSS JOIN ",
    told!("?3"),
    " t WHERE t.seq = r.seq AND r.at_utc >= ?1 AND r.at_utc < ?2 AND r.seq <= ?3
       AND (?4 IS NULL OR t.supplier = ?4 AND NOT t.bought)
       AND t.verdict <> 'refuse' AND NOT t.estimated AND NOT EXISTS
         (SELECT 1 FROM strike s WHERE s.target_seq = r.seq AND s.seq <= ?3)
     GROUP BY t.stream, t.bought, t.division"
);

const WEIGHED_OUT: &str = concat!(
    "SELECT t.stream, t.bought, NULL, COUNT(*)
     FROM record r CROSS JOIN outflow o ON o.seq = r.seq CROSS JOIN ",
    told!("?3"),
    " t WHERE t.seq = o.lot_seq AND r.at_utc >= ?1 AND r.at_utc < ?2 AND r.seq <= ?3
       AND (o.kind <> 'shrink' OR r.kind = 'reweigh') AND NOT EXISTS
         (SELECT 1 FROM strike s WHERE s.target_seq = r.seq AND s.seq <= ?3)
     GROUP BY t.stream, t.bought"
);

const FEED_LEFT: &str = concat!(
    "SELECT COALESCE(SUM(iif(o.kind = 'fed', o.grams, 0)), 0),
            COALESCE(SUM(iif(o.kind NOT IN ('fed', 'shrink', 'picked_out'), o.grams, 0)), 0)
     FROM record r CROSS JOIN outflow o ON o.seq = r.seq CROSS JOIN ",
    told!("?3"),
    " t WHERE t.seq = o.lot_seq AND r.at_utc >= ?1 AND r.at_utc < ?2 AND r.seq <= ?3
       AND t.verdict IN ('feed', 'pick out') AND NOT EXISTS
         (SELECT 1 FROM strike s WHERE s.target_seq = r.seq AND s.seq <= ?3)"
);

/// A correction bears on the weights of its ticket's day where it says whose
/// or what the load was; so does its strike.
const CORRECTIONS: &str = "SELECT r.seq, COALESCE(struck.kind, r.kind),
            COALESCE(t.at_utc, struck.at_utc, r.at_utc), r.recorded_utc, r.by_whom, t.number,
            s.target_seq, COALESCE(s.why, c.why)
     FROM record r LEFT JOIN strike s ON s.seq = r.seq
     LEFT JOIN record struck ON struck.seq = s.target_seq
     LEFT JOIN correction c ON c.seq = COALESCE(s.target_seq, r.seq)
     LEFT JOIN ticket t ON t.seq = COALESCE(c.ticket_seq, s.target_seq, r.seq)
     WHERE r.seq > ?1 AND r.seq <= ?2 AND COALESCE(t.at_utc, struck.at_utc, r.at_utc) < ?3
       AND COALESCE(struck.kind, r.kind)
         IN ('ticket', 'fed', 'discard', 'reweigh', 'correction')
       AND (c.seq IS NULL OR COALESCE(c.supplier, c.stream) IS NOT NULL)
     ORDER BY r.seq";

impl Book {
    /// The settings that held at `as_of`.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn farm_at(&self, as_of: AsOf) -> Result<Farm, DaybookError> {
        let sql = "SELECT MAX(r.seq) FROM record r WHERE r.kind = 'farm' AND r.seq <= ?1
                   AND NOT EXISTS
                     (SELECT 1 FROM strike s WHERE s.target_seq = r.seq AND s.seq <= ?1)";
        self.read(|conn| {
            let seq: Option<i64> = conn
                .prepare_cached(sql)?
                .query_row([as_of.0], |row| row.get(0))
                .optional()?
                .flatten();
            match get::entry(conn, seq.unwrap_or_default(), "farm")? {
                Entry::Farm(farm) => Ok(farm),
                _ => Err(BadRows::as_sqlite(0, "no settings")),
            }
        })
    }

    /// The tickets weighed from `from` up to, not at, `to` as the book told
    /// them at `as_of`, by number.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn tickets_told(
        &self,
        from: Timestamp,
        to: Timestamp,
        listed: Listed<'_>,
        as_of: AsOf,
    ) -> Result<Vec<TicketTold>, DaybookError> {
        let [from, to] = [from, to].map(instants::text_not_before);
        let supplier = match listed {
            Listed::Of(supplier) => Some(supplier),
            Listed::Refused => None,
        };
        self.read(|conn| rows(conn, TICKETS, (&from, &to, as_of.0, supplier), ticket))
    }

    /// Tells every accepted load that was not bought: when it came and its net
    /// weight, in no certain order and without holding them all at once.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn each_load(
        &self,
        from: Timestamp,
        to: Timestamp,
        as_of: AsOf,
        mut tell: impl FnMut(Timestamp, Grams),
    ) -> Result<(), DaybookError> {
        let [from, to] = [from, to].map(instants::text_not_before);
        self.read(|conn| {
            let mut statement = conn.prepare_cached(LOADS)?;
            let mut loads = statement.query((&from, &to, as_of.0))?;
            while let Some(load) = loads.next()? {
                let mut cells = Cells::of(load);
                tell(cells.instant()?, cells.grams()?);
            }
            Ok(())
        })
    }

    /// What stands behind every ticket number from `first` to `last`.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn numbers_told(
        &self,
        (first, last): (i64, i64),
        supplier: &str,
        (from, to): (Timestamp, Timestamp),
        as_of: AsOf,
    ) -> Result<Vec<NumberTold>, DaybookError> {
        let [from, to] = [from, to].map(instants::text_not_before);
        let values = (first, last, supplier, &from, &to, as_of.0);
        self.read(|conn| {
            rows(conn, NUMBERS, values, |cells| {
                Ok(NumberTold {
                    number: cells.cell()?,
                    own: cells.flag()?,
                    in_span: cells.flag()?,
                    struck_why: cells.cell()?,
                })
            })
        })
    }

    /// Weight picked out at the dock by kind, bought stock left out.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn parts_picked_out(
        &self,
        from: Timestamp,
        to: Timestamp,
        supplier: Option<&str>,
        as_of: AsOf,
    ) -> Result<Vec<(String, Grams)>, DaybookError> {
        let [from, to] = [from, to].map(instants::text_not_before);
        self.read(|conn| {
            rows(conn, PARTS, (&from, &to, as_of.0, supplier), |cells| {
                Ok((cells.cell()?, cells.grams()?))
            })
        })
    }

    /// How often each stream was on the scale.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn weighings(
        &self,
        from: Timestamp,
        to: Timestamp,
        as_of: AsOf,
    ) -> Result<Vec<Weighings>, DaybookError> {
        let [from, to] = [from, to].map(instants::text_not_before);
        self.read(|conn| {
            let everyone: Option<&str> = None;
            let mut told = rows(conn, WEIGHED_IN, (&from, &to, as_of.0, everyone), weighing)?;
            told.extend(rows(conn, WEIGHED_OUT, (&from, &to, as_of.0), weighing)?);
            Ok(told)
        })
    }

    /// How often a supplier's streams were weighed in, bought stock left out.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn weighings_of(
        &self,
        supplier: &str,
        from: Timestamp,
        to: Timestamp,
        as_of: AsOf,
    ) -> Result<Vec<Weighings>, DaybookError> {
        let [from, to] = [from, to].map(instants::text_not_before);
        let values = (&from, &to, as_of.0, Some(supplier));
        self.read(|conn| rows(conn, WEIGHED_IN, values, weighing))
    }

    /// Of lots taken in as feed: what was fed, and what left another way.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn feed_left(
        &self,
        from: Timestamp,
        to: Timestamp,
        as_of: AsOf,
    ) -> Result<(Grams, Grams), DaybookError> {
        let [from, to] = [from, to].map(instants::text_not_before);
        self.read(|conn| {
            conn.prepare_cached(FEED_LEFT)?
                .query_row((&from, &to, as_of.0), |row| {
                    let mut cells = Cells::of(row);
                    Ok((cells.grams()?, cells.grams()?))
                })
        })
    }

    /// Records written after record `after`, up to `as_of`, that bear on
    /// weights before `to`.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn corrections(
        &self,
        after: i64,
        as_of: AsOf,
        to: Timestamp,
    ) -> Result<Vec<LateRecord>, DaybookError> {
        let to = instants::text_not_before(to);
        self.read(|conn| rows(conn, CORRECTIONS, (after, as_of.0, &to), correction))
    }
}

fn ticket(cells: &mut Cells<'_>) -> rusqlite::Result<TicketTold> {
    let (number, at) = (cells.cell()?, cells.instant()?);
    let now = (cells.cell()?, cells.stream()?);
    let first = (cells.cell()?, cells.stream()?);
    Ok(TicketTold {
        number,
        at,
        first: (first != now).then_some(first),
        supplier: now.0,
        stream: now.1,
        gross_g: cells.grams_if_any()?,
        gross_text: cells.cell()?,
        tare_g: cells.grams_if_any()?,
        tare_text: cells.cell()?,
        unit: cells.unit()?,
        net_g: cells.grams()?,
        estimated: cells.flag()?,
        bought: cells.flag()?,
        verdict: cells.verdict()?,
        reason: cells.cell()?,
        picked_out_g: cells.grams()?,
        struck_why: cells.cell()?,
    })
}

fn weighing(cells: &mut Cells<'_>) -> rusqlite::Result<Weighings> {
    Ok(Weighings {
        stream: cells.stream()?,
        bought: cells.flag()?,
        division: cells.cell()?,
        count: cells.cell()?,
    })
}

fn correction(cells: &mut Cells<'_>) -> rusqlite::Result<LateRecord> {
    Ok(LateRecord {
        seq: cells.cell()?,
        kind: cells.cell()?,
        at: cells.instant()?,
        recorded_at: cells.instant()?,
        by: cells.cell()?,
        ticket: cells.cell()?,
        target_seq: cells.cell()?,
        why: cells.cell()?,
    })
}
