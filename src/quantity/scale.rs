//! What scales type.
//!
//! ```text
//! line   = { mark sep } [ "ID" sep digits wide ] [ time sep ] weight { sep mark }
//! weight = [ sign ] number [ unit ] [ number "oz" ]
//! number = digits [ ("." | ",") digits ]
//! mark   = ST | GS | NT | G | N | GROSS | NET, in any case
//! sep    = blanks with at most one of , ; :       wide = one of , ; : or two blanks
//! ```
//!
//! Nothing else is passed over: bare digits before the weight might be its
//! thousands, cut off by a slow keyboard or a lost key. Scales set no thousands
//! apart, so in such a line a mark stands before decimals. Line shapes: makers'
//! interface manuals, common practice, no source.

use super::{MassUnit, NumberForm, QuantityError, Reader, Reading, Refused, split_before};

/// A weight as it stood on a scale, or as a hand typed it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ScaleReading {
    pub reading: Reading,
    /// Whether the scale took a tare off already; `None` where the line does not say.
    pub is_net: Option<bool>,
}

impl Reader {
    /// A weight as a scale types it, or as a hand does.
    pub fn scale(self, text: &str) -> Result<ScaleReading, QuantityError> {
        let plain = text.replace(char::is_control, " ");
        let seen = plain.trim();
        // What a hand types needs no reading between the lines.
        let by_hand = self.weight(seen).map(|reading| ScaleReading {
            reading,
            is_net: None,
        });
        if by_hand.is_ok() {
            return by_hand;
        }
        standing(seen)?;
        let Some(line) = Line::of(seen) else {
            return by_hand;
        };
        let form = line.form(self.form);
        let reading = Self { form, ..self }.weight(&line.weight)?.typed_as(seen);
        if line.gross && line.net {
            return Err(Refused::NotANumber.of(seen));
        }
        let is_net = (line.gross || line.net).then_some(line.net);
        Ok(ScaleReading { reading, is_net })
    }
}

/// Refuses a scale that moves or shows no weight.
fn standing(seen: &str) -> Result<(), QuantityError> {
    let any = |marks: &[&str]| {
        seen.split(|c: char| c.is_whitespace() || matches!(c, ',' | ';' | ':'))
            .any(|word| marks.contains(&word.to_ascii_lowercase().as_str()))
    };
    if seen.contains("---") || seen.contains('^') || any(&["ol", "o.l", "ul", "over", "err"]) {
        return Err(Refused::Overload.of(seen));
    }
    if seen.contains('?') || any(&["us"]) {
        return Err(Refused::Unstable.of(seen));
    }
    Ok(())
}

/// A line taken apart: the weight in it, and what its marks say.
struct Line {
    weight: String,
    gross: bool,
    net: bool,
}

impl Line {
    fn of(seen: &str) -> Option<Self> {
        let mut line = Self {
            weight: String::new(),
            gross: false,
            net: false,
        };
        let mut rest = seen;
        let mut marked = false;
        while rest.starts_with(|c: char| c.is_ascii_alphabetic()) {
            let (word, after) = word(rest);
            rest = if word.eq_ignore_ascii_case("id") {
                identity(separated(after)?)?
            } else {
                line.mark(word)?;
                separated(after)?
            };
            marked = true;
        }
        if let Some(after) = time(rest) {
            (rest, marked) = (after, true);
        }
        let (weight, after) = weight(rest)?;
        line.weight = weight;
        rest = after;
        // `5,G` has lost what stood behind the comma.
        if line.weight.ends_with(' ') && rest.trim_start().starts_with([',', ';', ':']) {
            return None;
        }
        while !rest.is_empty() {
            let (word, after) = word(separated(rest)?);
            line.mark(word)?;
            (rest, marked) = (after, true);
        }
        // A sign with blanks behind it is a scale's too.
        (marked || seen.starts_with(['+', '-'])).then_some(line)
    }

