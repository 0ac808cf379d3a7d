//! What the book told at an earlier record: it only grows, so a page printed
//! then can be printed again.

use jiff::Timestamp;
use serde::Deserialize;

use super::said::{counts, told};
use crate::daybook::store::cells::Cells;
use crate::daybook::store::get::rows;
use crate::daybook::store::{get, instants};
use crate::daybook::{Book, Farm, Result};
use crate::quantity::{Grams, MassUnit};
use crate::stream::{StreamId, Verdict};

/// The last record a page may know of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct AsOf(i64);

impl AsOf {
    /// Everything in the book.
    pub const NOW: Self = Self(i64::MAX);

    /// All records up to this one.
    pub const fn record(seq: i64) -> Self {
        Self(seq)
    }
}

/// From an instant up to, not at, another, as the book told it at a record.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Span {
    pub from: Timestamp,
    pub to: Timestamp,
    pub as_of: AsOf,
}

impl Span {
    /// As `?1`, `?2` and `?3`.
    pub(in crate::daybook) fn values(self) -> (String, String, i64) {
        let [from, to] = instants::span(self.from, self.to);
        (from, to, self.as_of.0)
    }

    fn values_of(self, supplier: Option<&str>) -> (String, String, i64, Option<&str>) {
        let (from, to, as_of) = self.values();
        (from, to, as_of, supplier)
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Listed<'a> {
    /// One supplier's, refused ones too.
    Of(&'a str),
    Refused,
}

/// A ticket as a statement lists it, struck or refused ones too.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct TicketTold {
    pub number: i64,
    pub at: Timestamp,
    pub supplier: String,
    pub stream: StreamId,
    /// Supplier and stream as first written, where a correction says otherwise.
    #[serde(skip_deserializing)]
    pub first: Option<(String, StreamId)>,
    pub gross_g: Option<Grams>,
    pub gross_text: Option<String>,
    pub tare_g: Option<Grams>,
    pub tare_text: Option<String>,
    pub unit: MassUnit,
    pub net_g: Grams,
    pub estimated: bool,
    pub bought: bool,
    pub verdict: Verdict,
    pub reason: String,
    /// The scale that sent the gross weight itself.
    pub scale: Option<String>,
    pub picked_out_g: Grams,
    pub struck_why: Option<String>,
}

/// What stands behind a ticket number of the whole book.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct NumberTold {
    pub number: i64,
    pub own: bool,
    pub in_span: bool,
    pub struck_why: Option<String>,
}

/// How often a stream was on the scale, for the resolution of its sum.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct Weighings {
    pub stream: StreamId,
    pub bought: bool,
    /// The scale division of the tickets; `None` for what was weighed out.
    pub division: Option<String>,
    /// How many: nets of two readings for tickets, single readings else.
    pub count: i64,
}

/// A record that came after a month was closed and bears on it.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct LateRecord {
    pub seq: i64,
    /// Its kind, or that of the record it strikes: `ticket`, `correction`,
    /// `fed`, `discard` or `reweigh`.
    pub kind: String,
    /// When it happened, or what it strikes happened, or the ticket came that
    /// is corrected.
    pub at: Timestamp,
    pub recorded_at: Timestamp,
    pub by: String,
    /// The ticket number, of the ticket itself or of the one struck or corrected.
    pub ticket: Option<i64>,
    pub target_seq: Option<i64>,
    pub why: Option<String>,
}

const TICKETS: &str = concat!(
    "SELECT t.first_supplier, t.first_stream, t.number, t.at_utc AS at, t.supplier, t.stream,
            t.gross_g, t.gross_text, t.tare_g, t.tare_text, t.unit, t.net_g, t.estimated,
            t.bought, t.verdict, t.reason, t.scale,
            COALESCE((SELECT SUM(grams) FROM picked_out p WHERE p.seq = t.seq), 0) AS picked_out_g,
            s.why AS struck_why
     FROM record r CROSS JOIN ",
    told!("?3"),
    " t LEFT JOIN strike s ON s.target_seq = r.seq AND s.seq <= ?3
     WHERE t.seq = r.seq AND r.at_utc >= ?1 AND r.at_utc < ?2 AND r.seq <= ?3
       AND iif(?4 IS NULL, t.verdict = 'refuse', t.supplier = ?4)
     ORDER BY t.number"
);

const LOADS: &str = concat!(
    "SELECT r.at_utc, t.net_g FROM record r CROSS JOIN ticket t ON t.seq = r.seq
     WHERE t.verdict <> 'refuse' AND NOT t.bought AND ",
    counts!()
);

const NUMBERS: &str = concat!(
    "SELECT t.number, t.supplier = ?3 AS own, t.at_utc >= ?4 AND t.at_utc < ?5 AS in_span,
            s.why AS struck_why
     FROM ",
    told!("?6"),
    " t LEFT JOIN strike s ON s.target_seq = t.seq AND s.seq <= ?6
     WHERE t.number BETWEEN ?1 AND ?2 AND t.seq <= ?6 ORDER BY t.number"
);

const PARTS: &str = concat!(
    "SELECT p.kind, SUM(p.grams)
     FROM record r CROSS JOIN picked_out p ON p.seq = r.seq CROSS JOIN ",
    told!("?3"),
    " t WHERE t.seq = r.seq AND (?4 IS NULL OR t.supplier = ?4)
       AND t.verdict <> 'refuse' AND NOT t.bought AND ",
    counts!(),
    " GROUP BY p.kind ORDER BY p.kind"
);

