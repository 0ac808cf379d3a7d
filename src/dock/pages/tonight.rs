use askama::Template;
use axum::Form;
use axum::extract::{Query, State};
use axum::http::StatusCode;
use axum::response::Response;
use jiff::Timestamp;
use schemars::JsonSchema;
use serde::Deserialize;

use crate::acts::{
    ActError, Asked, FarmSettings, MixAsked, Tonight, night_of, propose_mix, record_sheet, tonight,
};
use crate::daybook::Book;
use crate::quantity::Grams;
use crate::sheet::{Block, MixSheet, Tone, Units, mix_document};

use super::super::answer::{Refusal, asks, see};
use super::super::app::App;
use super::super::gauge::{Gauge, Slice, gauges, slices};
use super::super::keeper::Unkept;
use super::super::kept::{Kept, Recent, recorded_at};
use super::super::shape::{made_id, page_id, who};
use super::super::view::{Frame, Part, Visiting, page};
use super::fed::FedSent;

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

impl Line {
    /// Its field of one kind: `t` says it was fed, `w` what was taken otherwise.
    fn field(&self, kind: char) -> String {
        format!("{kind}:{}:{}", self.group, self.lot)
    }
}

#[derive(Template)]
#[template(path = "tonight.html", config = "src/askama.toml")]
struct TonightPage {
    frame: Frame,
    title: String,
    sections: Vec<Section>,
    verdict: Option<(&'static str, String)>,
    /// Record of the night's newest kept sheet.
    sheet: Option<i64>,
    fed: Option<i64>,
    /// Whether that sheet is the one shown.
    kept: bool,
    lines: Vec<Line>,
    recent: Vec<Recent>,
    id: String,
    values: FedSent,
    problems: Vec<String>,
    asks: &'static str,
    /// The script fills it in.
    done: Option<Kept>,
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
    render(&app, frame, wanted.anew == "yes", FedSent::default(), None).await
}

pub(super) async fn render(
    app: &App,
    frame: Frame,
    anew: bool,
    values: FedSent,
    problem: Option<ActError>,
) -> Result<Response, Refusal> {
    let now = app.shared.clock.now();
    let (tonight, recent, units) = app
        .read(move |book, farm, tables| {
            let tonight = tonight(book, farm, tables, night_of(now, None, farm), anew)?;
            let recent = recent(book, farm, &tonight, now)?;
            Ok((tonight, recent, farm.units))
        })
        .await
        .map_err(|error| frame.refused(error))?;
    let kept = tonight.kept.as_ref();
    let remembered = kept
        .filter(|_| !anew)
        .and_then(|kept| app.remembered(kept.record));
    let mut page_shown = tonight_page(frame, &tonight, anew, remembered, units);
    page_shown.recent = recent;
    if !values.id.is_empty() {
        page_shown.id = values.id.trim_end_matches('f').to_owned();
    }
    page_shown.values = values;
    let refused = problem.is_some();
    if let Some(problem) = problem {
        page_shown.asks = asks(&problem);
        page_shown.problems = page_shown.frame.details(&problem);
    }
    let mut response = page(&page_shown);
    if refused {
        *response.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
    }
    Ok(response)
}

/// One sheet, and it alone: the kept one with its lines to tick off, or the
/// mix as proposed now.
fn tonight_page(
    frame: Frame,
    tonight: &Tonight,
    anew: bool,
    remembered: Option<MixSheet>,
    units: Units,
) -> TonightPage {
    let kept = tonight.kept.as_ref();
    let kept_shown = kept.filter(|_| !anew);
    // Where the kept sheet's figures can't be had again, its lines stand alone.
    let is_it = |sheet: &MixSheet| kept_shown.is_none() || sheet.sheet.is_some();
    let shown = remembered
        .or_else(|| tonight.sheet.clone().filter(is_it))
        .map(|mut sheet| {
            // The terminal's next command is a button here.
            sheet.next = None;
            sheet
        });
    let lines = kept_shown.map_or_else(Vec::new, |kept| {
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
    let day = tonight.night.day.to_string();
    let title = match (&shown, kept_shown) {
        (Some(sheet), _) => frame.say(&mix_document(sheet).title),
        (None, Some(_)) => frame.with("tonight.night", &day),
        (None, None) => frame.with("tonight.nothing-due", &day),
    };
    TonightPage {
        title,
        verdict: shown.as_ref().and_then(|sheet| verdict_line(&frame, sheet)),
        sections: shown.map_or_else(Vec::new, |sheet| sections(&frame, &sheet)),
        sheet: kept.map(|kept| kept.record),
        fed: kept_shown.and_then(|kept| kept.fed),
        kept: kept_shown.is_some(),
        lines,
        recent: Vec::new(),
        id: made_id().unwrap_or_default(),
        values: FedSent::default(),
        problems: Vec::new(),
        asks: "",
        done: None,
        frame,
    }
}

/// What of the night may be taken back: what was fed, else the sheet.
fn recent(
    book: &Book,
    farm: &FarmSettings,
    tonight: &Tonight,
    now: Timestamp,
) -> Result<Vec<Recent>, ActError> {
    let mut recent = Vec::new();
    let mut add = |seq: i64, what: &str, grams: Grams| -> Result<(), ActError> {
        let at = recorded_at(book, seq)?;
        let hour = at.to_zoned_datetime(farm.zone.clone()).strftime("%H:%M");
        let told = format!("{hour} · {what} · {}", farm.units.both(grams));
        let record = format!("r{seq}");
        recent.extend(Recent::of(record.clone(), told, record, at, now));
        Ok(())
    };
    for fed in book.fed_on(tonight.night.day)?.iter().rev() {
        let draws = fed.entry.draws.iter().map(|draw| draw.grams);
        let additions = fed.entry.additions.iter().map(|addition| addition.grams);
        add(fed.seq, "fed", draws.chain(additions).sum())?;
    }
    if let Some(kept) = tonight.kept.as_ref().filter(|kept| kept.fed.is_none()) {
        let all = kept.lines.iter().map(|line| line.grams).sum();
        add(kept.record, "sheet", all)?;
    }
    Ok(recent)
}

/// The sheet's first word, which says how it stands.
fn verdict_line(frame: &Frame, sheet: &MixSheet) -> Option<(&'static str, String)> {
    match mix_document(sheet).blocks.first()? {
        Block::Line(Tone::Good, text) => Some(("good", frame.say(text))),
        Block::Line(_, text) => Some(("out", frame.say(text))),
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

#[derive(Deserialize, JsonSchema, Default)]
#[serde(default)]
#[schemars(extend("required" = ["id"]))]
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
    let (record, seal) = app
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
            Ok((record, book.seal().map_err(ActError::from)?.short()))
        })
        .await?;
    let mut sheet = sheet;
    if let Some(record) = record {
        sheet.sheet = Some(format!("r{record}"));
        sheet.seal = Some(seal);
        app.remember(record, sheet.clone());
    }
    Ok(sheet)
}
