//! What tests say of a supplier's stream, drawn towards the book.
//!
//! Model, for lots of one supplier and stream: a lot's true value is the
//! supplier's mean θ and its own deviation, of spread σ; a test of the lot adds
//! its own error, of spread s. So a test x is normal around θ with variance
//! σ² + s². Before any test θ is normal around the book's value with the book's
//! spread S. Then θ after the tests is normal with
//!
//!   precision P = 1/S² + Σ 1/(σ² + sᵢ²),  mean (book/S² + Σ xᵢ/(σ² + sᵢ²)) / P,
//!
//! and the next lot, not yet tested, is normal around that mean with variance
//! 1/P + σ²: a new lot is not the supplier's mean. Source: normal mean with
//! normal prior, Gelman et al., Bayesian Data Analysis, chapters 2 and 5; Raiffa
//! and Schlaifer 1961 (both from memory, unverified).
//!
//! σ is not known. With [`ENOUGH_TESTS`] or more, σ² is the variance of the
//! tests less the mean variance of the tests' own error, nil at least, and
//! intervals take Student's t with n − 1 degrees of freedom for it (our choice:
//! exact where tests are alike and the book says little). With fewer, σ is the
//! book's spread and intervals are normal. Values are taken to keep around one
//! mean: a season's drift would widen σ, not move θ.

use std::collections::BTreeMap;

use crate::quantity::{normal, quantile, student, student_quantile};
use crate::words::{Said, say};

/// Tests from which a supplier's own figures may stand for the book's (our default).
pub const ENOUGH_TESTS: u32 = 5;
/// Spread of a stream's bulk density around the book's, which names none, as a
/// share of it (our default; published densities of food waste differ 3.8-fold).
pub const DENSITY_SPREAD_SHARE: f64 = 0.25;

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Property {
    /// Moisture, a share of the weight as fed.
    Moisture,
    /// Bulk density, kg/L.
    Density,
}

impl Property {
    /// What a value can be at all.
    const fn bounds(self) -> (f64, f64) {
        match self {
            Self::Moisture => (0.0, 1.0),
            Self::Density => (0.0, f64::INFINITY),
        }
    }

    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Moisture => "moisture",
            Self::Density => "bulk density",
        }
    }
}

/// What the book says of a lot without a test, in the property's unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Book {
    value: f64,
    sd: f64,
}

impl Book {
    /// A value with the spread of lots around it; `None` unless both are finite
    /// and the spread is above zero.
    pub fn new(value: f64, sd: f64) -> Option<Self> {
        (value.is_finite() && sd.is_finite() && sd > 0.0).then_some(Self { value, sd })
    }

    pub const fn value(&self) -> f64 {
        self.value
    }

    pub const fn sd(&self) -> f64 {
        self.sd
    }
}

/// Tests of one supplier's stream, as sums: adding one costs nothing.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Tally {
    count: u32,
    mean: f64,
    squares: f64,
    test_variances: f64,
    /// Count and sum of the tests of each error, by the error's bits.
    by_error: BTreeMap<u64, (u32, f64)>,
}

impl Tally {
    /// Takes one test in: its value and the standard deviation of its own error.
    /// What is not finite, or an error below zero, is not taken.
    pub fn add(&mut self, value: f64, test_sd: f64) {
        if !value.is_finite() || !test_sd.is_finite() || test_sd < 0.0 {
            return;
        }
        self.count += 1;
        let off = value - self.mean;
        self.mean += off / f64::from(self.count);
        self.squares += off * (value - self.mean);
        self.test_variances += test_sd * test_sd;
        // Adding zero makes minus zero the same error.
        let alike = self.by_error.entry((test_sd + 0.0).to_bits()).or_default();
        alike.0 += 1;
        alike.1 += value;
    }

    pub const fn count(&self) -> u32 {
        self.count
    }

