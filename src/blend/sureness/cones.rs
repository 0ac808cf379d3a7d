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
use crate::stream::{Analyte, Measure};

use super::super::constraints::Plan;
use super::super::model::{Goal, Model, Row};
use super::super::problem::{Composition, Problem};
use super::super::requirement::Requirement;
use super::super::sift::solve_from;
use super::super::solve::{Optimum, Unsolved, solve, solve_cutting};
use super::super::tiers::{Tiers, goals_by, goals_in_order};
use super::super::tolerance::{GOAL_SLACK, GOAL_ZERO, ROW_TOLERANCE};
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
    /// `r = M/(1−M)`: `s/(1−M)`. Row `(above − C·below)·d`: `d·s_c` times what the
    /// bracket moves with each analyte, and `−(above − C·below)·s_m`.
    fn by(
        &self,
        problem: &Problem,
        group: usize,
        measure: &Measure,
        bound: f64,
    ) -> Vec<(Factor, f64)> {
        let moisture_sd = self.spread.moisture.unwrap_or(0.0);
        let Some(quotient) = measure.quotient() else {
            return vec![(self.moisture.clone(), moisture_sd / (1.0 - bound))];
        };
        let share = |analyte: &Analyte| {
            let known = self.composition.analytes.get(analyte);
            let share = known.or_else(|| problem.groups[group].assumed.get(analyte))?;
            Some(share.get())
        };
        let parts = quotient.above.at(share).zip(quotient.below.at(share));
        let beyond = parts.map_or(0.0, |(above, below)| above - bound * below);
        let dry = 1.0 - self.composition.moisture.map_or(0.0, |share| share.get());
        let mut by = vec![(self.moisture.clone(), -beyond * moisture_sd)];
        by.extend(quotient.analytes().map(|analyte| {
            let sd = self.spread.analytes.get(analyte).copied().unwrap_or(0.0);
            let slope = quotient.above.slope(analyte) - bound * quotient.below.slope(analyte);
            let factor = Factor::Analyte(self.stream.clone(), analyte.clone());
            (factor, dry * sd * slope)
        }));
        by
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

/// Largest accepted break of a cone, kilograms: less than scales show.
const BREAK_KG: f64 = 1e-2;
/// And in standard deviations of its measure: at most 0.8 points of chance. In a
/// small group ten grams of an analyte are far more than that.
const BREAK_SD: f64 = 0.02;
/// Columns up to which tangents are added at a corner and the engine goes on from
/// there; above, it begins anew each time, over the lots that decide.
const GOES_ON_MOST: usize = 400;
const ROUNDS_MOST: usize = 80;
/// Times the goals are begun anew because a tangent found for a later one rules out
/// what an earlier one is held at.
const BEGUN_MOST: usize = 20;
/// Halvings of the chance in search of the surest mix.
const HALVINGS: usize = 7;

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
    let mut cut = Cut {
        plan,
        cones: cones(problem, plan, spreads),
        shortage: solve(&plan.model, &plan.shortage)?.value,
        tangents: Vec::new(),
    };
    let mut held_at = cut.fits(asked)?.then_some(asked);
    if held_at.is_none() && cut.fits(0.5)? {
        let (mut yes, mut no) = (0.5, asked);
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(yes, no);
            if cut.fits(middle)? {
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
    let solved = cut.goals(chance)?;
    Ok(SurePlan {
        plan: cut.tight(chance),
        solved,
        held_at,
        tangents: cut.tangents.len(),
    })
}

/// A plan with its cones, and the tangents found so far: the cone and the gradient
/// of its margin. A tangent holds at every chance.
struct Cut<'a> {
    plan: &'a Plan,
    cones: Vec<Cone>,
    /// The first goal's value.
    shortage: f64,
    tangents: Vec<(usize, Vec<(usize, f64)>)>,
}

impl Cut<'_> {
    /// Whether a mix is inside every window at a chance, the first goal held.
    fn fits(&mut self, chance: f64) -> Result<bool, Unsolved> {
        if self.plan.outside.terms.is_empty() {
            return Ok(true);
        }
        let mut model = self.tight(chance).model;
        let held = self.shortage + GOAL_SLACK * self.shortage.abs().max(1.0);
        model.at_most("goal shortage", self.plan.shortage.terms.clone(), held);
        let goal = Goal::minimise(self.plan.outside.terms.clone());
        let found = self.solve(&mut model, &goal, None, |cut, point| {
            // What is outside already is no nearer with more tangents.
            if goal.value(point) > GOAL_ZERO {
                Vec::new()
            } else {
                cut.broken(chance, point)
            }
        });
        Ok(found?.value <= GOAL_ZERO)
    }

    /// The goals in order inside the cones. Tangents found for one goal hold for
    /// those after; as they only take room away, an earlier goal's value that can
    /// still be held with them is still the best.
    fn goals(&mut self, chance: f64) -> Result<(Tiers, Vec<f64>), Unsolved> {
        let plan = self.plan;
        for _ in 0..BEGUN_MOST {
            let before = self.tangents.len();
            let mut model = self.tight(chance).model;
            let found = goals_by(
                plan,
                &mut model,
                |_, _, _| (),
                |model, goal, start| {
                    self.solve(model, goal, Some(start), |cut, point| {
                        cut.broken(chance, point)
                    })
                },
            );
            match found {
                Err(Unsolved::Infeasible) if self.tangents.len() > before => {}
                settled => return settled,
            }
        }
        Err(Unsolved::Stopped {
            why: format!("the windows' margins did not settle in {BEGUN_MOST} rounds"),
        })
    }

    /// Solves a goal, with the rows that its points call for; a start breaks no row by
    /// more than the tolerance.
    fn solve(
        &mut self,
        model: &mut Model,
        goal: &Goal,
        start: Option<&[f64]>,
        mut called_for: impl FnMut(&mut Self, &[f64]) -> Vec<Row>,
    ) -> Result<Optimum, Unsolved> {
        if model.columns.len() <= GOES_ON_MOST
            && let Ok(optimum) = solve_cutting(model, goal, |point| called_for(self, point))
        {
            return Ok(optimum);
        }
        for _ in 0..ROUNDS_MOST {
            let optimum = match start {
                Some(start) => solve_from(model, goal, start)?,
                None => solve(model, goal)?,
            };
            let rows = called_for(self, &optimum.point);
            if rows.is_empty() {
                return Ok(optimum);
            }
            model.rows.extend(rows);
        }
        Err(Unsolved::Stopped {
            why: format!("the windows' margins did not settle in {ROUNDS_MOST} rounds"),
        })
    }

    /// Notes a tangent for each cone a point breaks, and returns their rows.
    fn broken(&mut self, chance: f64, point: &[f64]) -> Vec<Row> {
        let mut rows = Vec::new();
        for (position, cone) in self.cones.iter().enumerate() {
            let row = &self.plan.model.rows[cone.row];
            let value: f64 = row.terms.iter().map(|(c, v)| v * point[*c]).sum();
            let (norm, gradient) = cone.margin(point);
            let z = cone.quantile(chance);
            if value + z * norm > row.upper + BREAK_KG.min(BREAK_SD * norm) + ROW_TOLERANCE {
                rows.push(margin_row(row, &gradient, z));
                self.tangents.push((position, gradient));
            }
        }
        rows
    }

    /// The plan with a row for each tangent.
    fn tight(&self, chance: f64) -> Plan {
        let mut tight = self.plan.clone();
        let quantiles: Vec<f64> = self
            .cones
            .iter()
            .map(|cone| cone.quantile(chance))
            .collect();
        for (position, gradient) in &self.tangents {
            let row = self.cones[*position].row;
            tight.requirements.push(Requirement::Margin { row });
            let of = &self.plan.model.rows[row];
            tight
                .model
                .rows
                .push(margin_row(of, gradient, quantiles[*position]));
        }
        tight
    }
}

/// The tangent `a(x) + z·∇‖B x̂‖·x ≤ e` of a window's row.
fn margin_row(row: &Row, gradient: &[(usize, f64)], z: f64) -> Row {
    let mut terms: BTreeMap<usize, f64> = row.terms.iter().copied().collect();
    for (column, slope) in gradient {
        *terms.entry(*column).or_default() += z * slope;
    }
    Row {
        name: format!("margin of {}", row.name),
        terms: terms.into_iter().collect(),
        lower: f64::NEG_INFINITY,
        upper: row.upper,
    }
}
