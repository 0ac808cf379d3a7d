//! The goals of a plan of many nights in order, each from the corner where the
//! one before ended: one basis for all of them.
//!
//! What the corner-to-corner method says is not believed: the point is checked
//! row by row, and its value against the bound its multipliers prove.
//!
//! Goals of a plan go along one chain (`blend/chain.rs`): a primal simplex
//! method of our own (`blend/simplex/`) begins where nobody is fed, makes a
//! folded sum of all goals small to find a corner near the last one, then takes
//! the goals in order, each from the corner of the one before, each held by a
//! bound on its row. The folded sum only steers. A goal counts as solved when
//! its point meets every row and its value lies within 1e-8 of the bound its
//! multipliers prove (`blend/bound.rs`); if not, the engines solve it and those
//! after it from nothing. Models with at most 100 shared rows, a single
//! night's, are solved as before. Tried and slower: an interior-point method
//! (6.7 s a goal at 28 × 50), sifting, moving the rows' bounds by a hair
//! against degenerate steps, letting nights in one after another.
//!
//! `tests/ahead_plans.rs` compares every goal with an interior-point method,
//! and with HiGHS where Python has `highspy`; where `tests/run` made that
//! Python, its absence fails. `cargo bench --bench ahead` prints times and the
//! ratio: on a busy two-core machine, November 2026, all four goals and the
//! tie-break of 14 nights × 15 invented streams × 3 groups took 0.08 s on the
//! processor, 0.29 times HiGHS (1.16.0, each goal from nothing), in 10 MB; 28 ×
//! 50 took 2.8 s, 0.14 times HiGHS, in 43 MB; 60 × 50 took 24 s, in 94 MB.

use super::constraints::Plan;
use super::model::{Goal, Model};
use super::sift::shares_much;
use super::simplex::Simplex;
use super::solve::{Optimum, verified};
use super::tiers::GOALS;

/// Accepted distance to the bound proved, relative and absolute: a tenth of the
/// slack goals are held with.
const GAP: f64 = 1e-8;
/// A multiplier below this, on a side without an end, is zero.
const ZERO: f64 = 1e-9;
/// Weights of the goals, in order, in the sum that finds a corner to begin from (our
/// default, measured: about a quarter less time than going goal by goal).
const FOLDED: [f64; GOALS] = [1000.0, 300.0, 10.0, 1.0, 1.0, 0.1, 0.1];
/// The tie-break's weight in it.
const FOLDED_TIES: f64 = 0.001;

/// A corner that goes from goal to goal.
pub(super) struct Chain {
    simplex: Simplex,
    /// How many of the goals' rows are held.
    held: usize,
    /// Rows without the goals'.
    rows: usize,
}

impl Chain {
    /// Begins near a point, at a corner that is good for all goals together.
    /// `None` where one solve at a time does better: few rows are shared.
    pub(super) fn begin(plan: &Plan, near: &[f64]) -> Option<Self> {
        if !shares_much(&plan.model) {
            return None;
        }
        let mut model = plan.model.clone();
        let mut folded = Vec::new();
        let weights = FOLDED.into_iter().chain([FOLDED_TIES]);
        let goals = plan.goals().map(|(_, goal)| goal);
        for (goal, weight) in goals.into_iter().chain([&plan.tie_break]).zip(weights) {
            if model.unfit(goal).is_some() {
                return None;
            }
            folded.extend(made_small(goal).map(|(column, by)| (column, weight * by)));
        }
        // Each goal's value has a row from the start, without bounds until held.
        for goal in goals.into_iter().filter(|goal| !goal.terms.is_empty()) {
            model.between("", goal.terms.clone(), f64::NEG_INFINITY, f64::INFINITY);
        }
        let mut simplex = Simplex::new(&model, near)?;
        simplex.minimise(folded)?;
        Some(Self {
            simplex,
            held: 0,
            rows: plan.model.rows.len(),
        })
    }

    /// The optimum of a goal, where it is proved. The model is the plan's with the
    /// rows of the goals held so far behind it.
    pub(super) fn next(&mut self, model: &Model, goal: &Goal) -> Option<Optimum> {
        for row in self.rows + self.held..model.rows.len() {
            let held = &model.rows[row];
            self.simplex.bound(row, held.lower, held.upper);
            self.held += 1;
        }
        self.simplex.minimise(made_small(goal))?;
        let optimum = verified(model, goal, self.simplex.point().to_vec()).ok()?;
        let multipliers = self.simplex.multipliers();
        let bound = model.bound_proved(goal, &multipliers[..model.rows.len()], ZERO)?;
        let gap = (optimum.value - bound).abs();
        (gap <= GAP * optimum.value.abs().max(1.0)).then_some(optimum)
    }
}

