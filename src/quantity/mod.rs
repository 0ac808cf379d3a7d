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
mod number;
mod reading;
mod scale;
mod share;
mod volume;
pub mod wire;
mod word_enum;

pub use apportion::{apportioned, printed_to_add_up, shared_by_mass};
pub use chance::{normal, quantile, sample_quantile, student, student_quantile};
pub use decimal::Decimal;
pub use dice::Dice;
pub use division::{Division, SmallScale};
pub use mass::{Grams, MassUnit};
pub use money::Money;
pub use number::{NumberForm, Reader, custom_mark};
pub use reading::Reading;
pub use scale::ScaleReading;
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

/// What was wrong with a number or a unit someone typed. Each holds the text as entered.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum QuantityError {
    /// No digits where a number was expected.
    NotANumber {
        /// The text as entered.
        seen: String,
    },
    /// A number that two people could read differently.
    TwoReadings {
        /// The text as entered.
        seen: String,
        one: String,
        other: String,
        /// Whether the farm's decimal mark would settle it.
        unsaid: bool,
    },
    /// A number in the form of another place.
    OtherMark {
        /// The text as entered.
        seen: String,
        /// The same number as written here.
        meant: String,
    },
    Fraction {
        /// The text as entered.
        seen: String,
    },
    /// Pounds and ounces that are not whole pounds and fewer than sixteen ounces.
    Ounces {
        /// The text as entered.
        seen: String,
    },
    /// A number with more digits than a scale can mean.
    TooManyDigits {
        /// The text as entered.
        seen: String,
    },
    /// A weight without a unit where none is assumed.
    NoUnit {
        /// The text as entered.
        seen: String,
    },
    /// A unit that is not known here.
    UnknownUnit {
        /// The text as entered.
        seen: String,
        /// The unit in it.
        unit: String,
    },
    /// A letter that may be a scale's mark or a unit.
    AmbiguousUnit {
        /// The text as entered.
        seen: String,
        /// The letter in it.
        unit: String,
    },
    /// `ton` may be 907, 1000 or 1016 kg.
    AmbiguousTon {
        /// The text as entered.
        seen: String,
    },
    /// A scale that had not come to rest.
    Unstable {
        /// The text as typed.
        seen: String,
    },
    /// A scale that shows no weight.
    Overload {
        /// The text as typed.
        seen: String,
    },
    /// A weight below zero.
    Negative {
        /// The text as entered.
        seen: String,
    },
    /// A weight above what one entry may hold.
    TooHeavy {
        /// The text as entered.
        seen: String,
    },
    OutOfRange {
        seen: String,
        accepted: &'static str,
    },
}

impl QuantityError {
    /// What is wrong with the text, in words.
    fn problem(&self) -> String {
        match self {
            Self::NotANumber { seen } => format!("`{seen}` is not a number"),
            Self::TwoReadings {
                seen, one, other, ..
            } => {
                format!("`{seen}` can be read as {one} or as {other}")
            }
            Self::OtherMark { seen, .. } => {
                format!("`{seen}` is not written as numbers are here")
            }
            Self::Fraction { seen } => format!("`{seen}` is a fraction"),
            Self::Ounces { seen } | Self::OutOfRange { seen, .. } => {
                format!("`{seen}` is not accepted")
            }
            Self::TooManyDigits { seen } => format!("`{seen}` has too many digits"),
            Self::NoUnit { seen } => format!("`{seen}` has no unit"),
            Self::UnknownUnit { seen, unit } => {
                format!("`{unit}` in `{seen}` is not a unit known here")
            }
            Self::AmbiguousUnit { seen, unit } => {
                format!("`{unit}` in `{seen}` may be a unit or a scale's mark")
            }
            Self::AmbiguousTon { seen } => {
                format!("`ton` in `{seen}` may mean 907, 1000 or 1016 kg")
            }
            Self::Unstable { seen } => format!("`{seen}` was read while the scale moved"),
            Self::Overload { seen } => format!("`{seen}` is a scale's mark for overload or error"),
            Self::Negative { seen } => format!("`{seen}` is below zero"),
            Self::TooHeavy { seen } => format!("`{seen}` is above 100 t"),
        }
    }

    /// What is accepted instead, for messages that name field and value themselves.
    #[must_use]
    pub fn accepted(&self) -> String {
        match self {
            Self::NotANumber { .. } => {
                "digits with at most one decimal mark, and a unit, such as `32.2lb`"
            }
            Self::TwoReadings {
                one, other, unsaid, ..
            } => {
                let settled = "; the farm's setting `decimal_mark` settles it for good";
                let settled = if *unsaid { settled } else { "" };
                return format!("`{one}` or `{other}`, whichever is meant{settled}");
            }
            Self::OtherMark { meant, .. } => return format!("`{meant}`, if that is meant"),
            Self::Fraction { .. } => "decimals, such as 0.5 for a half",
            Self::Ounces { .. } => "whole pounds and less than 16 oz, such as `12lb 3oz`",
            Self::TooManyDigits { .. } => "at most 15 digits before the decimal mark",
            Self::NoUnit { .. } => "lb, oz, kg, g or t after the number",
            Self::UnknownUnit { .. } => {
                "a number with lb, oz, kg, g or t, such as `32.2lb` or `12lb 3oz`"
            }
            Self::AmbiguousUnit { .. } => "small letters: `g` for grams, `t` for 1000 kg",
            Self::AmbiguousTon { .. } => {
                "lb, kg, or t for 1000 kg (`ton` may mean 907, 1000 or 1016 kg)"
            }
            Self::Unstable { .. } => {
                "a reading at rest, not one from while the scale moved: weigh again"
            }
            Self::Overload { .. } => "a weight, not a scale's mark for overload or error",
            Self::Negative { .. } => "a weight of zero or more",
            Self::TooHeavy { .. } => "at most 100 t in one entry",
            Self::OutOfRange { accepted, .. } => accepted,
        }
        .to_owned()
    }
}

impl QuantityError {
    /// The same refusal where no weight is read, but what `accepted` says.
    fn of(self, accepted: &'static str) -> Self {
        match self {
            Self::NotANumber { seen } => Self::OutOfRange { seen, accepted },
            other => other,
        }
    }
}

impl std::fmt::Display for QuantityError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}; accepted: {}", self.problem(), self.accepted())
    }
}

impl std::error::Error for QuantityError {}

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
