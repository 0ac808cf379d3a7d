//! The same acts for other programs, under the same checks.

mod described;
mod taken;

use axum::Json;
use axum::extract::{Query, State};
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use jiff::Timestamp;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::acts::{
    ActError, ClockOff, FedDone, Harvested, KeptSheet, Struck, TraceFrom, cohorts_on, learn, mixes,
    month, night_of, stock_now, tonight, trace,
};
use crate::quantity::wire::{Versioned, view};
use crate::quantity::{Grams, MassUnit, ScaleReading};
use crate::sheet::json as to_json;
use crate::sheet::json::{Cohort, Learn, LotLine, Mixes, Money, Month, Trace, Yields};

use super::answer::Refusal;
use super::app::App;
use super::keeper::Unkept;
use super::kept::Kept;
use super::pages::fed::{FedSent, keep_fed, told as told_fed};
use super::pages::month::Wanted;
use super::pages::tonight::{SheetSent, keep_sheet};
use super::pages::trace::Wanted as TraceWanted;
use super::pages::undo::{StrikeSent, struck};
use super::pages::weigh::{Done, done};
use super::router::Route;
use super::shape::{BucketSent, tare};
use super::taken::{DiscardSent, HarvestSent, PaymentSent};
use super::view::{Frame, Visit, Visiting};

use described::{Endpoint, Form, endpoints, form};

type Answer = Result<Response, Refusal>;

/// Every path of the API.
pub(super) fn routes() -> impl Iterator<Item = Route> {
    endpoints().into_iter().map(|endpoint| endpoint.route)
}

fn endpoints() -> Vec<Endpoint> {
    endpoints! {
        get "/api/openapi.json" openapi => Value, "This description";
        get "/api/session" session => Versioned<Session>, "The session's token and the book's clock";
        post "/api/reading" reading [ReadingSent] => Versioned<ReadingTold>, "What a scale's line means";
        post "/api/weigh" weigh [BucketSent] => Versioned<Weighed>, "Weigh a bucket in; repeating it is harmless";
        post "/api/strike" strike [StrikeSent] => Versioned<Struck>, "Void a record, with what was written in the same act (a cohort's end with its last harvest)";
        get "/api/stock" stock => Vec<LotLine>, "Lots on hand";
        get "/api/cohorts" cohorts => Vec<Cohort>, "Larvae on their trays";
        get "/api/month" a_month [Wanted] => Versioned<Month>, "A month's figures";
        get "/api/tonight" the_night => Versioned<NightTold>, "Tonight's mix: the kept sheet's, else as proposed now";
        get "/api/trace" a_trace [TraceWanted] => Versioned<Trace>, "Where a ticket went, or what went into larvae";
        post "/api/sheet" sheet [SheetSent] => Value, "Keep tonight's sheet";
        post "/api/fed" fed [FedSent] => Versioned<Shown<FedDone>>, "Record what was fed";
        get "/api/harvests" taken::yielded [taken::Which] => Versioned<Yields>, "What cohorts made of their feed";
        post "/api/harvest" taken::harvest [HarvestSent] => Versioned<Shown<Harvested>>, "Record larvae and residue taken from a cohort; repeating it is harmless";
        post "/api/discard" taken::discard [DiscardSent] => Versioned<Shown<taken::PartsOut>>, "Record the weight of parts picked out of a lot; repeating it is harmless";
        get "/api/learn" learned => Versioned<Learn>, "What the farm's own records say against the tables";
        get "/api/mixes" tried => Versioned<Mixes>, "Which mixes went with which harvests";
        get "/api/money" taken::money [Wanted] => Versioned<Money>, "A month's money";
        post "/api/money" taken::payment [PaymentSent] => Versioned<Shown<taken::PaidFor>>, "Write down money earned or spent; repeating it is harmless";
    }
}

async fn openapi() -> Response {
    Json(described::description(&endpoints())).into_response()
}

/// The first form of an answer.
fn answered(of: impl Serialize) -> Answer {
    Ok(Json(Versioned::first(of)).into_response())
}

fn told(visit: &Visit, error: Unkept) -> Refusal {
    Refusal::of(error).told(true, visit.lang)
}

/// JSON, with the reason in our own form when it is none.
async fn body<T: serde::de::DeserializeOwned>(
    visit: &Visit,
    bytes: &axum::body::Bytes,
) -> Result<T, Refusal> {
    serde_json::from_slice(bytes).map_err(|error| {
        let rejection = crate::acts::Rejection {
            field: "body",
            seen: error.to_string(),
            accepted: "JSON as /api/openapi.json describes it".to_owned(),
        };
        told(visit, ActError::from(rejection).into())
    })
}

