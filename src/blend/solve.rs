//! The engines: the only file that names a solver crate for what is not whole.
//! The second is another method by other authors, asked where the first fails.
//!
//! The first engine can answer "optimal" with a point that breaks a row, and
//! given NaN answers with zeros; so every number is checked before and every
//! row after, and what fails goes to the second. That a value is best is proved
//! by `chain.rs`.

use std::borrow::Cow;

use clarabel::algebra::CscMatrix;
use clarabel::solver::{
    DefaultSettingsBuilder, DefaultSolver, IPSolver, NonnegativeConeT, SolverStatus, ZeroConeT,
};
use good_lp::solvers::ResolutionError;
use good_lp::{Expression, ProblemVariables, Solution as _, SolverModel, constraint, variable};

use super::model::{Goal, Model};
use super::tolerance::{ROW_TOLERANCE, is_proved};

/// A proven optimum.
#[derive(Debug, Clone, PartialEq)]
pub struct Optimum {
    /// A value for each column.
    pub point: Vec<f64>,
    /// The goal's value there, recomputed from the point.
    pub value: f64,
    /// What no point can pass, where that is known.
    pub bound: Option<f64>,
}

impl Optimum {
    /// Whether no point can do better, to the slack goals are held with.
    #[must_use]
    pub fn is_proved(&self) -> bool {
        self.bound.is_some_and(|bound| is_proved(self.value, bound))
    }
}

/// Why there is no optimum.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{}", self.said().in_english())]
pub enum Unsolved {
    /// Both engines say that no point meets all rows.
    Infeasible,
    /// The goal can improve for ever.
    Unbounded,
    /// No engine gave an answer that could be verified; nothing is proved.
    Stopped {
        /// What happened.
        why: String,
    },
}

/// Solves with one engine, and with the other where that fails or can't be verified.
///
/// # Errors
/// [`Unsolved`]; `Infeasible` only when both engines say so.
pub fn solve(model: &Model, goal: &Goal) -> Result<Optimum, Unsolved> {
    if let Some(name) = model.unfit(goal) {
        return Err(Unsolved::Stopped {
            why: format!("`{name}` holds a number that is not finite"),
        });
    }
    if model.columns.is_empty() {
        return verified(model, goal, Vec::new());
    }
    let first = first_engine(model, goal).and_then(|point| verified(model, goal, point));
    first.or_else(|failed| {
        interior(model, goal).map_err(|failed_too| match (failed, failed_too) {
            (Unsolved::Infeasible, Unsolved::Infeasible) => Unsolved::Infeasible,
            (Unsolved::Unbounded, Unsolved::Unbounded) => Unsolved::Unbounded,
            (failed, failed_too) => Unsolved::Stopped {
                why: format!("{failed}; {failed_too}"),
            },
        })
    })
}

/// A point that meets every row, put exactly inside its bounds.
///
/// # Errors
/// `Stopped` when it breaks a row or bound.
pub(super) fn verified(
    model: &Model,
    goal: &Goal,
    mut point: Vec<f64>,
) -> Result<Optimum, Unsolved> {
    let violation = model.worst_violation(&point);
    if violation > ROW_TOLERANCE {
        return Err(Unsolved::Stopped {
            why: format!("its point breaks a row by {violation:.1e}"),
        });
    }
    for (value, column) in point.iter_mut().zip(&model.columns) {
        *value = value.clamp(column.lower, column.upper);
    }
    let value = goal.value(&point);
    Ok(Optimum {
        point,
        value,
        bound: None,
    })
}

fn first_engine(model: &Model, goal: &Goal) -> Result<Vec<f64>, Unsolved> {
    let mut variables = ProblemVariables::new();
    let columns: Vec<good_lp::Variable> = model
        .columns
        .iter()
        .map(|column| variables.add(variable().min(column.lower).max(column.upper)))
        .collect();
    let form = |terms: &[(usize, f64)]| -> Expression {
        terms
            .iter()
            .map(|(column, coefficient)| *coefficient * columns[*column])
            .sum()
    };
    let objective = form(&goal.terms);
    let unsolved = if goal.maximise {
        variables.maximise(objective)
    } else {
        variables.minimise(objective)
    };
    let mut problem = unsolved.using(good_lp::solvers::microlp::microlp);
    for row in &model.rows {
        if (row.upper - row.lower).abs() == 0.0 {
            problem.add_constraint(constraint::eq(form(&row.terms), row.upper));
            continue;
        }
        if row.upper < f64::INFINITY {
            problem.add_constraint(constraint::leq(form(&row.terms), row.upper));
        }
        if row.lower > f64::NEG_INFINITY {
            problem.add_constraint(constraint::geq(form(&row.terms), row.lower));
        }
    }
    match problem.solve() {
        Ok(solution) => Ok(columns
            .iter()
            .map(|column| solution.value(*column))
            .collect()),
        Err(ResolutionError::Infeasible) => Err(Unsolved::Infeasible),
        Err(ResolutionError::Unbounded) => Err(Unsolved::Unbounded),
        Err(error) => Err(Unsolved::Stopped {
            why: error.to_string(),
        }),
    }
}

