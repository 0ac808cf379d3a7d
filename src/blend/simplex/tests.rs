use proptest::prelude::*;

use super::super::model::{Goal, Model};
use super::super::solve::{Optimum, Unsolved, solve};
use super::{STALLED_MOST, Simplex};

#[path = "../../../tests/lp_support/mod.rs"]
mod lp_support;

const ENDLESS: f64 = f64::INFINITY;

/// max x + 2y, x + y ≤ 4, x + 3y ≤ 6: (3, 1); then, from there, min x: (0, 0).
#[test]
fn one_corner_goes_from_goal_to_goal() {
    let mut model = Model::default();
    let x = model.column("x", 0.0, ENDLESS);
    let y = model.column("y", 0.0, ENDLESS);
    model.at_most("sum", vec![(x, 1.0), (y, 1.0)], 4.0);
    model.at_most("weighted", vec![(x, 1.0), (y, 3.0)], 6.0);
    let mut simplex = Simplex::new(&model, &[0.0, 0.0]).expect("bounded below");
    simplex.minimise([(x, -1.0), (y, -2.0)]).expect("optimum");
    assert!((simplex.point()[x] - 3.0).abs() < 1e-12);
    let multipliers = simplex.multipliers();
    assert!(multipliers.iter().all(|by| (by + 0.5).abs() < 1e-12));
    simplex.minimise([(x, 1.0)]).expect("optimum");
    assert!(simplex.point()[x].abs() < 1e-12);
    // A row that comes in where the point is not brings it along.
    model.at_least("more", vec![(x, 1.0), (y, 1.0)], 2.5);
    simplex.add(&model.rows[2]);
    simplex.minimise([(x, 1.0)]).expect("optimum");
    assert!(
        (simplex.point()[x] - 0.75).abs() < 1e-12,
        "{:?}",
        simplex.point()
    );
}

#[test]
fn what_has_no_optimum_has_no_corner() {
    let mut model = Model::default();
    let x = model.column("x", 0.0, ENDLESS);
    model.at_least("row", vec![(x, 1.0)], 1.0);
    let mut simplex = Simplex::new(&model, &[0.0]).expect("bounded below");
    assert_eq!(simplex.minimise([(x, -1.0)]), None);
    model.at_most("clash", vec![(x, 2.0)], 1.0);
    let mut simplex = Simplex::new(&model, &[0.0]).expect("bounded below");
    assert_eq!(simplex.minimise([(x, 1.0)]), None);
    model.column("free", -ENDLESS, ENDLESS);
    assert!(Simplex::new(&model, &[0.0, 0.0]).is_none());
}

/// Bland's rule from the first exchange that leads nowhere on, as shipped, and never.
const PATIENCES: [usize; 3] = [0, STALLED_MOST, usize::MAX];

/// Beale 1955, as an R package (simplexR) quotes it from Dempe and Schreier,
/// Operations Research, 2006, p. 34; by the largest reduced cost and the first row
/// it comes back to where it began (as recalled from memory: after six exchanges).
/// Ours goes round that by the largest pivot; what holds here is that it ends with
/// Bland's rule too.
#[test]
fn a_model_known_to_cycle_ends() {
    let mut model = Model::default();
    let x: Vec<usize> = (0..4).map(|_| model.column("x", 0.0, ENDLESS)).collect();
    let row = |by: [f64; 4]| x.iter().copied().zip(by).collect::<Vec<_>>();
    model.at_most("first", row([0.25, -8.0, -1.0, 9.0]), 0.0);
    model.at_most("second", row([0.5, -12.0, -0.5, 3.0]), 0.0);
    model.at_most("third", vec![(x[2], 1.0)], 1.0);
    let goal = Goal::maximise(row([0.75, -20.0, 0.5, -6.0]));
    for patience in PATIENCES {
        let mut simplex = Simplex::new(&model, &[0.0; 4]).expect("bounded below");
        simplex.patience = patience;
        let small = goal.terms.iter().map(|(column, by)| (*column, -by));
        simplex.minimise(small).expect("optimum");
        assert!((goal.value(simplex.point()) - 1.25).abs() < 1e-12);
    }
}

