//! Stated chances against draws, by code that shares nothing with the chances'
//! own: each lot's composition drawn anew, the measure by its plain definition.

use std::collections::BTreeMap;

use trayful::blend::sureness::Spreads;
use trayful::blend::{GroupMix, Policy, Problem, Wishes, propose_with};
use trayful::stream::{Measure, Window};

use super::spread;
use super::stocked::{self, Dice};

pub(crate) const DRAWS: u32 = 100_000;
/// What a stated chance may be off, and so many standard errors of the draws
/// (at most 0.16 points each): some thousand chances are compared.
pub(crate) const POINTS: f64 = 0.02;
pub(crate) const ERRORS: f64 = 4.0;

/// A stated chance with what the draws say.
pub(crate) struct Compared {
    pub what: String,
    pub stated: f64,
    pub drawn: f64,
    pub error: f64,
}

impl Compared {
    pub(crate) fn off(&self) -> f64 {
        (self.stated - self.drawn).abs()
    }

    pub(crate) fn is_out(&self) -> bool {
        self.off() > POINTS + ERRORS * self.error
    }
}

/// A standard normal number (Box and Muller, 1958).
pub(crate) fn normal(dice: &mut Dice) -> f64 {
    let radius = (-2.0 * (1.0 - dice.share()).ln()).sqrt();
    radius * (std::f64::consts::TAU * dice.share()).cos()
}

/// A random night: 12 to 40 lots, mixed plainly or by our own policy, on every third with windows
/// on all that the shipped table has a spread of.
pub(crate) fn night(seed: u64) -> (Problem, Spreads) {
    let mut dice = Dice::new(seed + 1_000);
    let mut night = stocked::night(seed, 12 + usize::try_from(seed * 11 % 29).expect("small"));
    let spreads = spread::spreads(&night);
    night.spreads = Some(spreads.clone());
    if seed % 2 == 1 {
        night.policy = Policy::ours();
        night = night.with_water(None);
    }
    if seed % 3 == 2 {
        let window = |min: f64, max: f64| Window {
            min: Some(min),
            max: Some(max),
            ..Window::default()
        };
        for group in &mut night.groups {
            for (measure, min, max) in [
                ("fat_dm_pct", 0.02, 0.08),
                ("ash_dm_pct", 0.02, 0.07),
                ("nfc_dm_pct", 0.25, 0.55),
                ("carbon_to_nitrogen", 0.15, 0.30),
            ] {
                let measure = Measure::from_key(measure).expect("a measure");
                let moved = dice.within(0.8, 1.2);
                group
                    .windows
                    .insert(measure, window(min * moved, max * moved));
            }
        }
    }
    (night, spreads)
}

/// What one lot or purchase brings, with the places of its errors.
struct Part {
    kg: f64,
    moisture: (f64, f64, usize),
    /// Protein, fat, fibre, ash: share of dry matter, spread, place; not known is not a number.
    of_dry: [(f64, f64, usize); 4],
}

const ANALYTES: [&str; 4] = ["protein_dm_pct", "fat_dm_pct", "fibre_dm_pct", "ash_dm_pct"];

