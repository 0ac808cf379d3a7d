//! How sure the mix is: composition is uncertain, and this says what that
//! means for each window. Figures only; the words are the sheet's.
//!
//! Errors are normal; a stream's book values err together over all its lots
//! without a test, tested lots alone; analytes always err with the stream.
//! Each bound has its chance from its own row (`chance.rs`). `cargo bench --bench trust` holds the chances
//! of 200 random nights to 100,000 draws each. A spread that is not known
//! is left out and named. The goal of sureness (`margins.rs`) gives each side
//! of a window its own shortfall in standard deviations, summed, held by
//! tangents to 0.02 of one; a window with two sides takes half the risk on
//! each; equal lots in one pool err together (an upper bound). "Test first"
//! lowers one lot's own spread to 1 point (our default) at the same mean.
//! `cargo bench --bench policy` prints what our default policy does on 36
//! invented nights: lines, chances, what few lines cost, time.

mod chance;
mod cones;
mod margins;
mod spread;

use schemars::JsonSchema;
use serde::Serialize;

use crate::quantity::Grams;
use crate::stream::{Measure, StreamId};
use crate::words::{Said, say};

pub use chance::{Spreaded, spreaded};
pub use cones::{Cone, cones};
pub(super) use margins::Margins;
pub use spread::{Factor, STATED_MOISTURE_SD, Spread, Spreads, TEST_SD, UncertainPart};

use super::problem::{Composition, Group, Problem, Purchase};
use super::propose::{GroupMix, Mix};

/// How sure a mix is.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Sureness {
    /// One for each measure with a window whose spreads are all known, group by group.
    pub measures: Vec<MeasureSureness>,
    /// Groups and measures with a window of which no chance can be told.
    pub untold: Vec<(String, Measure)>,
    /// Streams in the mix with a spread that is not known, and of what.
    pub without_spread: Vec<Said>,
    pub asked: Option<f64>,
    /// The moisture test that would raise the least sure figure most.
    pub test_first: Option<TestFirst>,
    /// What can be bought of which one kilogram would raise it most.
    pub helped_by: Option<HelpedBy>,
}

/// A kilogram in place of as much dry matter of the mix.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct HelpedBy {
    /// What to buy.
    pub stream: StreamId,
    /// The least sure chance of its group then.
    pub to: f64,
}

impl Sureness {
    /// The figure least likely to be inside its window.
    #[must_use]
    pub fn least(&self) -> Option<&MeasureSureness> {
        let measures = self.measures.iter();
        measures.min_by(|a, b| a.chance.total_cmp(&b.chance))
    }

    /// Whether that is below the chance asked for, by more than is told.
    #[must_use]
    pub fn is_below_asked(&self) -> bool {
        const SAME: f64 = 0.005;
        let below = |asked: f64| {
            self.least()
                .is_some_and(|least| least.chance < asked - SAME)
        };
        self.asked.is_some_and(below)
    }
}

/// A measure's chance.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasureSureness {
    pub group: String,
    pub measure: Measure,
    /// Its value, a share.
    pub value: f64,
    /// One standard deviation, a share.
    pub sd: f64,
    /// Chance of being inside its window, 0..=1.
    pub chance: f64,
}

/// Advice on what to test.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct TestFirst {
    pub lot: String,
    pub stream: StreamId,
    /// The least chance now.
    pub from: f64,
    /// The least chance when a test confirms the book's moisture.
    pub to: f64,
}

/// A raise below this is not worth a test.
const RAISE_LEAST: f64 = 0.005;

/// How sure a mix of a problem is, reckoned on its printed weights.
pub(super) fn sureness(problem: &Problem, spreads: &Spreads, mix: &Mix) -> Sureness {
    let parts: Vec<Vec<UncertainPart>> = problem
        .groups
        .iter()
        .zip(&mix.groups)
        .map(|(group, mixed)| uncertain_parts(problem, spreads, group, mixed))
        .collect();
    let (measures, untold) = measures(problem, mix, &parts);
    Sureness {
        test_first: test_first(problem, mix, &parts, &measures),
        without_spread: without_spread(&parts),
        measures,
        untold,
        asked: problem.policy.sure,
        helped_by: None,
    }
}