#[test]
fn published_problems_have_their_printed_optima() {
    for case in lp_support::all() {
        let (model, goal) = case.model();
        let near = vec![0.0; model.columns.len()];
        for patience in PATIENCES {
            let mut simplex = Simplex::new(&model, &near).expect("every column has a bound");
            simplex.patience = patience;
            let found = simplex.minimise(goal.terms.iter().copied());
            found.unwrap_or_else(|| panic!("{}: none with {patience}", case.name));
            let value = goal.value(simplex.point());
            let (printed, digit) = case.printed.unwrap_or((case.exact, 0.0));
            let near = 1e-9 * case.exact.abs().max(1.0);
            assert!((value - case.exact).abs() < near, "{}: {value}", case.name);
            assert!((value - printed).abs() < digit + near, "{}", case.name);
            assert!(
                model.worst_violation(simplex.point()) < 1e-7,
                "{}",
                case.name
            );
        }
    }
}

/// Sparse rows of all kinds over boxed and half-open columns, many of them tight at
/// once; `tight`: every row at zero, where the point begins.
fn models(tight: bool) -> impl Strategy<Value = (Model, Vec<Goal>)> {
    let column = (0..3_i32, 1..9_i32);
    let row = (
        proptest::collection::vec((0_usize..14, -4..5_i32), 1..6),
        0..4_i32,
        -3..7_i32,
    );
    let goal = proptest::collection::vec((0_usize..14, -3..6_i32), 1..9);
    (
        proptest::collection::vec(column, 3..14),
        proptest::collection::vec(row, 1..12),
        proptest::collection::vec(goal, 3),
    )
        .prop_map(move |(columns, rows, goals)| {
            let mut model = Model::default();
            for (kind, size) in &columns {
                let upper = if *kind == 0 {
                    ENDLESS
                } else {
                    f64::from(*size)
                };
                let lower = if *kind == 2 && !tight { -1.0 } else { 0.0 };
                model.column("x", lower, upper);
            }
            let terms = |terms: Vec<(usize, i32)>| {
                let mut by_column = std::collections::BTreeMap::new();
                for (column, by) in terms.into_iter().filter(|(_, by)| *by != 0) {
                    by_column.insert(column % columns.len(), f64::from(by));
                }
                by_column.into_iter().collect::<Vec<_>>()
            };
            for (form, kind, bound) in rows {
                let bound = f64::from(bound);
                let (lower, upper) = match kind {
                    1 if tight => (0.0, ENDLESS),
                    _ if tight => (-ENDLESS, 0.0),
                    0 => (-ENDLESS, bound),
                    1 => (bound - 4.0, ENDLESS),
                    2 => (bound - 3.0, bound),
                    _ => (0.0, 0.0),
                };
                model.between("row", terms(form), lower, upper);
            }
            let goals = goals.into_iter().map(|form| Goal::minimise(terms(form)));
            (model, goals.collect())
        })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(600))]

    /// From one corner to the next, against the engines, each beginning anew; and
    /// the multipliers prove the value.
    #[test]
    fn optima_are_those_of_the_engines((model, goals) in models(false), patience in 0..=STALLED_MOST) {
        same_as_engines(&model, &goals, patience)?;
    }

    /// The same where most exchanges lead nowhere.
    #[test]
    fn degenerate_optima_are_those_of_the_engines((model, goals) in models(true), patience in 0..=STALLED_MOST) {
        same_as_engines(&model, &goals, patience)?;
    }
}

fn same_as_engines(model: &Model, goals: &[Goal], patience: usize) -> Result<(), TestCaseError> {
    let near = vec![0.0; model.columns.len()];
    let mut simplex = Simplex::new(model, &near).expect("every column has a bound");
    simplex.patience = patience;
    for goal in goals {
        let found = simplex.minimise(goal.terms.iter().copied());
        match solve(model, goal) {
            Ok(Optimum { value: best, .. }) => {
                prop_assert!(found.is_some(), "missed {best}");
                let value = goal.value(simplex.point());
                prop_assert!((value - best).abs() < 1e-7, "{value} against {best}");
                prop_assert!(model.worst_violation(simplex.point()) < 1e-8);
                let bound = model.bound_proved(goal, &simplex.multipliers(), 1e-9);
                prop_assert!(
                    bound.is_some_and(|bound| (bound - value).abs() < 1e-7),
                    "{bound:?} of {value}"
                );
            }
            Err(Unsolved::Infeasible | Unsolved::Unbounded) => prop_assert_eq!(found, None),
            Err(Unsolved::Stopped { .. }) => {}
        }
    }
    Ok(())
}
