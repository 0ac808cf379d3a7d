use jiff::Timestamp;
use jiff::civil::Date;
use rusqlite::Connection;

use super::error::BadRows;
use super::lookup::seqs;
use super::{Book, Cohort, DaybookError, Entry, Fed, Filed, Look, Sheet, get, instants};

impl Book {
    /// Cohorts that came by `until` and had not ended by then, by number. An
    /// end ends every cohort of its name written before it.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn cohorts(&self, until: Timestamp) -> Result<Vec<Filed<Cohort>>, DaybookError> {
        // The last end of each name once, not all ends for each cohort.
        let sql = "SELECT c.seq FROM cohort c JOIN live_record r ON r.seq = c.seq
                   LEFT JOIN (
                       SELECT e.name, MAX(e.seq) AS seq FROM cohort_end e
                       JOIN live_record x ON x.seq = e.seq
                       WHERE x.at_utc <= ?1 GROUP BY e.name) AS ended ON ended.name = c.name
                   WHERE r.at_utc <= ?1 AND (ended.seq IS NULL OR ended.seq < c.seq)
                   ORDER BY c.seq";
        self.read(|conn| {
            filed(
                conn,
                seqs(conn, sql, [instants::text(until)])?,
                |entry| match entry {
                    Entry::Cohort(cohort) => Some(cohort),
                    _ => None,
                },
            )
        })
    }

    /// The newest live sheet of a night.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn newest_sheet(&self, night: Date) -> Result<Option<Filed<Sheet>>, DaybookError> {
        let sql = "SELECT s.seq FROM sheet s JOIN live_record r ON r.seq = s.seq
                   WHERE s.night = ?1 ORDER BY s.seq DESC LIMIT 1";
        self.read(|conn| sheets(conn, seqs(conn, sql, [night.to_string()])?))
    }

    /// A live sheet by its record's number.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn sheet(&self, seq: i64) -> Result<Option<Filed<Sheet>>, DaybookError> {
        let sql = "SELECT s.seq FROM sheet s JOIN live_record r ON r.seq = s.seq
                   WHERE s.seq = ?1";
        self.read(|conn| sheets(conn, seqs(conn, sql, [seq])?))
    }

    /// Looks at lots for a night, told by `until`, in the order of writing.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn looks(&self, night: Date, until: Timestamp) -> Result<Vec<Filed<Look>>, DaybookError> {
        let sql = "SELECT l.seq FROM look l JOIN live_record r ON r.seq = l.seq
                   WHERE l.night = ?1 AND r.at_utc <= ?2 ORDER BY l.seq";
        self.read(|conn| {
            let found = seqs(conn, sql, [night.to_string(), instants::text(until)])?;
            filed(conn, found, |entry| match entry {
                Entry::Look(look) => Some(look),
                _ => None,
            })
        })
    }

    /// What was fed for a night, in the order of writing.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn fed_on(&self, night: Date) -> Result<Vec<Filed<Fed>>, DaybookError> {
        let sql = "SELECT f.seq FROM fed f JOIN live_record r ON r.seq = f.seq
                   WHERE f.night = ?1 ORDER BY f.seq";
        self.read(|conn| {
            filed(
                conn,
                seqs(conn, sql, [night.to_string()])?,
                |entry| match entry {
                    Entry::Fed(fed) => Some(fed),
                    _ => None,
                },
            )
        })
    }
}

fn sheets(conn: &Connection, seqs: Vec<i64>) -> rusqlite::Result<Option<Filed<Sheet>>> {
    let sheets = filed(conn, seqs, |entry| match entry {
        Entry::Sheet(sheet) => Some(sheet),
        _ => None,
    })?;
    Ok(sheets.into_iter().next())
}

pub(super) fn filed<T>(
    conn: &Connection,
    seqs: Vec<i64>,
    of_kind: impl Fn(Entry) -> Option<T>,
) -> rusqlite::Result<Vec<Filed<T>>> {
    let one = |seq| {
        let misplaced = || BadRows::as_sqlite(seq, "a row in the table of another kind");
        let record = get::record(conn, seq)?.ok_or_else(misplaced)?;
        let content = record.content;
        Ok(Filed {
            seq,
            id: content.id,
            at: content.at,
            by: content.by,
            entry: of_kind(content.entry).ok_or_else(misplaced)?,
        })
    };
    seqs.into_iter().map(one).collect()
}
