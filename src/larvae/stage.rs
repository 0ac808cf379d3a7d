use std::collections::BTreeMap;

use serde::de::Error;
use serde::{Deserialize, Deserializer};

use crate::quantity::{Density, ShareAsFed, ShareOfDry};
use crate::stream::{AgeLimits, Analyte, Class, FlagLimits, Measure, Stream, StreamId, Window};

use super::Feeding;

fn measure<'de, D: Deserializer<'de>>(from: D) -> Result<Option<Measure>, D::Error> {
    let key = String::deserialize(from)?;
    let unknown = || {
        D::Error::custom(format!(
            "`{key}`, where {} is due",
            Measure::accepted().in_english()
        ))
    };
    Measure::from_key(&key).map(Some).ok_or_else(unknown)
}

/// A value with the key of its source.
#[derive(Debug, Clone, PartialEq)]
pub struct Cited<T> {
    pub value: T,
    pub source: String,
}

/// Whose a limit is, as `limit-of` tells it, by the sources of its figures.
pub(super) fn label_of<'a>(mut sources: impl Iterator<Item = &'a str>) -> &'static str {
    if sources.all(|source| source == "our-default") {
        "our-default"
    } else {
        "stage-table"
    }
}

/// Larvae of an age range that eat alike.
#[derive(Debug, Clone, PartialEq)]
pub struct Stage {
    /// Its name, which is the feed group's name too.
    pub name: String,
    /// Names that records made before may call it.
    pub was: Vec<String>,
    pub from_day: i32,
    pub to_day: i32,
    /// Deepest layer on the trays, centimetres.
    pub depth_cm: Cited<f64>,
    pub feeding: Cited<Feeding>,
    pub windows: BTreeMap<Measure, Cited<Window>>,
    pub caps: Vec<Cap>,
    /// Values to assume where a lot's analyte is unknown.
    pub assumed: BTreeMap<Analyte, Cited<ShareOfDry>>,
    /// Bulk density to assume where a lot's is unknown.
    pub assumed_density: Option<Cited<Density>>,
    /// Ration by day after hatch, milligrams of dry matter per larva that night.
    pub ration_mg_dm: BTreeMap<i32, Cited<f64>>,
}

/// The largest share of the fed weight that a kind of stream may have.
#[derive(Debug, Clone, PartialEq)]
pub struct Cap {
    /// A stream, a class, or a word such as `citrus`.
    pub name: StreamId,
    /// Further words for the same kind.
    pub also: Vec<StreamId>,
    /// The share; zero where larvae get none of it.
    pub share: Cited<ShareAsFed>,
}

impl Cap {
    /// Whether it covers a stream by its class, or by a whole word of its id,
    /// so that a farm's own `citrus-halves` counts as citrus.
    fn covers(&self, stream: &Stream) -> bool {
        let is_word = |name: &StreamId| {
            let mut words = stream.ids().flat_map(|id| id.as_str().split('-'));
            words.any(|word| word == name.as_str())
        };
        Class::parse(self.name.as_str()) == Some(stream.class)
            || std::iter::once(&self.name).chain(&self.also).any(is_word)
    }
}

/// What a study compared that bears on a window, and what came of it.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WindowStudy {
    /// The measure; `None` for all windows together.
    #[serde(default, deserialize_with = "measure")]
    pub measure: Option<Measure>,
    pub study: String,
    /// How many boxes or diets; `None` where it was not told.
    pub n: Option<u32>,
    pub compared: String,
    pub result: String,
    pub source: String,
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RationStudy {
    pub study: String,
    /// What was fed, and how often.
    pub fed: String,
    pub mg_dm: (f64, f64),
    pub days: (f64, f64),
    pub result: String,
    pub source: String,
}

impl Stage {
    /// The cap a stream falls under: its own before one of its kind, of those the first.
    pub fn cap_of(&self, stream: &Stream) -> Option<&Cap> {
        let own = self.caps.iter().find(|cap| cap.name == stream.id);
        own.or_else(|| self.caps.iter().find(|cap| cap.covers(stream)))
    }

    /// Litres that a kilogram of dry matter fills in feed as this stage wants
    /// it: moisture in the middle of its window (else 70 %), bulk density as
    /// it assumes (else 450 kg/m3); our defaults.
    pub fn litres_per_dry_kg(&self) -> f64 {
        let window = self
            .windows
            .get(&Measure::Moisture)
            .map(|cited| cited.value);
        let moisture = window
            .and_then(|window| Some((window.min? + window.max?) / 2.0))
            .unwrap_or(0.7);
        self.litres_per_kg() / (1.0 - moisture)
    }

    pub fn litres_per_kg(&self) -> f64 {
        let assumed = self.assumed_density.as_ref();
        assumed.map_or(1.0 / 0.45, |density| density.value.litres_per_kg())
    }
}

#[derive(Debug, Clone, PartialEq)]
pub struct StageTable {
    /// Youngest first.
    pub stages: Vec<Stage>,
    pub flag_limits: FlagLimits,
    pub ages: AgeLimits,
    /// Share of the weight of feed that is gone from the trays by the next meals, 0..=1.
    pub reduction: Cited<f64>,
    pub window_studies: Vec<WindowStudy>,
    pub ration_studies: Vec<RationStudy>,
    pub sources: Vec<String>,
}

impl Stage {
    /// Whether a record's feed group is this stage, by its name now or an earlier one.
    pub fn goes_by(&self, group: &str) -> bool {
        self.name == group || self.was.iter().any(|name| name == group)
    }
}

impl StageTable {
    /// The stage of larvae so many days after hatch; `None` when they are not fed.
    pub fn at_age(&self, days: i32) -> Option<&Stage> {
        self.stages
            .iter()
            .find(|stage| (stage.from_day..=stage.to_day).contains(&days))
    }

    /// Ration of a day after hatch, mg of dry matter a larva; `None` when nothing is due.
    pub fn ration_mg(&self, days: i32) -> Option<f64> {
        let ration = self.at_age(days)?.ration_mg_dm.get(&days)?.value;
        (ration > 0.0).then_some(ration)
    }
}
