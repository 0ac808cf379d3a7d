use askama::Template;
use axum::Form;
use axum::extract::{Query, State};
use axum::http::StatusCode;
use axum::response::Response;
use jiff::{SignedDuration, Timestamp};
use serde::Deserialize;

use crate::acts::{
    ActError, FarmSettings, HarvestAsked, Harvested, Tables, YieldAsked, cohorts_on, night_of,
    record_harvest, yields,
};
use crate::daybook::{Book, ResidueTo};
use crate::sheet::{Units, YieldSheet, harvest_cautions, yields_document};

use super::super::answer::{Refusal, asks};
use super::super::app::App;
use super::super::keeper::Unkept;
use super::super::kept::{Kept, RECENT_SHOWN, Recent, recorded_at};
use super::super::shape::made_id;
use super::super::taken::HarvestSent;
use super::super::view::{Frame, Part, Visiting, linked, page};

/// Cohorts that ended longer ago are listed only when asked for (our default).
const LISTED_DAYS: i64 = 90;

/// A cohort to choose.
struct Tile {
    name: String,
    age_days: i32,
    stage: Option<String>,
    larvae: i64,
}

/// What the page needs to know of the book.
struct Trayside {
    cohorts: Vec<Tile>,
    recent: Vec<Recent>,
    sheet: YieldSheet,
    unit: String,
}

#[derive(Template)]
#[template(path = "harvest.html", config = "src/askama.toml")]
struct HarvestPage {
    frame: Frame,
    id: String,
    cohorts: Vec<Tile>,
    recent: Vec<Recent>,
    unit: String,
    ways: Vec<&'static str>,
    values: HarvestSent,
    problems: Vec<String>,
    asks: &'static str,
    done: Option<Kept>,
    parts: Vec<Part>,
    all: bool,
}

#[derive(Deserialize, Default)]
#[serde(default)]
pub(in crate::dock) struct Wanted {
    all: String,
}

/// What becomes of one entry of the form.
#[derive(Default)]
struct Entry {
    values: HarvestSent,
    problems: Vec<String>,
    asks: &'static str,
    done: Option<Kept>,
}

pub(in crate::dock) async fn show(
    State(app): State<App>,
    visit: Visiting,
    Query(wanted): Query<Wanted>,
) -> Result<Response, Refusal> {
    let frame = Frame::new(&app, &visit);
    render(&app, frame, Entry::default(), wanted.all == "yes").await
}

/// Records a harvest from a page without script. The id in the form makes a
/// second sending harmless.
pub(in crate::dock) async fn keep(
    State(app): State<App>,
    visit: Visiting,
    Form(values): Form<HarvestSent>,
) -> Result<Response, Refusal> {
    let frame = Frame::new(&app, &visit);
    let entry = match keep_harvest(&app, values.clone()).await {
        Ok(kept) => Entry {
            done: Some(told(&frame, &kept)),
            values: HarvestSent {
                by: values.by,
                ..HarvestSent::default()
            },
            ..Entry::default()
        },
        Err(Unkept::Refused(error)) => Entry {
            asks: asks(&error),
            problems: frame.details(&error),
            values,
            done: None,
        },
        Err(stopping) => return Err(frame.refused(stopping)),
    };
    render(&app, frame, entry, false).await
}

/// A harvest in the book: what was done, what was asked, how weights are said.
pub(in crate::dock) type Done = (Harvested, HarvestAsked, Units);

/// Records a harvest.
pub(in crate::dock) async fn keep_harvest(app: &App, sent: HarvestSent) -> Result<Done, Unkept> {
    let sending = sent.sending(&app.shared.by).map_err(ActError::from)?;
    let now = app.shared.clock.now();
    app.keeper
        .act(move |book, farm, _| {
            let asked = sending.asked(book, now)?;
            let wanted = sent.asked(farm.units.reader())?;
            let done = record_harvest(book, &wanted, &asked)?;
            Ok((done, wanted, farm.units))
        })
        .await
}

