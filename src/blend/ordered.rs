//! The goals in the order a farm wants them. Each is solved among the best
//! points of those before it, held within a slack that is part of the definition.
//!
//! 1. feed: with fair shares, the smallest share fed `t`, `s_g ≤ (1 − t) D_g`, as
//!    large as can be; then the smallest of the groups that can still have more,
//!    and so on, a group that goes first before all others; then `min Σ s/D`;
//! 2. inside: `min Σ e/(scale·D)`;
//! 3. water, where it is the last resort: `min Σ w`;
//! 4. sure: `min Σ v`, see `sureness/margins.rs`;
//! 5. use what will spoil: `max Σ u x`;
//! 6. spend least: `min Σ p x`;
//! 7. stay close to the mix before: `min Σ |x_s − σ_s W|`;
//! 8. ties: fewest lots, oldest, order of the table;
//! 9. few lines, see `few.rs`.
//!
//! A policy that wants nothing leaves 1 (the sum alone), 2, 5, 6 and ties: the
//! plain goals.
//!
//! Dry matter that feeds nobody (mineral, shell, ash above a share) is no part of a
//! ration. From the book, lots are as old as they will be at the night's end,
//! so that a night has one sheet.

use super::chain::best_alone;
use super::constraints::Plan;
use super::few::few_lines;
use super::goals::SURE;
use super::model::{Goal, Model};
use super::patience::Waiting;
use super::problem::Problem;
use super::solve::Unsolved;
use super::sureness::{Margins, Spreads};
use super::tiers::{Run, Tiers, goals_in_order, not_shown};
use super::tolerance::{GOAL_SLACK, GOAL_ZERO};
use crate::words::say;

/// A plan with its goals solved.
#[derive(Debug, Clone)]
pub(super) struct Ordered {
    /// The plan, with the bounds and rows that the goals brought in.
    pub open: Plan,
    /// The same narrowed to few lines, where that is wanted.
    pub plan: Plan,
    /// The goals, as proved.
    pub tiers: Tiers,
    pub point: Vec<f64>,
}

/// Times the later goals are begun anew because a tangent found for one of them
/// rules out what an earlier one is held at.
const BEGUN_MOST: usize = 20;
/// Times the unit of shortfalls is taken anew.
const UNITS_MOST: usize = 3;

/// A plan with its goals solved, its lines not yet few.
pub(super) struct Reached {
    plan: Plan,
    run: Run,
    margins: Option<Margins>,
}

/// Solves a plan's goals as the problem's policy wants them.
///
/// # Errors
/// When no engine can verify a goal.
pub(super) fn ordered(
    problem: &Problem,
    plan: Plan,
    waiting: &Waiting,
) -> Result<Ordered, Unsolved> {
    let policy = &problem.policy;
    let sure = policy.sure.zip(problem.spreads.as_ref());
    if !policy.fair && policy.few.is_none() && sure.is_none() && !policy.water_last {
        let (tiers, point) = goals_in_order(&plan)?;
        return Ok(Ordered {
            open: plan.clone(),
            plan,
            tiers,
            point,
        });
    }
    let reached = begun(problem, plan)?.reached(problem)?;
    Ok(reached.with_few_lines(problem, waiting))
}

/// A plan with the goals before sureness solved.
pub(super) struct Begun {
    pub plan: Plan,
    pub run: Run,
}

/// The goals as far as sureness.
///
/// # Errors
/// When no engine can verify a goal.
pub(super) fn begun(problem: &Problem, mut plan: Plan) -> Result<Begun, Unsolved> {
    let mut run = Run::begin(&plan)?;
    if problem.policy.fair && plan.shortage.value(&run.walk.point) > GOAL_ZERO {
        share_out(problem, &mut plan)?;
        run = Run::begin(&plan)?;
    }
    run.goals(&plan, 0..SURE, &mut not_shown, None)?;
    Ok(Begun { plan, run })
}

impl Begun {
    pub(super) fn tiers(&self) -> Tiers {
        self.run.tiers(&self.plan)
    }

    /// On to the last goal, as far as few lines.
    ///
    /// # Errors
    /// When no engine can verify a goal.
    pub(super) fn reached(self, problem: &Problem) -> Result<Reached, Unsolved> {
        let Self { mut plan, mut run } = self;
        let sure = problem.policy.sure.zip(problem.spreads.as_ref());
        let margins = match sure {
            Some((chance, spreads)) => {
                let margins = with_margins(problem, spreads, chance, &mut plan, &mut run)?;
                Some(margins)
            }
            None => {
                run.goals_from(&plan, SURE, None)?;
                None
            }
        };
        Ok(Reached { plan, run, margins })
    }
}

