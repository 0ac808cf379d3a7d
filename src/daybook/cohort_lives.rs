use std::collections::BTreeMap;

use jiff::Timestamp;
use jiff::civil::Date;
use rusqlite::Connection;

use super::lookup::{rows, seqs};
use super::nights::filed;
use super::{Book, Cohort, DaybookError, Entry, Filed, instants};

/// A cohort from hatch to end.
#[derive(Debug, Clone, PartialEq)]
pub struct CohortLife {
    pub cohort: Filed<Cohort>,
    /// When it ended, and why; `None` while it is on its trays.
    pub ended: Option<(Timestamp, String)>,
}

const ENDS: &str = "SELECT e.seq, e.name, r.at_utc, e.why FROM cohort_end e
     JOIN live_record r ON r.seq = e.seq WHERE r.at_utc <= ?1 ORDER BY e.seq";

impl Book {
    /// Every live cohort that came by `until`, with its end by then. An end
    /// ends the cohorts of its name written before it.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn cohort_lives(&self, until: Timestamp) -> Result<Vec<CohortLife>, DaybookError> {
        let sql = "SELECT c.seq FROM cohort c JOIN live_record r ON r.seq = c.seq
                   WHERE r.at_utc <= ?1 ORDER BY c.seq";
        let until = instants::text(until);
        self.read(|conn| lives(conn, seqs(conn, sql, [&until])?, &until))
    }

    /// The lives, whatever their instant, of cohorts that hatched on these
    /// days, both among them.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn cohort_lives_hatched(
        &self,
        first: Date,
        last: Date,
    ) -> Result<Vec<CohortLife>, DaybookError> {
        let sql = "SELECT c.seq FROM cohort c JOIN live_record r ON r.seq = c.seq
                   WHERE c.hatched BETWEEN ?1 AND ?2 ORDER BY c.seq";
        let span = [first.to_string(), last.to_string()];
        let until = instants::text(Timestamp::MAX);
        self.read(|conn| lives(conn, seqs(conn, sql, span)?, &until))
    }

    /// The lives of these cohorts, whatever their instant; a struck one has none.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn cohort_lives_of(
        &self,
        cohort_seqs: impl IntoIterator<Item = i64>,
    ) -> Result<Vec<CohortLife>, DaybookError> {
        let sql = "SELECT c.seq FROM cohort c JOIN live_record r ON r.seq = c.seq
                   WHERE c.seq = ?1";
        let until = instants::text(Timestamp::MAX);
        self.read(|conn| {
            let mut found = Vec::new();
            for cohort in cohort_seqs {
                found.extend(seqs(conn, sql, [cohort])?);
            }
            lives(conn, found, &until)
        })
    }
}

impl Book {
    /// When residue was last taken off a cohort's trays, by `until`.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn residue_taken(
        &self,
        cohort_seq: i64,
        until: Timestamp,
    ) -> Result<Option<Timestamp>, DaybookError> {
        let sql = "SELECT r.at_utc FROM harvest h JOIN live_record r ON r.seq = h.seq
                   WHERE h.cohort_seq = ?1 AND r.at_utc <= ?2
                     AND (h.residue_g IS NOT NULL OR h.residue_to IS NOT NULL)
                   ORDER BY r.at_utc DESC LIMIT 1";
        self.read(|conn| {
            let key = (cohort_seq, instants::text(until));
            let found = rows(conn, sql, key, |cells| cells.instant())?;
            Ok(found.into_iter().next())
        })
    }
}

/// The lives of these cohorts with their ends by `until`.
fn lives(conn: &Connection, found: Vec<i64>, until: &str) -> rusqlite::Result<Vec<CohortLife>> {
    let mut ends: BTreeMap<String, Vec<(i64, Timestamp, String)>> = BTreeMap::new();
    for (name, end) in rows(conn, ENDS, [until], |cells| {
        let seq = cells.cell()?;
        Ok((cells.cell()?, (seq, cells.instant()?, cells.cell()?)))
    })? {
        ends.entry(name).or_default().push(end);
    }
    let cohorts = filed(conn, found, |entry| match entry {
        Entry::Cohort(cohort) => Some(cohort),
        _ => None,
    })?;
    let ended = |cohort: &Filed<Cohort>| {
        let of_name = ends.get(&cohort.entry.name)?;
        let end = of_name.iter().find(|(seq, ..)| *seq > cohort.seq)?;
        Some((end.1, end.2.clone()))
    };
    let told = cohorts.into_iter().map(|cohort| CohortLife {
        ended: ended(&cohort),
        cohort,
    });
    Ok(told.collect())
}
