//! The goals in order against an interior-point method: another algorithm by
//! other authors has to find the same value for each goal.

use clarabel::algebra::CscMatrix;
use clarabel::solver::{
    DefaultSettingsBuilder, DefaultSolver, IPSolver, NonnegativeConeT, SolverStatus, ZeroConeT,
};
use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::TestRunner;
use trayful::blend::model::{Goal, Model};
use trayful::blend::solve::solve;
use trayful::blend::{GOAL_SLACK, Plan, Problem, build, goals_in_order, read_stock, read_targets};
use trayful::larvae::{SHIPPED_STAGES, StageTable};
use trayful::quantity::{Decimal, Division, MassUnit};
use trayful::stream::{SHIPPED_STREAMS, StreamTable};

mod lp_support;
mod nights;

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
fn interior(model: &Model, goal: &Goal) -> Result<f64, SolverStatus> {
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

/// What came of comparing goals one by one.
#[derive(Debug, Default)]
struct Tally {
    compared: usize,
    unsolved: Vec<String>,
    apart: Vec<String>,
}

impl Tally {
    fn goal(&mut self, label: &str, model: &Model, goal: &Goal, ours: f64) {
        match interior(model, goal) {
            Ok(theirs) => {
                self.compared += 1;
                if (ours - theirs).abs() > 1e-5 * ours.abs().max(1.0) {
                    self.apart.push(format!("{label}: {ours} against {theirs}"));
                }
            }
            Err(status) => self.unsolved.push(format!("{label}: {status:?}")),
        }
    }

    /// The four goals, each held within the same slack while the next is solved.
    fn plan(&mut self, label: &str, plan: &Plan) {
        let mut model = plan.model.clone();
        let mut values = [0.0; 4];
        let goals = [&plan.shortage, &plan.outside, &plan.urgent, &plan.cost];
        for (position, goal) in goals.into_iter().enumerate() {
            if goal.terms.is_empty() {
                continue;
            }
            let ours = solve(&model, goal).expect(label).value;
            self.goal(
                &format!("{label}, goal {}", position + 1),
                &model,
                goal,
                ours,
            );
            let slack = GOAL_SLACK * ours.abs().max(1.0);
            if goal.maximise {
                model.at_least("held", goal.terms.clone(), ours - slack);
            } else {
                model.at_most("held", goal.terms.clone(), ours + slack);
            }
            values[position] = ours;
        }
        let (tiers, point) = goals_in_order(plan).expect(label);
        let last = [
            plan.shortage.value(&point),
            tiers.outside,
            tiers.urgent_kg,
            tiers.cost,
        ];
        for (position, (held, last)) in values.iter().zip(last).enumerate() {
            // The last point may use up the slack of the first goal.
            let tolerance = if position == 0 { 2.0 * GOAL_SLACK } else { 0.0 };
            assert!((held - last).abs() <= tolerance, "{label}: {held}, {last}");
        }
    }
}

#[test]
fn published_problems() {
    let mut tally = Tally::default();
    for case in lp_support::all() {
        let (model, goal) = case.model();
        let (printed, _) = case.printed.unwrap_or((case.exact, 0.0));
        tally.goal(&case.name, &model, &goal, printed);
    }
    assert_eq!(tally.compared, 7, "{tally:#?}");
    assert!(tally.apart.is_empty(), "{tally:#?}");
}

#[test]
fn the_example_night() {
    let streams = StreamTable::read("streams.csv", SHIPPED_STREAMS).expect("streams");
    let stages = StageTable::read("stages.toml", SHIPPED_STAGES).expect("stages");
    let stock = include_bytes!("../examples/one-night/stock.csv");
    let targets = include_str!("../examples/one-night/targets.toml");
    let targets = read_targets("targets.toml", targets, &streams).expect("targets");
    let problem = Problem {
        lots: read_stock("stock.csv", stock, &streams, &stages.flag_limits).expect("stock"),
        purchases: targets.purchases,
        water_limit: targets.water_limit,
        groups: targets.groups,
        division: Division::new(Decimal::parse("0.1").expect("number"), MassUnit::Kg)
            .expect("division"),
    };
    let mut tally = Tally::default();
    tally.plan("example", &build(&problem));
    assert_eq!(tally.compared, 4, "{tally:#?}");
    assert!(tally.apart.is_empty(), "{tally:#?}");
}

#[test]
fn a_hundred_and_fifty_invented_nights() {
    let mut runner = TestRunner::deterministic();
    let mut tally = Tally::default();
    for number in 0..150 {
        let problem = nights::night()
            .new_tree(&mut runner)
            .expect("a night")
            .current();
        tally.plan(&format!("night {number}"), &build(&problem));
    }
    assert!(tally.apart.is_empty(), "{tally:#?}");
    assert!(tally.compared > 550, "{tally:#?}");
    assert!(tally.unsolved.len() < 20, "{tally:#?}");
}
