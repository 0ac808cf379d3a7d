use std::collections::BTreeMap;

use askama::Template;
use axum::Form;
use axum::extract::{Query, State};
use axum::response::Response;
use serde::Deserialize;

use crate::acts::{
    ActError, Asked, Change, FedAsked, FedDone, MixAsked, Rejection, Sending, Tonight, night_of,
    propose_mix, record_fed, record_sheet, tonight,
};
use crate::quantity::Grams;
use crate::sheet::{Block, MixSheet, Tone, Units, mix_document};

use super::super::answer::{Refusal, see};
use super::super::app::App;
use super::super::gauge::{Gauge, Slice, gauges, slices};
use super::super::keeper::Unkept;
use super::super::shape::{made_id, page_id, who};
use super::super::view::{Frame, Part, Visiting, page};

/// A part of the sheet under one heading, with a group's pictures.
#[derive(Default)]
struct Section {
    parts: Vec<Part>,
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
#[template(path = "tonight.html", config = "src/askama.toml")]
struct TonightPage {
    frame: Frame,
    title: String,
    sections: Vec<Section>,
    verdict: Option<(&'static str, String)>,
    /// Record of the sheet that may be ticked off.
    sheet: Option<i64>,
    fed: Option<i64>,
    /// Whether the sheet shown is kept already.
    kept: bool,
    lines: Vec<Line>,
    id: String,
}

#[derive(Deserialize, Default)]
#[serde(default)]
pub(in crate::dock) struct Wanted {
    anew: String,
}

/// Tonight's sheet: kept, or as it would be proposed.
pub(in crate::dock) async fn show(
    State(app): State<App>,
    visit: Visiting,
    Query(wanted): Query<Wanted>,
) -> Result<Response, Refusal> {
    let frame = Frame::new(&app, &visit);
    let now = app.shared.clock.now();
    let anew = wanted.anew == "yes";
    let (tonight, units) = app
        .read(move |book, farm, tables| {
            let tonight = tonight(book, farm, tables, night_of(now, None, farm), anew)?;
            Ok((tonight, farm.units))
        })
        .await
        .map_err(|error| frame.refused(error))?;
    let kept = tonight.kept.as_ref().map(|kept| kept.record);
    let remembered = kept
        .filter(|_| !anew)
        .and_then(|record| app.remembered(record));
    Ok(page(&tonight_page(frame, &tonight, remembered, units)))
}

fn tonight_page(
    frame: Frame,
    tonight: &Tonight,
    remembered: Option<MixSheet>,
    units: Units,
) -> TonightPage {
    let kept = tonight.kept.as_ref();
    let shown = remembered
        .or_else(|| tonight.sheet.clone())
        .map(|mut sheet| {
            // The terminal's next command is a button here.
            sheet.next = None;
            sheet
        });
    let lines = kept.map_or_else(Vec::new, |kept| {
        kept.lines
            .iter()
            .map(|line| Line {
                group: line.group.clone(),
                lot: line.lot.clone(),
                stream: line.stream.clone(),
                weight: units.as_weighed(line.grams),
            })
            .collect()
    });
    let title = match &shown {
        Some(sheet) => mix_document(sheet).title,
        None => frame.with("tonight.nothing-due", &tonight.night.day.to_string()),
    };
    TonightPage {
        title,
        verdict: shown.as_ref().and_then(verdict_line),
        kept: shown.as_ref().is_some_and(|sheet| sheet.sheet.is_some()),
        sections: shown.map_or_else(Vec::new, |sheet| sections(&frame, &sheet)),
        sheet: kept.map(|kept| kept.record),
        fed: kept.and_then(|kept| kept.fed),
        lines,
        id: made_id().unwrap_or_default(),
        frame,
    }
}

/// The sheet's first word, which says how it stands.
fn verdict_line(sheet: &MixSheet) -> Option<(&'static str, String)> {
    match mix_document(sheet).blocks.first()? {
        Block::Line(Tone::Good, text) => Some(("good", text.clone())),
        Block::Line(_, text) => Some(("out", text.clone())),
        Block::Heading(_) | Block::Table(_) | Block::List(_) | Block::Chart(_) => None,
    }
}

/// The document cut at its headings: one section a group, buckets in front,
/// pictures behind; then the rest.
fn sections(frame: &Frame, sheet: &MixSheet) -> Vec<Section> {
    let mut sections = vec![Section::default()];
    // The verdict stands above already.
    for part in frame.document(&mix_document(sheet)).into_iter().skip(1) {
        if matches!(part, Part::Heading(_)) {
            sections.push(Section::default());
        }
        if let Some(last) = sections.last_mut() {
            last.parts.push(part);
        }
    }
    let groups = sheet.mix.groups.iter();
    for (section, group) in sections.iter_mut().skip(1).zip(groups) {
        if group.figures.wet > Grams::ZERO {
            section.slices = slices(group, sheet.units);
            section.gauges = gauges(sheet, group);
        }
    }
    sections
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
    Ok(see("/tonight"))
}

/// Proposes and keeps; the sheet is remembered with its figures.
pub(in crate::dock) async fn keep_sheet(app: &App, values: SheetSent) -> Result<MixSheet, Unkept> {
    let id = page_id(&values.id).map_err(ActError::from)?;
    let by = who(&values.by, &app.shared.by).map_err(ActError::from)?;
    // The book keeps whole seconds: the figures must be had again from its instant.
    let now = app.shared.clock.now();
    let now = jiff::Timestamp::from_second(now.as_second()).unwrap_or(now);
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
                sure: false,
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
    Ok(see("/tonight"))
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
    let sending = Sending {
        id: page_id(&sent.id).map_err(ActError::from)?,
        by: who(&sent.by, &app.shared.by).map_err(ActError::from)?,
        ..Sending::default()
    };
    let now = app.shared.clock.now();
    app.keeper
        .act(move |book, farm, _| {
            let reader = farm.units.reader();
            let mut changes = Vec::new();
            for change in sent.changes {
                let weight = reader.scale(&change.weight).map_err(|error| {
                    ActError::from(Rejection {
                        field: "weight",
                        seen: format!("{}={}", change.lot, change.weight),
                        accepted: error.accepted(),
                    })
                })?;
                changes.push(Change {
                    group: Some(change.group).filter(|group| !group.is_empty()),
                    lot: change.lot,
                    weight: weight.into_reading(),
                });
            }
            let asked = sending.asked(book, now)?;
            let fed = FedAsked {
                sheet: Some(sent.sheet),
                changes,
                without_sheet: false,
                or_the_night_before: false,
            };
            let night = night_of(asked.at, None, farm);
            record_fed(book, night, &fed, farm.units, &asked)
        })
        .await
}
