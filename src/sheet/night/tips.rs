//! The words of a plan in whole buckets.

use crate::blend::BucketTip;
use crate::quantity::Grams;
use crate::words::{Said, say};

use super::MixSheet;
use crate::sheet::document::Document;
use crate::sheet::words::Units;

/// `3 buckets + 4.2 kg of the next`.
#[must_use]
pub(super) fn tip_words(tip: &BucketTip, units: Units) -> Said {
    let (whole, rest) = (tip.whole, units.weight(tip.rest));
    match (whole, tip.of) {
        _ if tip.rest == Grams::ZERO => say!("tip-whole", whole),
        (0, ..=1) => say!("tip-own", rest),
        _ => say!("tip-rest", whole, rest),
    }
}

/// A gap up to this is told as one.
const PROVED_NEAR: f64 = 0.2;

pub(super) fn buckets_part(sheet: &MixSheet, document: &mut Document) {
    let Some(buckets) = &sheet.trust.buckets else {
        return;
    };
    // A larger gap says more about the bound than about the plan.
    let proved = if buckets.gap <= PROVED_NEAR {
        let pct = (buckets.gap * 1000.0).ceil() / 10.0;
        say!("buckets-near-best", pct = format!("{pct:.1}"))
    } else {
        say!("buckets-best-found")
    };
    let [plan, free, _] = (buckets.tiers).map(|tiers| format!("{:.1}", tiers.urgent_kg));
    document.small(say!("buckets-proved", proved, plan, free));
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
        .map(|tip| tip_words(&tip, units).in_english());
        assert_eq!(
            told,
            [
                "3 buckets + 4.2 kg of the next",
                "1 bucket",
                "0.7 kg of its bucket",
                "0.7 kg of one bucket"
            ]
        );
    }
}
