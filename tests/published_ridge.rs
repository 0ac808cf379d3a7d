//! Ridge regression against certified and independent values.

use proptest::collection::vec;
use proptest::prelude::*;
use trayful::learn::{Fate, Ridge, RidgeUntold, Row, ridge, ridge_at};

/// NIST Statistical Reference Datasets, linear regression, Longley (Longley
/// 1967, JASA 62:819): y, then x1 to x6. Public domain.
const LONGLEY: [[f64; 7]; 16] = [
    [60323.0, 83.0, 234_289.0, 2356.0, 1590.0, 107_608.0, 1947.0],
    [61122.0, 88.5, 259_426.0, 2325.0, 1456.0, 108_632.0, 1948.0],
    [60171.0, 88.2, 258_054.0, 3682.0, 1616.0, 109_773.0, 1949.0],
    [61187.0, 89.5, 284_599.0, 3351.0, 1650.0, 110_929.0, 1950.0],
    [63221.0, 96.2, 328_975.0, 2099.0, 3099.0, 112_075.0, 1951.0],
    [63639.0, 98.1, 346_999.0, 1932.0, 3594.0, 113_270.0, 1952.0],
    [64989.0, 99.0, 365_385.0, 1870.0, 3547.0, 115_094.0, 1953.0],
    [63761.0, 100.0, 363_112.0, 3578.0, 3350.0, 116_219.0, 1954.0],
    [66019.0, 101.2, 397_469.0, 2904.0, 3048.0, 117_388.0, 1955.0],
    [67857.0, 104.6, 419_180.0, 2822.0, 2857.0, 118_734.0, 1956.0],
    [68169.0, 108.4, 442_769.0, 2936.0, 2798.0, 120_445.0, 1957.0],
    [66513.0, 110.8, 444_546.0, 4681.0, 2637.0, 121_950.0, 1958.0],
    [68655.0, 112.6, 482_704.0, 3813.0, 2552.0, 123_366.0, 1959.0],
    [69564.0, 114.2, 502_601.0, 3931.0, 2514.0, 125_368.0, 1960.0],
    [69331.0, 115.7, 518_173.0, 4806.0, 2572.0, 127_852.0, 1961.0],
    [70551.0, 116.9, 554_894.0, 4007.0, 2827.0, 130_081.0, 1962.0],
];

fn longley(measures: impl Fn(&[f64]) -> Vec<f64>) -> Vec<Row> {
    let row = |one: &[f64; 7]| Row {
        measures: measures(&one[1..]).into_iter().map(Some).collect(),
        result: one[0],
    };
    LONGLEY.iter().map(row).collect()
}

fn per_sd(of: &Ridge) -> Vec<f64> {
    let coefficient = |fate: &Fate| match fate {
        Fate::Coefficient { per_sd, .. } => Some(*per_sd),
        Fate::Constant | Fate::MostlyUnknown => None,
    };
    of.fates.iter().filter_map(coefficient).collect()
}

fn assert_near(seen: f64, expected: f64, relative: f64) {
    let off = (seen - expected).abs();
    assert!(off <= relative * expected.abs(), "{seen} for {expected}");
}

/// NIST certified coefficients of x1 to x6, at no penalty.
#[test]
fn nist_longley_without_penalty() {
    let of = ridge_at(&longley(<[f64]>::to_vec), 0.0).expect("a fit");
    let certified = [
        15.061_872_271_373_3,
        -0.035_819_179_292_591_0,
        -2.020_229_803_816_83,
        -1.033_226_867_173_59,
        -0.051_104_105_653_580_7,
        1_829.151_464_613_55,
    ];
    let mut intercept = of.intercept;
    for (at, (fate, certified)) in of.fates.iter().zip(certified).enumerate() {
        let Fate::Coefficient { per_sd, sd } = fate else {
            panic!("{fate:?}");
        };
        // A condition number near 1e4 squared leaves some nine digits.
        assert_near(per_sd / sd, certified, 1e-8);
        let mean = LONGLEY.iter().map(|row| row[at + 1]).sum::<f64>() / 16.0;
        intercept -= per_sd / sd * mean;
    }
    assert_near(intercept, -3_482_258.634_595_82, 1e-8);
}

