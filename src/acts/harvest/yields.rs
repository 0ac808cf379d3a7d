use std::collections::BTreeMap;

use jiff::Timestamp;
use jiff::civil::Date;

use crate::acts::farm::cohort::find_cohort;
use crate::acts::night::local_day;
use crate::acts::{CohortFeed, Desk, FarmSettings, Given, Result, cohort_feed};
use crate::daybook::{Cohort, CohortLife, Filed, Harvest};
use crate::harvest::{
    Count, NitrogenFactor, Part, Residue, StartWeight, Yield, conversion, gathered,
};
use crate::quantity::{Grams, ShareAsFed, ShareOfDry};
use crate::sheet::{CohortYield, FeedPart, HarvestPart, YieldSheet};
use crate::stream::Analyte;

/// How yields are to be reckoned.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct YieldAsked {
    pub factor: NitrogenFactor,
    /// What becomes of the weight larvae began with.
    pub start: StartWeight,
    /// Leaves out cohorts that ended before.
    pub since: Option<Timestamp>,
}

/// What cohorts made of their feed: one of them, or all that were harvested
/// or ended, the latest first.
pub fn yields(
    (book, farm, tables): Desk<'_>,
    only: Option<&str>,
    how: YieldAsked,
    until: Timestamp,
) -> Result<YieldSheet> {
    let (cohorts, _) = yields_and_feed((book, farm, tables), only, how, until)?;
    Ok(YieldSheet {
        cohorts,
        one: only.is_some(),
        factor: how.factor,
        start: how.start,
        units: farm.units,
    })
}

/// The same, with what all cohorts were given.
pub(crate) fn yields_and_feed(
    (book, farm, tables): Desk<'_>,
    only: Option<&str>,
    how: YieldAsked,
    until: Timestamp,
) -> Result<(Vec<CohortYield>, CohortFeed)> {
    book.at_one_moment(|book| {
        let lives = book.cohort_lives(until)?;
        let mut harvests: BTreeMap<i64, Vec<Filed<Harvest>>> = BTreeMap::new();
        for filed in book.harvests(until)? {
            let of_cohort = harvests.entry(filed.entry.cohort_seq).or_default();
            of_cohort.push(filed);
        }
        let wanted: Vec<&CohortLife> = match only {
            Some(reference) => vec![find_cohort(&lives, reference)?],
            None => (lives.iter().rev())
                .filter(|life| match &life.ended {
                    Some((ended, _)) => how.since.is_none_or(|since| *ended >= since),
                    None => harvests.contains_key(&life.cohort.seq),
                })
                .collect(),
        };
        let span = span_of(&wanted, farm, until);
        let feed = span
            .map(|span| cohort_feed((book, farm, tables), &lives, span))
            .transpose()?
            .unwrap_or_default();
        let none = Vec::new();
        let cohorts = wanted.into_iter().map(|life| {
            let given = feed.given.get(&life.cohort.seq);
            let of_cohort = harvests.get(&life.cohort.seq).unwrap_or(&none);
            cohort_yield(life, given, of_cohort, farm, how)
        });
        Ok((cohorts.collect(), feed))
    })
}

/// The days in which any of them may have been fed.
fn span_of(lives: &[&CohortLife], farm: &FarmSettings, until: Timestamp) -> Option<(Date, Date)> {
    let first = lives.iter().map(|life| life.cohort.entry.hatched).min()?;
    let last = |life: &&CohortLife| {
        let at = life.ended.as_ref().map_or(until, |(at, _)| *at);
        local_day(at, &farm.zone)
    };
    Some((first, lives.iter().map(last).max()?))
}

