//! A mix inside each window at a chance asked for. Each side of a window is
//! `a(x) + z·‖B x‖ ≤ e` (a second-order cone): `a` the window's own row, one
//! row of `B` for each factor, `z` the normal quantile. The cone is the upper
//! envelope of its tangents, so rows are added where a point breaks it until
//! none does.
//!
//! A window with two sides takes half the risk on each, so that both together
//! hold at the chance asked for. Lots merged into one pool err together here,
//! an upper bound for tested ones; the printed chance is reckoned lot by lot.

use std::collections::BTreeMap;

use crate::quantity::quantile;
use crate::stream::Measure;

use super::super::constraints::Plan;
use super::super::model::{Goal, Row};
use super::super::problem::{Composition, Problem};
use super::super::requirement::Requirement;
use super::super::solve::{Unsolved, solve};
use super::super::tiers::{Tiers, goals_in_order};
use super::super::verdict::GOAL_ZERO;
use super::spread::{Factor, Spread, Spreads};

/// One side of a window as a cone.
#[derive(Debug, Clone, PartialEq)]
pub struct Cone {
    /// The row of the window in the plan.
    pub row: usize,
    /// `B`: column and coefficient, one list for each factor, in the row's own kilograms.
    pub factors: Vec<Vec<(usize, f64)>>,
    /// Whether the window has another side.
    pub is_two_sided: bool,
}

impl Cone {
    /// The quantile it is held at for a chance.
    #[must_use]
    pub fn quantile(&self, chance: f64) -> f64 {
        quantile(if self.is_two_sided {
            f64::midpoint(1.0, chance)
        } else {
            chance
        })
    }

    /// `‖B x‖` and its gradient there.
    fn margin(&self, point: &[f64]) -> (f64, Vec<(usize, f64)>) {
        let each: Vec<f64> = self
            .factors
            .iter()
            .map(|terms| terms.iter().map(|(c, v)| v * point[*c]).sum())
            .collect();
        let norm = each.iter().map(|by| by * by).sum::<f64>().sqrt();
        let mut gradient: BTreeMap<usize, f64> = BTreeMap::new();
        if norm > 0.0 {
            for (terms, by) in self.factors.iter().zip(&each) {
                for (column, coefficient) in terms {
                    *gradient.entry(*column).or_default() += by * coefficient / norm;
                }
            }
        }
        (norm, gradient.into_iter().collect())
    }
}

/// The cones of all windows.
#[must_use]
pub fn cones(problem: &Problem, plan: &Plan, spreads: &Spreads) -> Vec<Cone> {
    plan.requirements
        .iter()
        .enumerate()
        .filter_map(|(row, requirement)| {
            let Requirement::Bound {
                group,
                measure,
                share,
                is_hard: false,
                ..
            } = requirement
            else {
                return None;
            };
            let window = problem.groups[*group].windows.get(measure)?;
            let mut factors: BTreeMap<Factor, Vec<(usize, f64)>> = BTreeMap::new();
            for (column, item) in items(problem, plan, spreads, *group) {
                for (factor, by) in item.by(problem, *group, measure, *share) {
                    if by != 0.0 {
                        factors.entry(factor).or_default().push((column, by));
                    }
                }
            }
            Some(Cone {
                row,
                factors: factors.into_values().collect(),
                is_two_sided: window.min.is_some() && window.max.is_some(),
            })
        })
        .collect()
}

/// A column's composition with its spread.
struct Item<'a> {
    composition: &'a Composition,
    spread: Spread,
    moisture: Factor,
    stream: &'a crate::stream::StreamId,
}

