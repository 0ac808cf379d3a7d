use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::harvest::Metric;
use crate::quantity::wire::{each, view};
use crate::words::Said;

use super::yields::{CohortYield, FeedPart, HarvestPart, YieldSheet};

view! {
    /// Yields: kilograms, per cent and counts as numbers.
    pub Yields(sheet: &YieldSheet) {
        nitrogen_factor: f64 = sheet.factor.value(),
        start_weight: Said = sheet.start.said(),
        cohorts: Vec<Yielded> = each(&sheet.cohorts),
    }

    Yielded(of: &CohortYield) {
        cohort: String = of.name.clone(),
        record: i64,
        hatched: String = of.hatched.to_string(),
        ended: Option<Ended> = of.ended.as_ref().map(Ended::from),
        nights_fed: usize = of.nights,
        fed_kg: f64 = of.yielded.fed_kg,
        fed_dm_kg: Option<f64> = of.yielded.fed_dry_kg,
        fed: Vec<FedPart> = each(&of.feed),
        larvae_kg: f64 = of.yielded.larvae_kg,
        larvae_dm_kg: Option<f64> = of.yielded.larvae_dry_kg,
        larvae_count: Option<f64> = of.yielded.ended,
        residue_kg: Option<f64> = of.yielded.residue_kg,
        residue_dm_kg: Option<f64> = of.yielded.residue_dry_kg,
        days: Option<f64> = of.yielded.days,
        start_weight: Said = of.yielded.start.said(),
        figures: BTreeMap<&'static str, Option<f64>> =
            Metric::ALL.into_iter().map(|metric| (metric.key(), of.conversion.get(metric).clone().ok())).collect(),
        not_told: BTreeMap<&'static str, Vec<Said>> = not_told(of),
        doubts: Vec<Said> = of.conversion.doubts.clone(),
        harvests: Vec<HarvestPart> = of.parts.clone(),
    }

    pub(in crate::sheet) Ended((day, why): &(Date, String)) {
        day: String = day.to_string(),
        why: String = why.clone(),
    }

    pub(super) FedPart(part: &FeedPart) {
        stream: String = part.what.clone(),
        kg: f64,
    }
}

fn not_told(of: &CohortYield) -> BTreeMap<&'static str, Vec<Said>> {
    let lacks = |metric| of.conversion.get(metric).as_ref().err();
    let words = |metric| Some(lacks(metric)?.iter().map(|lack| lack.said()).collect());
    let each = Metric::ALL.into_iter();
    each.filter_map(|metric| Some((metric.key(), words(metric)?)))
        .collect()
}
