use jiff::civil::Date;
use jiff::{SignedDuration, Timestamp};

use super::FarmSettings;

/// A night: the day it begins on, and the instant feeding is planned for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Night {
    /// The local day the night begins on.
    pub day: Date,
    /// The instant ages are reckoned at.
    pub at: Timestamp,
}

/// Before this hour a feeder still works the night of the day before (our default).
const NIGHT_ENDS_HOUR: i64 = 4;

/// The night an instant belongs to; with `day`, that day's night, reckoned at
/// the same hour of the clock as `now`.
#[must_use]
pub fn night_of(now: Timestamp, day: Option<Date>, farm: &FarmSettings) -> Night {
    let local = now.to_zoned_datetime(farm.zone.clone());
    let begun = (now - SignedDuration::from_hours(NIGHT_ENDS_HOUR))
        .to_zoned_datetime(farm.zone.clone())
        .date();
    match day {
        None => Night {
            day: begun,
            at: now,
        },
        Some(day) => {
            let days = i64::from((day - begun).get_days());
            let at = local
                .checked_add(jiff::Span::new().days(days))
                .map_or(now, |zoned| zoned.timestamp());
            Night { day, at }
        }
    }
}
