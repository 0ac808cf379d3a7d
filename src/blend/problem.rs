use std::collections::BTreeMap;

use crate::quantity::{Density, Division, Grams, Litres, ShareAsFed, ShareOfDry};
use crate::stream::{Analyte, Measure, Stream, StreamId, Window};

/// What a kilogram is made of. Absent is unknown, never zero.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Composition {
    /// Moisture, wet basis.
    pub moisture: Option<ShareAsFed>,
    /// Analytes, of dry matter.
    pub analytes: BTreeMap<Analyte, ShareOfDry>,
    /// Settled bulk density.
    pub density: Option<Density>,
}

impl Composition {
    /// The book values of a stream.
    #[must_use]
    pub fn of(stream: &Stream) -> Self {
        Self {
            moisture: stream.moisture.map(|estimate| estimate.value),
            analytes: stream
                .analytes
                .iter()
                .map(|(analyte, estimate)| (analyte.clone(), estimate.value))
                .collect(),
            density: stream.bulk_density,
        }
    }
}

/// A lot on hand.
#[derive(Debug, Clone, PartialEq)]
pub struct Lot {
    /// Its name, unique in the problem.
    pub name: String,
    /// What it is.
    pub stream: StreamId,
    /// Weight on hand.
    pub on_hand: Grams,
    /// Weight that may be drawn: on hand less whole parts that larvae leave.
    pub edible: Grams,
    /// What it is made of: its own test where there is one, else the book.
    pub composition: Composition,
    /// Price per kilogram as fed; nothing to pay is zero.
    pub price_per_kg: f64,
    /// Days since it came in.
    pub age_days: f64,
    /// Days its stream keeps.
    pub keeps_days: Option<f64>,
    /// Buckets it fills, for telling draws in buckets.
    pub buckets: f64,
    /// Why it stays out of every mix, if it does.
    pub barred: Option<String>,
}

impl Lot {
    /// Share of its keeping time that is used up, 0..=1; 0 when the keeping time is unknown.
    #[must_use]
    pub fn urgency(&self) -> f64 {
        self.keeps_days
            .map_or(0.0, |keeps| (self.age_days / keeps).clamp(0.0, 1.0))
    }
}

/// Something that can be bought for tonight.
#[derive(Debug, Clone, PartialEq)]
pub struct Purchase {
    /// What it is.
    pub stream: StreamId,
    /// What it is made of.
    pub composition: Composition,
    /// Price per kilogram as fed.
    pub price_per_kg: f64,
    /// The most that can be had.
    pub limit: Grams,
}

/// Trays fed the same mix.
#[derive(Debug, Clone, PartialEq)]
pub struct Group {
    /// Its name, unique in the problem.
    pub name: String,
    /// Dry matter wanted, kilograms, above zero.
    pub dry_matter_kg: f64,
    /// What its trays hold, if that binds.
    pub volume: Option<Litres>,
    /// Windows and limits on the mix.
    pub windows: BTreeMap<Measure, Window>,
    /// Largest share of the fed weight, by stream.
    pub caps: BTreeMap<StreamId, ShareAsFed>,
    /// What to assume of an analyte that is unknown.
    pub assumed: BTreeMap<Analyte, ShareOfDry>,
    /// What to assume of a bulk density that is unknown.
    pub assumed_density: Option<Density>,
}

/// One night's blend as plain data.
#[derive(Debug, Clone, PartialEq)]
pub struct Problem {
    /// Lots on hand.
    pub lots: Vec<Lot>,
    /// What can be bought.
    pub purchases: Vec<Purchase>,
    /// The most water that may be added, over all groups.
    pub water_limit: Grams,
    /// Feed groups; all share the stock.
    pub groups: Vec<Group>,
    /// The scale every weight on the sheet is rounded to.
    pub division: Division,
}
