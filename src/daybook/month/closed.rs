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
    let versions = book.closed_versions(&closed.month)?;
    let next = versions.last().map_or(1, |last| last.entry.version + 1);
    if closed.version == next {
        return Ok(());
    }
    Err(DaybookError::VersionOutOfTurn {
        month: closed.month.clone(),
        seen: closed.version,
        next,
    })
}
