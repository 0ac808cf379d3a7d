use jiff::{SignedDuration, Timestamp};

use super::*;
use crate::acts::{HarvestAsked, Harvested, YieldAsked, cohorts_on, record_harvest, yields};
use crate::daybook::ResidueTo;
use crate::quantity::Reader;
use crate::sheet::{CohortNow, sieving_cautions, sold_caution, yields_document};
use crate::words::say;

/// Cohorts that ended longer ago are listed only when asked for (our default).
const LISTED_DAYS: i64 = 90;

/// A harvest as a form or JSON brings it. A blank field is an absent one.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(default)]
#[schemars(extend("required" = ["id", "cohort", "larvae"]))]
pub(crate) struct HarvestSent {
    #[serde(flatten)]
    pub(super) way: Way,
    /// The cohort on its trays, by name; or its record such as r57
    cohort: String,
    /// Fresh weight of the larvae, as typed by hand or by a scale
    larvae: String,
    /// Their moisture, per cent of the fresh weight
    larvae_moisture_pct: String,
    /// Their nitrogen, per cent of dry matter
    larvae_nitrogen_dm_pct: String,
    /// How many larvae, all of them counted
    count: String,
    /// Instead: how many larvae were in a sample
    sample_count: String,
    /// What that sample weighed, grams
    sample_g: String,
    dead: String,
    /// Weight of the residue; left out while it goes back on the trays
    residue: String,
    /// Its moisture, per cent of its weight
    residue_moisture_pct: String,
    /// Where it goes: kept, sold, land, composted, digestion, landfilled
    residue_to: String,
    /// `yes` when nothing is left on the trays: ends the cohort
    last: String,
    note: String,
}

impl HarvestSent {
    /// The harvest to record, or every field that is not understood.
    fn asked(&self, reader: Reader) -> Result<HarvestAsked> {
        let mut fields = Fields::of(reader);
        let cohort = given(&self.cohort);
        let cohort_is = say!("accepted-cohort");
        let cohort = fields.needed("cohort", &self.cohort, cohort, cohort_is);
        let larvae = fields.weight("larvae", &self.larvae);
        let larvae_are = say!("accepted-larvae-weight");
        let larvae = fields.needed("larvae", &self.larvae, larvae, larvae_are);
        let mut number = |field, text| fields.read(field, text, Reader::number);
        let wanted = HarvestAsked {
            cohort: cohort.unwrap_or_default(),
            larvae_moisture_pct: number("larvae-moisture", &self.larvae_moisture_pct),
            larvae_nitrogen_dm_pct: number("larvae-nitrogen", &self.larvae_nitrogen_dm_pct),
            counted: fields.read("count", &self.count, Reader::count),
            sample: self.sample(&mut fields),
            dead: fields.read("dead", &self.dead, Reader::count),
            residue: fields.weight("residue", &self.residue),
            residue_moisture_pct: fields.read(
                "residue-moisture",
                &self.residue_moisture_pct,
                Reader::number,
            ),
            residue_to: given(&self.residue_to).and_then(|to| {
                fields.choice("residue-to", &to, ResidueTo::parse, ResidueTo::accepted())
            }),
            last: ticked(&self.last),
            note: given(&self.note),
            sure: ticked(&self.way.sure),
            larvae: fields.done(larvae)?,
        };
        Ok(wanted)
    }

    fn sample(&self, fields: &mut Fields) -> Option<(i64, f64)> {
        let larvae = fields.read("sample", &self.sample_count, Reader::count);
        let grams = fields.read("sample", &self.sample_g, Reader::number);
        if given(&self.sample_count).is_some() != given(&self.sample_g).is_some() {
            let seen = format!("{} = {} g", self.sample_count.trim(), self.sample_g.trim());
            fields.refuse("sample", &seen, say!("accepted-counted-grams"));
        }
        larvae.zip(grams)
    }
}

