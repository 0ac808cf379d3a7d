//! Records of a word given later: what a ticket should have said, whether a
//! lot was found fit.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use crate::quantity::wire::Text;
use crate::stream::{StreamId, Verdict};

/// What a ticket should have said, never its weights. What is `None` stands as
/// it was; a verdict goes with the stream it was given for.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Correction {
    /// Position of the ticket in the book.
    pub ticket_seq: i64,
    /// Who brought it.
    pub supplier: Option<String>,
    pub stream: Option<StreamId>,
    /// Free text.
    pub note: Option<String>,
    pub price_per_kg: Option<f64>,
    /// What staff are told to do now that the stream is another.
    pub verdict: Option<Verdict>,
    /// Why; there when the verdict is.
    pub reason: Option<String>,
    pub why: String,
}

/// A lot past its keeping time, looked at.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Look {
    /// Position of the lot's ticket in the book.
    pub lot_seq: i64,
    #[serde(with = "Text")]
    pub night: Date,
    /// Whether it may be fed that night.
    pub fit: bool,
    /// What was seen.
    pub note: Option<String>,
}
