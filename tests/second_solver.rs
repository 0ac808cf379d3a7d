//! The goals in order against an interior-point method: another algorithm by
//! other authors has to find the same value for each goal.

use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::TestRunner;
use trayful::blend::model::{Goal, Model};
use trayful::blend::solve::solve;
use trayful::blend::{GOAL_SLACK, Plan, Problem, build, goals_in_order, read_stock, read_targets};
use trayful::larvae::{SHIPPED_STAGES, StageTable};
use trayful::quantity::{Decimal, Division, MassUnit};
use trayful::stream::{SHIPPED_STREAMS, StreamTable};

mod conic;
mod lp_support;
mod nights;

/// What came of comparing goals one by one.
#[derive(Debug, Default)]
struct Tally {
    compared: usize,
    unsolved: Vec<String>,
    apart: Vec<String>,
}

impl Tally {
    fn goal(&mut self, label: &str, model: &Model, goal: &Goal, ours: f64) {
        match conic::interior(model, goal, &[]) {
            Ok((theirs, _)) => {
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
        spreads: None,
        policy: trayful::blend::Policy::default(),
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
