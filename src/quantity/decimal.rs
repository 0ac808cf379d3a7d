use std::fmt;

use super::QuantityError;

/// A decimal number exactly as typed: `digits / 10^places`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Decimal {
    digits: i64,
    places: u8,
}

const DIGITS_MAX: usize = 15;

impl Decimal {
    /// Reads digits with at most one decimal point or comma and an optional
    /// sign. Exponents, `NaN`, infinities and digit grouping are refused:
    /// a scale never shows them.
    pub fn parse(text: &str) -> Result<Self, QuantityError> {
        let trimmed = text.trim();
        let not_a_number = || QuantityError::NotANumber {
            seen: trimmed.to_owned(),
        };
        let (negative, unsigned) = match trimmed.strip_prefix('-') {
            Some(rest) => (true, rest),
            None => (false, trimmed.strip_prefix('+').unwrap_or(trimmed)),
        };
        let mut digits: i64 = 0;
        let mut significant = 0;
        let mut places: Option<u8> = None;
        let mut seen_digit = false;
        for character in unsigned.chars() {
            match character {
                '.' | ',' if places.is_none() => places = Some(0),
                _ => {
                    let digit = character.to_digit(10).ok_or_else(not_a_number)?;
                    seen_digit = true;
                    if significant > 0 || digit > 0 {
                        significant += 1;
                    }
                    if let Some(count) = &mut places {
                        *count += 1;
                    }
                    if significant > DIGITS_MAX || places.unwrap_or(0) as usize > DIGITS_MAX {
                        return Err(QuantityError::TooManyDigits {
                            seen: trimmed.to_owned(),
                        });
                    }
                    digits = digits * 10 + i64::from(digit);
                }
            }
        }
        if !seen_digit {
            return Err(not_a_number());
        }
        Ok(Self {
            digits: if negative { -digits } else { digits },
            places: places.unwrap_or(0),
        })
    }

    /// Numerator over the power of ten in [`Decimal::denominator`].
    #[must_use]
    pub fn numerator(self) -> i128 {
        i128::from(self.digits)
    }

    /// The power of ten below the numerator.
    #[must_use]
    pub fn denominator(self) -> i128 {
        10_i128.pow(u32::from(self.places))
    }

    /// Nearest `f64`, for prices and shares; weights stay exact.
    #[must_use]
    pub fn to_f64(self) -> f64 {
        #[expect(
            clippy::cast_precision_loss,
            reason = "at most 15 digits fit an f64 exactly"
        )]
        let digits = self.digits as f64;
        digits / 10_f64.powi(i32::from(self.places))
    }

    /// Digits behind the point, as typed.
    #[must_use]
    pub fn places(self) -> u8 {
        self.places
    }
}

impl fmt::Display for Decimal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let scale = 10_i64.pow(u32::from(self.places));
        let sign = if self.digits < 0 { "-" } else { "" };
        let magnitude = self.digits.abs();
        if self.places == 0 {
            write!(f, "{sign}{magnitude}")
        } else {
            write!(
                f,
                "{sign}{}.{:0width$}",
                magnitude / scale,
                magnitude % scale,
                width = usize::from(self.places)
            )
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn point_and_comma_mean_the_same() {
        assert_eq!(Decimal::parse("32.20"), Decimal::parse(" 32,20 "));
        assert_eq!(
            Decimal::parse("32.20").map(|d| d.to_string()),
            Ok("32.20".into())
        );
        assert_eq!(
            Decimal::parse("-0.05").map(|d| d.to_string()),
            Ok("-0.05".into())
        );
    }

    #[test]
    fn what_no_scale_shows_is_refused() {
        for text in [
            "", ".", "NaN", "inf", "1e308", "1,234.5", "1.2.3", "12 3", "٣",
        ] {
            assert!(Decimal::parse(text).is_err(), "{text}");
        }
        assert!(matches!(
            Decimal::parse("1234567890123456"),
            Err(QuantityError::TooManyDigits { .. })
        ));
    }
}
