//! The chance of each measure being inside its window, to first order.
//!
//! Moisture `M = (Σ m x + w)/W` is linear in the lots' moistures, so its spread
//! is exact: `sd² = Σ_f (Σ_{i∈f} x_i s_i / W)²` over what errs together. A
//! measure of dry matter `C = Σ a d x / Σ b d x` is taken to first order: with
//! `B = Σ b d x`, `∂C/∂c_i = d_i x_i (∂a/∂c − C ∂b/∂c)/B` for each analyte `c`
//! and `∂C/∂m_i = −x_i (a_i − C b_i)/B`. Errors are taken as
//! normal. Where a spread is a large part of its value (wet streams whose dry
//! share is uncertain by more than about a fifth), where a share runs into 0 or
//! 100 %, or where errors are skewed, that does not hold.

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
    /// What each factor adds, a share for one spread of the factor.
    pub by_factor: BTreeMap<Factor, f64>,
}

impl Spreaded {
    /// One standard deviation.
    #[must_use]
    pub fn sd(&self) -> f64 {
        self.by_factor
            .values()
            .map(|by| by * by)
            .sum::<f64>()
            .sqrt()
    }

    /// The chance of being inside a window.
    #[must_use]
    pub fn chance(&self, window: &Window) -> f64 {
        inside(self.value, self.sd(), window)
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
    let mut by_factor: BTreeMap<Factor, f64> = BTreeMap::new();
    let value = match measure {
        Measure::Moisture => {
            let water: f64 = parts.iter().map(|part| part.kg * part.moisture).sum();
            for part in parts {
                let sd = part.spread.moisture.unwrap_or(0.0);
                *by_factor.entry(part.moisture_factor()).or_default() += part.kg * sd / wet;
            }
            (water + water_kg) / wet
        }
        _ => {
            let quotient = measure.quotient()?;
            let each = parts.iter().map(|part| {
                let share = |analyte: &Analyte| part.analytes.get(analyte).copied();
                Some((quotient.above.at(share)?, quotient.below.at(share)?))
            });
            let each: Vec<(f64, f64)> = each.collect::<Option<_>>()?;
            let (mut over, mut under) = (0.0, 0.0);
            for (part, (above, below)) in parts.iter().zip(&each) {
                over += above * part.kg * (1.0 - part.moisture);
                under += below * part.kg * (1.0 - part.moisture);
            }
            if under <= 0.0 {
                return None;
            }
            let value = over / under;
            for (part, (above, below)) in parts.iter().zip(&each) {
                let moisture = part.spread.moisture.unwrap_or(0.0);
                *by_factor.entry(part.moisture_factor()).or_default() -=
                    part.kg * (above - value * below) * moisture / under;
                for analyte in quotient.analytes() {
                    let sd = part.spread.analytes.get(analyte).copied().unwrap_or(0.0);
                    let slope =
                        quotient.above.slope(analyte) - value * quotient.below.slope(analyte);
                    let factor = Factor::Analyte(part.stream.clone(), analyte.clone());
                    *by_factor.entry(factor).or_default() +=
                        part.kg * (1.0 - part.moisture) * sd * slope / under;
                }
            }
            value
        }
    };
    Some(Spreaded { value, by_factor })
}

/// The chance that a normal number lies inside a window.
fn inside(value: f64, sd: f64, window: &Window) -> f64 {
    let below = |bound: Option<f64>| match bound {
        None => 1.0,
        Some(bound) if sd <= 0.0 => f64::from(u8::from(value <= bound + SAME_SHARE)),
        Some(bound) => normal((bound - value) / sd),
    };
    let under = |bound: Option<f64>| match bound {
        None => 0.0,
        Some(bound) if sd <= 0.0 => f64::from(u8::from(value < bound - SAME_SHARE)),
        Some(bound) => normal((bound - value) / sd),
    };
    (below(window.max) - under(window.min)).clamp(0.0, 1.0)
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