fn parts(night: &Problem, spreads: &Spreads, mix: &GroupMix) -> (Vec<Part>, usize) {
    let mut places: BTreeMap<String, usize> = BTreeMap::new();
    let mut place = |name: String| {
        let next = places.len();
        *places.entry(name).or_insert(next)
    };
    let drawn = mix.draws.iter().map(|draw| {
        let lot = night.lots.iter().find(|lot| lot.name == draw.lot);
        let lot = lot.expect("a lot");
        let spread = &spreads.lots[&draw.lot];
        // A test of its own errs alone; without one all lots of a stream err together.
        let errs = if spread.is_tested {
            format!("test of {}", lot.name)
        } else {
            format!("moisture of {}", lot.stream.as_str())
        };
        (&lot.stream, draw.grams.kg(), &lot.composition, spread, errs)
    });
    let bought = mix.bought.iter().map(|(stream, grams)| {
        let offer = night.purchases.iter().find(|of| of.stream == *stream);
        let errs = format!("moisture of {}", stream.as_str());
        let composition = &offer.expect("an offer").composition;
        let spread = &spreads.purchases[stream];
        (stream, grams.kg(), composition, spread, errs)
    });
    let found = drawn.chain(bought);
    let parts = found.map(|(stream, kg, composition, spread, errs)| Part {
        kg,
        moisture: (
            composition.moisture.map_or(f64::NAN, |share| share.get()),
            spread.moisture.unwrap_or(f64::NAN),
            place(errs),
        ),
        of_dry: ANALYTES.map(|name| {
            let known = composition.analytes.iter().find(|(of, _)| of.key() == name);
            let spread = spread.analytes.iter().find(|(of, _)| of.key() == name);
            (
                known.map_or(f64::NAN, |(_, share)| share.get()),
                spread.map_or(f64::NAN, |(_, sd)| *sd),
                place(format!("{name} of {}", stream.as_str())),
            )
        }),
    });
    let parts: Vec<Part> = parts.collect();
    (parts, places.len())
}

/// A measure by its plain definition, in per cent of what it is a share of; C:N as it is.
fn value(measure: &Measure, water: f64, dry: f64, of_dry: [f64; 4]) -> f64 {
    let [protein, fat, fibre, ash] = of_dry;
    match measure {
        Measure::Moisture => water / (water + dry),
        Measure::NonFibreCarbohydrate => (dry - protein - fat - fibre - ash) / dry,
        // As windows have it, a hundredth of the ratio.
        Measure::CarbonToNitrogen => (dry - ash) / 1.8 / (protein / 6.25) / 100.0,
        Measure::Analyte(name) => {
            let at = ANALYTES.iter().position(|of| *of == name.key());
            of_dry[at.expect("an analyte of these nights")] / dry
        }
    }
}

/// Every stated chance of a night's mix beside the share of draws inside.
pub(crate) fn compare(seed: u64) -> Vec<Compared> {
    let (mut night, spreads) = night(seed);
    night.policy.one_mix = seed.is_multiple_of(2);
    let (mix, trust) = propose_with(&night, &Wishes::default());
    let stated = trust.sureness.expect("sureness").measures;
    let mut dice = Dice::new(seed + 77);
    let mut compared = Vec::new();
    for mixed in &mix.groups {
        let told: Vec<_> = stated.iter().filter(|of| of.group == mixed.name).collect();
        let (parts, errors) = parts(&night, &spreads, mixed);
        let mut inside = vec![0_u32; told.len()];
        let mut error = vec![0.0; errors];
        for _ in 0..DRAWS {
            error.iter_mut().for_each(|of| *of = normal(&mut dice));
            let (mut water, mut dry, mut of_dry) = (mixed.water.kg(), 0.0, [0.0; 4]);
            for part in &parts {
                let (share, sd, at) = part.moisture;
                let moisture = (share + sd * error[at]).clamp(0.0, 1.0);
                let dried = part.kg * (1.0 - moisture);
                water += part.kg * moisture;
                dry += dried;
                for (sum, (share, sd, at)) in of_dry.iter_mut().zip(part.of_dry) {
                    *sum += dried * (share + sd * error[at]).clamp(0.0, 1.0);
                }
            }
            for (inside, told) in inside.iter_mut().zip(&told) {
                let value = value(&told.measure, water, dry, of_dry);
                let mut figures = mixed.figures.measures.iter();
                let figure = figures.find(|of| of.measure == told.measure);
                let window = figure.expect("a window").window;
                let is_in = window.min.is_none_or(|min| value >= min)
                    && window.max.is_none_or(|max| value <= max);
                *inside += u32::from(is_in);
            }
        }
        for (inside, told) in inside.into_iter().zip(told) {
            let drawn = f64::from(inside) / f64::from(DRAWS);
            compared.push(Compared {
                what: format!("night {seed}, {}, {}", mixed.name, told.measure),
                stated: told.chance,
                drawn,
                error: (drawn * (1.0 - drawn) / f64::from(DRAWS)).sqrt(),
            });
        }
    }
    compared
}
