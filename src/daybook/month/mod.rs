pub(super) mod closed;
pub(super) mod record;

use std::collections::BTreeMap;

use jiff::Timestamp;
use rusqlite::Connection;
use serde::Deserialize;

use crate::daybook::intake::said::{counts, told};
use crate::daybook::stock::marks::{self, Source};
use crate::daybook::store::get::rows;
use crate::daybook::store::instants;
use crate::daybook::{AsOf, Book, MonthRow, Result, Span};
use crate::quantity::{Flow, Grams};
use crate::stream::StreamId;

/// Weight fed in a span that never was in stock.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct InflowRow {
    pub stream: Option<StreamId>,
    pub grams: Grams,
}

const INFLOWS: &str =
    "SELECT i.stream, SUM(i.grams) AS grams FROM live_inflow i JOIN record r ON r.seq = i.seq
     WHERE r.at_utc >= ?1 AND r.at_utc < ?2 GROUP BY i.stream ORDER BY i.stream";

impl Book {
    /// The weights from `from` up to, not at, `to`, by supplier, stream and
    /// whether bought; rows that are all zero are left out.
    pub fn month_rows(&self, from: Timestamp, to: Timestamp) -> Result<Vec<MonthRow>> {
        Ok(self.month_rows_of(&[from, to])?.pop().unwrap_or_default())
    }

    /// The same for spans that follow each other, each from one of `bounds` to
    /// the next: a span opens with what the one before closed with.
    pub fn month_rows_of(&self, bounds: &[Timestamp]) -> Result<Vec<Vec<MonthRow>>> {
        let Some(first) = bounds.first() else {
            return Ok(Vec::new());
        };
        self.read(|conn| {
            let mut stock = marks::stock_before(conn, &instants::text_not_before(*first))?;
            let mut spans = Vec::new();
            for pair in bounds.windows(2) {
                let mut gathered: BTreeMap<Source, Flow> = BTreeMap::new();
                for (source, grams) in stock {
                    gathered.entry(source).or_default().opening = grams;
                }
                let span = Span {
                    from: pair[0],
                    to: pair[1],
                    as_of: AsOf::NOW,
                };
                moved(conn, BY_SOURCE, span, &mut gathered)?;
                gathered.retain(|_, flow| !flow.is_empty());
                let held = gathered.iter();
                stock = (held.map(|(source, flow)| (source.clone(), flow.closing))).collect();
                spans.push(gathered.into_iter().map(row).collect());
            }
            Ok(spans)
        })
    }

    /// What all suppliers brought and what became of it in a span: one row
    /// under the names `all`, or none, without stock and bought lots.
    pub fn moves_in(&self, span: Span) -> Result<Option<MonthRow>> {
        self.read(|conn| {
            let mut gathered = BTreeMap::new();
            moved(conn, TOGETHER, span, &mut gathered)?;
            Ok(gathered.into_iter().next().map(row))
        })
    }

    /// What was bought on the night or added as water from `from` up to, not
    /// at, `to`; water first, then by stream.
    pub fn inflows_between(&self, from: Timestamp, to: Timestamp) -> Result<Vec<InflowRow>> {
        self.read(|conn| rows(conn, INFLOWS, instants::span(from, to)))
    }
}

fn row(((supplier, stream, bought), flow): (Source, Flow)) -> MonthRow {
    MonthRow {
        supplier,
        stream,
        bought,
        flow,
    }
}

/// What is summed up together: the columns it is named by, and what follows the
/// conditions. Grouping by names costs more than the sums.
const BY_SOURCE: [&str; 2] = [
    "t.supplier, t.stream, t.bought",
    "GROUP BY t.supplier, t.stream, t.bought",
];
const TOGETHER: [&str; 2] = ["'all', 'all', 0", "AND NOT t.bought"];

/// Adds what came and left in the span, and so what is left at its end.
fn moved(
    conn: &Connection,
    [names, groups]: [&str; 2],
    span: Span,
    gathered: &mut BTreeMap<Source, Flow>,
) -> rusqlite::Result<()> {
    let (tickets, counts) = (told!("?3"), counts!());
    let came = format!(
        "SELECT {names}, SUM(iif(t.verdict <> 'refuse', t.net_g, 0)) AS received,
            SUM(iif(t.verdict <> 'refuse' AND t.estimated, t.net_g, 0)) AS estimated,
            SUM(iif(t.verdict = 'refuse', t.net_g, 0)) AS refused,
            COALESCE(SUM(iif(t.verdict <> 'refuse',
                (SELECT SUM(p.grams) FROM picked_out p WHERE p.seq = t.seq), 0)), 0) AS picked_out,
            SUM(t.verdict <> 'refuse') AS loads, SUM(t.verdict = 'refuse') AS refused_loads
         FROM record r CROSS JOIN {tickets} t
         WHERE t.seq = r.seq AND {counts} {groups} HAVING COUNT(*) > 0"
    );
    let sums = Flow::NAMES[Flow::LEFT].iter();
    let sums = sums.map(|way| format!("SUM(iif(o.kind = '{way}', o.grams, 0)) AS {way}"));
    let left = format!(
        "SELECT {names}, {} FROM record r CROSS JOIN outflow o ON o.seq = r.seq
             CROSS JOIN {tickets} t
         WHERE t.seq = o.lot_seq AND t.verdict <> 'refuse' AND {counts} {groups}
         HAVING COUNT(*) > 0",
        sums.collect::<Vec<_>>().join(", ")
    );
    for sql in [came, left] {
        let moved: Vec<(Source, Flow)> = rows(conn, &sql, span.values())?;
        for (source, flow) in moved {
            gathered.entry(source).or_default().add(&flow);
        }
    }
    for flow in gathered.values_mut() {
        flow.closing = flow.opening + flow.received - flow.left();
    }
    Ok(())
}

#[cfg(test)]
mod tests;