const WEIGHED_IN: &str = concat!(
    "SELECT t.stream, t.bought, t.division, COUNT(*) AS count
     FROM record r CROSS JOIN ",
    told!("?3"),
    " t WHERE t.seq = r.seq AND (?4 IS NULL OR t.supplier = ?4 AND NOT t.bought)
       AND t.verdict <> 'refuse' AND NOT t.estimated AND ",
    counts!(),
    " GROUP BY t.stream, t.bought, t.division"
);

const WEIGHED_OUT: &str = concat!(
    "SELECT t.stream, t.bought, NULL AS division, COUNT(*) AS count
     FROM record r CROSS JOIN outflow o ON o.seq = r.seq CROSS JOIN ",
    told!("?3"),
    " t WHERE t.seq = o.lot_seq AND (o.kind <> 'shrink' OR r.kind = 'reweigh') AND ",
    counts!(),
    " GROUP BY t.stream, t.bought"
);

const FEED_LEFT: &str = concat!(
    "SELECT COALESCE(SUM(iif(o.kind = 'fed', o.grams, 0)), 0),
            COALESCE(SUM(iif(o.kind NOT IN ('fed', 'shrink', 'picked_out'), o.grams, 0)), 0)
     FROM record r CROSS JOIN outflow o ON o.seq = r.seq CROSS JOIN ",
    told!("?3"),
    " t WHERE t.seq = o.lot_seq AND t.verdict IN ('feed', 'pick out') AND ",
    counts!()
);

/// A correction bears on the weights of its ticket's day where it says whose
/// or what the load was; so does its strike.
const CORRECTIONS: &str = "SELECT r.seq, COALESCE(struck.kind, r.kind) AS kind,
            COALESCE(t.at_utc, struck.at_utc, r.at_utc) AS at, r.recorded_utc AS recorded_at,
            r.by_whom AS by, t.number AS ticket, s.target_seq, COALESCE(s.why, c.why) AS why
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
    pub fn farm_at(&self, as_of: AsOf) -> Result<Farm> {
        let sql = "SELECT MAX(r.seq) FROM record r WHERE r.kind = 'farm' AND r.seq <= ?1
                   AND NOT EXISTS
                     (SELECT 1 FROM strike s WHERE s.target_seq = r.seq AND s.seq <= ?1)";
        self.read(|conn| {
            let seq: Option<i64> = rows(conn, sql, [as_of.0])?.pop().flatten();
            get::farm(conn, seq.unwrap_or_default())
        })
    }

    /// The tickets weighed in a span, by number.
    pub fn tickets_told(&self, span: Span, listed: Listed<'_>) -> Result<Vec<TicketTold>> {
        let supplier = match listed {
            Listed::Of(supplier) => Some(supplier),
            Listed::Refused => None,
        };
        self.read(|conn| {
            let told: Vec<((String, StreamId), TicketTold)> =
                rows(conn, TICKETS, span.values_of(supplier))?;
            let differs = |(first, now): ((String, StreamId), TicketTold)| {
                let same = first.0 == now.supplier && first.1 == now.stream;
                let first = (!same).then_some(first);
                TicketTold { first, ..now }
            };
            Ok(told.into_iter().map(differs).collect())
        })
    }

    /// Tells every accepted load that was not bought: when it came and its net
    /// weight, in no certain order and without holding them all at once.
    pub fn each_load(&self, span: Span, mut tell: impl FnMut(Timestamp, Grams)) -> Result<()> {
        self.read(|conn| {
            let mut statement = conn.prepare_cached(LOADS)?;
            let mut loads = statement.query(span.values())?;
            while let Some(load) = loads.next()? {
                let (at, net) = Cells::of(load).read()?;
                tell(at, net);
            }
            Ok(())
        })
    }

    /// What stands behind every ticket number from `first` to `last`.
    pub fn numbers_told(
        &self,
        (first, last): (i64, i64),
        supplier: &str,
        span: Span,
    ) -> Result<Vec<NumberTold>> {
        let (from, to, as_of) = span.values();
        let values = (first, last, supplier, from, to, as_of);
        self.read(|conn| rows(conn, NUMBERS, values))
    }

    /// Weight picked out at the dock by kind, of a supplier or of all, bought
    /// stock left out.
    pub fn parts_picked_out(
        &self,
        span: Span,
        supplier: Option<&str>,
    ) -> Result<Vec<(String, Grams)>> {
        self.read(|conn| rows(conn, PARTS, span.values_of(supplier)))
    }

    /// How often each stream was on the scale; of a supplier only how often it
    /// was weighed in, bought stock left out.
    pub fn weighings(&self, span: Span, supplier: Option<&str>) -> Result<Vec<Weighings>> {
        self.read(|conn| {
            let mut told: Vec<Weighings> = rows(conn, WEIGHED_IN, span.values_of(supplier))?;
            if supplier.is_none() {
                told.extend(rows::<Weighings>(conn, WEIGHED_OUT, span.values())?);
            }
            Ok(told)
        })
    }

    /// Of lots taken in as feed: what was fed, and what left another way.
    pub fn feed_left(&self, span: Span) -> Result<(Grams, Grams)> {
        let left = self
            .read(|conn| rows(conn, FEED_LEFT, span.values()))?
            .pop();
        Ok(left.unwrap_or_default())
    }

    /// Records written after record `after`, up to `as_of`, that bear on
    /// weights before `to`.
    pub fn corrections(&self, after: i64, as_of: AsOf, to: Timestamp) -> Result<Vec<LateRecord>> {
        let to = instants::text_not_before(to);
        self.read(|conn| rows(conn, CORRECTIONS, (after, as_of.0, &to)))
    }
}
