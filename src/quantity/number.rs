//! Numbers as hands, scales and files write them: one reader for all.

use super::{Decimal, DecimalMark, QuantityError, Refused};
use crate::words::say;

/// How numbers are written where a text comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum NumberForm {
    /// By a program or in a file: decimals after a point, nothing between thousands.
    Plain,
    /// By hand on a farm that has not said which mark stands before its
    /// decimals: what can be read two ways is refused.
    #[default]
    Unsaid,
    /// By hand, decimals after a point.
    Point,
    /// By hand, decimals after a comma.
    Comma,
}

impl NumberForm {
    /// A number printed with a point, as it must be to be read back as the same:
    /// three digits behind a point are thousands to who writes commas.
    pub fn printed(self, number: &str) -> String {
        let figure = number.split(' ').next().unwrap_or_default();
        match figure.split_once('.') {
            Some((_, behind)) if behind.len() == 3 => self.typed(number),
            _ => number.to_owned(),
        }
    }

    /// A number with a point, as it is typed here.
    fn typed(self, number: &str) -> String {
        match self {
            Self::Comma => number.replacen('.', ",", 1),
            _ => number.to_owned(),
        }
    }

    /// Reads a number with an optional sign. A decimal mark has digits on both
    /// sides: `.5` may be a reading that lost its beginning. Thousands may be set apart by the mark that is not the decimal one,
    /// a blank or an apostrophe, in groups of three; where it can't, as in `12,5`,
    /// it stands before decimals too. Whatever two people could read differently
    /// is refused, and so are fractions, exponents and `NaN`.
    pub fn number(self, text: &str) -> Result<Decimal, QuantityError> {
        let seen = text.trim();
        if seen.contains(FRACTION) {
            return Err(Refused::Fraction.of(seen));
        }
        let unsigned = seen.strip_prefix(['-', '+']).unwrap_or(seen);
        let point = split(unsigned, '.');
        let comma = split(unsigned, ',');
        let parts = match self {
            _ if unsigned.starts_with(['.', ',']) => None,
            Self::Point => own_or_other(point.as_ref(), comma.as_ref()),
            Self::Comma => own_or_other(comma.as_ref(), point.as_ref()),
            Self::Plain => point.clone().filter(|parts| parts.grouped.is_none()),
            Self::Unsaid => match (&point, &comma) {
                (Some(one), Some(other)) if one != other => None,
                (one, other) => one.clone().or_else(|| other.clone()),
            }
            .filter(|parts| !parts.may_be_thousands()),
        };
        let Some(parts) = parts else {
            return Err(self.refused(seen, point, comma));
        };
        Decimal::of(seen.starts_with('-'), &parts.whole, &parts.behind)
            .ok_or_else(|| Refused::TooManyDigits.of(seen))
    }

    /// Reads a whole number, such as a count of larvae.
    ///
    /// # Errors
    /// As [`NumberForm::number`]; decimals are refused, zeros too.
    pub fn count(self, text: &str) -> Result<i64, QuantityError> {
        let accepted = || say!("accepted-whole-number");
        let number = self.number(text).map_err(|error| error.of(accepted()))?;
        if number.places() == 0 {
            let whole = i64::try_from(number.numerator());
            return whole.map_err(|_| Refused::TooManyDigits.of(text));
        }
        let two = self.thousands_too(number, text);
        Err(two.unwrap_or_else(|| Refused::OutOfRange(accepted()).of(text)))
    }

    /// A number with three digits behind its mark, where none or two belong:
    /// the mark may as well stand between thousands.
    pub(super) fn thousands_too(self, number: Decimal, text: &str) -> Option<QuantityError> {
        let digits = number.numerator().abs();
        // Without a zero at the end, one of the two is no count and no amount.
        (number.places() == 3 && digits >= 1000 && digits % 10 == 0).then(|| {
            let (one, other) = (number.to_f64().to_string(), number.numerator().to_string());
            let (one, unsaid) = (self.typed(&one), false);
            Refused::TwoReadings { one, other, unsaid }.of(text)
        })
    }

