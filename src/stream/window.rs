use std::fmt;

use schemars::JsonSchema;
use serde::Serialize;

use crate::quantity::wire::Pct;
use crate::words::{Said, say};

use super::Analyte;
use super::analyte::NFC_KEY;

/// A figure of a mix that a window can hold.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Measure {
    /// Moisture, of the weight as fed.
    Moisture,
    /// An analyte, of dry matter.
    Analyte(Analyte),
    /// What protein, fat, fibre and ash leave of dry matter; unknown if any of them is.
    NonFibreCarbohydrate,
    /// Carbon to nitrogen by weight, from ash and protein; unknown if either is.
    /// Its values and bounds are hundredths of the ratio, so that 100 times a
    /// value is what people read, as with per cent.
    CarbonToNitrogen,
}

/// Carbon of dry matter without ash: C = (100 − ash)/1.8 (Gotaas 1956, as
/// given by Polprasert, Organic Waste Recycling; stated accuracy 2-10 %).
pub const CARBON_DIVISOR: f64 = 1.8;
/// Crude protein is nitrogen times this (the usual factor of feed analysis).
pub const PROTEIN_OF_NITROGEN: f64 = 6.25;
/// Protein at which a row on C:N counts like one on a share of dry matter (our default).
const USUAL_PROTEIN: f64 = 0.16;

/// A constant and a multiple of each analyte's share of dry matter.
#[derive(Debug, Clone, PartialEq)]
pub struct Linear {
    pub constant: f64,
    pub by: Vec<(Analyte, f64)>,
}

impl Linear {
    fn of(constant: f64, by: &[(&'static str, f64)]) -> Self {
        let by = by
            .iter()
            .map(|(name, factor)| (Analyte::named(name), *factor));
        Self {
            constant,
            by: by.collect(),
        }
    }

    /// The value where the shares are known; `None` if any is not.
    pub fn at(&self, share: impl Fn(&Analyte) -> Option<f64>) -> Option<f64> {
        self.by
            .iter()
            .try_fold(self.constant, |sum, (analyte, factor)| {
                Some(sum + factor * share(analyte)?)
            })
    }

    /// How far it moves with one analyte.
    pub fn slope(&self, analyte: &Analyte) -> f64 {
        let of = |(name, factor): &(Analyte, f64)| if name == analyte { *factor } else { 0.0 };
        self.by.iter().map(of).sum()
    }
}

/// A measure of dry matter over a mix: Σ above·d·x / Σ below·d·x.
#[must_use]
#[derive(Debug, Clone, PartialEq)]
pub struct Quotient {
    pub above: Linear,
    pub below: Linear,
}

impl Quotient {
    /// The analytes it is made of, each once.
    pub fn analytes(&self) -> impl Iterator<Item = &Analyte> {
        let by = self.above.by.iter().chain(&self.below.by);
        by.map(|(analyte, _)| analyte)
    }
}

impl Measure {
    /// Reads a key such as `moisture_pct`, `protein_dm_pct`, `nfc_dm_pct` or `carbon_to_nitrogen`.
    pub fn from_key(key: &str) -> Option<Self> {
        match key {
            "moisture_pct" => Some(Self::Moisture),
            NFC_KEY => Some(Self::NonFibreCarbohydrate),
            "carbon_to_nitrogen" => Some(Self::CarbonToNitrogen),
            _ => Analyte::from_key(key).map(Self::Analyte),
        }
    }

    /// What is accepted where a measure's key is asked for.
    pub fn accepted() -> Said {
        say!("accepted-measure")
    }

    /// The quotient it is; `None` for moisture, which is not of dry matter.
    pub fn quotient(&self) -> Option<Quotient> {
        let whole = || Linear::of(1.0, &[]);
        let (above, below) = match self {
            Self::Moisture => return None,
            Self::Analyte(analyte) => {
                let by = vec![(analyte.clone(), 1.0)];
                (Linear { constant: 0.0, by }, whole())
            }
            Self::NonFibreCarbohydrate => {
                let less = ["protein", "fat", "fibre", "ash"].map(|name| (name, -1.0));
                (Linear::of(1.0, &less), whole())
            }
            Self::CarbonToNitrogen => {
                let carbon = 0.01 * PROTEIN_OF_NITROGEN / CARBON_DIVISOR / USUAL_PROTEIN;
                (
                    Linear::of(carbon, &[("ash", -carbon)]),
                    Linear::of(0.0, &[("protein", 1.0 / USUAL_PROTEIN)]),
                )
            }
        };
        Some(Quotient { above, below })
    }

    /// Its value where the shares are known; `None` if any is not, and for moisture.
    pub fn of_shares(&self, share: impl Fn(&Analyte) -> Option<f64>) -> Option<f64> {
        let quotient = self.quotient()?;
        let (above, below) = (quotient.above.at(&share)?, quotient.below.at(&share)?);
        (below > 0.0).then(|| above / below)
    }

    /// The largest bound a window may set, as people write it.
    pub const fn bound_max(&self) -> f64 {
        match self {
            Self::CarbonToNitrogen => 1000.0,
            _ => 100.0,
        }
    }

    /// The unit as printed after a value, with its space.
    pub const fn unit(&self) -> &'static str {
        match self {
            Self::CarbonToNitrogen => "",
            _ => " %",
        }
    }

    /// The key, with unit and basis.
    pub fn key(&self) -> String {
        match self {
            Self::Moisture => "moisture_pct".to_owned(),
            Self::Analyte(analyte) => analyte.key(),
            Self::NonFibreCarbohydrate => NFC_KEY.to_owned(),
            Self::CarbonToNitrogen => "carbon_to_nitrogen".to_owned(),
        }
    }
}

impl Measure {
    pub fn said(&self) -> Said {
        say!("measure", key = self.key(), name = self)
    }
}

impl fmt::Display for Measure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Moisture => f.write_str("moisture"),
            Self::Analyte(analyte) => write!(f, "{}", analyte.name().replace('_', " ")),
            Self::NonFibreCarbohydrate => f.write_str("non-fibre carbohydrate"),
            Self::CarbonToNitrogen => f.write_str("C:N"),
        }
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Side {
    Least,
    Most,
}

