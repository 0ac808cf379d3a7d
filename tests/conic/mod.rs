//! A model as cones for clarabel, an interior-point method: another algorithm
//! by other authors. Keeps which row each cone row came from, for duals.

use clarabel::algebra::CscMatrix;
use clarabel::solver::{
    DefaultSettingsBuilder, DefaultSolver, IPSolver, NonnegativeConeT, SecondOrderConeT,
    SolverStatus, SupportedConeT, ZeroConeT,
};
use trayful::blend::model::{Goal, Model};

/// `lead(x) − upper + ‖each(x)‖ ≤ 0`.
pub(crate) struct Cone {
    pub lead: Vec<(usize, f64)>,
    pub upper: f64,
    pub each: Vec<Vec<(usize, f64)>>,
}

struct Line {
    terms: Vec<(usize, f64)>,
    bound: f64,
    is_equal: bool,
    /// Position among rows, then columns; what one unit of its bound is here.
    from: (usize, f64),
}

fn lines(model: &Model) -> Vec<Line> {
    let rows = model
        .rows
        .iter()
        .map(|row| (row.terms.clone(), row.lower, row.upper));
    let columns = model.columns.iter().enumerate();
    let columns = columns.map(|(at, column)| (vec![(at, 1.0)], column.lower, column.upper));
    let mut all = Vec::new();
    for (from, (terms, lower, upper)) in rows.chain(columns).enumerate() {
        let largest = terms.iter().map(|(_, c)| c.abs()).fold(0.0, f64::max);
        let scale = if largest > 0.0 { largest } else { 1.0 };
        let mut push = |sign: f64, bound: f64, is_equal| {
            all.push(Line {
                terms: terms.iter().map(|(c, v)| (*c, sign * v / scale)).collect(),
                bound: sign * bound / scale,
                is_equal,
                from: (from, sign / scale),
            });
        };
        if upper - lower == 0.0 {
            push(1.0, upper, true);
            continue;
        }
        if upper.is_finite() {
            push(1.0, upper, false);
        }
        if lower.is_finite() {
            push(-1.0, lower, false);
        }
    }
    all.sort_by_key(|line| !line.is_equal);
    all
}

/// The optimum, and what each row's bound is worth there.
pub(crate) fn interior(
    model: &Model,
    goal: &Goal,
    cones: &[Cone],
) -> Result<(f64, Vec<f64>), SolverStatus> {
    let lines = lines(model);
    let (mut at, mut on, mut values) = (Vec::new(), Vec::new(), Vec::new());
    let mut bounds: Vec<f64> = lines.iter().map(|line| line.bound).collect();
    for (row, line) in lines.iter().enumerate() {
        for (column, coefficient) in &line.terms {
            at.push(row);
            on.push(*column);
            values.push(*coefficient);
        }
    }
    let equal = lines.iter().filter(|line| line.is_equal).count();
    let mut kinds: Vec<SupportedConeT<f64>> =
        vec![ZeroConeT(equal), NonnegativeConeT(lines.len() - equal)];
    for cone in cones {
        // s = b − A x with s₀ = upper − lead(x), s_k = each_k(x).
        let first = bounds.len();
        bounds.push(cone.upper);
        for (column, coefficient) in &cone.lead {
            at.push(first);
            on.push(*column);
            values.push(*coefficient);
        }
        for (row, each) in cone.each.iter().enumerate() {
            bounds.push(0.0);
            for (column, coefficient) in each {
                at.push(first + 1 + row);
                on.push(*column);
                values.push(-coefficient);
            }
        }
        kinds.push(SecondOrderConeT(1 + cone.each.len()));
    }
    let columns = model.columns.len();
    let matrix = CscMatrix::new_from_triplets(bounds.len(), columns, at, on, values);
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
    let mut solver = DefaultSolver::new(&quadratic, &costs, &matrix, &bounds, &kinds, settings)
        .expect("a problem of the right shape");
    solver.solve();
    if solver.solution.status != SolverStatus::Solved {
        return Err(solver.solution.status);
    }
    let mut worth = vec![0.0; model.rows.len() + columns];
    for (line, dual) in lines.iter().zip(&solver.solution.z) {
        // The optimum moves by −z for one unit of a line's bound.
        worth[line.from.0] += -sign * dual * line.from.1;
    }
    worth.truncate(model.rows.len());
    Ok((goal.value(&solver.solution.x), worth))
}
