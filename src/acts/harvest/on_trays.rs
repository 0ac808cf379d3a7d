use jiff::civil::Date;
use jiff::{Timestamp, ToSpan};

use crate::acts::night::local_day;
use crate::acts::{Desk, Night, Result, Tables, cohort_feed, cohorts_on};
use crate::larvae::{CohortOnTrays, FeedGroup, next_meal};
use crate::words::{Said, say};

/// The cohorts of a night with what lies on their trays: the feed since they
/// came, or since residue was last taken off, less what is gone of it by the
/// stage table, at the bulk density the stage assumes.
pub(crate) fn cohorts_with_residue(
    (book, farm, tables): Desk<'_>,
    night: Night,
) -> Result<Vec<CohortOnTrays>> {
    let cohorts = cohorts_on(book, farm, &tables.stages, night)?;
    let Some(first) = cohorts.iter().map(|now| now.cohort.hatched).min() else {
        return Ok(Vec::new());
    };
    let yesterday = night.day.yesterday().unwrap_or(night.day);
    // Those that shared the meals may have ended since.
    let longest = tables.stages.stages.last().map_or(0, |stage| stage.to_day);
    let eldest = first
        .checked_sub(i64::from(longest).days())
        .unwrap_or(first);
    let lives = book.cohort_lives_hatched(eldest, night.day)?;
    let fed = |since: Date| cohort_feed((book, farm, tables), &lives, (since, yesterday));
    let from_the_first = fed(first)?;
    let left = 1.0 - tables.stages.reduction.value;
    let mut with_residue = Vec::new();
    for now in cohorts {
        let mut cohort = now.cohort;
        if let Some(stage) = tables.stages.at_age(now.age_days) {
            let taken = book.residue_taken(now.record, night.at)?;
            let given = match taken.map(|at: Timestamp| local_day(at, &farm.zone)) {
                Some(day) => fed(day)?.given.remove(&now.record),
                None => from_the_first.given.get(&now.record).cloned(),
            };
            let fed_kg = given.map_or(0.0, |given| given.wet_kg);
            cohort.lies_l = fed_kg * left * stage.litres_per_kg();
        }
        with_residue.push(cohort);
    }
    Ok(with_residue)
}

/// Who eats but is not due tonight by his feeding plan, with the next night.
pub(crate) fn not_tonight(
    cohorts: &[CohortOnTrays],
    due: &[FeedGroup<'_>],
    night: Date,
    tables: &Tables,
) -> Vec<Said> {
    let is_due = |cohort: &&CohortOnTrays| {
        let mut all = due.iter().flat_map(|group| &group.due);
        !all.any(|due| due.cohort.name == cohort.name)
    };
    let next = |cohort: &CohortOnTrays| {
        let age_days = (night - cohort.hatched).get_days();
        tables.stages.ration_mg(age_days)?;
        let next = next_meal(cohort, night, &tables.stages);
        Some(next.map_or_else(
            || say!("meal-was-last", cohort.name),
            |next| say!("meal-next", cohort.name, next),
        ))
    };
    cohorts.iter().filter(is_due).filter_map(next).collect()
}
