use jiff::civil::Date;

use crate::larvae::{CohortOnTrays, Feeding};

use super::document::{Align, Document, Grid, Tone};

/// A cohort as it stands on a night.
#[derive(Debug, Clone, PartialEq)]
pub struct CohortNow {
    /// Position in the book.
    pub record: i64,
    pub cohort: CohortOnTrays,
    pub counted: String,
    /// Days since hatch.
    pub age_days: i32,
    /// Its stage; `None` when no stage covers its age.
    pub stage: Option<String>,
    /// How often it is fed at its age; `None` when no stage covers that.
    pub feeding: Option<Feeding>,
    /// Whether it is due that night.
    pub due: bool,
    /// The next night it is due.
    pub next: Option<Date>,
}

/// How often, and when next.
fn fed(now: &CohortNow) -> String {
    let plan = now
        .feeding
        .map_or_else(String::new, |plan| plan.to_string());
    match (now.due, now.next) {
        (true, _) => format!("{plan}, tonight"),
        (false, Some(next)) => format!("{plan}, next {next}"),
        (false, None) => "no more".to_owned(),
    }
}

/// Cohorts on their trays as a page.
#[must_use]
pub fn cohorts_document(cohorts: &[CohortNow], night: Date) -> Document {
    let mut document = Document::titled(format!("Cohorts, night of {night}"));
    let mut grid = Grid::new(&[
        ("cohort", Align::Left),
        ("hatched", Align::Left),
        ("day", Align::Right),
        ("stage", Align::Left),
        ("larvae", Align::Right),
        ("trays", Align::Right),
        ("larvae a cm2", Align::Right),
        ("fed", Align::Left),
    ]);
    for now in cohorts {
        grid.row([
            now.cohort.name.clone(),
            now.cohort.hatched.to_string(),
            now.age_days.to_string(),
            now.stage.clone().unwrap_or_else(|| "not fed".to_owned()),
            now.cohort.larvae.to_string(),
            now.cohort.trays.to_string(),
            format!("{:.1}", now.cohort.per_cm2()),
            fed(now),
        ]);
    }
    if cohorts.is_empty() {
        document.line("No larvae on trays.");
        document.toned(
            Tone::Next,
            "Next: trayful cohort add NAME --hatched DAY --larvae N --trays N --tray-area 60x40cm",
        );
    }
    document.table(grid);
    document
}
