//! Explanations against other roads: duals of an interior-point method, data
//! moved and solved again, conflicts taken apart by their own definition.

#![expect(
    clippy::print_stdout,
    reason = "says what was compared and what was skipped"
)]

use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::TestRunner;
use trayful::blend::explain::{
    Change, Demand, GoalKind, Of, WhyAsked, conflicts, goals_with_worths,
};
use trayful::blend::model::Goal;
use trayful::blend::solve::solve;
use trayful::blend::{
    Composition, MixVerdict, Problem, Purchase, Requirement, Side, Wishes, build, goals_in_order,
    propose, propose_with,
};
use trayful::quantity::Grams;

mod conic;
mod nights;
mod stocked;

fn nights(count: usize) -> Vec<Problem> {
    let mut runner = TestRunner::deterministic();
    let mut night = || {
        nights::night()
            .new_tree(&mut runner)
            .expect("a night")
            .current()
    };
    (0..count).map(|_| night()).collect()
}

fn why(in_full: bool, offers: Vec<Purchase>) -> Wishes {
    Wishes {
        why: Some(WhyAsked {
            in_full,
            offers: offers.into_iter().map(Into::into).collect(),
            ..WhyAsked::default()
        }),
        ..Wishes::default()
    }
}

/// Whether demands can all be met with the stock, written from the problem
/// anew: what is not demanded is taken out of the problem itself.
fn can_hold(problem: &Problem, demands: &[&Demand]) -> bool {
    let mut kept = problem.clone();
    kept.water_limit = Grams::new(10_000_000);
    let has = |wanted: &dyn Fn(&Demand) -> bool| demands.iter().any(|demand| wanted(demand));
    if has(&|demand| matches!(demand, Demand::Water { .. })) {
        kept.water_limit = problem.water_limit;
    } else if problem.water_limit.get() == 0 {
        kept.water_limit = Grams::ZERO;
    }
    for purchase in &mut kept.purchases {
        let limited = has(
            &|demand| matches!(demand, Demand::Purchase { stream, .. } if *stream == purchase.stream),
        );
        if !limited {
            purchase.limit = Grams::new(10_000_000);
        }
    }
    for group in &mut kept.groups {
        let name = group.name.clone();
        if !has(&|demand| matches!(demand, Demand::Volume { group, .. } if *group == name)) {
            // Lots without a density stay out as before.
            group.volume = group
                .volume
                .map(|_| trayful::quantity::Litres::new(1e5).expect("litres"));
        }
        group.caps.retain(|stream, _| {
            has(&|demand| matches!(demand, Demand::Cap { group, stream: of, .. } if *group == name && of == stream))
        });
        for (measure, window) in &mut group.windows {
            let bound = |side: Side, is_hard: bool| {
                has(&|demand| {
                    matches!(demand, Demand::Bound { group, measure: of, side: on, is_hard: hard, .. }
                    if *group == name && of == measure && *on == side && *hard == is_hard)
                })
            };
            window.min = window.min.filter(|_| bound(Side::Least, false));
            window.max = window.max.filter(|_| bound(Side::Most, false));
            window.limit_min = window.limit_min.filter(|_| bound(Side::Least, true));
            window.limit_max = window.limit_max.filter(|_| bound(Side::Most, true));
        }
    }
    let mut plan = build(&kept);
    let mut goal = Goal::minimise(plan.outside.terms.clone());
    for (position, group) in kept.groups.iter().enumerate() {
        let (short, weight) = plan.shortage.terms[position];
        let feed = |on: Side| {
            has(
                &|demand| matches!(demand, Demand::Feed { group: of, side, .. } if *of == group.name && *side == on),
            )
        };
        plan.model.columns[short].upper = f64::INFINITY;
        if !feed(Side::Most) {
            plan.model.columns[short].lower = f64::NEG_INFINITY;
        }
        if feed(Side::Least) {
            let missed = plan.model.column("missed", 0.0, f64::INFINITY);
            plan.model
                .at_most("missed", vec![(short, 1.0), (missed, -1.0)], 0.0);
            goal.terms.push((missed, weight));
        }
    }
    solve(&plan.model, &goal).expect("solved").value <= 1e-6
}

