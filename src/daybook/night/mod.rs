use jiff::Timestamp;
use jiff::civil::Date;
use rusqlite::{Connection, Params};

use crate::daybook::error::BadRows;
use crate::daybook::store::get::rows;
use crate::daybook::store::{get, instants};
use crate::daybook::{Book, Cohort, Entry, Fed, Filed, Look, Result, Sheet};

impl Book {
    /// Live records of a kind, by its table `x`, which leads, and their records
    /// `r`. Each stands once, in the order of writing where `which` says no other.
    pub(in crate::daybook) fn live<T: TryFrom<Entry>>(
        &self,
        table: &str,
        which: &str,
        values: impl Params,
    ) -> Result<Vec<Filed<T>>> {
        self.read(|conn| live(conn, table, which, values))
    }

    /// Cohorts that came by `until` and had not ended by then, by number. An
    /// end ends every cohort of its name written before it.
    pub fn cohorts(&self, until: Timestamp) -> Result<Vec<Filed<Cohort>>> {
        // The last end of each name once, not all ends for each cohort.
        let which = "LEFT JOIN (
                         SELECT e.name, MAX(e.seq) AS seq FROM cohort_end e
                         JOIN live_record r ON r.seq = e.seq
                         WHERE r.at_utc <= ?1 GROUP BY e.name) AS ended ON ended.name = x.name
                     WHERE r.at_utc <= ?1 AND (ended.seq IS NULL OR ended.seq < x.seq)";
        self.live("cohort", which, [instants::text(until)])
    }

    pub fn newest_sheet(&self, night: Date) -> Result<Option<Filed<Sheet>>> {
        let which = "WHERE x.night = ?1 ORDER BY x.seq DESC LIMIT 1";
        Ok(self.live("sheet", which, [night.to_string()])?.pop())
    }

    pub fn sheet(&self, seq: i64) -> Result<Option<Filed<Sheet>>> {
        Ok(self.live("sheet", "WHERE x.seq = ?1", [seq])?.pop())
    }

    /// Looks at lots for a night, told by `until`, in the order of writing.
    pub fn looks(&self, night: Date, until: Timestamp) -> Result<Vec<Filed<Look>>> {
        let values = [night.to_string(), instants::text(until)];
        self.live("look", "WHERE x.night = ?1 AND r.at_utc <= ?2", values)
    }

    /// What was fed for a night, in the order of writing.
    pub fn fed_on(&self, night: Date) -> Result<Vec<Filed<Fed>>> {
        self.live("fed", "WHERE x.night = ?1", [night.to_string()])
    }
}

/// As [`Book::live`].
pub(crate) fn live<T: TryFrom<Entry>>(
    conn: &Connection,
    table: &str,
    which: &str,
    values: impl Params,
) -> rusqlite::Result<Vec<Filed<T>>> {
    let order = if which.contains("ORDER BY") {
        ""
    } else {
        "ORDER BY x.seq"
    };
    let sql = format!(
        "SELECT x.seq FROM {table} x CROSS JOIN live_record r ON r.seq = x.seq {which} {order}"
    );
    let one = |seq| {
        let misplaced = || BadRows::as_sqlite(seq, "a row in the table of another kind");
        let record = get::record(conn, seq)?.ok_or_else(misplaced)?;
        let content = record.content;
        Ok(Filed {
            seq,
            id: content.id,
            at: content.at,
            by: content.by,
            entry: T::try_from(content.entry).map_err(|_| misplaced())?,
        })
    };
    rows(conn, &sql, values)?.into_iter().map(one).collect()
}
