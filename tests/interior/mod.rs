//! An interior-point method by other authors, for comparing goals.

use clarabel::algebra::CscMatrix;
use clarabel::solver::{
    DefaultSettingsBuilder, DefaultSolver, IPSolver, NonnegativeConeT, SolverStatus, ZeroConeT,
};
use trayful::blend::model::{Goal, Model};

/// One constraint `terms + s = bound`, s zero or s ≥ 0.
struct Conic {
    terms: Vec<(usize, f64)>,
    bound: f64,
    is_equal: bool,
}

/// Rows and column bounds as cones, each scaled to a largest coefficient of 1.
fn conic(model: &Model) -> Vec<Conic> {
    let mut all = Vec::new();
    let columns = model
        .columns
        .iter()
        .enumerate()
        .map(|(position, column)| (vec![(position, 1.0)], column.lower, column.upper));
    let rows = model
        .rows
        .iter()
        .map(|row| (row.terms.clone(), row.lower, row.upper));
    for (terms, lower, upper) in rows.chain(columns) {
        let largest = terms.iter().map(|(_, c)| c.abs()).fold(0.0, f64::max);
        let scale = if largest > 0.0 { largest } else { 1.0 };
        let scaled = |sign: f64, bound: f64, is_equal: bool| Conic {
            terms: terms
                .iter()
                .map(|(column, coefficient)| (*column, sign * coefficient / scale))
                .collect(),
            bound: sign * bound / scale,
            is_equal,
        };
        if upper - lower == 0.0 {
            all.push(scaled(1.0, upper, true));
            continue;
        }
        if upper.is_finite() {
            all.push(scaled(1.0, upper, false));
        }
        if lower.is_finite() {
            all.push(scaled(-1.0, lower, false));
        }
    }
    all.sort_by_key(|constraint| !constraint.is_equal);
    all
}

/// The optimum by the interior-point method, or the status it stopped with.
pub(crate) fn interior(model: &Model, goal: &Goal) -> Result<f64, SolverStatus> {
    let constraints = conic(model);
    let columns = model.columns.len();
    let (mut at, mut on, mut values) = (Vec::new(), Vec::new(), Vec::new());
    for (row, constraint) in constraints.iter().enumerate() {
        for (column, coefficient) in &constraint.terms {
            at.push(row);
            on.push(*column);
            values.push(*coefficient);
        }
    }
    let matrix = CscMatrix::new_from_triplets(constraints.len(), columns, at, on, values);
    let bounds: Vec<f64> = constraints.iter().map(|c| c.bound).collect();
    let equal = constraints.iter().filter(|c| c.is_equal).count();
    let cones = [
        ZeroConeT(equal),
        NonnegativeConeT(constraints.len() - equal),
    ];
    let sign = if goal.maximise { -1.0 } else { 1.0 };
    let mut costs = vec![0.0; columns];
    for (column, coefficient) in &goal.terms {
        costs[*column] = sign * coefficient;
    }
    let settings = DefaultSettingsBuilder::default()
        .verbose(false)
        .max_iter(300)
        .tol_gap_abs(1e-9)
        .tol_gap_rel(1e-9)
        .tol_feas(1e-10)
        .build()
        .expect("settings");
    let quadratic = CscMatrix::zeros((columns, columns));
    let mut solver = DefaultSolver::new(&quadratic, &costs, &matrix, &bounds, &cones, settings)
        .expect("a problem of the right shape");
    solver.solve();
    match solver.solution.status {
        SolverStatus::Solved => Ok(goal.value(&solver.solution.x)),
        other => Err(other),
    }
}
