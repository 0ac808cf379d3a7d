use std::collections::BTreeMap;

use jiff::Timestamp;
use rusqlite::Connection;
use rusqlite::types::ValueRef;
use serde::{Deserialize, Serialize, Serializer};

use super::cells::Cells;
use super::get::rows;
use super::marks::{self, Source};
use super::said::told;
use super::{AsOf, Book, DaybookError, Outlet, instants};
use crate::quantity::Grams;
use crate::stream::StreamId;

/// The weights of one supplier's stream over a span, bought lots apart.
///
/// Always `opening + received − picked_out − fed − composted − returned −
/// landfilled − liquor − shrink − further = closing`, to the gram. Outflows count in the
/// span they happened in, by the supplier and stream of the lot they left.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct MonthRow {
    /// Who brought it.
    pub supplier: String,
    pub stream: StreamId,
    /// Whether these lots were bought; what is received is then bought.
    pub bought: bool,
    /// Left in these lots just before the span.
    pub opening_g: Grams,
    /// Net weight accepted, picked-out parts and estimates included.
    pub received_g: Grams,
    /// The part of it that was estimated from a volume.
    pub estimated_g: Grams,
    /// Net weight turned away at the dock; never in stock.
    pub refused_g: Grams,
    /// Picked out by hand, at the dock and later.
    pub picked_out_g: Grams,
    pub fed_g: Grams,
    pub composted_g: Grams,
    /// Back to the supplier.
    pub returned_g: Grams,
    pub landfilled_g: Grams,
    /// Drained off as liquor.
    pub liquor_g: Grams,
    /// Differences between scale and book; below zero where more was found.
    pub shrink_g: Grams,
    /// Left by the ways of [`Outlet::FURTHER`], in that order.
    #[serde(serialize_with = "further", skip_deserializing)]
    pub further_g: [Grams; Outlet::FURTHER.len()],
    /// Left in these lots at the end of the span.
    pub closing_g: Grams,
    /// Tickets accepted.
    pub loads: i64,
    pub refused_loads: i64,
}

/// The first seven are always part of a digest; one that came later only where
/// it holds something, so that months closed before it still verify.
fn further<S: Serializer>(grams: &[Grams], serializer: S) -> Result<S::Ok, S::Error> {
    let later = grams.iter().rposition(|grams| *grams != Grams::ZERO);
    grams[..later.map_or(0, |at| at + 1).max(7).min(grams.len())].serialize(serializer)
}

/// Weight fed in a span that never was in stock.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct InflowRow {
    /// The stream bought on the night, or `None` for water.
    pub stream: Option<StreamId>,
    /// Its weight.
    pub grams: Grams,
}

/// A record counts when it stood by record `?3` and was not struck by then.
macro_rules! counts {
    () => {
        "r.at_utc >= ?1 AND r.at_utc < ?2 AND r.seq <= ?3 AND NOT EXISTS
         (SELECT 1 FROM strike s WHERE s.target_seq = r.seq AND s.seq <= ?3)"
    };
}

const CAME: &str = concat!(
    "SELECT t.supplier, t.stream, t.bought, SUM(iif(t.verdict <> 'refuse', t.net_g, 0)),
            SUM(iif(t.verdict <> 'refuse' AND t.estimated, t.net_g, 0)),
            SUM(iif(t.verdict = 'refuse', t.net_g, 0)),
            SUM(iif(t.verdict <> 'refuse',
                (SELECT SUM(p.grams) FROM picked_out p WHERE p.seq = t.seq), 0)),
            SUM(t.verdict <> 'refuse'),
            SUM(t.verdict = 'refuse')
     FROM record r CROSS JOIN ",
    told!("?3"),
    " t WHERE t.seq = r.seq AND ",
    counts!(),
    " GROUP BY t.supplier, t.stream, t.bought"
);

const LEFT: &str = concat!(
    "SELECT t.supplier, t.stream, t.bought, SUM(iif(o.kind = 'picked_out', o.grams, 0)),
            SUM(iif(o.kind = 'fed', o.grams, 0)),
            SUM(iif(o.kind = 'composted', o.grams, 0)),
            SUM(iif(o.kind = 'returned', o.grams, 0)),
            SUM(iif(o.kind = 'landfilled', o.grams, 0)),
            SUM(iif(o.kind = 'liquor', o.grams, 0)),
            SUM(iif(o.kind = 'shrink', o.grams, 0)),
            SUM(iif(o.kind = 'animals', o.grams, 0)),
            SUM(iif(o.kind = 'processing', o.grams, 0)),
            SUM(iif(o.kind = 'digestion', o.grams, 0)),
            SUM(iif(o.kind = 'combustion', o.grams, 0)),
            SUM(iif(o.kind = 'land', o.grams, 0)),
            SUM(iif(o.kind = 'discards', o.grams, 0)),
            SUM(iif(o.kind = 'sewer', o.grams, 0))
     FROM record r CROSS JOIN outflow o ON o.seq = r.seq CROSS JOIN ",
    told!("?3"),
    " t WHERE t.seq = o.lot_seq AND t.verdict <> 'refuse' AND ",
    counts!(),
    " GROUP BY t.supplier, t.stream, t.bought"
);

