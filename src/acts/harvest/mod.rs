pub(super) mod cohort_feed;
pub(super) mod learn;
pub(super) mod learned;
pub(super) mod meals;
pub(super) mod mixes;
pub(super) mod on_trays;
pub(super) mod yields;

use jiff::tz::TimeZone;
use jiff::{Timestamp, ToSpan};
use schemars::JsonSchema;
use serde::Serialize;

use crate::acts::doubts::{self, Doubts, kept_before};
use crate::acts::error::{Rejection, all_taken, is_text_if_any, must, shown};
use crate::acts::farm::cohort::find_cohort;
use crate::acts::harvest::yields::larvae_in;
use crate::acts::night::local_day;
use crate::acts::{Asked, Result, settings};
use crate::daybook::{
    Book, Cohort, CohortEnd, CohortLife, Daybook, Entry, Filed, Harvest, NewRecord, ResidueTo,
};
use crate::quantity::{Grams, Reading};
use crate::words::say;

#[derive(Debug, Clone, PartialEq)]
pub struct HarvestAsked {
    /// The cohort's name, or its record such as `r57`.
    pub cohort: String,
    pub larvae: Reading,
    pub larvae_moisture_pct: Option<f64>,
    pub larvae_nitrogen_dm_pct: Option<f64>,
    /// All larvae, counted.
    pub counted: Option<i64>,
    /// Instead of all: how many were in a sample, and its fresh weight in grams.
    pub sample: Option<(i64, f64)>,
    pub dead: Option<i64>,
    pub residue: Option<Reading>,
    pub residue_moisture_pct: Option<f64>,
    pub residue_to: Option<ResidueTo>,
    /// Whether nothing is left on the trays.
    pub last: bool,
    pub note: Option<String>,
    pub sure: bool,
}

/// What was recorded.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Harvested {
    /// Position in the book.
    pub record: i64,
    pub cohort: String,
    #[serde(rename = "cohort_record")]
    pub cohort_seq: i64,
    /// The record that ended it, if this was the last of it.
    pub ended: Option<i64>,
    /// Whether it was in the book before.
    pub already_there: bool,
}

/// The id of the record by which a last harvest ends its cohort.
pub fn ended_with(harvest: &str) -> String {
    format!("{harvest}-end")
}

/// Records larvae and residue taken from a cohort; the last of it ends it.
pub fn record_harvest(
    book: &mut Daybook,
    wanted: &HarvestAsked,
    asked: &Asked,
) -> Result<Harvested> {
    all_taken(wanted.rejections())?;
    book.write(asked.now, |writing| {
        let life = cohort_meant(writing, &wanted.cohort, &asked.id)?;
        let cohort = &life.cohort;
        let before: Vec<Filed<Harvest>> = (writing.harvests(Timestamp::MAX)?.into_iter())
            .filter(|filed| filed.entry.cohort_seq == cohort.seq && filed.id != asked.id)
            .collect();
        let entry = wanted.entry(cohort.seq);
        let meant = Asked {
            sure: asked.sure || wanted.sure,
            ..asked.clone()
        };
        meant.doubt(writing, |doubts| {
            wanted.doubts(doubts);
            likely(&entry, &cohort.entry, &before, doubts);
            let to = local_day(asked.at, &TimeZone::UTC).saturating_add(2.days());
            let fed = writing.fed_lines(cohort.entry.hatched, to)?;
            let fed: Grams = fed.iter().map(|line| line.grams).sum();
            let larvae: Grams = before.iter().map(|filed| filed.entry.larvae_g).sum();
            let larvae = larvae + entry.larvae_g;
            // Where no feeding is written down, nothing can be said of it.
            if fed > Grams::ZERO {
                let times = larvae.kg() / fed.kg();
                let units = settings(writing)?.units;
                let told = |grams| units.told(grams);
                let seen = say!("doubt-above-feed", larvae = told(larvae), fed = told(fed));
                doubts.weigh(&doubts::ABOVE_FEED, "larvae", times, seen);
            }
            Ok(())
        })?;
        let appended = writing.append(&asked.record(Entry::Harvest(entry)))?;
        let ended = if wanted.last {
            let end = CohortEnd {
                name: cohort.entry.name.clone(),
                why: "harvested".to_owned(),
            };
            let id = ended_with(&asked.id);
            let end = NewRecord {
                id,
                ..asked.record(Entry::CohortEnd(end))
            };
            Some(writing.append(&end)?.seq)
        } else {
            None
        };
        Ok(Harvested {
            record: appended.seq,
            cohort: cohort.entry.name.clone(),
            cohort_seq: cohort.seq,
            ended,
            already_there: appended.already_there,
        })
    })
}

