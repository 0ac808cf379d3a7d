use super::{MassUnit, QuantityError, Reading};

/// Reads a weight as a scale types it, or as a hand does.
///
/// Scales that type like a keyboard put other things around the number: a
/// status (`ST`, `US`, `?`), gross or net (`GS`, `NT`, `G`, `N`), a sign with
/// blanks after it, an identity in front. The number with a unit behind it is
/// taken; without any unit, the only number, in `unit_if_none`. A reading
/// marked as moving or as overload is refused, and so are two bare numbers,
/// of which either might be the weight.
///
/// Line shapes: makers' interface manuals, common practice, no source.
///
/// # Errors
/// Says what was seen and what is accepted.
pub fn scale_reading(text: &str, unit_if_none: Option<MassUnit>) -> Result<Reading, QuantityError> {
    let plain: String = text
        .chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    let seen = plain.trim();
    // What a hand types needs no reading between the lines.
    let by_hand = Reading::parse(seen, unit_if_none);
    if by_hand.is_ok() {
        return by_hand;
    }
    let words: Vec<&str> = seen
        .split(|c: char| c.is_whitespace() || c == ',' || c == ':' || c == ';')
        .filter(|word| !word.is_empty())
        .collect();
    if overloaded(seen, &words) {
        return Err(QuantityError::Overload {
            seen: seen.to_owned(),
        });
    }
    if seen.contains('?') || words.iter().any(|word| word.eq_ignore_ascii_case("us")) {
        return Err(QuantityError::Unstable {
            seen: seen.to_owned(),
        });
    }
    match the_weight(seen) {
        Some(part) => Reading::parse(&part, unit_if_none).map(|reading| reading.typed_as(seen)),
        None => by_hand,
    }
}

fn overloaded(seen: &str, words: &[&str]) -> bool {
    seen.contains("---")
        || seen.contains('^')
        || words
            .iter()
            .any(|word| ["ol", "o.l", "over", "err"].contains(&word.to_ascii_lowercase().as_str()))
}

/// A number in the text: sign and digits, and the unit word behind it.
struct Number<'a> {
    text: String,
    unit: Option<&'a str>,
    starts: usize,
    ends: usize,
}

fn the_weight(seen: &str) -> Option<String> {
    let numbers = numbers(seen);
    let with_unit = numbers.iter().position(|number| number.unit.is_some());
    match (with_unit, numbers.as_slice()) {
        (Some(at), _) => {
            let number = &numbers[at];
            let unit = number.unit.unwrap_or_default();
            let mut part = format!("{} {unit}", number.text);
            let ounces = numbers.get(at + 1).filter(|next| {
                is(unit, MassUnit::Lb)
                    && next.unit.is_some_and(|unit| is(unit, MassUnit::Oz))
                    && seen[number.ends..].trim_start().starts_with(&next.text)
            });
            if let Some(next) = ounces {
                part.push_str(&format!(" {} oz", next.text));
            }
            let ends = ounces.map_or(number.ends, |next| next.ends);
            only_marks(&seen[..number.starts], &seen[ends..]).then_some(part)
        }
        (None, [only]) => {
            only_marks(&seen[..only.starts], &seen[only.ends..]).then(|| only.text.clone())
        }
        (None, _) => None,
    }
}

/// Whether what stands around a weight is only what scales put there. Else a
/// hand's slip, such as `12 lb 3` or `3 stone`, would be read as something.
fn only_marks(before: &str, after: &str) -> bool {
    const MARKS: [&str; 8] = ["st", "gs", "nt", "g", "n", "gross", "net", "id"];
    let words = |text: &str| -> Vec<String> {
        text.split(|c: char| !c.is_alphanumeric())
            .filter(|word| !word.is_empty())
            .map(str::to_ascii_lowercase)
            .collect()
    };
    let mark = |word: &String| MARKS.contains(&word.as_str());
    let digits = |word: &String| word.bytes().all(|b| b.is_ascii_digit());
    words(before).iter().all(|word| mark(word) || digits(word)) && words(after).iter().all(mark)
}

