//! Stated chances against a hundred thousand draws, tangents against a
//! second-order cone program solved by an interior-point method.

#![expect(
    clippy::print_stdout,
    reason = "says what was compared and what was skipped"
)]

use trayful::blend::model::Goal;
use trayful::blend::sureness::{MeasureSureness, Spreads, cones, spreaded, uncertain_parts};
use trayful::blend::{Mix, MixVerdict, Problem, Wishes, build, goals_in_order, propose_with};
use trayful::quantity::{Decimal, Division, MassUnit};
use trayful::stream::{Measure, Window};

mod conic;
#[path = "stocked/drawn.rs"]
mod drawn;
#[path = "stocked/spread.rs"]
mod spread;
mod stocked;

/// An invented night with its spreads, asked for a chance.
fn night(seed: u64, lots: usize, sure: Option<f64>) -> (Problem, Spreads) {
    let mut night = stocked::night(seed, lots);
    let spreads = spread::spreads(&night);
    night.spreads = Some(spreads.clone());
    night.policy.sure = sure;
    (night, spreads)
}

fn proposed(night: &Problem) -> (Mix, Vec<MeasureSureness>) {
    let (mix, trust) = propose_with(night, &Wishes::default());
    (mix, trust.sureness.expect("sureness").measures)
}

fn least(of: &[MeasureSureness]) -> f64 {
    of.iter().map(|one| one.chance).fold(1.0, f64::min)
}

/// The first twelve of the two hundred nights that `cargo bench --bench trust` holds.
#[test]
fn stated_chances_are_those_of_a_hundred_thousand_draws() {
    let compared: Vec<drawn::Compared> = (0..12).flat_map(drawn::compare).collect();
    for one in &compared {
        assert!(
            !one.is_out(),
            "{}: stated {}, drawn {}",
            one.what,
            one.stated,
            one.drawn
        );
    }
    // Not one easy case after another.
    let middling = compared.iter().filter(|of| (0.1..0.9).contains(&of.drawn));
    assert!(
        compared.len() >= 60 && middling.count() >= 20,
        "{}",
        compared.len()
    );
}

/// Where the dry share of the mix is itself uncertain by a large part, the share of an analyte
/// is no normal number at all; the chance of a bound holds still.
#[test]
fn chances_hold_where_the_dry_share_is_hardly_known() {
    let (night, spreads) = night(3, 20, None);
    let (mix, _) = proposed(&night);
    let mut parts = uncertain_parts(&night, &spreads, &night.groups[0], &mix.groups[0]);
    parts.truncate(2);
    let protein = Measure::from_key("protein_dm_pct").expect("a measure");
    let Measure::Analyte(name) = &protein else {
        panic!("an analyte")
    };
    let made = [(0.94, 0.40), (0.6, 0.05)];
    for (part, (moisture, share)) in parts.iter_mut().zip(made) {
        part.moisture = moisture;
        part.spread.moisture = Some(0.03);
        part.spread.is_tested = true;
        part.spread.analytes.clear();
        part.analytes.insert(name.clone(), share);
        part.kg = 10.0;
    }
    let told = spreaded(&parts, 0.0, &protein).expect("a value");
    let mut dice = stocked::Dice::new(5);
    let draws: Vec<f64> = (0..50_000)
        .map(|_| {
            let [wet, dry] = made
                .map(|(moisture, share)| (1.0 - moisture - 0.03 * drawn::normal(&mut dice), share));
            (wet.0 * wet.1 + dry.0 * dry.1) / (wet.0 + dry.0)
        })
        .collect();
    let mean = draws.iter().sum::<f64>() / draws.len() as f64;
    let third = draws
        .iter()
        .map(|value| ((value - mean) / told.sd()).powi(3));
    let third = third.sum::<f64>() / draws.len() as f64;
    assert!(third.abs() > 0.05, "a skewed share: {third}");
    for by in [-1.5, -0.5, 0.0, 0.5, 1.5] {
        let max = told.value + by * told.sd();
        let stated = told.chance(&Window {
            max: Some(max),
            ..Window::default()
        });
        let real = draws.iter().filter(|value| **value <= max).count() as f64 / 50_000.0;
        assert!((stated - real).abs() < 0.01, "{by}: {stated}, drawn {real}");
    }
}

/// Where every margin can be kept, an interior-point method for cones says so too
/// and finds no more to use of what will spoil; where it can't, neither can ours.
#[test]
fn margins_reach_what_a_cone_solver_does() {
    let (mut compared, mut impossible) = (0, 0);
    for seed in 0..24 {
        let (night, spreads) = night(seed, 18, Some(0.8));
        let tiers = proposed(&night).0.tiers.expect("solved");
        let plan = build(&night);
        let (plain, point) = goals_in_order(&plan).expect("solved");
        let mut model = plan.model.clone();
        let shortage = plan.shortage.value(&point);
        model.at_most("held", plan.shortage.terms.clone(), shortage + 1e-7);
        model.at_most("held", plan.outside.terms.clone(), plain.outside + 1e-6);
        let cones: Vec<conic::Cone> = cones(&night, &plan, &spreads)
            .iter()
            .map(|cone| {
                let z = cone.quantile(0.8);
                let row = &plan.model.rows[cone.row];
                let scaled =
                    |terms: &Vec<(usize, f64)>| terms.iter().map(|(c, v)| (*c, z * v)).collect();
                conic::Cone {
                    lead: row.terms.clone(),
                    upper: row.upper,
                    each: cone.factors.iter().map(scaled).collect(),
                }
            })
            .collect();
        let goal = Goal::maximise(plan.urgent.terms.clone());
        let Ok((theirs, _)) = conic::interior(&model, &goal, &cones) else {
            impossible += 1;
            continue;
        };
        compared += 1;
        assert!(tiers.unsure < 0.05, "seed {seed}: {}", tiers.unsure);
        // Tangents lie outside the cones and are held to 0.02 standard deviations: ours is hardly ever below theirs.
        assert!(
            (-1e-3..1e-2).contains(&((tiers.urgent_kg - theirs) / theirs.abs().max(1.0))),
            "seed {seed}: {} against {theirs}",
            tiers.urgent_kg
        );
    }
    println!("{compared} cone programs agree, {impossible} can't be held at 0.8");
    assert!(compared >= 6 && impossible >= 2, "{compared} {impossible}");
}

