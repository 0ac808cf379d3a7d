//! What binds tonight and what it is worth, from the duals of the goals.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use crate::quantity::word_enum;
use crate::stream::Measure;

use super::super::constraints::Plan;
use super::super::eligible::figures;
use super::super::problem::Problem;
use super::super::requirement::Requirement;
use super::super::tolerance::DUST_KG;
use super::dual::Solved;
use super::interval::{Interval, Of};
use super::strict::{Demand, told};

word_enum!(
    /// Which goal an effect is on.
    GoalKind {
        /// Shortage, a share of the dry matter wanted.
        Feed = "short",
        /// Distance outside the windows.
        Inside = "outside",
        /// Kilograms of water added as the last resort.
        Water = "water_kg",
        /// Standard deviations short of the chance asked for.
        Sure = "unsure",
        /// Kilograms used of what will spoil, weighted with urgency.
        Spoil = "urgent_kg",
        Money = "cost",
        /// Kilograms off last night's shares.
        Steady = "change_kg",
    }
);

impl GoalKind {
    fn of(name: &str) -> Self {
        match name {
            "goal shortage" => Self::Feed,
            "goal outside" => Self::Inside,
            "goal water" => Self::Water,
            "goal sure" => Self::Sure,
            "goal urgent" => Self::Spoil,
            "goal steady" => Self::Steady,
            _ => Self::Money,
        }
    }
}

/// What one more unit does to a goal, the goals before it at their best.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Effect {
    pub goal: GoalKind,
    /// Change of the goal for one more unit: one figure at most optima, an interval at degenerate ones.
    pub change: Interval,
}

/// A demand that binds tonight.
#[derive(Debug, Clone, PartialEq)]
pub struct Binding {
    pub demand: Demand,
    /// Effects of one more unit: a kilogram of dry matter to feed, a bound
    /// looser by one percentage point, a litre, a kilogram to buy or add.
    pub effects: Vec<Effect>,
}

/// What a lot is worth tonight.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LotWorth {
    /// Lots alike in everything, oldest first.
    pub lots: Vec<String>,
    /// How they stand in the mix.
    pub used: Used,
    /// For a lot used up: effects of one more kilogram of it. For one not
    /// used: effects of putting one kilogram in.
    pub effects: Vec<Effect>,
}

word_enum!(
    /// How far a lot is used.
    Used {
        Up = "up",
        /// Some of it.
        Partly = "partly",
        /// None of it.
        Not = "not",
    }
);

/// Below this a draw is none, kilograms.
pub(super) const NOTHING_KG: f64 = DUST_KG;
/// Lots whose interval is asked for; the rest show one value.
const LOTS_ASKED: usize = 16;

/// Demands with a worth, in the order of the rows.
pub(super) fn bindings(problem: &Problem, plan: &Plan, solved: &[Solved]) -> Vec<Binding> {
    let rows = plan.requirements.iter().enumerate();
    let mut asked: Vec<(Of, Requirement)> = rows
        .map(|(row, requirement)| (Of::Row(row), requirement.clone()))
        .collect();
    if problem.groups.len() == 1 {
        asked.extend(limits_on_columns(plan, solved));
    }
    let mut demands = Vec::new();
    asked.retain(|(_, requirement)| {
        let demand = told(problem, requirement);
        let is_one = demand.is_some();
        demands.extend(demand);
        is_one
    });
    let of: Vec<Of> = asked.iter().map(|(of, _)| *of).collect();
    let effects = effects(solved, &of, |position, one| {
        unit_of(problem, plan, &asked[position].1, &one.point)
    });
    (demands.into_iter().zip(effects))
        .filter(|(_, effects)| !effects.is_empty())
        .map(|(demand, effects)| Binding { demand, effects })
        .collect()
}

