//! The farm's settings, and its containers.

use jiff::tz;

use super::plain::{About, Answered, PlainForm, Question, one_of};
use super::*;
use crate::acts::{ChosenText, FarmAsked, FarmSettings, add_container, change_farm};
use crate::daybook::{FarmSaid, WaterUse};
use crate::quantity::{DecimalMark, MassUnit, Reader};
use crate::report::DivertedRule;
use crate::sheet::grid;
use crate::stream::{LarvaeFor, Region};
use crate::words::{Language, Said, say};

/// Settings as a form or JSON brings them: what is left out stays as it is.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(default)]
#[schemars(extend("required" = ["id"]))]
pub(crate) struct SettingsSent {
    #[serde(flatten)]
    pub(super) way: Way,
    /// The farm's name for statements; empty: none
    name: Option<String>,
    /// IANA time zone
    zone: Option<String>,
    /// `lb` or `kg`
    unit: Option<String>,
    /// The smallest step the scale shows, in that unit
    division: Option<String>,
    /// ISO 4217 code
    currency: Option<String>,
    region: Option<String>,
    larvae_for: Option<String>,
    /// Why the scale counts as verified; empty: it does not
    verified_scale: Option<String>,
    /// The rule for "diverted"; empty: our default
    diverted_rule: Option<String>,
    /// `point` or `comma`; this and what follows: empty goes back to the default
    decimal_mark: Option<String>,
    /// A chance such as 0.8
    sure: Option<String>,
    /// The smallest weight worth taking from a lot
    smallest: Option<String>,
    most_lots: Option<String>,
    water: Option<String>,
    /// A second scale, such as 1g:5kg
    small_scale: Option<String>,
    first_stage: Option<String>,
    /// `en` or `es`
    language: Option<String>,
}

#[derive(Serialize, JsonSchema)]
pub(crate) struct SettingsDone {
    record: i64,
}

impl SettingsSent {
    /// Those that hold now.
    fn of(farm: &FarmSettings) -> Self {
        let chosen = &farm.chosen;
        let small = farm.units.small.map(|scale| {
            let most = scale.up_to.get();
            format!("{}:{most}g", scale.division)
        });
        Self {
            way: Way::default(),
            name: farm.said.name.clone(),
            zone: Some(farm.zone_name.clone()),
            unit: Some(farm.units.unit().to_string()),
            division: Some(farm.units.division.step().to_string()),
            currency: Some(farm.currency.clone()),
            region: Some(farm.region.to_string()),
            larvae_for: Some(farm.larvae_for.to_string()),
            verified_scale: farm.said.verified_scale.clone(),
            diverted_rule: farm.said.diverted_rule.clone(),
            decimal_mark: chosen.decimal_mark.map(|mark| mark.as_str().to_owned()),
            sure: chosen.sure_pct.map(|pct| format!("0.{pct:02}")),
            smallest: chosen
                .smallest_draw_g
                .map(|grams| format!("{}g", grams.get())),
            most_lots: chosen.most_lots.map(|most| most.to_string()),
            water: chosen.water.map(|water| water.as_str().to_owned()),
            small_scale: small,
            first_stage: chosen.first_stage.clone(),
            language: chosen.language.map(|language| language.as_str().to_owned()),
        }
    }
}

impl Act for SettingsSent {
    type Done = Shown<SettingsDone>;

    fn act(self, to: Writing) -> Result<Self::Done> {
        let farm = to.farm;
        let or = |new: Option<String>, old: String| new.and_then(|new| given(&new)).unwrap_or(old);
        let choice = |new: Option<String>| {
            new.map(|new| given(&new).unwrap_or_else(|| "default".to_owned()))
        };
        let chosen = ChosenText {
            decimal_mark: choice(self.decimal_mark),
            sure: choice(self.sure),
            smallest: choice(self.smallest),
            most_lots: choice(self.most_lots),
            water: choice(self.water),
            small_scale: choice(self.small_scale),
            first_stage: choice(self.first_stage),
            language: choice(self.language),
        };
        let said = FarmSaid {
            name: self.name,
            verified_scale: self.verified_scale,
            diverted_rule: self.diverted_rule,
        };
        let unit = farm.units.unit();
        let asked = FarmAsked {
            zone: or(self.zone, farm.zone_name.clone()),
            unit: or(self.unit, unit.to_string()),
            division: or(self.division, farm.units.division.step().to_string()),
            currency: or(self.currency, farm.currency.clone()),
            region: or(self.region, farm.region.to_string()),
            larvae_for: or(self.larvae_for, farm.larvae_for.to_string()),
            said: said.put_over(farm.said.clone()),
            chosen: chosen.put_over(&farm.chosen, unit, &to.tables.stages)?,
        };
        let record = change_farm(to.book, &asked, to.asked)?;
        (to.frame.app.shared).speak(asked.chosen.language);
        let title = to.frame.t("dock-settings-kept");
        Ok(Shown {
            done: SettingsDone { record },
            shown: Kept::of(title, record, to.already),
        })
    }
}