#[test]
fn a_conflict_is_one_and_none_without_any_one_demand() {
    let mut checked = 0;
    for (number, problem) in nights(90).iter().enumerate() {
        let found = conflicts(problem, &build(problem)).expect("solved");
        let fits = propose(problem).tiers.expect("proved");
        assert_eq!(
            found.is_empty(),
            fits.short_dm_kg < 1e-5 && fits.outside < 1e-5,
            "night {number}"
        );
        for conflict in &found {
            let all: Vec<&Demand> = conflict.demands.iter().collect();
            assert!(!can_hold(problem, &all), "night {number}: {all:?}");
            for left_out in 0..all.len() {
                let mut rest = all.clone();
                let demand = rest.remove(left_out);
                assert!(
                    can_hold(problem, &rest),
                    "night {number}: without {demand:?} of {all:?}"
                );
            }
            checked += 1;
        }
    }
    assert!(checked > 25, "{checked} conflicts");
}

#[test]
fn worths_hold_an_interior_point_method_s_duals() {
    let (mut compared, mut apart, mut unsolved, mut wide) = (0, Vec::new(), 0, 0);
    for (number, problem) in nights(20).iter().enumerate() {
        let plan = build(problem);
        for one in goals_with_worths(&plan).expect("solved") {
            let Some((_, goal)) = plan.goals().into_iter().find(|(name, _)| *name == one.name)
            else {
                continue;
            };
            assert!(
                (one.worths.value - one.value).abs() < 1e-5 * one.value.abs().max(1.0),
                "night {number}, {}: dual {} of {}",
                one.name,
                one.worths.value,
                one.value
            );
            let Ok((value, theirs)) = conic::interior(&one.model, goal, &[]) else {
                unsolved += 1;
                continue;
            };
            if theirs.iter().any(|worth| worth.abs() > 1e4) {
                unsolved += 1; // no centre: the set of duals has no end
                continue;
            }
            assert!(
                (value - one.value).abs() < 1e-4 * value.abs().max(1.0),
                "night {number}, {}: {value}",
                one.name
            );
            let beside = one.beside();
            for (row, worth) in theirs.iter().enumerate() {
                let interval = beside.interval(Of::Row(row));
                let tolerance = 1e-4 * worth.abs().max(1.0);
                let low = interval.low.is_none_or(|low| *worth >= low - tolerance);
                let high = interval.high.is_none_or(|high| *worth <= high + tolerance);
                compared += 1;
                wide += usize::from(interval.low != interval.high && !interval.is_zero());
                if !low || !high {
                    apart.push(format!(
                        "night {number}, {}, {}: {worth} in {interval:?}",
                        one.name, one.model.rows[row].name
                    ));
                }
            }
        }
    }
    println!(
        "{compared} worths compared, {wide} with an interval, {unsolved} problems without a centre"
    );
    assert!(
        apart.is_empty(),
        "{} of {compared}: {:#?}",
        apart.len(),
        &apart[..apart.len().min(8)]
    );
    assert!(compared > 300 && wide > 5, "{compared} {wide}");
}

/// One bound moved a little and the goal's problem solved again: the step lies
/// in the interval, and at its end for the side it moved to.
#[test]
fn worths_are_what_moved_data_show() {
    const STEP: f64 = 1e-4;
    let (mut compared, mut equal) = (0, 0);
    for (number, problem) in nights(25).iter().enumerate() {
        let plan = build(problem);
        for one in goals_with_worths(&plan).expect("solved") {
            let Some((_, goal)) = plan.goals().into_iter().find(|(name, _)| *name == one.name)
            else {
                continue;
            };
            let beside = one.beside();
            for (row, requirement) in plan.requirements.iter().enumerate() {
                if !matches!(
                    requirement,
                    Requirement::Feeding { .. }
                        | Requirement::Bound { .. }
                        | Requirement::Stock { .. }
                ) {
                    continue;
                }
                let interval = beside.interval(Of::Row(row));
                for side in [1.0, -1.0] {
                    let mut moved = one.model.clone();
                    moved.rows[row].lower += side * STEP;
                    moved.rows[row].upper += side * STEP;
                    let Ok(optimum) = solve(&moved, goal) else {
                        continue;
                    };
                    let slope = (optimum.value - one.value) / (side * STEP);
                    // A goal to make small bends upwards, one to make large downwards.
                    let end = if (side > 0.0) != one.is_max() {
                        interval.high
                    } else {
                        interval.low
                    };
                    let Some(end) = end.filter(|end| end.abs() < 1e3) else {
                        continue;
                    };
                    compared += 1;
                    // The goal bends: a step of some length is never gentler than its end.
                    let is_high = (side > 0.0) != one.is_max();
                    let outward = if is_high { slope - end } else { end - slope };
                    let tolerance = 2e-2 * end.abs().max(1.0);
                    assert!(
                        outward > -tolerance,
                        "night {number}, {}, {}: {slope} where {interval:?}, side {side}",
                        one.name,
                        one.model.rows[row].name
                    );
                    equal += usize::from(outward < tolerance);
                }
            }
        }
    }
    println!("{equal} of {compared} steps are the worth itself, the rest cross a bend");
    assert!(equal * 100 > compared * 95, "{equal} of {compared}");
    assert!(compared > 500, "{compared}");
}

