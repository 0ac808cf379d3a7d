//! Moving rounded weights by single steps of the scale until no bound is
//! pushed out by rounding, as far as steps allow.
//!
//! Bounds are told as shares of the mix, never as kilograms: a mix that is a
//! hair out must not look better for being smaller, or trays would be starved
//! to please a window.

use crate::quantity::Division;
use crate::stream::{Measure, Side};

use super::problem::Group;
use super::slot::{Room, Slot};
use super::tolerance::{FED_WITHIN, GOAL_ZERO, SAME_SHARE};

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
    /// Excess of the point itself, a share; none for a limit.
    allowed: f64,
    /// What the point keeps of its distance to a window, a share.
    kept: f64,
}

/// Sums of a mix: one for each bound, wet and dry weight.
#[derive(Clone)]
struct Sums {
    bounds: Vec<f64>,
    wet: f64,
    dry: f64,
    ration: f64,
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
    /// Dry share of each slot, and the share that counts towards the ration.
    dry: Vec<f64>,
    ration: Vec<f64>,
    sums: Sums,
    ration_kg: f64,
    wanted_kg: f64,
}

/// Below this a mix has no shares.
const NOTHING_KG: f64 = 1e-9;
/// Limits go before feed, feed before windows, windows before the last grams of feed.
const LIMITS: f64 = 1e9;
const FEED: f64 = 1e6;
const WINDOWS: f64 = 1e2;
/// What being out costs however little it is: a sheet says out or inside.
const LIMIT_OUT: f64 = 1e5;
const WINDOW_OUT: f64 = 1.0;
/// A point of a margin lost costs as much as some points of dry matter missed;
/// farther from its window a mix is sure anyway.
const MARGIN: f64 = 3.0;
const MARGIN_MOST: f64 = 0.03;

impl Ledger {
    /// Reads the point out of the slots' kilograms and the sums out of their steps.
    pub(super) fn new(division: Division, group: &Group, slots: &[Slot]) -> Self {
        let dry: Vec<f64> = slots.iter().map(|slot| 1.0 - slot.moisture).collect();
        let mut ledger = Self {
            bounds: bounds(group, slots),
            sums: Sums {
                bounds: Vec::new(),
                wet: 0.0,
                dry: 0.0,
                ration: 0.0,
            },
            ration_kg: 0.0,
            ration: slots.iter().map(Slot::ration).collect(),
            dry,
            wanted_kg: group.dry_matter_kg,
        };
        let point = ledger.sums_of(slots.iter().map(|slot| slot.kg));
        // Where the point feeds as wanted, the wish is what weights come back to.
        let is_fed = (point.ration / group.dry_matter_kg - 1.0).abs() <= FED_WITHIN;
        ledger.ration_kg = if is_fed {
            group.dry_matter_kg
        } else {
            point.ration
        };
        for (bound, sum) in ledger.bounds.iter_mut().zip(&point.bounds) {
            let share = point.share(bound, *sum);
            // A hair is the solver's, not an excess that may stay.
            if share > GOAL_ZERO && !bound.is_hard {
                bound.allowed = share;
            }
            if !bound.is_hard {
                bound.kept = (-share).clamp(0.0, MARGIN_MOST);
            }
        }
        let weights = slots.iter().map(|slot| division.grams(slot.steps).kg());
        ledger.sums = ledger.sums_of(weights);
        ledger
    }

    fn sums_of(&self, weights: impl Iterator<Item = f64>) -> Sums {
        let mut sums = Sums {
            bounds: vec![0.0; self.bounds.len()],
            wet: 0.0,
            dry: 0.0,
            ration: 0.0,
        };
        for (slot, kg) in weights.enumerate() {
            sums.wet += kg;
            sums.dry += kg * self.dry[slot];
            sums.ration += kg * self.ration[slot];
            for (sum, bound) in sums.bounds.iter_mut().zip(&self.bounds) {
                *sum += kg * bound.coefficients[slot];
            }
        }
        sums
    }

