//! What rows and columns are worth: the explicit dual of each goal's problem,
//! solved like any other.
//!
//! For `min c·x, L ≤ A x ≤ U, l ≤ x ≤ u` the dual is
//! `max L·p − U·q + l·z⁺ − u·z⁻` with `Aᵀ(p − q) + z⁺ − z⁻ = c`, all ≥ 0.
//! `y = p − q` is what one more unit of a row's bound adds to the goal, the
//! reduced cost `z⁺ − z⁻` what one more unit of a column does.
//!
//! Goals held in order: once a goal is solved, rows with `y ≠ 0` become
//! equalities and columns with a reduced cost keep their bound. That is the
//! whole set of its best points (complementary slackness), without a slack, so
//! the next goal's worths are those of the goals in order.
//!
//! At degenerate optima each worth is asked for its least and greatest value;
//! those are the worth of one unit less and one more. A bound looser by a point
//! is turned into units of its row to first order. Price ranges are the same
//! multipliers with a shift in the lot's equations; moisture ranges are solved
//! anew in steps. Worths of a later goal hold while the goals before keep their
//! set of best points.

use super::super::constraints::Plan;
use super::super::model::{Goal, Model};
use super::super::solve::{Unsolved, solve};
use super::interval::Beside;

/// A multiplier below this is zero: engines keep equations to 1e-7.
pub(super) const ZERO: f64 = 1e-6;
/// A row or bound within this of its limit is tight, kilograms.
const TIGHT: f64 = 1e-6;

/// A dual problem with the positions of its multipliers.
pub struct Dual {
    model: Model,
    goal: Goal,
    /// Multipliers at the lower and upper side of each row.
    pub(super) rows: Vec<[Option<usize>; 2]>,
    /// The same of each column's bounds.
    pub(super) bounds: Vec<[Option<usize>; 2]>,
    /// The goal's coefficients, to make small.
    costs: Vec<f64>,
    is_flipped: bool,
}

/// What rows and columns are worth at one optimum.
#[derive(Debug, Clone, PartialEq)]
pub struct Worths {
    /// The goal's value by the dual.
    pub value: f64,
    /// Change of the goal for one more unit of each row's bound.
    pub rows: Vec<f64>,
    /// Change of the goal for one more unit of each column.
    pub columns: Vec<f64>,
}

impl Dual {
    /// Writes the dual of a goal's problem.
    #[must_use]
    pub fn of(model: &Model, goal: &Goal) -> Self {
        let sign = if goal.maximise { -1.0 } else { 1.0 };
        let mut costs = vec![0.0; model.columns.len()];
        for (column, coefficient) in &goal.terms {
            costs[*column] = sign * coefficient;
        }
        let mut dual = Model::default();
        let mut worth = Goal::maximise(Vec::new());
        let mut equations: Vec<Vec<(usize, f64)>> = vec![Vec::new(); costs.len()];
        let mut pair = |lower: f64, upper: f64, terms: &[(usize, f64)]| -> [Option<usize>; 2] {
            [(lower, 1.0), (upper, -1.0)].map(|(bound, side)| {
                if !bound.is_finite() {
                    return None;
                }
                let multiplier = dual.column("multiplier", 0.0, f64::INFINITY);
                if bound != 0.0 {
                    worth.terms.push((multiplier, side * bound));
                }
                for (column, coefficient) in terms {
                    equations[*column].push((multiplier, side * coefficient));
                }
                Some(multiplier)
            })
        };
        let rows = model
            .rows
            .iter()
            .map(|row| pair(row.lower, row.upper, &row.terms))
            .collect();
        let bounds = model
            .columns
            .iter()
            .enumerate()
            .map(|(position, column)| pair(column.lower, column.upper, &[(position, 1.0)]))
            .collect();
        for (terms, cost) in equations.into_iter().zip(&costs) {
            dual.between("equation", terms, *cost, *cost);
        }
        Self {
            model: dual,
            goal: worth,
            rows,
            bounds,
            costs,
            is_flipped: goal.maximise,
        }
    }

    pub(super) fn sign(&self) -> f64 {
        if self.is_flipped { -1.0 } else { 1.0 }
    }