/// The cohort a harvest is of: that of the same request before, the record
/// named, or the living one of the name.
fn cohort_meant(book: &Book, reference: &str, id: &str) -> Result<CohortLife> {
    let lives = book.cohort_lives(Timestamp::MAX)?;
    if let Some(kept) = kept_before(book, id)?
        && let Entry::Harvest(before) = &kept.entry
        && let Some(life) = (lives.iter()).find(|life| life.cohort.seq == before.cohort_seq)
    {
        return Ok(life.clone());
    }
    let life = find_cohort(&lives, reference)?;
    let by_record = reference == format!("r{}", life.cohort.seq);
    match &life.ended {
        Some((at, why)) if !by_record => Err(Rejection::new(
            "cohort",
            reference,
            say!("accepted-cohort-alive", at, why, life.cohort.seq),
        )
        .into()),
        _ => Ok(life.clone()),
    }
}

impl HarvestAsked {
    fn entry(&self, cohort_seq: i64) -> Harvest {
        let (sample_count, sample_g) = self.sample.unzip();
        Harvest {
            cohort_seq,
            larvae_g: self.larvae.grams(),
            larvae_text: self.larvae.text().to_owned(),
            larvae_moisture_pct: self.larvae_moisture_pct,
            larvae_nitrogen_dm_pct: self.larvae_nitrogen_dm_pct,
            counted: self.counted,
            sample_count,
            sample_g,
            dead: self.dead,
            residue_g: self.residue.as_ref().map(Reading::grams),
            residue_text: self.residue.as_ref().map(|text| text.text().to_owned()),
            residue_moisture_pct: self.residue_moisture_pct,
            residue_to: self.residue_to,
            note: self.note.clone(),
        }
    }

    fn doubts(&self, doubts: &mut Doubts) {
        if let Some(pct) = self.larvae_moisture_pct {
            doubts.moisture("larvae-moisture", pct, 0.0, None);
        }
        if let Some(pct) = self.residue_moisture_pct {
            doubts.moisture("residue-moisture", pct, 0.0, None);
        }
    }

    fn rejections(&self) -> Vec<Rejection> {
        let not_below_zero = |of: &Reading| of.grams() >= Grams::ZERO;
        let share = |pct: Option<f64>, most| pct.is_none_or(|pct| (0.0..=most).contains(&pct));
        let most = 1_000_000_000;
        let count = |of: Option<i64>, least| of.is_none_or(|of| (least..=most).contains(&of));
        let (sample, grams) = self.sample.unzip();
        let residue = self.residue.as_ref();
        let residue_told = self.residue_moisture_pct.is_some() || self.residue_to.is_some();
        must! {
            not_below_zero(&self.larvae) =>
                "larvae", self.larvae.text(), say!("accepted-not-below-zero");
            residue.is_none_or(not_below_zero) =>
                "residue", residue.map_or("", Reading::text), say!("accepted-not-below-zero");
            share(self.larvae_moisture_pct, 95.0) =>
                "larvae-moisture", shown(&self.larvae_moisture_pct), say!("accepted-per-cent", most = 95);
            share(self.residue_moisture_pct, 100.0) =>
                "residue-moisture", shown(&self.residue_moisture_pct), say!("accepted-per-cent", most = 100);
            share(self.larvae_nitrogen_dm_pct, 16.0) =>
                "larvae-nitrogen", shown(&self.larvae_nitrogen_dm_pct), say!("accepted-per-cent", most = 16);
            grams.is_none_or(|grams| (0.01..=1_000_000.0).contains(&grams)) =>
                "sample", format!("{} g", shown(&grams)), say!("accepted-sample-grams");
            count(self.counted, 0) => "count", shown(&self.counted), say!("accepted-count", least = 0, most);
            self.counted.is_none() || sample.is_none() => "count", shown(&self.counted),
                say!("accepted-count-or-sample");
            count(sample, 1) => "sample", shown(&sample), say!("accepted-count", least = 1, most);
            count(self.dead, 0) => "dead", shown(&self.dead), say!("accepted-count", least = 0, most);
            residue.is_some() || !residue_told =>
                "residue", "", say!("accepted-residue");
            is_text_if_any(&self.note, 500) => "note", shown(&self.note), say!("accepted-line", most = 500);
        }
    }
}

/// Weight and count of the larvae, beside each other and what the cohort began with.
fn likely(harvest: &Harvest, cohort: &Cohort, before: &[Filed<Harvest>], doubts: &mut Doubts) {
    let began = cohort.larvae as f64;
    let counted = larvae_in(harvest).filter(|larvae| *larvae > 0.0);
    let each = harvest.larvae_g.kg() * 1e6 / counted.unwrap_or(began);
    let mg = format!("{each:.0}");
    let (seen, least) = match counted {
        Some(_) => (say!("doubt-larva-weight", mg), each),
        // A part of the cohort weighs less; all of it can't weigh more.
        None => (
            say!("doubt-larva-weight-alive", mg),
            each.max(doubts::LARVA_MG.least),
        ),
    };
    doubts.weigh(&doubts::LARVA_MG, "larvae", least, seen);
    let earlier: f64 = before
        .iter()
        .filter_map(|filed| larvae_in(&filed.entry))
        .sum();
    if let Some(now) = counted {
        let all = earlier + now;
        let (both, start) = (format!("{all:.0}"), format!("{began:.0}"));
        let seen = say!("doubt-more-larvae", all = both, began = start);
        doubts.weigh(&doubts::MORE_LARVAE, "count", all / began, seen);
    }
}
