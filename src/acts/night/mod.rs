pub(super) mod cautions;
pub(super) mod fed;
pub(super) mod mix;
pub(super) mod sheet;
pub(super) mod today;
pub(super) mod tonight;
pub(super) mod trust;

use jiff::civil::Date;
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};

use crate::acts::FarmSettings;

/// A night: the day it begins on, and the instant feeding is planned for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Night {
    /// The local day the night begins on.
    pub day: Date,
    /// The instant ages are reckoned at.
    pub at: Timestamp,
}

/// Before this hour a feeder still works the night of the day before (our default).
const NIGHT_ENDS_HOUR: i8 = 4;

/// The day on which the night of an instant began.
pub(crate) fn night_begun(at: Timestamp, zone: &TimeZone) -> Date {
    (at - SignedDuration::from_hours(NIGHT_ENDS_HOUR.into()))
        .to_zoned_datetime(zone.clone())
        .date()
}

/// The night an instant belongs to; with `day`, that day's night, reckoned at
/// the same hour of the clock as `now`.
pub fn night_of(now: Timestamp, day: Option<Date>, farm: &FarmSettings) -> Night {
    let local = now.to_zoned_datetime(farm.zone.clone());
    let begun = night_begun(now, &farm.zone);
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

impl Night {
    /// 04:00, when it ends, or its instant where that is later.
    pub(in crate::acts) fn ends(&self, farm: &FarmSettings) -> Timestamp {
        let ends = self.day.tomorrow().ok().and_then(|next| {
            let end = next.at(NIGHT_ENDS_HOUR, 0, 0, 0);
            let zoned = farm.zone.to_ambiguous_zoned_datetime(end).compatible();
            zoned.ok()
        });
        ends.map_or(self.at, |end| end.timestamp().max(self.at))
    }
}

pub(crate) fn local_day(at: Timestamp, zone: &jiff::tz::TimeZone) -> Date {
    at.to_zoned_datetime(zone.clone()).date()
}
