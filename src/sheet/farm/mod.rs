//! The farm's larvae, their stages and the streams it takes.

pub(super) mod cohorts;
mod stages;
pub(super) mod streams;

pub use cohorts::{CohortNow, cohorts_document};
pub use stages::{stages_document, stages_json};
pub use streams::{StreamLine, streams_document};
