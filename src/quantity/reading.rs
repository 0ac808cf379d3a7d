use super::{Grams, MassUnit, QuantityError, Reader, Refused, split_before};

/// A weight as someone entered it, with the whole grams it means.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reading {
    text: String,
    grams: Grams,
    unit: MassUnit,
}

const HEAVIEST: Grams = Grams::new(100_000_000);
const OUNCES_IN_POUND: i128 = 16;

impl Reader {
    /// A weight: one number with its unit, `32.2lb`, `14.6 kg`, or whole pounds
    /// and fewer than sixteen ounces, `12 lb 3 oz`; zero or more, at most 100 t.
    pub fn weight(self, text: &str) -> Result<Reading, QuantityError> {
        let seen = text.trim();
        let found = parts(seen);
        let (unit, grams) = match found.as_slice() {
            [(number, word)] => {
                let unit = unit_of(seen, word, self.unit)?;
                (unit, unit.to_grams(self.form.number(number)?))
            }
            [(pounds, pound), (ounces, ounce)]
                if unit_of(seen, pound, None)? == MassUnit::Lb
                    && unit_of(seen, ounce, None)? == MassUnit::Oz =>
            {
                let grams = self.pounds_and_ounces(seen, pounds, ounces)?;
                (MassUnit::Lb, grams)
            }
            [_, (_, word), ..] => return Err(Refused::UnknownUnit((*word).to_owned()).of(seen)),
            [] => return Err(Refused::NotANumber.of(seen)),
        };
        if seen.starts_with('-') && grams != Grams::ZERO {
            return Err(Refused::Negative.of(seen));
        }
        if grams > HEAVIEST {
            return Err(Refused::TooHeavy.of(seen));
        }
        Ok(Reading {
            text: seen.to_owned(),
            grams,
            unit,
        })
    }

    /// One reading, so rounded once. Sixteen ounces are a pound, so `12lb20oz` is
    /// a slip of `12.20` or of the unit.
    fn pounds_and_ounces(
        self,
        seen: &str,
        pounds: &str,
        ounces: &str,
    ) -> Result<Grams, QuantityError> {
        let whole = self.form.count(pounds);
        let part = self.form.number(ounces)?;
        let most = OUNCES_IN_POUND * part.denominator();
        let is_part = (0..most).contains(&part.numerator()) && !ounces.starts_with(['-', '+']);
        let whole = whole.ok().filter(|_| is_part);
        let whole = whole.ok_or_else(|| Refused::Ounces.of(seen))?;
        let sixteenths = i128::from(whole) * most + part.numerator();
        Ok(MassUnit::Oz.whole_grams(sixteenths, part.denominator()))
    }
}

impl Reading {
    /// The same weight with the whole line it was read from.
    pub(super) fn typed_as(mut self, line: &str) -> Self {
        line.clone_into(&mut self.text);
        self
    }

    pub fn grams(&self) -> Grams {
        self.grams
    }

    /// The text as entered, without outer blanks.
    pub fn text(&self) -> &str {
        &self.text
    }

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
    match word {
        "" => unit_if_none.ok_or_else(|| Refused::NoUnit.of(seen)),
        "G" | "T" => Err(Refused::AmbiguousUnit(word.to_owned()).of(seen)),
        _ => match word.to_ascii_lowercase().as_str() {
            "ton" | "tons" => Err(Refused::AmbiguousTon.of(seen)),
            _ => MassUnit::from_word(word)
                .ok_or_else(|| Refused::UnknownUnit(word.to_owned()).of(seen)),
        },
    }
}

/// Splits into (number, unit word) pairs: `12 lb 3 oz` gives two.
fn parts(text: &str) -> Vec<(&str, &str)> {
    let mut found = Vec::new();
    let mut rest = text;
    while !rest.is_empty() {
        let (number, tail) = split_before(rest, char::is_alphabetic);
        let (word, next) = split_before(tail, |c| !c.is_alphabetic());
        found.push((number.trim(), word));
        rest = next.trim_start();
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::NumberForm;

    const HAND: Reader = Reader {
        form: NumberForm::Point,
        unit: Some(MassUnit::Lb),
    };

    #[test]
    fn what_staff_type() {
        for (text, meant) in [
            ("32.2lb", 14_606), // 14605.674...
            ("32.2 lbs", 14_606),
            (" 14.6 kg ", 14_600),
            ("12 lb 3 oz", 5_528), // 195 oz x 28.349523125 = 5528.157
            ("12lb3oz", 5_528),
            ("600g", 600),
            ("99999 lb 15.999999999999999 oz", 45_359_237),
        ] {
            let read = Reader::PLAIN.weight(text).expect(text);
            assert_eq!(read.grams().get(), meant, "{text}");
        }
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
        assert_eq!(read("1/2 lb").map_err(|no| no.why), Err(Refused::Fraction));
        for text in ["12lb20oz", "12 lb 16 oz", "12.5 lb 3 oz", "12 lb -3 oz"] {
            let why = read(text).map_err(|no| no.why);
            assert_eq!(why, Err(Refused::Ounces), "{text}");
        }
    }

    #[test]
    fn what_is_refused_and_why() {
        let unknown = |unit: &str| Refused::UnknownUnit(unit.to_owned());
        let ambiguous = |unit: &str| Refused::AmbiguousUnit(unit.to_owned());
        for (text, why) in [
            ("32.2", Refused::NoUnit),
            ("2 tons", Refused::AmbiguousTon),
            ("-1 kg", Refused::Negative),
            ("101 t", Refused::TooHeavy),
            ("220462 lb 15 oz", Refused::TooHeavy),
            ("600 G", ambiguous("G")),
            ("1 T", ambiguous("T")),
            ("3 stone", unknown("stone")),
            ("1 lb 2 oz 3 oz", unknown("oz")),
            ("1e308 kg", unknown("e")),
            ("3 oz 2 lb", unknown("lb")),
            ("3 lb 2", Refused::NoUnit),
            ("NaN kg", unknown("NaN")),
            ("", Refused::NotANumber),
            ("kg", Refused::NotANumber),
            ("5. kg", Refused::NotANumber),
            (". kg", Refused::NotANumber),
        ] {
            let refused = Reader::PLAIN.weight(text).expect_err(text);
            assert_eq!(refused.why, why, "{text}");
        }
        assert!(HAND.weight("3 lb 2").is_err());
    }
}
