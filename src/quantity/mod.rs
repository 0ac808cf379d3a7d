//! Quantities: what a number in this program means.
//!
//! Owns weights as whole grams, units as the scale shows them, shares as fed
//! and of dry matter (two types that can't be mixed up), litres and density,
//! money in whole hundredths, the one rounding rule (to the nearest, ties away
//! from zero), shares that add up, and what chance needs: the normal
//! distribution, Student's t, quantiles, repeatable dice.
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
mod mass;
mod money;
mod reading;
mod scale;
mod share;
mod volume;
mod word_enum;

pub use apportion::{apportioned, printed_to_add_up, shared_by_mass};
pub use chance::{normal, quantile, sample_quantile, student, student_quantile};
pub use decimal::Decimal;
pub use dice::Dice;
pub use division::{Division, SmallScale};
pub use mass::{Grams, MassUnit};
pub use money::Money;
pub use reading::Reading;
pub use scale::scale_reading;
pub use share::{ShareAsFed, ShareOfDry};
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
pub enum QuantityError {
    /// No digits where a number was expected.
    #[error(
        "`{seen}` is not a number; accepted: digits with at most one decimal point or comma, such as `32.2`"
    )]
    NotANumber {
        /// The text as entered.
        seen: String,
    },
    /// A number with more digits than a scale can mean.
    #[error("`{seen}` has too many digits; accepted: at most 15")]
    TooManyDigits {
        /// The text as entered.
        seen: String,
    },
    /// A weight without a unit where none is assumed.
    #[error("`{seen}` has no unit; accepted: lb, oz, kg, g or t after the number")]
    NoUnit {
        /// The text as entered.
        seen: String,
    },
    /// A unit that is not known here.
    #[error("`{unit}` in `{seen}` is not a unit known here; accepted: lb, oz, kg, g or t")]
    UnknownUnit {
        /// The text as entered.
        seen: String,
        /// The unit in it.
        unit: String,
    },
    /// `ton` may be 907, 1000 or 1016 kg.
    #[error("`ton` in `{seen}` may mean 907, 1000 or 1016 kg; accepted: lb, kg, or t for 1000 kg")]
    AmbiguousTon {
        /// The text as entered.
        seen: String,
    },
    /// A scale that had not come to rest.
    #[error("`{seen}` was read while the scale moved; accepted: a reading at rest, weigh again")]
    Unstable {
        /// The text as typed.
        seen: String,
    },
    /// A scale that shows no weight.
    #[error("`{seen}` is a scale's mark for overload or error; accepted: a weight")]
    Overload {
        /// The text as typed.
        seen: String,
    },
    /// A weight below zero.
    #[error("`{seen}` is below zero; accepted: a weight of zero or more")]
    Negative {
        /// The text as entered.
        seen: String,
    },
    /// A weight above what one entry may hold.
    #[error("`{seen}` is above 100 t; accepted: at most 100 t in one entry")]
    TooHeavy {
        /// The text as entered.
        seen: String,
    },
    /// A number outside its range.
    #[error("`{seen}` is not accepted; accepted: {accepted}")]
    OutOfRange {
        /// The value as seen.
        seen: String,
        /// What is accepted.
        accepted: &'static str,
    },
}

impl QuantityError {
    /// What is accepted instead, for messages that name field and value themselves.
    #[must_use]
    pub const fn accepted(&self) -> &'static str {
        match self {
            Self::NotANumber { .. } => {
                "digits with at most one decimal point or comma, and a unit, such as `32.2lb`"
            }
            Self::TooManyDigits { .. } => "at most 15 digits",
            Self::NoUnit { .. } => "lb, oz, kg, g or t after the number",
            Self::UnknownUnit { .. } => {
                "a number with lb, oz, kg, g or t, such as `32.2lb` or `12lb 3oz`"
            }
            Self::AmbiguousTon { .. } => {
                "lb, kg, or t for 1000 kg (`ton` may mean 907, 1000 or 1016 kg)"
            }
            Self::Unstable { .. } => "a reading at rest: weigh again",
            Self::Overload { .. } => "a weight, not a scale's mark for overload or error",
            Self::Negative { .. } => "a weight of zero or more",
            Self::TooHeavy { .. } => "at most 100 t in one entry",
            Self::OutOfRange { accepted, .. } => accepted,
        }
    }
}

/// Rounds `numerator / denominator` to the nearest whole number, ties away
/// from zero. `denominator` must be above zero.
///
/// This is the only rounding rule for weights (our default; scales round so).
#[must_use]
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
        assert_eq!(round_ratio(5, 2), 3);
        assert_eq!(round_ratio(-5, 2), -3);
        assert_eq!(round_ratio(4, 3), 1);
        assert_eq!(round_ratio(5, 3), 2);
        assert_eq!(round_ratio(-4, 3), -1);
    }
}
