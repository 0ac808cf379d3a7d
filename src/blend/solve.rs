//! The engines: the only file that names a solver crate. They are two releases
//! of one library, microlp: the other one is asked where one fails, which is a
//! second try, not an independent opinion. What is independent is that every
//! row is checked here and every figure in `assess`.
//!
//! The first engine can answer "optimal" with a point that breaks a row, and
//! given NaN answers with zeros; so every number is checked before and every
//! row after, and what fails goes to the second engine.

use good_lp::solvers::ResolutionError;
use good_lp::{Expression, ProblemVariables, Solution as _, SolverModel, constraint, variable};

use super::model::{Goal, Model, Row};
use super::tolerance::ROW_TOLERANCE;

/// A proven optimum.
#[derive(Debug, Clone, PartialEq)]
pub struct Optimum {
    /// A value for each column.
    pub point: Vec<f64>,
    /// The goal's value there, recomputed from the point.
    pub value: f64,
}

/// Why there is no optimum.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Unsolved {
    /// Both releases say that no point meets all rows.
    #[error("no point meets all rows")]
    Infeasible,
    /// The goal can improve for ever.
    #[error("the goal can improve for ever")]
    Unbounded,
    /// No engine gave an answer that could be verified; nothing is proved.
    #[error("no engine gave an answer that could be verified: {why}")]
    Stopped {
        /// What happened.
        why: String,
    },
}

/// Columns from which the second engine is asked first: measured on two groups,
/// the two are even at some hundred lots, and at 5,000 the second takes half the time.
const MANY_COLUMNS: usize = 1000;

/// Solves with one engine, and with the other where that fails or can't be
/// verified: the first engine is asked first unless there are many columns.
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
    let engines = if model.columns.len() < MANY_COLUMNS {
        [first_engine, second_engine]
    } else {
        [second_engine, first_engine]
    };
    let [asked, other] = engines
        .map(|engine| move || engine(model, goal).and_then(|point| verified(model, goal, point)));
    asked().or_else(|failed| {
        other().map_err(|failed_too| match (failed, failed_too) {
            (Unsolved::Infeasible, Unsolved::Infeasible) => Unsolved::Infeasible,
            (Unsolved::Unbounded, Unsolved::Unbounded) => Unsolved::Unbounded,
            (failed, failed_too) => Unsolved::Stopped {
                why: format!("{failed}; {failed_too}"),
            },
        })
    })
}

