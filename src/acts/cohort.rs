use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;

use crate::daybook::{Book, Cohort, CohortEnd, Daybook, Entry, Filed};
use crate::larvae::{Feeding, StageTable, larvae_per_cm2, meal, next_meal};
use crate::sheet::CohortNow;
use crate::table::nearest_names;
use crate::words::say;

use super::doubts::{self, Doubts};
use super::error::Rejection;
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
        let mut rejections = Vec::new();
        let word = |text: &str, most: usize| {
            !text.trim().is_empty()
                && text.chars().count() <= most
                && !text.chars().any(char::is_control)
        };
        if !word(&self.name, 40) {
            rejections.push(Rejection::new(
                "name",
                &self.name,
                "a name of 1 to 40 characters",
            ));
        }
        if !word(&self.counted, 200) {
            rejections.push(Rejection::new(
                "counted",
                &self.counted,
                "how the larvae were counted, in 1 to 200 characters",
            ));
        }
        if !(1..=1_000_000_000).contains(&self.larvae) {
            rejections.push(Rejection::new(
                "larvae",
                self.larvae.to_string(),
                "a count from 1 to 1000000000",
            ));
        }
        if !(1..=100_000).contains(&self.trays) {
            rejections.push(Rejection::new(
                "trays",
                self.trays.to_string(),
                "a count from 1 to 100000",
            ));
        }
        if !(0.001..=100.0).contains(&self.tray_area_m2) {
            rejections.push(Rejection::new(
                "tray-area",
                self.tray_area_m2.to_string(),
                "the area of one tray, 0.001 to 100 m2, as 0.24 or 60x40cm",
            ));
        }
        if self
            .depth_cm
            .is_some_and(|depth| !(0.1..=100.0).contains(&depth))
        {
            rejections.push(Rejection::new(
                "depth",
                self.depth_cm.unwrap_or_default().to_string(),
                "0.1 to 100 cm",
            ));
        }
        if let Some((larvae, grams)) = self.start
            && !((1..=1_000_000).contains(&larvae) && (0.000_001..=10_000.0).contains(&grams))
        {
            rejections.push(Rejection::new(
                "start-sample",
                format!("{larvae}={grams}"),
                "a count from 1 and its grams above zero, as 200=0.31",
            ));
        }
        rejections
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
    let rejections = cohort.rejections();
    if !rejections.is_empty() {
        return Err(rejections.into());
    }
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
    if why.trim().is_empty() || why.chars().count() > 500 || why.chars().any(char::is_control) {
        return Err(Rejection::new("why", why, "a reason of 1 to 500 characters").into());
    }
    book.write(asked.now, |writing| {
        let living = writing.cohorts(Timestamp::MAX)?;
        if !living.iter().any(|filed| filed.entry.name == name) {
            return Err(ActError::NotFound {
                what: "cohort",
                seen: name.to_owned(),
                nearest: nearest_names(name, living.iter().map(|filed| filed.entry.name.as_str())),
            });
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
