//! How far prices and moistures may move before the mix changes, and what
//! would bring an unused lot in. Prices from the duals; moistures by solving
//! anew with the lot's moisture moved.

use std::collections::BTreeSet;

use schemars::JsonSchema;
use serde::Serialize;

use crate::quantity::ShareAsFed;
use crate::quantity::wire::Pct;
use crate::words::say;

use super::super::constraints::{Plan, build};
use super::super::ordered::{Ordered, ordered};
use super::super::patience::Waiting;
use super::super::problem::Problem;
use super::dual::Solved;
use super::interval::Interval;
use super::worth::{NOTHING_KG, columns_of};

/// How far a used lot may move before the mix changes.
#[derive(Debug, Clone, PartialEq)]
pub struct Room {
    /// Lots alike in everything.
    pub lots: Vec<String>,
    /// Lowest and highest price per kilogram at which tonight's weights stay
    /// cheapest; `None` when money decides nothing tonight.
    pub price_per_kg: Option<Interval>,
    /// Points drier and wetter with which the same lots stay in use.
    pub moisture_points: [Step; 2],
}

/// The largest step tried that changes nothing.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Step {
    /// Nothing changes at this many percentage points.
    pub same_at: f64,
    /// Something does at this many; `None` when no step tried changes it.
    pub changes_at: Option<f64>,
}

/// An unused lot that was near, and what would bring it in.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Near {
    /// Lots alike in everything.
    pub lots: Vec<String>,
    /// A price per kilogram below which it comes in.
    pub price_per_kg: Option<f64>,
    /// A moisture, share as fed, at which it comes in, by solving with it.
    #[serde(rename = "moisture_pct", with = "Pct")]
    pub moisture: Option<f64>,
}

/// A lot with less than this drawn is not in use, kilograms.
const IN_USE_KG: f64 = 1e-3;
/// Steps tried, percentage points.
const STEPS: [f64; 2] = [1.0, 3.0];
/// Used lots looked at, heaviest first.
const LOTS_MOST: usize = 6;
/// An unused lot's moisture is not moved farther than this, percentage points.
pub const FARTHEST_POINTS: f64 = 16.0;
/// Unused lots looked at, nearest first.
const NEAR_MOST: usize = 2;

fn goes_on(waiting: &Waiting) -> bool {
    waiting.goes_on(|| say!("undone-rooms"))
}

pub(super) fn rooms(
    problem: &Problem,
    plan: &Plan,
    solved: &[Solved],
    waiting: &Waiting,
) -> Vec<Room> {
    let Some(last) = solved.last().filter(|_| goes_on(waiting)) else {
        return Vec::new();
    };
    let drawn = |pool: usize| -> f64 {
        let columns = columns_of(plan, pool);
        columns.iter().map(|column| last.point[*column]).sum()
    };
    let mut pools: Vec<usize> = (0..plan.pools.len())
        .filter(|pool| drawn(*pool) > NOTHING_KG)
        .collect();
    pools.sort_by(|a, b| drawn(*b).total_cmp(&drawn(*a)));
    let money = solved.iter().find(|one| one.name == "goal cost");
    let beside = money.map(Solved::beside);
    // The worths' own point breaks ties otherwise than the mix does.
    let Ok(found) = ordered(problem, build(problem), &Waiting::default()) else {
        return Vec::new();
    };
    let today = in_use(problem, &found.plan, &found.point);
    pools
        .into_iter()
        .take(LOTS_MOST)
        .take_while(|_| goes_on(waiting))
        .map(|pool| {
            let price = problem.lots[plan.pools[pool].members[0]].price_per_kg;
            let shift = |end: Option<f64>| end.map(|end| price + end);
            Room {
                lots: names(problem, plan, pool),
                price_per_kg: beside.as_ref().map(|beside| {
                    let range = beside.coefficient_range(&columns_of(plan, pool));
                    Interval {
                        low: shift(range.low),
                        high: shift(range.high),
                    }
                }),
                moisture_points: [-1.0, 1.0].map(|side| step(problem, plan, pool, side, &today)),
            }
        })
        .collect()
}

fn step(
    problem: &Problem,
    plan: &Plan,
    pool: usize,
    side: f64,
    today: &BTreeSet<(usize, String)>,
) -> Step {
    let mut found = Step {
        same_at: 0.0,
        changes_at: None,
    };
    for points in STEPS {
        let same = with_moisture(problem, plan, pool, side * points / 100.0)
            .and_then(|moved| {
                let found = ordered(&moved, build(&moved), &Waiting::default()).ok()?;
                Some(in_use(&moved, &found.plan, &found.point))
            })
            .is_some_and(|after| after == *today);
        if !same {
            found.changes_at = Some(points);
            break;
        }
        found.same_at = points;
    }
    found
}