    fn refused(self, seen: &str, point: Option<Parts>, comma: Option<Parts>) -> QuantityError {
        let (one, other) = match (point, comma) {
            (Some(one), Some(other)) if one != other => (one.plain(), other.plain()),
            (one, other) => match one.or(other) {
                Some(parts) if parts.may_be_thousands() => {
                    (parts.plain(), format!("{}{}", parts.whole, parts.behind))
                }
                // One reading, but not as numbers are written here.
                Some(parts) => {
                    return Refused::OtherMark(self.typed(&parts.plain())).of(seen);
                }
                None => return Refused::NotANumber.of(seen),
            },
        };
        let unsaid = self == Self::Unsaid;
        // What is proposed must not be refused in its turn.
        let told = |number: String| match number.split_once('.') {
            Some((_, behind)) if unsaid && behind.len() == 3 => format!("{number}0"),
            _ => self.typed(&number),
        };
        let (one, other) = (told(one), told(other));
        Refused::TwoReadings { one, other, unsaid }.of(seen)
    }
}

impl From<Option<DecimalMark>> for NumberForm {
    fn from(mark: Option<DecimalMark>) -> Self {
        match mark {
            None => Self::Unsaid,
            Some(DecimalMark::Point) => Self::Point,
            Some(DecimalMark::Comma) => Self::Comma,
        }
    }
}

/// The mark people of a time zone write before decimals; `None` for a zone that
/// is no place, such as UTC. Of the country's official language that most speak
/// (CLDR, as Babel 2.19.0 has it, BSD-3-Clause): a farm is asked, and may say
/// otherwise.
pub fn custom_mark(zone: &str) -> Option<DecimalMark> {
    let (region, place) = zone.split_once('/')?;
    let commas = include_str!("../../data/decimal-commas.txt").lines();
    let comma = commas
        .filter_map(|line| line.split_once(": "))
        .any(|(commas, places)| commas == region && places.split(' ').any(|other| other == place));
    match region {
        _ if comma => Some(DecimalMark::Comma),
        "Etc" => None,
        _ => Some(DecimalMark::Point),
    }
}

/// A slash, a fraction slash and the signs for halves, thirds and so on.
const FRACTION: fn(char) -> bool = |c| matches!(c, '/' | '\u{2044}' | '\u{2215}' | '¼'..='¾' | '\u{2150}'..='\u{215f}' | '\u{2189}');

/// Digits before and behind a decimal mark, and what stood between thousands.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Parts {
    whole: String,
    behind: String,
    grouped: Option<char>,
}

impl Parts {
    /// Whether the decimal mark may as well stand between thousands: three
    /// digits behind it, and no other mark that says which it is.
    fn may_be_thousands(&self) -> bool {
        self.behind.len() == 3
            && self.whole.bytes().any(|digit| digit != b'0')
            && !matches!(self.grouped, Some('.' | ','))
    }

    /// The number with a point, as short as it can be.
    fn plain(&self) -> String {
        let whole = self.whole.trim_start_matches('0');
        let behind = self.behind.trim_end_matches('0');
        let whole = if whole.is_empty() { "0" } else { whole };
        if behind.is_empty() {
            whole.to_owned()
        } else {
            format!("{whole}.{behind}")
        }
    }
}

/// The number with the farm's own mark, else with the other one where that can't
/// stand between thousands: a scale may know but one of them.
fn own_or_other(own: Option<&Parts>, other: Option<&Parts>) -> Option<Parts> {
    let clear = |parts: &&Parts| parts.grouped.is_none() && !parts.may_be_thousands();
    own.or_else(|| other.filter(clear)).cloned()
}