    /// What they say together with the book, by the model in this file's head.
    /// `None` without a book when tests are fewer than [`ENOUGH_TESTS`].
    pub fn learned(&self, property: Property, book: Option<Book>) -> Option<Learned> {
        let own = (self.count >= ENOUGH_TESTS).then(|| {
            let of_tests = self.squares / f64::from(self.count - 1);
            (of_tests - self.test_variances / f64::from(self.count)).max(0.0)
        });
        let between = own.or_else(|| book.map(|book| book.sd.powi(2)))?;
        // Equal values by faultless tests would have all the weight there is.
        let least = 1e-12 * book.map_or(1.0, |book| book.sd.powi(2));
        let (mut precision, mut pull) = (0.0, 0.0);
        for (error, (count, sum)) in &self.by_error {
            let variance = (between + f64::from_bits(*error).powi(2)).max(least);
            precision += f64::from(*count) / variance;
            pull += sum / variance;
        }
        let of_book = book.map_or(0.0, |book| book.sd.powi(-2));
        let total = precision + of_book;
        let mean = (pull + book.map_or(0.0, |book| book.value * of_book)) / total;
        mean.is_finite().then_some(Learned {
            property,
            tests: self.count,
            book,
            mean,
            mean_sd: total.sqrt().recip(),
            between_sd: between.sqrt(),
            book_weight: of_book / total,
        })
    }
}

/// What is believed of a supplier's stream after its tests.
#[must_use]
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Learned {
    pub property: Property,
    pub tests: u32,
    /// What it was drawn towards.
    pub book: Option<Book>,
    /// The supplier's mean, and what to expect of a new lot.
    pub mean: f64,
    /// Spread of the belief in that mean.
    pub mean_sd: f64,
    /// Spread of lots around the mean.
    pub between_sd: f64,
    /// How much of the mean is the book's, 0..=1.
    pub book_weight: f64,
}

impl Learned {
    pub const fn is_enough(&self) -> bool {
        self.tests >= ENOUGH_TESTS
    }

    /// Spread of one new lot without a test: √(1/P + σ²).
    pub fn lot_sd(&self) -> f64 {
        self.mean_sd.hypot(self.between_sd)
    }

    /// Where a new lot lies with a chance; its test, if `test_sd` is that of one.
    /// Within what the property can be.
    pub fn interval(&self, chance: f64, test_sd: f64) -> (f64, f64) {
        let above = 0.5 + 0.5 * chance;
        let reach = match self.degrees() {
            Some(df) => student_quantile(above, df),
            None => quantile(above),
        };
        let reach = reach * self.lot_sd().hypot(test_sd);
        let (least, most) = self.property.bounds();
        (
            (self.mean - reach).max(least),
            (self.mean + reach).min(most),
        )
    }

    /// Whether a value lies in [`Self::interval`], without reckoning its ends.
    pub fn holds(&self, value: f64, chance: f64, test_sd: f64) -> bool {
        let off = (value - self.mean).abs() / self.lot_sd().hypot(test_sd);
        let below = match self.degrees() {
            Some(df) => student(off, df),
            None => normal(off),
        };
        below <= 0.5 + 0.5 * chance
    }

    fn degrees(&self) -> Option<u32> {
        self.is_enough().then(|| self.tests - 1)
    }

