//! Conversion against figures others published, row by row.

use proptest::prelude::*;
use trayful::harvest::{
    Conversion, Metric, NitrogenFactor, StartWeight, Untold, Yield, conversion,
};
use trayful::learn::{Own, PublishedTable};
use trayful::quantity::ShareOfDry;
use trayful::stream::{SHIPPED_SOURCES, SourceTable};

/// A yield of dry matter alone: nothing else is known.
fn dry(fed: f64, residue: f64, larvae: f64) -> Yield {
    Yield {
        fed_kg: 4.0 * fed,
        fed_dry_kg: Some(fed),
        larvae_kg: 3.0 * larvae,
        larvae_dry_kg: Some(larvae),
        start: StartWeight::LeftOut,
        residue_kg: Some(2.0 * residue),
        residue_dry_kg: Some(residue),
        ..Yield::default()
    }
}

fn value(of: &Conversion, metric: Metric) -> f64 {
    of.value(metric)
        .unwrap_or_else(|| panic!("{}", metric.key()))
}

/// As printed with so many decimals.
fn printed(of: &Conversion, metric: Metric, places: usize) -> String {
    format!("{:.places$}", value(of, metric))
}

/// Data set of Gold et al. 2022 (public repository MoritzGold/BSFL_agri_microbiota,
/// data/performance_data.xlsx, experiment 4): 60 g dry matter fed; reduction,
/// count and mean dry weight are the source's, the other columns are arithmetic
/// on them. Start weight is not subtracted there.
#[test]
fn gold_2022_experiment_4() {
    // reduction %, larvae, mg each, then residue g, larvae g, BCR, FCR, ECD, metabolised.
    let rows = [
        (
            "tomato, open, 1",
            46.714_748_9,
            217.0,
            42.576_036_9,
            ["31.971", "9.239", "15.398", "6.494", "32.96", "31.32"],
        ),
        (
            "food waste, open, 1",
            57.392_197_2,
            247.0,
            52.360_323_9,
            ["25.565", "12.933", "21.555", "4.639", "37.56", "35.84"],
        ),
        (
            "food waste, open, 4",
            54.798_285_3,
            219.0,
            57.105_022_8,
            ["27.121", "12.506", "20.843", "4.798", "38.04", "33.95"],
        ),
        (
            "wine, closed, 1",
            37.468_984_2,
            193.0,
            21.145_077_7,
            ["37.519", "4.081", "6.802", "14.702", "18.15", "30.67"],
        ),
        (
            "wine, open, 1",
            37.475_510_5,
            205.0,
            15.404_878_0,
            ["37.515", "3.158", "5.263", "18.999", "14.04", "32.21"],
        ),
    ];
    for (name, reduction_pct, larvae, mg_each, expected) in rows {
        let residue_g = 60.0 * (1.0 - reduction_pct / 100.0);
        let larvae_g = larvae * mg_each / 1000.0;
        let of = conversion(&dry(0.060, residue_g / 1000.0, larvae_g / 1000.0));
        let seen = [
            format!("{residue_g:.3}"),
            format!("{larvae_g:.3}"),
            printed(&of, Metric::Bioconversion, 3),
            printed(&of, Metric::FcrDry, 3),
            printed(&of, Metric::DigestedConversion, 2),
            printed(&of, Metric::Metabolised, 2),
        ];
        assert_eq!(seen, expected, "{name}");
        assert!((value(&of, Metric::Reduction) - reduction_pct).abs() < 1e-9);
        assert!(of.doubts.is_empty(), "{name}");
        // The file has no days, so no index can be told from it.
        assert_eq!(of.get(Metric::ReductionIndex), &Err(vec![Untold::Days]));
    }
}