impl Form for SettingsSent {
    type Page = PlainForm;

    fn page(at: &At, frame: Frame, mut entry: Entry<Self>, _: Wanted) -> Result<PlainForm> {
        if entry.problems.is_empty() {
            let way = entry.values.way;
            entry.values = Self {
                way,
                ..Self::of(at.farm)
            };
        }
        let values = &entry.values;
        let question = |name, label: String, value: &Option<String>, answered| {
            Question::of(name, label, value.as_deref().unwrap_or_default(), answered)
        };
        let plain = |words: Vec<&str>| {
            let both = |word: &str| (word.to_owned(), word.to_owned());
            Answered::OneOf(words.into_iter().map(both).collect())
        };
        let zones = tz::db().available().map(|zone| zone.to_string());
        let region = |of: &Region| say!("dock-settings-region-kind", what = of.as_str());
        let larvae = |of: &LarvaeFor| say!("dock-settings-larvae-kind", what = of.as_str());
        let water = |of: &WaterUse| say!("dock-settings-water-kind", what = of.as_str());
        let stages = (at.tables.stages.stages.iter()).map(|stage| stage.name.as_str());
        let first = vec![
            question(
                "name",
                frame.t("dock-settings-name"),
                &values.name,
                Answered::Line(120),
            ),
            question(
                "zone",
                frame.t("dock-settings-zone"),
                &values.zone,
                Answered::Known(zones.collect()),
            ),
            question(
                "unit",
                frame.t("dock-settings-unit"),
                &values.unit,
                plain(vec!["lb", "kg"]),
            ),
            question(
                "division",
                frame.t("dock-settings-division"),
                &values.division,
                Answered::Line(12),
            )
            .such_as(&frame, "0.1"),
            question(
                "currency",
                frame.t("dock-settings-currency"),
                &values.currency,
                Answered::Line(3),
            )
            .such_as(&frame, "USD"),
            question(
                "region",
                frame.t("dock-settings-region"),
                &values.region,
                one_of(&frame, Region::ALL, |of| of.to_string(), region),
            ),
            question(
                "larvae_for",
                frame.t("dock-settings-larvae-for"),
                &values.larvae_for,
                one_of(&frame, LarvaeFor::ALL, |of| of.to_string(), larvae),
            ),
            question(
                "decimal_mark",
                frame.t("dock-settings-mark"),
                &values.decimal_mark,
                one_of(
                    &frame,
                    DecimalMark::ALL,
                    |of| of.to_string(),
                    |of| say!("dock-settings-mark-kind", what = of.as_str()),
                ),
            ),
            question(
                "language",
                frame.t("dock-settings-language"),
                &values.language,
                one_of(
                    &frame,
                    Language::ALL,
                    |of| of.as_str().to_owned(),
                    |of| say!("dock-settings-language-kind", what = of.as_str()),
                ),
            )
            .like(frame.t("dock-settings-language-each")),
        ];
        let more = vec![
            question(
                "verified_scale",
                frame.t("dock-settings-verified"),
                &values.verified_scale,
                Answered::Line(120),
            ),
            question(
                "diverted_rule",
                frame.t("dock-settings-rule"),
                &values.diverted_rule,
                one_of(
                    &frame,
                    DivertedRule::ALL,
                    |of| of.to_string(),
                    |of| Said::from(of.as_str()),
                ),
            ),
            question(
                "sure",
                frame.t("dock-settings-sure"),
                &values.sure,
                Answered::Line(6),
            )
            .such_as(&frame, "0.8"),
            question(
                "smallest",
                frame.t("dock-settings-smallest"),
                &values.smallest,
                Answered::Line(20),
            )
            .such_as(&frame, "1 lb"),
            question(
                "most_lots",
                frame.t("dock-settings-most-lots"),
                &values.most_lots,
                Answered::Line(3),
            )
            .such_as(&frame, "6"),
            question(
                "water",
                frame.t("dock-settings-water"),
                &values.water,
                one_of(&frame, WaterUse::ALL, |of| of.to_string(), water),
            ),
            question(
                "small_scale",
                frame.t("dock-settings-small-scale"),
                &values.small_scale,
                Answered::Line(30),
            )
            .such_as(&frame, "1g:5kg"),
            question(
                "first_stage",
                frame.t("dock-settings-first-stage"),
                &values.first_stage,
                plain(stages.collect()),
            ),
        ];
        let about = About {
            title: say!("dock-settings-title"),
            path: "/settings",
            api: "/api/settings",
            needs: "zone",
            back: "/office",
            does: say!("dock-weigh-keep"),
        };
        Ok(PlainForm::of(frame, entry, about)
            .asking(first)
            .and_more(more))
    }
}