/// The session and the book's clock.
#[derive(Serialize, JsonSchema)]
struct Session {
    /// For the header X-Trayful-Token.
    token: String,
    now: String,
}

async fn session(State(app): State<App>, visit: Visiting) -> Answer {
    let (token, now) = (visit.token.clone(), app.shared.clock.now().to_string());
    answered(Session { token, now })
}

#[derive(Deserialize, JsonSchema)]
struct ReadingSent {
    /// The line as typed
    text: String,
    /// A named tare, to be told the net weight too
    #[serde(default)]
    container: String,
    /// Another tare
    #[serde(default)]
    tare: String,
}

#[derive(Serialize, JsonSchema)]
struct ReadingTold {
    /// `gross` or `net` where the line says it.
    of: Option<&'static str>,
    grams: Grams,
    unit: MassUnit,
    /// Null without a tare.
    net_g: Option<Grams>,
    shown: String,
}

/// What a scale's line means; with a container or a tare also what is left
/// without it.
async fn reading(State(app): State<App>, visit: Visiting, bytes: axum::body::Bytes) -> Answer {
    let sent: ReadingSent = body(&visit, &bytes).await?;
    let without = Frame::new(&app, &visit).t("reading.net").to_owned();
    let read = app
        .read(move |book, farm, _| {
            let (units, reader) = (farm.units, farm.units.reader());
            let read = match reader.scale(&sent.text) {
                Ok(read) => read,
                Err(error) => return Ok(Err(error.to_string())),
            };
            let of = match read {
                ScaleReading::Plain(_) => None,
                ScaleReading::Gross(_) => Some("gross"),
                ScaleReading::Net(_) => Some("net"),
            };
            let reading = read.reading();
            let grams = reading.grams();
            let tare = match tare(&sent.container, &sent.tare) {
                // The scale took the container off already.
                _ if of == Some("net") => None,
                (Some(text), _) => reader.weight(&text).ok().map(|tare| tare.grams()),
                (None, Some(name)) => {
                    let mut containers = book.containers()?.into_iter();
                    containers
                        .find(|known| known.name == name)
                        .map(|known| known.tare_g)
                }
                (None, None) => None,
            };
            let net = tare.filter(|tare| *tare <= grams).map(|tare| grams - tare);
            let mut shown = units.both(grams);
            if let Some(net) = net.filter(|net| *net < grams) {
                let net = without.replacen("{}", &units.both(net), 1);
                shown = format!("{shown}, {net}");
            }
            Ok(Ok(ReadingTold {
                of,
                grams,
                unit: reading.unit(),
                net_g: net,
                shown,
            }))
        })
        .await
        .map_err(|error| told(&visit, error))?;
    match read {
        Ok(told) => answered(told),
        Err(words) => Err(Refusal::no_reading(words).told(true, visit.lang)),
    }
}

view! {
    /// The sender's clock, where it is off.
    ClockTold(clock: ClockOff) {
        said: String = clock.said.to_string(),
        ahead_s: i64 = clock.ahead.as_secs(),
    }
}

/// What was weighed in.
#[derive(Serialize, JsonSchema)]
struct Weighed {
    #[serde(flatten)]
    ticket: to_json::Ticket,
    /// In words, for people.
    shown: Done,
    clock_off: Option<ClockTold>,
}

async fn weigh(State(app): State<App>, visit: Visiting, bytes: axum::body::Bytes) -> Answer {
    let sent: BucketSent = body(&visit, &bytes).await?;
    let sent = sent
        .into_sent(&app.shared.by)
        .map_err(|rejection| told(&visit, ActError::from(rejection).into()))?;
    let welcomed = app
        .keeper
        .weigh(sent)
        .await
        .map_err(|error| told(&visit, error))?;
    let frame = Frame::new(&app, &visit);
    answered(Weighed {
        ticket: (&welcomed.card).into(),
        shown: done(&frame, &welcomed),
        clock_off: welcomed.clock.map(ClockTold::from),
    })
}

async fn strike(State(app): State<App>, visit: Visiting, bytes: axum::body::Bytes) -> Answer {
    let sent: StrikeSent = body(&visit, &bytes).await?;
    let done = struck(&app, sent)
        .await
        .map_err(|error| told(&visit, error))?;
    answered(done)
}

