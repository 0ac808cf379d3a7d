use std::collections::{BTreeMap, BTreeSet};

use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;

use crate::blend::Composition;
use crate::daybook::{Book, CohortLife, LotFacts};
use crate::larvae::{CohortOnTrays, StageTable, eaters};
use crate::quantity::ShareAsFed;
use crate::stream::{Analyte, StreamId};

use super::harvest::local_day;
use super::on_trays::on_trays;
use super::{ActError, Tables};

/// What a cohort was given over some nights. Weights are kilograms.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Given {
    /// As fed, water in it.
    pub wet_kg: f64,
    /// Dry matter of the parts whose moisture is known.
    pub dry_matter_kg: f64,
    /// As fed, of parts whose moisture nobody knows.
    pub unknown_kg: f64,
    /// Of each analyte: its weight, and the dry matter in which it is known.
    pub analytes: BTreeMap<Analyte, Known>,
    /// As fed, by stream; water is not among them.
    pub streams_kg: BTreeMap<StreamId, f64>,
    /// As fed, by the lot's ticket.
    pub lots_kg: BTreeMap<i64, f64>,
    /// As fed, of what was bought for the night, by stream.
    pub added_kg: BTreeMap<StreamId, f64>,
    pub water_kg: f64,
    /// The nights it was fed, with its feed group then.
    pub nights: BTreeSet<(Date, String)>,
    /// By stage: dry matter, and how many meals.
    pub stages: BTreeMap<String, StageFeed>,
}

/// Weight of an analyte, and the dry matter it was found in.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Known {
    /// Kilograms of the analyte.
    pub kg: f64,
    /// Kilograms of dry matter whose content is known.
    pub of_dry_matter_kg: f64,
}

/// What a cohort got while in a stage.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct StageFeed {
    pub dry_matter_kg: f64,
    /// Meals in it.
    pub nights: i32,
}

#[derive(Debug, Clone, PartialEq, Default)]
pub struct CohortFeed {
    /// By the cohort's record.
    pub given: BTreeMap<i64, Given>,
    /// Kilograms fed to a group in which no cohort was due: whose it was, nobody knows.
    pub unplaced_kg: f64,
}

/// One helping on its way to the trays.
struct Helping {
    stream: Option<StreamId>,
    lot_seq: Option<i64>,
    kg: f64,
    composition: Composition,
}

/// What each cohort was given in the nights from `from` to `to`.
///
/// A record of feeding names the feed group, not its cohorts: the group's
/// weight is shared among those that were on their trays that night and
/// due in it, by the dry matter the stage table asks for each (our rule, as on
/// the sheet). Dry matter is by each lot's newest moisture test, else its dock
/// moisture, else the stream table.
pub fn cohort_feed(
    book: &Book,
    tables: &Tables,
    lives: &[CohortLife],
    zone: &TimeZone,
    (from, to): (Date, Date),
) -> Result<CohortFeed, ActError> {
    book.at_one_moment(|book| {
        let lines = book.fed_lines(from, to)?;
        let facts = book.lot_facts(lines.iter().map(|line| line.lot_seq))?;
        let mut meals: BTreeMap<(Date, Timestamp), BTreeMap<String, Vec<Helping>>> =
            BTreeMap::new();
        for line in &lines {
            let lot = facts.get(&line.lot_seq);
            let helping = Helping {
                stream: lot.map(|lot| lot.stream.clone()),
                lot_seq: Some(line.lot_seq),
                kg: line.grams.kg(),
                composition: lot
                    .map(|lot| composition_of(lot, tables))
                    .unwrap_or_default(),
            };
            let meal = meals.entry((line.night, line.at)).or_default();
            meal.entry(line.group.clone()).or_default().push(helping);
        }
        for line in book.added_lines(from, to)? {
            let helping = Helping {
                composition: line
                    .stream
                    .as_ref()
                    .and_then(|stream| tables.streams.get(stream))
                    .map(Composition::of)
                    .unwrap_or_default(),
                stream: line.stream,
                lot_seq: None,
                kg: line.grams.kg(),
            };
            let meal = meals.entry((line.night, line.at)).or_default();
            let group = tables.stages.name_now(&line.group).to_owned();
            meal.entry(group).or_default().push(helping);
        }
        let mut feed = CohortFeed::default();
        for ((night, at), groups) in &meals {
            let living = living_on(lives, *night, *at, zone);
            for (group, helpings) in groups {
                let eaters = eaters_among(&living, *night, group, &tables.stages);
                share_out(&mut feed, *night, group, &eaters, helpings);
            }
        }
        Ok(feed)
    })
}

/// What a lot is made of, as [`cohort_feed`] reckons.
pub(super) fn composition_of(lot: &LotFacts, tables: &Tables) -> Composition {
    let stream = tables.streams.get(&lot.stream);
    let mut composition = stream.map(Composition::of).unwrap_or_default();
    let tested = lot.assay.as_ref().map(|assay| assay.moisture_pct);
    if let Some(moisture) =
        (tested.or(lot.moisture_pct)).and_then(|pct| ShareAsFed::from_pct(pct).ok())
    {
        composition.moisture = Some(moisture);
    }
    composition
}