fn told(frame: &Frame, done: &Harvested, wanted: &HarvestAsked, units: Units) -> Kept {
    let mut lines = Vec::new();
    if wanted.last {
        lines.push(frame.with("dock-harvest-off-trays", &done.cohort));
    } else if wanted.residue.is_none() {
        lines.push(frame.t("harvest-residue-back"));
    }
    if wanted.counted.is_none() && wanted.sample.is_none() {
        lines.push(frame.t("dock-harvest-no-count"));
    }
    let larvae = units.told(wanted.larvae.grams());
    let title = frame.say(&say!("dock-harvest-done", cohort = &done.cohort, larvae));
    Kept {
        lines,
        // What guards who sieves stands above the form.
        cautions: vec![frame.say(&sold_caution())],
        more: format!("r{}", done.cohort_seq),
        ..Kept::of(title, done.record, done.already_there)
    }
}

impl Act for HarvestSent {
    type Done = Shown<Harvested>;

    fn act(self, to: Writing) -> Result<Self::Done> {
        let wanted = self.asked(to.farm.units.reader())?;
        let done = record_harvest(to.book, &wanted, to.asked)?;
        let shown = told(to.frame, &done, &wanted, to.farm.units);
        Ok(Shown { done, shown })
    }
}

#[derive(Template)]
#[template(path = "harvest.html", config = "src/askama.toml")]
pub(crate) struct HarvestPage {
    frame: Frame,
    entry: Entry<HarvestSent>,
    cohorts: Vec<CohortNow>,
    recent: Vec<Recent>,
    /// Why who sieves guards against dust, gases and sharps.
    cautions: Vec<String>,
    unit: String,
    ways: Vec<&'static str>,
    blocks: Vec<Block<String>>,
    own_pages: Vec<String>,
    all: bool,
}

impl Form for HarvestSent {
    type Page = HarvestPage;

    fn page(at: &At, frame: Frame, entry: Entry<Self>, wanted: Wanted) -> Result<HarvestPage> {
        let &At {
            book,
            farm,
            tables,
            now,
            ..
        } = at;
        let all = wanted.all == "yes";
        let mut cohorts = cohorts_on(book, farm, &tables.stages, at.night())?;
        // The eldest is the likeliest to be harvested.
        cohorts.sort_by_key(|now| now.cohort.hatched);
        let listed = SignedDuration::from_hours(24 * LISTED_DAYS);
        let how = YieldAsked {
            since: (!all).then(|| now - listed),
            ..YieldAsked::default()
        };
        let sheet = yields((book, farm, tables), None, how, now)?;
        let own_page = |record: i64| format!("/cohort/r{record}");
        Ok(HarvestPage {
            cautions: sieving_cautions().map(|caution| frame.say(&caution)).into(),
            cohorts,
            recent: recent(at)?,
            unit: farm.units.unit().to_string(),
            ways: ResidueTo::ALL.map(ResidueTo::as_str).into(),
            blocks: frame.blocks_here(&yields_document(&sheet)),
            own_pages: sheet.cohorts.iter().map(|of| own_page(of.record)).collect(),
            all,
            frame,
            entry,
        })
    }
}

fn recent(at: &At) -> Result<Vec<Recent>> {
    let lives = at.book.cohort_lives(Timestamp::MAX)?;
    let harvests = at.book.harvests(Timestamp::MAX)?;
    let mut recent = Vec::new();
    for filed in harvests.iter().rev().take(RECENT_SHOWN) {
        let is_of = |seq: i64| seq == filed.entry.cohort_seq;
        let Some(life) = lives.iter().find(|life| is_of(life.cohort.seq)) else {
            continue;
        };
        let when = at.local(filed.at, "%Y-%m-%d %H:%M");
        let weight = at.farm.units.told(filed.entry.larvae_g);
        let (name, told) = (&life.cohort.entry.name, [&*when, &weight, &filed.by]);
        recent.push(Recent::of(at, name, &told, filed.seq)?);
    }
    Ok(recent)
}