    fn mark(&mut self, word: &str) -> Option<()> {
        match word.to_ascii_lowercase().as_str() {
            "st" => {}
            "gs" | "g" | "gross" => self.gross = true,
            "nt" | "n" | "net" => self.net = true,
            _ => return None,
        }
        Some(())
    }

    /// The line's own mark stands before decimals; where the farm writes another
    /// one, three digits behind it are asked about all the same.
    fn form(&self, farm: NumberForm) -> NumberForm {
        let own = match self.weight.contains(',') {
            true => NumberForm::Comma,
            false => NumberForm::Point,
        };
        match farm {
            NumberForm::Point | NumberForm::Comma if farm != own => NumberForm::Unsaid,
            NumberForm::Plain => farm,
            _ => own,
        }
    }
}

fn word(text: &str) -> (&str, &str) {
    split_before(text, |c| !c.is_ascii_alphabetic())
}

fn digits(text: &str) -> (&str, &str) {
    split_before(text, |c| !c.is_ascii_digit())
}

/// What stands behind a separator; `None` where there is none, or two commas.
fn separated(text: &str) -> Option<&str> {
    let rest = text.trim_start();
    let rest = rest.strip_prefix([',', ';', ':']).unwrap_or(rest);
    // `G12.3` is no mark with a weight; a sign needs nothing before it.
    let apart = rest.len() < text.len() || rest.starts_with(['+', '-']);
    apart.then(|| rest.trim_start())
}

/// What stands behind an identity's digits: one blank would leave open where it ends.
fn identity(text: &str) -> Option<&str> {
    let (number, rest) = digits(text);
    let wide = rest.starts_with([',', ';', ':']) || rest.starts_with("  ");
    (!number.is_empty() && wide).then(|| separated(rest))?
}

/// What stands behind a time of day such as `18:30:22`.
fn time(text: &str) -> Option<&str> {
    let pair = |text: &str| text.len() == 2;
    let (hour, rest) = digits(text);
    let (minute, rest) = digits(rest.strip_prefix(':')?);
    let (second, rest) = digits(rest.strip_prefix(':')?);
    let fine = pair(hour) && pair(minute) && pair(second) && rest.starts_with([' ', ',']);
    fine.then(|| separated(rest))?
}

/// A weight's text, and what stands behind it.
fn weight(text: &str) -> Option<(String, &str)> {
    let (sign, rest) = match text.strip_prefix(['+', '-']) {
        Some(rest) => (&text[..1], rest.trim_start()),
        None => ("", text),
    };
    let (number, unit, rest) = measured(rest)?;
    let mut weight = format!(
        "{} {unit}",
        format!("{sign}{number}").trim_start_matches('+')
    );
    if let Some((ounces, "oz", after)) = measured(rest.trim_start())
        && unit.eq_ignore_ascii_case("lb")
    {
        weight.push_str(&format!(" {ounces} oz"));
        return Some((weight, after));
    }
    Some((weight, rest))
}

