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
    pub ticket_seq: i64,
    pub supplier: Option<String>,
    pub stream: Option<StreamId>,
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
    pub lot_seq: i64,
    #[serde(with = "Text")]
    pub night: Date,
    pub fit: bool,
    pub note: Option<String>,
}
