use std::collections::BTreeMap;

use crate::quantity::{Density, ShareAsFed, ShareOfDry};
use crate::stream::{Analyte, FlagLimits, Measure, StreamId, Window};

/// A value with the key of its source.
#[derive(Debug, Clone, PartialEq)]
pub struct Cited<T> {
    /// The value.
    pub value: T,
    /// A key of the source table.
    pub source: String,
}

/// Larvae of an age range that eat alike.
#[derive(Debug, Clone, PartialEq)]
pub struct Stage {
    /// Its name, which is the feed group's name too.
    pub name: String,
    /// First day after hatch.
    pub from_day: i32,
    /// Last day after hatch.
    pub to_day: i32,
    /// Deepest feed layer, centimetres.
    pub depth_cm: Cited<f64>,
    /// Windows and limits.
    pub windows: BTreeMap<Measure, Cited<Window>>,
    /// Largest share of the fed weight, by stream.
    pub caps: BTreeMap<StreamId, Cited<ShareAsFed>>,
    /// Values to assume where a lot's analyte is unknown.
    pub assumed: BTreeMap<Analyte, Cited<ShareOfDry>>,
    /// Bulk density to assume where a lot's is unknown.
    pub assumed_density: Option<Cited<Density>>,
    /// Ration by day after hatch, milligrams of dry matter per larva that night.
    pub ration_mg_dm: BTreeMap<i32, Cited<f64>>,
}

/// All stages, by age, and the thresholds for flags.
#[derive(Debug, Clone, PartialEq)]
pub struct StageTable {
    /// Youngest first.
    pub stages: Vec<Stage>,
    /// Thresholds for woody carbon.
    pub flag_limits: FlagLimits,
    /// Keys of every source named.
    pub sources: Vec<String>,
}

impl StageTable {
    /// The stage of larvae so many days after hatch; `None` when they are not fed.
    #[must_use]
    pub fn at_age(&self, days: i32) -> Option<&Stage> {
        self.stages
            .iter()
            .find(|stage| (stage.from_day..=stage.to_day).contains(&days))
    }
}
