//! What fills the screen once something is kept, and how it is taken back.

use jiff::Timestamp;
use schemars::JsonSchema;
use serde::Serialize;

use crate::acts::{ActError, UNDO_WITHIN};

use super::app::At;
use super::shape::made_id;

/// How many are listed below a form.
pub(super) const RECENT_SHOWN: usize = 5;

/// What was kept, in words.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub(super) struct Kept {
    /// What, in one line.
    pub(super) title: String,
    /// What else there is to know.
    pub(super) lines: Vec<String>,
    pub(super) cautions: Vec<String>,
    /// Whether it was in the book before.
    pub(super) already: bool,
    /// The record to strike to take it back.
    pub(super) record: String,
    /// The record to read on at, where there is one.
    pub(super) more: String,
}

/// Something kept lately, which may be taken back.
pub(super) struct Recent {
    /// What people call it.
    pub(super) name: String,
    /// What it says.
    pub(super) told: String,
    /// The record to strike.
    pub(super) record: String,
    pub(super) strike_id: String,
    /// Whether one touch is enough; later a reason is asked for.
    pub(super) young: bool,
}

impl Recent {
    /// One that came into the book at an instant.
    pub(super) fn of(at: &At, name: String, told: &[&str], seq: i64, since: Timestamp) -> Self {
        Self {
            name,
            told: told.join(" · "),
            record: format!("r{seq}"),
            strike_id: made_id().unwrap_or_default(),
            young: since >= at.now - UNDO_WITHIN,
        }
    }
}

/// When a record came into the book.
pub(super) fn recorded_at(at: &At, seq: i64) -> Result<Timestamp, ActError> {
    let found = at.book.record(seq)?;
    Ok(found.map_or(Timestamp::MIN, |found| found.record.recorded_at))
}