/// Answers with what a read of the book gives.
async fn read<T: Serialize + Send + 'static>(
    app: &App,
    visit: &Visit,
    f: impl FnOnce(
        &crate::daybook::Daybook,
        &crate::acts::FarmSettings,
        &crate::acts::Tables,
        Timestamp,
    ) -> Result<T, ActError>
    + Send
    + 'static,
) -> Answer {
    let now = app.shared.clock.now();
    let value = app
        .read(move |book, farm, tables| f(book, farm, tables, now))
        .await
        .map_err(|error| told(visit, error))?;
    Ok(Json(value).into_response())
}

async fn stock(State(app): State<App>, visit: Visiting) -> Answer {
    read(&app, &visit, |book, farm, tables, now| {
        let lots = stock_now(book, farm, tables, now)?.lots;
        Ok(to_json::each::<_, LotLine>(&lots))
    })
    .await
}

async fn cohorts(State(app): State<App>, visit: Visiting) -> Answer {
    read(&app, &visit, |book, farm, tables, now| {
        let night = night_of(now, None, farm);
        let cohorts = cohorts_on(book, farm, &tables.stages, night)?;
        Ok(to_json::each::<_, Cohort>(&cohorts))
    })
    .await
}

async fn learned(State(app): State<App>, visit: Visiting) -> Answer {
    read(&app, &visit, |book, farm, tables, now| {
        let sheet = learn(book, farm, tables, now)?;
        Ok(Versioned::first(Learn::from(&sheet)))
    })
    .await
}

async fn tried(State(app): State<App>, visit: Visiting) -> Answer {
    read(&app, &visit, |book, farm, tables, now| {
        let sheet = mixes(book, farm, tables, now)?;
        Ok(Versioned::first(Mixes::from(&sheet)))
    })
    .await
}

async fn a_month(State(app): State<App>, visit: Visiting, Query(wanted): Query<Wanted>) -> Answer {
    read(&app, &visit, move |book, farm, _, now| {
        let wanted = wanted.or_this(now, farm)?;
        Ok(Versioned::first(Month::from(&month(book, wanted, None)?)))
    })
    .await
}

async fn a_trace(
    State(app): State<App>,
    visit: Visiting,
    Query(wanted): Query<TraceWanted>,
) -> Answer {
    read(&app, &visit, move |book, farm, tables, now| {
        let from = TraceFrom::read(&wanted.text())?;
        let sheet = trace(book, farm, tables, &from, wanted.is_recall(), now)?;
        Ok(Versioned::first(Trace::from(&sheet)))
    })
    .await
}

#[derive(Serialize, JsonSchema)]
struct NightTold {
    night: String,
    mix: Option<Value>,
    kept: Option<KeptSheet>,
}

async fn the_night(State(app): State<App>, visit: Visiting) -> Answer {
    read(&app, &visit, |book, farm, tables, now| {
        let tonight = tonight(book, farm, tables, night_of(now, None, farm), false)?;
        Ok(Versioned::first(NightTold {
            night: tonight.night.day.to_string(),
            mix: tonight.sheet.map(|sheet| to_json::mix(&sheet)),
            kept: tonight.kept,
        }))
    })
    .await
}

async fn sheet(State(app): State<App>, visit: Visiting, bytes: axum::body::Bytes) -> Answer {
    let sent: SheetSent = body(&visit, &bytes).await?;
    let sheet = keep_sheet(&app, sent)
        .await
        .map_err(|error| told(&visit, error))?;
    let mut value = to_json::mix(&sheet);
    if let Some(map) = value.as_object_mut() {
        map.insert("sheet".to_owned(), serde_json::json!(sheet.sheet));
    }
    Ok(Json(value).into_response())
}

async fn fed(State(app): State<App>, visit: Visiting, bytes: axum::body::Bytes) -> Answer {
    let sent: FedSent = body(&visit, &bytes).await?;
    let (done, units) = keep_fed(&app, sent)
        .await
        .map_err(|error| told(&visit, error))?;
    let shown = told_fed(&Frame::new(&app, &visit), &done, units);
    answered(Shown { done, shown })
}

/// What was done, with the words for people.
#[derive(Serialize, JsonSchema)]
#[schemars(rename = "{T}Shown")]
struct Shown<T> {
    #[serde(flatten)]
    done: T,
    shown: Kept,
}
