use jiff::civil::{DateTime, Weekday};
use schemars::JsonSchema;
use serde::Serialize;

use crate::quantity::Grams;
use crate::stream::StreamId;

#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Owner {
    /// This month and the eleven before it, the oldest first.
    pub trend: Vec<TrendMonth>,
    /// Accepted weight by local weekday, Monday first.
    pub weekdays: [Grams; 7],
    pub top: Vec<(StreamId, Grams)>,
    pub refused: Vec<RefusedLoad>,
    /// Feed stock that left, fed and otherwise.
    pub spoiled: Spoiled,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct TrendMonth {
    /// Such as `2026-10`.
    pub month: String,
    /// Accepted weight, bought stock left out.
    #[serde(rename = "received_g")]
    pub received: Grams,
    #[serde(rename = "diverted_g")]
    pub diverted: Grams,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RefusedLoad {
    pub number: i64,
    pub at: DateTime,
    pub supplier: String,
    pub stream: StreamId,
    pub net: Grams,
    pub reason: String,
}

/// Of the feed stock that left in the month, what did not go to the larvae.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Spoiled {
    /// Fed from lots taken in as feed.
    pub fed: Grams,
    /// Left such lots another way: compost, landfill, digester, drain ...
    pub lost: Grams,
}

impl Spoiled {
    /// The share lost, 0 to 1; `None` when nothing left.
    pub fn share(self) -> Option<f64> {
        let left = self.fed + self.lost;
        (left > Grams::ZERO).then(|| self.lost.kg() / left.kg())
    }
}

/// Monday 0 to Sunday 6.
pub fn weekday_index(day: Weekday) -> usize {
    usize::try_from(day.to_monday_zero_offset()).unwrap_or(0)
}
