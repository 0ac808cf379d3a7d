//! Larvae put on their trays, and a cohort ended without a harvest.

use super::plain::{About, Answered, PlainForm, Question};
use super::*;
use crate::acts::{add_cohort, cohorts_on, end_cohort, tray_area};
use crate::daybook::Cohort;
use crate::larvae::Feeding;
use crate::quantity::{Reader, counted};
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
        let (record, cohort, title) = if ticked(&self.end) {
            let (cohort, why) = (self.name.trim().to_owned(), self.why.trim());
            let record = end_cohort(to.book, &cohort, why, to.asked)?;
            let title = say!("cohort-ended", cohort = &cohort, why);
            (record, cohort, title)
        } else {
            let cohort = self.cohort(to.farm.units.reader())?;
            let record = add_cohort(to.book, &cohort, to.asked)?;
            let (larvae, trays, day) = (counted(cohort.larvae), cohort.trays, cohort.hatched);
            let title = say!("cohort-added", cohort = &cohort.name, trays, larvae, day);
            (record, cohort.name, title)
        };
        let shown = Kept::of(to.frame.say(&title), record, to.already);
        let done = CohortDone { record, cohort };
        Ok(Shown { done, shown })
    }
}

impl Form for CohortSent {
    type Page = PlainForm;

    fn page(at: &At, frame: Frame, entry: Entry<Self>, _: Wanted) -> Result<PlainForm> {
        let cohorts = cohorts_on(at.book, at.farm, &at.tables.stages, at.night())?;
        let names = cohorts.into_iter().map(|now| now.cohort.name).collect();
        let of = &entry.values;
        let ask = Question::of;
        let plan = |word: &str| (word.to_owned(), frame.with("dock-cohort-plan", word));
        let plans = Answered::OneOf(["daily", "every-2", "every-3", "once"].map(plan).to_vec());
        let first = vec![
            ask(
                "name",
                frame.t("dock-cohort-name"),
                &of.name,
                Answered::Known(names),
            ),
            ask(
                "hatched",
                frame.t("dock-cohort-hatched"),
                &of.hatched,
                Answered::Day,
            ),
            ask(
                "larvae",
                frame.t("dock-cohort-larvae"),
                &of.larvae,
                Answered::Line(12),
            ),
            ask(
                "trays",
                frame.t("dock-cohort-trays"),
                &of.trays,
                Answered::Line(6),
            ),
            ask(
                "tray_area",
                frame.t("dock-cohort-tray"),
                &of.tray_area,
                Answered::Line(20),
            )
            .such_as(&frame, "60x40cm"),
            ask(
                "counted",
                frame.t("dock-cohort-counted"),
                &of.counted,
                Answered::Line(80),
            ),
            ask(
                "feeding",
                frame.t("dock-cohort-feeding"),
                &of.feeding,
                plans,
            ),
        ];
        let more = vec![
            ask("end", frame.t("dock-cohort-ends"), &of.end, Answered::Tick),
            ask(
                "why",
                frame.t("dock-cohort-why"),
                &of.why,
                Answered::Line(400),
            ),
        ];
        let about = About {
            title: say!("dock-cohort-title"),
            path: "/cohorts/add",
            api: "/api/cohort",
            needs: "name",
            back: "/cohorts",
            does: say!("dock-weigh-keep"),
        };
        Ok(PlainForm::of(frame, entry, about)
            .asking(first)
            .and_more(more))
    }
}