/// Every lot of a pool wetter by a share, where that is a moisture.
fn with_moisture(problem: &Problem, plan: &Plan, pool: usize, by: f64) -> Option<Problem> {
    let mut moved = problem.clone();
    for lot in &plan.pools[pool].members {
        let moisture = moved.lots[*lot].composition.moisture?.get() + by;
        moved.lots[*lot].composition.moisture =
            Some(ShareAsFed::from_pct((moisture * 100.0).min(99.9)).ok()?);
    }
    Some(moved)
}

/// Lots in use by group, each pool by its first lot: a moved pool has another position.
fn in_use(problem: &Problem, plan: &Plan, point: &[f64]) -> BTreeSet<(usize, String)> {
    let mut used = BTreeSet::new();
    for (group, columns) in plan.groups.iter().enumerate() {
        for (pool, column) in &columns.draws {
            if point[*column] > IN_USE_KG {
                let lot = plan.pools[*pool].members[0];
                used.insert((group, problem.lots[lot].name.clone()));
            }
        }
    }
    used
}

fn names(problem: &Problem, plan: &Plan, pool: usize) -> Vec<String> {
    let members = plan.pools[pool].members.iter();
    members.map(|lot| problem.lots[*lot].name.clone()).collect()
}

/// Unused lots, nearest first: by what one kilogram of them would harm, goal by goal.
pub(super) fn near(
    problem: &Problem,
    plan: &Plan,
    solved: &[Solved],
    waiting: &Waiting,
) -> Vec<Near> {
    let Some(last) = solved.last() else {
        return Vec::new();
    };
    let mut unused: Vec<(Vec<f64>, usize)> = (0..plan.pools.len())
        .filter_map(|pool| {
            let columns = columns_of(plan, pool);
            let drawn: f64 = columns.iter().map(|column| last.point[*column]).sum();
            let harm = |column: &usize| -> Vec<f64> {
                let of = |one: &Solved| one.worths.columns[*column] * one.sign();
                solved.iter().map(of).collect()
            };
            let least = columns.iter().map(harm).min_by(|a, b| by_goals(a, b))?;
            (drawn <= NOTHING_KG).then_some((least, pool))
        })
        .collect();
    unused.sort_by(|(a, _), (b, _)| by_goals(a, b));
    unused
        .into_iter()
        .take(NEAR_MOST)
        .take_while(|_| goes_on(waiting))
        .map(|(harm, pool)| {
            let price = problem.lots[plan.pools[pool].members[0]].price_per_kg;
            let first = solved.iter().zip(&harm).find(|(_, harm)| harm.abs() > 1e-8);
            Near {
                lots: names(problem, plan, pool),
                price_per_kg: first
                    .filter(|(one, _)| one.name == "goal cost")
                    .map(|(_, harm)| price - harm),
                moisture: comes_in_at(problem, plan, pool),
            }
        })
        .collect()
}

fn by_goals(a: &[f64], b: &[f64]) -> std::cmp::Ordering {
    a.iter()
        .zip(b)
        .map(|(a, b)| a.total_cmp(b))
        .find(|order| order.is_ne())
        .unwrap_or(std::cmp::Ordering::Equal)
}

/// The moisture nearest to its own, within a point, at which the lot is drawn.
fn comes_in_at(problem: &Problem, plan: &Plan, pool: usize) -> Option<f64> {
    const LEAST_KG: f64 = 0.05;
    const FARTHEST: [f64; 2] = [4.0, FARTHEST_POINTS];
    let lot = plan.pools[pool].members[0];
    let name = &problem.lots[lot].name;
    let drawn = |points: f64| -> bool {
        with_moisture(problem, plan, pool, points / 100.0)
            .and_then(|moved| {
                let Ordered { plan, point, .. } =
                    ordered(&moved, build(&moved), &Waiting::default()).ok()?;
                let of = |pool: &super::super::merged::Pool| {
                    pool.members
                        .iter()
                        .any(|lot| moved.lots[*lot].name == *name)
                };
                let pool = plan.pools.iter().position(of)?;
                let columns = columns_of(&plan, pool);
                Some(columns.iter().map(|column| point[*column]).sum::<f64>())
            })
            .is_some_and(|kg| kg >= LEAST_KG)
    };
    let farthest = FARTHEST
        .into_iter()
        .find_map(|points| [-points, points].into_iter().find(|points| drawn(*points)))?;
    let (mut out, mut inside) = (
        if farthest.abs() > 4.0 {
            farthest / 4.0
        } else {
            0.0
        },
        farthest,
    );
    while (inside - out).abs() > 1.0 {
        let middle = f64::midpoint(inside, out);
        if drawn(middle) {
            inside = middle;
        } else {
            out = middle;
        }
    }
    Some(problem.lots[lot].composition.moisture?.get() + inside / 100.0)
}