/// A container as a form or JSON brings it; the newest of a name holds.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(default)]
#[schemars(extend("required" = ["id", "name", "weight"]))]
pub(crate) struct ContainerSent {
    #[serde(flatten)]
    pub(super) way: Way,
    name: String,
    /// Empty
    weight: String,
    /// What it holds, such as 5gal or 20L
    holds: String,
}

#[derive(Serialize, JsonSchema)]
pub(crate) struct ContainerDone {
    record: i64,
    container: String,
}

impl Act for ContainerSent {
    type Done = Shown<ContainerDone>;

    fn act(self, to: Writing) -> Result<Self::Done> {
        let units = to.farm.units;
        let mut fields = Fields::of(units.reader());
        let weight = fields.weight("weight", &self.weight);
        let weight = fields.needed("weight", &self.weight, weight, say!("dock-lot-weight-is"));
        let holds = fields.read("holds", &self.holds, Reader::litres);
        let weight = fields.done(weight)?;
        let record = add_container(to.book, &self.name, &weight, holds, to.asked)?;
        let (container, weight) = (self.name.trim().to_owned(), units.told(weight.grams()));
        let title = to.frame.say(&say!(
            "dock-containers-kept",
            container = &container,
            weight
        ));
        Ok(Shown {
            shown: Kept::of(title, record, to.already),
            done: ContainerDone { record, container },
        })
    }
}

impl Form for ContainerSent {
    type Page = PlainForm;

    fn page(at: &At, frame: Frame, entry: Entry<Self>, _: Wanted) -> Result<PlainForm> {
        let units = at.farm.units;
        let containers = at.book.containers()?;
        let mut document = Document::titled(frame.t("dock-containers-title"));
        document.table(grid!(for container in &containers => {
            let litres = container.volume_l.map(|litres| units.volume(litres));
            Left say!("farm-container") => &container.name,
            Right say!("ticket-tare") => units.told(container.tare_g),
            Right say!("farm-holds") => litres.unwrap_or_default(),
        }));
        let values = &entry.values;
        let unit: MassUnit = units.unit();
        let questions = vec![
            Question::of(
                "name",
                frame.t("dock-containers-name"),
                &values.name,
                Answered::Line(40),
            ),
            Question::of(
                "weight",
                frame.with("dock-containers-weight", unit),
                &values.weight,
                Answered::Weight,
            ),
            Question::of(
                "holds",
                frame.t("dock-containers-holds"),
                &values.holds,
                Answered::Line(20),
            )
            .such_as(&frame, "5gal"),
        ];
        let about = About {
            title: say!("dock-containers-title"),
            path: "/containers",
            api: "/api/container",
            needs: "name weight",
            back: "/containers",
            does: say!("dock-weigh-keep"),
        };
        Ok(PlainForm::of(frame, entry, about)
            .asking(questions)
            .below(&document))
    }
}
