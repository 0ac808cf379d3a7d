use crate::daybook::{Book, DaybookError, Filed, MonthClosed, Result};

impl Book {
    /// The versions of a closed month, the first one first; none while it is open.
    pub fn closed_versions(&self, month: &str) -> Result<Vec<Filed<MonthClosed>>> {
        self.live(
            "month_closed",
            "WHERE x.month = ?1 ORDER BY x.version",
            [month],
        )
    }
}

/// Refuses a version out of turn: two people may close at once.
pub(crate) fn fits(book: &Book, closed: &MonthClosed) -> Result<()> {
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
