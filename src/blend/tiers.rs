use super::chain::Chain;
use super::constraints::Plan;
use super::model::{Goal, Model};
use super::sift::solve_from;
use super::solve::{Optimum, Unsolved};
use super::tolerance::GOAL_SLACK;

/// The four goals as proved, before rounding.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tiers {
    /// Dry matter not fed, kilograms over all groups.
    pub short_dm_kg: f64,
    /// The second goal: Σ e / (scale · D), without unit.
    pub outside: f64,
    /// The third goal: urgency-weighted kilograms used.
    pub urgent_kg: f64,
    /// The fourth goal: money.
    pub cost: f64,
}

impl Plan {
    /// The goals in their order, each with the name of the row that holds it.
    #[must_use]
    pub fn goals(&self) -> [(&'static str, &Goal); 5] {
        [
            ("goal shortage", &self.shortage),
            ("goal outside", &self.outside),
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
    show: impl FnMut(&'static str, &Model, &Goal),
) -> Result<(Tiers, Vec<f64>), Unsolved> {
    let mut model = plan.model.clone();
    let nothing = nothing_fed(plan);
    let mut chain = Chain::begin(plan, &nothing);
    // The chain is left at the first goal it can't prove.
    goals_by(plan, &mut model, show, |model, goal, point| {
        let next = chain.as_mut().and_then(|chain| chain.next(model, goal));
        if next.is_none() {
            chain = None;
        }
        next.map_or_else(|| solve_from(model, goal, point), Ok)
    })
}

/// The same by a solver that may add rows to the model, which then hold for the goals after.
pub(super) fn goals_by(
    plan: &Plan,
    model: &mut Model,
    mut show: impl FnMut(&'static str, &Model, &Goal),
    mut solve: impl FnMut(&mut Model, &Goal, &[f64]) -> Result<Optimum, Unsolved>,
) -> Result<(Tiers, Vec<f64>), Unsolved> {
    // On most nights everyone can be fed inside: then one solve proves both
    // first goals, since a sum of two that can't go below zero is zero.
    let mut point = solve(model, &both_first_goals(plan), &nothing_fed(plan))?.point;
    let mut values = [0.0; 5];
    for (value, (name, goal)) in values.iter_mut().zip(plan.goals()) {
        if goal.terms.is_empty() {
            continue;
        }
        show(name, model, goal);
        if !is_at_its_floor(goal, &point) {
            let optimum = solve(model, goal, &point)?;
            *value = optimum.value;
            point = optimum.point;
        }
        hold(model, name, goal, *value);
    }
    if !plan.tie_break.terms.is_empty() {
        show("ties", model, &plan.tie_break);
        point = solve(model, &plan.tie_break, &point)?.point;
    }
    let short_dm_kg = plan.groups.iter().map(|columns| point[columns.short]).sum();
    Ok((
        Tiers {
            short_dm_kg,
            outside: values[1],
            urgent_kg: values[2],
            cost: values[3],
        },
        point,
    ))
}

/// The point where no kilogram is fed: it meets every row, unless storage is
/// too small for what comes.
fn nothing_fed(plan: &Plan) -> Vec<f64> {
    let mut point = vec![0.0; plan.model.columns.len()];
    for group in &plan.groups {
        point[group.short] = plan.model.columns[group.short].upper;
    }
    point
}

fn both_first_goals(plan: &Plan) -> Goal {
    Goal::minimise(
        [
            plan.shortage.terms.as_slice(),
            plan.outside.terms.as_slice(),
        ]
        .concat(),
    )
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

fn hold(model: &mut Model, name: &str, goal: &Goal, value: f64) {
    let slack = GOAL_SLACK * value.abs().max(1.0);
    if goal.maximise {
        model.at_least(name, goal.terms.clone(), value - slack);
    } else {
        model.at_most(name, goal.terms.clone(), value + slack);
    }
}
