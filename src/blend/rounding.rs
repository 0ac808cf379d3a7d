//! From the solver's point to weights a scale can show. The point is split
//! over the lots of each pool, oldest first, rounded to the division, and
//! moved by single steps until no bound is pushed out by rounding, as far as
//! steps allow.

use crate::quantity::Grams;

use super::constraints::Plan;
use super::eligible::figures;
use super::problem::{Group, Problem};
use crate::stream::Measure;

/// Weights as they stand on the sheet.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Weighed {
    /// One for each group, in the problem's order.
    pub groups: Vec<WeighedGroup>,
}

/// One group's weights.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct WeighedGroup {
    /// Lot position and weight, none of them zero.
    pub draws: Vec<(usize, Grams)>,
    /// Purchase position and weight, none of them zero.
    pub bought: Vec<(usize, Grams)>,
    /// Water added.
    pub water: Grams,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum What {
    Lot(usize),
    Purchase(usize),
    Water,
}

/// One weight of a group while it is being rounded.
struct Slot {
    what: What,
    steps: i64,
    moisture: f64,
    analytes: Vec<f64>,
    litres_per_kg: f64,
    cap: Option<usize>,
}

/// Rounds the point of a plan.
pub(super) fn weigh(problem: &Problem, plan: &Plan, point: &[f64]) -> Weighed {
    let mut room = Room::new(problem);
    let mut split = split_pools(problem, plan, point);
    let mut weighed = Weighed::default();
    for (position, group) in problem.groups.iter().enumerate() {
        let columns = &plan.groups[position];
        let mut wanted: Vec<(What, f64)> = split[position]
            .drain(..)
            .map(|(lot, kg)| (What::Lot(lot), kg))
            .collect();
        wanted.extend(
            columns
                .bought
                .iter()
                .map(|(item, column)| (What::Purchase(*item), point[*column])),
        );
        wanted.extend(columns.water.map(|column| (What::Water, point[column])));
        let mut slots: Vec<Slot> = wanted
            .into_iter()
            .filter(|(_, kg)| *kg > DUST_KG)
            .filter_map(|(what, kg)| {
                let steps = problem
                    .division
                    .steps_nearest(kg)
                    .min(room.steps_left(problem, what))
                    .max(0);
                slot(problem, group, what, steps)
            })
            .collect();
        let targets = Targets::of_point(problem, plan, position, point);
        for slot in &slots {
            room.take(problem, slot.what, slot.steps);
        }
        repair(problem, group, &targets, &mut slots, &mut room);
        weighed.groups.push(collect(problem, &slots));
    }
    weighed
}

/// Below this a draw is solver noise, not feed.
const DUST_KG: f64 = 1e-6;

fn collect(problem: &Problem, slots: &[Slot]) -> WeighedGroup {
    let mut group = WeighedGroup::default();
    for slot in slots.iter().filter(|slot| slot.steps > 0) {
        let grams = problem.division.grams(slot.steps);
        match slot.what {
            What::Lot(lot) => group.draws.push((lot, grams)),
            What::Purchase(item) => group.bought.push((item, grams)),
            What::Water => group.water = grams,
        }
    }
    group
}

/// Each group's draws by lot: a pool's lots are used up oldest first, groups in order.
fn split_pools(problem: &Problem, plan: &Plan, point: &[f64]) -> Vec<Vec<(usize, f64)>> {
    let mut left: Vec<f64> = problem.lots.iter().map(|lot| lot.edible.kg()).collect();
    plan.groups
        .iter()
        .map(|columns| {
            let mut draws = Vec::new();
            for (pool, column) in &columns.draws {
                let mut wanted = point[*column];
                for &lot in &plan.pools[*pool].members {
                    let taken = wanted.min(left[lot]);
                    if taken > DUST_KG {
                        draws.push((lot, taken));
                        left[lot] -= taken;
                        wanted -= taken;
                    }
                }
            }
            draws
        })
        .collect()
}

fn slot(problem: &Problem, group: &Group, what: What, steps: i64) -> Option<Slot> {
    let (stream, composition) = match what {
        What::Lot(lot) => (&problem.lots[lot].stream, &problem.lots[lot].composition),
        What::Purchase(item) => (
            &problem.purchases[item].stream,
            &problem.purchases[item].composition,
        ),
        What::Water => {
            let analytes = vec![0.0; group.windows.len()];
            return Some(Slot {
                what,
                steps,
                moisture: 1.0,
                analytes,
                litres_per_kg: 1.0,
                cap: None,
            });
        }
    };
    let figures = figures(composition, group).ok()?;
    let cap = group.caps.keys().position(|capped| capped == stream);
    Some(Slot {
        what,
        steps,
        moisture: figures.moisture,
        analytes: figures.analytes,
        litres_per_kg: figures.litres_per_kg,
        cap,
    })
}

