//! The plain goals, in order.
//!
//! Limits are rows. Windows get one excess *e ≥ 0* each, in the row's own
//! kilograms. Goals, each held by a row *f ≤ f\* + 1e-7·max(1, |f\*|)* while
//! the next is solved (the slack is part of the definition): 1. min *Σ s/D*; 2.
//! min *Σ e/(scale·D)*, scale 1 kg water per kg DM, 0.1 for an analyte; 3. max
//! *Σ u x*; 4. min *Σ p x*.

use std::ops::Range;

use super::chain::{Chain, solve_from};
use super::constraints::Plan;
use super::model::{Goal, Model, Row};
use super::solve::{Optimum, Unsolved};
use super::tolerance::GOAL_SLACK;

pub(super) const GOALS: usize = 7;
/// Position of the goal of sureness among them: those before it are settled
/// without margins.
pub(super) const SURE: usize = 3;

/// The goals as proved, before rounding.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Tiers {
    /// Dry matter not fed, kilograms over all groups.
    pub short_dm_kg: f64,
    /// Distance outside: Σ e / (scale · D), without unit.
    pub outside: f64,
    /// Water added as the last resort, kilograms; 0 where it is no goal.
    pub water_kg: f64,
    /// Standard deviations short of the chance asked for, summed over the windows' sides.
    pub unsure: f64,
    /// Urgency-weighted kilograms used.
    pub urgent_kg: f64,
    /// Money.
    pub cost: f64,
    /// Goals whose value no bound proves best.
    pub unproved: [bool; GOALS],
}

