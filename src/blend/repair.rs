//! Moving rounded weights by single steps of the scale until no bound is
//! pushed out by rounding, as far as steps allow.
//!
//! Bounds are told as shares of the mix, never as kilograms: a mix that is a
//! hair out must not look better for being smaller, or trays would be starved
//! to please a window.

use crate::stream::{Measure, Window};

use super::problem::{Group, Problem};
use super::rounding::{Room, Slot};

/// What a bound is a share of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Whole {
    Wet,
    Dry,
    /// The trays' volume: it doesn't change with the mix.
    Trays,
}

/// A bound as `Σ coefficient · kg − constant`, above zero when broken.
struct Bound {
    coefficients: Vec<f64>,
    constant: f64,
    whole: Whole,
    /// Weight of a share broken, one over the scale of the second goal.
    weight: f64,
    is_hard: bool,
    /// Excess of the point itself, a share.
    allowed: f64,
    /// What half a division on every weight can explain, a share.
    explained: f64,
}

/// Sums of a mix: one for each bound, wet and dry weight.
#[derive(Clone)]
struct Sums {
    bounds: Vec<f64>,
    wet: f64,
    dry: f64,
}

impl Sums {
    fn share(&self, bound: &Bound, sum: f64) -> f64 {
        let whole = match bound.whole {
            Whole::Wet => self.wet,
            Whole::Dry => self.dry,
            Whole::Trays => 1.0,
        };
        if whole > NOTHING_KG {
            (sum - bound.constant) / whole
        } else {
            0.0
        }
    }
}

/// What a rounding is judged by: the bounds, and the dry matter to come back to.
pub(super) struct Ledger {
    bounds: Vec<Bound>,
    /// Dry share of each slot.
    dry: Vec<f64>,
    sums: Sums,
    dry_matter_kg: f64,
    dry_explained_kg: f64,
    wanted_kg: f64,
}

/// Below this a mix has no shares.
const NOTHING_KG: f64 = 1e-9;
/// Shares within this of the point are as good as the point: the slack of the goals.
const SAME_SHARE: f64 = 1e-6;
/// Limits go before feed, feed before windows, windows before the last grams of feed.
const LIMITS: f64 = 1e9;
const FEED: f64 = 1e6;
const WINDOWS: f64 = 1e4;

impl Ledger {
    /// Reads the point out of the slots' kilograms and the sums out of their steps.
    pub(super) fn new(problem: &Problem, group: &Group, slots: &[Slot]) -> Self {
        let half = problem.division.kg() / 2.0;
        let dry: Vec<f64> = slots.iter().map(|slot| 1.0 - slot.moisture).collect();
        let mut ledger = Self {
            bounds: bounds(group, slots),
            sums: Sums {
                bounds: Vec::new(),
                wet: 0.0,
                dry: 0.0,
            },
            dry_matter_kg: slots
                .iter()
                .zip(&dry)
                .map(|(slot, dry)| slot.kg * dry)
                .sum(),
            dry_explained_kg: half * dry.iter().sum::<f64>(),
            dry,
            wanted_kg: group.dry_matter_kg,
        };
        let point = ledger.sums_of(slots.iter().map(|slot| slot.kg));
        for (bound, sum) in ledger.bounds.iter_mut().zip(&point.bounds) {
            let share = point.share(bound, *sum);
            let whole = match bound.whole {
                Whole::Wet => point.wet,
                Whole::Dry => point.dry,
                Whole::Trays => 1.0,
            };
            let slopes = bound.coefficients.iter().zip(&ledger.dry);
            let slopes = slopes.map(|(coefficient, dry)| match bound.whole {
                Whole::Wet => (coefficient - share).abs(),
                Whole::Dry => (coefficient - share * dry).abs(),
                Whole::Trays => coefficient.abs(),
            });
            bound.explained = half * slopes.sum::<f64>() / whole.max(NOTHING_KG);
            bound.allowed = share.max(0.0) + SAME_SHARE;
        }
        let weights = slots
            .iter()
            .map(|slot| problem.division.grams(slot.steps).kg());
        ledger.sums = ledger.sums_of(weights);
        ledger
    }

    fn sums_of(&self, weights: impl Iterator<Item = f64>) -> Sums {
        let mut sums = Sums {
            bounds: vec![0.0; self.bounds.len()],
            wet: 0.0,
            dry: 0.0,
        };
        for (slot, kg) in weights.enumerate() {
            sums.wet += kg;
            sums.dry += kg * self.dry[slot];
            for (sum, bound) in sums.bounds.iter_mut().zip(&self.bounds) {
                *sum += kg * bound.coefficients[slot];
            }
        }
        sums
    }

    /// How bad the rounding would be after a move.
    fn badness(&self, (up, down): Move, step_kg: f64) -> f64 {
        let change = |of: &[f64]| -> f64 {
            up.map_or(0.0, |slot| step_kg * of[slot]) - down.map_or(0.0, |slot| step_kg * of[slot])
        };
        let steps = f64::from(u8::from(up.is_some())) - f64::from(u8::from(down.is_some()));
        let after = Sums {
            bounds: Vec::new(),
            wet: self.sums.wet + step_kg * steps,
            dry: self.sums.dry + change(&self.dry),
        };
        let missed = (after.dry - self.dry_matter_kg).abs();
        let mut badness = missed / self.wanted_kg
            + FEED * (missed - self.dry_explained_kg).max(0.0) / self.wanted_kg;
        for (bound, sum) in self.bounds.iter().zip(&self.sums.bounds) {
            let pushed = after.share(bound, sum + change(&bound.coefficients)) - bound.allowed;
            if pushed > 0.0 {
                badness += WINDOWS * bound.weight * pushed;
                if bound.is_hard {
                    badness += LIMITS * bound.weight * (pushed - bound.explained).max(0.0);
                }
            }
        }
        badness
    }