    /// Solves it.
    ///
    /// # Errors
    /// When no engine gives an answer that can be verified.
    pub fn worths(&self) -> Result<Worths, Unsolved> {
        let optimum = solve(&self.model, &self.goal)?;
        let of = |pairs: &[[Option<usize>; 2]]| -> Vec<f64> {
            pairs
                .iter()
                .map(|[lower, upper]| {
                    let at = |side: &Option<usize>| side.map_or(0.0, |at| optimum.point[at]);
                    self.sign() * (at(lower) - at(upper))
                })
                .collect()
        };
        Ok(Worths {
            value: self.sign() * optimum.value,
            rows: of(&self.rows),
            columns: of(&self.bounds),
        })
    }

    /// Keeps only multipliers that go with a best point (complementary slackness).
    fn beside(&self, model: &Model, point: &[f64]) -> Model {
        let mut dual = self.model.clone();
        let mut close = |[lower, upper]: &[Option<usize>; 2], value: f64, low: f64, high: f64| {
            let sides = [(lower, value - low), (upper, high - value)];
            for (multiplier, slack) in sides {
                if let Some(multiplier) = multiplier.filter(|_| slack > TIGHT) {
                    dual.columns[multiplier].upper = 0.0;
                }
            }
        };
        for (sides, row) in self.rows.iter().zip(&model.rows) {
            let value = row.value(point);
            close(sides, value, row.lower, row.upper);
        }
        for (position, sides) in self.bounds.iter().enumerate() {
            let column = &model.columns[position];
            close(sides, point[position], column.lower, column.upper);
        }
        dual
    }

    /// The dual held beside one best point, for asking intervals.
    #[must_use]
    pub fn at<'a>(&'a self, model: &Model, point: &[f64]) -> Beside<'a> {
        Beside::new(self, self.beside(model, point))
    }
}

/// One goal solved among the best points of the goals before it.
pub struct Solved {
    /// Name of the goal, as in [`Plan::goals`].
    pub name: &'static str,
    /// Its problem.
    pub model: Model,
    pub dual: Dual,
    pub point: Vec<f64>,
    /// The goal's value there.
    pub value: f64,
    /// What rows and columns are worth.
    pub worths: Worths,
}

impl Solved {
    /// Whether the goal is to be made large.
    #[must_use]
    pub fn is_max(&self) -> bool {
        self.dual.is_flipped
    }

    pub(super) fn sign(&self) -> f64 {
        self.dual.sign()
    }

    /// All multipliers that go with its point.
    #[must_use]
    pub fn beside(&self) -> Beside<'_> {
        self.dual.at(&self.model, &self.point)
    }
}

/// Solves the goals in order without slack, with the worths of each.
///
/// # Errors
/// When no engine can verify a goal or its dual.
pub fn goals_with_worths(plan: &Plan) -> Result<Vec<Solved>, Unsolved> {
    let mut model = plan.model.clone();
    let mut all = Vec::new();
    for (name, goal) in plan.goals() {
        if goal.terms.is_empty() {
            continue;
        }
        let optimum = solve(&model, goal)?;
        let dual = Dual::of(&model, goal);
        let worths = if optimum.value.abs() <= TIGHT && !goal.maximise && non_negative(goal) {
            nothing_at_stake(&dual)
        } else {
            dual.worths()?
        };
        let next = best_points(&model, &worths, goal.maximise);
        all.push(Solved {
            name,
            model: std::mem::replace(&mut model, next),
            dual,
            point: optimum.point,
            value: optimum.value,
            worths,
        });
    }
    Ok(all)
}

fn non_negative(goal: &Goal) -> bool {
    goal.terms
        .iter()
        .all(|(_, coefficient)| *coefficient >= 0.0)
}

/// At the value zero of a sum of non-negative parts, `y = 0` with the goal itself as reduced cost is best.
fn nothing_at_stake(dual: &Dual) -> Worths {
    Worths {
        value: 0.0,
        rows: vec![0.0; dual.rows.len()],
        columns: dual.costs.clone(),
    }
}

/// The problem narrowed to the best points of a goal.
fn best_points(model: &Model, worths: &Worths, is_max: bool) -> Model {
    let mut next = model.clone();
    for (row, worth) in next.rows.iter_mut().zip(&worths.rows) {
        hold(&mut row.lower, &mut row.upper, *worth, is_max);
    }
    for (column, worth) in next.columns.iter_mut().zip(&worths.columns) {
        hold(&mut column.lower, &mut column.upper, *worth, is_max);
    }
    next
}

/// A positive worth of something to make small means that its lower bound holds it.
fn hold(lower: &mut f64, upper: &mut f64, worth: f64, is_max: bool) {
    if worth.abs() <= ZERO {
        return;
    }
    if (worth > 0.0) != is_max {
        *upper = *lower;
    } else {
        *lower = *upper;
    }
}
