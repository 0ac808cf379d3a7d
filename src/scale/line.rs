//! What a line of a scale says.
//!
//! ```text
//! line   = [ begins ] { mark | sep } [ weight ] { mark | sep }
//! weight = [ sign ] number [ unit ] [ number "oz" ]
//! ```
//!
//! Makers differ in what a line begins with and what its marks mean; a row of
//! `data/scale-lines.csv` tells both, with where it was read.

use crate::quantity::{MassUnit, NumberForm, Reader, Reading, Refused, word_enum};
use crate::table::{Findings, Table};
use crate::words::say;

const SHIPPED_SCALE_LINES: &[u8] = include_bytes!("../../data/scale-lines.csv");

/// Begins a framed line, as ASCII has it.
const STX: char = '\u{2}';

word_enum!(
    /// What a mark says; the strictest of a line holds.
    Means {
        Nothing = "nothing",
        Gross = "gross",
        Net = "net",
        Steady = "steady",
        Moving = "moving",
        Under = "under",
        Over = "over",
        Fault = "fault",
    }
);

/// What a scale said in one line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Heard {
    /// A weight; whether the scale itself says that it stands still.
    Weight {
        reading: Reading,
        steady: bool,
        is_net: Option<bool>,
        /// Whether it named its unit.
        has_unit: bool,
    },
    Moving,
    BelowZero,
    Beyond,
    /// A line that means nothing here.
    Unread,
}

/// A family of lines.
#[derive(Debug)]
struct Family {
    begins: String,
    marks: Vec<(String, Vec<Means>)>,
}

/// How lines are read.
#[derive(Debug)]
pub struct LineGrammar(Vec<Family>);

impl LineGrammar {
    pub fn shipped() -> Result<Self, Findings> {
        Self::read("scale-lines.csv", SHIPPED_SCALE_LINES)
    }

    pub fn read(file: &str, bytes: &[u8]) -> Result<Self, Findings> {
        const COLUMNS: [&str; 5] = ["name", "begins", "marks", "source", "note"];
        let table = Table::read(file, bytes, &COLUMNS, |_| false)?;
        let families = table.rows(|row| {
            let accepted = say!("accepted-scale-marks", means = Means::accepted());
            let marks = row.required("marks", accepted, |text| {
                text.split(' ').map(mark).collect::<Option<Vec<_>>>()
            });
            row.required("source", say!("accepted-a-name"), |text| {
                (!text.is_empty()).then_some(())
            })?;
            Some(Family {
                begins: row.text("begins").unwrap_or_default().to_owned(),
                marks: marks?,
            })
        })?;
        Ok(Self(families))
    }

    /// What a line says; `unit` is that of a weight which names none.
    pub fn hear(&self, line: &str, unit: MassUnit) -> Heard {
        let parts = self.0.iter().find_map(|family| family.parts(line));
        parts.map_or(Heard::Unread, |parts| parts.heard(unit))
    }
}

/// `US=moving`, or `G=gross+steady`.
fn mark(text: &str) -> Option<(String, Vec<Means>)> {
    let (mark, means) = text.rsplit_once('=')?;
    let means = means.split('+').map(Means::parse);
    Some((mark.to_owned(), means.collect::<Option<_>>()?))
}

/// A line taken apart.
#[derive(Default)]
struct Parts {
    means: Vec<Means>,
    /// As a hand would type it.
    weight: Option<String>,
    has_unit: bool,
}

impl Family {
    /// The line by this family's rules, if it is one of its lines.
    fn parts(&self, line: &str) -> Option<Parts> {
        let framed = self.begins == "STX";
        let mut rest = match line.rsplit_once(STX) {
            Some((_, framed_line)) if framed => framed_line,
            None if !framed => line,
            _ => return None,
        };
        if !framed && !self.begins.is_empty() {
            rest = rest.trim_start().strip_prefix(&self.begins)?;
            rest.starts_with(' ').then_some(())?;
        }
        let mut parts = Parts::default();
        loop {
            rest = rest.trim_start_matches([' ', ',', ';', ':']);
            if rest.is_empty() {
                break;
            }
            rest = parts.weighed(rest).or_else(|| {
                let (means, after) = self.mark(rest, framed)?;
                parts.means.extend(means);
                Some(after)
            })?;
        }
        (!parts.means.is_empty() || parts.weight.is_some()).then_some(parts)
    }