impl Plan {
    /// The goals in their order, each with the name of the row that holds it.
    /// One without terms is not asked for.
    #[must_use]
    pub fn goals(&self) -> [(&'static str, &Goal); GOALS] {
        [
            ("goal shortage", &self.shortage),
            ("goal outside", &self.outside),
            ("goal water", &self.water),
            ("goal sure", &self.sure),
            ("goal urgent", &self.urgent),
            ("goal cost", &self.cost),
            ("goal steady", &self.steady),
        ]
    }
}

/// Solves the goals in order, each held while the next is solved, then
/// breaks what ties remain. Returns the goals and the final point.
///
/// # Errors
/// When no engine can verify one of the goals.
pub fn goals_in_order(plan: &Plan) -> Result<(Tiers, Vec<f64>), Unsolved> {
    goals_shown(plan, |_, _, _| ())
}

/// The same, showing the exact problem of each goal before it is solved.
///
/// # Errors
/// When no engine can verify one of the goals.
pub fn goals_shown(
    plan: &Plan,
    mut show: impl FnMut(&'static str, &Model, &Goal),
) -> Result<(Tiers, Vec<f64>), Unsolved> {
    let nothing = nothing_fed(plan);
    let mut chain = Chain::of_plan(plan, &nothing);
    // The chain is left at the first goal it can't prove.
    let mut solve = |model: &mut Model, goal: &Goal, point: &[f64]| {
        let next = chain.as_mut().and_then(|chain| chain.next(model, goal));
        if next.is_none() {
            chain = None;
        }
        next.map_or_else(|| solve_from(model, goal, point), Ok)
    };
    let mut run = Run::begin(plan, &nothing, &mut solve)?;
    run.goals(plan, 0..GOALS, &mut show, &mut solve)?;
    run.ties(plan, &mut show, &mut solve)?;
    Ok((run.tiers(plan), run.point))
}

/// Goals on their way: what is held so far, and the point reached.
#[derive(Debug, Clone)]
pub(super) struct Run {
    /// Rows that hold the goals solved.
    pub holds: Vec<Row>,
    pub point: Vec<f64>,
    /// The goals' values, in order.
    pub values: [f64; GOALS],
    pub unproved: [bool; GOALS],
}

impl Run {
    /// Begins with both first goals at once: on most nights everyone can be fed
    /// inside, and a sum of two that can't go below zero is zero, so that one
    /// solve proves both.
    pub(super) fn begin(
        plan: &Plan,
        start: &[f64],
        solve: &mut impl FnMut(&mut Model, &Goal, &[f64]) -> Result<Optimum, Unsolved>,
    ) -> Result<Self, Unsolved> {
        let both = [
            plan.shortage.terms.as_slice(),
            plan.outside.terms.as_slice(),
        ];
        let both = Goal::minimise(both.concat());
        let point = solve(&mut plan.model.clone(), &both, start)?.point;
        Ok(Self {
            holds: Vec::new(),
            point,
            values: [0.0; GOALS],
            unproved: [false; GOALS],
        })
    }

    /// The plan's rows with those that hold goals.
    pub(super) fn model(&self, plan: &Plan) -> Model {
        let mut model = plan.model.clone();
        model.rows.extend(self.holds.iter().cloned());
        model
    }

    /// Solves some of the goals, each held from then on.
    pub(super) fn goals(
        &mut self,
        plan: &Plan,
        which: Range<usize>,
        show: &mut impl FnMut(&'static str, &Model, &Goal),
        solve: &mut impl FnMut(&mut Model, &Goal, &[f64]) -> Result<Optimum, Unsolved>,
    ) -> Result<(), Unsolved> {
        let goals = plan.goals();
        let mut model = self.model(plan);
        for position in which {
            let (name, goal) = goals[position];
            if goal.terms.is_empty() {
                continue;
            }
            show(name, &model, goal);
            if is_at_its_floor(goal, &self.point) {
                self.values[position] = 0.0;
                self.unproved[position] = false;
            } else {
                let optimum = solve(&mut model, goal, &self.point)?;
                self.values[position] = optimum.value;
                self.unproved[position] = !optimum.is_proved();
                self.point = optimum.point;
            }
            let slack = if position == SURE {
                SURE_SLACK
            } else {
                GOAL_SLACK * self.values[position].abs().max(1.0)
            };
            let row = held(name, goal, self.values[position], slack);
            model.rows.push(row.clone());
            self.holds.push(row);
        }
        Ok(())
    }

    /// Breaks what ties remain.
    pub(super) fn ties(
        &mut self,
        plan: &Plan,
        show: &mut impl FnMut(&'static str, &Model, &Goal),
        solve: &mut impl FnMut(&mut Model, &Goal, &[f64]) -> Result<Optimum, Unsolved>,
    ) -> Result<(), Unsolved> {
        if !plan.tie_break.terms.is_empty() {
            let mut model = self.model(plan);
            show("ties", &model, &plan.tie_break);
            self.point = solve(&mut model, &plan.tie_break, &self.point)?.point;
        }
        Ok(())
    }

    /// The rows that hold the goals before sureness.
    pub(super) fn exact(&self, plan: &Plan) -> Vec<Row> {
        let names = &plan.goals()[..SURE];
        let is_before = |row: &&Row| names.iter().any(|(name, _)| *name == row.name);
        self.holds.iter().filter(is_before).cloned().collect()
    }

    pub(super) fn tiers(&self, plan: &Plan) -> Tiers {
        let short = |columns: &super::constraints::GroupColumns| self.point[columns.short];
        let [_, outside, water_kg, unsure, urgent_kg, cost, _] = self.values;
        Tiers {
            short_dm_kg: plan.groups.iter().map(short).sum(),
            outside,
            water_kg,
            unsure,
            urgent_kg,
            cost,
            unproved: self.unproved,
        }
    }
}

/// Slack of the row that holds the sum of standard deviations: margins are kept
/// to a fiftieth of one each, and what that leaves is no one's loss.
pub(super) const SURE_SLACK: f64 = 0.05;

/// The point where no kilogram is fed: it meets every row, unless storage is
/// too small for what comes.
pub(super) fn nothing_fed(plan: &Plan) -> Vec<f64> {
    let mut point = vec![0.0; plan.model.columns.len()];
    for group in &plan.groups {
        point[group.short] = plan.model.columns[group.short].upper;
    }
    point
}

/// Whether the point proves a goal best without a solve: no coefficient is
/// below zero, so the goal can't be either, and the point has it at zero.
fn is_at_its_floor(goal: &Goal, point: &[f64]) -> bool {
    const FLOOR: f64 = 1e-9;
    let floored = goal
        .terms
        .iter()
        .all(|(_, coefficient)| *coefficient >= 0.0);
    !goal.maximise && floored && goal.value(point) <= FLOOR
}

/// The row that holds a goal within a slack of its value.
pub(super) fn held(name: &str, goal: &Goal, value: f64, slack: f64) -> Row {
    let (lower, upper) = if goal.maximise {
        (value - slack, f64::INFINITY)
    } else {
        (f64::NEG_INFINITY, value + slack)
    };
    Row {
        name: name.to_owned(),
        terms: goal.terms.clone(),
        lower,
        upper,
    }
}
