use std::collections::BTreeMap;

use super::{Book, Property, Tally};

/// Chance of the interval that is stated and tested (our default).
pub const INTERVAL: f64 = 0.9;

#[derive(Debug, Clone, PartialEq)]
pub struct Case<K> {
    /// Whose, and which stream.
    pub of: K,
    /// What the test found, in the property's unit.
    pub value: f64,
    /// One standard deviation of the test's own error.
    pub test_sd: f64,
    pub book: Book,
}

/// How well earlier tests told the next one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Backtest {
    /// Tests told from earlier ones.
    pub told: u32,
    /// Tests before there were enough.
    pub too_early: u32,
    /// Mean absolute error of what was learned.
    pub error: f64,
    /// The same of the book's value, for the same tests.
    pub book_error: f64,
    /// Share of the tests inside the stated interval.
    pub covered: f64,
}

impl Backtest {
    /// How much less the learned value errs than the book, % of the book's error.
    pub fn better_pct(&self) -> f64 {
        100.0 * (1.0 - self.error / self.book_error)
    }

    /// One standard error of the share covered: √(c (1 − c)/n).
    pub fn covered_error(&self) -> f64 {
        (self.covered * (1.0 - self.covered) / f64::from(self.told)).sqrt()
    }
}

/// Walks through tested lots in order of time, telling each from the earlier
/// ones of its supplier and stream, once these are enough.
///
/// Errors in the property's unit; the interval is that of [`INTERVAL`] for the
/// test of a lot, so both the lot's and the test's spread are in it. `None`
/// when no test could be told.
pub fn backtest<K: Ord + Clone>(property: Property, cases: &[Case<K>]) -> Option<Backtest> {
    let mut tallies: BTreeMap<K, Tally> = BTreeMap::new();
    let (mut told, mut too_early, mut covered) = (0_u32, 0_u32, 0_u32);
    let (mut error, mut book_error) = (0.0, 0.0);
    for case in cases {
        let tally = tallies.entry(case.of.clone()).or_default();
        let learned = tally.learned(property, Some(case.book));
        if let Some(learned) = learned.filter(super::Learned::is_enough) {
            told += 1;
            error += (case.value - learned.mean).abs();
            book_error += (case.value - case.book.value()).abs();
            covered += u32::from(learned.holds(case.value, INTERVAL, case.test_sd));
        } else {
            too_early += 1;
        }
        tally.add(case.value, case.test_sd);
    }
    let count = f64::from(told);
    (told > 0).then(|| Backtest {
        told,
        too_early,
        error: error / count,
        book_error: book_error / count,
        covered: f64::from(covered) / count,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Dice, quantile};

    /// A year of tests with known truth: suppliers' means around the book with
    /// its spread, lots around their supplier, tests around the lot.
    fn year(seed: u64, between_sd: f64, test_sds: [f64; 2]) -> Vec<Case<usize>> {
        let mut dice = Dice::seeded(seed);
        let mut around = |mean: f64, sd: f64| mean + sd * quantile(dice.roll());
        let book = Book::new(0.78, 0.04).expect("a book");
        let means: Vec<f64> = (0..25).map(|_| around(book.value(), book.sd())).collect();
        let mut cases = Vec::new();
        for week in 0..52 {
            for (of, mean) in means.iter().enumerate() {
                let lot = around(*mean, between_sd);
                let test_sd = test_sds[(week + of) % 2];
                let value = around(lot, test_sd);
                cases.push(Case {
                    of,
                    value,
                    test_sd,
                    book,
                });
            }
        }
        cases
    }

    /// 1175 tests told: one standard error of 90 % is 0.9 points, so four years
    /// together lie within 88-92 % unless the interval is wrong.
    #[test]
    fn error_falls_and_the_interval_holds() {
        for (between_sd, test_sds) in [
            (0.02, [0.01, 0.01]),
            (0.03, [0.01, 0.01]),
            (0.02, [0.01, 0.02]),
            (0.015, [0.02, 0.01]),
            (0.008, [0.01, 0.02]),
        ] {
            let years: Vec<Backtest> = (1..=4)
                .map(|seed| year(seed, between_sd, test_sds))
                .filter_map(|cases| backtest(Property::Moisture, &cases))
                .collect();
            assert_eq!(years.iter().map(|one| one.told).sum::<u32>(), 4 * 25 * 47);
            for one in &years {
                assert_eq!(one.too_early, 125);
                assert!(one.better_pct() > 15.0, "{one:?}");
            }
            let covered = years.iter().map(|one| one.covered).sum::<f64>() / 4.0;
            assert!((0.88..=0.92).contains(&covered), "{between_sd}: {covered}");
        }
    }

    /// By hand: five tests of 0.70 and a sixth of 0.72 against a book of 0.78.
    #[test]
    fn one_test_told() {
        let book = Book::new(0.78, 0.04).expect("a book");
        let case = |value| Case {
            of: "a",
            value,
            test_sd: 0.01,
            book,
        };
        let mut cases = vec![case(0.70); 5];
        assert_eq!(backtest(Property::Moisture, &cases), None);
        cases.push(case(0.72));
        let of = backtest(Property::Moisture, &cases).expect("one told");
        // P = 625 + 5/0.0001; mean (0.78 x 625 + 0.70 x 50000)/50625.
        let mean = (0.78 * 625.0 + 0.70 * 50_000.0) / 50_625.0;
        assert!((of.error - (0.72 - mean)).abs() < 1e-9);
        assert!((of.book_error - 0.06).abs() < 1e-9);
        assert_eq!((of.told, of.too_early), (1, 5));
    }
}
