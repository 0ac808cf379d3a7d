use std::collections::BTreeMap;

use askama::Template;
use axum::Form;
use axum::extract::State;
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use jiff::SignedDuration;
use serde::Deserialize;

use crate::acts::{ActError, Asked, Welcomed, lot_name, strike as strike_act};
use crate::daybook::{Daybook, Entry};
use crate::sheet::{TicketCard, Units};
use crate::stream::Verdict;

use super::super::answer::Refusal;
use super::super::app::App;
use super::super::keeper::Unkept;
use super::super::shape::{BucketSent, made_id, page_id, who};
use super::super::view::{Frame, Visiting, page};

/// How far back "usual" looks (our default).
const USUAL_DAYS: i64 = 60;
/// Suppliers shown as tiles; more are under "another".
const TILES_MOST: usize = 11;
/// How long undo is one touch.
const UNDO_MINUTES: i64 = 2;

/// A supplier with what it usually brings.
struct Supplier {
    name: String,
    streams: String,
    container: String,
}

/// A ticket that may be undone by one touch.
struct Recent {
    ticket: String,
    record: i64,
    net: String,
    stream: String,
    supplier: String,
    at: String,
    strike_id: String,
    young: bool,
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
struct Done {
    number: i64,
    net: String,
    from: String,
    verdict: String,
    class: &'static str,
    reason: String,
    put: String,
    cautions: Vec<String>,
    already: bool,
    record: i64,
    strike_id: String,
    clock: Option<String>,
    label: String,
}

#[derive(Template)]
#[template(path = "weigh.html", config = "src/askama.toml")]
struct WeighPage {
    frame: Frame,
    id: String,
    dock: Dockside,
    values: BucketSent,
    problems: Vec<String>,
    doubtful: bool,
    done: Option<Done>,
}

/// The weigh-in page.
pub(in crate::dock) async fn show(
    State(app): State<App>,
    visit: Visiting,
) -> Result<Response, Refusal> {
    let frame = Frame::new(&app, &visit);
    render(&app, frame, BucketSent::default(), Vec::new(), false, None).await
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
            render(&app, frame, next, Vec::new(), false, Some(done)).await
        }
        Err(Unkept::Refused(error)) if matches!(*error, ActError::Doubtful(_)) => {
            let ActError::Doubtful(doubts) = *error else {
                return Err(frame.refused(Unkept::Stopping));
            };
            render(&app, frame, values, doubts, true, None).await
        }
        Err(Unkept::Refused(error)) => {
            let problems = match *error {
                ActError::Rejected(rejections) => {
                    rejections.iter().map(ToString::to_string).collect()
                }
                other => vec![other.to_string()],
            };
            render(&app, frame, values, problems, false, None).await
        }
        Err(stopping) => Err(frame.refused(stopping)),
    }
}

#[derive(Deserialize, Default)]
#[serde(default)]
pub(in crate::dock) struct StrikeSent {
    pub(in crate::dock) id: String,
    pub(in crate::dock) record: String,
    pub(in crate::dock) why: String,
    pub(in crate::dock) by: String,
}

/// Undo: a strike with its reason, then back to the page.
pub(in crate::dock) async fn strike(
    State(app): State<App>,
    visit: Visiting,
    Form(values): Form<StrikeSent>,
) -> Result<Response, Refusal> {
    let frame = Frame::new(&app, &visit);
    struck(&app, values)
        .await
        .map_err(|error| frame.refused(error))?;
    let home = [(header::LOCATION, HeaderValue::from_static("/"))];
    Ok((StatusCode::SEE_OTHER, home).into_response())
}

pub(in crate::dock) async fn struck(
    app: &App,
    values: StrikeSent,
) -> Result<crate::acts::Struck, Unkept> {
    let id = page_id(&values.id).map_err(ActError::from)?;
    let by = who(&values.by, &app.shared.by).map_err(ActError::from)?;
    let now = app.shared.clock.now();
    app.keeper
        .act(move |book, _, _| {
            // A second sending is the same strike, whatever the clock says by now.
            let kept = book
                .find_record(&id)
                .map_err(ActError::from)?
                .filter(|found| found.record.content.id == id);
            let at = kept.map_or(now, |found| found.record.content.at);
            let asked = Asked { id, at, by, now };
            strike_act(book, &values.record, &values.why, &asked)
        })
        .await
}

async fn render(
    app: &App,
    frame: Frame,
    values: BucketSent,
    problems: Vec<String>,
    doubtful: bool,
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
        values,
        problems,
        doubtful,
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
            suppliers.push(Supplier {
                name: load.supplier.clone(),
                streams: brings
                    .iter()
                    .map(|load| load.stream.as_str())
                    .collect::<Vec<_>>()
                    .join(" "),
                container: load.container.clone().unwrap_or_default(),
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
    const SHOWN: usize = 5;
    let zone = crate::acts::settings(book)?.zone;
    let young = now - SignedDuration::from_mins(UNDO_MINUTES);
    Ok(book
        .newest_records(40)?
        .into_iter()
        .filter(|found| found.struck_by.is_none())
        .filter_map(|found| {
            let Entry::Ticket(ticket) = &found.record.content.entry else {
                return None;
            };
            Some(Recent {
                ticket: lot_name(&found.record.content.id, found.number?),
                record: found.record.seq,
                net: units.both(ticket.net_g),
                stream: ticket.stream.to_string(),
                supplier: ticket.supplier.clone(),
                at: found
                    .record
                    .recorded_at
                    .to_zoned_datetime(zone.clone())
                    .strftime("%H:%M")
                    .to_string(),
                strike_id: made_id()?,
                young: found.record.recorded_at >= young,
            })
        })
        .take(SHOWN)
        .collect())
}

/// The class of a verdict on the page; shape and word tell it too.
pub(in crate::dock) const fn verdict_class(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Feed => "feed",
        Verdict::PickOut => "pick-out",
        Verdict::Compost => "compost",
        Verdict::Refuse => "refuse",
    }
}

/// What a wrong clock says, for people.
pub(in crate::dock) fn clock_words(frame: &Frame, welcomed: &Welcomed) -> Option<String> {
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

fn done(frame: &Frame, welcomed: &Welcomed) -> Done {
    let card: &TicketCard = &welcomed.card;
    Done {
        number: card.number,
        net: card.units.both(card.net - card.picked_out),
        from: format!("{} · {}", card.supplier, card.stream),
        verdict: frame.w(card.flag.verdict.as_str()).to_owned(),
        class: verdict_class(card.flag.verdict),
        reason: card.flag.reason.clone(),
        put: frame.w(&card.put).to_owned(),
        cautions: card.cautions.clone(),
        already: card.already_there,
        record: card.record,
        strike_id: made_id().unwrap_or_default(),
        clock: clock_words(frame, welcomed),
        label: card.ticket.clone(),
    }
}
