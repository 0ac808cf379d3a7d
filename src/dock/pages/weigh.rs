use schemars::JsonSchema;
use std::collections::BTreeMap;

use askama::Template;
use axum::Form;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;
use jiff::SignedDuration;
use serde::Serialize;
use serde_json::json;

use crate::acts::{ActError, Welcomed, lot_name};
use crate::daybook::Daybook;
use crate::sheet::{TicketCard, Units};
use crate::stream::Verdict;

use super::super::answer::{Refusal, asks};
use super::super::app::App;
use super::super::keeper::Unkept;
use super::super::kept::{RECENT_SHOWN, Recent};
use super::super::shape::{BucketSent, NO_CONTAINER, made_id};
use super::super::view::{Frame, Visiting, page};

/// How far back "usual" looks (our default).
const USUAL_DAYS: i64 = 60;
/// Suppliers shown as tiles; more are under "another".
const TILES_MOST: usize = 11;

/// A supplier with what it usually brings.
struct Supplier {
    name: String,
    streams: String,
    /// The container each stream came in last, as JSON.
    usual: String,
}

/// What the page needs to know of the book.
struct Dockside {
    suppliers: Vec<Supplier>,
    tiles: Vec<(String, String)>,
    streams: Vec<(String, String)>,
    containers: Vec<(String, String)>,
    recent: Vec<Recent>,
    unit: String,
}

/// What fills the screen once a bucket is kept.
#[derive(Serialize, JsonSchema)]
pub(in crate::dock) struct Done {
    number: i64,
    net: String,
    from: String,
    verdict: String,
    class: &'static str,
    reason: String,
    put: String,
    cautions: Vec<String>,
    already: bool,
    record: String,
    clock: Option<String>,
    label: String,
    /// The lot whose parts are to be picked out and weighed.
    parts: Option<String>,
}

#[derive(Template)]
#[template(path = "weigh.html", config = "src/askama.toml")]
struct WeighPage {
    frame: Frame,
    id: String,
    dock: Dockside,
    no_container: &'static str,
    values: BucketSent,
    problems: Vec<String>,
    asks: &'static str,
    done: Option<Done>,
}

pub(in crate::dock) async fn show(
    State(app): State<App>,
    visit: Visiting,
) -> Result<Response, Refusal> {
    let frame = Frame::new(&app, &visit);
    render(&app, frame, BucketSent::default(), Vec::new(), "", None).await
}

/// Weighs in from a page without script. The id in the form makes a second
/// sending harmless.
pub(in crate::dock) async fn keep(
    State(app): State<App>,
    visit: Visiting,
    Form(values): Form<BucketSent>,
) -> Result<Response, Refusal> {
    let frame = Frame::new(&app, &visit);
    let sent = values.clone().into_sent(&app.shared.by);
    let told = match sent {
        Ok(sent) => app.keeper.weigh(sent).await,
        Err(rejection) => Err(ActError::from(rejection).into()),
    };
    match told {
        Ok(welcomed) => {
            let done = done(&frame, &welcomed);
            let by = values.by;
            let next = BucketSent {
                by,
                ..BucketSent::default()
            };
            render(&app, frame, next, Vec::new(), "", Some(done)).await
        }
        Err(Unkept::Refused(error)) => {
            let asks = asks(&error);
            let problems = frame.details(&error);
            render(&app, frame, values, problems, asks, None).await
        }
        Err(stopping) => Err(frame.refused(stopping)),
    }
}

async fn render(
    app: &App,
    frame: Frame,
    values: BucketSent,
    problems: Vec<String>,
    asks: &'static str,
    done: Option<Done>,
) -> Result<Response, Refusal> {
    let now = app.shared.clock.now();
    let dock = app
        .read(move |book, farm, tables| {
            let streams = tables
                .streams
                .iter()
                .map(|stream| (stream.id.to_string(), stream.name.clone()))
                .collect();
            dockside(book, farm.units, streams, now)
        })
        .await
        .map_err(|error| frame.refused(error))?;
    let id = if values.id.is_empty() || done.is_some() {
        made_id().unwrap_or_default()
    } else {
        values.id.clone()
    };
    let refused = !problems.is_empty();
    let mut response = page(&WeighPage {
        frame,
        id,
        dock,
        no_container: NO_CONTAINER,
        values,
        problems,
        asks,
        done,
    });
    if refused {
        *response.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
    }
    Ok(response)
}