#[test]
fn margins_are_there_when_printed_and_cost_nothing_of_the_first_goals() {
    let mut kept = 0;
    for seed in 0..24 {
        // On a fine scale: of a spread of half a point, rounding to 0.1 kg may take a fifth.
        let [asked, plain] = [Some(0.8), None].map(|sure| {
            let mut night = night(seed, 25, sure).0;
            night.division = Division::new(Decimal::parse("0.001").expect("number"), MassUnit::Kg)
                .expect("division");
            night
        });
        let (plain, before) = proposed(&plain);
        let (mix, now) = proposed(&asked);
        let (tiers, was) = (mix.tiers.expect("solved"), plain.tiers.expect("solved"));
        assert!(tiers.short_dm_kg <= was.short_dm_kg + 1e-5, "seed {seed}");
        assert!(tiers.outside <= was.outside + 1e-5, "seed {seed}");
        assert!(tiers.urgent_kg <= was.urgent_kg + 1e-5, "seed {seed}");
        if tiers.unsure < 0.01 && tiers.outside < 1e-6 && tiers.short_dm_kg < 1e-6 {
            kept += 1;
            assert_eq!(mix.verdict, MixVerdict::Inside);
            // The tangents' tolerance costs a little.
            assert!(least(&now) >= 0.77, "seed {seed}: {now:?}");
        }
        let each = |of: &[MeasureSureness]| of.iter().map(|one| one.chance.min(0.8)).sum::<f64>();
        assert!(
            each(&now) >= each(&before) - 0.05,
            "seed {seed}: {now:?} {before:?}"
        );
    }
    assert!(kept >= 3, "{kept}");
}

/// A window that no mix of one group can meet leaves the other group its margins.
#[test]
fn a_hopeless_window_does_not_drag_the_others_down() {
    let mut lifted = 0;
    for seed in 0..12 {
        let (mut hopeless, _) = night(seed, 25, Some(0.8));
        let protein = Measure::from_key("protein_dm_pct").expect("a measure");
        let window = hopeless.groups[0].windows.get_mut(&protein);
        let window = window.expect("a window");
        (window.min, window.max) = (Some(0.6), None);
        let mut plain = hopeless.clone();
        plain.policy.sure = None;
        let other = |of: Vec<MeasureSureness>| {
            let of = of
                .into_iter()
                .filter(|one| one.group == hopeless.groups[1].name);
            of.map(|one| one.chance.min(0.8)).collect::<Vec<f64>>()
        };
        let (mix, now) = proposed(&hopeless);
        assert_eq!(mix.verdict, MixVerdict::Nearest);
        let (now, before) = (other(now), other(proposed(&plain).1));
        let sum = |of: &[f64]| of.iter().sum::<f64>();
        lifted += usize::from(sum(&now) > sum(&before) + 0.1);
        assert!(
            sum(&now) >= sum(&before) - 0.05,
            "seed {seed}: {now:?} {before:?}"
        );
    }
    assert!(lifted >= 3, "{lifted}");
}

/// Which test to do first: by trying each lot's test and reading the chances again.
#[test]
fn the_test_advised_raises_the_chance_most() {
    let mut advised = 0;
    for seed in 0..10 {
        let (night, spreads) = night(seed, 20, None);
        let (mix, trust) = propose_with(&night, &Wishes::default());
        let Some(advice) = trust.sureness.expect("sureness").test_first else {
            continue;
        };
        advised += 1;
        let after = |lot: &str| {
            let mut tested = night.clone();
            let spread = spreads.lots[lot].clone().tested(0.01);
            let of = tested.spreads.as_mut().expect("spreads");
            of.lots.insert(lot.to_owned(), spread);
            least(&proposed(&tested).1)
        };
        let best = after(&advice.lot);
        assert!((best - advice.to).abs() < 1e-9, "seed {seed}");
        for draw in mix.groups.iter().flat_map(|group| &group.draws) {
            let spread = &spreads.lots[&draw.lot];
            if !spread.is_tested && spread.moisture.is_some_and(|sd| sd > 0.01) {
                // A rise below half a point is no advice.
                assert!(
                    after(&draw.lot) <= best + 0.005,
                    "seed {seed}: {} over {}: {} {best} {advice:?}",
                    draw.lot,
                    advice.lot,
                    after(&draw.lot)
                );
            }
        }
    }
    assert!(advised >= 3, "{advised}");
}
