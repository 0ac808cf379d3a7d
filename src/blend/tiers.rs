//! The plain goals, in order.
//!
//! Limits are rows. Windows get one excess *e ≥ 0* each, in the row's own
//! kilograms. Goals, each held by a row *f ≤ f\* + 1e-7·max(1, |f\*|)* while
//! the next is solved (the slack is part of the definition): 1. min *Σ s/D*; 2.
//! min *Σ e/(scale·D)*, scale 1 kg water per kg DM, 0.1 for an analyte; 3. max
//! *Σ u x*; 4. min *Σ p x*.

use std::ops::Range;

use super::chain::{Cuts, Walk};
use super::constraints::Plan;
use super::goals::{GOALS, SURE};
use super::model::{Goal, Model, Row};
use super::solve::Unsolved;
use super::tolerance::GOAL_SLACK;

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
    let mut run = Run::begin(plan)?;
    run.goals(plan, 0..GOALS, &mut show, None)?;
    run.ties(plan, &mut show, None)?;
    Ok((run.tiers(plan), run.walk.point))
}

/// Goals on their way: what is held so far, and where they stand.
#[derive(Debug, Clone)]
pub(super) struct Run {
    pub walk: Walk,
    /// The rows that hold the goals solved.
    held: [Option<usize>; GOALS],
    /// The goals' values, in order.
    pub values: [f64; GOALS],
    unproved: [bool; GOALS],
}

impl Run {
    /// Begins with both first goals at once: on most nights everyone can be fed
    /// inside, and a sum of two that can't go below zero is zero, so that one
    /// solve proves both.
    pub(super) fn begin(plan: &Plan) -> Result<Self, Unsolved> {
        let both = [
            plan.shortage.terms.as_slice(),
            plan.outside.terms.as_slice(),
        ];
        let mut walk = Walk::of_plan(plan);
        walk.best(&Goal::minimise(both.concat()))?;
        Ok(Self {
            walk,
            held: [None; GOALS],
            values: [0.0; GOALS],
            unproved: [false; GOALS],
        })
    }

    /// The same goals held in another model of the same plan, standing at a point of it.
    pub(super) fn moved_to(&self, model: Model, point: Vec<f64>) -> Self {
        let mut moved = Self {
            walk: Walk::new(model, point),
            ..*self
        };
        for row in moved.held.iter_mut().flatten() {
            moved.walk.add(self.walk.model.rows[*row].clone());
            *row = moved.walk.model.rows.len() - 1;
        }
        moved
    }

    /// Solves some of the goals, each held from then on, with the rows their points call for.
    pub(super) fn goals(
        &mut self,
        plan: &Plan,
        which: Range<usize>,
        show: &mut impl FnMut(&'static str, &Model, &Goal),
        mut called_for: Option<Cuts>,
    ) -> Result<(), Unsolved> {
        let goals = plan.goals();
        for position in which {
            let (name, goal) = goals[position];
            if goal.terms.is_empty() {
                continue;
            }
            show(name, &self.walk.model, goal);
            if is_at_its_floor(goal, &self.walk.point) {
                self.values[position] = 0.0;
                self.unproved[position] = false;
            } else {
                let found = match called_for.as_deref_mut() {
                    Some(called_for) => self.walk.best_cutting(goal, called_for)?,
                    None => self.walk.best(goal)?,
                };
                self.values[position] = found.value;
                self.unproved[position] = !found.is_proved();
            }
            let slack = if position == SURE {
                SURE_SLACK
            } else {
                GOAL_SLACK * self.values[position].abs().max(1.0)
            };
            self.held[position] = Some(self.walk.model.rows.len());
            self.walk
                .add(held(name, goal, self.values[position], slack));
        }
        Ok(())
    }

    /// Breaks what ties remain.
    pub(super) fn ties(
        &mut self,
        plan: &Plan,
        show: &mut impl FnMut(&'static str, &Model, &Goal),
        called_for: Option<Cuts>,
    ) -> Result<(), Unsolved> {
        let goal = &plan.tie_break;
        if !goal.terms.is_empty() {
            show("ties", &self.walk.model, goal);
            match called_for {
                Some(called_for) => self.walk.best_cutting(goal, called_for)?,
                None => self.walk.best(goal)?,
            };
        }
        Ok(())
    }

    /// Takes the later goals' values from where it stands.
    pub(super) fn valued_where_it_stands(&mut self, plan: &Plan) {
        for (position, (_, goal)) in plan.goals().into_iter().enumerate().skip(SURE) {
            self.values[position] = goal.value(&self.walk.point);
        }
    }

    /// Lets a held goal be worse than its value by a slack, or by anything.
    pub(super) fn loosen(&mut self, plan: &Plan, position: usize, slack: f64) {
        let (_, goal) = plan.goals()[position];
        if let Some(row) = self.held[position] {
            let Row { lower, upper, .. } = held("", goal, self.values[position], slack);
            self.walk.bound_row(row, lower, upper);
        }
    }

    /// The goals from one on, and ties.
    pub(super) fn goals_from(
        &mut self,
        plan: &Plan,
        from: usize,
        mut called_for: Option<Cuts>,
    ) -> Result<(), Unsolved> {
        let cuts: Option<Cuts> = match &mut called_for {
            Some(rows) => Some(&mut **rows),
            None => None,
        };
        self.goals(plan, from..GOALS, &mut not_shown, cuts)?;
        self.ties(plan, &mut not_shown, called_for)
    }

    pub(super) fn tiers(&self, plan: &Plan) -> Tiers {
        let short = |columns: &super::constraints::GroupColumns| self.walk.point[columns.short];
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

/// Goals solved on the way are not shown to anyone.
pub(super) fn not_shown(_: &'static str, _: &Model, _: &Goal) {}

/// Slack of the row that holds the sum of standard deviations: margins are kept
/// to a fiftieth of one each, and what that leaves is no one's loss.
pub(super) const SURE_SLACK: f64 = 0.05;

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
