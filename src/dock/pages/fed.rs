use std::collections::BTreeMap;

use axum::Form;
use axum::extract::State;
use axum::response::Response;
use schemars::JsonSchema;
use serde::Deserialize;

use crate::acts::{
    ActError, Change, FedAsked, FedDone, Rejection, Ticked, night_of, record_fed, ticked_off,
};
use crate::quantity::Reader;
use crate::sheet::Units;

use super::super::answer::{Refusal, asks, see};
use super::super::app::App;
use super::super::keeper::Unkept;
use super::super::kept::Kept;
use super::super::shape::{sending, ticked};
use super::super::view::{Frame, Visiting};
use super::tonight::render;

/// Ticks the sheet off as fed, from a page without script.
pub(in crate::dock) async fn fed(
    State(app): State<App>,
    visit: Visiting,
    Form(values): Form<FedSent>,
) -> Result<Response, Refusal> {
    let frame = Frame::new(&app, &visit);
    match keep_fed(&app, values.clone()).await {
        Ok(_) => Ok(see("/tonight")),
        Err(Unkept::Refused(error)) if !asks(&error).is_empty() => {
            render(&app, frame, false, values, Some(*error)).await
        }
        Err(error) => Err(frame.refused(error)),
    }
}

#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(in crate::dock) struct ChangeSent {
    /// The feed group, where the sheet does not settle it
    #[serde(default)]
    pub(in crate::dock) group: String,
    /// The lot, a bought stream, or water
    pub(in crate::dock) lot: String,
    /// What was taken; 0 takes the line off
    pub(in crate::dock) weight: String,
}

#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(default)]
#[schemars(extend("required" = ["id", "sheet"]))]
pub(in crate::dock) struct FedSent {
    pub(in crate::dock) id: String,
    pub(in crate::dock) by: String,
    /// The sheet followed, such as r57
    pub(in crate::dock) sheet: String,
    pub(in crate::dock) changes: Vec<ChangeSent>,
    /// `yes` where lines were ticked one by one: then a line counts as fed when it has its tick
    /// or a weight; else the whole sheet does.
    pub(in crate::dock) ticks: String,
    /// What became of lines without a tick: `fed` or `left`; blank, it is asked with status 422
    /// and the error `open`.
    pub(in crate::dock) open: String,
    pub(in crate::dock) sure: String,
    pub(in crate::dock) entered_at: String,
    pub(in crate::dock) sent_at: String,
    #[schemars(skip)]
    pub(in crate::dock) token: String,
    /// Ticked lines `t:GROUP:LOT` and weights taken otherwise `w:GROUP:LOT`.
    #[serde(flatten)]
    pub(in crate::dock) fields: BTreeMap<String, String>,
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

    /// What was done otherwise than on the sheet.
    fn changes(&self, reader: Reader) -> Result<Vec<Change>, ActError> {
        let known = |key: &&String| !key.starts_with("t:") && !key.starts_with("w:");
        if let Some(unknown) = self.fields.keys().find(known) {
            return Err(Rejection {
                field: "body",
                seen: unknown.chars().take(80).collect(),
                accepted: "the fields that /api/openapi.json describes".to_owned(),
            }
            .into());
        }
        let sent = self.changes.iter().map(|change| {
            (
                change.group.as_str(),
                change.lot.as_str(),
                change.weight.as_str(),
            )
        });
        sent.chain(self.lines("w:"))
            .map(|(group, lot, text)| {
                let weight = reader.scale(text).map_err(|error| Rejection {
                    field: "weight",
                    seen: format!("{lot}={text}"),
                    accepted: error.accepted(),
                })?;
                let group = Some(group.to_owned()).filter(|group| !group.is_empty());
                Ok(Change {
                    group,
                    lot: lot.to_owned(),
                    weight: weight.into_reading(),
                })
            })
            .collect()
    }
}

/// Records what was fed.
pub(in crate::dock) async fn keep_fed(
    app: &App,
    sent: FedSent,
) -> Result<(FedDone, Units), Unkept> {
    let way = [&*sent.id, &*sent.by, &*sent.entered_at, &*sent.sent_at];
    let sending = sending(way, &app.shared.by).map_err(ActError::from)?;
    let now = app.shared.clock.now();
    app.keeper
        .act(move |book, farm, _| {
            let mut changes = sent.changes(farm.units.reader())?;
            if ticked(&sent.ticks) {
                let ticked = Ticked {
                    lines: sent
                        .lines("t:")
                        .map(|(group, lot, _)| (group.to_owned(), lot.to_owned()))
                        .collect(),
                    others: match sent.open.as_str() {
                        "fed" => Some(true),
                        "left" => Some(false),
                        _ => None,
                    },
                };
                changes = ticked_off(book, &sent.sheet, &ticked, changes, farm.units)?;
            }
            let mut asked = sending.asked(book, now)?;
            asked.sure = ticked(&sent.sure);
            let fed = FedAsked {
                sheet: Some(sent.sheet),
                changes,
                without_sheet: false,
                or_the_night_before: false,
            };
            let night = night_of(asked.at, None, farm);
            let done = record_fed(book, night, &fed, farm.units, &asked)?;
            Ok((done, farm.units))
        })
        .await
}

/// What was fed, for people.
pub(in crate::dock) fn told(frame: &Frame, done: &FedDone, units: Units) -> Kept {
    let mut lines: Vec<String> = done
        .groups
        .iter()
        .map(|(group, grams)| format!("{group}: {}", units.both(*grams)))
        .collect();
    if !done.emptied.is_empty() {
        lines.push(frame.with("tonight.used-up", &done.emptied.join(", ")));
    }
    Kept {
        title: format!(
            "{}: {}",
            frame.t("tonight.fed"),
            units.both(done.groups.values().copied().sum())
        ),
        lines,
        cautions: Vec::new(),
        already: done.already_there,
        record: format!("r{}", done.record),
        more: String::new(),
    }
}