/// The parts of a group's printed mix with their spreads.
#[must_use]
pub fn uncertain_parts(
    problem: &Problem,
    spreads: &Spreads,
    group: &Group,
    mix: &GroupMix,
) -> Vec<UncertainPart> {
    let part = |lot: Option<&str>, stream: &StreamId, kg: f64, composition: &Composition| {
        let spread = match lot {
            Some(lot) => spreads.lots.get(lot),
            None => spreads.purchases.get(stream),
        };
        let quotients = group.windows.keys().filter_map(Measure::quotient);
        let wanted = quotients.flat_map(|of| of.analytes().cloned().collect::<Vec<_>>());
        let analytes = wanted.filter_map(|analyte| {
            let known = composition.analytes.get(&analyte);
            let share = known.or_else(|| group.assumed.get(&analyte))?.get();
            Some((analyte, share))
        });
        UncertainPart {
            lot: lot.map(ToOwned::to_owned),
            stream: stream.clone(),
            kg,
            moisture: composition.moisture.map_or(0.0, |share| share.get()),
            analytes: analytes.collect(),
            spread: spread.cloned().unwrap_or_default(),
        }
    };
    let drawn = mix.draws.iter().filter_map(|draw| {
        let lot = problem.lots.iter().find(|lot| lot.name == draw.lot)?;
        let kg = draw.grams.kg();
        Some(part(Some(&lot.name), &lot.stream, kg, &lot.composition))
    });
    let bought = mix.bought.iter().filter_map(|(stream, grams)| {
        let of = |purchase: &&Purchase| purchase.stream == *stream;
        let purchase = problem.purchases.iter().find(of)?;
        Some(part(None, stream, grams.kg(), &purchase.composition))
    });
    drawn.chain(bought).collect()
}

/// The offer of which one kilogram raises the least sure figure most; its
/// group's other parts give way, so that dry matter stays. To first order:
/// the mix is not solved again.
pub(super) fn helped_by(
    problem: &Problem,
    mix: &Mix,
    now: &Sureness,
    offers: &[Purchase],
) -> Option<HelpedBy> {
    let spreads = problem.spreads.as_ref()?;
    let least = now.least()?;
    let position = problem
        .groups
        .iter()
        .position(|group| group.name == least.group)?;
    let (group, mixed) = (&problem.groups[position], &mix.groups[position]);
    let parts = uncertain_parts(problem, spreads, group, mixed);
    let dry: f64 = parts
        .iter()
        .map(|part| part.kg * (1.0 - part.moisture))
        .sum();
    let helped = |offer: &Purchase| {
        let mut trial = problem.clone();
        trial.purchases = vec![offer.clone()];
        let mut alone = mixed.clone();
        alone.draws.clear();
        alone.bought = vec![(offer.stream.clone(), Grams::new(1000))];
        let more = uncertain_parts(&trial, spreads, group, &alone);
        let rest = 1.0
            - more
                .iter()
                .map(|part| part.kg * (1.0 - part.moisture))
                .sum::<f64>()
                / dry;
        if rest <= 0.5 || super::eligible::figures(&offer.composition, group).is_err() {
            return None;
        }
        let kept = parts.iter().cloned().map(|mut part| {
            part.kg *= rest;
            part
        });
        let all: Vec<UncertainPart> = kept.chain(more).collect();
        let is_known = |measure: &Measure| all.iter().all(|part| part.spread.is_known(measure));
        if !is_known(&least.measure) {
            return None;
        }
        let windows = (group.windows.iter())
            .filter(|(_, window)| window.min.is_some() || window.max.is_some())
            .filter(|(measure, _)| is_known(measure));
        let chances = windows.filter_map(|(measure, window)| {
            Some(spreaded(&all, mixed.water.kg() * rest, measure)?.chance(window))
        });
        let (stream, to) = (offer.stream.clone(), chances.fold(1.0, f64::min));
        (to >= least.chance + RAISE_LEAST).then_some(HelpedBy { stream, to })
    };
    offers
        .iter()
        .filter_map(helped)
        .max_by(|a, b| a.to.total_cmp(&b.to))
}