fn is(word: &str, unit: MassUnit) -> bool {
    MassUnit::from_word(word) == Some(unit)
}

fn numbers(seen: &str) -> Vec<Number<'_>> {
    let mut found = Vec::new();
    let mut at = 0;
    while let Some(from) = seen[at..].find(|c: char| c.is_ascii_digit()) {
        let from = at + from;
        let digits = seen[from..]
            .find(|c: char| !(c.is_ascii_digit() || c == '.' || c == ','))
            .map_or(seen.len(), |end| from + end);
        let digits = from + seen[from..digits].trim_end_matches(['.', ',']).len();
        let tail = seen[digits..].trim_start();
        let word_from = seen.len() - tail.len();
        let word_len = tail
            .find(|c: char| !c.is_ascii_alphabetic())
            .unwrap_or(tail.len());
        let word = &tail[..word_len];
        let unit = MassUnit::from_word(word).map(|_| word);
        let before = seen[..from].trim_end();
        let sign = if before.ends_with('-') { "-" } else { "" };
        found.push(Number {
            text: format!("{sign}{}", &seen[from..digits]),
            unit,
            starts: from,
            ends: if unit.is_some() {
                word_from + word_len
            } else {
                digits
            },
        });
        at = digits;
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn grams(text: &str) -> Result<i64, QuantityError> {
        scale_reading(text, Some(MassUnit::Kg)).map(|reading| reading.grams().get())
    }

    #[test]
    fn lines_that_scales_type() {
        for (line, expected) in [
            ("12.34", 12_340),
            ("12,34 kg", 12_340),
            ("  +27.2 lb G", 12_338),
            ("ST,GS,+   8.300kg", 8_300),
            ("ST,NT,+ 0012.5kg\r\n", 12_500),
            ("\u{2}   12.45 kg  N", 12_450),
            ("ID 0034   12.3 kg G", 12_300),
            ("27 lb 3.2 oz G", 12_338),
            ("GS 12.3", 12_300),
            ("G: 5,25 kg", 5_250),
            ("600 g", 600),
        ] {
            assert_eq!(grams(line), Ok(expected), "{line:?}");
        }
    }

    #[test]
    fn lines_that_are_asked_again() {
        for line in ["US,NT,   3.1 kg", "12.34 kg ?", "?12.34"] {
            assert!(
                matches!(grams(line), Err(QuantityError::Unstable { .. })),
                "{line:?}"
            );
        }
        for line in ["------", "OL", "^^^^^^ kg", "ST,OL,  kg"] {
            assert!(
                matches!(grams(line), Err(QuantityError::Overload { .. })),
                "{line:?}"
            );
        }
        for line in ["ST,GS,-   0.3kg", "- 0.3 kg G"] {
            assert!(
                matches!(grams(line), Err(QuantityError::Negative { .. })),
                "{line:?}"
            );
        }
        for line in [
            "34 12.3",
            "",
            "kg",
            "G",
            "12.3.4 kg G",
            "12 lb 3",
            "3 stone",
            "2 tons",
            "1 lb 2 oz 3 oz",
            "1e308 kg",
            "12.3 kg 4",
        ] {
            assert!(grams(line).is_err(), "{line:?}");
        }
    }

    #[test]
    fn the_text_stays_as_typed() {
        let reading = scale_reading("  +27.2 lb G\r", Some(MassUnit::Kg)).expect("a reading");
        assert_eq!(
            (reading.text(), reading.unit()),
            ("+27.2 lb G", MassUnit::Lb)
        );
    }

    proptest::proptest! {
        #[test]
        fn no_text_breaks_it(text in "\\PC{0,40}") {
            let _any = scale_reading(&text, Some(MassUnit::Lb));
        }

        #[test]
        fn a_weight_survives_its_wrapping(whole in 0_i64..9_999, tenth in 0_i64..10) {
            let line = format!("ST,GS,+ {whole:04}.{tenth} kg G");
            proptest::prop_assert_eq!(grams(&line), Ok(whole * 1000 + tenth * 100));
        }
    }
}