    pub fn origin(&self) -> Said {
        let own = say!("learn-origin", tests = self.tests);
        if self.book.is_none() {
            return own;
        }
        let pct = format!("{:.0}", 100.0 * self.book_weight);
        say!("learn-origin-drawn", own, pct)
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn learned(
        values: &[f64],
        test_sd: f64,
        property: Property,
        book: Option<Book>,
    ) -> Option<Learned> {
        let mut tally = Tally::default();
        for value in values {
            tally.add(*value, test_sd);
        }
        tally.learned(property, book)
    }

    /// By hand: book 0.78 ± 0.04; two tests 0.70 and 0.72 with error 0.03, so
    /// σ² + s² = 0.0016 + 0.0009 = 0.0025; P = 625 + 800 = 1425; mean
    /// (487.5 + 280 + 288)/1425 = 0.740702; spread 1/√1425 = 0.026491; of a new
    /// lot √(1/1425 + 0.0016) = 0.047977.
    #[test]
    fn two_tests_by_hand() {
        let book = Book::new(0.78, 0.04);
        let of = learned(&[0.70, 0.72], 0.03, Property::Moisture, book).expect("a book");
        let near = |seen: f64, expected: f64| assert!((seen - expected).abs() < 5e-7, "{seen}");
        near(of.mean, 0.740_702);
        near(of.mean_sd, 0.026_491);
        near(of.lot_sd(), 0.047_977);
        near(of.book_weight, 625.0 / 1425.0);
        assert_eq!(
            of.origin().in_english(),
            "2 tests of this supplier's, 44 % drawn to the book"
        );
        assert!(!of.is_enough());
        let (low, high) = of.interval(0.9, 0.0);
        // 0.740702 less and more by 1.644854 x 0.0479766.
        near(low, 0.661_787);
        near(high, 0.819_616);
    }

    /// By hand: five tests 60 to 80 in steps of 5 have variance 62.5; less 1 of
    /// the tests' own error 61.5.
    #[test]
    fn enough_tests_bring_their_own_spread() {
        let values = [60.0, 65.0, 70.0, 75.0, 80.0];
        let density = |values: &[f64]| learned(values, 1.0, Property::Density, None);
        let of = density(&values).expect("enough");
        assert!((of.between_sd.powi(2) - 61.5).abs() < 1e-9);
        assert!((of.mean - 70.0).abs() < 1e-9);
        assert!((of.mean_sd.powi(2) - 12.5).abs() < 1e-9);
        // Two-sided 90 % of Student's t with 4 degrees of freedom is 2.132.
        let (_, high) = of.interval(0.9, 1.0);
        assert!((high - 70.0 - 2.132 * 75.0_f64.sqrt()).abs() < 0.005);
        assert!(density(&values[1..]).is_none());
        // Tests alike to within their own error leave nothing between lots.
        let alike = density(&[70.0, 70.1, 69.9, 70.0, 70.0]).expect("enough");
        assert!(alike.between_sd.abs() < 1e-12);
        let wet = [0.97, 0.99, 0.98, 0.96, 1.0];
        let wet = learned(&wet, 0.01, Property::Moisture, None).expect("enough");
        assert!(wet.interval(0.9, 0.0).1 <= 1.0);
    }

    #[test]
    fn no_test_leaves_the_book() {
        let book = Book::new(0.6, 0.05).expect("a book");
        let of = learned(&[], 0.0, Property::Moisture, Some(book)).expect("a book");
        assert!((of.mean - 0.6).abs() < 1e-12 && (of.mean_sd - 0.05).abs() < 1e-12);
        assert!(Book::new(0.6, 0.0).is_none() && Book::new(f64::NAN, 1.0).is_none());
        let mut odd = Tally::default();
        odd.add(f64::NAN, 0.01);
        odd.add(0.5, -0.1);
        assert_eq!(odd, Tally::default());
    }

    proptest! {
        /// The mean lies between book and tests; more tests never widen the
        /// belief in it; the interval and the check of it agree.
        #[test]
        fn between_book_and_tests(
            values in prop::collection::vec(0.4_f64..0.9, 1..30),
            value in 0.4_f64..0.9, sd in 0.01_f64..0.2, probe in 0.0_f64..1.0,
        ) {
            let of = learned(&values, 0.01, Property::Moisture, Book::new(value, sd)).expect("a book");
            let mean = values.iter().sum::<f64>() / f64::from(of.tests);
            prop_assert!(of.mean >= mean.min(value) - 1e-9 && of.mean <= mean.max(value) + 1e-9);
            prop_assert!(of.mean_sd <= sd && of.mean_sd <= of.lot_sd());
            let (low, high) = of.interval(0.9, 0.01);
            if (probe - low).abs() > 1e-6 && (probe - high).abs() > 1e-6 {
                prop_assert_eq!(of.holds(probe, 0.9, 0.01), (low..=high).contains(&probe));
            }
        }
    }
}
