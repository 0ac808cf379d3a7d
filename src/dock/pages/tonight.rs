use std::collections::BTreeMap;

use askama::Template;
use axum::Form;
use axum::extract::State;
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use serde::Deserialize;

use crate::acts::{
    ActError, Asked, Change, FedAsked, FedDone, MixAsked, Rejection, Tonight, night_of,
    propose_mix, record_fed, record_sheet, tonight,
};
use crate::quantity::{Grams, scale_reading};
use crate::sheet::{MixSheet, Tone, Units, mix_document};

use super::super::answer::Refusal;
use super::super::app::App;
use super::super::gauge::{Gauge, Slice, gauges, slices};
use super::super::keeper::Unkept;
use super::super::shape::{made_id, page_id, who};
use super::super::view::{Frame, Part, Visiting, page};

/// A group with its pictures.
struct Pictures {
    name: String,
    gauges: Vec<Gauge>,
    slices: Vec<Slice>,
}

/// A line to tick off.
struct Line {
    group: String,
    lot: String,
    stream: String,
    weight: String,
}

#[derive(Template)]
#[template(path = "tonight.html")]
struct TonightPage {
    frame: Frame,
    title: String,
    parts: Vec<Part>,
    pictures: Vec<Pictures>,
    verdict: Option<(&'static str, String)>,
    /// Record of the sheet that may be ticked off.
    sheet: Option<i64>,
    fed: Option<i64>,
    /// Whether the sheet shown is kept already.
    kept: bool,
    lines: Vec<Line>,
    id: String,
}

/// Tonight's sheet: kept, or as it would be proposed.
pub(in crate::dock) async fn show(
    State(app): State<App>,
    visit: Visiting,
) -> Result<Response, Refusal> {
    let frame = Frame::new(&app, &visit);
    let now = app.shared.clock.now();
    let (tonight, units) = app
        .read(move |book, farm, tables| {
            let tonight = tonight(book, farm, tables, night_of(now, None, farm))?;
            Ok((tonight, farm.units))
        })
        .await
        .map_err(|error| frame.refused(error))?;
    let kept = tonight.kept.as_ref().map(|kept| kept.record);
    let remembered = kept.and_then(|record| app.remembered(record));
    Ok(page(&tonight_page(frame, &tonight, remembered, units)))
}

fn tonight_page(
    frame: Frame,
    tonight: &Tonight,
    remembered: Option<MixSheet>,
    units: Units,
) -> TonightPage {
    let kept = tonight.kept.as_ref();
    let shows_kept = remembered.is_some() || kept.is_some_and(|kept| kept.same);
    let shown = remembered
        .or_else(|| tonight.sheet.clone())
        .map(|mut sheet| {
            // The terminal's next command is a button here.
            sheet.next = None;
            sheet
        });
    let (title, parts, pictures, verdict) = match &shown {
        None => (
            frame.with("tonight.nothing-due", &tonight.night.day.to_string()),
            Vec::new(),
            Vec::new(),
            None,
        ),
        Some(sheet) => {
            let document = mix_document(sheet);
            let verdict = document.blocks.iter().find_map(|block| match block {
                crate::sheet::Block::Line(Tone::Good, text) => Some(("good", text.clone())),
                crate::sheet::Block::Line(Tone::Out, text) => Some(("out", text.clone())),
                _ => None,
            });
            let mut parts = frame.document(&document);
            if verdict.is_some() && !parts.is_empty() {
                parts.remove(0);
            }
            let pictures = sheet
                .mix
                .groups
                .iter()
                .filter(|group| group.figures.wet > Grams::ZERO)
                .map(|group| Pictures {
                    name: group.name.clone(),
                    gauges: gauges(group),
                    slices: slices(group, units),
                })
                .collect();
            (document.title, parts, pictures, verdict)
        }
    };
    TonightPage {
        title,
        parts,
        pictures,
        verdict,
        sheet: kept.map(|kept| kept.record),
        fed: kept.and_then(|kept| kept.fed),
        kept: shows_kept,
        lines: kept.map_or_else(Vec::new, |kept| {
            kept.lines
                .iter()
                .map(|line| Line {
                    group: line.group.clone(),
                    lot: line.lot.clone(),
                    stream: line.stream.clone(),
                    weight: units.weight(line.grams),
                })
                .collect()
        }),
        id: made_id().unwrap_or_default(),
        frame,
    }
}

#[derive(Deserialize, Default)]
#[serde(default)]
pub(in crate::dock) struct SheetSent {
    pub(in crate::dock) id: String,
    pub(in crate::dock) by: String,
}

/// Keeps tonight's sheet as it stands now.
pub(in crate::dock) async fn keep(
    State(app): State<App>,
    visit: Visiting,
    Form(values): Form<SheetSent>,
) -> Result<Response, Refusal> {
    let frame = Frame::new(&app, &visit);
    keep_sheet(&app, values)
        .await
        .map_err(|error| frame.refused(error))?;
    Ok(back())
}

fn back() -> Response {
    let here = [(header::LOCATION, HeaderValue::from_static("/tonight"))];
    (StatusCode::SEE_OTHER, here).into_response()
}

/// Proposes and keeps; the sheet is remembered with its figures.
pub(in crate::dock) async fn keep_sheet(app: &App, values: SheetSent) -> Result<MixSheet, Unkept> {
    let id = page_id(&values.id).map_err(ActError::from)?;
    let by = who(&values.by, &app.shared.by).map_err(ActError::from)?;
    let now = app.shared.clock.now();
    // Solving may take a while: it is done beside the writing thread, and the
    // book refuses nothing that a later weighing could change here.
    let (sheet, night) = app
        .read(move |book, farm, tables| {
            let night = night_of(now, None, farm);
            let sheet = propose_mix(book, farm, tables, night, &MixAsked::default())?;
            Ok((sheet, night))
        })
        .await?;
    let to_keep = sheet.clone();
    let (record, head) = app
        .keeper
        .act(move |book, _, _| {
            let asked = Asked {
                id,
                at: now,
                by,
                now,
            };
            let record = record_sheet(book, &to_keep, night, &asked)?;
            Ok((record, book.head().map_err(ActError::from)?.short()))
        })
        .await?;
    let mut sheet = sheet;
    if let Some(record) = record {
        sheet.sheet = Some(format!("r{record}"));
        sheet.head = Some(head);
        app.remember(record, sheet.clone());
    }
    Ok(sheet)
}

/// Ticks the sheet off as fed. Fields beside the named ones are changed
/// weights: `w:GROUP:LOT`.
pub(in crate::dock) async fn fed(
    State(app): State<App>,
    visit: Visiting,
    Form(values): Form<BTreeMap<String, String>>,
) -> Result<Response, Refusal> {
    let frame = Frame::new(&app, &visit);
    let value = |key: &str| values.get(key).cloned().unwrap_or_default();
    let sent = FedSent {
        id: value("id"),
        by: value("by"),
        sheet: value("sheet"),
        changes: values
            .iter()
            .filter(|(_, weight)| !weight.trim().is_empty())
            .filter_map(|(key, weight)| {
                let (group, lot) = key.strip_prefix("w:")?.split_once(':')?;
                Some(ChangeSent {
                    group: group.to_owned(),
                    lot: lot.to_owned(),
                    weight: weight.clone(),
                })
            })
            .collect(),
    };
    keep_fed(&app, sent)
        .await
        .map_err(|error| frame.refused(error))?;
    Ok(back())
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(in crate::dock) struct ChangeSent {
    #[serde(default)]
    pub(in crate::dock) group: String,
    pub(in crate::dock) lot: String,
    pub(in crate::dock) weight: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(in crate::dock) struct FedSent {
    pub(in crate::dock) id: String,
    #[serde(default)]
    pub(in crate::dock) by: String,
    pub(in crate::dock) sheet: String,
    #[serde(default)]
    pub(in crate::dock) changes: Vec<ChangeSent>,
}

/// Records what was fed.
pub(in crate::dock) async fn keep_fed(app: &App, sent: FedSent) -> Result<FedDone, Unkept> {
    let id = page_id(&sent.id).map_err(ActError::from)?;
    let by = who(&sent.by, &app.shared.by).map_err(ActError::from)?;
    let now = app.shared.clock.now();
    app.keeper
        .act(move |book, farm, _| {
            let unit = farm.units.unit();
            let mut changes = Vec::new();
            for change in sent.changes {
                let weight = scale_reading(&change.weight, Some(unit)).map_err(|error| {
                    ActError::from(Rejection {
                        field: "weight",
                        seen: format!("{}={}", change.lot, change.weight),
                        accepted: error.to_string(),
                    })
                })?;
                changes.push(Change {
                    group: Some(change.group).filter(|group| !group.is_empty()),
                    lot: change.lot,
                    weight,
                });
            }
            let kept = book
                .find_record(&id)
                .map_err(ActError::from)?
                .filter(|found| found.record.content.id == id);
            let at = kept.map_or(now, |found| found.record.content.at);
            let asked = Asked { id, at, by, now };
            let fed = FedAsked {
                sheet: Some(sent.sheet),
                changes,
                without_sheet: false,
            };
            record_fed(book, night_of(at, None, farm), &fed, farm.units, &asked)
        })
        .await
}