impl Reached {
    pub(super) fn tiers(&self) -> Tiers {
        self.run.tiers(&self.plan)
    }

    /// Narrows to few lines, where that is wanted.
    pub(super) fn with_few_lines(self, problem: &Problem, waiting: &Waiting) -> Ordered {
        let Self {
            plan: open,
            run,
            mut margins,
        } = self;
        let rule = problem.policy.few;
        let (plan, run) = match rule {
            Some(rule) if waiting.goes_on(|| say!("undone-few-lines")) => {
                few_lines(problem, rule, &open, &run, margins.as_mut(), waiting)
            }
            _ => (open.clone(), run),
        };
        Ordered {
            tiers: run.tiers(&plan),
            point: run.walk.point,
            open,
            plan,
        }
    }
}

/// Bounds each group's shortage by the share it gets: the smallest share as
/// large as can be, then the smallest of those that can still have more.
fn share_out(problem: &Problem, plan: &mut Plan) -> Result<(), Unsolved> {
    let wanted = |group: &usize| problem.groups[*group].dry_matter_kg;
    let slack = |group: &usize| GOAL_SLACK * wanted(group).max(1.0);
    let shorts: Vec<usize> = plan.groups.iter().map(|columns| columns.short).collect();
    let model = &mut plan.model;
    let least = |model: &Model, group: &usize| {
        let goal = Goal::minimise(vec![(shorts[*group], 1.0)]);
        best_alone(model, &goal).map(|optimum| optimum.value)
    };
    let bound = |model: &mut Model, group: &usize, short_kg: f64| {
        let upper = (short_kg + slack(group)).min(wanted(group));
        model.columns[shorts[*group]].upper = upper;
    };
    let mut open: Vec<usize> = (0..problem.groups.len()).collect();
    if let Some(first) = &problem.policy.first
        && let Some(group) = problem.groups.iter().position(|of| of.name == *first)
    {
        let short = least(model, &group)?;
        bound(model, &group, short);
        open.retain(|of| *of != group);
    }
    while !open.is_empty() {
        let mut level = model.clone();
        let share = level.column("smallest share", 0.0, 1.0);
        for group in &open {
            let terms = vec![(shorts[*group], 1.0), (share, wanted(group))];
            level.at_most("share", terms, wanted(group));
        }
        let most = best_alone(&level, &Goal::maximise(vec![(share, 1.0)]))?.value;
        for group in &open {
            bound(model, group, (1.0 - most).max(0.0) * wanted(group));
        }
        let mut more = Vec::new();
        if open.len() > 1 && most < 1.0 - GOAL_ZERO {
            for group in &open {
                let upper = model.columns[shorts[*group]].upper;
                if least(model, group)? < upper - 10.0 * slack(group) {
                    more.push(*group);
                }
            }
        }
        // Where rounding hides who is held back, all have what they can.
        if more.len() == open.len() {
            break;
        }
        open = more;
    }
    Ok(())
}

/// Goes on from the goals before sureness to the end, inside the margins.
fn with_margins(
    problem: &Problem,
    spreads: &Spreads,
    chance: f64,
    plan: &mut Plan,
    run: &mut Run,
) -> Result<Margins, Unsolved> {
    let mut point = run.walk.point.clone();
    let mut margins = Margins::new(problem, spreads, chance, plan, &mut point);
    let mut before = run.moved_to(plan.model.clone(), point);
    for unit in 1..=UNITS_MOST {
        *run = as_sure_as_can_be(plan, &before, &mut margins)?;
        if unit == UNITS_MOST || !margins.measured_at(plan, &run.walk.point) {
            break;
        }
    }
    before.walk.point.clone_from(&run.walk.point);
    for _ in 0..BEGUN_MOST {
        let found = margins.found();
        let mut called_for = |point: &[f64]| margins.called_for(point);
        match run.goals_from(plan, SURE + 1, Some(&mut called_for)) {
            Err(Unsolved::Infeasible) if margins.found() > found => {
                *run = as_sure_as_can_be(plan, &before, &mut margins)?;
            }
            done => {
                margins.add_to(plan, 0);
                return done.map(|()| margins);
            }
        }
    }
    Err(Unsolved::Stopped {
        why: format!("the windows' margins did not settle in {BEGUN_MOST} rounds"),
    })
}

/// From the goals before sureness, with the tangents found so far.
fn as_sure_as_can_be(plan: &Plan, before: &Run, margins: &mut Margins) -> Result<Run, Unsolved> {
    let mut run = before.clone();
    margins.rows().for_each(|row| run.walk.add(row));
    let mut called_for = |point: &[f64]| margins.called_for(point);
    run.goals(plan, SURE..SURE + 1, &mut not_shown, Some(&mut called_for))?;
    Ok(run)
}
