use jiff::Timestamp;
use jiff::tz::TimeZone;

use crate::acts::doubts::{self, Doubts};
use crate::acts::error::{Rejection, all_taken, is_text, must, reason, shown};
use crate::acts::night::{local_day, night_begun};
use crate::acts::{ActError, Asked, FarmSettings, Night, Result};
use crate::daybook::{Book, Cohort, CohortEnd, CohortLife, Daybook, Entry, Filed};
use crate::larvae::{CohortOnTrays, StageTable, larvae_per_cm2, meal, next_meal};
use crate::quantity::{QuantityError, Reader};
use crate::sheet::CohortNow;
use crate::table::{nearest_names, same_name};
use crate::words::say;

/// Grams in the whole micrograms the book keeps of a sample.
#[expect(
    clippy::cast_possible_truncation,
    reason = "what is above 10 kg is refused"
)]
pub fn micrograms(grams: f64) -> i64 {
    (grams * 1e6).round() as i64
}

fn rejections(cohort: &Cohort) -> Vec<Rejection> {
    let start = cohort.start_count.zip(cohort.start_ug);
    let sample = start.map(|(larvae, micrograms)| format!("{larvae}={}", micrograms as f64 / 1e6));
    let start = start.is_none_or(|(larvae, micrograms)| {
        (1..=1_000_000).contains(&larvae) && (1..=10_000_000_000).contains(&micrograms)
    });
    must! {
        is_text(&cohort.name, 40) => "name", cohort.name, say!("accepted-name", most = 40);
        is_text(&cohort.counted, 200) =>
            "counted", cohort.counted, say!("accepted-counted", most = 200);
        (1..=1_000_000_000).contains(&cohort.larvae) =>
            "larvae", cohort.larvae, say!("accepted-count", least = 1, most = 1_000_000_000);
        (1..=100_000).contains(&cohort.trays) =>
            "trays", cohort.trays, say!("accepted-count", least = 1, most = 100_000);
        (0.001..=100.0).contains(&cohort.tray_area_m2) => "tray-area", cohort.tray_area_m2,
            say!("accepted-tray-area");
        cohort.depth_cm.is_none_or(|depth| (0.1..=100.0).contains(&depth)) =>
            "depth", shown(&cohort.depth_cm), say!("accepted-depth");
        start => "start-sample", shown(&sample),
            say!("accepted-start-sample");
    }
}

fn unlikely(cohort: &Cohort, at: Timestamp, doubts: &mut Doubts) {
    let larvae = cohort.larvae;
    let seen = say!("doubt-larvae", larvae);
    doubts.weigh(&doubts::LARVAE, "larvae", larvae as f64, seen);
    let crowd = larvae_per_cm2(larvae, cohort.trays, cohort.tray_area_m2);
    let seen = say!("doubt-crowded", larvae = format!("{crowd:.1}"));
    doubts.weigh(&doubts::CROWDED, "larvae", crowd, seen);
    let age = f64::from((local_day(at, &TimeZone::UTC) - cohort.hatched).get_days());
    let seen = say!("doubt-hatched", day = cohort.hatched);
    doubts.weigh(&doubts::HATCH, "hatched", age, seen);
    let area = cohort.tray_area_m2;
    doubts.weigh(&doubts::TRAY, "tray-area", area, format!("{area} m2"));
    if let Some(depth) = cohort.depth_cm {
        doubts.weigh(&doubts::DEPTH, "depth", depth, format!("{depth} cm"));
    }
}

pub fn add_cohort(book: &mut Daybook, cohort: &Cohort, asked: &Asked) -> Result<i64> {
    all_taken(rejections(cohort))?;
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
            unlikely(cohort, asked.at, doubts);
            Ok(())
        })?;
        let entry = Entry::Cohort(cohort.clone());
        Ok(writing.append(&asked.record(entry))?.seq)
    })
}

/// Square metres such as `0.24`, or sides such as `60x40cm`.
pub fn tray_area(reader: Reader, text: &str) -> Result<f64, QuantityError> {
    let text = text
        .trim()
        .to_lowercase()
        .replace(" by ", "x")
        .replace('×', "x");
    let text = text.strip_suffix("cm").unwrap_or(&text);
    if let Some((length, width)) = text.split_once('x') {
        return Ok(reader.number(length.trim())? * reader.number(width.trim())? / 10_000.0);
    }
    reader.number(text.strip_suffix("m2").unwrap_or(text).trim())
}

pub fn end_cohort(book: &mut Daybook, name: &str, why: &str, asked: &Asked) -> Result<i64> {
    reason("why", why)?;
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
) -> Result<Vec<CohortNow>> {
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

/// A cohort by its record (`r57`) or name: the living one of that name, else
/// the one that ended last.
pub fn find_cohort<'a>(lives: &'a [CohortLife], reference: &str) -> Result<&'a CohortLife> {
    let by_record = reference
        .strip_prefix('r')
        .and_then(|seq| seq.parse::<i64>().ok())
        .and_then(|seq| lives.iter().find(|life| life.cohort.seq == seq));
    let named = || {
        let of_name = lives
            .iter()
            .filter(|life| same_name(&life.cohort.entry.name, reference));
        let exact = |life: &CohortLife| life.cohort.entry.name == reference;
        of_name.max_by_key(|life| (exact(life), life.ended.is_none(), life.cohort.seq))
    };
    by_record.or_else(named).ok_or_else(|| {
        let name = |life: &'a CohortLife| life.cohort.entry.name.as_str();
        let mut nearest = nearest_names(reference, lives.iter().map(name));
        if nearest.is_empty() {
            // None is near: those on their trays are likeliest meant.
            let living = lives.iter().filter(|life| life.ended.is_none());
            nearest = living.map(|life| name(life).to_owned()).take(8).collect();
        }
        ActError::NotFound {
            what: "cohort",
            seen: reference.to_owned(),
            nearest,
        }
    })
}

/// A cohort as its record puts it on trays.
pub(crate) fn on_trays(filed: &Filed<Cohort>, zone: &TimeZone) -> CohortOnTrays {
    let cohort = &filed.entry;
    CohortOnTrays {
        name: cohort.name.clone(),
        hatched: cohort.hatched,
        larvae: cohort.larvae,
        trays: cohort.trays,
        tray_area_m2: cohort.tray_area_m2,
        depth_cm: cohort.depth_cm,
        first_night: night_begun(filed.at, zone),
        feeding: cohort.feeding,
        lies_l: 0.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tray_is_read_as_people_write_it() {
        for text in [
            "60x40cm",
            "60 x 40 cm",
            "60 by 40 cm",
            "60×40",
            "0.24",
            "0.24 m2",
        ] {
            let area = tray_area(Reader::PLAIN, text).expect(text);
            assert!((area - 0.24).abs() < 1e-12, "{text}: {area}");
        }
        tray_area(Reader::PLAIN, "60 40 30").expect_err("three sides");
        tray_area(Reader::PLAIN, "a tray").expect_err("no number");
    }
}
