use std::collections::{BTreeMap, HashMap};

use jiff::Timestamp;
use rusqlite::Connection;

use super::cells::Cells;
use super::lookup::rows;
use super::lots::{left_by_lot, struck};
use super::{Book, DaybookError, instants};
use crate::quantity::Grams;
use crate::stream::StreamId;

/// The weights of one supplier's stream over a span, bought lots apart.
///
/// Always `opening + received − picked_out − fed − composted − returned −
/// landfilled − liquor − shrink = closing`, to the gram. Outflows count in the
/// span they happened in, by the supplier and stream of the lot they left.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MonthRow {
    /// Who brought it.
    pub supplier: String,
    /// What it is.
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
    /// Fed to the larvae.
    pub fed_g: Grams,
    /// To compost.
    pub composted_g: Grams,
    /// Back to the supplier.
    pub returned_g: Grams,
    /// To landfill.
    pub landfilled_g: Grams,
    /// Drained off as liquor.
    pub liquor_g: Grams,
    /// Differences between scale and book; below zero where more was found.
    pub shrink_g: Grams,
    /// Left in these lots at the end of the span.
    pub closing_g: Grams,
    /// Tickets accepted.
    pub loads: i64,
    /// Tickets refused.
    pub refused_loads: i64,
}

/// Weight fed in a span that never was in stock.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct InflowRow {
    /// The stream bought on the night, or `None` for water.
    pub stream: Option<StreamId>,
    /// Its weight.
    pub grams: Grams,
}

/// Every lot before the span, read from the index alone and in its order.
const CAME_BEFORE: &str = "SELECT supplier, stream, bought, seq, net_g FROM ticket
     WHERE at_utc < ?1 AND verdict <> 'refuse' ORDER BY supplier, stream, bought";

const PICKED_BEFORE: &str =
    "SELECT p.seq, SUM(p.grams) FROM picked_out p JOIN ticket t ON t.seq = p.seq
     WHERE t.at_utc < ?1 GROUP BY p.seq";

/// From here on only what happened in the span is visited.
const CAME: &str = "SELECT t.supplier, t.stream, t.bought,
            SUM(iif(t.verdict <> 'refuse', t.net_g, 0)),
            SUM(iif(t.verdict <> 'refuse' AND t.estimated, t.net_g, 0)),
            SUM(iif(t.verdict = 'refuse', t.net_g, 0)),
            SUM(t.verdict <> 'refuse'),
            SUM(t.verdict = 'refuse')
     FROM live_record r CROSS JOIN ticket t ON t.seq = r.seq
     WHERE r.at_utc >= ?1 AND r.at_utc < ?2
     GROUP BY t.supplier, t.stream, t.bought";

const PICKED: &str = "SELECT t.supplier, t.stream, t.bought, SUM(p.grams)
     FROM live_record r CROSS JOIN ticket t ON t.seq = r.seq
     CROSS JOIN picked_out p ON p.seq = r.seq
     WHERE r.at_utc >= ?1 AND r.at_utc < ?2 AND t.verdict <> 'refuse'
     GROUP BY t.supplier, t.stream, t.bought";

const LEFT: &str = "SELECT t.supplier, t.stream, t.bought,
            SUM(iif(o.kind = 'picked_out', o.grams, 0)),
            SUM(iif(o.kind = 'fed', o.grams, 0)),
            SUM(iif(o.kind = 'composted', o.grams, 0)),
            SUM(iif(o.kind = 'returned', o.grams, 0)),
            SUM(iif(o.kind = 'landfilled', o.grams, 0)),
            SUM(iif(o.kind = 'liquor', o.grams, 0)),
            SUM(iif(o.kind = 'shrink', o.grams, 0))
     FROM live_record r CROSS JOIN outflow o ON o.seq = r.seq
     CROSS JOIN live_ticket t ON t.seq = o.lot_seq
     WHERE r.at_utc >= ?1 AND r.at_utc < ?2 AND t.verdict <> 'refuse'
     GROUP BY t.supplier, t.stream, t.bought";

const INFLOWS: &str =
    "SELECT i.stream, SUM(i.grams) FROM live_inflow i JOIN record r ON r.seq = i.seq
     WHERE r.at_utc >= ?1 AND r.at_utc < ?2 GROUP BY i.stream ORDER BY i.stream";

impl Book {
    /// The weights from `from` up to, not at, `to`, by supplier, stream and
    /// whether bought; rows that are all zero are left out.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn month_rows(
        &self,
        from: Timestamp,
        to: Timestamp,
    ) -> Result<Vec<MonthRow>, DaybookError> {
        let span = span(from, to);
        let rows = self.read(|conn| gathered(conn, &span))?;
        let told = |row: &MonthRow| row.loads > 0 || row.refused_loads > 0 || row.moved();
        Ok(rows
            .into_values()
            .map(MonthRow::closed)
            .filter(told)
            .collect())
    }

    /// What was bought on the night or added as water from `from` up to, not
    /// at, `to`; water first, then by stream.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn inflows_between(
        &self,
        from: Timestamp,
        to: Timestamp,
    ) -> Result<Vec<InflowRow>, DaybookError> {
        self.read(|conn| {
            rows(conn, INFLOWS, span(from, to), |cells| {
                Ok(InflowRow {
                    stream: cells.text_if_any(StreamId::parse)?,
                    grams: cells.grams()?,
                })
            })
        })
    }
}

