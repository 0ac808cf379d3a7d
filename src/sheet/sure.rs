//! The words of how sure a mix is.

use crate::blend::GroupMix;
use crate::stream::Measure;

use super::document::{Document, Tone};
use super::mix::MixSheet;

/// The figure least likely to be inside its window: `growing moisture, 8 in 10`.
pub(super) fn least_sure(sheet: &MixSheet) -> Option<String> {
    let least = sheet.trust.sureness.as_ref()?.least()?;
    Some(format!(
        "{} {}, {}",
        least.group,
        least.measure,
        in_ten(least.chance)
    ))
}

/// The chance of a measure being inside its window, where it is known.
pub(super) fn chance_of(sheet: &MixSheet, group: &GroupMix, measure: &Measure) -> String {
    let Some(sureness) = &sheet.trust.sureness else {
        return String::new();
    };
    let mut measures = sureness.measures.iter();
    let own = measures.find(|sure| sure.group == group.name && sure.measure == *measure);
    let mut untold = sureness.untold.iter();
    match own {
        Some(sure) => in_ten(sure.chance),
        None if untold.any(|(name, of)| *name == group.name && of == measure) => {
            "not known".to_owned()
        }
        None => String::new(),
    }
}

/// A chance as people say it, rounded down.
fn in_ten(chance: f64) -> String {
    /// What 100,000 draws would not tell apart is not rounded down.
    const SAME: f64 = 0.005;
    if chance >= 0.99 - SAME {
        return "99 in 100".to_owned();
    }
    if chance >= 0.95 - SAME {
        return "19 in 20".to_owned();
    }
    match ((chance + SAME) * 10.0).floor() {
        none if none < 1.0 => "less than 1 in 10".to_owned(),
        tenths => format!("{tenths:.0} in 10"),
    }
}

/// Where the mix is less sure than asked for: that it is, and what would help most.
pub(super) fn helps_part(sheet: &MixSheet, document: &mut Document) {
    let Some(sureness) = &sheet.trust.sureness else {
        return;
    };
    if !sheet.mix.verdict.is_fed() || !sureness.is_below_asked() {
        return;
    }
    let asked = sureness.asked.unwrap_or(0.0);
    document.toned(
        Tone::Out,
        format!("Less sure than asked for, {}.", in_ten(asked)),
    );
    if let Some(test) = &sureness.test_first {
        let gain = if test.to > test.from + 0.005 {
            format!(
                ": if it is as in the table, {} instead of {}",
                in_ten(test.to),
                in_ten(test.from)
            )
        } else {
            String::new()
        };
        document.toned(
            Tone::Next,
            format!(
                "Helps most: test the moisture of lot {} ({}){gain}.",
                test.lot, test.stream
            ),
        );
    }
    if let Some(helped) = &sureness.helped_by {
        let lead = if sureness.test_first.is_some() {
            "Or"
        } else {
            "Helps most:"
        };
        document.toned(
            Tone::Next,
            format!(
                "{lead} buy a kilogram of {}: then {}.",
                helped.stream,
                in_ten(helped.to)
            ),
        );
    }
}

/// What the chances leave out, in small print.
pub(super) fn left_out_part(sheet: &MixSheet, document: &mut Document) {
    let Some(sureness) = &sheet.trust.sureness else {
        return;
    };
    if !sureness.untold.is_empty() {
        document.toned(
            Tone::Small,
            format!(
                "No chance is told where a spread is not known: {}.",
                sureness.without_spread.join(", ")
            ),
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_chance_is_never_told_as_more_than_it_is() {
        let told = [0.04, 0.45, 0.5, 0.794, 0.796, 0.8, 0.94, 0.951, 0.99].map(in_ten);
        assert_eq!(
            told,
            [
                "less than 1 in 10",
                "4 in 10",
                "5 in 10",
                "7 in 10",
                "8 in 10",
                "8 in 10",
                "9 in 10",
                "19 in 20",
                "99 in 100"
            ]
        );
    }
}