/// The goals in order with the night's own data moved: what the sheet says of
/// one more kilogram of dry matter.
#[test]
fn one_more_kilogram_is_what_the_sheet_says() {
    const STEP: f64 = 0.002;
    let mut compared = 0;
    for seed in 0..12 {
        let night = stocked::night(seed, 30);
        let (_, trust) = propose_with(&night, &why(true, Vec::new()));
        let why = trust.why.expect("why");
        let spoil = |night: &Problem| goals_in_order(&build(night)).expect("solved").0.urgent_kg;
        for binding in &why.bindings {
            let Demand::Feed { group, .. } = &binding.demand else {
                continue;
            };
            let Some(effect) = binding
                .effects
                .iter()
                .find(|effect| effect.goal == GoalKind::Spoil)
            else {
                continue;
            };
            let mut moved = night.clone();
            for of in moved.groups.iter_mut().filter(|of| of.name == *group) {
                of.dry_matter_kg += STEP;
            }
            let slope = (spoil(&moved) - spoil(&night)) / STEP;
            let (low, high) = (
                effect.change.low.unwrap_or(f64::MIN),
                effect.change.high.unwrap_or(f64::MAX),
            );
            compared += 1;
            assert!(
                slope > low - 0.05 && slope < high + 0.05,
                "seed {seed}, {group}: {slope} where {effect:?}"
            );
        }
    }
    assert!(compared >= 10, "{compared}");
}

/// A price inside its range leaves the best cost where tonight's weights put
/// it; beyond the range another mix is cheaper.
#[test]
fn price_ranges_are_what_moved_prices_show() {
    let (mut inside, mut beyond) = (0, 0);
    for seed in 0..10 {
        let mut night = stocked::night(seed, 20);
        for lot in &mut night.lots {
            lot.keeps_days = None; // then money alone decides among what fits
        }
        let (_, trust) = propose_with(&night, &why(true, Vec::new()));
        let plan = build(&night);
        let solved = goals_with_worths(&plan).expect("solved");
        let Some(money) = solved.iter().find(|one| one.name == "goal cost") else {
            continue;
        };
        for room in trust.why.expect("why").rooms {
            let Some(range) = room.price_per_kg else {
                continue;
            };
            let first = night
                .lots
                .iter()
                .find(|lot| lot.name == room.lots[0])
                .expect("a lot");
            let columns: Vec<usize> = money
                .model
                .columns
                .iter()
                .enumerate()
                .filter(|(_, column)| {
                    column.name.starts_with("draw")
                        && column.name.ends_with(&format!(" {}", first.name))
                })
                .map(|(at, _)| at)
                .collect();
            for (end, side) in [(range.high, 1.0), (range.low, -1.0)] {
                let Some(end) = end else { continue };
                for (by, is_inside) in [(-1e-3, true), (5e-3, false)] {
                    let shift = end + side * by - first.price_per_kg;
                    let mut goal = plan.cost.clone();
                    for column in &columns {
                        match goal.terms.iter_mut().find(|(of, _)| of == column) {
                            Some(term) => term.1 += shift,
                            None => goal.terms.push((*column, shift)),
                        }
                    }
                    let tonight = goal.value(&money.point);
                    let best = solve(&money.model, &goal).expect("solved").value;
                    if is_inside && (end - first.price_per_kg).abs() > 2e-3 {
                        inside += 1;
                        assert!(
                            tonight <= best + 1e-5,
                            "seed {seed} {:?}: {tonight} {best}",
                            room.lots
                        );
                    } else if !is_inside {
                        beyond += 1;
                        assert!(
                            tonight > best + 1e-7,
                            "seed {seed} {:?}: {tonight} {best}",
                            room.lots
                        );
                    }
                }
            }
        }
    }
    assert!(inside > 5 && beyond > 5, "{inside} {beyond}");
}