/// What is left to draw from, in grams.
struct Room {
    lots: Vec<Grams>,
    purchases: Vec<Grams>,
    water: Grams,
}

impl Room {
    fn new(problem: &Problem) -> Self {
        Self {
            lots: problem.lots.iter().map(|lot| lot.edible).collect(),
            purchases: problem
                .purchases
                .iter()
                .map(|purchase| purchase.limit)
                .collect(),
            water: problem.water_limit,
        }
    }

    fn left(&mut self, what: What) -> &mut Grams {
        match what {
            What::Lot(lot) => &mut self.lots[lot],
            What::Purchase(item) => &mut self.purchases[item],
            What::Water => &mut self.water,
        }
    }

    fn steps_left(&mut self, problem: &Problem, what: What) -> i64 {
        problem.division.steps_within(*self.left(what))
    }

    fn take(&mut self, problem: &Problem, what: What, steps: i64) {
        *self.left(what) -= problem.division.grams(steps);
    }

    /// Whether a slot may go from `steps` to one more.
    fn fits_one_more(&mut self, problem: &Problem, slot: &Slot) -> bool {
        let more = problem.division.grams(slot.steps + 1) - problem.division.grams(slot.steps);
        *self.left(slot.what) >= more
    }

    fn shift(&mut self, problem: &Problem, slot: &mut Slot, by: i64) {
        let before = problem.division.grams(slot.steps);
        slot.steps += by;
        *self.left(slot.what) += before - problem.division.grams(slot.steps);
    }
}

/// What rounding should come back to: the point's dry matter, and for each
/// bound the excess the point itself had.
struct Targets {
    dry_matter_kg: f64,
    excess: Vec<f64>,
}

impl Targets {
    fn of_point(problem: &Problem, plan: &Plan, position: usize, point: &[f64]) -> Self {
        let group = &problem.groups[position];
        let dry_matter_kg = group.dry_matter_kg - point[plan.groups[position].short];
        let mut sums = Sums::new(group);
        let columns = &plan.groups[position];
        let pools = columns
            .draws
            .iter()
            .map(|(pool, column)| (What::Lot(plan.pools[*pool].members[0]), point[*column]));
        let bought = columns
            .bought
            .iter()
            .map(|(item, column)| (What::Purchase(*item), point[*column]));
        let water = columns
            .water
            .iter()
            .map(|column| (What::Water, point[*column]));
        for (what, kg) in pools.chain(bought).chain(water) {
            if let Some(slot) = slot(problem, group, what, 0) {
                sums.add(&slot, kg);
            }
        }
        Self {
            dry_matter_kg,
            excess: sums
                .excesses(group)
                .map(|(_, excess)| excess.max(0.0))
                .collect(),
        }
    }
}

/// Running sums of a group's mix.
#[derive(Clone)]
struct Sums {
    wet: f64,
    dry: f64,
    litres: f64,
    analytes: Vec<f64>,
    capped: Vec<f64>,
}

impl Sums {
    fn new(group: &Group) -> Self {
        Self {
            wet: 0.0,
            dry: 0.0,
            litres: 0.0,
            analytes: vec![0.0; group.windows.len()],
            capped: vec![0.0; group.caps.len()],
        }
    }

    fn add(&mut self, slot: &Slot, kg: f64) {
        let dry = kg * (1.0 - slot.moisture);
        self.wet += kg;
        self.dry += dry;
        self.litres += kg * slot.litres_per_kg;
        for (sum, share) in self.analytes.iter_mut().zip(&slot.analytes) {
            *sum += share * dry;
        }
        if let Some(cap) = slot.cap {
            self.capped[cap] += kg;
        }
    }

