use super::{Decimal, Grams, MassUnit, QuantityError};

/// A weight as someone entered it, with the whole grams it means.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reading {
    text: String,
    grams: Grams,
    unit: MassUnit,
}

const HEAVIEST: Grams = Grams::new(100_000_000);

impl Reading {
    /// Reads `32.2lb`, `14,6 kg`, `12 lb 3 oz`; a bare number takes
    /// `unit_if_none`. The result is zero or more, at most 100 t.
    ///
    /// # Errors
    /// Says what was seen and what is accepted.
    pub fn parse(text: &str, unit_if_none: Option<MassUnit>) -> Result<Self, QuantityError> {
        let seen = text.trim();
        let mut total = Grams::ZERO;
        let mut first_unit = None;
        for (position, (number, word)) in parts(seen).into_iter().enumerate() {
            let unit = unit_of(seen, word, unit_if_none, first_unit)?;
            if position > 1 {
                return Err(QuantityError::UnknownUnit {
                    seen: seen.to_owned(),
                    unit: word.to_owned(),
                });
            }
            let amount = Decimal::parse(number)?;
            if amount.numerator() < 0 {
                return Err(QuantityError::Negative {
                    seen: seen.to_owned(),
                });
            }
            let grams = unit.to_grams(amount);
            if grams > HEAVIEST {
                return Err(QuantityError::TooHeavy {
                    seen: seen.to_owned(),
                });
            }
            total += grams;
            first_unit.get_or_insert(unit);
        }
        let unit = first_unit.ok_or_else(|| QuantityError::NotANumber {
            seen: seen.to_owned(),
        })?;
        // Pounds and ounces are one reading: round it once, not twice. With more
        // digits than the product can hold, a gram's rounding is all it costs.
        let grams = if unit == MassUnit::Lb {
            exact_pounds_and_ounces(seen).unwrap_or(total)
        } else {
            total
        };
        if grams > HEAVIEST {
            return Err(QuantityError::TooHeavy {
                seen: seen.to_owned(),
            });
        }
        Ok(Self {
            text: seen.to_owned(),
            grams,
            unit,
        })
    }

    /// The same weight with the whole line it was read from.
    pub(super) fn typed_as(mut self, line: &str) -> Self {
        line.clone_into(&mut self.text);
        self
    }

    /// Whole grams, nearest, ties away from zero.
    #[must_use]
    pub fn grams(&self) -> Grams {
        self.grams
    }

    /// The text as entered, without outer blanks.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The unit it was read in.
    #[must_use]
    pub fn unit(&self) -> MassUnit {
        self.unit
    }
}

fn unit_of(
    seen: &str,
    word: &str,
    unit_if_none: Option<MassUnit>,
    first_unit: Option<MassUnit>,
) -> Result<MassUnit, QuantityError> {
    let unknown = || QuantityError::UnknownUnit {
        seen: seen.to_owned(),
        unit: word.to_owned(),
    };
    let unit = if word.is_empty() {
        unit_if_none.ok_or_else(|| QuantityError::NoUnit {
            seen: seen.to_owned(),
        })?
    } else if matches!(word.to_ascii_lowercase().as_str(), "ton" | "tons") {
        return Err(QuantityError::AmbiguousTon {
            seen: seen.to_owned(),
        });
    } else {
        MassUnit::from_word(word).ok_or_else(unknown)?
    };
    match (first_unit, unit) {
        (None, _) | (Some(MassUnit::Lb), MassUnit::Oz)
            if !(first_unit.is_some() && word.is_empty()) =>
        {
            Ok(unit)
        }
        _ => Err(unknown()),
    }
}

/// Splits into (number, unit word) pairs: `12 lb 3 oz` gives two.
fn parts(text: &str) -> Vec<(&str, &str)> {
    let mut found = Vec::new();
    let mut rest = text.trim();
    while !rest.is_empty() {
        let number_end = rest.find(char::is_alphabetic).unwrap_or(rest.len());
        let (number, tail) = rest.split_at(number_end);
        let word_end = tail
            .find(|c: char| !c.is_alphabetic())
            .unwrap_or(tail.len());
        let (word, next) = tail.split_at(word_end);
        found.push((number.trim(), word));
        rest = next.trim_start();
    }
    found
}

fn exact_pounds_and_ounces(text: &str) -> Option<Grams> {
    let found = parts(text);
    let [(pounds, _), (ounces, _)] = found.as_slice() else {
        return None;
    };
    let pounds = Decimal::parse(pounds).ok()?;
    let ounces = Decimal::parse(ounces).ok()?;
    let numerator = pounds
        .numerator()
        .checked_mul(16)?
        .checked_mul(ounces.denominator())?
        .checked_add(ounces.numerator().checked_mul(pounds.denominator())?)?
        .checked_mul(45_359_237)?;
    let denominator = pounds
        .denominator()
        .checked_mul(ounces.denominator())?
        .checked_mul(1_600_000)?;
    // Rounding adds half the denominator.
    numerator.checked_add(denominator)?;
    let grams = super::round_ratio(numerator, denominator);
    Some(Grams::new(i64::try_from(grams).ok()?))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn grams(text: &str) -> i64 {
        Reading::parse(text, None).expect(text).grams().get()
    }

    #[test]
    fn what_staff_type() {
        assert_eq!(grams("32.2lb"), 14_606); // 14605.674...
        assert_eq!(grams("32,2 lbs"), 14_606);
        assert_eq!(grams(" 14.6 kg "), 14_600);
        assert_eq!(grams("12 lb 3 oz"), 5_528); // 195 oz x 28.349523125 = 5528.157
        assert_eq!(grams("12lb3oz"), 5_528);
        assert_eq!(grams("600g"), 600);
        assert_eq!(
            grams("99999.9999999999 lb 0.999999999999999 oz"),
            45_359_265
        );
        let bare = Reading::parse("32.2", Some(MassUnit::Lb)).expect("bare number");
        assert_eq!((bare.grams().get(), bare.unit()), (14_606, MassUnit::Lb));
    }

    #[test]
    fn what_is_refused_and_why() {
        let refused = |text| Reading::parse(text, None).expect_err(text);
        assert!(matches!(refused("32.2"), QuantityError::NoUnit { .. }));
        assert!(matches!(
            refused("3 stone"),
            QuantityError::UnknownUnit { .. }
        ));
        assert!(matches!(
            refused("2 tons"),
            QuantityError::AmbiguousTon { .. }
        ));
        assert!(matches!(refused("-1 kg"), QuantityError::Negative { .. }));
        assert!(matches!(refused("101 t"), QuantityError::TooHeavy { .. }));
        assert!(matches!(
            refused("220000 lb 500000 oz"),
            QuantityError::TooHeavy { .. }
        ));
        assert!(matches!(
            refused("1 lb 2 oz 3 oz"),
            QuantityError::UnknownUnit { .. }
        ));
        assert!(matches!(refused(""), QuantityError::NotANumber { .. }));
        assert!(matches!(refused("kg"), QuantityError::NotANumber { .. }));
        assert!(matches!(
            refused("1e308 kg"),
            QuantityError::UnknownUnit { .. }
        ));
        assert!(matches!(
            refused("NaN kg"),
            QuantityError::NotANumber { .. } | QuantityError::UnknownUnit { .. }
        ));
        assert!(matches!(
            refused("3 oz 2 lb"),
            QuantityError::UnknownUnit { .. }
        ));
        assert!(Reading::parse("3 lb 2", Some(MassUnit::Lb)).is_err());
    }
}
