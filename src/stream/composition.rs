use std::collections::BTreeMap;

use crate::quantity::{Density, Grams, ShareAsFed, ShareOfDry};

use super::{Analyte, Class, Labels, Measure, StreamId, Verdict};

/// A value with its standard deviation, both in the value's own basis.
use crate::words::{Said, say};

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate<S> {
    pub value: S,
    /// One standard deviation, as a share; `None` when not known.
    pub sd: Option<f64>,
}

/// Whole parts that larvae leave, as a share of the weight as fed.
#[derive(Debug, Clone, PartialEq)]
pub struct Inedible {
    /// Share of the weight as fed to expect; `None` when it may be there and
    /// nobody knows how much.
    pub share: Option<ShareAsFed>,
    /// What it is: bone, shell, pit and skin, husk and cob ...
    pub kind: String,
}

impl Inedible {
    /// Whether the whole load is such parts: at least 95 % of it (our default).
    pub fn is_all(&self) -> bool {
        self.share.is_some_and(|share| share.pct() >= 95.0)
    }
}

#[derive(Debug, Clone, PartialEq)]
pub struct Stream {
    pub id: StreamId,
    pub name: String,
    pub class: Class,
    /// Moisture, wet basis; `None` when unknown.
    pub moisture: Option<Estimate<ShareAsFed>>,
    /// Analytes, of dry matter; one that is not here is unknown.
    pub analytes: BTreeMap<Analyte, Estimate<ShareOfDry>>,
    pub bulk_density: Option<Density>,
    /// Whole parts larvae leave; `None` when none are expected.
    pub inedible: Option<Inedible>,
    /// Days it keeps at ambient temperature; above zero.
    pub keeps_days: Option<f64>,
    /// Price per kilogram as fed, in the farm's currency; below zero when taking it is paid for.
    pub price_per_kg: Option<f64>,
    /// Carbon to nitrogen as tested; `None` leaves it to be reckoned from protein and ash.
    pub carbon_to_nitrogen_tested: Option<f64>,
    /// The table's stream that a farm's own one is like: what holds of that one
    /// by its id, such as a rule or a cap, holds of this one.
    pub like: Option<StreamId>,
    /// The mildest verdict the farm gives it.
    pub at_least: Option<Verdict>,
    /// A key of the source table, or a farm's own words.
    pub source: String,
    pub labels: Labels,
}

impl Stream {
    /// What people call it: shipped ones by the catalogue, a farm's own by its name.
    pub fn said(&self) -> Said {
        say!("stream-called", id = &self.id, name = &self.name)
    }

    /// Whether nobody has said yet what it is: such a load is never fed.
    pub fn is_not_listed(&self) -> bool {
        self.id.as_str() == "not-listed"
    }

    /// Its id, and that of the stream it is like.
    pub fn ids(&self) -> impl Iterator<Item = &StreamId> {
        std::iter::once(&self.id).chain(&self.like)
    }

    /// Whole parts to expect in a weight as it came in: rounded up to whole
    /// grams, so that no draw reaches into them.
    pub fn parts_in(&self, came_in: Grams) -> Grams {
        /// A share times a weight that is whole but for float noise stays whole.
        const NOISE_G: f64 = 1e-6;
        let grams = (came_in.kg() * self.inedible_share() * 1000.0 - NOISE_G).ceil();
        Grams::from_kg(grams / 1000.0).unwrap_or(Grams::ZERO)
    }

    /// What may be drawn of a weight that is still here of what came in, nothing
    /// picked out of it. Every road asks here: what one road calls edible, all do.
    pub fn edible_of(&self, here: Grams, came_in: Grams) -> Grams {
        (here - self.parts_in(came_in)).max(Grams::ZERO)
    }

    /// The share of a load that is known to be parts larvae leave; parts nobody
    /// has a figure for are asked about at the dock, not reckoned with.
    pub fn inedible_share(&self) -> f64 {
        let part = self.inedible.as_ref();
        part.and_then(|part| part.share)
            .map_or(0.0, ShareAsFed::get)
    }

    /// Whether it is food or its inedible parts, which is what the FLW
    /// Standard covers: by its label, else by its class.
    pub fn is_food(&self) -> bool {
        let by_class = !matches!(self.class, Class::Woody | Class::Manure | Class::Mineral);
        self.labels.food.unwrap_or(by_class)
    }

    pub fn analyte(&self, name: &'static str) -> Option<ShareOfDry> {
        self.analytes
            .get(&Analyte::named(name))
            .map(|estimate| estimate.value)
    }

    /// Carbon to nitrogen by weight: as tested, or reckoned when protein and
    /// ash are known and protein is not zero.
    ///
    /// Equation and sources: [`Measure::CarbonToNitrogen`].
    pub fn carbon_to_nitrogen(&self) -> Option<f64> {
        let reckoned = || Some(100.0 * self.reckoned(&Measure::CarbonToNitrogen)?);
        self.carbon_to_nitrogen_tested.or_else(reckoned)
    }

    /// A measure of dry matter from the row's own analytes; `None` if any it needs is unknown.
    pub fn reckoned(&self, measure: &Measure) -> Option<f64> {
        measure.of_shares(|analyte| Some(self.analytes.get(analyte)?.value.get()))
    }
}
