//! From the solver's point to weights a scale can show. The point is split
//! over the lots of each pool, oldest first, rounded to the division, and
//! handed to `repair`, which moves single steps.

use std::collections::{BTreeMap, BTreeSet};

use crate::quantity::{Division, Grams};

use super::constraints::Plan;
use super::problem::Problem;
use super::repair::{Ledger, repair};
use super::slot::{Room, Slot, What, slot};
use super::tolerance::DUST_KG;

/// Weights as they stand on the sheet.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Weighed {
    /// One for each group, in the problem's order.
    pub groups: Vec<WeighedGroup>,
}

/// What is drawn of a lot for a group however the rest is rounded: by their positions.
pub(super) type Fixed = BTreeMap<(usize, usize), Grams>;

/// One group's weights.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct WeighedGroup {
    /// Lot position and weight, none of them zero.
    pub draws: Vec<(usize, Grams)>,
    /// Purchase position and weight, none of them zero.
    pub bought: Vec<(usize, Grams)>,
    pub water: Grams,
}

impl WeighedGroup {
    /// Draws, purchases and water.
    fn wet(&self) -> Grams {
        let parts = self.draws.iter().chain(&self.bought);
        parts.map(|(_, grams)| *grams).sum::<Grams>() + self.water
    }
}

impl Weighed {
    /// What each group weighs, with the scale's division for it.
    pub(super) fn scales(&self, problem: &Problem) -> Vec<(Grams, Division)> {
        let wet = self.groups.iter().map(WeighedGroup::wet);
        wet.map(|wet| (wet, problem.division_for(wet.kg())))
            .collect()
    }

    /// Group and lot of each last draw of a lot that leaves less of what could be
    /// fed than its group's scale shows.
    pub(super) fn emptying(&self, problem: &Problem) -> BTreeSet<(usize, usize)> {
        let mut rest: Vec<Grams> = problem.lots.iter().map(|lot| lot.edible).collect();
        let mut last = BTreeMap::new();
        for (group, weights) in self.groups.iter().enumerate() {
            for (lot, grams) in &weights.draws {
                rest[*lot] -= *grams;
                last.insert(*lot, group);
            }
        }
        let scales = self.scales(problem);
        let empties = |(lot, group): &(usize, usize)| rest[*lot].kg() < scales[*group].1.kg();
        let last = last.into_iter().filter(empties);
        last.map(|(lot, group)| (group, lot)).collect()
    }
}

/// Rounds the point of a plan. All groups take their nearest weights before
/// any is repaired, so that none is repaired out of another's share of a lot.
pub(super) fn weigh(problem: &Problem, plan: &Plan, point: &[f64], fixed: &Fixed) -> Weighed {
    let mut room = Room::new(problem);
    let (split, _) = split_pools(problem, plan, point);
    let rounded: Vec<(Division, Vec<Slot>)> = problem
        .groups
        .iter()
        .zip(&plan.groups)
        .zip(split)
        .enumerate()
        .map(|(position, ((group, columns), draws))| {
            let lots = draws.into_iter().map(|(_, lot, kg)| (What::Lot(lot), kg));
            let bought = columns
                .bought
                .iter()
                .map(|(item, column)| (What::Purchase(*item), point[*column]));
            let water = columns
                .water
                .map(|column| (What::Water, point[column]))
                .into_iter();
            let parts: Vec<(What, f64)> = (lots.chain(bought).chain(water))
                .filter(|(_, kg)| *kg > DUST_KG)
                .collect();
            let group_kg: f64 = parts.iter().map(|(_, kg)| kg).sum();
            let division = problem.division_for(group_kg * LARGER);
            let slots = parts.into_iter().filter_map(|(what, kg)| {
                let left = division.steps_within(*room.left(what));
                let fixed = match what {
                    What::Lot(lot) => fixed.get(&(position, lot)),
                    _ => None,
                };
                let nearest = division.steps_nearest(fixed.map_or(kg, |grams| grams.kg()));
                let steps = nearest.min(left).max(0);
                *room.left(what) -= division.grams(steps);
                let slot = slot(problem, group, what, kg, steps)?;
                Some(Slot {
                    is_fixed: fixed.is_some(),
                    ..slot
                })
            });
            (division, slots.collect())
        })
        .collect();
    let groups = problem.groups.iter().zip(rounded);
    let groups = groups.map(|(group, (division, mut slots))| {
        let mut ledger = Ledger::new(division, group, &slots);
        repair(division, &mut ledger, &mut slots, &mut room);
        collect(division, &slots)
    });
    Weighed {
        groups: groups.collect(),
    }
}

/// A group is weighed on the small scale where it stays on it however it is rounded.
const LARGER: f64 = 1.02;

fn collect(division: Division, slots: &[Slot]) -> WeighedGroup {
    let mut group = WeighedGroup::default();
    for slot in slots.iter().filter(|slot| slot.steps > 0) {
        let grams = division.grams(slot.steps);
        match slot.what {
            What::Lot(lot) => group.draws.push((lot, grams)),
            What::Purchase(item) => group.bought.push((item, grams)),
            What::Water => group.water = grams,
        }
    }
    group
}

/// Column, lot and kilograms drawn of it.
pub(super) type Split = (usize, usize, f64);

/// Each group's draws, and what is left of each lot: a
/// pool's lots are used up oldest first, groups in order.
pub(super) fn split_pools(
    problem: &Problem,
    plan: &Plan,
    point: &[f64],
) -> (Vec<Vec<Split>>, Vec<f64>) {
    let mut left: Vec<f64> = problem.lots.iter().map(|lot| lot.edible.kg()).collect();
    let mut split = Vec::new();
    for columns in &plan.groups {
        let mut draws = Vec::new();
        for (pool, column) in &columns.draws {
            let mut wanted = point[*column];
            for &lot in &plan.pools[*pool].members {
                let taken = wanted.min(left[lot]);
                if taken > DUST_KG {
                    draws.push((*column, lot, taken));
                    left[lot] -= taken;
                    wanted -= taken;
                }
            }
        }
        split.push(draws);
    }
    (split, left)
}
