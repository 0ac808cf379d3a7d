//! What fills the screen once something is kept, and how it is taken back.

use jiff::Timestamp;
use schemars::JsonSchema;
use serde::Serialize;

use crate::acts::{Result, UNDO_WITHIN};
use crate::daybook::Found;

use super::app::At;
use super::shape::made_id;

/// How many are listed below a form.
pub(super) const RECENT_SHOWN: usize = 5;

/// What was kept, in words.
#[derive(Debug, Clone, Default, Serialize, JsonSchema)]
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

impl Kept {
    pub(super) fn of(title: String, seq: i64, already: bool) -> Self {
        Self {
            title,
            already,
            record: format!("r{seq}"),
            ..Self::default()
        }
    }
}

/// Something kept lately, which may be taken back.
pub(super) struct Recent {
    pub(super) name: String,
    pub(super) told: String,
    pub(super) record: String,
    pub(super) strike_id: String,
    /// Whether one touch is enough; later a reason is asked for.
    pub(super) young: bool,
}

impl Recent {
    pub(super) fn of(at: &At, name: impl Into<String>, told: &[&str], seq: i64) -> Result<Self> {
        Ok(Self {
            name: name.into(),
            told: told.join(" · "),
            record: format!("r{seq}"),
            strike_id: made_id().unwrap_or_default(),
            young: recorded_at(at, seq)? >= at.now - UNDO_WITHIN,
        })
    }
}

/// The newest of some records that stand: what they are called, and what they say.
pub(super) fn newest(
    at: &At,
    told: impl Fn(&Found) -> Result<Option<(String, Vec<String>)>>,
) -> Result<Vec<Recent>> {
    let mut recent = Vec::new();
    let standing = at.book.newest_records(40)?.into_iter();
    for found in standing.filter(|found| found.struck_by.is_none()) {
        if recent.len() == RECENT_SHOWN {
            break;
        }
        if let Some((name, words)) = told(&found)? {
            let hour = at.local(found.record.recorded_at, "%H:%M");
            let told: Vec<&str> = [&hour].into_iter().chain(&words).map(|of| &**of).collect();
            recent.push(Recent::of(at, name, &told, found.record.seq)?);
        }
    }
    Ok(recent)
}

pub(super) fn recorded_at(at: &At, seq: i64) -> Result<Timestamp> {
    let found = at.book.record(seq)?;
    Ok(found.map_or(Timestamp::MIN, |found| found.record.recorded_at))
}