    fn apply(&mut self, slot: usize, kg: f64) {
        self.sums.wet += kg;
        self.sums.dry += kg * self.dry[slot];
        for (sum, bound) in self.sums.bounds.iter_mut().zip(&self.bounds) {
            *sum += kg * bound.coefficients[slot];
        }
    }
}

fn bounds(group: &Group, slots: &[Slot]) -> Vec<Bound> {
    let mut all = Vec::new();
    let mut push = |whole, scale: f64, is_hard, constant, of: &dyn Fn(&Slot) -> f64| {
        all.push(Bound {
            coefficients: slots.iter().map(of).collect(),
            constant,
            whole,
            weight: 1.0 / scale,
            is_hard,
            allowed: 0.0,
            explained: 0.0,
        });
    };
    let mut analyte = 0;
    for (measure, window) in &group.windows {
        let Window {
            min,
            max,
            limit_min,
            limit_max,
        } = *window;
        let sides = [
            (max, 1.0, false),
            (min, -1.0, false),
            (limit_max, 1.0, true),
            (limit_min, -1.0, true),
        ];
        for (bound, sign, is_hard) in sides {
            let Some(bound) = bound else { continue };
            match measure {
                Measure::Moisture => push(Whole::Wet, 1.0, is_hard, 0.0, &|slot| {
                    sign * (slot.moisture - bound)
                }),
                _ => push(Whole::Dry, 0.1, is_hard, 0.0, &|slot| {
                    sign * slot.analytes[analyte].beyond(bound) * (1.0 - slot.moisture)
                }),
            }
        }
        analyte += usize::from(*measure != Measure::Moisture);
    }
    for (position, cap) in group.caps.values().enumerate() {
        push(Whole::Wet, 1.0, true, 0.0, &|slot| {
            f64::from(u8::from(slot.cap == Some(position))) - cap.get()
        });
    }
    if let Some(volume) = group.volume {
        push(
            Whole::Trays,
            volume.get().max(1.0),
            true,
            volume.get(),
            &|slot| slot.litres_per_kg,
        );
    }
    all
}

/// A slot that gains a step and a slot that loses one.
type Move = (Option<usize>, Option<usize>);

/// Moves single steps, or one step from one part to another, as long as that
/// makes the rounding less bad.
pub(super) fn repair(problem: &Problem, ledger: &mut Ledger, slots: &mut [Slot], room: &mut Room) {
    const ROUNDS_MAX: usize = 200;
    let step_kg = problem.division.kg();
    let mut badness = ledger.badness((None, None), step_kg);
    for _ in 0..ROUNDS_MAX {
        let ups = (0..slots.len()).filter(|&slot| room.fits_one_more(problem, &slots[slot]));
        let ups = judged(ledger, step_kg, ups.map(|slot| (Some(slot), None)));
        let downs = (0..slots.len()).filter(|&slot| slots[slot].steps > 0);
        let downs = judged(ledger, step_kg, downs.map(|slot| (None, Some(slot))));
        let singles = ups.iter().chain(&downs).copied();
        let Some((after, (up, down))) = better(singles, badness).or_else(|| {
            let pairs = ups.iter().take(PAIRED_MAX).flat_map(|(_, (up, _))| {
                let downs = downs.iter().take(PAIRED_MAX);
                downs
                    .filter(move |(_, (_, down))| down != up)
                    .map(move |(_, (_, down))| (*up, *down))
            });
            let pairs = pairs.map(|step| (ledger.badness(step, step_kg), step));
            better(pairs, badness)
        }) else {
            return;
        };
        badness = after;
        for (slot, by, kg) in [(up, 1, step_kg), (down, -1, -step_kg)] {
            if let Some(slot) = slot {
                ledger.apply(slot, kg);
                room.shift(problem, &mut slots[slot], by);
            }
        }
    }
}

/// Of many parts only the most promising are tried in pairs, so that the
/// number of pairs stays bounded.
const PAIRED_MAX: usize = 60;

/// Moves with their badness, best first; equals stay in the slots' order.
fn judged(ledger: &Ledger, step_kg: f64, moves: impl Iterator<Item = Move>) -> Vec<(f64, Move)> {
    let mut judged: Vec<(f64, Move)> = moves
        .map(|step| (ledger.badness(step, step_kg), step))
        .collect();
    judged.sort_by(|(a, _), (b, _)| a.total_cmp(b));
    judged
}

/// The least bad move that is better than staying; of equals the first.
fn better(moves: impl Iterator<Item = (f64, Move)>, badness: f64) -> Option<(f64, Move)> {
    const GAIN_LEAST: f64 = 1e-12;
    moves
        .filter(|(after, _)| *after < badness - GAIN_LEAST)
        .fold(None, |best: Option<(f64, Move)>, next| match best {
            Some(best) if best.0 <= next.0 => Some(best),
            _ => Some(next),
        })
}