impl Item<'_> {
    /// Spread of the row's coefficient by factor. Moisture row `m − r·d` with
    /// `r = M/(1−M)`: `s/(1−M)`. Analyte row `(c − C)·d`: `d·s_c` and `−(c − C)·s_m`.
    fn by(
        &self,
        problem: &Problem,
        group: usize,
        measure: &Measure,
        bound: f64,
    ) -> Vec<(Factor, f64)> {
        let moisture_sd = self.spread.moisture.unwrap_or(0.0);
        let Measure::Analyte(analyte) = measure else {
            return vec![(self.moisture.clone(), moisture_sd / (1.0 - bound))];
        };
        let known = self.composition.analytes.get(analyte);
        let share = known.or_else(|| problem.groups[group].assumed.get(analyte));
        let share = share.map_or(bound, |share| share.get());
        let dry = 1.0 - self.composition.moisture.map_or(0.0, |share| share.get());
        let analyte_sd = self.spread.analytes.get(analyte).copied().unwrap_or(0.0);
        vec![
            (self.moisture.clone(), -(share - bound) * moisture_sd),
            (
                Factor::Analyte(self.stream.clone(), analyte.clone()),
                dry * analyte_sd,
            ),
        ]
    }
}

fn items<'a>(
    problem: &'a Problem,
    plan: &Plan,
    spreads: &Spreads,
    group: usize,
) -> Vec<(usize, Item<'a>)> {
    let columns = &plan.groups[group];
    let drawn = columns.draws.iter().map(|(pool, column)| {
        let members = &plan.pools[*pool].members;
        let lot = &problem.lots[members[0]];
        let of = |lot: &usize| spreads.lots.get(&problem.lots[*lot].name);
        let mut spread = of(&members[0]).cloned().unwrap_or_default();
        spread.is_tested = members
            .iter()
            .all(|lot| of(lot).is_some_and(|of| of.is_tested));
        spread.moisture = members
            .iter()
            .filter_map(|lot| of(lot)?.moisture)
            .max_by(f64::total_cmp);
        let moisture = if spread.is_tested {
            Factor::Test(lot.name.clone())
        } else {
            Factor::Moisture(lot.stream.clone())
        };
        let item = Item {
            composition: &lot.composition,
            spread,
            moisture,
            stream: &lot.stream,
        };
        (*column, item)
    });
    let bought = columns.bought.iter().map(|(position, column)| {
        let purchase = &problem.purchases[*position];
        let item = Item {
            composition: &purchase.composition,
            spread: spreads
                .purchases
                .get(&purchase.stream)
                .cloned()
                .unwrap_or_default(),
            moisture: Factor::Moisture(purchase.stream.clone()),
            stream: &purchase.stream,
        };
        (*column, item)
    });
    drawn.chain(bought).collect()
}

/// A mix held at a chance.
pub struct SurePlan {
    /// The plan with the tangents that hold it.
    pub plan: Plan,
    /// Its goals and point.
    pub solved: (Tiers, Vec<f64>),
    /// The chance it is held at; `None` when not even the plain mix is inside.
    pub held_at: Option<f64>,
    /// Tangents added.
    pub tangents: usize,
}

/// Largest accepted break of a cone, kilograms: less than scales show. Tangents
/// settle slowly below that, and the printed chance is reckoned anew anyway.
const CONE_TOLERANCE: f64 = 1e-2;
/// Tangents are found for the first three goals alone until no cone is broken by more.
const COARSE_KG: f64 = 0.3;
const ROUNDS_MOST: usize = 80;
/// Halvings of the quantile in search of the surest mix.
const HALVINGS: usize = 7;

/// Tangents found so far: the cone and the gradient of its margin. They hold at every chance.
type Tangents = Vec<(usize, Vec<(usize, f64)>)>;

