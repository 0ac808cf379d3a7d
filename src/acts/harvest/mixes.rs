use std::collections::{BTreeMap, BTreeSet};

use jiff::Timestamp;

use super::yields::yields_and_feed;
use crate::acts::money::ledger::costs_of_month;
use crate::acts::{Desk, Given, Month, Result, YieldAsked};
use crate::harvest::Metric;
use crate::learn::{Row, ridge};
use crate::sheet::{CohortCost, CohortYield, MIX_MEASURES, MixesSheet, TriedMix};
use crate::stream::Analyte;

/// Cohorts told at each end of the list (our default).
const TOLD: usize = 4;

/// Which measures of their mixes went with the bioconversion of cohorts, and
/// the best and worst of them.
pub fn mixes((book, farm, tables): Desk<'_>, until: Timestamp) -> Result<MixesSheet> {
    book.at_one_moment(|book| {
        let (cohorts, feed) =
            yields_and_feed((book, farm, tables), None, YieldAsked::default(), until)?;
        let mut tried: Vec<(&CohortYield, &Given, f64)> = cohorts
            .iter()
            .filter(|cohort| cohort.conversion.doubts.is_empty())
            .filter_map(|cohort| {
                let result = cohort.conversion.value(Metric::Bioconversion)?;
                Some((cohort, feed.given.get(&cohort.record)?, result))
            })
            .collect();
        tried.sort_by(|a, b| (b.2.total_cmp(&a.2)).then(a.0.record.cmp(&b.0.record)));
        let rows = tried.iter().map(|(cohort, given, result)| Row {
            measures: values(cohort, given).to_vec(),
            result: *result,
        });
        let rows: Vec<Row> = rows.collect();
        let told = |at: &usize| *at < TOLD || *at + TOLD >= tried.len();
        let shown: Vec<usize> = (0..tried.len()).filter(told).collect();
        let costs = costs((book, farm, tables), shown.iter().map(|at| tried[*at].0))?;
        let shown_mix = |at: usize| {
            let (cohort, given, result) = &tried[at];
            TriedMix {
                place: at + 1,
                record: cohort.record,
                name: cohort.name.clone(),
                bioconversion_pct: *result,
                values: values(cohort, given),
                feed: cohort.feed.clone(),
                cost: costs.get(&cohort.record).cloned(),
            }
        };
        Ok(MixesSheet {
            ridge: ridge(&rows),
            cohorts: tried.len(),
            in_doubt: cohorts.len() - tried.len(),
            tried: shown.into_iter().map(shown_mix).collect(),
            units: farm.units,
        })
    })
}

/// In the order of [`MIX_MEASURES`]: % as fed, % of dry matter, mg a larva.
fn values(cohort: &CohortYield, given: &Given) -> [Option<f64>; MIX_MEASURES.len()] {
    #[expect(clippy::cast_precision_loss, reason = "counts stay below 2^53")]
    let larvae = cohort.yielded.began.unwrap_or(0) as f64;
    let ration = cohort.yielded.fed_dry_kg.map(|kg| kg * 1e6 / larvae);
    MIX_MEASURES.map(|name| match name {
        "moisture" => given.moisture().map(|share| 100.0 * share),
        "ration" => ration.filter(|mg| mg.is_finite()),
        analyte => (given.share_of(&Analyte::named(analyte))).map(|share| 100.0 * share),
    })
}

/// What cohorts cost in the months of their last harvests.
fn costs<'a>(
    (book, farm, tables): Desk<'_>,
    cohorts: impl Iterator<Item = &'a CohortYield>,
) -> Result<BTreeMap<i64, CohortCost>> {
    let months = cohorts.filter_map(|cohort| Some(Month::of(cohort.parts.last()?.day)));
    let mut costs = BTreeMap::new();
    for month in months.collect::<BTreeSet<Month>>() {
        let of_month = costs_of_month((book, farm, tables), month)?;
        costs.extend(of_month.into_iter().map(|cost| (cost.record, cost)));
    }
    Ok(costs)
}
