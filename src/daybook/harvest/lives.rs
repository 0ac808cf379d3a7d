use std::collections::BTreeMap;

use jiff::Timestamp;
use jiff::civil::Date;
use rusqlite::Connection;

use crate::daybook::night::live;
use crate::daybook::store::get::rows;
use crate::daybook::store::instants;
use crate::daybook::{Book, Cohort, Filed, Result};

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
    pub fn cohort_lives(&self, until: Timestamp) -> Result<Vec<CohortLife>> {
        let until = instants::text(until);
        self.read(|conn| {
            lives(
                conn,
                live(conn, "cohort", "WHERE r.at_utc <= ?1", [&until])?,
                &until,
            )
        })
    }

    /// The lives, whatever their instant, of cohorts that hatched on these
    /// days, both among them.
    pub fn cohort_lives_hatched(&self, first: Date, last: Date) -> Result<Vec<CohortLife>> {
        let span = [first.to_string(), last.to_string()];
        let until = instants::text(Timestamp::MAX);
        let which = "WHERE x.hatched BETWEEN ?1 AND ?2";
        self.read(|conn| lives(conn, live(conn, "cohort", which, span)?, &until))
    }

    /// The lives of these cohorts, whatever their instant; a struck one has none.
    pub fn cohort_lives_of(
        &self,
        cohort_seqs: impl IntoIterator<Item = i64>,
    ) -> Result<Vec<CohortLife>> {
        let until = instants::text(Timestamp::MAX);
        self.read(|conn| {
            let of = |cohort| live(conn, "cohort", "WHERE x.seq = ?1", [cohort]);
            let found: rusqlite::Result<Vec<_>> = cohort_seqs.into_iter().map(of).collect();
            lives(conn, found?.concat(), &until)
        })
    }

    /// When residue was last taken off a cohort's trays, by `until`.
    pub fn residue_taken(&self, cohort_seq: i64, until: Timestamp) -> Result<Option<Timestamp>> {
        let sql = "SELECT r.at_utc FROM harvest h JOIN live_record r ON r.seq = h.seq
                   WHERE h.cohort_seq = ?1 AND r.at_utc <= ?2
                     AND (h.residue_g IS NOT NULL OR h.residue_to IS NOT NULL)
                   ORDER BY r.at_utc DESC LIMIT 1";
        self.read(|conn| {
            let found = rows(conn, sql, (cohort_seq, instants::text(until)))?;
            Ok(found.into_iter().next())
        })
    }
}

fn lives(
    conn: &Connection,
    cohorts: Vec<Filed<Cohort>>,
    until: &str,
) -> rusqlite::Result<Vec<CohortLife>> {
    let ends: Vec<(i64, String, Timestamp, String)> = rows(conn, ENDS, [until])?;
    let mut by_name: BTreeMap<String, Vec<(i64, Timestamp, String)>> = BTreeMap::new();
    for (seq, name, at, why) in ends {
        by_name.entry(name).or_default().push((seq, at, why));
    }
    let ended = |cohort: &Filed<Cohort>| {
        let of_name = by_name.get(&cohort.entry.name)?;
        let end = of_name.iter().find(|(seq, ..)| *seq > cohort.seq)?;
        Some((end.1, end.2.clone()))
    };
    let told = cohorts.into_iter().map(|cohort| CohortLife {
        ended: ended(&cohort),
        cohort,
    });
    Ok(told.collect())
}