/// Two boxes of Alciatore et al. 2024, public data file of the fermentation
/// study, figures as quoted: fed, residue and larvae \[g dry matter\], what all
/// larvae put in weighed \[g dry matter\]. The stocked weight is that of every
/// larva put in: of the second box only 0.409 lived.
#[test]
fn alciatore_2024_boxes() {
    let rows = [
        (
            "FRM.2W.4",
            [253.669, 55.222, 55.233, 1.97923],
            None,
            [20.993, 78.231],
        ),
        (
            "ACD.1D.4",
            [253.686, 73.042, 47.108, 0.37289],
            Some(0.409),
            [18.423, 71.208],
        ),
    ];
    for (name, [fed, residue, larvae, start], survival, expected) in rows {
        let mut of = dry(fed / 1e3, residue / 1e3, larvae / 1e3);
        of.began = Some(1260);
        of.start = StartWeight::Subtracted {
            mg_dry: start * 1e3 / 1260.0,
        };
        // Without an end count all but survival is told.
        let told = conversion(&of);
        assert_eq!(told.get(Metric::Survival), &Err(vec![Untold::EndCount]));
        // To the digits given, and what half a unit in the last digit of each
        // weight leaves open: the second box's weights give 18.4224.
        let open = 0.0005 + 100.0 * 0.0005 * 1.5 / fed;
        for (metric, expected) in [Metric::Bioconversion, Metric::Reduction]
            .iter()
            .zip(expected)
        {
            let seen = value(&told, *metric);
            assert!(
                (seen - expected).abs() <= open,
                "{name}: {seen}, not {expected}"
            );
        }
        let Some(survival) = survival else { continue };
        of.ended = Some(1260.0 * survival);
        let counted = conversion(&of);
        let lived = value(&counted, Metric::Survival);
        assert!((lived - 100.0 * survival).abs() < 1e-9);
        // How many lived changes nothing else.
        assert_eq!(counted.gain_kg, told.gain_kg);
    }
}

/// The boxes of Fuhrmann et al. 2024: run and yield.
fn fuhrmann_2024() -> Vec<(&'static str, Yield)> {
    let rows = include_str!("data/boxes.txt").lines();
    let rows = rows.filter(|line| !line.starts_with('#'));
    let read = |line: &'static str| {
        let (run, numbers) = line.split_once(' ').expect("a run");
        let of: Vec<f64> = (numbers.split(' '))
            .map(|text| text.parse().expect("a number"))
            .collect();
        let solid = |wet: f64, moisture: f64| wet * (1.0 - moisture) / 1e3;
        let mut box_ = dry(
            solid(of[0], of[1]),
            solid(of[5], of[6]),
            solid(of[7], of[8]),
        );
        box_.fed_kg = of[0] / 1e3;
        box_.larvae_kg = of[7] / 1e3;
        #[expect(clippy::cast_possible_truncation, reason = "a count")]
        let began = of[2] as i64;
        box_.began = Some(began);
        box_.start = StartWeight::Subtracted { mg_dry: of[3] };
        box_.days = Some(of[4]);
        (run, box_)
    };
    rows.map(read).collect()
}

/// The medians of every run lie inside the published ranges, and each row of
/// the shipped table that cites the study is the least and the greatest box of
/// its run, rounded outwards by a tenth at most.
#[test]
fn run_medians_lie_inside_the_published_ranges() {
    let sources = SourceTable::read("sources.csv", SHIPPED_SOURCES).expect("sources");
    let table = PublishedTable::shipped(&sources).expect("the shipped table");
    let boxes = fuhrmann_2024();
    assert_eq!(boxes.len(), 33);
    let runs = [
        ("CF", "chicken feed"),
        ("FW", "food waste"),
        ("FWc", "food waste with 2, 4 and 6 % coco peat"),
    ];
    let metrics = [
        Metric::Reduction,
        Metric::Bioconversion,
        Metric::DigestedConversion,
        Metric::FcrDry,
        Metric::FcrFresh,
        Metric::Metabolised,
    ];
    for (run, feed) in runs {
        for metric in metrics {
            let of_run = boxes.iter().filter(|(name, _)| *name == run);
            let mut found: Vec<f64> = of_run
                .map(|(_, of)| value(&conversion(of), metric))
                .collect();
            found.sort_by(f64::total_cmp);
            let range = table.range(metric).expect("published");
            let median = Own::of(&found).expect("boxes").median;
            let told = format!("{run}, {}: {median}", metric.name().in_english());
            assert!(range.low <= median && median <= range.high, "{told}");
            let studies = range.studies.iter();
            let mut rows =
                studies.filter(|of| of.feed == feed && of.source.citation.contains("Fuhrmann"));
            let row = rows.next().expect("the run's row");
            assert_eq!(row.boxes.map(|n| n as usize), Some(found.len()), "{told}");
            let (least, greatest) = (found[0], found[found.len() - 1]);
            // Turned over from bioconversion, dry feed conversion has its rounding.
            let near = if metric == Metric::FcrDry {
                0.1 * least
            } else {
                0.1
            };
            let low = row.low <= least + 1e-9 && least - row.low < near;
            let high = row.high >= greatest - 1e-9 && row.high - greatest < near;
            assert!(low && high, "{told}: {least} to {greatest}");
        }
    }
}