/// scikit-learn 1.9.1, `Ridge(solver='svd')` on `StandardScaler` figures, reckoned
/// outside this repository; leave-one-out errors by refitting 16 times.
#[test]
fn longley_with_penalties_as_scikit_learn_has_it() {
    let rows = longley(<[f64]>::to_vec);
    for (penalty, coefficients, error) in [
        (
            0.1,
            [
                641.185_158,
                1_119.494_39,
                -1_066.576_97,
                -443.032_003,
                50.340_083_1,
                2_385.895_34,
            ],
            490.222_150_821_218,
        ),
        (
            1.0,
            [
                895.958_348,
                1_085.683_82,
                -743.681_247,
                -196.618_062,
                789.494_468,
                1_062.270_96,
            ],
            547.686_740_083_557,
        ),
        (
            10.0,
            [
                695.232_121,
                751.100_588,
                -41.522_196_3,
                216.864_312,
                675.388_36,
                696.790_46,
            ],
            995.908_661_622_196,
        ),
    ] {
        let of = ridge_at(&rows, penalty).expect("a fit");
        assert_near(of.intercept, 65_317.0, 1e-12);
        for (seen, expected) in per_sd(&of).into_iter().zip(coefficients) {
            assert_near(seen, expected, 1e-8);
        }
        assert_near(of.error, error, 1e-9);
        assert_near(of.mean_error, 3_627.145_321_354_277, 1e-12);
    }
    let best = ridge(&rows).expect("a fit");
    assert_near(best.penalty, 0.003_162_277_660_168_379_5, 1e-12);
    assert_near(best.error, 402.293_634_096_5, 1e-7);
    assert!(best.tells_more_than_mean());
}

/// The same with 20 measures on 16 rows: squares, logarithms and two inverses besides.
#[test]
fn more_measures_than_rows() {
    let wide = |x: &[f64]| {
        let squares = x.iter().map(|x| x * x);
        let logarithms = x.iter().map(|x| x.ln());
        let inverses = x[..2].iter().map(|x| x.recip());
        (x.iter().copied())
            .chain(squares)
            .chain(logarithms)
            .chain(inverses)
            .collect()
    };
    let of = ridge_at(&longley(wide), 1.0).expect("a fit");
    let expected = [
        212.014_699,
        341.593_11,
        -340.702_998,
        -136.842_804,
        240.167_996,
        400.277_411,
        196.682_32,
        223.526_258,
        -497.420_527,
        -343.015_061,
        198.589_644,
        399.323_336,
        217.257_213,
        394.621_066,
        -116.784_498,
        52.709_857_3,
        279.155_693,
        401.226_142,
        -211.836_607,
        -374.634_725,
    ];
    let seen = per_sd(&of);
    assert_eq!(seen.len(), expected.len());
    for (seen, expected) in seen.into_iter().zip(expected) {
        assert_near(seen, expected, 1e-7);
    }
    assert_near(of.error, 494.799_277_400_6, 1e-8);
    assert!(ridge_at(&longley(wide), 0.0).is_err());
}

#[test]
fn what_is_left_out_is_told() {
    let mut rows = longley(|x| vec![x[0], 7.0, x[2], x[3]]);
    for row in &mut rows[..5] {
        row.measures[3] = None;
    }
    rows[9].measures[2] = None;
    let of = ridge(&rows).expect("a fit");
    assert_eq!((of.cohorts, of.left_out), (15, 1));
    assert!(matches!(of.fates[0], Fate::Coefficient { .. }));
    assert_eq!(of.fates[1], Fate::Constant);
    assert!(matches!(of.fates[2], Fate::Coefficient { .. }));
    assert_eq!(of.fates[3], Fate::MostlyUnknown);

    let few = ridge(&rows[..11]).expect_err("too few");
    assert_eq!(
        few.said().in_english(),
        "10 cohorts, at least 12 are needed"
    );
    assert_eq!(ridge(&[]), Err(RidgeUntold::FewCohorts { cohorts: 0 }));
    let same = longley(|_| vec![1.0]);
    assert_eq!(ridge(&same), Err(RidgeUntold::NothingDiffers));
    let mut flat = longley(<[f64]>::to_vec);
    flat.iter_mut().for_each(|row| row.result = 0.1 + 0.2);
    assert_eq!(ridge(&flat), Err(RidgeUntold::SameResult));
}