/// Splits at the decimal mark; `None` where the text is no number with that mark.
fn split(unsigned: &str, mark: char) -> Option<Parts> {
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    let (before, behind) = match unsigned.split_once(mark) {
        Some((before, behind)) if digits(behind) => (before, behind),
        Some(_) => return None,
        None => (unsigned, ""),
    };
    let grouped = before.chars().find(|c| !c.is_ascii_digit());
    let whole = match grouped {
        None if digits(before) || !behind.is_empty() => before.to_owned(),
        Some(between) if is_between(between, mark) => ungrouped(before, between)?,
        _ => return None,
    };
    Some(Parts {
        whole,
        behind: behind.to_owned(),
        grouped,
    })
}

/// What may stand between thousands: the other mark, a blank (plain, no-break,
/// narrow, thin), an apostrophe (typewriter's or printer's).
fn is_between(between: char, mark: char) -> bool {
    (matches!(between, '.' | ',') && between != mark)
        || matches!(
            between,
            ' ' | '\u{a0}' | '\u{202f}' | '\u{2009}' | '\'' | '\u{2019}'
        )
}

/// The digits of groups: one to three that begin with no zero, then threes.
fn ungrouped(before: &str, between: char) -> Option<String> {
    let mut groups = before.split(between);
    let first = groups.next()?;
    let digits = |group: &str| group.bytes().all(|b| b.is_ascii_digit());
    let fine = (1..=3).contains(&first.len())
        && !first.starts_with('0')
        && digits(first)
        && groups.all(|group| group.len() == 3 && digits(group));
    fine.then(|| before.replace(between, ""))
}

impl Decimal {
    /// Reads a number as programs and files write it: digits, at most one
    /// point with digits behind it, an optional sign.
    pub fn parse(text: &str) -> Result<Self, QuantityError> {
        NumberForm::Plain.number(text)
    }
}

/// A count as people read it: from five digits on, groups of three with a narrow
/// space between, which no custom takes for a decimal mark.
///
/// Source: SI Brochure, 9th edition, 5.4.4 (from memory, unverified).
pub fn counted(count: impl std::fmt::Display) -> String {
    let text = format!("{count:.0}");
    let (sign, digits) = match text.strip_prefix('-') {
        Some(digits) => ("-", digits),
        None => ("", text.as_str()),
    };
    if digits.len() < 5 {
        return text;
    }
    let groups = digits.as_bytes().rchunks(3).rev();
    let groups: Vec<_> = groups.map(String::from_utf8_lossy).collect();
    format!("{sign}{}", groups.join("\u{202f}"))
}

#[cfg(test)]
mod tests {
    use super::NumberForm::{Comma, Plain, Point, Unsaid};
    use super::*;

    #[test]
    fn counts_of_five_digits_and_more_are_in_groups() {
        let told = [0, 9_999, -9_999, 60_000, -1_234_567].map(counted);
        let wanted = [
            "0",
            "9999",
            "-9999",
            "60\u{202f}000",
            "-1\u{202f}234\u{202f}567",
        ];
        assert_eq!(told, wanted);
        assert_eq!(counted(59_683.6), "59\u{202f}684");
    }
    use crate::quantity::Reader;

    fn read(form: NumberForm, text: &str) -> Result<String, String> {
        let read = form.number(text).map(|number| number.to_string());
        read.map_err(|error| error.to_string())
    }

    #[test]
    fn with_the_mark_known_the_other_one_stands_between_thousands() {
        for (text, meant) in [
            ("1.5", "1.5"),
            ("1.500", "1.500"),
            ("1,250", "1250"),
            ("1 234.5", "1234.5"),
            ("1'234'567.25", "1234567.25"),
            ("3\u{2019}500", "3500"),
            ("1\u{202f}200", "1200"),
            ("-0.05", "-0.05"),
            ("0012.5", "12.5"),
            ("12,5", "12.5"),
            ("0,250", "0.250"),
        ] {
            let comma = text.replace('.', ";").replace(',', ".").replace(';', ",");
            for (form, text) in [(Point, text), (Comma, &*comma)] {
                assert_eq!(read(form, text).as_deref(), Ok(meant), "{text}");
            }
        }
    }