/// A cohort's own sample, as `200=0.31`: 200 larvae of 0.31 g fresh are 1.55 mg
/// each, 0.4185 mg dry at 27 %.
#[test]
fn a_measured_sample_counts_dry() {
    let start = StartWeight::Measured { mg_fresh: 1.55 };
    assert!((start.mg_dry().expect("subtracted") - 0.4185).abs() < 1e-12);
    let said = start.said().in_english();
    assert!(said.contains("0.42 mg"), "{said}");
    assert!(
        StartWeight::default()
            .said()
            .in_english()
            .contains("0.30 to 3.28 mg")
    );
}

/// Nursery data set (public repository ReproLab/BSF_nursery_study, nursery_2.csv):
/// biomass over 50 g; the 50 g are inferred from the ratios.
#[test]
fn young_rows() {
    for (biomass, ratio) in [(11.36, "22.72"), (11.93, "23.86"), (9.31, "18.62")] {
        let of = conversion(&dry(50.0, 20.0, biomass));
        assert_eq!(printed(&of, Metric::Bioconversion, 2), ratio);
    }
}

/// Ours, worked by hand: 100 fed, 40 left after 14 days, 15 gained.
#[test]
fn round_numbers() {
    let mut of = dry(100.0, 40.0, 15.0);
    of.days = Some(14.0);
    let of = conversion(&of);
    let seen = Metric::ALL.map(|metric| of.value(metric).map(|value| format!("{value:.3}")));
    let expected = [
        Some("60.000"), // reduction
        Some("4.286"),  // index
        Some("15.000"), // bioconversion
        Some("25.000"), // digested
        Some("6.667"),  // FCR dry
        Some("8.889"),  // FCR fresh: 400 kg for 45 kg, the test's own wet weights
        None,
        None,
        Some("45.000"), // metabolised
    ];
    assert_eq!(seen, expected.map(|text| text.map(str::to_owned)));
}

/// Nayak et al. 2025, PLOS ONE 20:e0317049 (as quoted elsewhere): 100 g dry
/// matter for 300 larvae, 19.8 g dry of 60.0 g fresh; ration test R8: 33.0 %
/// dry, 66 mg each, bioconversion 19.8 %.
#[test]
fn nayak_2025_harvest() {
    let mut of = dry(0.100, 0.050, 0.0198);
    of.larvae_kg = 0.060;
    of.began = Some(300);
    assert_eq!(printed(&conversion(&of), Metric::Bioconversion, 1), "19.8");
    // Subtracting 0.5 mg for each of 300 larvae put in takes 0.15 g: 19.65 %.
    of.start = StartWeight::default();
    assert_eq!(printed(&conversion(&of), Metric::Bioconversion, 2), "19.65");
}

/// A trap: percentages of reduction of 57.8 to 98.1 are published as "WRI".
/// The index is that divided by days, so it can't be told from them alone.
#[test]
fn a_reduction_is_no_index() {
    let mut of = dry(1.0, 0.019, 0.1); // 98.1 %
    assert_eq!(conversion(&of).value(Metric::ReductionIndex), None);
    of.days = Some(14.0);
    let of = conversion(&of);
    assert_eq!(printed(&of, Metric::Reduction, 1), "98.1");
    assert_eq!(printed(&of, Metric::ReductionIndex, 3), "7.007");
    assert_ne!(Metric::Reduction.unit(), Metric::ReductionIndex.unit());
}