/// Rows of measures that differ, and their results.
fn tables() -> impl Strategy<Value = Vec<Row>> {
    (2_usize..6).prop_flat_map(|width| {
        let row = (vec(-10.0_f64..10.0, width), -10.0_f64..10.0);
        vec(row, 14..30).prop_map(|rows| {
            rows.into_iter()
                .map(|(measures, noise)| Row {
                    result: 3.0 * measures[0] - measures[1] + noise,
                    measures: measures.into_iter().map(Some).collect(),
                })
                .collect()
        })
    })
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(32) })]

    /// Without a penalty, what is left is at right angles to every measure.
    #[test]
    fn no_penalty_is_least_squares(rows in tables()) {
        let of = ridge_at(&rows, 0.0).expect("a fit");
        let near = ridge_at(&rows, 1e-9).expect("a fit");
        for (one, other) in per_sd(&of).into_iter().zip(per_sd(&near)) {
            prop_assert!((one - other).abs() < 1e-6 * (1.0 + one.abs()));
        }
        let width = rows[0].measures.len();
        let at = |row: &Row, at: usize| row.measures[at].expect("known");
        let count = f64::from(u32::try_from(rows.len()).expect("few"));
        let means: Vec<f64> = (0..width).map(|m| rows.iter().map(|row| at(row, m)).sum::<f64>() / count).collect();
        let slopes: Vec<f64> = of.fates.iter().map(|fate| match fate {
            Fate::Coefficient { per_sd, sd } => per_sd / sd,
            Fate::Constant | Fate::MostlyUnknown => 0.0,
        }).collect();
        let off = |row: &Row| {
            let told: f64 = (0..width).map(|m| slopes[m] * (at(row, m) - means[m])).sum();
            row.result - of.intercept - told
        };
        for (m, mean) in means.iter().enumerate() {
            let product: f64 = rows.iter().map(|row| off(row) * (at(row, m) - mean)).sum();
            prop_assert!(product.abs() < 1e-6, "{product}");
        }
    }

    /// A larger penalty never lengthens the coefficients.
    #[test]
    fn shrinks_with_the_penalty(rows in tables(), low in -3.0_f64..3.0, more in 0.01_f64..3.0) {
        let length = |penalty: f64| {
            let of = ridge_at(&rows, penalty).expect("a fit");
            per_sd(&of).iter().map(|b| b * b).sum::<f64>().sqrt()
        };
        let (less, most) = (length(10_f64.powf(low)), length(10_f64.powf(low + more)));
        prop_assert!(most <= less * (1.0 + 1e-9));
        prop_assert!(length(1e12) < 1e-6);
    }

    /// Neither the order of cohorts nor that of measures matters.
    #[test]
    fn any_order(rows in tables(), by in 0_usize..30) {
        let one = ridge(&rows).expect("a fit");
        let mut turned = rows.clone();
        turned.rotate_left(by % rows.len());
        for row in &mut turned {
            row.measures.reverse();
        }
        let other = ridge(&turned).expect("a fit");
        let mut back = per_sd(&other);
        back.reverse();
        prop_assert!((one.error - other.error).abs() < 1e-9 * (1.0 + one.error));
        prop_assert!((one.penalty - other.penalty).abs() < 1e-9 * one.penalty);
        for (one, other) in per_sd(&one).into_iter().zip(back) {
            prop_assert!((one - other).abs() < 1e-8 * (1.0 + one.abs()));
        }
    }

    /// Leave-one-out without refitting is what refitting finds, with the scales
    /// of all cohorts kept: measures are made to have them beforehand.
    #[test]
    fn leaving_out_without_refitting(rows in tables(), penalty in 0.01_f64..50.0) {
        let of = ridge_at(&rows, penalty).expect("a fit");
        let width = rows[0].measures.len();
        let sds: Vec<f64> = of.fates.iter().map(|fate| match fate {
            Fate::Coefficient { sd, .. } => *sd,
            Fate::Constant | Fate::MostlyUnknown => 1.0,
        }).collect();
        let scaled: Vec<(Vec<f64>, f64)> = rows.iter().map(|row| {
            let x = (0..width).map(|m| row.measures[m].expect("known") / sds[m]);
            (x.collect(), row.result)
        }).collect();
        let squares: f64 = (0..scaled.len()).map(|out| left_out(&scaled, out, penalty).powi(2)).sum();
        let count = f64::from(u32::try_from(rows.len()).expect("few"));
        let error = (squares / count).sqrt();
        prop_assert!((of.error - error).abs() < 1e-5 * error, "{} {error}", of.error);
    }
}

/// The error at one row of a ridge fitted to the others by coordinate descent.
fn left_out(rows: &[(Vec<f64>, f64)], out: usize, penalty: f64) -> f64 {
    let others: Vec<&(Vec<f64>, f64)> = rows
        .iter()
        .enumerate()
        .filter(|(at, _)| *at != out)
        .map(|(_, row)| row)
        .collect();
    let count = f64::from(u32::try_from(others.len()).expect("few"));
    let width = rows[0].0.len();
    let means: Vec<f64> = (0..width)
        .map(|m| others.iter().map(|row| row.0[m]).sum::<f64>() / count)
        .collect();
    let mean = others.iter().map(|row| row.1).sum::<f64>() / count;
    let mut beta = vec![0.0; width];
    for _ in 0..100 {
        for m in 0..width {
            let (mut pull, mut weight) = (0.0, penalty);
            for (x, y) in others.iter().copied() {
                let rest: f64 = (0..width)
                    .filter(|k| *k != m)
                    .map(|k| beta[k] * (x[k] - means[k]))
                    .sum();
                pull += (x[m] - means[m]) * (y - mean - rest);
                weight += (x[m] - means[m]).powi(2);
            }
            beta[m] = pull / weight;
        }
    }
    let (x, y) = &rows[out];
    y - mean - (0..width).map(|m| beta[m] * (x[m] - means[m])).sum::<f64>()
}
