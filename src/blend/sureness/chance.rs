//! The chance of each measure being inside its window.
//!
//! Every measure is a quotient `A/B` of two sums over the mix: water and weight
//! for moisture, `Σ a d x` and `Σ b d x` for a measure of dry matter. `A/B ≤ C`
//! is `A − C·B ≤ 0`, which is as good as linear in what errs, where the quotient
//! itself is skewed by what errs below the line (as C:N is by protein). So each
//! bound `C` has its own chance, of `A − C·B` as a normal number: mean at the
//! stated composition, `sd² = Σ_f (A_f − C·B_f)²` over what errs together, with
//! `∂(A − C·B)/∂c_i = d_i x_i (∂a/∂c − C ∂b/∂c)` for each analyte `c` and
//! `∂/∂m_i = −x_i (a_i − C b_i)`. For moisture that is exact; for the others only
//! products of two errors, moisture's and an analyte's, are left out. The margins
//! ([`super::cones`]) hold the same rows. The spread told beside a value is that
//! of the quotient to first order. Errors are taken as normal: where a share
//! runs into 0 or 100 %, or where errors are skewed, that does not hold.

use std::collections::BTreeMap;

use crate::quantity::normal;
use crate::stream::{Analyte, Measure, Window};

use super::super::tolerance::SAME_SHARE;
use super::spread::{Factor, UncertainPart};

/// A measure of a mix with its spread.
#[derive(Debug, Clone, PartialEq)]
pub struct Spreaded {
    /// Its value, a share.
    pub value: f64,
    /// What it is a share of, kilograms.
    under: f64,
    /// What one spread of each factor adds above and below the line, kilograms.
    by_factor: BTreeMap<Factor, (f64, f64)>,
}

impl Spreaded {
    /// One standard deviation.
    #[must_use]
    pub fn sd(&self) -> f64 {
        self.beyond_sd(self.value) / self.under
    }

    /// One standard deviation of `A − C·B`, kilograms.
    fn beyond_sd(&self, bound: f64) -> f64 {
        let by = self.by_factor.values();
        by.map(|(above, below)| (above - bound * below).powi(2))
            .sum::<f64>()
            .sqrt()
    }

    /// The chance of being inside a window.
    #[must_use]
    pub fn chance(&self, window: &Window) -> f64 {
        let below = |bound: f64, same: f64| {
            let sd = self.beyond_sd(bound);
            if sd > 0.0 {
                normal((bound - self.value) * self.under / sd)
            } else {
                f64::from(u8::from(self.value <= bound + same))
            }
        };
        let most = window.max.map_or(1.0, |max| below(max, SAME_SHARE));
        let least = window.min.map_or(0.0, |min| below(min, -SAME_SHARE));
        (most - least).clamp(0.0, 1.0)
    }
}

/// The measure of parts and water with what is uncertain about it; `None` when
/// nothing is fed or a value is unknown.
#[must_use]
pub fn spreaded(parts: &[UncertainPart], water_kg: f64, measure: &Measure) -> Option<Spreaded> {
    let wet = parts.iter().map(|part| part.kg).sum::<f64>() + water_kg;
    let dry: f64 = parts
        .iter()
        .map(|part| part.kg * (1.0 - part.moisture))
        .sum();
    if wet <= 0.0 || dry <= 0.0 {
        return None;
    }
    let mut by_factor: BTreeMap<Factor, (f64, f64)> = BTreeMap::new();
    let mut errs = |factor: Factor, above: f64, below: f64| {
        let sums = by_factor.entry(factor).or_default();
        *sums = (sums.0 + above, sums.1 + below);
    };
    let (mut over, mut under) = (water_kg, wet);
    match measure.quotient() {
        None => {
            for part in parts {
                over += part.kg * part.moisture;
                let sd = part.spread.moisture.unwrap_or(0.0);
                errs(part.moisture_factor(), part.kg * sd, 0.0);
            }
        }
        Some(quotient) => {
            (over, under) = (0.0, 0.0);
            for part in parts {
                let share = |analyte: &Analyte| part.analytes.get(analyte).copied();
                let (above, below) = (quotient.above.at(share)?, quotient.below.at(share)?);
                let dry = part.kg * (1.0 - part.moisture);
                over += above * dry;
                under += below * dry;
                let wetter = -part.kg * part.spread.moisture.unwrap_or(0.0);
                errs(part.moisture_factor(), above * wetter, below * wetter);
                for analyte in quotient.analytes() {
                    let by = dry * part.spread.analytes.get(analyte).copied().unwrap_or(0.0);
                    errs(
                        Factor::Analyte(part.stream.clone(), analyte.clone()),
                        by * quotient.above.slope(analyte),
                        by * quotient.below.slope(analyte),
                    );
                }
            }
        }
    }
    (under > 0.0).then(|| Spreaded {
        value: over / under,
        under,
        by_factor,
    })
}

