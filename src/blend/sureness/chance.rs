//! The chance of each measure being inside its window.
//!
//! Every measure is a quotient `A/B` of two sums over the mix: water and weight
//! for moisture, `Σ a d x` and `Σ b d x` for a measure of dry matter. `A/B ≤ C`
//! is `A − C·B ≤ 0`, which is as good as linear in what errs, where the quotient
//! itself is skewed by what errs below the line (as C:N is by protein). So each
//! bound `C` has its own chance, of `A − C·B` as a normal number: mean at the
//! stated composition, `sd² = Σ_f (A_f − C·B_f)²` over what errs together, with
//! `∂(A − C·B)/∂c_i = d_i x_i (∂a/∂c − C ∂b/∂c)` for each analyte `c` and
//! `∂/∂m_i = −x_i (a_i − C b_i)`. For moisture that is exact; for the others the
//! products of moisture's error `f` and an analyte's `g`,
//! `q_fg = −Σ x_i σ_m σ_c (∂a/∂c − C ∂b/∂c)`, spread the row further and skew it:
//! `sd² = Σ l_f² + Σ q_fg²`, third moment `6 Σ l_f l_g q_fg` (each product holds
//! one of either kind, so no others are left). No share of an analyte is below
//! zero: what a normal number would have there counts as zero, which moves its
//! mean, spread and third moment. With the skewness `γ` the chance of
//! `z` is `Φ(z) − φ(z) γ/6 (z² − 1)`, the first term of Edgeworth's series (from
//! memory; held to 100,000 draws by `cargo bench --bench trust`). The margins
//! ([`super::cones`]) hold the same rows without the products. The spread told
//! beside a value is that of the quotient to first order. Errors are else taken
//! as normal: where they are skewed of themselves, that does not hold.

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
    by_factor: BTreeMap<Factor, Errs>,
    /// What one spread of moisture and one of an analyte at once add above and
    /// below the line, kilograms.
    by_pair: BTreeMap<(Factor, Factor), (f64, f64)>,
}

/// What one spread of a factor does.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Errs {
    /// What it adds above and below the line, kilograms.
    above: f64,
    below: f64,
    /// How many spreads its value is above zero, below which no share goes.
    above_zero: f64,
}

/// Mean of `A − C·B`, its standard deviation, kilograms, and its skewness.
struct Shape {
    mean: f64,
    sd: f64,
    skewness: f64,
}

impl Spreaded {
    /// One standard deviation.
    #[must_use]
    pub fn sd(&self) -> f64 {
        let by = self.by_factor.values();
        let squares = by.map(|errs| (errs.above - self.value * errs.below).powi(2));
        squares.sum::<f64>().sqrt() / self.under
    }

    fn shape(&self, bound: f64) -> Shape {
        let mut mean = (self.value - bound) * self.under;
        let (mut squares, mut third) = (0.0, 0.0);
        let mut by_one: BTreeMap<&Factor, (f64, f64)> = BTreeMap::new();
        for (factor, errs) in &self.by_factor {
            let (shift, sd, skewed) = kept_above_zero(errs.above_zero);
            let by = errs.above - bound * errs.below;
            mean += by * shift;
            squares += (by * sd).powi(2);
            third += by.powi(3) * skewed;
            by_one.insert(factor, (by * sd, sd));
        }
        for ((moisture, analyte), (above, below)) in &self.by_pair {
            let ((one, _), (other, sd)) = (by_one[moisture], by_one[analyte]);
            let both = (above - bound * below) * sd;
            squares += both.powi(2);
            third += 6.0 * one * other * both;
        }
        let sd = squares.sqrt();
        let skewness = if sd > 0.0 { third / sd.powi(3) } else { 0.0 };
        Shape { mean, sd, skewness }
    }

    /// The chance of being inside a window.
    #[must_use]
    pub fn chance(&self, window: &Window) -> f64 {
        let below = |bound: f64, same: f64| {
            let Shape { mean, sd, skewness } = self.shape(bound);
            if sd > 0.0 {
                let z = -mean / sd;
                (normal(z) - density(z) * skewness / 6.0 * (z * z - 1.0)).clamp(0.0, 1.0)
            } else {
                f64::from(u8::from(self.value <= bound + same))
            }
        };
        let most = window.max.map_or(1.0, |max| below(max, SAME_SHARE));
        let least = window.min.map_or(0.0, |min| below(min, -SAME_SHARE));
        (most - least).clamp(0.0, 1.0)
    }
}