#[test]
fn every_cure_told_is_inside_and_no_larger_than_it_must_be() {
    let streams = stocked::streams();
    let bran = streams
        .iter()
        .find(|stream| stream.id.as_str() == "wheat-bran")
        .expect("bran");
    let offer = Purchase {
        stream: bran.id.clone(),
        composition: Composition::of(bran),
        price_per_kg: 0.45,
        limit: Grams::ZERO,
    };
    let mut kinds = [0; 4];
    for seed in 0..24 {
        let mut night = stocked::night(seed, 12);
        let is_dry = |lot: &trayful::blend::Lot| {
            lot.composition
                .moisture
                .is_some_and(|share| share.get() < 0.6)
        };
        let mut dry = 0;
        night.lots.retain(|lot| {
            dry += usize::from(is_dry(lot));
            !is_dry(lot) || (seed % 3 == 0 && dry < 2)
        });
        for group in &mut night.groups {
            group
                .windows
                .retain(|measure, _| seed % 2 == 1 || measure.key() == "moisture_pct");
            group.dry_matter_kg *= 0.4;
        }
        night.purchases.clear();
        let (mix, trust) = propose_with(&night, &why(false, vec![offer.clone()]));
        let why = trust.why.expect("why");
        assert!(mix.verdict != MixVerdict::Inside || why.cures.is_empty());
        let money: Vec<f64> = why
            .cures
            .iter()
            .take_while(|cure| matches!(cure.what, Change::Buy { .. } | Change::Press { .. }))
            .map(|cure| cure.money.unwrap_or(0.0))
            .collect();
        assert!(money.is_sorted(), "{money:?}");
        for cure in &why.cures {
            assert_eq!(propose(&cure.night).verdict, MixVerdict::Inside);
            match &cure.what {
                Change::Buy { grams, .. } => {
                    kinds[0] += 1;
                    let mut less = night.clone();
                    let enough = |kg: f64| Purchase {
                        limit: Grams::from_kg(kg).expect("kg"),
                        ..offer.clone()
                    };
                    less.purchases.push(enough((grams.kg() - 0.8).max(0.0)));
                    assert_ne!(
                        propose(&less).verdict,
                        MixVerdict::Inside,
                        "seed {seed}: {grams:?}"
                    );
                }
                Change::Press { .. } => kinds[1] += 1,
                Change::Water { .. } | Change::Room { .. } | Change::Test { .. } => {}
                Change::Loosen { windows } => {
                    kinds[2] += 1;
                    assert!(!windows.is_empty());
                }
                Change::FeedLess { groups } => {
                    kinds[3] += 1;
                    assert!(groups.iter().all(|(_, from, to)| to < from));
                }
            }
        }
    }
    // Wet grain and a little bread: less of it fits.
    for seed in 0..10 {
        let mut scarce = stocked::night(seed, 30);
        let is = |lot: &trayful::blend::Lot, name: &str| lot.stream.as_str() == name;
        let mut bread = 0;
        scarce.lots.retain(|lot| {
            bread += usize::from(is(lot, "bread"));
            is(lot, "spent-grain") || (is(lot, "bread") && bread < 2)
        });
        scarce.purchases.clear();
        scarce.groups.truncate(1);
        let group = &mut scarce.groups[0];
        group
            .windows
            .retain(|measure, _| measure.key() == "moisture_pct");
        for window in group.windows.values_mut() {
            (window.min, window.max) = (None, Some(0.7));
        }
        let (_, trust) = propose_with(&scarce, &why(false, Vec::new()));
        for cure in trust.why.expect("why").cures {
            if let Change::FeedLess { groups } = &cure.what {
                kinds[3] += 1;
                assert_eq!(propose(&cure.night).verdict, MixVerdict::Inside);
                let mut more = scarce.clone();
                more.groups[0].dry_matter_kg = groups[0].2 + 0.3;
                assert_ne!(propose(&more).verdict, MixVerdict::Inside, "seed {seed}");
            }
        }
    }
    println!(
        "cures: {} buy, {} press, {} loosen, {} feed less",
        kinds[0], kinds[1], kinds[2], kinds[3]
    );
    assert!(kinds.iter().all(|count| *count > 0), "{kinds:?}");
}