fn dockside(
    book: &Daybook,
    units: Units,
    streams: Vec<(String, String)>,
    now: jiff::Timestamp,
) -> Result<Dockside, ActError> {
    let since = now - SignedDuration::from_hours(24 * USUAL_DAYS);
    let loads = book.usual_loads(since)?;
    let names: BTreeMap<&str, &str> = streams
        .iter()
        .map(|(id, name)| (id.as_str(), name.as_str()))
        .collect();
    let mut suppliers: Vec<Supplier> = Vec::new();
    let mut tiles: Vec<(String, String)> = Vec::new();
    for load in &loads {
        let stream = load.stream.as_str();
        if !suppliers.iter().any(|known| known.name == load.supplier) {
            let mut brings: Vec<_> = loads
                .iter()
                .filter(|other| other.supplier == load.supplier)
                .collect();
            brings.sort_by_key(|load| std::cmp::Reverse(load.loads));
            let usual: BTreeMap<&str, &str> = brings
                .iter()
                .filter_map(|load| Some((load.stream.as_str(), load.container.as_deref()?)))
                .collect();
            suppliers.push(Supplier {
                name: load.supplier.clone(),
                streams: brings
                    .iter()
                    .map(|load| load.stream.as_str())
                    .collect::<Vec<_>>()
                    .join(" "),
                usual: json!(usual).to_string(),
            });
        }
        if !tiles.iter().any(|(known, _)| known == stream) {
            let name = names.get(stream).copied().unwrap_or(stream);
            tiles.push((stream.to_owned(), name.to_owned()));
        }
    }
    suppliers.truncate(TILES_MOST);
    let containers = book
        .containers()?
        .into_iter()
        .map(|container| (container.name, units.weight(container.tare_g)))
        .collect();
    Ok(Dockside {
        suppliers,
        tiles,
        streams,
        containers,
        recent: recent(book, units, now)?,
        unit: units.unit().to_string(),
    })
}

fn recent(book: &Daybook, units: Units, now: jiff::Timestamp) -> Result<Vec<Recent>, ActError> {
    let zone = crate::acts::settings(book)?.zone;
    Ok(book
        .newest_records(40)?
        .into_iter()
        .filter(|found| found.struck_by.is_none())
        .filter_map(|found| {
            let ticket = found.ticket()?;
            let recorded_at = found.record.recorded_at;
            let at = recorded_at.to_zoned_datetime(zone.clone());
            let told = format!(
                "{} · {} · {} · {}",
                at.strftime("%H:%M"),
                units.both(ticket.net_g),
                ticket.stream,
                ticket.supplier
            );
            let name = lot_name(&found.record.content.id, found.number?);
            let record = format!("r{}", found.record.seq);
            Recent::of(name, told, record, recorded_at, now)
        })
        .take(RECENT_SHOWN)
        .collect())
}

/// The class of a verdict on the page; shape and word tell it too.
const fn verdict_class(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Feed => "feed",
        Verdict::PickOut => "pick-out",
        Verdict::AskFirst => "ask-first",
        Verdict::Compost => "compost",
        Verdict::Refuse => "refuse",
    }
}

/// What a wrong clock says, for people.
fn clock_words(frame: &Frame, welcomed: &Welcomed) -> Option<String> {
    let clock = welcomed.clock?;
    let minutes = clock.ahead.as_mins().abs();
    let far = format!("{} h {} min", minutes / 60, minutes % 60);
    let key = if clock.ahead.is_negative() {
        "clock.behind"
    } else {
        "clock.ahead"
    };
    let said = clock.said.strftime("%Y-%m-%d %H:%M UTC").to_string();
    let kept = welcomed.card.weighed_at.clone();
    Some(
        frame
            .with(key, &far)
            .replacen("{}", &said, 1)
            .replacen("{}", &kept, 1),
    )
}

/// What was kept, for people.
pub(in crate::dock) fn done(frame: &Frame, welcomed: &Welcomed) -> Done {
    let card: &TicketCard = &welcomed.card;
    Done {
        number: card.number,
        net: card.units.both(card.net - card.picked_out),
        from: format!("{} · {}", card.supplier, card.stream),
        verdict: frame.say(&card.flag.verdict.said()),
        class: verdict_class(card.flag.verdict),
        reason: frame.say(&card.flag.reason),
        put: frame.say(&card.put),
        cautions: card.cautions.iter().map(|one| frame.say(one)).collect(),
        already: card.already_there,
        record: format!("r{}", card.record),
        clock: clock_words(frame, welcomed),
        label: card.ticket.clone(),
        parts: (card.flag.verdict == Verdict::PickOut).then(|| card.ticket.clone()),
    }
}