/// Solves by an interior-point method of other authors: where it ends is no
/// corner, and its multipliers prove a bound of their own.
///
/// # Errors
/// [`Unsolved`].
pub(super) fn interior(model: &Model, goal: &Goal) -> Result<Optimum, Unsolved> {
    let stopped = |why: String| Unsolved::Stopped { why };
    let lines = Line::of(model);
    let (mut at, mut on, mut by) = (Vec::new(), Vec::new(), Vec::new());
    for (position, line) in lines.iter().enumerate() {
        for (column, coefficient) in line.terms.iter() {
            at.push(position);
            on.push(*column);
            by.push(line.scale * coefficient);
        }
    }
    let width = model.columns.len();
    let matrix = CscMatrix::new_from_triplets(lines.len(), width, at, on, by);
    let bounds: Vec<f64> = lines.iter().map(|line| line.scale * line.bound).collect();
    let equal = lines.iter().filter(|line| line.is_equal).count();
    let kinds = [ZeroConeT(equal), NonnegativeConeT(lines.len() - equal)];
    let sign = if goal.maximise { -1.0 } else { 1.0 };
    let mut costs = vec![0.0; width];
    for (column, coefficient) in &goal.terms {
        costs[*column] += sign * coefficient;
    }
    let settings = DefaultSettingsBuilder::default()
        .verbose(false)
        .max_iter(300)
        .tol_gap_abs(1e-9)
        .tol_gap_rel(1e-9)
        .tol_feas(1e-10)
        .build()
        .map_err(|error| stopped(error.to_string()))?;
    let none = CscMatrix::zeros((width, width));
    let mut solver = DefaultSolver::new(&none, &costs, &matrix, &bounds, &kinds, settings)
        .map_err(|error| stopped(error.to_string()))?;
    solver.solve();
    match solver.solution.status {
        SolverStatus::Solved => {}
        SolverStatus::PrimalInfeasible => return Err(Unsolved::Infeasible),
        SolverStatus::DualInfeasible => return Err(Unsolved::Unbounded),
        status => return Err(stopped(format!("{status:?}"))),
    }
    let optimum = verified(model, goal, solver.solution.x.clone())?;
    let mut multipliers = vec![0.0; model.rows.len()];
    for (line, dual) in lines.iter().zip(&solver.solution.z) {
        if let Some(row) = line.row {
            multipliers[row] -= line.scale * dual;
        }
    }
    Ok(Optimum {
        bound: model.bound_proved(goal, &multipliers, NO_MULTIPLIER),
        ..optimum
    })
}

/// A multiplier of the interior below this is none.
const NO_MULTIPLIER: f64 = 1e-8;

/// A side of a row or of a column's bounds: `scale · (terms − bound) ≤ 0`, or equal.
struct Line<'a> {
    terms: Cow<'a, [(usize, f64)]>,
    bound: f64,
    scale: f64,
    is_equal: bool,
    row: Option<usize>,
}

impl<'a> Line<'a> {
    /// Equal ones first, each scaled to a largest coefficient of 1.
    fn of(model: &'a Model) -> Vec<Self> {
        let rows = model.rows.iter().enumerate().map(|(at, row)| {
            (
                Some(at),
                Cow::Borrowed(row.terms.as_slice()),
                row.lower,
                row.upper,
            )
        });
        let columns = model.columns.iter().enumerate().map(|(at, column)| {
            (
                None,
                Cow::Owned(vec![(at, 1.0)]),
                column.lower,
                column.upper,
            )
        });
        let mut lines = Vec::new();
        for (row, terms, lower, upper) in rows.chain(columns) {
            let largest = terms.iter().map(|(_, by)| by.abs()).fold(0.0, f64::max);
            let scale = if largest > 0.0 { 1.0 / largest } else { 1.0 };
            let is_equal = (upper - lower).abs() == 0.0;
            let sides = [(upper, scale), (lower, -scale)];
            for (bound, scale) in &sides[..if is_equal { 1 } else { 2 }] {
                if bound.is_finite() {
                    lines.push(Self {
                        terms: terms.clone(),
                        bound: *bound,
                        scale: *scale,
                        is_equal,
                        row,
                    });
                }
            }
        }
        lines.sort_by_key(|line| !line.is_equal);
        lines
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// max x + 2y, x + y ≤ 4, x + 3y ≤ 6, x, y ≥ 0: (3, 1), value 5.
    fn small() -> (Model, Goal) {
        let mut model = Model::default();
        let x = model.column("x", 0.0, f64::INFINITY);
        let y = model.column("y", 0.0, f64::INFINITY);
        model.at_most("sum", vec![(x, 1.0), (y, 1.0)], 4.0);
        model.at_most("weighted", vec![(x, 1.0), (y, 3.0)], 6.0);
        (model, Goal::maximise(vec![(x, 1.0), (y, 2.0)]))
    }

    #[test]
    fn both_engines_find_the_corner() {
        let (model, goal) = small();
        for engine in [solve, interior] {
            let optimum = engine(&model, &goal).expect("optimum");
            assert!((optimum.value - 5.0).abs() < 1e-7);
            assert!((optimum.point[0] - 3.0).abs() < 1e-6);
            let bound = optimum.bound.unwrap_or(5.0);
            assert!((bound - 5.0).abs() < 1e-7);
        }
    }

    #[test]
    fn what_is_not_a_number_never_reaches_an_engine() {
        let (mut model, goal) = small();
        model.rows[0].terms[0].1 = f64::NAN;
        assert!(
            matches!(solve(&model, &goal), Err(Unsolved::Stopped { why }) if why.contains("`sum`"))
        );
    }

    #[test]
    fn infeasible_and_unbounded_are_told_apart() {
        let (mut model, goal) = small();
        model.at_least("too much", vec![(0, 1.0)], 5.0);
        assert_eq!(solve(&model, &goal), Err(Unsolved::Infeasible));
        let (mut model, goal) = small();
        model.rows.clear();
        assert_eq!(solve(&model, &goal), Err(Unsolved::Unbounded));
    }

    #[test]
    fn a_point_that_breaks_a_row_is_not_believed() {
        let (model, goal) = small();
        assert!(matches!(
            verified(&model, &goal, vec![4.0, 4.0]),
            Err(Unsolved::Stopped { .. })
        ));
    }
}
