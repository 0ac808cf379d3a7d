use std::collections::BTreeMap;

use super::*;
use crate::acts::{
    Change as Taken, FedAsked, FedDone, Otherwise, Ticked, fed_of_sheet, night_of, record_fed,
    ticked_off,
};
use crate::daybook::Book;
use crate::quantity::Reader;
use crate::words::say;

#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct ChangeSent {
    /// The feed group, where the sheet does not settle it
    #[serde(default)]
    group: String,
    /// The lot, a bought stream, or water
    lot: String,
    /// What was taken; 0 takes the line off
    weight: String,
}

/// What was fed of a sheet.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(default)]
#[schemars(extend("required" = ["id", "sheet"]))]
pub(crate) struct FedSent {
    #[serde(flatten)]
    pub(super) way: Way,
    /// The sheet followed, such as r57
    sheet: String,
    changes: Vec<ChangeSent>,
    /// `yes` where lines were ticked one by one: then a line counts as fed when it has its tick
    /// or a weight; else the whole sheet does.
    ticks: String,
    /// What became of lines without a tick: `fed` or `left`; blank, it is asked with status 422
    /// and the error `open`.
    pub(super) open: String,
    #[schemars(skip)]
    token: String,
    /// Ticked lines `t:GROUP:LOT` and weights taken otherwise `w:GROUP:LOT`.
    #[serde(flatten)]
    fields: BTreeMap<String, String>,
}

impl FedSent {
    /// Group, lot and text of the filled fields of one kind.
    fn lines(&self, kind: &str) -> impl Iterator<Item = (&str, &str, &str)> {
        self.fields.iter().filter_map(move |(key, text)| {
            let (group, lot) = key.strip_prefix(kind)?.split_once(':')?;
            (!text.trim().is_empty()).then_some((group, lot, text.as_str()))
        })
    }

    /// The text that was sent in a field, for the page that asks again.
    pub(super) fn text(&self, field: &str) -> &str {
        self.fields.get(field).map_or("", String::as_str)
    }

    /// What other tablets ticked, where nothing was sent from this one.
    pub(super) fn ticked_elsewhere(&mut self, lines: Option<&BTreeMap<String, String>>) {
        if let (true, Some(lines)) = (self.fields.is_empty(), lines) {
            self.fields.clone_from(lines);
        }
    }

    /// Whether anything is ticked or weighed already.
    pub(super) fn is_begun(&self) -> bool {
        !self.fields.is_empty()
    }

    /// What was done otherwise than on the sheet.
    fn changes(&self, reader: Reader) -> Result<Vec<Taken>> {
        let known = |key: &&String| !key.starts_with("t:") && !key.starts_with("w:");
        if let Some(unknown) = self.fields.keys().find(known) {
            let seen: String = unknown.chars().take(80).collect();
            return Err(Rejection::new("body", seen, say!("accepted-fields")).into());
        }
        let sent = (self.changes.iter()).map(|of| (&*of.group, &*of.lot, &*of.weight));
        sent.chain(self.lines("w:"))
            .map(|(group, lot, text)| {
                let weight = reader.scale(text).map_err(|error| {
                    Rejection::new("weight", format!("{lot}={text}"), error.accepted())
                })?;
                Ok(Taken {
                    group: given(group),
                    lot: lot.to_owned(),
                    weight: weight.reading,
                })
            })
            .collect()
    }
}

impl Act for FedSent {
    type Done = Shown<FedDone>;

    fn act(self, to: Writing) -> Result<Self::Done> {
        let units = to.farm.units;
        let mut changes = self.changes(units.reader())?;
        if ticked(&self.ticks) {
            let lines = self.lines("t:");
            let lines = lines.map(|(group, lot, _)| (group.into(), lot.into()));
            let ticked = Ticked {
                lines: lines.collect(),
                others: match self.open.as_str() {
                    "fed" => Some(true),
                    "left" => Some(false),
                    _ => None,
                },
            };
            changes = ticked_off(to.book, &self.sheet, &ticked, changes, units)?;
        }
        let fed = FedAsked {
            sheet: Some(self.sheet),
            changes,
            without_sheet: false,
            or_the_night_before: false,
        };
        let night = night_of(to.asked.at, None, to.farm);
        let done = record_fed(to.book, night, &fed, units, to.asked)?;
        let shown = told(to.frame, to.book, &done, units)?;
        Ok(Shown { done, shown })
    }
}

fn told(frame: &Frame, book: &Book, done: &FedDone, units: Units) -> Result<Kept> {
    let group = |(group, grams): (&String, &Grams)| format!("{group}: {}", units.told(*grams));
    let mut lines: Vec<String> = done.groups.iter().map(group).collect();
    if !done.emptied.is_empty() {
        lines.push(frame.with("dock-tonight-used-up", done.emptied.join(", ")));
    }
    let (fed, all) = (
        frame.t("dock-tonight-fed"),
        done.groups.values().copied().sum(),
    );
    let mut title = format!("{fed}: {}", units.told(all));
    if let Some(sheet) = done.sheet {
        let (on_sheet, other) = fed_of_sheet(book, done.night, sheet)?;
        if on_sheet > all {
            let on_sheet = units.told(on_sheet);
            title = frame.say(&say!("dock-tonight-fed-of", title, all = on_sheet));
        }
        lines.extend(otherwise(frame, &other, units));
    }
    Ok(Kept {
        lines,
        ..Kept::of(title, done.record, done.already_there)
    })
}

/// Each line with the weight fed and the one on the sheet.
pub(super) fn otherwise(frame: &Frame, lines: &[Otherwise], units: Units) -> Vec<String> {
    let each = lines.iter();
    let told = each.map(|Otherwise { line, fed_g }| {
        let (fed, sheet) = (units.as_weighed(*fed_g), units.as_weighed(line.grams));
        let line = line.said();
        frame.say(&match *fed_g {
            Grams::ZERO => say!("dock-tonight-left", line, sheet),
            _ => say!("dock-tonight-other", line, fed, sheet),
        })
    });
    told.collect()
}