    #[test]
    fn what_is_no_number_in_any_form() {
        for text in [
            "",
            ".",
            "5.",
            ",",
            "NaN",
            "inf",
            "1e308",
            "1.2.3",
            "12 3",
            "٣",
            "1  250",
            "12,50,000",
            "0,250,000.5",
            "1 234,567.8",
            "+-1",
            "- 1",
            "1_000",
            "0x10",
            "1,.5",
        ] {
            for form in [Plain, Unsaid, Point, Comma] {
                let read = form.number(text);
                assert!(read.is_err(), "{form:?} {text} {read:?}");
            }
        }
        for text in ["12,5", "1,234.5"] {
            assert!(Plain.number(text).is_err(), "{text}");
        }
    }

    #[test]
    fn a_refusal_names_what_could_be_meant() {
        let refused = |form, text| read(form, text).expect_err(text);
        let (form, unit) = (Point, None);
        let point = Reader { form, unit };
        let words = [
            refused(Unsaid, "1,250"),
            refused(Unsaid, "1.500"),
            refused(Unsaid, "1 234.567"),
            refused(Point, "1234,567"),
            refused(Comma, "1,234.5"),
            refused(Plain, "1,250"),
            refused(Plain, "12,5"),
            refused(Point, "1/2"),
            refused(Point, "1½"),
            refused(Point, ".5"),
            point.count("60.000").expect_err("two").to_string(),
            point.count("2.5").expect_err("half").to_string(),
            point.money("1.500").expect_err("two").to_string(),
        ];
        insta::assert_snapshot!(words.join("\n"), @"
        `1,250` is not accepted; accepted: `1250` or `1.25`, whichever is meant; the farm's setting `decimal_mark` settles it for good
        `1.500` is not accepted; accepted: `1.5` or `1500`, whichever is meant; the farm's setting `decimal_mark` settles it for good
        `1 234.567` is not accepted; accepted: `1234.5670` or `1234567`, whichever is meant; the farm's setting `decimal_mark` settles it for good
        `1234,567` is not accepted; accepted: `1234.567` or `1234567`, whichever is meant
        `1,234.5` is not accepted; accepted: `1234,5`, if that is meant
        `1,250` is not accepted; accepted: `1250` or `1.25`, whichever is meant
        `12,5` is not accepted; accepted: `12.5`, if that is meant
        `1/2` is not accepted; accepted: decimals, such as 0.5 for a half
        `1½` is not accepted; accepted: decimals, such as 0.5 for a half
        `.5` is not accepted; accepted: `0.5`, if that is meant
        `60.000` is not accepted; accepted: `60` or `60000`, whichever is meant
        `2.5` is not accepted; accepted: a whole number such as 60000
        `1.500` is not accepted; accepted: `1.5` or `1500`, whichever is meant
        ");
    }

    #[test]
    fn a_zone_has_its_custom() {
        let (point, comma) = (Some(DecimalMark::Point), Some(DecimalMark::Comma));
        for (zone, mark) in [
            ("America/Denver", point),
            ("Europe/London", point),
            ("Asia/Tokyo", point),
            ("US/Eastern", point),
            ("Europe/Madrid", comma),
            ("America/Argentina/Cordoba", comma),
            ("Africa/Johannesburg", comma),
            ("Etc/GMT+7", None),
            ("UTC", None),
        ] {
            assert_eq!(custom_mark(zone), mark, "{zone}");
        }
    }

    #[test]
    fn counts_take_thousands() {
        assert_eq!(Point.count("60,000"), Ok(60_000));
        assert_eq!(Comma.count("60.000"), Ok(60_000));
        assert_eq!(Unsaid.count("60 000"), Ok(60_000));
        assert!(Comma.count("60,000").is_err());
    }
}