/// One cohort's yield, from what it was given and what was taken off.
fn cohort_yield(
    life: &CohortLife,
    given: Option<&Given>,
    harvests: &[Filed<Harvest>],
    farm: &FarmSettings,
    how: YieldAsked,
) -> CohortYield {
    let cohort = &life.cohort.entry;
    let nothing = Given::default();
    let given = given.unwrap_or(&nothing);
    let last_part = harvests.len().saturating_sub(1);
    let parts: Vec<Part> = (harvests.iter().enumerate())
        .map(|(at, filed)| part_of(&filed.entry, at == last_part && life.ended.is_some()))
        .collect();
    let first_night = given.nights.first().copied();
    let last_day = (harvests.last()).map(|filed| local_day(filed.at, &farm.zone));
    let days = first_night
        .zip(last_day)
        .map(|(first, last)| f64::from((last - first).get_days()));
    let known = given.unknown_kg <= 0.0;
    let protein = given
        .share_of(&Analyte::named("protein"))
        .map(|share| share * given.dry_matter_kg);
    let fed = Yield {
        fed_kg: Grams::from_kg(given.wet_kg).unwrap_or(Grams::ZERO).kg(),
        fed_dry_kg: known.then_some(given.dry_matter_kg),
        fed_protein_kg: protein.filter(|_| known),
        factor: how.factor,
        began: Some(cohort.larvae),
        start: match how.start {
            StartWeight::Usual => measured_start(cohort).unwrap_or_default(),
            chosen => chosen,
        },
        days,
        ..Yield::default()
    };
    let yielded = gathered(fed, &parts);
    CohortYield {
        record: life.cohort.seq,
        name: cohort.name.clone(),
        hatched: cohort.hatched,
        ended: (life.ended.as_ref()).map(|(at, why)| (local_day(*at, &farm.zone), why.clone())),
        nights: given.nights.len(),
        first_night,
        moisture: given.moisture(),
        feed: feed_parts(given),
        parts: (harvests.iter())
            .map(|filed| harvest_part(filed, farm))
            .collect(),
        conversion: conversion(&yielded),
        yielded,
    }
}

/// The weight a larva had by the cohort's own counted sample.
fn measured_start(cohort: &Cohort) -> Option<StartWeight> {
    let (count, micrograms) = cohort.start_count.zip(cohort.start_ug)?;
    let mg_fresh = micrograms as f64 / 1e3 / count as f64;
    (mg_fresh.is_finite()).then_some(StartWeight::Measured { mg_fresh })
}

/// What was fed, by stream, the heaviest first.
fn feed_parts(given: &Given) -> Vec<FeedPart> {
    let streams = given.streams_kg.iter();
    let streams = streams.map(|(stream, kg)| (stream.as_str().to_owned(), *kg));
    let water = (given.water_kg > 0.0).then(|| ("water".to_owned(), given.water_kg));
    let parts = streams.chain(water).map(|(what, kg)| FeedPart { what, kg });
    let mut parts: Vec<FeedPart> = parts.collect();
    parts.sort_by(|a, b| b.kg.total_cmp(&a.kg).then_with(|| a.what.cmp(&b.what)));
    parts
}

/// A harvest as the formulas take it. Residue that was not weighed while the
/// cohort went on is back on its trays.
fn part_of(harvest: &Harvest, final_part: bool) -> Part {
    let share = |pct: Option<f64>| ShareAsFed::from_pct(pct?).ok();
    Part {
        larvae: harvest.larvae_g,
        larvae_moisture: share(harvest.larvae_moisture_pct),
        count: count_of(harvest),
        larvae_nitrogen: (harvest.larvae_nitrogen_dm_pct)
            .and_then(|pct| ShareOfDry::from_pct(pct).ok()),
        residue: match harvest.residue_g {
            Some(wet) => Residue::Weighed {
                wet,
                moisture: share(harvest.residue_moisture_pct),
            },
            None if final_part => Residue::NotWeighed,
            None => Residue::PutBack,
        },
        deaths_seen: harvest.dead.unwrap_or(0),
    }
}

pub(crate) fn count_of(harvest: &Harvest) -> Option<Count> {
    match (harvest.counted, harvest.sample_count, harvest.sample_g) {
        (Some(larvae), ..) => Some(Count::Counted(larvae)),
        (None, Some(larvae), Some(grams)) => Some(Count::Sample {
            larvae,
            milligrams: Grams::from_kg(grams)?.get(),
        }),
        _ => None,
    }
}

fn harvest_part(filed: &Filed<Harvest>, farm: &FarmSettings) -> HarvestPart {
    let harvest = &filed.entry;
    HarvestPart {
        record: filed.seq,
        day: local_day(filed.at, &farm.zone),
        by: filed.by.clone(),
        larvae: harvest.larvae_g,
        larvae_moisture_pct: harvest.larvae_moisture_pct,
        larvae_count: larvae_in(harvest),
        sampled: harvest.sample_count,
        dead: harvest.dead,
        residue: harvest.residue_g,
        residue_moisture_pct: harvest.residue_moisture_pct,
        residue_to: harvest.residue_to.map(|to| to.as_str().to_owned()),
        note: harvest.note.clone(),
    }
}

/// Larvae in a harvest, by its count or sample.
pub(crate) fn larvae_in(harvest: &Harvest) -> Option<f64> {
    count_of(harvest)?.larvae_in(harvest.larvae_g)
}
