use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::blend::{Mix, Trust};
use crate::quantity::Grams;
use crate::words::Said;

use crate::sheet::words::Units;

/// Tonight's sheet: the mix with what the feeder needs around it.
#[derive(Debug, Clone, PartialEq)]
pub struct MixSheet {
    /// The night, where there is a daybook.
    pub night: Option<Date>,
    pub sheet: Option<String>,
    pub seal: Option<String>,
    pub mix: Mix,
    /// One for each group of the mix, in its order; empty without a daybook.
    pub cards: Vec<GroupCard>,
    /// Supplier and age of each lot, for finding it on the shelf.
    pub lot_notes: BTreeMap<String, Said>,
    pub cautions: Vec<Said>,
    /// Where figures come from, for the sheet's foot.
    pub foot: Vec<Said>,
    pub next: Option<Said>,
    /// Why, how sure, in buckets: what else was asked for.
    pub trust: Trust,
    pub units: Units,
}

#[derive(Debug, Clone, PartialEq)]
pub struct GroupCard {
    /// Days since hatch, such as `8-9`.
    pub ages: String,
    pub trays: Vec<TrayDose>,
}

#[derive(Debug, Clone, PartialEq)]
pub struct TrayDose {
    pub cohort: String,
    pub age_days: i32,
    pub days: i32,
    pub trays: i64,
    /// Area of them all, square metres.
    pub area_m2: f64,
    /// Litres of earlier feed that lie on them, as reckoned.
    pub lies_l: f64,
    pub depth_cm: f64,
    /// The cohort's share of the group's dry matter, 0..=1.
    pub share: f64,
}

impl MixSheet {
    /// Whether why was asked: then every window stands in a table with its source
    /// and every lot that stays is named. Else the sheet is what a feeder needs, on one page.
    #[must_use]
    pub(super) fn is_in_full(&self) -> bool {
        let why = self.trust.why.as_ref();
        why.is_some_and(|why| !why.bindings.is_empty() || !why.lots.is_empty())
    }
}

impl TrayDose {
    /// What one tray gets of a mix of this weight.
    #[must_use]
    pub(super) fn per_tray(&self, wet: Grams) -> Grams {
        #[expect(clippy::cast_precision_loss, reason = "tray counts are small")]
        let kg = wet.kg() * self.share / self.trays.max(1) as f64;
        Grams::from_kg(kg).unwrap_or(Grams::ZERO)
    }

    /// Centimetres of what lies there already.
    #[must_use]
    pub(super) fn lies_cm(&self) -> f64 {
        self.lies_l / self.area_m2 / 10.0
    }

    /// The layer with a mix of this volume on it, at most, centimetres.
    #[must_use]
    pub(super) fn layer_cm(&self, mix_l: f64) -> f64 {
        self.lies_cm() + mix_l * self.share / self.area_m2 / 10.0
    }
}