/// Solves with the later release alone: the earlier once called a point
/// optimal that broke a row.
///
/// # Errors
/// [`Unsolved`].
pub(super) fn solve_second(model: &Model, goal: &Goal) -> Result<Optimum, Unsolved> {
    if let Some(name) = model.unfit(goal) {
        return Err(Unsolved::Stopped {
            why: format!("`{name}` holds a number that is not finite"),
        });
    }
    if model.columns.is_empty() {
        return verified(model, goal, Vec::new());
    }
    second_engine(model, goal).and_then(|point| verified(model, goal, point))
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
    Ok(Optimum { point, value })
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

/// More rounds of rows than any model has needed.
const CUTS_MOST: usize = 200;

/// Solves with the second engine, adding the rows that each point calls for until
/// one calls for none, each time on from the last corner. The rows stay in the model.
///
/// # Errors
/// [`Unsolved`]; rows called for before that stay too.
pub(super) fn solve_cutting(
    model: &mut Model,
    goal: &Goal,
    mut called_for: impl FnMut(&[f64]) -> Vec<Row>,
) -> Result<Optimum, Unsolved> {
    if let Some(name) = model.unfit(goal) {
        return Err(Unsolved::Stopped {
            why: format!("`{name}` holds a number that is not finite"),
        });
    }
    let (problem, columns) = for_second_engine(model, goal);
    let mut solution = finished(problem.solve())?;
    for _ in 0..CUTS_MOST {
        let optimum = verified(model, goal, values(&solution, &columns))?;
        let rows = called_for(&optimum.point);
        if rows.is_empty() {
            return Ok(optimum);
        }
        for row in rows {
            for (terms, side, bound) in sides(&row, &columns) {
                solution = finished(solution.add_constraint(terms, side, bound))?;
            }
            model.rows.push(row);
        }
    }
    Err(Unsolved::Stopped {
        why: format!("rows were called for {CUTS_MOST} times"),
    })
}

fn second_engine(model: &Model, goal: &Goal) -> Result<Vec<f64>, Unsolved> {
    let (problem, columns) = for_second_engine(model, goal);
    Ok(values(&finished(problem.solve())?, &columns))
}

fn for_second_engine(model: &Model, goal: &Goal) -> (microlp::Problem, Vec<microlp::Variable>) {
    use microlp::{OptimizationDirection, Problem};
    let direction = if goal.maximise {
        OptimizationDirection::Maximize
    } else {
        OptimizationDirection::Minimize
    };
    let mut problem = Problem::new(direction);
    let mut weights = vec![0.0; model.columns.len()];
    for (column, coefficient) in &goal.terms {
        weights[*column] = *coefficient;
    }
    let columns: Vec<microlp::Variable> = model
        .columns
        .iter()
        .zip(&weights)
        .map(|(column, weight)| problem.add_var(*weight, (column.lower, column.upper)))
        .collect();
    for row in &model.rows {
        for (terms, side, bound) in sides(row, &columns) {
            problem.add_constraint(terms, side, bound);
        }
    }
    (problem, columns)
}

type Constraint = (Vec<(microlp::Variable, f64)>, microlp::ComparisonOp, f64);

/// A row as the second engine takes it: one constraint for each side that has a bound.
fn sides(row: &Row, columns: &[microlp::Variable]) -> Vec<Constraint> {
    use microlp::ComparisonOp::{Eq, Ge, Le};
    let bounds = if (row.upper - row.lower).abs() == 0.0 {
        vec![(Eq, row.upper)]
    } else {
        vec![(Le, row.upper), (Ge, row.lower)]
    };
    let terms: Vec<(microlp::Variable, f64)> = row
        .terms
        .iter()
        .map(|(column, coefficient)| (columns[*column], *coefficient))
        .collect();
    bounds
        .into_iter()
        .filter(|(_, bound)| bound.is_finite())
        .map(|(side, bound)| (terms.clone(), side, bound))
        .collect()
}

fn finished(
    outcome: Result<microlp::SolveOutcome, microlp::Error>,
) -> Result<microlp::Solution, Unsolved> {
    use microlp::Error;
    let outcome = outcome.map_err(|error| match error {
        Error::Infeasible => Unsolved::Infeasible,
        Error::Unbounded => Unsolved::Unbounded,
        other => Unsolved::Stopped {
            why: other.to_string(),
        },
    })?;
    outcome.into_solution().map_err(|_| Unsolved::Stopped {
        why: "interrupted without a point".to_owned(),
    })
}

fn values(solution: &microlp::Solution, columns: &[microlp::Variable]) -> Vec<f64> {
    columns
        .iter()
        .map(|column| solution.var_value(*column))
        .collect()
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
        for engine in [first_engine, second_engine] {
            let optimum = engine(&model, &goal)
                .and_then(|point| verified(&model, &goal, point))
                .expect("optimum");
            assert!((optimum.value - 5.0).abs() < 1e-9);
            assert!((optimum.point[0] - 3.0).abs() < 1e-9);
        }
    }

    /// Ten of the dearest columns, one each: n + (n − 1) + ... + (n − 9) = 10 n − 45.
    #[test]
    fn many_columns_are_solved_alike() {
        for count in [MANY_COLUMNS - 1, MANY_COLUMNS] {
            let mut model = Model::default();
            let (mut sum, mut worth, mut dearest) = (Vec::new(), Vec::new(), 0.0);
            for _ in 0..count {
                let column = model.column("x", 0.0, 1.0);
                dearest += 1.0;
                sum.push((column, 1.0));
                worth.push((column, dearest));
            }
            model.at_most("ten", sum, 10.0);
            let optimum = solve(&model, &Goal::maximise(worth)).expect("optimum");
            assert!((optimum.value - (10.0 * dearest - 45.0)).abs() < 1e-9);
        }
    }

    /// The unit circle by tangents: max x + 1.2 y ends at √(1 + 1.2²).
    #[test]
    fn rows_called_for_are_added_until_none_is() {
        let mut model = Model::default();
        let x = model.column("x", 0.0, 5.0);
        let y = model.column("y", 0.0, 5.0);
        model.at_most("box", vec![(x, 1.0), (y, 1.0)], 9.0);
        let goal = Goal::maximise(vec![(x, 1.0), (y, 1.2)]);
        let tangent = |point: &[f64]| {
            let norm = point.iter().map(|at| at * at).sum::<f64>().sqrt();
            if norm <= 1.0 + 1e-7 {
                return Vec::new();
            }
            vec![Row {
                name: "tangent".to_owned(),
                terms: vec![(x, point[0] / norm), (y, point[1] / norm)],
                lower: f64::NEG_INFINITY,
                upper: 1.0,
            }]
        };
        let optimum = solve_cutting(&mut model, &goal, tangent).expect("optimum");
        assert!((optimum.value - (1.0_f64 + 1.2 * 1.2).sqrt()).abs() < 1e-6);
        assert!(model.rows.len() > 4, "{}", model.rows.len());
        let cold = solve(&model, &goal).expect("the same rows at once");
        assert!((optimum.value - cold.value).abs() < 1e-9);
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
