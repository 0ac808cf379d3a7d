use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;

use crate::daybook::{Book, Cohort, CohortEnd, Daybook, Entry, Filed};
use crate::larvae::{Feeding, StageTable, larvae_per_cm2, meal, next_meal};
use crate::sheet::CohortNow;
use crate::words::say;

use super::doubts::{self, Doubts};
use super::error::{Rejection, all_taken, is_text, must, shown};
use super::on_trays::on_trays;
use super::{ActError, Asked, FarmSettings, Night};

#[derive(Debug, Clone, PartialEq)]
pub struct CohortAsked {
    pub name: String,
    /// Hatch day.
    pub hatched: Date,
    pub larvae: i64,
    pub counted: String,
    pub trays: i64,
    /// Area of one tray, square metres.
    pub tray_area_m2: f64,
    /// Deepest feed layer, centimetres.
    pub depth_cm: Option<f64>,
    /// Larvae of a sample weighed at the start, and their grams, fresh.
    pub start: Option<(i64, f64)>,
    /// How often it is fed; the stage's plan if not said.
    pub feeding: Option<Feeding>,
}

impl CohortAsked {
    fn rejections(&self) -> Vec<Rejection> {
        let start = self.start.is_none_or(|(larvae, grams)| {
            (1..=1_000_000).contains(&larvae) && (0.000_001..=10_000.0).contains(&grams)
        });
        let sample = self
            .start
            .map(|(larvae, grams)| format!("{larvae}={grams}"));
        must! {
            is_text(&self.name, 40) => "name", self.name, "a name of 1 to 40 characters";
            is_text(&self.counted, 200) =>
                "counted", self.counted, "how the larvae were counted, in 1 to 200 characters";
            (1..=1_000_000_000).contains(&self.larvae) =>
                "larvae", self.larvae, "a count from 1 to 1000000000";
            (1..=100_000).contains(&self.trays) => "trays", self.trays, "a count from 1 to 100000";
            (0.001..=100.0).contains(&self.tray_area_m2) => "tray-area", self.tray_area_m2,
                "the area of one tray, 0.001 to 100 m2, as 0.24 or 60x40cm";
            self.depth_cm.is_none_or(|depth| (0.1..=100.0).contains(&depth)) =>
                "depth", shown(&self.depth_cm), "0.1 to 100 cm";
            start => "start-sample", shown(&sample),
                "a count from 1 and its grams above zero, as 200=0.31";
        }
    }

    /// The sample's weight in the whole micrograms the book keeps.
    fn start_ug(&self) -> Option<i64> {
        #[expect(clippy::cast_possible_truncation, reason = "at most 10 kg")]
        self.start.map(|(_, grams)| (grams * 1e6).round() as i64)
    }

    fn doubts(&self, at: Timestamp, doubts: &mut Doubts) {
        let larvae = self.larvae as f64;
        let seen = say!("doubt-larvae", larvae = self.larvae);
        doubts.weigh(&doubts::LARVAE, "larvae", larvae, seen);
        let crowd = larvae_per_cm2(self.larvae, self.trays, self.tray_area_m2);
        let seen = say!("doubt-crowded", larvae = format!("{crowd:.1}"));
        doubts.weigh(&doubts::CROWDED, "larvae", crowd, seen);
        let age = f64::from((at.to_zoned_datetime(TimeZone::UTC).date() - self.hatched).get_days());
        let seen = say!("doubt-hatched", day = self.hatched);
        doubts.weigh(&doubts::HATCH, "hatched", age, seen);
        let seen = format!("{} m2", self.tray_area_m2);
        doubts.weigh(&doubts::TRAY, "tray-area", self.tray_area_m2, seen);
        if let Some(depth) = self.depth_cm {
            doubts.weigh(&doubts::DEPTH, "depth", depth, format!("{depth} cm"));
        }
    }
}

/// Puts a cohort on its trays.
pub fn add_cohort(
    book: &mut Daybook,
    cohort: &CohortAsked,
    asked: &Asked,
) -> Result<i64, ActError> {
    all_taken(cohort.rejections())?;
    book.write(asked.now, |writing| {
        if let Some(living) = writing
            .cohorts(Timestamp::MAX)?
            .into_iter()
            .find(|living| living.entry.name == cohort.name && living.id != asked.id)
        {
            return Err(ActError::CohortThere {
                name: cohort.name.clone(),
                seq: living.seq,
            });
        }
        asked.doubt(writing, |doubts| {
            cohort.doubts(asked.at, doubts);
            Ok(())
        })?;
        let entry = Entry::Cohort(Cohort {
            name: cohort.name.clone(),
            hatched: cohort.hatched,
            larvae: cohort.larvae,
            counted: cohort.counted.clone(),
            trays: cohort.trays,
            tray_area_m2: cohort.tray_area_m2,
            depth_cm: cohort.depth_cm,
            start_count: cohort.start.map(|(larvae, _)| larvae),
            start_ug: cohort.start_ug(),
            feeding: cohort.feeding,
        });
        Ok(writing.append(&asked.record(entry))?.seq)
    })
}

/// Ends a cohort: harvested, lost.
pub fn end_cohort(
    book: &mut Daybook,
    name: &str,
    why: &str,
    asked: &Asked,
) -> Result<i64, ActError> {
    if !is_text(why, 500) {
        return Err(Rejection::new("why", why, "a reason of 1 to 500 characters").into());
    }
    book.write(asked.now, |writing| {
        let living = writing.cohorts(Timestamp::MAX)?;
        if !living.iter().any(|filed| filed.entry.name == name) {
            let known = living.iter().map(|filed| filed.entry.name.as_str());
            return Err(ActError::not_found("cohort", name, known));
        }
        let entry = Entry::CohortEnd(CohortEnd {
            name: name.to_owned(),
            why: why.to_owned(),
        });
        Ok(writing.append(&asked.record(entry))?.seq)
    })
}

/// Cohorts on their trays on a night, with age, stage and feeding plan.
pub fn cohorts_on(
    book: &Book,
    farm: &FarmSettings,
    stages: &StageTable,
    night: Night,
) -> Result<Vec<CohortNow>, ActError> {
    let now = |filed: Filed<Cohort>| {
        let cohort = on_trays(&filed, &farm.zone);
        let age_days = (night.day - cohort.hatched).get_days();
        let stage = stages.at_age(age_days);
        CohortNow {
            record: filed.seq,
            age_days,
            stage: stage.map(|stage| stage.name.clone()),
            feeding: cohort.feeding.or(stage.map(|stage| stage.feeding.value)),
            due: meal(&cohort, age_days, stages).is_some(),
            next: next_meal(&cohort, night.day, stages),
            counted: filed.entry.counted,
            cohort,
        }
    };
    Ok(book.cohorts(night.at)?.into_iter().map(now).collect())
}
