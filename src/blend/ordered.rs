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

use super::chain::solve_from;
use super::constraints::Plan;
use super::few::few_lines;
use super::model::{Goal, Model};
use super::problem::Problem;
use super::solve::{Unsolved, solve};
use super::sureness::{Margins, Spreads};
use super::tiers::{GOALS, Run, SURE, Tiers, goals_in_order, nothing_fed};
use super::tolerance::{GOAL_SLACK, GOAL_ZERO};

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
pub(super) fn ordered(problem: &Problem, plan: Plan) -> Result<Ordered, Unsolved> {
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
    Ok(reached(problem, plan)?.with_few_lines(problem))
}

/// The goals alone, as far as few lines.
///
/// # Errors
/// When no engine can verify a goal.
pub(super) fn reached(problem: &Problem, mut plan: Plan) -> Result<Reached, Unsolved> {
    let policy = &problem.policy;
    let sure = policy.sure.zip(problem.spreads.as_ref());
    let mut by_engine =
        |model: &mut Model, goal: &Goal, point: &[f64]| solve_from(model, goal, point);
    let mut run = Run::begin(&plan, &nothing_fed(&plan), &mut by_engine)?;
    if policy.fair && plan.shortage.value(&run.point) > GOAL_ZERO {
        share_out(problem, &mut plan)?;
        run = Run::begin(&plan, &run.point, &mut by_engine)?;
    }
    run.goals(&plan, 0..SURE, &mut |_, _, _| (), &mut by_engine)?;
    let margins = match sure {
        Some((chance, spreads)) => {
            Some(with_margins(problem, spreads, chance, &mut plan, &mut run)?)
        }
        None => {
            run.goals(&plan, SURE..GOALS, &mut |_, _, _| (), &mut by_engine)?;
            run.ties(&plan, &mut |_, _, _| (), &mut by_engine)?;
            None
        }
    };
    Ok(Reached { plan, run, margins })
}

impl Reached {
    pub(super) fn tiers(&self) -> Tiers {
        self.run.tiers(&self.plan)
    }

    /// Narrows to few lines, where that is wanted.
    pub(super) fn with_few_lines(self, problem: &Problem) -> Ordered {
        let Self {
            plan: open,
            run,
            mut margins,
        } = self;
        let rule = problem.policy.few;
        let few = rule.and_then(|rule| few_lines(problem, rule, &open, &run, margins.as_mut()));
        let (plan, run) = few.unwrap_or_else(|| (open.clone(), run));
        Ordered {
            tiers: run.tiers(&plan),
            point: run.point,
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
        solve(model, &goal).map(|optimum| optimum.value)
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
        let most = solve(&level, &Goal::maximise(vec![(share, 1.0)]))?.value;
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
    let mut margins = Margins::new(problem, spreads, chance, plan, &mut run.point);
    let bare = plan.clone();
    let mut before = run.clone();
    for unit in 1..=UNITS_MOST {
        *plan = bare.clone();
        margins.add_to(plan, 0);
        *run = before.clone();
        one_goal(SURE, plan, run, &mut margins)?;
        if unit == UNITS_MOST || !margins.measured_at(&bare, &run.point) {
            break;
        }
    }
    before.point.clone_from(&run.point);
    for _ in 0..BEGUN_MOST {
        let found = margins.found();
        let after = (SURE + 1..GOALS)
            .try_for_each(|position| one_goal(position, plan, run, &mut margins))
            .and_then(|()| ties(plan, run, &mut margins));
        match after {
            Err(Unsolved::Infeasible) if margins.found() > found => {
                *plan = bare.clone();
                margins.add_to(plan, 0);
                *run = before.clone();
                one_goal(SURE, plan, run, &mut margins)?;
            }
            done => return done.map(|()| margins),
        }
    }
    Err(Unsolved::Stopped {
        why: format!("the windows' margins did not settle in {BEGUN_MOST} rounds"),
    })
}

fn one_goal(
    position: usize,
    plan: &mut Plan,
    run: &mut Run,
    margins: &mut Margins,
) -> Result<(), Unsolved> {
    let found = margins.found();
    let mut solve =
        |model: &mut Model, goal: &Goal, point: &[f64]| margins.solve(model, goal, point);
    let done = run.goals(plan, position..position + 1, &mut |_, _, _| (), &mut solve);
    margins.add_to(plan, found);
    done
}

fn ties(plan: &mut Plan, run: &mut Run, margins: &mut Margins) -> Result<(), Unsolved> {
    let found = margins.found();
    let mut solve =
        |model: &mut Model, goal: &Goal, point: &[f64]| margins.solve(model, goal, point);
    let done = run.ties(plan, &mut |_, _, _| (), &mut solve);
    margins.add_to(plan, found);
    done
}
