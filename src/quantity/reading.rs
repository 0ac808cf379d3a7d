use super::{Grams, MassUnit, QuantityError, Reader, round_ratio};

/// A weight as someone entered it, with the whole grams it means.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reading {
    text: String,
    grams: Grams,
    unit: MassUnit,
}

const HEAVIEST: Grams = Grams::new(100_000_000);
const OUNCES_IN_POUND: i128 = 16;

impl Reading {
    /// Reads one number with its unit, or whole pounds and fewer than sixteen ounces.
    pub(super) fn read(text: &str, reader: Reader) -> Result<Self, QuantityError> {
        let seen = text.trim();
        let found = parts(seen);
        let (unit, grams) = match found.as_slice() {
            [(number, word)] => {
                let unit = unit_of(seen, word, reader.unit)?;
                (unit, unit.to_grams(reader.form.number(number)?))
            }
            [(pounds, pound), (ounces, ounce)]
                if unit_of(seen, pound, None)? == MassUnit::Lb
                    && unit_of(seen, ounce, None)? == MassUnit::Oz =>
            {
                (
                    MassUnit::Lb,
                    pounds_and_ounces(seen, pounds, ounces, reader)?,
                )
            }
            [_, (_, word), ..] => {
                return Err(QuantityError::UnknownUnit {
                    seen: seen.to_owned(),
                    unit: (*word).to_owned(),
                });
            }
            [] => {
                return Err(QuantityError::NotANumber {
                    seen: seen.to_owned(),
                });
            }
        };
        if seen.starts_with('-') && grams != Grams::ZERO {
            return Err(QuantityError::Negative {
                seen: seen.to_owned(),
            });
        }
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

/// The unit a word means here. A lone `G` may be a scale's mark for gross, a
/// lone `T` one for tare, so neither is taken for a unit.
fn unit_of(
    seen: &str,
    word: &str,
    unit_if_none: Option<MassUnit>,
) -> Result<MassUnit, QuantityError> {
    let (seen, unit) = (seen.to_owned(), word.to_owned());
    match word {
        "" => unit_if_none.ok_or(QuantityError::NoUnit { seen }),
        "G" | "T" => Err(QuantityError::AmbiguousUnit { seen, unit }),
        _ => match word.to_ascii_lowercase().as_str() {
            "ton" | "tons" => Err(QuantityError::AmbiguousTon { seen }),
            _ => MassUnit::from_word(word).ok_or(QuantityError::UnknownUnit { seen, unit }),
        },
    }
}

/// Splits into (number, unit word) pairs: `12 lb 3 oz` gives two.
fn parts(text: &str) -> Vec<(&str, &str)> {
    let mut found = Vec::new();
    let mut rest = text;
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

/// One reading, so rounded once. Sixteen ounces are a pound, so `12lb20oz` is
/// a slip of `12.20` or of the unit.
fn pounds_and_ounces(
    seen: &str,
    pounds: &str,
    ounces: &str,
    reader: Reader,
) -> Result<Grams, QuantityError> {
    let whole = reader.form.count(pounds);
    let part = reader.form.number(ounces)?;
    let most = OUNCES_IN_POUND * part.denominator();
    match whole {
        Ok(whole) if (0..most).contains(&part.numerator()) && !ounces.starts_with(['-', '+']) => {
            let sixteenths = i128::from(whole) * most + part.numerator();
            let (numerator, denominator) = MassUnit::Oz.grams_ratio();
            let grams = round_ratio(sixteenths * numerator, part.denominator() * denominator);
            Ok(Grams::new(i64::try_from(grams).unwrap_or(i64::MAX)))
        }
        _ => Err(QuantityError::Ounces {
            seen: seen.to_owned(),
        }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::NumberForm;

    const HAND: Reader = Reader {
        form: NumberForm::Point,
        unit: Some(MassUnit::Lb),
    };

    fn grams(text: &str) -> i64 {
        Reader::PLAIN.weight(text).expect(text).grams().get()
    }

    #[test]
    fn what_staff_type() {
        assert_eq!(grams("32.2lb"), 14_606); // 14605.674...
        assert_eq!(grams("32.2 lbs"), 14_606);
        assert_eq!(grams(" 14.6 kg "), 14_600);
        assert_eq!(grams("12 lb 3 oz"), 5_528); // 195 oz x 28.349523125 = 5528.157
        assert_eq!(grams("12lb3oz"), 5_528);
        assert_eq!(grams("600g"), 600);
        assert_eq!(grams("99999 lb 15.999999999999999 oz"), 45_359_237);
        let bare = HAND.weight("32.2").expect("bare number");
        assert_eq!((bare.grams().get(), bare.unit()), (14_606, MassUnit::Lb));
    }

    /// What was once read as something else, and exit code 0.
    #[test]
    fn thousands_are_thousands() {
        let read = |text| HAND.weight(text).map(|reading| reading.grams().get());
        assert_eq!(read("1,250 lb"), Ok(566_990));
        assert_eq!(read("1,000lb"), Ok(453_592));
        assert_eq!(read("3'500 g"), Ok(3_500));
        assert_eq!(read("1 234.5 kg"), Ok(1_234_500));
        assert_eq!(read("1 200 g"), Ok(1_200));
        assert!(matches!(
            read("1/2 lb"),
            Err(QuantityError::Fraction { .. })
        ));
        for text in ["12lb20oz", "12 lb 16 oz", "12.5 lb 3 oz", "12 lb -3 oz"] {
            assert!(
                matches!(read(text), Err(QuantityError::Ounces { .. })),
                "{text}"
            );
        }
    }

    #[test]
    fn what_is_refused_and_why() {
        let refused = |text| Reader::PLAIN.weight(text).expect_err(text);
        assert!(matches!(refused("32.2"), QuantityError::NoUnit { .. }));
        assert!(matches!(
            refused("2 tons"),
            QuantityError::AmbiguousTon { .. }
        ));
        assert!(matches!(refused("-1 kg"), QuantityError::Negative { .. }));
        assert!(matches!(refused("101 t"), QuantityError::TooHeavy { .. }));
        assert!(matches!(
            refused("220462 lb 15 oz"),
            QuantityError::TooHeavy { .. }
        ));
        for text in ["600 G", "1 T"] {
            assert!(
                matches!(refused(text), QuantityError::AmbiguousUnit { .. }),
                "{text}"
            );
        }
        for text in [
            "3 stone",
            "1 lb 2 oz 3 oz",
            "1e308 kg",
            "3 oz 2 lb",
            "3 lb 2",
            "NaN kg",
        ] {
            assert!(
                matches!(
                    refused(text),
                    QuantityError::UnknownUnit { .. } | QuantityError::NoUnit { .. }
                ),
                "{text}"
            );
        }
        for text in ["", "kg", "5. kg", ". kg"] {
            assert!(
                matches!(refused(text), QuantityError::NotANumber { .. }),
                "{text}"
            );
        }
        assert!(HAND.weight("3 lb 2").is_err());
    }
}
