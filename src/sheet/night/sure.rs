//! The words of how sure a mix is.

use crate::blend::GroupMix;
use crate::stream::Measure;
use crate::words::{Said, say};

use super::MixSheet;
use crate::sheet::document::Document;

/// The figure least likely to be inside its window: `growing moisture, 8 in 10`.
pub(super) fn least_sure(sheet: &MixSheet) -> Option<Said> {
    let least = sheet.trust.sureness.as_ref()?.least()?;
    let (group, measure) = (&least.group, least.measure.said());
    let chance = in_ten(least.chance);
    Some(say!("mix-sure-of", group, measure, chance))
}

pub(super) fn chance_of(sheet: &MixSheet, group: &GroupMix, measure: &Measure) -> Said {
    let Some(sureness) = &sheet.trust.sureness else {
        return Said::default();
    };
    let mut measures = sureness.measures.iter();
    let own = measures.find(|sure| sure.group == group.name && sure.measure == *measure);
    let mut untold = sureness.untold.iter();
    match own {
        Some(sure) => in_ten(sure.chance),
        None if untold.any(|(name, of)| *name == group.name && of == measure) => say!("not-known"),
        None => Said::default(),
    }
}

/// A chance as people say it, rounded down.
fn in_ten(chance: f64) -> Said {
    /// What 100,000 draws would not tell apart is not rounded down.
    const SAME: f64 = 0.005;
    let (times, of) = match chance + SAME {
        sure if sure >= 0.99 => (99.0, 100),
        sure if sure >= 0.95 => (19.0, 20),
        sure if sure < 0.1 => return say!("less-than", number = chance_words(1.0, 10)),
        sure => ((sure * 10.0).floor(), 10),
    };
    chance_words(times, of)
}

fn chance_words(times: f64, of: i64) -> Said {
    say!("chance", times, of)
}

/// Where the mix is less sure than asked for: that it is, and what would help most.
pub(super) fn helps_part(sheet: &MixSheet, document: &mut Document) {
    let Some(sureness) = &sheet.trust.sureness else {
        return;
    };
    if !sheet.mix.verdict.is_fed() || !sureness.is_below_asked() {
        return;
    }
    let asked = in_ten(sureness.asked.unwrap_or(0.0));
    document.caution(say!("mix-less-sure", asked));
    if let Some(test) = &sureness.test_first {
        let (lot, stream) = (&test.lot, &test.stream);
        let (from, to) = (in_ten(test.from), in_ten(test.to));
        document.next(match to != from {
            true => say!("mix-test-gains", lot, stream, from, to),
            false => say!("mix-test-first", lot, stream),
        });
    }
    if let Some(helped) = &sureness.helped_by {
        let (stream, chance) = (&helped.stream, in_ten(helped.to));
        let besides = sureness.test_first.is_some();
        let weight = sheet.units.told_kg(1.0);
        document.next(say!("mix-buy-helps", besides, weight, stream, chance));
    }
}

pub(super) fn left_out_part(sheet: &MixSheet, document: &mut Document) {
    let Some(sureness) = &sheet.trust.sureness else {
        return;
    };
    if !sureness.untold.is_empty() {
        let what = Said::joined(sureness.without_spread.iter().map(Said::from), ", ");
        document.small(say!("mix-no-chance", what));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_chance_is_never_told_as_more_than_it_is() {
        let told = [0.04, 0.45, 0.5, 0.794, 0.796, 0.8, 0.94, 0.951, 0.99];
        assert_eq!(
            told.map(|chance| in_ten(chance).in_english()),
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