fn density(z: f64) -> f64 {
    (-0.5 * z * z).exp() / (2.0 * std::f64::consts::PI).sqrt()
}

/// A normal number `a` spreads above zero, what is below zero taken as zero: how
/// much its mean moves, its standard deviation and its third central moment, in
/// spreads. From `E x = aΦ + φ`, `E x² = (a² + 1)Φ + aφ`, `E x³ = (a³ + 3a)Φ + (a² + 2)φ`.
fn kept_above_zero(a: f64) -> (f64, f64, f64) {
    if a > 6.0 {
        return (0.0, 1.0, 0.0);
    }
    let (below, at) = (normal(a), density(a));
    let mean = a * below + at;
    let square = (a * a + 1.0) * below + a * at;
    let cube = (a.powi(3) + 3.0 * a) * below + (a * a + 2.0) * at;
    let third = cube - 3.0 * mean * square + 2.0 * mean.powi(3);
    (mean - a, (square - mean * mean).max(0.0).sqrt(), third)
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
    let mut by_factor: BTreeMap<Factor, Errs> = BTreeMap::new();
    let mut errs = |factor: Factor, above: f64, below: f64, above_zero: f64| {
        let none = Errs {
            above: 0.0,
            below: 0.0,
            above_zero,
        };
        let sums = by_factor.entry(factor).or_insert(none);
        sums.above += above;
        sums.below += below;
    };
    let mut by_pair: BTreeMap<(Factor, Factor), (f64, f64)> = BTreeMap::new();
    let (mut over, mut under) = (water_kg, wet);
    match measure.quotient() {
        None => {
            for part in parts {
                over += part.kg * part.moisture;
                let sd = part.spread.moisture.unwrap_or(0.0);
                errs(part.moisture_factor(), part.kg * sd, 0.0, f64::INFINITY);
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
                let (above, below) = (above * wetter, below * wetter);
                errs(part.moisture_factor(), above, below, f64::INFINITY);
                for analyte in quotient.analytes() {
                    let spread = part.spread.analytes.get(analyte).copied().unwrap_or(0.0);
                    let slopes = (quotient.above.slope(analyte), quotient.below.slope(analyte));
                    let factor = Factor::Analyte(part.stream.clone(), analyte.clone());
                    let above_zero = if spread > 0.0 {
                        share(analyte)? / spread
                    } else {
                        f64::INFINITY
                    };
                    let both = (part.moisture_factor(), factor.clone());
                    let of_both = by_pair.entry(both).or_default();
                    of_both.0 += wetter * spread * slopes.0;
                    of_both.1 += wetter * spread * slopes.1;
                    let (above, below) = (dry * spread * slopes.0, dry * spread * slopes.1);
                    errs(factor, above, below, above_zero);
                }
            }
        }
    }
    (under > 0.0).then(|| Spreaded {
        value: over / under,
        under,
        by_factor,
        by_pair,
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

    /// By adding up thin slices of the density, with half a normal number at zero
    /// also by its known mean `1/√(2π)`.
    #[test]
    fn a_number_kept_above_zero_has_the_moments_of_its_slices() {
        assert!((kept_above_zero(0.0).0 - 0.398_942_28).abs() < 1e-8);
        for a in [-0.5, 0.0, 0.7, 2.0, 4.0] {
            let slices = (-80_000..80_000_i32).map(|at| {
                let z = f64::from(at) * 1e-4;
                ((a + z).max(0.0), density(z) * 1e-4)
            });
            let sum =
                |of: &dyn Fn(f64) -> f64| -> f64 { slices.clone().map(|(x, by)| of(x) * by).sum() };
            let mean = sum(&|x| x);
            let (shift, sd, third) = kept_above_zero(a);
            assert!((a + shift - mean).abs() < 1e-6);
            assert!((sd * sd - sum(&|x| (x - mean).powi(2))).abs() < 1e-6);
            assert!((third - sum(&|x| (x - mean).powi(3))).abs() < 1e-6);
        }
        assert_eq!(kept_above_zero(7.0), (0.0, 1.0, 0.0));
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