const INFLOWS: &str =
    "SELECT i.stream, SUM(i.grams) AS grams FROM live_inflow i JOIN record r ON r.seq = i.seq
     WHERE r.at_utc >= ?1 AND r.at_utc < ?2 GROUP BY i.stream ORDER BY i.stream";

impl Book {
    /// The weights from `from` up to, not at, `to`, by supplier, stream and
    /// whether bought; rows that are all zero are left out.
    pub fn month_rows(
        &self,
        from: Timestamp,
        to: Timestamp,
    ) -> Result<Vec<MonthRow>, DaybookError> {
        Ok(self.month_rows_of(&[from, to])?.pop().unwrap_or_default())
    }

    /// The same for spans that follow each other, each from one of `bounds` to
    /// the next: a span opens with what the one before closed with.
    pub fn month_rows_of(&self, bounds: &[Timestamp]) -> Result<Vec<Vec<MonthRow>>, DaybookError> {
        let Some(first) = bounds.first() else {
            return Ok(Vec::new());
        };
        let told = |row: &MonthRow| row.loads > 0 || row.refused_loads > 0 || row.moved();
        self.read(|conn| {
            let mut stock = marks::stock_before(conn, &instants::text_not_before(*first))?;
            let mut spans = Vec::new();
            for pair in bounds.windows(2) {
                let mut gathered = BTreeMap::new();
                for (source, grams) in stock {
                    row_of(&mut gathered, source).opening_g = grams;
                }
                moved(
                    conn,
                    &instants::span(pair[0], pair[1]),
                    i64::MAX,
                    &mut gathered,
                )?;
                let closed = gathered.into_iter();
                let closed = closed.map(|(source, row)| (source, row.closed()));
                let closed: Vec<_> = closed.filter(|(_, row)| told(row)).collect();
                spans.push(closed.iter().map(|(_, row)| row.clone()).collect());
                let held = closed.into_iter();
                stock = held.map(|(source, row)| (source, row.closing_g)).collect();
            }
            Ok(spans)
        })
    }

    /// What all suppliers brought and what became of it from `from` up to, not
    /// at, `to`, as the book told it at `as_of`: one row under the names `all`,
    /// or none, without stock and bought lots.
    pub fn moves_between(
        &self,
        from: Timestamp,
        to: Timestamp,
        as_of: AsOf,
    ) -> Result<Option<MonthRow>, DaybookError> {
        let span = instants::span(from, to);
        self.read(|conn| {
            let mut rows = BTreeMap::new();
            for (sql, add) in ADDITIONS {
                // Grouping by names would cost more than the sums.
                let sql = sql.replace(NAMES, "'all', 'all', 0, ");
                let sql = sql.replace(GROUPS, " AND NOT t.bought");
                gather(conn, &sql, (&span, as_of.seq()), add, &mut rows)?;
            }
            Ok(rows.into_values().next().map(MonthRow::closed))
        })
    }

    /// What was bought on the night or added as water from `from` up to, not
    /// at, `to`; water first, then by stream.
    pub fn inflows_between(
        &self,
        from: Timestamp,
        to: Timestamp,
    ) -> Result<Vec<InflowRow>, DaybookError> {
        self.read(|conn| rows(conn, INFLOWS, instants::span(from, to)))
    }
}

/// Adds what came and left in the span.
fn moved(
    conn: &Connection,
    span: &[String; 2],
    as_of: i64,
    gathered: &mut BTreeMap<Source, MonthRow>,
) -> rusqlite::Result<()> {
    (ADDITIONS.into_iter())
        .try_for_each(|(sql, add)| gather(conn, sql, (span, as_of), add, gathered))
}

