use std::fmt;

/// A decimal number as typed: `digits / 10^places`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Decimal {
    digits: i64,
    places: u8,
}

/// Digits before the mark: more is no weight, price or count.
const WHOLE_MOST: usize = 15;
/// Digits kept in all, and places behind the mark. Programs print numbers with
/// more (an average has no end); what is beyond is rounded off.
const DIGITS_MOST: usize = 18;
const PLACES_MOST: u8 = 24;

impl Decimal {
    /// So many units of the last place.
    pub(super) const fn new(digits: i64, places: u8) -> Self {
        Self { digits, places }
    }

    /// From digits before and behind the mark; `None` when there are too many before it.
    pub(super) fn of(negative: bool, whole: &str, behind: &str) -> Option<Self> {
        let whole = whole.trim_start_matches('0');
        if whole.len() > WHOLE_MOST {
            return None;
        }
        let (mut digits, mut kept, mut places) = (0_i64, 0, 0_u8);
        for (position, byte) in whole.bytes().chain(behind.bytes()).enumerate() {
            let digit = i64::from(byte - b'0');
            if kept == DIGITS_MOST || places == PLACES_MOST {
                digits += i64::from(digit >= 5);
                break;
            }
            digits = digits * 10 + digit;
            kept += usize::from(digits != 0);
            places += u8::from(position >= whole.len());
        }
        Some(Self {
            digits: if negative { -digits } else { digits },
            places,
        })
    }

    pub fn numerator(self) -> i128 {
        i128::from(self.digits)
    }

    pub fn denominator(self) -> i128 {
        10_i128.pow(u32::from(self.places))
    }

    /// Nearest `f64`, for prices and shares; weights stay exact.
    pub fn to_f64(self) -> f64 {
        // Rounded once, by the one who knows how.
        format!("{}e-{}", self.digits, self.places)
            .parse()
            .unwrap_or(f64::NAN)
    }

    /// Digits behind the point, as typed.
    pub fn places(self) -> u8 {
        self.places
    }
}

impl fmt::Display for Decimal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.digits < 0 { "-" } else { "" };
        let magnitude = self.numerator().abs();
        if self.places == 0 {
            return write!(f, "{sign}{magnitude}");
        }
        let scale = self.denominator();
        write!(
            f,
            "{sign}{}.{:0width$}",
            magnitude / scale,
            magnitude % scale,
            width = usize::from(self.places)
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Refused;

    #[test]
    fn what_programs_write_comes_back() {
        for text in ["32.20", "-0.05", "0", "999999999999999", "0.000000000001"] {
            let read = Decimal::parse(text).map(|number| number.to_string());
            assert_eq!(read.as_deref(), Ok(text));
        }
    }

    /// An average of two hundred numbers has no end, and is a number all the same.
    #[test]
    fn numbers_with_many_digits_are_taken() {
        for text in [
            "62.22106726694515",
            "0.30000000000000004",
            "62.221067266945151234567890123456789",
            "0.000000000000000000000000000000123",
        ] {
            let plain: f64 = text.parse().expect("a number");
            let read = Decimal::parse(text).expect(text).to_f64();
            assert!(
                (read - plain).abs() <= 1e-15 * plain.abs().max(1.0),
                "{text} {read}"
            );
        }
        let many = Decimal::parse("1234567890123456").expect_err("too many");
        assert_eq!(many.why, Refused::TooManyDigits);
    }
}
