//! The goals of a plan of many nights in order, each from the corner where the
//! one before ended: one basis for all of them.
//!
//! What the corner-to-corner method says is not believed: the point is checked
//! row by row, and its value against the bound its multipliers prove.

use super::constraints::Plan;
use super::model::{Goal, Model};
use super::sift::shares_much;
use super::simplex::Simplex;
use super::solve::{Optimum, verified};

/// Accepted distance to the bound proved, relative and absolute: a tenth of the
/// slack goals are held with.
const GAP: f64 = 1e-8;
/// A multiplier below this, on a side without an end, is zero.
const ZERO: f64 = 1e-9;
/// Weights of the four goals and the steady one in the sum that finds a corner to
/// begin from (our default, measured: half the exchanges of going goal by goal).
const FOLDED: [f64; 5] = [1000.0, 300.0, 1.0, 0.1, 0.1];
/// The tie-break's weight in it.
const FOLDED_TIES: f64 = 0.01;

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