    /// How bad the rounding would be after a move.
    fn badness(&self, by: Move) -> f64 {
        let changes = || by.into_iter().flatten();
        let moved = |each: &[f64]| changes().map(|step| step.kg * each[step.slot]).sum::<f64>();
        let after = Sums {
            bounds: Vec::new(),
            wet: self.sums.wet + changes().map(|step| step.kg).sum::<f64>(),
            dry: self.sums.dry + moved(&self.dry),
            ration: self.sums.ration + moved(&self.ration),
        };
        let missed = (after.ration - self.ration_kg).abs() / self.wanted_kg;
        let mut badness = missed + FEED * (missed - FED_WITHIN).max(0.0);
        for (bound, sum) in self.bounds.iter().zip(&self.sums.bounds) {
            let change: f64 = changes()
                .map(|step| step.kg * bound.coefficients[step.slot])
                .sum();
            let share = after.share(bound, sum + change);
            badness += MARGIN * bound.weight * (share + bound.kept).clamp(0.0, bound.kept);
            let pushed = share - bound.allowed;
            if pushed > SAME_SHARE * 0.9 {
                let is_new = bound.allowed <= 0.0;
                badness +=
                    f64::from(u8::from(is_new)) * WINDOW_OUT + WINDOWS * bound.weight * pushed;
                if bound.is_hard {
                    badness += LIMIT_OUT + LIMITS * bound.weight * pushed;
                }
            }
        }
        badness
    }

    fn apply(&mut self, slot: usize, kg: f64) {
        self.sums.wet += kg;
        self.sums.dry += kg * self.dry[slot];
        self.sums.ration += kg * self.ration[slot];
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
            kept: 0.0,
        });
    };
    let mut analyte = 0;
    for (measure, window) in &group.windows {
        for set in window.bounds() {
            let (bound, is_hard) = (set.share, set.is_hard);
            let sign = if set.side == Side::Most { 1.0 } else { -1.0 };
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

/// One step of the scale more or less of a slot, with the grams it makes.
#[derive(Debug, Clone, Copy)]
struct Step {
    slot: usize,
    by: i64,
    kg: f64,
}

/// One step, or two of different slots.
type Move = [Option<Step>; 2];

/// Moves single steps, or two at once, as long as that makes the rounding less bad.
pub(super) fn repair(division: Division, ledger: &mut Ledger, slots: &mut [Slot], room: &mut Room) {
    const ROUNDS_MAX: usize = 200;
    let mut badness = ledger.badness([None, None]);
    for _ in 0..ROUNDS_MAX {
        let step = |slot: usize, by: i64| {
            let steps = slots[slot].steps;
            let kg = (division.grams(steps + by) - division.grams(steps)).kg();
            Some(Step { slot, by, kg })
        };
        let free = (0..slots.len()).filter(|&slot| !slots[slot].is_fixed);
        let ups = free
            .clone()
            .filter(|&slot| room.fits_one_more(division, &slots[slot]));
        let ups: Vec<Move> = ups.map(|slot| [step(slot, 1), None]).collect();
        let downs = free.filter(|&slot| slots[slot].steps > 0);
        let singles = judged(
            ledger,
            ups.into_iter()
                .chain(downs.map(|slot| [step(slot, -1), None])),
        );
        let Some((after, found)) = better(singles.iter().copied(), badness).or_else(|| {
            let promising = &singles[..singles.len().min(PAIRED_MAX)];
            let pairs = promising
                .iter()
                .enumerate()
                .flat_map(|(position, (_, [first, _]))| {
                    let others = promising[position + 1..]
                        .iter()
                        .map(|(_, [second, _])| *second);
                    let is_other = move |second: &Option<Step>| {
                        second.map(|step| step.slot) != first.map(|step| step.slot)
                    };
                    others.filter(is_other).map(move |second| [*first, second])
                });
            better(pairs.map(|pair| (ledger.badness(pair), pair)), badness)
        }) else {
            return;
        };
        badness = after;
        for step in found.into_iter().flatten() {
            ledger.apply(step.slot, step.kg);
            room.shift(division, &mut slots[step.slot], step.by);
        }
    }
}

/// Of many parts only the most promising are tried in pairs, so that the
/// number of pairs stays bounded.
const PAIRED_MAX: usize = 80;

/// Moves with their badness, best first; equals stay in the slots' order.
fn judged(ledger: &Ledger, moves: impl Iterator<Item = Move>) -> Vec<(f64, Move)> {
    let mut judged: Vec<(f64, Move)> = moves.map(|step| (ledger.badness(step), step)).collect();
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