fn gather(
    conn: &Connection,
    sql: &str,
    (span, as_of): (&[String; 2], i64),
    add: AddCells,
    gathered: &mut BTreeMap<Source, MonthRow>,
) -> rusqlite::Result<()> {
    let mut statement = conn.prepare_cached(sql)?;
    let mut rows = statement.query((&span[0], &span[1], as_of))?;
    while let Some(row) = rows.next()? {
        let mut cells = Cells::of(row);
        let source: Source = cells.read()?;
        // A sum over no row at all is no number.
        if row.get_ref(3)? != ValueRef::Null {
            add(row_of(gathered, source), &mut cells)?;
        }
    }
    Ok(())
}

const ADDITIONS: [(&str, AddCells); 2] = [(CAME, MonthRow::add_came), (LEFT, MonthRow::add_left)];
const NAMES: &str = "t.supplier, t.stream, t.bought, ";
const GROUPS: &str = " GROUP BY t.supplier, t.stream, t.bought";

type AddCells = fn(&mut MonthRow, &mut Cells<'_>) -> rusqlite::Result<()>;

fn row_of(gathered: &mut BTreeMap<Source, MonthRow>, source: Source) -> &mut MonthRow {
    gathered
        .entry(source)
        .or_insert_with_key(|(supplier, stream, bought)| {
            MonthRow::empty(supplier.clone(), stream.clone(), *bought)
        })
}

impl MonthRow {
    pub(super) fn empty(supplier: String, stream: StreamId, bought: bool) -> Self {
        Self {
            supplier,
            stream,
            bought,
            opening_g: Grams::ZERO,
            received_g: Grams::ZERO,
            estimated_g: Grams::ZERO,
            refused_g: Grams::ZERO,
            picked_out_g: Grams::ZERO,
            fed_g: Grams::ZERO,
            composted_g: Grams::ZERO,
            returned_g: Grams::ZERO,
            landfilled_g: Grams::ZERO,
            liquor_g: Grams::ZERO,
            shrink_g: Grams::ZERO,
            further_g: [Grams::ZERO; Outlet::FURTHER.len()],
            closing_g: Grams::ZERO,
            loads: 0,
            refused_loads: 0,
        }
    }

    fn add_came(&mut self, cells: &mut Cells<'_>) -> rusqlite::Result<()> {
        self.received_g += cells.read::<Grams>()?;
        self.estimated_g += cells.read::<Grams>()?;
        self.refused_g += cells.read::<Grams>()?;
        self.picked_out_g += cells.read::<Option<Grams>>()?.unwrap_or_default();
        self.loads += cells.read::<i64>()?;
        self.refused_loads += cells.read::<i64>()?;
        Ok(())
    }

    fn add_left(&mut self, cells: &mut Cells<'_>) -> rusqlite::Result<()> {
        self.picked_out_g += cells.read::<Grams>()?;
        self.fed_g += cells.read::<Grams>()?;
        self.composted_g += cells.read::<Grams>()?;
        self.returned_g += cells.read::<Grams>()?;
        self.landfilled_g += cells.read::<Grams>()?;
        self.liquor_g += cells.read::<Grams>()?;
        self.shrink_g += cells.read::<Grams>()?;
        for further in &mut self.further_g {
            *further += cells.read::<Grams>()?;
        }
        Ok(())
    }

    /// All that left these lots in the span.
    fn left(&self) -> [Grams; 7] {
        [
            self.picked_out_g,
            self.fed_g,
            self.composted_g,
            self.returned_g,
            self.landfilled_g,
            self.liquor_g,
            self.shrink_g,
        ]
    }

    fn closed(mut self) -> Self {
        let left: Grams = self.left().into_iter().chain(self.further_g).sum();
        self.closing_g = self.opening_g + self.received_g - left;
        self
    }

    fn moved(&self) -> bool {
        let stock = [self.opening_g, self.received_g, self.closing_g];
        (stock.iter().chain(&self.left()).chain(&self.further_g)).any(|grams| *grams != Grams::ZERO)
    }

    /// Every weight, in the order of the columns of `month_figure`.
    #[cfg(test)]
    pub(super) fn figures_mut(&mut self) -> Vec<&mut Grams> {
        let mut figures = vec![
            &mut self.opening_g,
            &mut self.received_g,
            &mut self.estimated_g,
            &mut self.refused_g,
            &mut self.picked_out_g,
            &mut self.fed_g,
            &mut self.composted_g,
            &mut self.returned_g,
            &mut self.landfilled_g,
            &mut self.liquor_g,
            &mut self.shrink_g,
        ];
        figures.extend(&mut self.further_g);
        figures.push(&mut self.closing_g);
        figures
    }
}

#[cfg(test)]
mod tests;
