use rusqlite::{Connection, params};

use super::cells::Cells;
use super::lookup::{found, seqs};
use super::{Book, DaybookError, Entry, Filed, MonthClosed, MonthRow, get, instants};
use crate::quantity::Grams;

const HEAD: &str =
    "SELECT month, version, zone, from_utc, to_utc, night_bought_g, night_water_g, why
     FROM month_closed WHERE seq = ?1";

const FIGURES: &str = "SELECT ord, supplier, stream, bought, loads, refused_loads,
            opening_g, received_g, estimated_g, refused_g, picked_out_g, fed_g, composted_g,
            returned_g, landfilled_g, liquor_g, shrink_g, animals_g, processing_g, digestion_g,
            combustion_g, land_g, discards_g, sewer_g, closing_g
     FROM month_figure WHERE seq = ?1 ORDER BY ord";

const PUT_FIGURE: &str = "INSERT INTO month_figure
     (seq, ord, supplier, stream, bought, loads, refused_loads,
      opening_g, received_g, estimated_g, refused_g, picked_out_g, fed_g, composted_g,
      returned_g, landfilled_g, liquor_g, shrink_g, animals_g, processing_g, digestion_g,
      combustion_g, land_g, discards_g, sewer_g, closing_g)
     VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16, ?17, ?18,
             ?19, ?20, ?21, ?22, ?23, ?24, ?25, ?26)";

impl Book {
    /// The versions of a closed month, the first one first; none while it is open.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn closed_versions(&self, month: &str) -> Result<Vec<Filed<MonthClosed>>, DaybookError> {
        let sql = "SELECT seq FROM month_closed WHERE month = ?1 ORDER BY version";
        self.read(|conn| {
            let mut versions = Vec::new();
            for seq in seqs(conn, sql, [month])? {
                let record = found(conn, seq)?.map(|found| found.record.content);
                if let Some((id, at, by, Entry::MonthClosed(entry))) =
                    record.map(|record| (record.id, record.at, record.by, record.entry))
                {
                    versions.push(Filed {
                        seq,
                        id,
                        at,
                        by,
                        entry,
                    });
                }
            }
            Ok(versions)
        })
    }
}

/// Refuses a version out of turn: two people may close at once.
pub(super) fn fits(book: &Book, closed: &MonthClosed) -> Result<(), DaybookError> {
    let next = book
        .conn
        .prepare_cached("SELECT COALESCE(MAX(version), 0) + 1 FROM month_closed WHERE month = ?1")
        .and_then(|mut statement| statement.query_row([&closed.month], |row| row.get(0)))
        .map_err(|error| book.fault(error))?;
    if closed.version == next {
        return Ok(());
    }
    Err(DaybookError::VersionOutOfTurn {
        month: closed.month.clone(),
        seen: closed.version,
        next,
    })
}

pub(super) fn put(conn: &Connection, seq: i64, closed: &MonthClosed) -> rusqlite::Result<()> {
    conn.prepare_cached(
        "INSERT INTO month_closed
         (seq, month, version, zone, from_utc, to_utc, night_bought_g, night_water_g, why)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
    )?
    .execute(params![
        seq,
        closed.month,
        closed.version,
        closed.zone,
        instants::text(closed.from),
        instants::text(closed.to),
        closed.night_bought_g.get(),
        closed.night_water_g.get(),
        closed.why
    ])?;
    for (ord, row) in (0_i64..).zip(&closed.rows) {
        let mut figures = row.clone();
        let figures: Vec<i64> = (figures.figures_mut().into_iter())
            .map(|figure| figure.get())
            .collect();
        let mut values: Vec<&dyn rusqlite::ToSql> = vec![&seq, &ord, &row.supplier];
        let stream = row.stream.as_str();
        values.extend([
            &stream as &dyn rusqlite::ToSql,
            &row.bought,
            &row.loads,
            &row.refused_loads,
        ]);
        values.extend(figures.iter().map(|figure| figure as &dyn rusqlite::ToSql));
        conn.prepare_cached(PUT_FIGURE)?
            .execute(values.as_slice())?;
    }
    Ok(())
}

pub(super) fn get(conn: &Connection, seq: i64) -> rusqlite::Result<MonthClosed> {
    let rows = get::many(conn, seq, FIGURES, figure)?;
    get::one(conn, seq, HEAD, |cells| {
        Ok(MonthClosed {
            month: cells.cell()?,
            version: cells.cell()?,
            zone: cells.cell()?,
            from: cells.instant()?,
            to: cells.instant()?,
            night_bought_g: cells.grams()?,
            night_water_g: cells.grams()?,
            why: cells.cell()?,
            rows,
        })
    })
}

fn figure(cells: &mut Cells<'_>) -> rusqlite::Result<MonthRow> {
    let mut row = MonthRow::empty(cells.cell()?, cells.stream()?, cells.flag()?);
    (row.loads, row.refused_loads) = (cells.cell()?, cells.cell()?);
    for figure in row.figures_mut() {
        *figure = Grams::new(cells.cell()?);
    }
    Ok(row)
}