fn span(from: Timestamp, to: Timestamp) -> [String; 2] {
    [from, to].map(instants::text_not_before)
}

type Source = (String, StreamId, bool);

fn gathered(conn: &Connection, span: &[String; 2]) -> rusqlite::Result<BTreeMap<Source, MonthRow>> {
    let mut gathered: BTreeMap<Source, MonthRow> = BTreeMap::new();
    open(conn, &span[0], &mut gathered)?;
    let additions: [(&str, AddCells); 3] = [
        (CAME, MonthRow::add_came),
        (PICKED, MonthRow::add_picked),
        (LEFT, MonthRow::add_left),
    ];
    for (sql, add) in additions {
        let mut statement = conn.prepare_cached(sql)?;
        let mut rows = statement.query([&span[0], &span[1]])?;
        while let Some(row) = rows.next()? {
            let mut cells = Cells::of(row);
            let source = (cells.cell()?, cells.stream()?, cells.cell()?);
            add(row_of(&mut gathered, source), &mut cells)?;
        }
    }
    Ok(gathered)
}

type AddCells = fn(&mut MonthRow, &mut Cells<'_>) -> rusqlite::Result<()>;

fn row_of(gathered: &mut BTreeMap<Source, MonthRow>, source: Source) -> &mut MonthRow {
    gathered
        .entry(source)
        .or_insert_with_key(|(supplier, stream, bought)| {
            MonthRow::empty(supplier.clone(), stream.clone(), *bought)
        })
}

/// What was left just before `from`. Weights that left are joined here: a
/// search per ticket, or sorting them by supplier, would cost more than all else.
fn open(
    conn: &Connection,
    from: &str,
    gathered: &mut BTreeMap<Source, MonthRow>,
) -> rusqlite::Result<()> {
    let left = left_by_lot(conn, "at_utc < ?1", from)?;
    let picked: HashMap<i64, Grams> = rows(conn, PICKED_BEFORE, [from], |cells| {
        Ok((cells.cell()?, cells.grams()?))
    })?
    .into_iter()
    .collect();
    let struck = struck(conn)?;
    let of = |map: &HashMap<i64, Grams>, seq| map.get(&seq).copied().unwrap_or_default();
    let mut statement = conn.prepare_cached(CAME_BEFORE)?;
    let mut tickets = statement.query([from])?;
    let mut row: Option<MonthRow> = None;
    let put_away = |row: Option<MonthRow>, gathered: &mut BTreeMap<_, _>| {
        if let Some(row) = row {
            let source = (row.supplier.clone(), row.stream.clone(), row.bought);
            gathered.insert(source, row);
        }
    };
    while let Some(ticket) = tickets.next()? {
        let mut cells = Cells::of(ticket);
        let same = match &row {
            Some(row) => {
                cells.is_text(&row.supplier)?
                    & cells.is_text(row.stream.as_str())?
                    & (cells.cell::<bool>()? == row.bought)
            }
            None => false,
        };
        if !same {
            cells = Cells::of(ticket);
            let next = MonthRow::empty(cells.cell()?, cells.stream()?, cells.cell()?);
            put_away(row.replace(next), gathered);
        }
        let (seq, net_g) = (cells.cell()?, cells.grams()?);
        if let Some(row) = row.as_mut().filter(|_| !struck.contains(&seq)) {
            row.opening_g += net_g - of(&picked, seq) - of(&left, seq);
        }
    }
    put_away(row, gathered);
    Ok(())
}

impl MonthRow {
    fn empty(supplier: String, stream: StreamId, bought: bool) -> Self {
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
            closing_g: Grams::ZERO,
            loads: 0,
            refused_loads: 0,
        }
    }

    fn add_came(&mut self, cells: &mut Cells<'_>) -> rusqlite::Result<()> {
        self.received_g += cells.grams()?;
        self.estimated_g += cells.grams()?;
        self.refused_g += cells.grams()?;
        self.loads += cells.cell::<i64>()?;
        self.refused_loads += cells.cell::<i64>()?;
        Ok(())
    }

    fn add_picked(&mut self, cells: &mut Cells<'_>) -> rusqlite::Result<()> {
        self.picked_out_g += cells.grams()?;
        Ok(())
    }

    fn add_left(&mut self, cells: &mut Cells<'_>) -> rusqlite::Result<()> {
        self.picked_out_g += cells.grams()?;
        self.fed_g += cells.grams()?;
        self.composted_g += cells.grams()?;
        self.returned_g += cells.grams()?;
        self.landfilled_g += cells.grams()?;
        self.liquor_g += cells.grams()?;
        self.shrink_g += cells.grams()?;
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
        let left: Grams = self.left().into_iter().sum();
        self.closing_g = self.opening_g + self.received_g - left;
        self
    }

    fn moved(&self) -> bool {
        let stock = [self.opening_g, self.received_g, self.closing_g];
        (stock.iter().chain(&self.left())).any(|grams| *grams != Grams::ZERO)
    }
}

#[cfg(test)]
mod tests;