    /// The longest mark the text begins with; outside a frame it stands apart.
    fn mark<'a>(&self, text: &'a str, framed: bool) -> Option<(&[Means], &'a str)> {
        let stands = |after: &str| framed || !after.starts_with(|c: char| c.is_alphanumeric());
        let marks = self.marks.iter().filter_map(|(mark, means)| {
            let after = text.strip_prefix(mark.as_str())?;
            stands(after).then_some((mark.len(), means.as_slice(), after))
        });
        let longest = marks.max_by_key(|(length, ..)| *length);
        longest.map(|(_, means, after)| (means, after))
    }
}

impl Parts {
    /// Takes a weight, or the unit of one that came before its marks; what stands behind it.
    fn weighed<'a>(&mut self, text: &'a str) -> Option<&'a str> {
        match &mut self.weight {
            None => {
                let (weight, has_unit, after) = weight(text)?;
                (self.weight, self.has_unit) = (Some(weight), has_unit);
                Some(after)
            }
            Some(_) if self.has_unit => None,
            Some(weight) => {
                let (unit, after) = unit(text)?;
                weight.push_str(&format!(" {unit}"));
                self.has_unit = true;
                Some(after)
            }
        }
    }

    fn heard(self, unit: MassUnit) -> Heard {
        let strictest = self.means.iter().max().copied();
        let is_net = match ["gross", "net"].map(|word| self.says(word)) {
            [true, true] => return Heard::Unread,
            [false, false] => None,
            [_, net] => Some(net),
        };
        match strictest {
            Some(Means::Fault | Means::Over) => return Heard::Beyond,
            Some(Means::Under) => return Heard::BelowZero,
            Some(Means::Moving) => return Heard::Moving,
            _ => {}
        }
        let Some(weight) = self.weight else {
            return Heard::Unread;
        };
        // Scales set no thousands apart, so a mark stands before decimals.
        let form = match weight.contains(',') {
            true => NumberForm::Comma,
            false => NumberForm::Point,
        };
        let unit = Some(unit);
        match (Reader { form, unit }).weight(&weight) {
            Ok(reading) => Heard::Weight {
                reading,
                steady: strictest == Some(Means::Steady),
                is_net,
                has_unit: self.has_unit,
            },
            Err(error) if error.why == Refused::Negative => Heard::BelowZero,
            Err(error) if error.why == Refused::TooHeavy => Heard::Beyond,
            Err(_) => Heard::Unread,
        }
    }

    fn says(&self, word: &str) -> bool {
        self.means.iter().any(|means| means.as_str() == word)
    }
}

/// A weight as a hand would type it, whether it names a unit, and what stands behind it.
fn weight(text: &str) -> Option<(String, bool, &str)> {
    let (sign, rest) = match text.strip_prefix(['+', '-']) {
        Some(rest) => (&text[..1], rest.trim_start_matches(' ')),
        None => ("", text),
    };
    let (number, rest) = number(rest)?;
    let mut weight = format!("{}{number}", sign.trim_start_matches('+'));
    let Some((unit, mut after)) = unit(rest) else {
        return Some((weight, false, rest));
    };
    weight.push_str(&format!(" {unit}"));
    let more = number_of_ounces(after).filter(|_| unit.starts_with("lb"));
    if let Some((ounces, behind)) = more {
        weight.push_str(&format!(" {ounces} oz"));
        after = behind;
    }
    Some((weight, true, after))
}

fn number_of_ounces(text: &str) -> Option<(&str, &str)> {
    let (ounces, rest) = number(text.trim_start_matches(' '))?;
    let (unit, after) = unit(rest)?;
    (unit == "oz").then_some((ounces, after))
}

fn number(text: &str) -> Option<(&str, &str)> {
    let digits = |text: &str| text.bytes().take_while(u8::is_ascii_digit).count();
    let whole = digits(text);
    let behind = text[whole..].strip_prefix(['.', ',']).map_or(0, digits);
    // `5.` has lost what stood behind the point.
    let end = if behind > 0 {
        whole + 1 + behind
    } else {
        whole
    };
    let cut = behind == 0 && text[whole..].starts_with(['.', ',']);
    (whole > 0 && !cut).then(|| text.split_at(end))
}

