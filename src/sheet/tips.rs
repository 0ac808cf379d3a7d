//! The words of a plan in whole buckets.

use crate::blend::BucketTip;
use crate::quantity::Grams;

use super::document::{Document, Tone};
use super::mix::MixSheet;
use super::words::Units;

/// `3 buckets + 4.2 kg of the fourth`.
#[must_use]
pub(super) fn tip_words(tip: &BucketTip, units: Units) -> String {
    let whole = match tip.whole {
        0 => String::new(),
        1 => "1 bucket".to_owned(),
        many => format!("{many} buckets"),
    };
    if tip.rest == Grams::ZERO {
        return whole;
    }
    let rest = units.weight(tip.rest);
    match tip.whole {
        0 if tip.of <= 1 => format!("{rest} of its bucket"),
        0 => format!("{rest} of one bucket"),
        whole_ones => format!("{whole} + {rest} of the {}", ordinal(whole_ones + 1)),
    }
}

fn ordinal(number: i64) -> String {
    const WORDS: [&str; 10] = [
        "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth",
        "tenth",
    ];
    usize::try_from(number - 1)
        .ok()
        .and_then(|position| WORDS.get(position))
        .map_or_else(|| format!("{number}th"), |word| (*word).to_owned())
}

/// A gap up to this is told as one.
const PROVED_NEAR: f64 = 0.2;

/// What is proved of a bucket plan.
pub(super) fn buckets_part(sheet: &MixSheet, document: &mut Document) {
    let Some(buckets) = &sheet.trust.buckets else {
        return;
    };
    let [plan, linear, _] = &buckets.tiers;
    // A larger gap says more about the bound than about the plan.
    let proved = if buckets.gap <= PROVED_NEAR {
        let pct = (buckets.gap * 1000.0).ceil() / 10.0;
        format!("at most {pct:.1} % from the best possible")
    } else {
        "the best found in the time; a better one may exist".to_owned()
    };
    document.toned(
        Tone::Small,
        format!(
            "Whole buckets, at most one opened per stream: {proved}. Uses {:.1} kg of what spoils soon; {:.1} kg if buckets could be split freely.",
            plan.urgent_kg,
            linear.urgent_kg
        ),
    );
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Decimal, Division, MassUnit, NumberForm};

    #[test]
    fn buckets_are_told_as_a_feeder_would() {
        let units = Units {
            division: Division::new(Decimal::parse("0.1").expect("number"), MassUnit::Kg)
                .expect("division"),
            form: NumberForm::Unsaid,
        };
        let tip = |whole, rest, of| BucketTip {
            lot: "1".to_owned(),
            whole,
            rest: Grams::new(rest),
            of,
        };
        let told = [
            tip(3, 4_200, 6),
            tip(1, 0, 1),
            tip(0, 700, 1),
            tip(0, 700, 3),
        ]
        .map(|tip| tip_words(&tip, units));
        assert_eq!(
            told,
            [
                "3 buckets + 4.2 kg of the fourth",
                "1 bucket",
                "0.7 kg of its bucket",
                "0.7 kg of one bucket"
            ]
        );
    }
}