/// A number and the unit behind it, if any.
fn measured(text: &str) -> Option<(&str, &str, &str)> {
    let (whole, rest) = digits(text);
    let behind = rest.strip_prefix(['.', ',']).map_or(("", rest), digits);
    let (number, rest) = if behind.0.is_empty() {
        text.split_at(whole.len())
    } else {
        text.split_at(text.len() - behind.1.len())
    };
    let (unit, after) = word(rest.trim_start());
    // A lone `G` may be grams or gross.
    if whole.is_empty() || unit == "G" {
        return None;
    }
    let is_unit = unit == "g" || (unit.len() > 1 && MassUnit::from_word(unit).is_some());
    Some(if is_unit {
        (number, unit, after)
    } else {
        (number, "", rest)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read_by(form: NumberForm, text: &str) -> Result<ScaleReading, QuantityError> {
        let unit = Some(MassUnit::Kg);
        Reader { form, unit }.scale(text)
    }

    fn read(text: &str) -> Result<ScaleReading, QuantityError> {
        read_by(NumberForm::Unsaid, text)
    }

    fn grams(text: &str) -> Result<i64, QuantityError> {
        read(text).map(|read| read.reading.grams().get())
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
            ("ID:0034;12.3 kg", 12_300),
            ("18:30:22 8.3kg", 8_300),
            ("27 lb 3.2 oz G", 12_338),
            ("GS 12.3", 12_300),
            ("G: 5,25 kg", 5_250),
            ("+ 8.3 kg", 8_300),
            ("600 g", 600),
            ("ST,GS,  1,250kg", 1_250),
        ] {
            assert_eq!(grams(line), Ok(expected), "{line:?}");
        }
    }

    /// A scale that shows commas on a farm that writes points.
    #[test]
    fn the_other_mark_of_a_scale_is_taken_where_it_is_clear() {
        let scale = |text| {
            let read = read_by(NumberForm::Point, text);
            read.map(|read| read.reading.grams().get())
        };
        assert_eq!(scale("ST,GS,+  8,3kg"), Ok(8_300));
        assert_eq!(scale("8,35kg"), Ok(8_350));
        let two = scale("ST,GS,+  8,300kg").expect_err("two readings").why;
        assert!(matches!(two, Refused::TwoReadings { .. }), "{two:?}");
    }

    #[test]
    fn a_line_says_whether_the_tare_is_off() {
        let net = ["ST,NT,+ 8.300kg", "12.3 kg N", "Net: 12.3 kg", "8.300 kg N"];
        let gross = ["ST,GS,+ 8.300kg", "12.3 kg G", "GROSS 12.3"];
        for (is_net, lines) in [
            (Some(true), &net[..]),
            (Some(false), &gross),
            (None, &["18:30:22 8.3kg", "8.3kg"]),
        ] {
            for line in lines {
                assert_eq!(read(line).map(|read| read.is_net), Ok(is_net), "{line}");
            }
        }
        assert!(read("GS 12.3 kg NET").is_err());
    }

    #[test]
    fn lines_that_are_asked_again() {
        for (why, lines) in [
            (
                Refused::Unstable,
                &["US,NT,   3.1 kg", "12.34 kg ?", "?12.34"][..],
            ),
            (
                Refused::Overload,
                &["------", "OL", "^^^^^^ kg", "ST,OL,  kg", "UL"],
            ),
            (Refused::Negative, &["ST,GS,-   0.3kg", "- 0.3 kg G"]),
        ] {
            for line in lines {
                let refused = grams(line).expect_err(line);
                assert_eq!(refused.why, why, "{line:?}");
            }
        }
        for line in [
            "34 12.3",
            "0034 12.3 kg",
            "34  12.3 kg G",
            "12 34.5 kg NT",
            "1 234 kg G",
            "ID 1 234 kg",
            ":30:22 8.3kg",
            "30:22 8.3kg",
            ",8.3kg",
            "ST,,8.3kg",
            "",
            "kg",
            "G",
            "G12.3",
            "12.3.4 kg G",
            "12 lb 3",
            "12 lb 20 oz G",
            "3 stone",
            "2 tons",
            "1 lb 2 oz 3 oz",
            "1e308 kg",
            "12.3 kg 4",
            "12.3 G",
            "GS 12.3 G kg",
            "ST,GS, .5kg",
            "5,G",
            "ST,GS, 5.kg",
            "lot 529",
        ] {
            assert!(grams(line).is_err(), "{line:?} {:?}", grams(line));
        }
    }

    #[test]
    fn the_text_stays_as_typed() {
        let reading = read("  +27.2 lb G\r").expect("a reading").reading;
        assert_eq!(
            (reading.text(), reading.unit()),
            ("+27.2 lb G", MassUnit::Lb)
        );
    }

    proptest::proptest! {
        #[test]
        fn no_text_breaks_it(text in "\\PC{0,40}") {
            let _any = read(&text);
        }

        #[test]
        fn a_weight_survives_its_wrapping(whole in 0_i64..9_999, tenth in 0_i64..10) {
            let line = format!("ST,GS,+ {whole:04}.{tenth} kg G");
            proptest::prop_assert_eq!(grams(&line), Ok(whole * 1000 + tenth * 100));
        }
    }
}
