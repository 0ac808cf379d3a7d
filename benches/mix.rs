//! How long a night's mix takes: two groups, six windows each, from the stock
//! of a small farm to far beyond one. Before that, the whole program beside a
//! Python script that solves the same four goals by HiGHS from the same files
//! (`tests/run` makes the Python); ends with a failure where their goals differ.

#![expect(clippy::print_stdout, reason = "a benchmark prints its figures")]

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::hint::black_box;
use std::path::Path;

use child::took;
use criterion::{Criterion, criterion_group};
use trayful::blend::{Composition, Group, Lot, Problem, propose};
use trayful::quantity::{Decimal, Density, Division, Grams, MassUnit, ShareAsFed, ShareOfDry};
use trayful::stream::{Analyte, Measure, StreamId, Window};

#[path = "processor/child.rs"]
mod child;
#[path = "../tests/highs/python.rs"]
mod python;

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

/// Shipped streams that may be fed, all of them edible, little ash.
const SHIPPED: [&str; 18] = [
    "spent-grain",
    "wheat-bran",
    "chick-feed",
    "carrot-trim",
    "potato-culls",
    "cabbage-trim",
    "lettuce-trim",
    "tomato-culls",
    "broccoli-trim",
    "cauliflower-trim",
    "cucumber-trim",
    "squash-trim",
    "pumpkin",
    "sweet-potato-trim",
    "apple-culls",
    "melon-trim",
    "berries",
    "grapes",
];

/// A stock table and targets; on a scarce night not everyone can be fed inside.
fn files(lots: usize, is_scarce: bool) -> (String, String) {
    let mut dice = Dice(SEED);
    let mut stock = "lot,stream,kg,age_days,moisture_pct,price_per_kg,buckets\n".to_owned();
    for number in 0..lots {
        // The three dry ones are rare.
        let least = if dice.between(0, 4) == 0 { 0 } else { 3 };
        let stream = dice.between(least, 18);
        let moisture = match stream {
            0 => dice.tenths(700, 820),
            1 | 2 => dice.tenths(90, 130),
            _ => dice.tenths(800, 950),
        };
        let _ = writeln!(
            stock,
            "L{number:04},{},{:.1},{:.1},{moisture:.1},{:.2},1",
            SHIPPED[stream as usize],
            dice.tenths(20, 300),
            dice.tenths(1, 19),
            dice.tenths(0, 6) / 10.0,
        );
    }
    let per_lot = if is_scarce { 3.0 } else { 1.0 };
    let wanted = per_lot * f64::from(u32::try_from(lots).expect("few lots"));
    let group = |name: &str, part: f64, protein: (f64, f64)| {
        format!(
            "[group.{name}]\ndry_matter_kg = {:.1}\n[group.{name}.window]\n\
             moisture_pct = {{ min = 65.0, max = 72.0, limit_max = 85.0 }}\n\
             protein_dm_pct = {{ min = {:.1}, max = {:.1} }}\n\
             fibre_dm_pct = {{ max = 30.0 }}\n[group.{name}.cap]\nwheat-bran = 15.0\n",
            part * wanted,
            protein.0,
            protein.1,
        )
    };
    let targets = group("growing", 0.6, (14.0, 18.0)) + &group("last-feeds", 0.4, (12.0, 16.0));
    (stock, targets)
}

/// The whole program, reading files and printing a mix, beside the script.
fn beside_python() {
    let Some(python) = python::with("highspy, numpy") else {
        println!("not compared with HiGHS: no Python with highspy; `bash tests/run` makes one");
        return;
    };
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let (script, streams) = (
        root.join("benches/four_goals.py"),
        root.join("data/streams.csv"),
    );
    let folder = tempfile::tempdir().expect("a folder");
    let path = |name: &str| folder.path().join(name).display().to_string();
    let trayful = Path::new(env!("CARGO_BIN_EXE_trayful"));
    let nights = [
        (60, false),
        (60, true),
        (1_000, false),
        (1_000, true),
        (5_000, false),
    ];
    for (lots, is_scarce) in nights {
        let (stock, targets) = files(lots, is_scarce);
        let (stock_file, targets_file) = (path("stock.csv"), path("targets.toml"));
        std::fs::write(&stock_file, stock).expect("written");
        std::fs::write(&targets_file, targets).expect("written");
        let night = [
            "mix",
            "--json",
            "--stock",
            &stock_file,
            "--targets",
            &targets_file,
        ];
        let (plain, ours) = took(trayful, &[&night[..], &["--plain"]].concat()).expect("runs");
        let (policy, _) = took(trayful, &night).expect("runs");
        let (script, streams) = (script.display().to_string(), streams.display().to_string());
        let args = [&script, &streams, &stock_file, &targets_file].map(String::as_str);
        let (highs, theirs) = took(Path::new(&python), &args).expect("runs");
        println!(
            "{lots} lots, 2 groups{}",
            if is_scarce { ", scarce" } else { "" }
        );
        println!(
            "    trayful mix --plain {plain}\n    trayful mix {policy}\n    Python with HiGHS {highs}"
        );
        println!(
            "    --plain takes {:.2} times the script's time on the processor",
            plain.cpu_s / highs.cpu_s
        );
        let ours: serde_json::Value = serde_json::from_str(&ours).expect("JSON");
        let theirs = theirs.lines().last().unwrap_or_default();
        let theirs: serde_json::Value = serde_json::from_str(theirs).expect("JSON");
        for goal in ["short_dm_kg", "outside", "urgent_kg", "cost"] {
            let pair = [&ours["tiers"][goal], &theirs[goal]].map(|of| of.as_f64().expect("a goal"));
            println!("    {goal}: {} and {}", pair[0], pair[1]);
            // Each may use up the slack that the goals before it were held with.
            let apart = (pair[0] - pair[1]).abs() / pair[1].abs().max(1.0);
            assert!(apart < 1e-5, "{lots} lots: {goal} is {pair:?}");
        }
    }
}

criterion_group!(benches, mixes);

fn main() {
    beside_python();
    benches();
    Criterion::default().configure_from_args().final_summary();
}
