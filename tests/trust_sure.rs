//! Stated chances against a hundred thousand draws, tangents against a
//! second-order cone program solved by an interior-point method.

#![expect(
    clippy::print_stdout,
    reason = "says what was compared and what was skipped"
)]

use trayful::blend::model::Goal;
use trayful::blend::sureness::{
    Factor, Spreaded, UncertainPart, cones, spreaded, sure_plan, uncertain_parts,
};
use trayful::blend::{
    MixVerdict, Problem, Requirement, Wishes, build, goals_in_order, propose_with,
};
use trayful::stream::Measure;

mod conic;
#[path = "stocked/spread.rs"]
mod spread;
mod stocked;

/// A standard normal number (Box and Muller, 1958).
fn normal(dice: &mut stocked::Dice) -> f64 {
    let radius = (-2.0 * (1.0 - dice.share()).ln()).sqrt();
    radius * (std::f64::consts::TAU * dice.share()).cos()
}

fn sure(problem: &Problem, chance: Option<f64>) -> Wishes {
    Wishes {
        spreads: Some(spread::spreads(problem)),
        sure: chance,
        ..Wishes::default()
    }
}

/// A part with the positions of its errors among the factors.
struct Placed<'a> {
    part: &'a UncertainPart,
    moisture: usize,
    analyte: Option<(usize, f64, f64)>,
}

fn placed<'a>(
    parts: &'a [UncertainPart],
    measure: &Measure,
    factors: &[Factor],
) -> Vec<Placed<'a>> {
    let at = |factor: &Factor| factors.iter().position(|of| of == factor);
    parts
        .iter()
        .map(|part| {
            let analyte = match measure {
                Measure::NonFibreCarbohydrate | Measure::CarbonToNitrogen => {
                    unreachable!("these nights have no such window")
                }
                Measure::Moisture => None,
                Measure::Analyte(analyte) => {
                    let sd = part.spread.analytes.get(analyte).copied().unwrap_or(0.0);
                    let factor = at(&Factor::Analyte(part.stream.clone(), analyte.clone()));
                    Some((factor.unwrap_or(0), part.analytes[analyte], sd))
                }
            };
            let moisture = at(&part.moisture_factor()).expect("a factor");
            Placed {
                part,
                moisture,
                analyte,
            }
        })
        .collect()
}