/// With one group, what may be bought or added is a bound of its column.
fn limits_on_columns(plan: &Plan, solved: &[Solved]) -> Vec<(Of, Requirement)> {
    let mut found = Vec::new();
    for columns in &plan.groups {
        let bought = columns.bought.iter().map(|(position, column)| {
            (
                Requirement::Purchase {
                    position: *position,
                },
                *column,
            )
        });
        let water = columns.water.map(|column| (Requirement::Water, column));
        for (requirement, column) in bought.chain(water) {
            let at_limit = |one: &Solved| {
                one.point[column] >= plan.model.columns[column].upper - NOTHING_KG
                    && one.point[column] > NOTHING_KG
            };
            if solved.last().is_some_and(at_limit) {
                found.push((Of::Column(column), requirement));
            }
        }
    }
    found
}

/// The effects of one more unit of each, on the goals in order; `factor` says
/// how much of its row's bound a unit is.
fn effects(
    solved: &[Solved],
    asked: &[Of],
    factor: impl Fn(usize, &Solved) -> f64,
) -> Vec<Vec<Effect>> {
    let mut found = vec![Vec::new(); asked.len()];
    for one in solved {
        // A goal at zero that can't go lower has nothing at stake.
        if one.value.abs() <= NOTHING_KG && one.worths.value == 0.0 {
            continue;
        }
        let tight: Vec<usize> = (0..asked.len())
            .filter(|position| is_tight(one, asked[*position]))
            .collect();
        let of: Vec<Of> = tight.iter().map(|position| asked[*position]).collect();
        for (position, interval) in tight.into_iter().zip(one.beside().intervals(&of)) {
            let change = interval.scaled(factor(position, one));
            if !change.is_zero() {
                found[position].push(Effect {
                    goal: GoalKind::of(one.name),
                    change,
                });
            }
        }
    }
    found
}

fn is_tight(one: &Solved, of: Of) -> bool {
    let (value, lower, upper) = match of {
        Of::Row(row) => {
            let row = &one.model.rows[row];
            let value = row.terms.iter().map(|(c, v)| v * one.point[*c]).sum();
            (value, row.lower, row.upper)
        }
        Of::Column(column) => {
            let bounds = &one.model.columns[column];
            (one.point[column], bounds.lower, bounds.upper)
        }
    };
    (value - lower).min(upper - value) <= NOTHING_KG
}

/// Units of a row's bound for one unit as people say it: a bound looser by a
/// point shifts a moisture row by `0.01·DM/(1−M)²`, an analyte row by
/// `0.01·DM`, a cap by `0.01·W` (first order, at tonight's mix).
fn unit_of(problem: &Problem, plan: &Plan, requirement: &Requirement, point: &[f64]) -> f64 {
    const POINT: f64 = 0.01;
    match requirement {
        Requirement::Bound {
            group,
            measure,
            share,
            ..
        } => {
            let wanted = problem.groups[*group].dry_matter_kg;
            let dry = wanted - point[plan.groups[*group].short];
            match measure {
                Measure::Moisture => POINT * dry / (1.0 - share).powi(2),
                Measure::Analyte(_) | Measure::NonFibreCarbohydrate => POINT * dry,
                Measure::CarbonToNitrogen => POINT * below(problem, plan, *group, measure, point),
            }
        }
        Requirement::Cap { group, .. } => {
            let columns = &plan.groups[*group];
            let draws = columns.draws.iter().chain(&columns.bought);
            let wet: f64 = draws.map(|(_, column)| point[*column]).sum();
            POINT * (wet + columns.water.map_or(0.0, |column| point[column]))
        }
        _ => 1.0,
    }
}

/// Σ below·d·x of a group's mix for a measure that is a quotient.
fn below(problem: &Problem, plan: &Plan, group: usize, measure: &Measure, point: &[f64]) -> f64 {
    let columns = &plan.groups[group];
    let drawn = columns.draws.iter().map(|(pool, column)| {
        let lot = plan.pools[*pool].members[0];
        (&problem.lots[lot].composition, column)
    });
    let bought = (columns.bought.iter())
        .map(|(position, column)| (&problem.purchases[*position].composition, column));
    let of = &problem.groups[group];
    let position = (of.windows.keys())
        .filter(|key| **key != Measure::Moisture)
        .position(|key| key == measure);
    drawn
        .chain(bought)
        .filter_map(|(composition, column)| {
            let figures = figures(composition, of).ok()?;
            Some(figures.analytes.get(position?)?.below * figures.dry() * point[*column])
        })
        .sum()
}

