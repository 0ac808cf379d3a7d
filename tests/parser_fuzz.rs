//! What people and spreadsheets feed the readers: whatever it is, nothing
//! panics, and a refusal always says something.

#![expect(clippy::print_stdout, reason = "the long form tells how many it tried")]

use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::Index;
use proptest::strategy::ValueTree;
use proptest::test_runner::{RngSeed, TestRunner};
use readers::{STOCK, TARGETS, readers, spoken};
use trayful::blend::{Problem, propose, read_stock, read_targets};
use trayful::larvae::{SHIPPED_STAGES, StageTable};
use trayful::quantity::{Decimal, Division, Grams, MassUnit};
use trayful::stream::{
    LarvaeFor, Region, SHIPPED_SOURCES, SHIPPED_STREAMS, SHIPPED_USE_RULES, SourceTable,
    StreamTable, UseRules,
};

mod readers;

/// The same cases on every run unless `PROPTEST_RNG_SEED` says otherwise.
fn cases(number: u32) -> ProptestConfig {
    let mut config = ProptestConfig::with_cases(number);
    if config.rng_seed == RngSeed::Random {
        config.rng_seed = RngSeed::Fixed(20_261_125);
    }
    config.failure_persistence = None;
    config
}

fn shipped_streams() -> StreamTable {
    StreamTable::read("streams.csv", SHIPPED_STREAMS).expect("streams")
}

/// Every reader of files on the same bytes.
fn read_all(bytes: &[u8]) {
    let (streams, text) = (shipped_streams(), String::from_utf8_lossy(bytes));
    let stages = StageTable::read("stages.toml", SHIPPED_STAGES).expect("stages");
    spoken(read_stock("f", bytes, &streams, &stages.flag_limits));
    spoken(StreamTable::read("f", bytes));
    spoken(SourceTable::read("f", bytes));
    spoken(UseRules::read(
        "f",
        bytes,
        LarvaeFor::ALL[0],
        Region::ALL[0],
    ));
    spoken(StageTable::read("f", &text));
    spoken(read_targets("f", &text, &streams));
}