    /// Every bound as (weight of the bound, excess above zero when broken).
    fn excesses<'a>(&'a self, group: &'a Group) -> impl Iterator<Item = (f64, f64)> + 'a {
        const HARD: f64 = 1e3;
        let wanted = group.dry_matter_kg;
        let analyte_positions = group.windows.keys().scan(0, |next, measure| {
            let position = *next;
            *next += usize::from(matches!(measure, Measure::Analyte(_)));
            Some(position)
        });
        let windows = group.windows.iter().zip(analyte_positions).flat_map(
            move |((measure, window), position)| {
                let (have, whole, scale) = match measure {
                    Measure::Moisture => (self.wet - self.dry, self.wet, 1.0),
                    Measure::Analyte(_) => (self.analytes[position], self.dry, 0.1),
                };
                let over =
                    move |bound: Option<f64>| bound.map_or(0.0, |bound| have - bound * whole);
                let under =
                    move |bound: Option<f64>| bound.map_or(0.0, |bound| bound * whole - have);
                let weight = 1.0 / (scale * wanted);
                [
                    (weight, over(window.max)),
                    (weight, under(window.min)),
                    (HARD * weight, over(window.limit_max)),
                    (HARD * weight, under(window.limit_min)),
                ]
            },
        );
        let caps = group
            .caps
            .values()
            .zip(&self.capped)
            .map(move |(cap, sum)| (HARD / wanted, sum - cap.get() * self.wet));
        let volume = group
            .volume
            .iter()
            .map(move |volume| (HARD / wanted, self.litres - volume.get()));
        windows.chain(caps).chain(volume)
    }

    /// How bad a rounding is: bounds pushed out first, then dry matter missed.
    fn badness(&self, group: &Group, targets: &Targets) -> f64 {
        const BOUNDS_BEFORE_DRY_MATTER: f64 = 1e4;
        let pushed: f64 = self
            .excesses(group)
            .zip(&targets.excess)
            .map(|((weight, excess), allowed)| weight * (excess - allowed).max(0.0))
            .sum();
        BOUNDS_BEFORE_DRY_MATTER * pushed
            + (self.dry - targets.dry_matter_kg).abs() / group.dry_matter_kg
    }
}

/// Moves single steps, or one step from one part to another, as long as that
/// makes the rounding less bad.
fn repair(
    problem: &Problem,
    group: &Group,
    targets: &Targets,
    slots: &mut [Slot],
    room: &mut Room,
) {
    const ROUNDS_MAX: usize = 200;
    let step_kg = problem.division.kg();
    let mut sums = Sums::new(group);
    for slot in slots.iter() {
        sums.add(slot, problem.division.grams(slot.steps).kg());
    }
    let mut badness = sums.badness(group, targets);
    for _ in 0..ROUNDS_MAX {
        let ups: Vec<usize> = (0..slots.len())
            .filter(|&index| room.fits_one_more(problem, &slots[index]))
            .collect();
        let downs: Vec<usize> = (0..slots.len())
            .filter(|&index| slots[index].steps > 0)
            .collect();
        let singles = ups
            .iter()
            .map(|&up| (Some(up), None))
            .chain(downs.iter().map(|&down| (None, Some(down))));
        let pairs = ups.iter().flat_map(|&up| {
            downs
                .iter()
                .filter(move |&&down| down != up)
                .map(move |&down| (Some(up), Some(down)))
        });
        let better = |moves: &mut dyn Iterator<Item = Move>| {
            best_move(moves, slots, &sums, group, targets, step_kg, badness)
        };
        let Some((after, (up, down))) =
            better(&mut singles.into_iter()).or_else(|| better(&mut pairs.into_iter()))
        else {
            return;
        };
        badness = after;
        for (index, by) in [(up, 1), (down, -1)] {
            if let Some(index) = index {
                #[expect(clippy::cast_precision_loss, reason = "one step")]
                sums.add(&slots[index], step_kg * by as f64);
                room.shift(problem, &mut slots[index], by);
            }
        }
    }
}

/// A slot that gains a step and a slot that loses one.
type Move = (Option<usize>, Option<usize>);

fn best_move(
    moves: &mut dyn Iterator<Item = Move>,
    slots: &[Slot],
    sums: &Sums,
    group: &Group,
    targets: &Targets,
    step_kg: f64,
    badness: f64,
) -> Option<(f64, Move)> {
    const GAIN_LEAST: f64 = 1e-12;
    let mut best: Option<(f64, Move)> = None;
    for (up, down) in moves {
        let mut moved = sums.clone();
        if let Some(up) = up {
            moved.add(&slots[up], step_kg);
        }
        if let Some(down) = down {
            moved.add(&slots[down], -step_kg);
        }
        let after = moved.badness(group, targets);
        if after < best.map_or(badness - GAIN_LEAST, |(found, _)| found) {
            best = Some((after, (up, down)));
        }
    }
    best
}