/// A chance for each measure whose spreads are all known, and the measures of which
/// one is not: a spread that is not known is not zero.
fn measures(
    problem: &Problem,
    mix: &Mix,
    parts: &[Vec<UncertainPart>],
) -> (Vec<MeasureSureness>, Vec<(String, Measure)>) {
    let (mut found, mut untold) = (Vec::new(), Vec::new());
    for ((group, mixed), parts) in problem.groups.iter().zip(&mix.groups).zip(parts) {
        for (measure, window) in &group.windows {
            if window.min.is_none() && window.max.is_none() {
                continue;
            }
            if !parts.iter().all(|part| part.spread.is_known(measure)) {
                untold.push((group.name.clone(), measure.clone()));
            } else if let Some(spreaded) = spreaded(parts, mixed.water.kg(), measure) {
                found.push(MeasureSureness {
                    group: group.name.clone(),
                    measure: measure.clone(),
                    value: spreaded.value,
                    sd: spreaded.sd(),
                    chance: spreaded.chance(window),
                });
            }
        }
    }
    (found, untold)
}

/// The least chance, then the product of all: what a test should raise.
fn score(measures: &[MeasureSureness]) -> (f64, f64) {
    let chances = measures.iter().map(|measure| measure.chance);
    (
        chances.clone().fold(1.0, f64::min),
        chances.product::<f64>(),
    )
}

/// Tries a moisture test on each lot that has none: its own error then has
/// the test's spread and errs alone. Other lots of its stream keep the book's.
fn test_first(
    problem: &Problem,
    mix: &Mix,
    parts: &[Vec<UncertainPart>],
    now: &[MeasureSureness],
) -> Option<TestFirst> {
    let from = score(now);
    let untested = parts
        .iter()
        .flatten()
        .filter(|part| part.lot.is_some() && !part.spread.is_tested)
        .filter(|part| part.spread.moisture.is_some_and(|sd| sd > TEST_SD));
    let mut best: Option<(TestFirst, (f64, f64))> = None;
    for part in untested {
        let mut tested = parts.to_vec();
        for same in tested.iter_mut().flatten().filter(|of| of.lot == part.lot) {
            same.spread = same.spread.clone().tested(TEST_SD);
        }
        let to = score(&measures(problem, mix, &tested).0);
        let is_better = |than: (f64, f64)| {
            to.0 > than.0 + 1e-9 || ((to.0 - than.0).abs() <= 1e-9 && to.1 > than.1 + 1e-9)
        };
        let rise = (to.0 - from.0).max(to.1 - from.1);
        if rise >= RAISE_LEAST && is_better(best.as_ref().map_or(from, |(_, score)| *score)) {
            let advice = TestFirst {
                lot: part.lot.clone()?,
                stream: part.stream.clone(),
                from: from.0,
                to: to.0,
            };
            best = Some((advice, to));
        }
    }
    best.map(|(advice, _)| advice)
}

fn without_spread(parts: &[Vec<UncertainPart>]) -> Vec<Said> {
    let mut found: Vec<Said> = Vec::new();
    for part in parts.iter().flatten() {
        let analytes = part.analytes.keys();
        let lacks = analytes.filter(|analyte| !part.spread.analytes.contains_key(analyte));
        let lacks = lacks.map(|analyte| Measure::Analyte(analyte.clone()));
        let moisture = part.spread.moisture.is_none().then_some(Measure::Moisture);
        let lacks = moisture.into_iter().chain(lacks).map(|of| of.said());
        found.extend(lacks.map(|measure| say!("measure-of", stream = &part.stream, measure)));
    }
    found.sort_by_cached_key(Said::in_english);
    found.dedup();
    found
}