#[cfg(test)]
mod tests {
    use super::super::spread::Spread;
    use super::*;
    use crate::stream::StreamId;

    fn part(stream: &str, kg: f64, moisture: f64, shares: [f64; 4]) -> UncertainPart {
        let names = ["protein", "fat", "fibre", "ash"].map(Analyte::named);
        UncertainPart {
            lot: None,
            stream: StreamId::parse(stream).expect("an id"),
            kg,
            moisture,
            analytes: names.clone().into_iter().zip(shares).collect(),
            spread: Spread {
                moisture: Some(0.03),
                is_tested: false,
                analytes: names.into_iter().zip([0.02, 0.01, 0.04, 0.015]).collect(),
            },
        }
    }

    /// What is reckoned from several moves with each of them as its plain
    /// definition does: a difference over a thousandth of each spread.
    #[test]
    fn spreads_of_what_is_reckoned_are_those_of_its_definition() {
        let parts = [
            part("grain", 12.0, 0.77, [0.24, 0.1, 0.4, 0.03]),
            part("bread", 3.0, 0.36, [0.14, 0.05, 0.04, 0.03]),
        ];
        let plain = |parts: &[UncertainPart], is_ratio: bool| {
            let of = |name: &str| -> f64 {
                let name = Analyte::from_key(&format!("{name}_dm_pct")).expect("an analyte");
                let held = parts
                    .iter()
                    .map(|part| part.kg * (1.0 - part.moisture) * part.analytes[&name]);
                held.sum()
            };
            let dry: f64 = parts
                .iter()
                .map(|part| part.kg * (1.0 - part.moisture))
                .sum();
            if is_ratio {
                (dry - of("ash")) / 1.8 / (of("protein") / 6.25) / 100.0
            } else {
                (dry - of("protein") - of("fat") - of("fibre") - of("ash")) / dry
            }
        };
        for (measure, is_ratio) in [
            (Measure::NonFibreCarbohydrate, false),
            (Measure::CarbonToNitrogen, true),
        ] {
            let told = spreaded(&parts, 2.0, &measure).expect("known");
            assert!((told.value - plain(&parts, is_ratio)).abs() < 1e-12);
            let mut squares = 0.0;
            for at in 0..parts.len() {
                for name in [None]
                    .into_iter()
                    .chain(parts[at].analytes.keys().map(Some))
                {
                    let moved = |by: f64| {
                        let mut moved = parts.to_vec();
                        let of = &mut moved[at];
                        match name {
                            None => of.moisture += 0.03 * by,
                            Some(name) => {
                                let sd = of.spread.analytes[name];
                                *of.analytes.get_mut(name).expect("known") += sd * by;
                            }
                        }
                        plain(&moved, is_ratio)
                    };
                    let slope = (moved(1e-3) - moved(-1e-3)) / 2e-3;
                    squares += slope * slope;
                }
            }
            assert!((told.sd() - squares.sqrt()).abs() < 1e-6, "{measure}");
        }
    }
}
