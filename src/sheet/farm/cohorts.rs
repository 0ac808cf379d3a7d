use jiff::civil::Date;

use crate::larvae::{CohortOnTrays, Feeding};
use crate::words::{Said, say};

use crate::sheet::document::{Document, grid};

#[derive(Debug, Clone, PartialEq)]
pub struct CohortNow {
    pub record: i64,
    pub cohort: CohortOnTrays,
    pub counted: String,
    pub age_days: i32,
    /// Its stage; `None` when no stage covers its age.
    pub stage: Option<String>,
    pub feeding: Option<Feeding>,
    pub due: bool,
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

pub fn cohorts_document(cohorts: &[CohortNow], night: Date) -> Document {
    let mut document = Document::titled(say!("cohorts-title", night));
    if cohorts.is_empty() {
        document.line(say!("cohorts-none"));
        document.next(say!("cohorts-next"));
    }
    document.table(grid!(for now in cohorts => {
        Left say!("cohort") => &now.cohort.name,
        Left say!("hatched") => now.cohort.hatched,
        Right say!("cohort-day") => now.age_days,
        Left say!("cohort-stage") =>
            now.stage.as_ref().map_or_else(|| say!("cohort-not-fed"), Said::from),
        Right say!("cohort-larvae") => now.cohort.larvae,
        Right say!("cohort-trays") => now.cohort.trays,
        Right say!("cohort-per-cm2") => format!("{:.1}", now.cohort.per_cm2()),
        Left say!("cohort-fed") => fed(now),
    }));
    document
}