/// The measure with each factor's error drawn, by its plain definition.
fn drawn(parts: &[Placed<'_>], errors: &[f64]) -> f64 {
    let (mut wet, mut water, mut held, mut dry) = (0.0, 0.0, 0.0, 0.0);
    let mut is_analyte = false;
    for placed in parts {
        let part = placed.part;
        let moisture =
            part.moisture + part.spread.moisture.unwrap_or(0.0) * errors[placed.moisture];
        wet += part.kg;
        water += part.kg * moisture;
        dry += part.kg * (1.0 - moisture);
        if let Some((factor, share, sd)) = placed.analyte {
            is_analyte = true;
            held += (share + sd * errors[factor]) * part.kg * (1.0 - moisture);
        }
    }
    if is_analyte { held / dry } else { water / wet }
}

#[test]
fn stated_chances_are_those_of_a_hundred_thousand_draws() {
    const DRAWS: u32 = 100_000;
    let mut dice = stocked::Dice::new(11);
    let mut compared = 0;
    for seed in 0..4 {
        let night = stocked::night(seed, 20);
        let spreads = spread::spreads(&night);
        let (mix, trust) = propose_with(&night, &sure(&night, None));
        let stated = trust.sureness.expect("sureness").measures;
        for (group, mixed) in night.groups.iter().zip(&mix.groups) {
            let parts = uncertain_parts(&night, &spreads, group, mixed);
            assert_eq!(mixed.water.get(), 0);
            for (measure, window) in &group.windows {
                let Some(Spreaded { by_factor, .. }) = spreaded(&parts, 0.0, measure) else {
                    continue;
                };
                let of = |of: &&trayful::blend::sureness::MeasureSureness| {
                    of.group == group.name && of.measure == *measure
                };
                let stated = stated.iter().find(of).expect("stated").chance;
                let factors: Vec<Factor> = by_factor.into_keys().collect();
                let placed = placed(&parts, measure, &factors);
                let mut inside = 0_u32;
                for _ in 0..DRAWS {
                    let errors: Vec<f64> = factors.iter().map(|_| normal(&mut dice)).collect();
                    let value = drawn(&placed, &errors);
                    let is_in = window.min.is_none_or(|min| value >= min)
                        && window.max.is_none_or(|max| value <= max);
                    inside += u32::from(is_in);
                }
                let real = f64::from(inside) / f64::from(DRAWS);
                compared += 1;
                assert!(
                    (real - stated).abs() < 0.02,
                    "seed {seed}, {}, {measure}: stated {stated}, drawn {real}",
                    group.name
                );
            }
        }
    }
    assert!(compared >= 12, "{compared}");
}

/// Where the dry share of the mix is itself uncertain by a large part, the
/// share of an analyte bends, and first order misses; said in DEVELOPERS.md.
#[test]
fn first_order_fails_where_the_dry_share_is_hardly_known() {
    let night = stocked::night(3, 20);
    let spreads = spread::spreads(&night);
    let (mix, _) = propose_with(&night, &sure(&night, None));
    let mut parts = uncertain_parts(&night, &spreads, &night.groups[0], &mix.groups[0]);
    parts.truncate(2);
    for (part, moisture) in parts.iter_mut().zip([0.94, 0.6]) {
        part.moisture = moisture;
        part.spread.moisture = Some(0.03);
        part.spread.is_tested = true;
        part.spread.analytes.clear();
        part.kg = 10.0;
    }
    let key = Measure::from_key("protein_dm_pct").expect("a measure");
    let Measure::Analyte(protein) = &key else {
        panic!("an analyte")
    };
    parts[0].analytes.insert(protein.clone(), 0.40);
    parts[1].analytes.insert(protein.clone(), 0.05);
    let first = spreaded(&parts, 0.0, &key).expect("a value");
    let mut dice = stocked::Dice::new(5);
    let factors: Vec<Factor> = first.by_factor.keys().cloned().collect();
    let placed = placed(&parts, &key, &factors);
    let draws: Vec<f64> = (0..50_000)
        .map(|_| {
            let errors: Vec<f64> = factors.iter().map(|_| normal(&mut dice)).collect();
            drawn(&placed, &errors)
        })
        .collect();
    let mean = draws.iter().sum::<f64>() / draws.len() as f64;
    let third = draws
        .iter()
        .map(|value| ((value - mean) / first.sd()).powi(3))
        .sum::<f64>()
        / draws.len() as f64;
    assert!(
        third.abs() > 0.05,
        "a normal number has no third moment: {third}"
    );
}

#[test]
fn tangents_reach_what_a_cone_solver_does() {
    let (mut compared, mut held) = (0, 0);
    for seed in 0..10 {
        let night = stocked::night(seed, 18);
        let spreads = spread::spreads(&night);
        let plan = build(&night);
        let found = sure_plan(&night, &plan, &spreads, 0.9).expect("solved");
        let Some(chance) = found.held_at else {
            continue;
        };
        held += usize::from(chance >= 0.9);
        let (tiers, _) = &found.solved;
        // Tangents lie outside the cones and are held to 0.02 standard deviations: ours is never below theirs.
        // The same cones for clarabel, first and second goal held as here, third compared.
        let mut model = plan.model.clone();
        let shortage = plan.shortage.value(&found.solved.1);
        model.at_most("held", plan.shortage.terms.clone(), shortage + 1e-7);
        model.at_most("held", plan.outside.terms.clone(), tiers.outside + 1e-6);
        let cones: Vec<conic::Cone> = cones(&night, &plan, &spreads)
            .iter()
            .map(|cone| {
                let z = cone.quantile(chance);
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
            continue; // nor is it sure of itself
        };
        compared += 1;
        assert!(
            (-1e-5..3e-3).contains(&((tiers.urgent_kg - theirs) / theirs.abs().max(1.0))),
            "seed {seed}: {} against {theirs}, {} tangents",
            tiers.urgent_kg,
            found.tangents
        );
    }
    println!("{compared} cone programs agree, {held} held at 0.9");
    assert!(compared >= 6, "{compared}");
}

#[test]
fn a_mix_held_at_a_chance_has_it_when_printed() {
    let mut reached = 0;
    for seed in 0..12 {
        let night = stocked::night(seed, 25);
        let (plain, before) = propose_with(&night, &sure(&night, None));
        let (mix, trust) = propose_with(&night, &sure(&night, Some(0.85)));
        let sureness = trust.sureness.expect("sureness");
        let least = |of: &[trayful::blend::sureness::MeasureSureness]| {
            of.iter().map(|one| one.chance).fold(1.0, f64::min)
        };
        let (now, was) = (
            least(&sureness.measures),
            least(&before.sureness.expect("sureness").measures),
        );
        match sureness.held_at {
            Some(held) if held >= 0.85 => {
                reached += 1;
                assert_eq!(mix.verdict, MixVerdict::Inside);
                // Rounding to 0.1 kg may cost a little.
                assert!(now >= 0.83, "seed {seed}: {now}");
            }
            Some(held) => assert!(
                now >= (held - 0.03).min(was) - 0.02,
                "seed {seed}: {now} of {held}"
            ),
            None => assert_ne!(plain.verdict, MixVerdict::Inside),
        }
    }
    assert!(reached >= 3, "{reached}");
}

#[test]
fn a_chance_adds_margins_and_nothing_else() {
    let night = stocked::night(2, 15);
    let plan = build(&night);
    let found = sure_plan(&night, &plan, &spread::spreads(&night), 0.7).expect("solved");
    let margins = found
        .plan
        .requirements
        .iter()
        .filter(|of| matches!(of, Requirement::Margin { .. }))
        .count();
    assert_eq!(margins, found.plan.model.rows.len() - plan.model.rows.len());
    let (plain, _) = goals_in_order(&plan).expect("solved");
    assert!(found.solved.0.urgent_kg <= plain.urgent_kg + 1e-5);
}

/// Which test to do first: by trying each lot's test and reading the chances again.
#[test]
fn the_test_advised_raises_the_chance_most() {
    let mut advised = 0;
    for seed in 0..10 {
        let night = stocked::night(seed, 20);
        let wishes = sure(&night, None);
        let (mix, trust) = propose_with(&night, &wishes);
        let Some(advice) = trust.sureness.expect("sureness").test_first else {
            continue;
        };
        advised += 1;
        let after = |lot: &str| {
            let mut tested = wishes.clone();
            let spreads = tested.spreads.as_mut().expect("spreads");
            let spread = spreads.lots[lot].clone().tested(0.01);
            spreads.lots.insert(lot.to_owned(), spread);
            let measures = propose_with(&night, &tested)
                .1
                .sureness
                .expect("sureness")
                .measures;
            measures.iter().map(|of| of.chance).fold(1.0, f64::min)
        };
        let best = after(&advice.lot);
        assert!((best - advice.to).abs() < 1e-9, "seed {seed}");
        for draw in mix.groups.iter().flat_map(|group| &group.draws) {
            let spread = &wishes.spreads.as_ref().expect("spreads").lots[&draw.lot];
            if !spread.is_tested && spread.moisture.is_some_and(|sd| sd > 0.01) {
                assert!(
                    after(&draw.lot) <= best + 1e-9,
                    "seed {seed}: {} over {}",
                    draw.lot,
                    advice.lot
                );
            }
        }
    }
    assert!(advised >= 3, "{advised}");
}
