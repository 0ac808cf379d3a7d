//! The chance of each measure being inside its window, to first order.
//!
//! Moisture `M = (Σ m x + w)/W` is linear in the lots' moistures, so its spread
//! is exact: `sd² = Σ_f (Σ_{i∈f} x_i s_i / W)²` over what errs together. An
//! analyte `C = Σ c d x / Σ d x` is taken to first order:
//! `∂C/∂c_i = d_i x_i/DM`, `∂C/∂m_i = −x_i (c_i − C)/DM`. Errors are taken as
//! normal. Where a spread is a large part of its value (wet streams whose dry
//! share is uncertain by more than about a fifth), where a share runs into 0 or
//! 100 %, or where errors are skewed, that does not hold.

use std::collections::BTreeMap;

use crate::quantity::normal;
use crate::stream::{Measure, Window};

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
        Measure::Analyte(analyte) => {
            let shares: Option<Vec<f64>> = parts
                .iter()
                .map(|part| part.analytes.get(analyte).copied())
                .collect();
            let shares = shares?;
            let held = parts.iter().zip(&shares);
            let value = held
                .map(|(part, share)| share * part.kg * (1.0 - part.moisture))
                .sum::<f64>()
                / dry;
            for (part, share) in parts.iter().zip(&shares) {
                let moisture = part.spread.moisture.unwrap_or(0.0);
                *by_factor.entry(part.moisture_factor()).or_default() -=
                    part.kg * (share - value) * moisture / dry;
                if let Some(sd) = part.spread.analytes.get(analyte) {
                    let factor = Factor::Analyte(part.stream.clone(), analyte.clone());
                    *by_factor.entry(factor).or_default() +=
                        part.kg * (1.0 - part.moisture) * sd / dry;
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
        Some(bound) if sd <= 0.0 => f64::from(u8::from(value <= bound + 1e-9)),
        Some(bound) => normal((bound - value) / sd),
    };
    let under = |bound: Option<f64>| match bound {
        None => 0.0,
        Some(bound) if sd <= 0.0 => f64::from(u8::from(value < bound - 1e-9)),
        Some(bound) => normal((bound - value) / sd),
    };
    (below(window.max) - under(window.min)).clamp(0.0, 1.0)
}
