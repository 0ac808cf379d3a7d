use rusqlite::Connection;

use crate::daybook::store::get::{self, rows};
use crate::daybook::{Book, DaybookError, Result};

/// Live records that need a cohort: its harvests, and money it has a part in.
pub(crate) fn hangs_on_cohort(conn: &Connection, cohort_seq: i64) -> rusqlite::Result<Vec<i64>> {
    let sql = "SELECT seq FROM (SELECT seq FROM harvest WHERE cohort_seq = ?1
                   UNION SELECT seq FROM money_cohort WHERE cohort_seq = ?1)
               JOIN live_record USING (seq) ORDER BY seq";
    rows(conn, sql, [cohort_seq])
}

/// Refuses what points to a record that is no cohort, or to a struck one.
pub(crate) fn cohorts_fit(book: &Book, cohort_seqs: &[i64]) -> Result<()> {
    let fault = |error| book.fault(error);
    for &seq in cohort_seqs {
        match get::kind(&book.conn, seq).map_err(fault)?.as_deref() {
            None => return Err(DaybookError::NoSuchRecord { seq }),
            Some("cohort") => {}
            Some(_) => return Err(DaybookError::NotACohort { seq }),
        }
        if let Some(by) = get::struck_by(&book.conn, seq).map_err(fault)? {
            return Err(DaybookError::CohortStruck { seq, by });
        }
    }
    Ok(())
}
