//! The goals in order against an interior-point method: another algorithm by
//! other authors has to find the same value for each goal.

use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::TestRunner;
use trayful::blend::model::{Goal, Model};
use trayful::blend::solve::{Unsolved, solve};
use trayful::blend::{Plan, Problem, Tiers, build, goals_shown, read_stock, read_targets};
use trayful::larvae::{SHIPPED_STAGES, StageTable};
use trayful::quantity::{Decimal, Division, MassUnit, ShareAsFed};
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

    /// The goals as they are solved in order, each proved best by itself.
    fn plan(&mut self, label: &str, plan: &Plan) {
        let (tiers, shown) = in_order(plan).expect(label);
        assert!(!tiers.unproved.contains(&true), "{label}: {tiers:?}");
        for (name, model, goal, ours) in shown {
            self.goal(&format!("{label}, {name}"), &model, &goal, ours);
        }
    }
}

/// A goal's name, its exact problem, and the value found.
type Shown = (&'static str, Model, Goal, f64);

fn in_order(plan: &Plan) -> Result<(Tiers, Vec<Shown>), Unsolved> {
    let mut shown = Vec::new();
    let (tiers, point) = goals_shown(plan, |name, model, goal| {
        shown.push((name, model.clone(), goal.clone(), 0.0));
    })?;
    for (name, _, goal, value) in &mut shown {
        *value = match *name {
            "goal outside" => tiers.outside,
            "goal urgent" => tiers.urgent_kg,
            "goal cost" => tiers.cost,
            _ => goal.value(&point),
        };
    }
    shown.retain(|(name, ..)| *name != "ties");
    Ok((tiers, shown))
}

#[test]
fn published_problems() {
    let mut tally = Tally::default();
    for case in lp_support::all() {
        let (model, goal) = case.model();
        let (printed, _) = case.printed.unwrap_or((case.exact, 0.0));
        tally.goal(&case.name, &model, &goal, printed);
    }
    assert_eq!(tally.compared, 9, "{tally:#?}");
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

/// Lots within a hundred-thousandth of 0 and 100 % moisture stretch the rows over
/// many powers of ten: an engine alone ends elsewhere than at the best there.
#[test]
fn hostile_nights_are_proved_where_an_engine_alone_is_wrong() {
    let mut runner = TestRunner::deterministic();
    let (mut alone, mut stopped) = (Vec::new(), 0);
    for number in 0..1000 {
        let mut problem = (nights::night().new_tree(&mut runner))
            .expect("a night")
            .current();
        for lot in &mut problem.lots {
            lot.composition.moisture = lot.composition.moisture.and_then(|share| {
                let share = share.get();
                let hostile = if share > 0.7 {
                    1.0 - 10.0_f64.powf(-2.0 - 12.0 * (share - 0.7))
                } else {
                    10.0_f64.powf(-2.0 - 5.0 * share)
                };
                ShareAsFed::from_pct(100.0 * hostile).ok()
            });
        }
        let Ok((tiers, shown)) = in_order(&build(&problem)) else {
            stopped += 1;
            continue;
        };
        assert!(!tiers.unproved.contains(&true), "night {number}: {tiers:?}");
        for (name, model, goal, ours) in shown {
            if let Ok(engine) = solve(&model, &goal)
                && (engine.value - ours).abs() > 1e-6 * ours.abs().max(1.0)
            {
                alone.push(format!("night {number}, {name}: {} {ours}", engine.value));
            }
        }
    }
    assert!(!alone.is_empty() && stopped < 5, "{stopped} {alone:#?}");
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