/// Each pool of lots with what it is worth, used ones first.
pub(super) fn lot_worths(problem: &Problem, plan: &Plan, solved: &[Solved]) -> Vec<LotWorth> {
    let Some(last) = solved.last() else {
        return Vec::new();
    };
    let mut up: Vec<usize> = (0..plan.pools.len())
        .filter(|pool| !columns_of(plan, *pool).is_empty())
        .filter(|pool| used_of(plan, *pool, last) == Used::Up)
        .collect();
    up.truncate(LOTS_ASKED);
    let of: Vec<Of> = up.iter().map(|pool| stock_of(plan, *pool)).collect();
    let mut up_effects: BTreeMap<usize, Vec<Effect>> = up
        .into_iter()
        .zip(effects(solved, &of, |_, _| 1.0))
        .collect();
    let mut found: Vec<LotWorth> = (0..plan.pools.len())
        .filter_map(|pool| {
            let columns = columns_of(plan, pool);
            if columns.is_empty() {
                return None;
            }
            let used = used_of(plan, pool, last);
            let effects = match used {
                Used::Partly => Vec::new(),
                Used::Not => put_in(&columns, solved),
                Used::Up => up_effects.remove(&pool).unwrap_or_default(),
            };
            let lots = plan.pools[pool].members.iter();
            Some(LotWorth {
                lots: lots.map(|lot| problem.lots[*lot].name.clone()).collect(),
                used,
                effects,
            })
        })
        .collect();
    found.sort_by_key(|worth| worth.used as u8);
    found
}

fn used_of(plan: &Plan, pool: usize, solved: &Solved) -> Used {
    let columns = columns_of(plan, pool);
    let drawn: f64 = columns.iter().map(|column| solved.point[*column]).sum();
    if drawn >= plan.pools[pool].edible_kg - NOTHING_KG {
        Used::Up
    } else if drawn > NOTHING_KG {
        Used::Partly
    } else {
        Used::Not
    }
}

/// What limits a pool: its own row, or with one group the bound of its column.
fn stock_of(plan: &Plan, pool: usize) -> Of {
    let mut requirements = plan.requirements.iter();
    let row = requirements.position(|of| *of == Requirement::Stock { pool });
    row.map_or_else(|| Of::Column(columns_of(plan, pool)[0]), Of::Row)
}

/// The columns of a pool, one for each group that may use it.
pub(super) fn columns_of(plan: &Plan, pool: usize) -> Vec<usize> {
    plan.groups
        .iter()
        .flat_map(|columns| &columns.draws)
        .filter(|(of, _)| *of == pool)
        .map(|(_, column)| *column)
        .collect()
}

/// Effects of putting in one kilogram of a lot that is not used, in the group where it does least harm.
fn put_in(columns: &[usize], solved: &[Solved]) -> Vec<Effect> {
    let harm = |column: usize| -> Vec<f64> {
        solved
            .iter()
            .map(|one| one.worths.columns[column] * one.sign())
            .collect()
    };
    let Some(best) = columns
        .iter()
        .copied()
        .min_by(|a, b| compare(&harm(*a), &harm(*b)))
    else {
        return Vec::new();
    };
    let effect = |one: &Solved| {
        let change = one.worths.columns[best];
        (change.abs() > 1e-8).then_some(Effect {
            goal: GoalKind::of(one.name),
            change: Interval {
                low: Some(change),
                high: Some(change),
            },
        })
    };
    // What comes after the first goal it harms is never reached.
    solved.iter().find_map(effect).into_iter().collect()
}

fn compare(a: &[f64], b: &[f64]) -> std::cmp::Ordering {
    a.iter()
        .zip(b)
        .map(|(a, b)| a.total_cmp(b))
        .find(|order| order.is_ne())
        .unwrap_or(std::cmp::Ordering::Equal)
}
