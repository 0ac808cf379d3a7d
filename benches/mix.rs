//! How long a night's mix takes: two groups, six windows each, from the stock
//! of a small farm to far beyond one.

use std::collections::BTreeMap;
use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use trayful::blend::{Composition, Group, Lot, Problem, propose};
use trayful::quantity::{Decimal, Density, Division, Grams, MassUnit, ShareAsFed, ShareOfDry};
use trayful::stream::{Analyte, Measure, StreamId, Window};

const SEED: u64 = 20_261_125;
const ANALYTES: [(&str, u32, u32, f64, f64); 5] = [
    ("protein_dm_pct", 40, 350, 14.0, 22.0),
    ("fat_dm_pct", 5, 200, 2.0, 14.0),
    ("fibre_dm_pct", 30, 450, 5.0, 30.0),
    ("ash_dm_pct", 10, 150, 1.0, 10.0),
    ("lignin_dm_pct", 5, 120, 0.0, 8.0),
];

/// A small congruential generator (Knuth's constants), so that every run has the same stock.
struct Dice(u64);

impl Dice {
    fn between(&mut self, least: u32, most: u32) -> u32 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        let high = u32::try_from(self.0 >> 33).expect("31 bits");
        least + high % (most - least)
    }

    fn tenths(&mut self, least: u32, most: u32) -> f64 {
        f64::from(self.between(least, most)) / 10.0
    }
}

fn lot(number: usize, dice: &mut Dice) -> Lot {
    let moisture = if dice.between(0, 3) == 0 {
        dice.tenths(80, 450)
    } else {
        dice.tenths(650, 950)
    };
    let analytes = ANALYTES.iter().map(|(key, least, most, _, _)| {
        let share = ShareOfDry::from_pct(dice.tenths(*least, *most)).expect("a share");
        (Analyte::from_key(key).expect("an analyte"), share)
    });
    let analytes = analytes.collect();
    let grams = Grams::new(i64::from(dice.between(2_000, 30_000)));
    Lot {
        name: format!("L{number:04}"),
        stream: StreamId::parse(&format!("stream-{}", dice.between(0, 30))).expect("an id"),
        on_hand: grams,
        edible: grams,
        composition: Composition {
            moisture: ShareAsFed::from_pct(moisture).ok(),
            analytes,
            density: Density::new(f64::from(dice.between(200, 900))).ok(),
            ballast: 0.0,
        },
        price_per_kg: f64::from(dice.between(0, 60)) / 100.0,
        age_days: f64::from(dice.between(0, 6)),
        keeps_days: Some(f64::from(dice.between(2, 20))),
        buckets: 1.0,
        barred: None,
    }
}

fn group(name: &str, dry_matter_kg: f64) -> Group {
    let window = |least: f64, most: f64| Window {
        min: Some(least / 100.0),
        max: Some(most / 100.0),
        ..Window::default()
    };
    let windows = ANALYTES
        .iter()
        .map(|(key, _, _, least, most)| (*key, window(*least, *most)))
        .chain([("moisture_pct", window(62.0, 72.0))]);
    Group {
        name: name.to_owned(),
        dry_matter_kg,
        volume: None,
        windows: windows
            .map(|(key, window)| (Measure::from_key(key).expect("a measure"), window))
            .collect(),
        caps: BTreeMap::from([(
            StreamId::parse("stream-3").expect("an id"),
            ShareAsFed::from_pct(10.0).expect("a cap"),
        )]),
        assumed: BTreeMap::new(),
        assumed_density: None,
        ..Group::default()
    }
}

/// `fed_per_lot` kilograms of dry matter are wanted for each lot on hand.
fn night(lots: usize, fed_per_lot: f64) -> Problem {
    let mut dice = Dice(SEED);
    let count = f64::from(u32::try_from(lots).expect("few lots"));
    Problem {
        lots: (0..lots).map(|number| lot(number, &mut dice)).collect(),
        purchases: Vec::new(),
        water_limit: Grams::new(20_000),
        groups: vec![
            group("last-feeds", 0.4 * fed_per_lot * count),
            group("growing", 0.6 * fed_per_lot * count),
        ],
        division: Division::new(Decimal::parse("0.1").expect("number"), MassUnit::Kg)
            .expect("division"),
        spreads: None,
        policy: trayful::blend::Policy::default(),
    }
}

fn mixes(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("mix");
    group.sample_size(10);
    // A night uses about a tenth of the stock, or about half of it.
    for (lots, part, fed_per_lot) in [
        (60, "tenth", 0.5),
        (60, "half", 2.5),
        (1_000, "tenth", 0.5),
        (1_000, "half", 2.5),
        (5_000, "tenth", 0.5),
    ] {
        let problem = night(lots, fed_per_lot);
        group.bench_function(format!("{lots} lots, a {part} used"), |bencher| {
            bencher.iter(|| propose(black_box(&problem)));
        });
    }
    group.finish();
}

criterion_group!(benches, mixes);
criterion_main!(benches);