fn made_small(goal: &Goal) -> impl Iterator<Item = (usize, f64)> + '_ {
    let sign = if goal.maximise { -1.0 } else { 1.0 };
    (goal.terms.iter()).map(move |(column, coefficient)| (*column, sign * coefficient))
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use super::super::solve::solve;
    use super::super::{Composition, Group, Lot, NightPlan, Policy, Problem, Role, joined};
    use super::*;
    use crate::quantity::{Decimal, Division, Grams, MassUnit, ShareAsFed, ShareOfDry};
    use crate::stream::{Analyte, Measure, StreamId, Window};

    fn lot(number: u8, kg: f64) -> Lot {
        let spread = f64::from(number * 7 % 11) / 11.0;
        let is_dry = number.is_multiple_of(3);
        let moisture = if is_dry { 12.0 } else { 76.0 + 14.0 * spread };
        let grams = Grams::from_kg(kg).expect("a weight");
        let share = |pct| ShareOfDry::from_pct(pct).expect("a share");
        Lot {
            name: format!("L{number:02}"),
            stream: StreamId::parse(&format!("stream-{number}")).expect("an id"),
            on_hand: grams,
            edible: grams,
            composition: Composition {
                moisture: Some(ShareAsFed::from_pct(moisture).expect("moisture")),
                analytes: BTreeMap::from([
                    (Analyte::named("protein"), share(6.0 + 20.0 * spread)),
                    (Analyte::named("fat"), share(14.0 - 12.0 * spread)),
                ]),
                density: None,
                ballast: 0.0,
            },
            price_per_kg: if is_dry { 0.1 + spread } else { 0.0 },
            age_days: 3.0 * spread,
            keeps_days: Some(4.0),
            buckets: 1.0,
            barred: None,
        }
    }

    fn group(name: &str, dry_matter_kg: f64) -> Group {
        let window = |key: &str, min, max| {
            let window = Window {
                min: Some(min),
                max: Some(max),
                ..Window::default()
            };
            (Measure::from_key(key).expect("a measure"), window)
        };
        Group {
            name: name.to_owned(),
            dry_matter_kg,
            volume: None,
            windows: [
                window("moisture_pct", 0.60, 0.72),
                window("protein_dm_pct", 0.12, 0.20),
                window("fat_dm_pct", 0.02, 0.10),
            ]
            .into(),
            caps: BTreeMap::new(),
            assumed: BTreeMap::new(),
            assumed_density: None,
            ..Group::default()
        }
    }

    /// Twelve nights that share what is there, `kg` of each lot.
    fn nights(kg: f64) -> Plan {
        let problem = Problem {
            lots: (0..14).map(|number| lot(number, kg)).collect(),
            purchases: Vec::new(),
            water_limit: Grams::ZERO,
            groups: vec![group("last-feeds", 5.0), group("young", 1.0)],
            division: Decimal::parse("0.1")
                .and_then(|step| Division::new(step, MassUnit::Kg))
                .expect("a division"),
            spreads: None,
            policy: Policy::default(),
        };
        let night = NightPlan::new(&problem, |position| position);
        let parts = vec![night.clone(); 12];
        let mut plan = joined(&parts);
        let mut stock: BTreeMap<usize, Vec<(usize, f64)>> = BTreeMap::new();
        for part in 0..parts.len() {
            for (column, role) in night.roles() {
                if let Role::Draw { pool, .. } = role {
                    let terms = stock.entry(pool).or_default();
                    terms.push((part * night.width() + column, 1.0));
                }
            }
        }
        for terms in stock.into_values() {
            plan.model.at_most("stock", terms, kg);
        }
        plan
    }

    /// Every goal is proved by the chain itself, and the engines, each beginning
    /// anew, agree: with plenty, with too little, with next to nothing.
    #[test]
    fn goals_are_proved_along_one_chain() {
        for kg in [40.0, 12.0, 1.0] {
            let plan = nights(kg);
            let near = vec![0.0; plan.model.columns.len()];
            let mut chain = Chain::begin(&plan, &near).expect("many rows are shared");
            let mut model = plan.model.clone();
            let goals = plan.goals().map(|(_, goal)| goal);
            let goals = goals.into_iter().filter(|goal| !goal.terms.is_empty());
            for goal in goals.chain([&plan.tie_break]) {
                let ours = chain.next(&model, goal).expect("proved").value;
                let theirs = solve(&model, goal).expect("solved").value;
                let near = 1e-6 * theirs.abs().max(1.0);
                assert!((ours - theirs).abs() < near, "{kg}: {ours} {theirs}");
                let slack = 1e-7 * ours.abs().max(1.0);
                let (lower, upper) = if goal.maximise {
                    (ours - slack, f64::INFINITY)
                } else {
                    (f64::NEG_INFINITY, ours + slack)
                };
                model.between("held", goal.terms.clone(), lower, upper);
            }
        }
    }
}