/// What was kept, for people.
pub(in crate::dock) fn told(frame: &Frame, (done, wanted, units): &Done) -> Kept {
    let mut lines = Vec::new();
    if wanted.last {
        lines.push(frame.with("harvest.off-trays", &done.cohort));
    } else if wanted.residue.is_none() {
        lines.push(frame.t("harvest.put-back").to_owned());
    }
    if wanted.count.is_none() {
        lines.push(frame.t("harvest.no-count").to_owned());
    }
    Kept {
        title: format!("{}: {}", done.cohort, units.both(wanted.larvae.grams())),
        lines,
        cautions: harvest_cautions().map(|caution| frame.say(&caution)).into(),
        already: done.already_there,
        record: format!("r{}", done.record),
        more: format!("r{}", done.cohort_seq),
    }
}

async fn render(app: &App, frame: Frame, entry: Entry, all: bool) -> Result<Response, Refusal> {
    let now = app.shared.clock.now();
    let side = app
        .read(move |book, farm, tables| trayside(book, farm, tables, now, all))
        .await
        .map_err(|error| frame.refused(error))?;
    let mut parts = frame.document_here(&yields_document(&side.sheet));
    let own_pages = (side.sheet.cohorts.iter()).map(|cohort| format!("/cohort/r{}", cohort.record));
    linked(&mut parts, own_pages);
    let refused = !entry.problems.is_empty();
    let id = match entry.values.id.as_str() {
        "" => made_id().unwrap_or_default(),
        id => id.to_owned(),
    };
    let mut response = page(&HarvestPage {
        id,
        cohorts: side.cohorts,
        recent: side.recent,
        unit: side.unit,
        ways: ResidueTo::ALL.map(ResidueTo::as_str).into(),
        values: entry.values,
        problems: entry.problems,
        asks: entry.asks,
        done: entry.done,
        parts,
        all,
        frame,
    });
    if refused {
        *response.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
    }
    Ok(response)
}

fn trayside(
    book: &Book,
    farm: &FarmSettings,
    tables: &Tables,
    now: Timestamp,
    all: bool,
) -> Result<Trayside, ActError> {
    let night = night_of(now, None, farm);
    let mut living = cohorts_on(book, farm, &tables.stages, night)?;
    // The eldest is the likeliest to be harvested.
    living.sort_by_key(|now| now.cohort.hatched);
    let listed = SignedDuration::from_hours(24 * LISTED_DAYS);
    let how = YieldAsked {
        since: (!all).then(|| now - listed),
        ..YieldAsked::default()
    };
    Ok(Trayside {
        cohorts: living
            .into_iter()
            .map(|now| Tile {
                name: now.cohort.name,
                age_days: now.age_days,
                stage: now.stage,
                larvae: now.cohort.larvae,
            })
            .collect(),
        recent: recent(book, farm, now)?,
        sheet: yields(book, farm, tables, None, how, now)?,
        unit: farm.units.unit().to_string(),
    })
}

fn recent(book: &Book, farm: &FarmSettings, now: Timestamp) -> Result<Vec<Recent>, ActError> {
    let lives = book.cohort_lives(Timestamp::MAX)?;
    let harvests = book.harvests(Timestamp::MAX)?;
    let mut recent = Vec::new();
    for filed in harvests.iter().rev().take(RECENT_SHOWN) {
        let of = lives
            .iter()
            .find(|life| life.cohort.seq == filed.entry.cohort_seq);
        let Some(life) = of else { continue };
        let at = filed.at.to_zoned_datetime(farm.zone.clone());
        let told = format!(
            "{} · {} · {}",
            at.strftime("%Y-%m-%d %H:%M"),
            farm.units.both(filed.entry.larvae_g),
            filed.by
        );
        recent.extend(Recent::of(
            life.cohort.entry.name.clone(),
            told,
            format!("r{}", filed.seq),
            recorded_at(book, filed.seq)?,
            now,
        ));
    }
    Ok(recent)
}