/// A unit in the small letters that scales send; `G` is a mark.
fn unit(text: &str) -> Option<(&str, &str)> {
    let text = text.trim_start_matches(' ');
    let end = text.bytes().take_while(u8::is_ascii_lowercase).count();
    let (word, after) = text.split_at(end);
    MassUnit::from_word(word).map(|_| (word, after))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn heard(line: &str) -> Heard {
        let grammar = LineGrammar::shipped().expect("reads");
        grammar.hear(line, MassUnit::Kg)
    }

    fn told(line: &str) -> (i64, bool, Option<bool>) {
        match heard(line) {
            Heard::Weight {
                reading,
                steady,
                is_net,
                ..
            } => (reading.grams().get(), steady, is_net),
            other => panic!("{line:?}: {other:?}"),
        }
    }

    /// Lines as the manuals named in the table print them.
    #[test]
    fn lines_of_published_manuals() {
        for (line, expected) in [
            // A&D EK-L, 9-2.
            ("ST,+001234.5  g", (1_235, true, None)),
            // Tiger TI-02-P, 7.1.
            ("ST,GS,  12.340,kg", (12_340, true, Some(false))),
            ("ST,NT,+ 0012.5kg", (12_500, true, Some(true))),
            // Ohaus RS232, EN-3: nothing says that it stands still.
            ("       0.211 kg", (211, false, None)),
            ("        0.4500 oz", (13, false, None)),
            // Mettler-Toledo AL-IC, page 72.
            ("S S     100.00 g", (100, true, None)),
            // Sensors 2010, 10, 9337, table 1: formats 1 and 2.
            ("\u{2}  12.345G\u{3}", (12_345, true, Some(false))),
            ("\u{2}  12.345G Z- kg\u{3}", (12_345, true, Some(false))),
            ("\u{2}   2.500N  1 kg\u{3}", (2_500, true, Some(true))),
            // Sartorius CP, page 57.
            ("+  123.56 g", (124, false, None)),
            ("N     +  123.56 g", (124, false, Some(true))),
        ] {
            let line = line.replace('\u{3}', "");
            assert_eq!(told(&line), expected, "{line:?}");
        }
    }

    #[test]
    fn what_is_no_weight_to_take() {
        for (is, lines) in [
            (
                Heard::Moving,
                &[
                    "US,+  12.34kg",
                    "S D  100.00 g",
                    "12.73 g    ?",
                    "\u{2}  12.345GM - kg",
                    "\u{2}  1.5M",
                ][..],
            ),
            (
                Heard::Beyond,
                &[
                    "OL,+9999999.9g",
                    "S +",
                    "      H",
                    "\u{2}   9.9O",
                    "Err 054",
                ],
            ),
            (
                Heard::BelowZero,
                &["ST,GS,-   0.3kg", "S -", "- 0.30 kg", "\u{2}-  0.3G"],
            ),
            (
                Heard::Unread,
                &[
                    "",
                    "hello",
                    "QT,+00012345PC",
                    "12.34.5 kg",
                    "ST,GS,+  5.",
                    "12 34 kg",
                    "GS 1.0 kg NT",
                    "\u{2}",
                    "ST",
                    "S Q 3 g",
                    "X12.3 kg",
                    "3 stone",
                ],
            ),
        ] {
            for line in lines {
                assert_eq!(heard(line), is, "{line:?}");
            }
        }
    }

    #[test]
    fn the_unit_is_the_scale_s_own() {
        assert_eq!(told("ST,GS,+  27.2lb").0, 12_338);
        assert_eq!(told("ST,GS,+  27lb 3.2oz").0, 12_338);
        let Heard::Weight { has_unit, .. } = heard("ST,GS,+  27.2") else {
            panic!("a weight");
        };
        assert!(!has_unit);
    }

    #[test]
    fn a_bad_row_is_told_whole() {
        let bad = b"name,begins,marks,source,note\nx,,ST=still,here,\ny,,ST=steady,,\n";
        let told = LineGrammar::read("scale-lines.csv", bad).expect_err("refused");
        insta::assert_snapshot!(told.to_string(), @"
        `scale-lines.csv` row 2, `marks`: `ST=still` is not accepted; accepted: marks as MARK=MEANING, apart by a blank; meanings: nothing, gross, net, steady, moving, under, over, fault, joined by +
        `scale-lines.csv` row 3, `source` is missing; accepted: a name
        ");
    }

    proptest::proptest! {
        #[test]
        fn no_line_breaks_it(line in "\\PC{0,40}|[\u{2}STUSOLGN,.+\\-0-9 kg?]{0,30}") {
            let _any = heard(&line);
        }
    }
}
