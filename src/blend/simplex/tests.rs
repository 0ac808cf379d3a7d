use proptest::prelude::*;

use super::super::model::{Goal, Model};
use super::super::solve::{Unsolved, solve};
use super::Simplex;

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

/// Sparse rows of all kinds over boxed and half-open columns, many of them tight at once.
fn models() -> impl Strategy<Value = (Model, Vec<Goal>)> {
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
        .prop_map(|(columns, rows, goals)| {
            let mut model = Model::default();
            for (kind, size) in &columns {
                let upper = if *kind == 0 {
                    ENDLESS
                } else {
                    f64::from(*size)
                };
                let lower = if *kind == 2 { -1.0 } else { 0.0 };
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
    fn optima_are_those_of_the_engines((model, goals) in models()) {
        let near = vec![0.0; model.columns.len()];
        let mut simplex = Simplex::new(&model, &near).expect("every column has a bound");
        for goal in goals {
            let found = simplex.minimise(goal.terms.iter().copied());
            match solve(&model, &goal) {
                Ok(optimum) => {
                    prop_assert!(found.is_some(), "missed {}", optimum.value);
                    let value = goal.value(simplex.point());
                    prop_assert!((value - optimum.value).abs() < 1e-7, "{value} against {}", optimum.value);
                    prop_assert!(model.worst_violation(simplex.point()) < 1e-8);
                    let bound = model.bound_proved(&goal, &simplex.multipliers(), 1e-9);
                    prop_assert!(bound.is_some_and(|bound| (bound - value).abs() < 1e-7), "{bound:?} of {value}");
                }
                Err(Unsolved::Infeasible | Unsolved::Unbounded) => prop_assert_eq!(found, None),
                Err(Unsolved::Stopped { .. }) => {}
            }
        }
    }
}