impl Side {
    /// As files name a bound on this side.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Least => "min",
            Self::Most => "max",
        }
    }
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bound {
    pub side: Side,
    /// In the measure's own basis.
    pub share: f64,
    /// A limit, not a preference.
    pub is_hard: bool,
}

impl Bound {
    /// How far a value lies beyond it, as a share; below zero where it holds.
    pub fn missed_by(&self, value: f64) -> f64 {
        match self.side {
            Side::Least => self.share - value,
            Side::Most => value - self.share,
        }
    }

    pub const fn key(&self) -> &'static str {
        match (self.side, self.is_hard) {
            (side, false) => side.as_str(),
            (Side::Least, true) => "limit_min",
            (Side::Most, true) => "limit_max",
        }
    }
}

/// Preferred range (`min`, `max`) and hard range (`limit_min`, `limit_max`)
/// of a measure, as shares of 0..=1 in the measure's own basis.
#[must_use]
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, JsonSchema)]
pub struct Window {
    /// Preferred at least.
    #[serde(with = "Pct")]
    pub min: Option<f64>,
    /// Preferred at most.
    #[serde(with = "Pct")]
    pub max: Option<f64>,
    /// Never below.
    #[serde(with = "Pct")]
    pub limit_min: Option<f64>,
    /// Never above.
    #[serde(with = "Pct")]
    pub limit_max: Option<f64>,
}

impl Window {
    /// The bounds that are set: preferred ones first, the lower of each first.
    pub fn bounds(&self) -> impl DoubleEndedIterator<Item = Bound> + Clone + use<> {
        let window = *self;
        let all = [false, true].into_iter().flat_map(|is_hard| {
            let ends = [Side::Least, Side::Most].into_iter();
            ends.map(move |side| (side, is_hard))
        });
        all.filter_map(move |(side, is_hard)| {
            Some(Bound {
                side,
                share: window.bound(side, is_hard)?,
                is_hard,
            })
        })
    }

    const fn bound(mut self, side: Side, is_hard: bool) -> Option<f64> {
        *self.bound_mut(side, is_hard)
    }

    pub const fn range(&self, is_hard: bool) -> (Option<f64>, Option<f64>) {
        let (least, most) = (Side::Least, Side::Most);
        (self.bound(least, is_hard), self.bound(most, is_hard))
    }

    pub const fn bound_mut(&mut self, side: Side, is_hard: bool) -> &mut Option<f64> {
        match (side, is_hard) {
            (Side::Least, false) => &mut self.min,
            (Side::Most, false) => &mut self.max,
            (Side::Least, true) => &mut self.limit_min,
            (Side::Most, true) => &mut self.limit_max,
        }
    }

    /// The bound a value is beyond by more than `same`, and how far, as a
    /// share; a hard one before a preferred one.
    pub fn missed(&self, value: f64, same: f64) -> Option<(Bound, f64)> {
        let missed = |is_hard| {
            let bounds = self.bounds().filter(move |bound| bound.is_hard == is_hard);
            let mut by = bounds.map(|bound| (bound, bound.missed_by(value)));
            by.find(|(_, by)| *by > same)
        };
        missed(true).or_else(|| missed(false))
    }

    /// The first pair of bounds that can't hold together, as key of the lower and key of the upper.
    pub fn contradiction(&self) -> Option<(&'static str, &'static str)> {
        let of = |side| self.bounds().filter(move |bound| bound.side == side);
        of(Side::Least).rev().find_map(|low| {
            let high = of(Side::Most).find(|high| low.share > high.share)?;
            Some((low.key(), high.key()))
        })
    }

    pub fn and(&self, other: &Self) -> Self {
        let mut both = *self;
        for bound in other.bounds() {
            let share = both.bound_mut(bound.side, bound.is_hard);
            *share = Some(share.map_or(bound.share, |own| match bound.side {
                Side::Least => own.max(bound.share),
                Side::Most => own.min(bound.share),
            }));
        }
        both
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn contradictions_name_both_bounds() {
        let window = Window {
            min: Some(0.7),
            max: Some(0.6),
            ..Window::default()
        };
        assert_eq!(window.contradiction(), Some(("min", "max")));
        let window = Window {
            min: Some(0.5),
            limit_max: Some(0.5),
            ..Window::default()
        };
        assert_eq!(window.contradiction(), None);
    }
}