/// A change of a file as slips of hand and broken exports make it.
#[derive(Debug, Clone)]
enum Slip {
    Byte(Index, u8),
    Cut(Index),
    Drop(Index, usize),
    Twice(Index, usize),
    Insert(Index, &'static str),
}

fn slip() -> impl Strategy<Value = Slip> {
    let words = vec![
        "\"",
        ",",
        "\n",
        "\r\n",
        "-",
        "NaN",
        "inf",
        "1e308",
        "1e-400",
        "-0",
        "999999999999999",
        "\u{feff}",
        "\u{0}",
        "٣",
        "[",
        "]",
        "=",
        "'",
        "é",
        "0.000000000000001",
        "window.",
        "#",
    ];
    prop_oneof![
        1 => (any::<Index>(), any::<u8>()).prop_map(|(at, byte)| Slip::Byte(at, byte)),
        1 => any::<Index>().prop_map(Slip::Cut),
        2 => (any::<Index>(), 1_usize..40).prop_map(|(at, length)| Slip::Drop(at, length)),
        2 => (any::<Index>(), 1_usize..40).prop_map(|(at, length)| Slip::Twice(at, length)),
        8 => (any::<Index>(), prop::sample::select(words)).prop_map(|(at, word)| Slip::Insert(at, word)),
    ]
}

fn slipped(file: &[u8], slips: &[Slip]) -> Vec<u8> {
    let mut bytes = file.to_vec();
    for slip in slips {
        let whole = bytes.len();
        let part = |at: &Index, part: usize| {
            let start = at.index(whole + 1);
            start..(start + part).min(whole)
        };
        match slip {
            Slip::Byte(at, byte) => bytes[part(at, 1)].fill(*byte),
            Slip::Cut(at) => bytes.truncate(at.index(whole + 1)),
            Slip::Drop(at, length) => drop(bytes.drain(part(at, *length))),
            Slip::Twice(at, length) => {
                let range = part(at, *length);
                let copy = bytes[range.clone()].to_vec();
                bytes.splice(range.start..range.start, copy);
            }
            Slip::Insert(at, word) => {
                let start = part(at, 0).start;
                bytes.splice(start..start, word.bytes());
            }
        }
    }
    bytes
}

/// Numbers and units as fingers leave them.
fn typed() -> impl Strategy<Value = String> {
    prop_oneof![
        any::<String>(),
        "[-+]?[0-9]{0,16}[.,]?[0-9]{0,16} ?(lb|lbs|oz|kg|g|t|ton|gal|L|stone)?",
        "[0-9]{1,15}([.,][0-9]{0,15})? ?lb ?[0-9]{1,15}([.,][0-9]{0,15})? ?oz",
        "[0-9]{1,6}[.][0-9]{0,12} lb 0[.][0-9]{15} oz( [0-9]{1,9} oz)?",
        "[0-9]{1,9} ?lb [0-9]{1,9} ?oz [0-9]{1,9} ?oz",
    ]
}

proptest! {
    #![proptest_config(cases(200))]

    #[test]
    fn any_bytes(bytes in vec(any::<u8>(), 0..300)) {
        read_all(&bytes);
    }

    #[test]
    fn slips_in_good_files(
        file in prop::sample::select(vec![
            STOCK.as_bytes(), TARGETS.as_bytes(), SHIPPED_STREAMS, SHIPPED_STAGES.as_bytes(),
        ]),
        slips in vec(slip(), 1..5),
    ) {
        read_all(&slipped(file, &slips));
    }

    #[test]
    fn slips_in_long_files(
        file in prop::sample::select(vec![SHIPPED_SOURCES, SHIPPED_USE_RULES]),
        slips in vec(slip(), 1..3),
    ) {
        let bytes = slipped(file, &slips);
        spoken(SourceTable::read("f", &bytes));
        spoken(UseRules::read("f", &bytes, LarvaeFor::ALL[0], Region::ALL[0]));
    }

    /// What is read can be mixed: a file that passes never makes the blend panic.
    #[test]
    fn what_reads_can_be_mixed(
        stock in vec(slip(), 0..4),
        targets in vec(slip(), 0..3),
    ) {
        let streams = shipped_streams();
        let stages = StageTable::read("stages.toml", SHIPPED_STAGES).expect("stages");
        let stock = slipped(STOCK.as_bytes(), &stock);
        let targets = slipped(TARGETS.as_bytes(), &targets);
        let lots = spoken(read_stock("stock.csv", &stock, &streams, &stages.flag_limits));
        let targets = spoken(read_targets("targets.toml", &String::from_utf8_lossy(&targets), &streams));
        if let (Some(lots), Some(targets)) = (lots, targets) {
            let on_hand: Grams = lots.iter().map(|lot| lot.on_hand).sum();
            let step = Decimal::parse("0.1").expect("number");
            let mix = propose(&Problem {
                lots,
                purchases: targets.purchases,
                water_limit: targets.water_limit,
                groups: targets.groups,
                division: Division::new(step, MassUnit::Kg).expect("division"),
                spreads: None,
                policy: trayful::blend::Policy::default(),
            });
            let drawn = mix.groups.iter().flat_map(|group| &group.draws);
            let drawn: Grams = drawn.map(|draw| draw.grams).sum();
            let left: Grams = mix.left.iter().map(|left| left.grams).sum();
            prop_assert_eq!(drawn + left, on_hand);
        }
    }
}

proptest! {
    #![proptest_config(cases(2000))]

    #[test]
    fn typed_quantities(text in typed()) {
        readers::typed(text.as_bytes());
    }

    /// A number that reads, printed, is the same number.
    #[test]
    fn decimals_come_back(text in "[-+]?[0-9]{1,9}([.][0-9]{1,6})?") {
        let decimal = Decimal::parse(&text).expect("a number");
        prop_assert_eq!(Decimal::parse(&decimal.to_string()), Ok(decimal));
        let plain: f64 = text.parse().expect("a number");
        prop_assert!((decimal.to_f64() - plain).abs() <= 1e-15 * plain.abs());
    }
}

/// So many slips for every reader; those that were read, and those refused.
fn slips_for_every_reader(number: u32) {
    let mut runner = TestRunner::new(cases(1));
    println!("| reader | inputs | read | refused with a word |");
    for reader in readers() {
        let (name, reads) = (reader.name, reader.reads);
        assert!(reads(&reader.good[0]), "{name}");
        let files = proptest::sample::select(reader.good);
        let mut read = 0_u32;
        for _ in 0..number {
            let tree = (&files, vec(slip(), 1..3)).new_tree(&mut runner);
            let (good, slips) = tree.expect("slips").current();
            read += u32::from(reads(&slipped(&good, &slips)));
        }
        println!("| {name} | {number} | {read} | {} |", number - read);
    }
}

/// With the tests above, which have their own numbers, ten thousand in all.
#[test]
fn slips_for_each_reader() {
    slips_for_every_reader(250);
}

/// A million slips for every reader, or as many as `TRAYFUL_LONG` says. Inputs guided
/// by coverage are found by `fuzz/run`.
#[test]
#[ignore = "hours"]
fn long_slips_for_every_reader() {
    let asked = std::env::var("TRAYFUL_LONG").ok();
    let asked = asked.and_then(|text| text.parse().ok());
    slips_for_every_reader(asked.unwrap_or(1_000_000));
}
