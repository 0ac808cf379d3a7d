mod csv;
pub(super) mod json;
mod page;
mod words;

pub use csv::ahead_table;
pub use page::{ahead_document, ahead_page};

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;

use crate::learn::Published;
use crate::outlook::{Advice, Chance, Forecast, Foreseen, Heeded, Intake, Room, fresh_larvae_kg};
use crate::quantity::Grams;
use crate::stream::StreamId;
use crate::words::{Said, say};

use super::words::Units;

#[derive(Debug, Clone, PartialEq)]
pub struct AheadSheet {
    /// The plan as it comes, its troubles, the advice and the plan with it.
    pub heeded: Heeded,
    pub forecast: Forecast,
    /// How much more of each stream could come.
    pub intakes: Vec<Intake>,
    /// Room to grow; `None` for one night.
    pub growth: Option<GrowthCard>,
    pub chance: Option<Chance>,
    /// What to buy against that, and how often then.
    pub reserve: Option<(Vec<Advice>, Chance)>,
    /// The nights the answers besides the plan are of.
    pub near_nights: usize,
    pub undone: Vec<Said>,
    /// Every stream that is there, comes or can be bought: what the legend is of.
    pub streams: BTreeSet<StreamId>,
    pub notes: Vec<Said>,
    /// By stream, kilograms and names of lots too old already or found unfit.
    pub kept_out: BTreeMap<StreamId, (f64, Vec<String>)>,
    /// How many keeping times a lot may be used on later nights.
    pub usable_keeping_times: f64,
    /// ISO 4217 code.
    pub currency: String,
    pub units: Units,
    pub seal: String,
}

/// Room to grow with what it is a factor of.
#[derive(Debug, Clone, PartialEq)]
pub struct GrowthCard {
    /// The factor, and what each stream adds to it.
    pub room: Room,
    /// Larvae due on a night, the mean.
    pub larvae: f64,
    /// Dry matter wanted a week, kilograms.
    pub dm_kg_per_week: f64,
    /// What others published of bioconversion, per cent of dry matter fed.
    pub conversion: Option<Published>,
}

impl GrowthCard {
    /// Fresh larvae a week at a factor on all demand, kilograms: at the least and
    /// the greatest published conversion.
    pub fn larvae_kg(&self, factor: f64) -> Option<(f64, f64)> {
        let range = self.conversion.as_ref()?;
        let dm_kg = self.dm_kg_per_week * factor;
        Some(fresh_larvae_kg(dm_kg, (range.low, range.high)))
    }
}

impl AheadSheet {
    /// The plan that is shown: with the advice taken.
    pub fn plan(&self) -> &Foreseen {
        &self.heeded.with_advice
    }

    pub(super) fn weight(&self, kg: f64) -> String {
        self.units.weight(Grams::from_kg(kg).unwrap_or(Grams::ZERO))
    }
}

/// `Thu 26 Nov`.
pub(super) fn day_words(day: Date) -> Said {
    let weekday = say!("weekday", day = day.weekday().to_monday_zero_offset());
    say!("ahead-day", weekday, day = day.day(), month = day.month())
}