/// A trap: the data set of Gold et al. 2020 multiplies larval nitrogen by 4.67
/// where 4.76 is meant; the figure is 2 % low, so the factor is printed.
#[test]
fn the_factor_shows() {
    let mut of = dry(10.0, 4.0, 2.0);
    of.fed_protein_kg = Some(1.8);
    of.larvae_nitrogen = Some(ShareOfDry::from_pct(7.0).expect("a share"));
    let mut with = |factor| {
        of.factor = factor;
        printed(&conversion(&of), Metric::ProteinConversion, 2)
    };
    // 2 kg x 7 % x factor / 1.8 kg, by hand.
    assert_eq!(with(NitrogenFactor::Usual), "48.61");
    assert_eq!(with(NitrogenFactor::WholeLarvae), "37.02");
    assert_eq!(with(NitrogenFactor::Extract), "43.56");
    assert_eq!(with(NitrogenFactor::Later), "43.94");
    let transposed = NitrogenFactor::of(4.67).expect("in range");
    assert_eq!(with(transposed), "36.32");
    assert!(transposed.said().in_english().contains("check"));
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(256) })]

    /// Fed = residue + gain + metabolised; BCR = ECD x reduction; FCR = 1/BCR.
    #[test]
    fn the_balance_closes(
        fed in 0.01_f64..1e4, left in 0.0_f64..0.99, gained in 0.01_f64..1.2,
        count in 1_i64..1_000_000, start_share in 0.0_f64..0.2, days in 1.0_f64..40.0,
    ) {
        let (residue, larvae) = (fed * left, fed * (1.0 - left) * gained);
        let mut of = dry(fed, residue, larvae);
        of.days = Some(days);
        of.began = Some(count);
        #[expect(clippy::cast_precision_loss, reason = "a million at most")]
        let each = start_share * larvae * 1e6 / count as f64;
        of.start = StartWeight::Subtracted { mg_dry: each };
        let told = conversion(&of);
        let gain = told.gain_kg.clone().expect("a gain");
        prop_assert!((gain - larvae * (1.0 - start_share)).abs() < 1e-9 * fed);
        let [reduction, index, rate, digested, ratio, lost] = [
            Metric::Reduction, Metric::ReductionIndex, Metric::Bioconversion,
            Metric::DigestedConversion, Metric::FcrDry, Metric::Metabolised,
        ].map(|metric| value(&told, metric));
        prop_assert!((residue + gain + lost / 100.0 * fed - fed).abs() < 1e-9 * fed);
        prop_assert!((rate - digested * reduction / 100.0).abs() < 1e-9 * rate.abs());
        prop_assert!((ratio * rate / 100.0 - 1.0).abs() < 1e-12);
        prop_assert!((index * days - reduction).abs() < 1e-9);
        // An impossible gain is told as it is.
        prop_assert_eq!(lost < -1e-6, told.doubts.iter().any(|doubt| matches!(doubt, trayful::harvest::Impossible::GainAboveGone { .. })));
    }

    /// Ten times the farm gives the same figures.
    #[test]
    fn scale_does_not_matter(
        fed in 0.1_f64..1e3, left in 0.0_f64..0.99, gained in 0.01_f64..0.9, times in 1e-3_f64..1e3,
    ) {
        let small = dry(fed, fed * left, fed * gained);
        let big = dry(fed * times, fed * left * times, fed * gained * times);
        let (small, big) = (conversion(&small), conversion(&big));
        for metric in Metric::ALL {
            match (small.get(metric), big.get(metric)) {
                (Ok(one), Ok(other)) => prop_assert!((one - other).abs() <= 1e-9 * one.abs().max(1.0)),
                (one, other) => prop_assert_eq!(one, other),
            }
        }
    }
}
