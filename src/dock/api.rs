//! The same acts for other programs, under the same checks.

mod described;

use axum::Json;
use axum::extract::{Query, State};
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use schemars::JsonSchema;
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::acts::{
    KeptSheet, Result, YieldAsked, cohorts_on, learn, mixes, money_month, month, stock_now,
    tonight, yields,
};
use crate::quantity::wire::Versioned;
use crate::quantity::{Grams, MassUnit, Reader};
use crate::sheet::json as to_json;
use crate::sheet::json::{Cohort, Learn, LotLine, Mix, Mixes, Money, Month, Trace, Yields};
use crate::words::say;

use super::app::{App, At, Route};
use super::form::{Answer, Change, answer};
use super::keeper::Unkept;
use super::pages::close::CloseSent;
use super::pages::cohort::CohortSent;
use super::pages::correct::CorrectionSent;
use super::pages::discard::DiscardSent;
use super::pages::fed::FedSent;
use super::pages::harvest::HarvestSent;
use super::pages::learned::TakeSent;
use super::pages::lot::LotSent;
use super::pages::money::PaymentSent;
use super::pages::month::{MonthWanted, month_or_this};
use super::pages::own_stream::OwnStreamSent;
use super::pages::settings::{ContainerSent, SettingsSent};
use super::pages::ticks::TicksSent;
use super::pages::tonight::SheetSent;
use super::pages::trace::Wanted as TraceWanted;
use super::pages::undo::StrikeSent;
use super::pages::weigh::BucketSent;
use super::shape::{given, tare};
use super::view::{Frame, Visiting};

use described::{Endpoint, form};

pub(super) fn routes() -> impl Iterator<Item = Route> {
    endpoints().into_iter().map(|endpoint| endpoint.route)
}

/// What is only read: asked for in the address, answered as it is.
fn read<Q, T>(path: &'static str, summary: &'static str, of: Of<Q, T>) -> Endpoint
where
    Q: DeserializeOwned + JsonSchema + Send + 'static,
    T: Serialize + JsonSchema + Send + 'static,
{
    let handler = async move |State(app): State<App>, Query(wanted): Query<Q>| -> Answer {
        let told = app.read(move |at| of(at, wanted)).await?;
        Ok(Json(told).into_response())
    };
    Endpoint {
        route: ("get", path, get(handler)),
        summary,
        takes: Some(form::<Q>),
        answers: form::<T>,
    }
}

type Of<Q, T> = fn(&At, Q) -> Result<T>;

/// What changes the book, or has it read something.
fn change<C: Change>(path: &'static str, summary: &'static str) -> Endpoint {
    Endpoint {
        route: ("post", path, post(answer::<C>)),
        summary,
        takes: Some(form::<C>),
        answers: form::<Versioned<C::Done>>,
    }
}

#[derive(Deserialize, JsonSchema)]
struct Nothing {}

fn endpoints() -> Vec<Endpoint> {
    vec![
        Endpoint {
            route: ("get", "/api/openapi.json", get(openapi)),
            summary: "This description",
            takes: None,
            answers: form::<Value>,
        },
        Endpoint {
            route: ("get", "/api/session", get(session)),
            summary: "The session's token and the book's clock",
            takes: None,
            answers: form::<Versioned<Session>>,
        },
        change::<ReadingSent>("/api/reading", "What a scale's line means"),
        change::<BucketSent>("/api/weigh", "Weigh a bucket in; repeating it is harmless"),
        change::<StrikeSent>(
            "/api/strike",
            "Void a record, with what was written in the same act (a cohort's end with its last harvest)",
        ),
        read("/api/stock", "Lots on hand", |at, _: Nothing| {
            let lots = stock_now((at.book, at.farm, at.tables), at.now)?.lots;
            Ok(to_json::each::<_, LotLine>(&lots))
        }),
        read("/api/cohorts", "Larvae on their trays", |at, _: Nothing| {
            let cohorts = cohorts_on(at.book, at.farm, &at.tables.stages, at.night())?;
            Ok(to_json::each::<_, Cohort>(&cohorts))
        }),
        read(
            "/api/month",
            "A month's figures",
            |at, wanted: MonthWanted| {
                let sheet = month(at.book, month_or_this(at, &wanted.month)?, None)?;
                Ok(Versioned::first(Month::from(&sheet)))
            },
        ),
        read(
            "/api/tonight",
            "Tonight's mix: the kept sheet's, else as proposed now",
            the_night,
        ),
        read(
            "/api/trace",
            "Where a ticket went, or what went into larvae",
            |at, wanted: TraceWanted| Ok(Versioned::first(Trace::from(&wanted.traced(at)?))),
        ),
        change::<SheetSent>("/api/sheet", "Keep tonight's sheet"),
        change::<FedSent>("/api/fed", "Record what was fed"),
        change::<TicksSent>(
            "/api/ticks",
            "Tick lines of tonight's sheet on every tablet; nothing is recorded by it",
        ),
        read(
            "/api/harvests",
            "What cohorts made of their feed",
            |at, which: Which| {
                let (only, how) = (given(&which.cohort), YieldAsked::default());
                let sheet = yields((at.book, at.farm, at.tables), only.as_deref(), how, at.now)?;
                Ok(Versioned::first(Yields::from(&sheet)))
            },
        ),
        change::<HarvestSent>(
            "/api/harvest",
            "Record larvae and residue taken from a cohort; repeating it is harmless",
        ),
        change::<CohortSent>(
            "/api/cohort",
            "Put larvae on their trays, or end a cohort; repeating it is harmless",
        ),
        change::<LotSent>(
            "/api/lot",
            "Test a lot, weigh it anew, look at it or send it away; repeating it is harmless",
        ),
        change::<CorrectionSent>(
            "/api/correct",
            "Say what a ticket should have said, never its weights; repeating it is harmless",
        ),
        change::<CloseSent>(
            "/api/month/close",
            "Freeze a month as it is handed out; repeating it is harmless",
        ),
        change::<TakeSent>(
            "/api/learn/take",
            "Take a proposal over; repeating it is harmless",
        ),
        change::<SettingsSent>("/api/settings", "Change the farm's settings"),
        change::<ContainerSent>("/api/container", "Name a container and its empty weight"),
        change::<OwnStreamSent>(
            "/api/stream",
            "Name a stream of the farm's own by one it is like; repeating it is harmless",
        ),
        change::<DiscardSent>(
            "/api/discard",
            "Record the weight of parts picked out of a lot; repeating it is harmless",
        ),
        read(
            "/api/learn",
            "What the farm's own records say against the tables",
            |at, _: Nothing| {
                let sheet = learn((at.book, at.farm, at.tables), at.now)?;
                Ok(Versioned::first(Learn::from(&sheet)))
            },
        ),
        read(
            "/api/mixes",
            "Which mixes went with which harvests",
            |at, _: Nothing| {
                let sheet = mixes((at.book, at.farm, at.tables), at.now)?;
                Ok(Versioned::first(Mixes::from(&sheet)))
            },
        ),
        read(
            "/api/money",
            "A month's money",
            |at, wanted: MonthWanted| {
                let (month, how) = (month_or_this(at, &wanted.month)?, Default::default());
                let sheet = money_month((at.book, at.farm, at.tables), month, how)?;
                Ok(Versioned::first(Money::from(&sheet)))
            },
        ),
        change::<PaymentSent>(
            "/api/money",
            "Write down money earned or spent; repeating it is harmless",
        ),
    ]
}

