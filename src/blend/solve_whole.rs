//! Integer programs: by microlp, or by HiGHS where the cargo feature
//! `highs` is on. Beside `solve.rs` the only file that names a solver crate.
//!
//! Neither engine is trusted with the answer: the caller keeps an incumbent of
//! its own, takes from here only whole numbers and a proven bound, and solves
//! the linear rest again.

use std::time::Duration;

use super::model::{Goal, Model};
use super::solve::Unsolved;

/// What an integer search came to.
#[derive(Debug, Clone, PartialEq)]
pub struct Whole {
    /// The best point found, integers rounded; `None` when none was.
    pub point: Option<Vec<f64>>,
    /// A proven bound of the goal, where the search gave one.
    pub bound: Option<f64>,
}

/// An integer engine that is built in; the default is the last of [`Engine::BUILT_IN`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Engine {
    /// The built-in engine.
    Microlp,
    /// HiGHS.
    #[cfg(feature = "highs")]
    Highs,
}

impl Engine {
    /// Those of this build.
    pub const BUILT_IN: &[Self] = &[
        Self::Microlp,
        #[cfg(feature = "highs")]
        Self::Highs,
    ];

    /// Its name, for print.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Microlp => "microlp",
            #[cfg(feature = "highs")]
            Self::Highs => "HiGHS",
        }
    }
}

impl Default for Engine {
    fn default() -> Self {
        Self::BUILT_IN.last().copied().unwrap_or(Self::Microlp)
    }
}

/// How long and how closely to search, and by which engine.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Effort {
    pub engine: Engine,
    /// Wall-clock limit.
    pub limit: Duration,
    /// Relative distance to the bound at which to stop.
    pub gap: f64,
}

/// Searches for the best point with whole numbers in some columns, from a
/// starting point if there is one. The goal is to be made small.
///
/// # Errors
/// When the engine fails or no point meets all rows.
pub fn solve_whole(
    model: &Model,
    goal: &Goal,
    integers: &[usize],
    start: Option<&[f64]>,
    effort: Effort,
) -> Result<Whole, Unsolved> {
    if let Some(name) = model.unfit(goal) {
        return Err(Unsolved::Stopped {
            why: format!("`{name}` holds a number that is not finite"),
        });
    }
    let mut whole = match effort.engine {
        Engine::Microlp => by_microlp(model, goal, integers, start, effort)?,
        #[cfg(feature = "highs")]
        Engine::Highs => by_highs(model, goal, integers, start, effort)?,
    };
    if let Some(point) = &mut whole.point {
        for column in integers {
            point[*column] = point[*column].round();
        }
    }
    Ok(whole)
}

fn by_microlp(
    model: &Model,
    goal: &Goal,
    integers: &[usize],
    start: Option<&[f64]>,
    effort: Effort,
) -> Result<Whole, Unsolved> {
    use microlp::{ComparisonOp, Error, OptimizationDirection, Problem, SolveOptions};
    let mut weights = vec![0.0; model.columns.len()];
    for (column, coefficient) in &goal.terms {
        weights[*column] = *coefficient;
    }
    let mut is_whole = vec![false; model.columns.len()];
    for column in integers {
        is_whole[*column] = true;
    }
    let mut problem = Problem::new(OptimizationDirection::Minimize);
    let columns: Vec<microlp::Variable> = model
        .columns
        .iter()
        .zip(&weights)
        .zip(&is_whole)
        .map(|((column, weight), is_whole)| {
            if *is_whole {
                #[expect(
                    clippy::cast_possible_truncation,
                    reason = "bucket counts; a float-to-int cast saturates"
                )]
                let bounds = (column.lower.ceil() as i32, column.upper.floor() as i32);
                problem.add_integer_var(*weight, bounds)
            } else {
                problem.add_var(*weight, (column.lower, column.upper))
            }
        })
        .collect();
    for row in &model.rows {
        let terms = || {
            let of = row.terms.iter();
            of.map(|(column, coefficient)| (columns[*column], *coefficient))
                .collect::<Vec<_>>()
        };
        if (row.upper - row.lower).abs() == 0.0 {
            problem.add_constraint(terms(), ComparisonOp::Eq, row.upper);
            continue;
        }
        if row.upper < f64::INFINITY {
            problem.add_constraint(terms(), ComparisonOp::Le, row.upper);
        }
        if row.lower > f64::NEG_INFINITY {
            problem.add_constraint(terms(), ComparisonOp::Ge, row.lower);
        }
    }
    let mut options = SolveOptions::default();
    options.time_limit = Some(effort.limit);
    options.mip_gap = effort.gap;
    options.warm_start = start.map(|point| {
        let of = integers.iter();
        of.map(|column| (columns[*column], point[*column].round()))
            .collect()
    });
    let outcome = problem.solve_with(options).map_err(|error| match error {
        Error::Infeasible => Unsolved::Infeasible,
        Error::Unbounded => Unsolved::Unbounded,
        other => Unsolved::Stopped {
            why: other.to_string(),
        },
    })?;
    let bound = outcome.stats().best_bound;
    let point = outcome.solution().map(|solution| {
        columns
            .iter()
            .map(|column| solution.var_value(*column))
            .collect()
    });
    Ok(Whole { point, bound })
}

#[cfg(feature = "highs")]
fn by_highs(
    model: &Model,
    goal: &Goal,
    integers: &[usize],
    start: Option<&[f64]>,
    effort: Effort,
) -> Result<Whole, Unsolved> {
    use highs::{HighsModelStatus, RowProblem, Sense};
    let mut weights = vec![0.0; model.columns.len()];
    for (column, coefficient) in &goal.terms {
        weights[*column] = *coefficient;
    }
    let mut problem = RowProblem::default();
    let columns: Vec<highs::Col> = model
        .columns
        .iter()
        .enumerate()
        .map(|(position, column)| {
            let bounds = column.lower..=column.upper;
            if integers.contains(&position) {
                problem.add_integer_column(weights[position], bounds)
            } else {
                problem.add_column(weights[position], bounds)
            }
        })
        .collect();
    for row in &model.rows {
        let terms: Vec<(highs::Col, f64)> = row
            .terms
            .iter()
            .map(|(column, coefficient)| (columns[*column], *coefficient))
            .collect();
        problem.add_row(row.lower..=row.upper, terms);
    }
    let failed = |status: highs::HighsStatus| Unsolved::Stopped {
        why: format!("HiGHS: {status:?}"),
    };
    let mut ready = problem.try_optimise(Sense::Minimise).map_err(failed)?;
    // What the library does not take leaves its default: a longer search, no worse an answer.
    let _kept = ready.try_set_option("output_flag", false);
    let _kept = ready.try_set_option("threads", 1);
    let _kept = ready.try_set_option("time_limit", effort.limit.as_secs_f64());
    let _kept = ready.try_set_option("mip_rel_gap", effort.gap);
    let _kept = ready.try_set_solution(start, None, None, None);
    let solved = ready.try_solve().map_err(failed)?;
    let point = solved.get_solution().columns().to_vec();
    // What it proved holds when the time is up as well; without integers it says zero.
    let bound = solved.double_info_value(c"mip_dual_bound").ok();
    let bound = bound.filter(|bound| bound.is_finite() && !integers.is_empty());
    match solved.status() {
        HighsModelStatus::Infeasible => Err(Unsolved::Infeasible),
        HighsModelStatus::Unbounded => Err(Unsolved::Unbounded),
        _ => Ok(Whole {
            point: (model.worst_violation(&point) <= 1e-5).then_some(point),
            bound,
        }),
    }
}
