//! Larvae put on their trays, and a cohort ended without a harvest.

use super::*;
use crate::acts::{add_cohort, cohorts_on, end_cohort, tray_area};
use crate::daybook::Cohort;
use crate::larvae::Feeding;
use crate::quantity::Reader;
use crate::words::say;

/// A cohort as a form or JSON brings it.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(default)]
#[schemars(extend("required" = ["id", "name"]))]
pub(crate) struct CohortSent {
    #[serde(flatten)]
    pub(super) way: Way,
    name: String,
    /// `yes` ends the cohort of this name; else one is put on its trays
    end: String,
    /// Why it ends
    why: String,
    /// Its day, such as 2026-11-12
    hatched: String,
    larvae: String,
    counted: String,
    trays: String,
    /// Of one tray: 0.24 (square metres) or 60x40cm
    tray_area: String,
    /// `daily`, `every-3` (nights) or `once`; as its stage says where blank
    feeding: String,
}

#[derive(Serialize, JsonSchema)]
pub(crate) struct CohortDone {
    record: i64,
    cohort: String,
}

impl CohortSent {
    fn cohort(&self, reader: Reader) -> Result<Cohort> {
        let mut fields = Fields::of(reader);
        let day = |_: Reader, text: &str| Ok(text.parse().ok());
        let hatched = fields.read("hatched", &self.hatched, day).flatten();
        if hatched.is_none() {
            fields.refuse("hatched", &self.hatched, say!("dock-cohort-day"));
        }
        let mut count = |field, text: &str| {
            let read = fields.read(field, text, Reader::count);
            fields.needed(field, text, read, say!("dock-cohort-number"))
        };
        let (larvae, trays) = (count("larvae", &self.larvae), count("trays", &self.trays));
        let area = fields.read("tray_area", &self.tray_area, tray_area);
        let area = fields.needed("tray_area", &self.tray_area, area, say!("dock-cohort-area"));
        let feeding = given(&self.feeding);
        let feeding = feeding
            .and_then(|word| fields.choice("feeding", &word, Feeding::parse, Feeding::accepted()));
        let read = hatched.zip(larvae).zip(trays.zip(area));
        let ((hatched, larvae), (trays, tray_area_m2)) = fields.done(read)?;
        Ok(Cohort {
            name: self.name.trim().to_owned(),
            hatched,
            larvae,
            counted: given(&self.counted).unwrap_or_else(|| "not said".to_owned()),
            trays,
            tray_area_m2,
            depth_cm: None,
            start_count: None,
            start_ug: None,
            feeding,
        })
    }
}

impl Act for CohortSent {
    type Done = Shown<CohortDone>;

    fn act(self, to: Writing) -> Result<Self::Done> {
        let already = kept_before(to.book, &to.asked.id)?.is_some();
        let (record, cohort, title) = if ticked(&self.end) {
            let (cohort, why) = (self.name.trim().to_owned(), self.why.trim());
            let record = end_cohort(to.book, &cohort, why, to.asked)?;
            let title = say!("cohort-ended", cohort = &cohort, why);
            (record, cohort, title)
        } else {
            let cohort = self.cohort(to.farm.units.reader())?;
            let record = add_cohort(to.book, &cohort, to.asked)?;
            let (larvae, trays, day) = (cohort.larvae, cohort.trays, cohort.hatched);
            let title = say!("cohort-added", cohort = &cohort.name, trays, larvae, day);
            (record, cohort.name, title)
        };
        let shown = Kept::of(to.frame.say(&title), record, already);
        let done = CohortDone { record, cohort };
        Ok(Shown { done, shown })
    }
}

#[derive(Template)]
#[template(path = "cohort.html", config = "src/askama.toml")]
pub(crate) struct CohortPage {
    frame: Frame,
    entry: Entry<CohortSent>,
    /// Those on their trays.
    names: Vec<String>,
}

impl Form for CohortSent {
    type Page = CohortPage;

    fn page(at: &At, frame: Frame, entry: Entry<Self>, _: Wanted) -> Result<CohortPage> {
        let cohorts = cohorts_on(at.book, at.farm, &at.tables.stages, at.night())?;
        let names = cohorts.into_iter().map(|now| now.cohort.name);
        Ok(CohortPage {
            names: names.collect(),
            frame,
            entry,
        })
    }
}