async fn openapi() -> Response {
    Json(described::description(&endpoints())).into_response()
}

/// The session and the book's clock.
#[derive(Serialize, JsonSchema)]
struct Session {
    /// For the header X-Trayful-Token.
    token: String,
    now: String,
}

async fn session(State(app): State<App>, visit: Visiting) -> Response {
    let (token, now) = (visit.token.clone(), app.shared.clock.now().to_string());
    Json(Versioned::first(Session { token, now })).into_response()
}

#[derive(Deserialize, JsonSchema, Default)]
#[serde(default)]
struct Which {
    /// A cohort by name or record such as r57; all that were harvested or ended when left out
    cohort: String,
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
    /// What is left without the container, for people.
    net: Option<String>,
    shown: String,
}

impl ReadingSent {
    /// What is to be taken off, where that is known.
    fn tare(&self, at: &At, reader: Reader) -> Result<Option<Grams>> {
        Ok(match tare(&self.container, &self.tare) {
            (Some(text), _) => reader.weight(&text).ok().map(|tare| tare.grams()),
            (None, Some(name)) => {
                let mut containers = at.book.containers()?.into_iter();
                let known = containers.find(|known| known.name == name);
                known.map(|known| known.tare_g)
            }
            (None, None) => None,
        })
    }
}

impl Change for ReadingSent {
    type Done = ReadingTold;

    /// What a scale's line means; with a container or a tare also what is left
    /// without it.
    async fn keep(self, frame: &Frame) -> Result<ReadingTold, Unkept> {
        let words = frame.clone();
        let read = frame.app.read(move |at| {
            let (units, reader) = (at.farm.units, at.farm.units.reader());
            let read = match reader.scale(&self.text) {
                Ok(read) => read,
                Err(error) => return Ok(Err(error.to_string())),
            };
            let of = read.is_net.map(|net| if net { "net" } else { "gross" });
            let (grams, unit) = (read.reading.grams(), read.reading.unit());
            let tare = match of {
                // The scale took the container off already.
                Some("net") => None,
                _ => self.tare(at, reader)?,
            };
            let tare = tare.filter(|tare| *tare <= grams);
            let net = tare.map(|tare| grams - tare);
            let shown = match tare.filter(|tare| *tare > Grams::ZERO) {
                Some(tare) => words.say(&say!(
                    "dock-reading-less",
                    gross = units.told(grams),
                    tare = units.told(tare)
                )),
                None => units.told(grams),
            };
            Ok(Ok(ReadingTold {
                of,
                grams,
                unit,
                net_g: net,
                net: net.map(|net| units.told(net)),
                shown,
            }))
        });
        read.await?.map_err(Unkept::NoReading)
    }
}

#[derive(Serialize, JsonSchema)]
struct NightTold {
    night: String,
    mix: Option<Versioned<Mix>>,
    kept: Option<KeptSheet>,
}

fn the_night(at: &At, _: Nothing) -> Result<Versioned<NightTold>> {
    let tonight = tonight((at.book, at.farm, at.tables), at.night(), false, &at.mix)?;
    Ok(Versioned::first(NightTold {
        night: tonight.night.day.to_string(),
        mix: (tonight.sheet.as_ref()).map(|sheet| Versioned::first(Mix::from(sheet))),
        kept: tonight.kept,
    }))
}