/// Who was on trays for a night's meal: what was written down late is still
/// that night's, so an end on a later day does not take a cohort away from it.
fn living_on(
    lives: &[CohortLife],
    night: Date,
    at: Timestamp,
    zone: &TimeZone,
) -> Vec<(i64, CohortOnTrays)> {
    let outlived = |ended: Timestamp| ended >= at || local_day(ended, zone) > night;
    let lives_then = |life: &&CohortLife| {
        life.cohort.at <= at && (life.ended.as_ref()).is_none_or(|(ended, _)| outlived(*ended))
    };
    let told = lives.iter().filter(lives_then);
    told.map(|life| (life.cohort.seq, on_trays(&life.cohort, zone)))
        .collect()
}

/// A cohort at a meal.
pub(super) struct Eater {
    pub(super) cohort_seq: i64,
    pub(super) asked_kg: f64,
    share: f64,
    stage: String,
}

/// Who was fed in a group, from the cohorts on their trays then.
pub(super) fn eaters_of(
    lives: &[CohortLife],
    night: Date,
    at: Timestamp,
    group: &str,
    (stages, zone): (&StageTable, &TimeZone),
) -> Vec<Eater> {
    eaters_among(&living_on(lives, night, at, zone), night, group, stages)
}

fn eaters_among(
    living: &[(i64, CohortOnTrays)],
    night: Date,
    group: &str,
    stages: &StageTable,
) -> Vec<Eater> {
    let cohorts: Vec<CohortOnTrays> = living.iter().map(|(_, cohort)| cohort.clone()).collect();
    let Some(group) = eaters(&cohorts, night, group, stages) else {
        return Vec::new();
    };
    let of_cohort = |due: &crate::larvae::Due| {
        let (seq, _) = living
            .iter()
            .find(|(_, one)| (&one.name, one.hatched) == (&due.cohort.name, due.cohort.hatched))?;
        Some(Eater {
            cohort_seq: *seq,
            asked_kg: due.dry_matter_kg,
            share: group.share(due),
            stage: stages.at_age(due.age_days)?.name.clone(),
        })
    };
    group.due.iter().filter_map(of_cohort).collect()
}

fn share_out(
    feed: &mut CohortFeed,
    night: Date,
    group: &str,
    eaters: &[Eater],
    helpings: &[Helping],
) {
    if eaters.is_empty() {
        feed.unplaced_kg += helpings.iter().map(|helping| helping.kg).sum::<f64>();
        return;
    }
    for eater in eaters {
        let given = feed.given.entry(eater.cohort_seq).or_default();
        given.nights.insert((night, group.to_owned()));
        let before = given.dry_matter_kg;
        for helping in helpings {
            given.take(helping, eater.share);
        }
        let stage = given.stages.entry(eater.stage.clone()).or_default();
        stage.dry_matter_kg += given.dry_matter_kg - before;
        stage.nights += 1;
    }
}

impl Given {
    fn take(&mut self, helping: &Helping, share: f64) {
        let kg = helping.kg * share;
        self.wet_kg += kg;
        if let Some(lot) = helping.lot_seq {
            *self.lots_kg.entry(lot).or_default() += kg;
        }
        let Some(stream) = &helping.stream else {
            if helping.lot_seq.is_some() {
                self.unknown_kg += kg;
            } else {
                self.water_kg += kg;
            }
            return;
        };
        *self.streams_kg.entry(stream.clone()).or_default() += kg;
        if helping.lot_seq.is_none() {
            *self.added_kg.entry(stream.clone()).or_default() += kg;
        }
        let Some(moisture) = helping.composition.moisture else {
            self.unknown_kg += kg;
            return;
        };
        let dry_matter = kg * (1.0 - moisture.get());
        self.dry_matter_kg += dry_matter;
        for (analyte, share_of_dry) in &helping.composition.analytes {
            let known = self.analytes.entry(analyte.clone()).or_default();
            known.kg += dry_matter * share_of_dry.get();
            known.of_dry_matter_kg += dry_matter;
        }
    }

    /// Share of an analyte in the dry matter it is known in, 0..=1; `None`
    /// where it is known for less than nine tenths of it (our default).
    pub fn share_of(&self, analyte: &Analyte) -> Option<f64> {
        let known = self.analytes.get(analyte)?;
        (self.dry_matter_kg > 0.0 && known.of_dry_matter_kg >= 0.9 * self.dry_matter_kg)
            .then(|| known.kg / known.of_dry_matter_kg)
    }

    /// Moisture of all that was given, 0..=1; `None` when some of it is not known.
    pub fn moisture(&self) -> Option<f64> {
        (self.wet_kg > 0.0 && self.unknown_kg <= 0.0)
            .then(|| 1.0 - self.dry_matter_kg / self.wet_kg)
    }
}
