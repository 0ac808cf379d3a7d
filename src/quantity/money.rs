use std::fmt;

use serde::{Deserialize, Serialize};

use super::{Decimal, QuantityError, Reader, Refused, apportioned, round_ratio, whole};
use crate::words::say;

/// An amount in whole hundredths of the farm's currency. May be below zero
/// where it is a difference.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize,
)]
#[serde(transparent)]
pub struct Money(i64);

/// Most in one entry: a thousand million of the currency.
const MOST: i128 = 100_000_000_000;

impl Money {
    /// Reads `812.40`, `-96` as programs write it.
    ///
    /// # Errors
    /// When it is no number, has more than two decimals, zeros too, or is
    /// beyond what one entry may hold.
    pub fn parse(text: &str) -> Result<Self, QuantityError> {
        Reader::PLAIN.money(text)
    }

    /// In units of the currency, for arithmetic that ends in a price.
    pub fn units(self) -> f64 {
        self.0 as f64 / 100.0
    }

    /// The nearest hundredth to so many units of the currency; nothing for what
    /// is no number, the most one entry may hold for what is beyond it.
    pub fn nearest(units: f64) -> Self {
        #[expect(
            clippy::cast_possible_truncation,
            reason = "bounded on the line above; no number becomes zero"
        )]
        let hundredths = (units * 100.0).clamp(-1e11, 1e11).round() as i64;
        Self(hundredths)
    }

    /// What so many minutes cost at this much an hour, to the nearest hundredth.
    pub fn for_minutes(self, minutes: i64) -> Self {
        let hundredths = round_ratio(i128::from(self.0) * i128::from(minutes), 60);
        Self(i64::try_from(hundredths).unwrap_or(i64::MAX))
    }

    /// Shares by weights that sum to it exactly; `None` when the weights sum to
    /// nothing or one is below zero.
    pub fn shared(self, weights: &[i64]) -> Option<Vec<Self>> {
        let shares = apportioned(self.0, weights)?;
        Some(shares.into_iter().map(Self).collect())
    }
}

impl Reader {
    /// An amount of money: at most two decimals.
    pub fn money(self, text: &str) -> Result<Money, QuantityError> {
        let accepted = || say!("accepted-money");
        let refused = || Refused::OutOfRange(accepted()).of(text);
        let amount = self.form.number(text).map_err(|error| match error.why {
            // `3.005` is one amount at most.
            Refused::TwoReadings { .. } if !text.trim_end().ends_with('0') => refused(),
            _ => error.of(accepted()),
        })?;
        if let Some(error) = self.form.thousands_too(amount, text) {
            return Err(error);
        }
        let hundredths = amount.numerator() * 100 / amount.denominator();
        i64::try_from(hundredths)
            .ok()
            .filter(|_| amount.places() <= 2 && hundredths.abs() <= MOST)
            .map(Money)
            .ok_or_else(refused)
    }
}

whole!(Money: hundredths);

impl fmt::Display for Money {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        Decimal::new(self.0, 2).fmt(f)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hundredths_as_typed_and_printed() {
        for (text, printed) in [
            ("812.40", "812.40"),
            ("812.4", "812.40"),
            ("-0.05", "-0.05"),
            ("96", "96.00"),
        ] {
            let money = Money::parse(text).expect(text);
            assert_eq!(money.to_string(), printed);
        }
        for text in ["", "1.005", "1.500", "0.500", "x", "1e3", "99999999999"] {
            assert!(Money::parse(text).is_err(), "{text}");
        }
    }

    #[test]
    fn minutes_and_shares() {
        let rate = Money::new(1_850); // 18.50 an hour
        assert_eq!(rate.for_minutes(50), Money::new(1_542)); // 15.4166...
        let shares = Money::new(100).shared(&[1, 1, 1]).expect("shares");
        assert_eq!(shares, [34, 33, 33].map(Money::new));
        assert_eq!(Money::new(100).shared(&[0, 0]), None);
    }
}
