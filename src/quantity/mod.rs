//! Quantities: what a number in this program means.
//!
//! Owns weights as whole grams, units as the scale shows them, shares as fed
//! and of dry matter (two types that can't be mixed up), litres and density,
//! money in whole hundredths, the one rounding rule (to the nearest, ties away
//! from zero), shares that add up, and what chance needs: the normal
//! distribution, Student's t, quantiles, repeatable dice; and the weights a month
//! is told by.
//!
//! Must not know: streams, files, clocks or people.
//!
//! Invariants: a [`Grams`] is a whole number of grams; a share lies in 0..=1
//! and was checked when it was made; a [`Reading`] keeps the text as entered.

mod apportion;
mod chance;
mod decimal;
mod dice;
mod division;
mod flow;
mod mass;
mod money;
mod number;
mod reader;
mod reading;
mod scale;
mod share;
mod shared_name;
mod units;
mod volume;
pub mod wire;
mod word_enum;

pub use apportion::{apportioned, printed_to_add_up, shared_by_mass};
pub use chance::{normal, quantile, sample_quantile, student, student_quantile};
pub use decimal::Decimal;
pub use dice::Dice;
pub use division::{Division, SmallScale};
pub use flow::Flow;
pub use mass::{Grams, MassUnit};
pub use money::Money;
pub use number::{NumberForm, counted, custom_mark};
pub use reader::Reader;
pub use reading::Reading;
pub use scale::ScaleReading;
pub use share::{ShareAsFed, ShareOfDry};
pub use shared_name::{SHARES_WITH, meet, sharing};
pub use units::Units;
use volume::US_GALLON_L;
pub use volume::{Density, Litres};
pub(crate) use word_enum::word_enum;

word_enum!(
    /// What stands between whole numbers and parts of one.
    DecimalMark {
        /// A point: `12.5`.
        Point = "point",
        /// A comma: `12,5`.
        Comma = "comma",
    }
);

/// What was wrong with a number or a unit someone typed.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{seen}` is not accepted; accepted: {}", self.accepted().in_english())]
pub struct QuantityError {
    pub seen: String,
    pub why: Refused,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Refused {
    NotANumber,
    /// A number that two people could read differently.
    TwoReadings {
        one: String,
        other: String,
        /// Whether the farm's decimal mark would settle it.
        unsaid: bool,
    },
    /// A number in the form of another place, and the same as written here.
    OtherMark(String),
    Fraction,
    /// Pounds and ounces that are not whole pounds and fewer than sixteen ounces.
    Ounces,
    /// A number with more digits than a scale can mean.
    TooManyDigits,
    /// A weight without a unit where none is assumed.
    NoUnit,
    UnknownUnit(String),
    /// A letter that may be a scale's mark or a unit.
    AmbiguousUnit(String),
    /// `ton` may be 907, 1000 or 1016 kg.
    AmbiguousTon,
    /// A scale that had not come to rest.
    Unstable,
    /// A scale that shows no weight.
    Overload,
    Negative,
    /// A weight above what one entry may hold.
    TooHeavy,
    /// Anything else, with what is accepted.
    OutOfRange(Said),
}

impl Refused {
    /// The refusal of a text, without outer blanks.
    fn of(self, seen: &str) -> QuantityError {
        let seen = seen.trim().to_owned();
        QuantityError { seen, why: self }
    }
}

impl QuantityError {
    /// What is accepted instead.
    pub fn accepted(&self) -> Said {
        match &self.why {
            Refused::NotANumber => say!("accepted-weight"),
            Refused::TwoReadings { one, other, unsaid } => {
                say!("accepted-one-reading", one, other, unsaid)
            }
            Refused::OtherMark(meant) => say!("accepted-if-meant", meant),
            Refused::Fraction => say!("accepted-decimals"),
            Refused::Ounces => say!("accepted-ounces"),
            Refused::TooManyDigits => say!("accepted-digits"),
            Refused::NoUnit => say!("accepted-unit-after"),
            Refused::UnknownUnit(_) => say!("accepted-with-unit"),
            Refused::AmbiguousUnit(_) => say!("accepted-small-letters"),
            Refused::AmbiguousTon => say!("accepted-not-ton"),
            Refused::Unstable => say!("accepted-at-rest"),
            Refused::Overload => say!("accepted-no-overload"),
            Refused::Negative => say!("accepted-not-below-zero"),
            Refused::TooHeavy => say!("accepted-up-to-100t"),
            Refused::OutOfRange(accepted) => accepted.clone(),
        }
    }

    /// The same refusal where no weight is read, but what `accepted` says.
    fn of(mut self, accepted: Said) -> Self {
        if self.why == Refused::NotANumber {
            self.why = Refused::OutOfRange(accepted);
        }
        self
    }
}

/// The number where it lies in the range, which no infinite one does.
pub(crate) fn within(
    number: f64,
    range: std::ops::RangeInclusive<f64>,
    accepted: fn() -> Said,
) -> Result<f64, QuantityError> {
    let refused = || Refused::OutOfRange(accepted()).of(&number.to_string());
    range
        .contains(&number)
        .then_some(number)
        .ok_or_else(refused)
}

/// The text before the first letter of a kind, and from there on.
fn split_before(text: &str, first: impl Fn(char) -> bool) -> (&str, &str) {
    text.split_at(text.find(first).unwrap_or(text.len()))
}

/// A whole number of something, with sums and differences.
macro_rules! whole {
    ($name:ident: $get:ident) => {
        impl $name {
            pub const ZERO: Self = Self(0);

            pub const fn new(whole: i64) -> Self {
                Self(whole)
            }

            pub const fn $get(self) -> i64 {
                self.0
            }
        }
        impl ::std::ops::Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }
        impl ::std::ops::Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }
        impl ::std::ops::Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }
        impl ::std::ops::AddAssign for $name {
            fn add_assign(&mut self, other: Self) {
                self.0 += other.0;
            }
        }
        impl ::std::ops::SubAssign for $name {
            fn sub_assign(&mut self, other: Self) {
                self.0 -= other.0;
            }
        }
        impl ::std::iter::Sum for $name {
            fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
                all.fold(Self::ZERO, ::std::ops::Add::add)
            }
        }
    };
}
use crate::words::{Said, say};
use whole;

/// Rounds `numerator / denominator` to the nearest whole number, ties away
/// from zero. `denominator` must be above zero.
///
/// This is the only rounding rule for weights (our default; scales round so).
pub fn round_ratio(numerator: i128, denominator: i128) -> i128 {
    debug_assert!(denominator > 0);
    let half = denominator / 2;
    let magnitude = (numerator.abs() + half) / denominator;
    // An odd denominator has no exact tie, so adding its floored half is right there too.
    if numerator < 0 { -magnitude } else { magnitude }
}

#[cfg(test)]
mod tests {
    use super::round_ratio;

    #[test]
    fn ties_go_away_from_zero() {
        for (above, below, whole) in [(5, 2, 3), (-5, 2, -3), (4, 3, 1), (5, 3, 2), (-4, 3, -1)] {
            assert_eq!(round_ratio(above, below), whole);
        }
    }
}