/// The mix inside each window at the chance asked for, or the surest there is.
///
/// # Errors
/// When no engine can verify a goal.
pub fn sure_plan(
    problem: &Problem,
    plan: &Plan,
    spreads: &Spreads,
    asked: f64,
) -> Result<SurePlan, Unsolved> {
    let cones = cones(problem, plan, spreads);
    let mut tangents = Tangents::new();
    let fits = |chance: f64, tangents: &mut Tangents| -> Result<bool, Unsolved> {
        Ok(outside_at(plan, &cones, tangents, chance)? <= GOAL_ZERO)
    };
    let mut held_at = fits(asked, &mut tangents)?.then_some(asked);
    if held_at.is_none() && fits(0.5, &mut Tangents::new())? {
        let (mut yes, mut no) = (0.5, asked);
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(yes, no);
            if fits(middle, &mut tangents)? {
                yes = middle;
            } else {
                no = middle;
            }
        }
        held_at = Some(yes);
    }
    let Some(chance) = held_at else {
        return Ok(SurePlan {
            solved: goals_in_order(plan)?,
            plan: plan.clone(),
            held_at,
            tangents: 0,
        });
    };
    for _ in 0..ROUNDS_MOST {
        let mut tight = with_tangents(plan, &cones, &tangents, chance);
        for goal in [&mut tight.cost, &mut tight.steady, &mut tight.tie_break] {
            goal.terms.clear();
        }
        let (_, point) = goals_in_order(&tight)?;
        if !add_broken(plan, &cones, &mut tangents, chance, &point, COARSE_KG) {
            break;
        }
    }
    for _ in 0..ROUNDS_MOST {
        let tight = with_tangents(plan, &cones, &tangents, chance);
        let solved = goals_in_order(&tight)?;
        if !add_broken(
            plan,
            &cones,
            &mut tangents,
            chance,
            &solved.1,
            CONE_TOLERANCE,
        ) {
            return Ok(SurePlan {
                plan: tight,
                solved,
                held_at,
                tangents: tangents.len(),
            });
        }
    }
    Err(Unsolved::Stopped {
        why: format!("the windows' margins did not settle in {ROUNDS_MOST} rounds"),
    })
}

/// The second goal's value with the cones at a chance, the first held.
fn outside_at(
    plan: &Plan,
    cones: &[Cone],
    tangents: &mut Tangents,
    chance: f64,
) -> Result<f64, Unsolved> {
    let shortage = solve(&plan.model, &plan.shortage)?.value;
    for _ in 0..ROUNDS_MOST {
        let mut tight = with_tangents(plan, cones, tangents, chance);
        let held = shortage + 1e-7 * shortage.abs().max(1.0);
        tight
            .model
            .at_most("goal shortage", tight.shortage.terms.clone(), held);
        if plan.outside.terms.is_empty() {
            return Ok(0.0);
        }
        let goal = Goal::minimise(plan.outside.terms.clone());
        let optimum = solve(&tight.model, &goal)?;
        if optimum.value > GOAL_ZERO
            || !add_broken(
                plan,
                cones,
                tangents,
                chance,
                &optimum.point,
                CONE_TOLERANCE,
            )
        {
            return Ok(optimum.value);
        }
    }
    Ok(f64::INFINITY)
}

/// The plan with the row `a(x) + z·∇‖B x̂‖·x ≤ e` for each tangent.
fn with_tangents(plan: &Plan, cones: &[Cone], tangents: &Tangents, chance: f64) -> Plan {
    let mut tight = plan.clone();
    for (cone, gradient) in tangents {
        let cone = &cones[*cone];
        let row: &Row = &plan.model.rows[cone.row];
        let z = cone.quantile(chance);
        let mut terms: BTreeMap<usize, f64> = row.terms.iter().copied().collect();
        for (column, slope) in gradient {
            *terms.entry(*column).or_default() += z * slope;
        }
        let name = format!("margin of {}", row.name);
        tight
            .requirements
            .push(Requirement::Margin { row: cone.row });
        tight
            .model
            .at_most(name, terms.into_iter().collect(), row.upper);
    }
    tight
}

/// Adds a tangent for each cone the point breaks; whether there was one.
fn add_broken(
    plan: &Plan,
    cones: &[Cone],
    tangents: &mut Tangents,
    chance: f64,
    point: &[f64],
    tolerance: f64,
) -> bool {
    let before = tangents.len();
    for (position, cone) in cones.iter().enumerate() {
        let row = &plan.model.rows[cone.row];
        let value: f64 = row.terms.iter().map(|(c, v)| v * point[*c]).sum();
        let (norm, gradient) = cone.margin(point);
        if value + cone.quantile(chance) * norm > row.upper + tolerance {
            tangents.push((position, gradient));
        }
    }
    tangents.len() > before
}
