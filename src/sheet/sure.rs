//! The words of how sure a mix is.

use crate::blend::GroupMix;

use super::document::{Document, Tone};
use super::mix::MixSheet;
use super::words::{one_decimal, pct};

/// One line of chances for a group, and what to test first.
pub(super) fn chances_line(sheet: &MixSheet, group: &GroupMix) -> Option<String> {
    let sureness = sheet.trust.sureness.as_ref()?;
    let told: Vec<String> = sureness
        .measures
        .iter()
        .filter(|measure| measure.group == group.name)
        .map(|measure| {
            format!(
                "{} {:.0} % (± {})",
                measure.measure,
                measure.chance * 100.0,
                one_decimal(measure.sd * 100.0)
            )
        })
        .collect();
    (!told.is_empty()).then(|| {
        format!(
            "Chance of being inside its window (± one standard deviation in points): {}",
            told.join(", ")
        )
    })
}

/// What raises the chances, and what they leave out.
pub(super) fn sureness_part(sheet: &MixSheet, document: &mut Document) {
    let Some(sureness) = &sheet.trust.sureness else {
        return;
    };
    if let Some(reason) = &sureness.failed {
        document.toned(
            Tone::Caution,
            format!("The chance asked for could not be held: {reason}. The mix is the plain one."),
        );
    } else if let Some(asked) = sureness.asked {
        document.line(match sureness.held_at {
            Some(held) if held >= asked => {
                format!("Held inside each window at a chance of {} % before rounding, as asked.", pct(asked))
            }
            Some(held) => format!(
                "No mix is inside at {} %: this is the surest there is, held at {} % before rounding.",
                pct(asked),
                pct(held)
            ),
            None => format!("No mix is inside at {} %: not even one that takes every lot at its book value.", pct(asked)),
        });
    }
    if let Some(test) = &sureness.test_first {
        document.toned(
            Tone::Next,
            if test.to > test.from + 0.005 {
                format!(
                    "Test the moisture of lot {} ({}) first: if it is as in the table, the least sure figure rises from {:.0} % to {:.0} %.",
                    test.lot, test.stream, test.from * 100.0, test.to * 100.0
                )
            } else {
                format!("Test the moisture of lot {} ({}) first: it raises the chances most.", test.lot, test.stream)
            },
        );
    }
    if sureness.asked.is_some() && !sureness.without_spread.is_empty() {
        document.toned(
            Tone::Small,
            format!(
                "Spread not known, so left out: {}.",
                sureness.without_spread.join(", ")
            ),
        );
    }
}
