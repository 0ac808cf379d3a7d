use jiff::civil::Date;

use crate::larvae::{CohortOnTrays, Feeding};
use crate::words::{Said, say};

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
fn fed(now: &CohortNow) -> Said {
    let plan = match now.feeding {
        None => Said::default(),
        Some(Feeding::Daily) => say!("cohort-daily"),
        Some(Feeding::Once) => say!("cohort-once"),
        Some(Feeding::Every(nights)) => say!("cohort-every", nights),
    };
    match (now.due, now.next) {
        (true, _) => say!("cohort-tonight", plan),
        (false, Some(night)) => say!("cohort-next-night", plan, night),
        (false, None) => say!("cohort-no-more"),
    }
}

/// Cohorts on their trays as a page.
#[must_use]
pub fn cohorts_document(cohorts: &[CohortNow], night: Date) -> Document {
    let mut document = Document::titled(say!("cohorts-title", night));
    let mut grid = Grid::new(&[
        (say!("cohort"), Align::Left),
        (say!("cohort-hatched"), Align::Left),
        (say!("cohort-day"), Align::Right),
        (say!("cohort-stage"), Align::Left),
        (say!("cohort-larvae"), Align::Right),
        (say!("cohort-trays"), Align::Right),
        (say!("cohort-per-cm2"), Align::Right),
        (say!("cohort-fed"), Align::Left),
    ]);
    for now in cohorts {
        grid.row([
            Said::from(&now.cohort.name),
            now.cohort.hatched.into(),
            now.age_days.into(),
            (now.stage.as_ref()).map_or_else(|| say!("cohort-not-fed"), Said::from),
            now.cohort.larvae.into(),
            now.cohort.trays.into(),
            format!("{:.1}", now.cohort.per_cm2()).into(),
            fed(now),
        ]);
    }
    if cohorts.is_empty() {
        document.line(say!("cohorts-none"));
        document.toned(Tone::Next, say!("cohorts-next"));
    }
    document.table(grid);
    document
}
