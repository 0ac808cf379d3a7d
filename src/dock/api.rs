//! The same acts for other programs, under the same checks. `openapi.json`
//! describes them, and a test holds it to [`routes`].

mod taken;

use axum::Json;
use axum::extract::{Query, State};
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use jiff::Timestamp;
use serde::Deserialize;
use serde_json::{Value, json};

use crate::acts::{
    ActError, TraceFrom, cohorts_on, learn, mixes, month, night_of, stock_now, tonight, trace,
};
use crate::quantity::ScaleReading;
use crate::sheet::{json as to_json, mixes_json};

use super::answer::Refusal;
use super::app::App;
use super::keeper::Unkept;
use super::pages::fed::{FedSent, keep_fed, told as told_fed};
use super::pages::month::Wanted;
use super::pages::tonight::{SheetSent, keep_sheet};
use super::pages::trace::Wanted as TraceWanted;
use super::pages::undo::{StrikeSent, struck};
use super::pages::weigh::done;
use super::router::Route;
use super::shape::{BucketSent, tare};
use super::view::{Frame, Visit, Visiting};

type Answer = Result<Response, Refusal>;

/// Every path of the API.
pub(super) fn routes() -> Vec<Route> {
    vec![
        ("get", "/api/openapi.json", get(openapi)),
        ("get", "/api/session", get(session)),
        ("post", "/api/reading", post(reading)),
        ("post", "/api/weigh", post(weigh)),
        ("post", "/api/strike", post(strike)),
        ("get", "/api/stock", get(stock)),
        ("get", "/api/cohorts", get(cohorts)),
        ("get", "/api/month", get(a_month)),
        ("get", "/api/tonight", get(the_night)),
        ("get", "/api/trace", get(a_trace)),
        ("post", "/api/sheet", post(sheet)),
        ("post", "/api/fed", post(fed)),
        ("post", "/api/discard", post(taken::discard)),
        ("get", "/api/harvests", get(taken::yielded)),
        ("post", "/api/harvest", post(taken::harvest)),
        ("get", "/api/learn", get(learned)),
        ("get", "/api/mixes", get(tried)),
        ("get", "/api/money", get(taken::money)),
        ("post", "/api/money", post(taken::payment)),
    ]
}

/// The description of this API.
pub(super) const OPENAPI: &str = include_str!("openapi.json");

async fn openapi() -> Response {
    ([("content-type", "application/json")], OPENAPI).into_response()
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

async fn session(State(app): State<App>, visit: Visiting) -> Response {
    Json(json!({"schema": 1, "token": visit.token, "now": app.shared.clock.now().to_string()}))
        .into_response()
}

#[derive(Deserialize)]
struct ReadingSent {
    text: String,
    #[serde(default)]
    container: String,
    #[serde(default)]
    tare: String,
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
            Ok(Ok(json!({
                "schema": 1, "of": of, "grams": grams, "unit": reading.unit().to_string(),
                "net_g": net, "shown": shown,
            })))
        })
        .await
        .map_err(|error| told(&visit, error))?;
    match read {
        Ok(value) => Ok(Json(value).into_response()),
        Err(words) => Err(Refusal::no_reading(words).told(true, visit.lang)),
    }
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
    let mut value = to_json::ticket(&welcomed.card);
    if let Some(map) = value.as_object_mut() {
        map.insert("shown".to_owned(), json!(done(&frame, &welcomed)));
        let clock = welcomed
            .clock
            .map(|clock| json!({"said": clock.said.to_string(), "ahead_s": clock.ahead.as_secs()}));
        map.insert("clock_off".to_owned(), json!(clock));
    }
    Ok(Json(value).into_response())
}

async fn strike(State(app): State<App>, visit: Visiting, bytes: axum::body::Bytes) -> Answer {
    let sent: StrikeSent = body(&visit, &bytes).await?;
    let done = struck(&app, sent)
        .await
        .map_err(|error| told(&visit, error))?;
    Ok(Json(json!({
        "schema": 1, "record": done.record, "target": done.target, "what": done.what, "already_there": done.already_there,
    }))
    .into_response())
}

/// Answers with what a read of the book gives.
async fn read(
    app: &App,
    visit: &Visit,
    f: impl FnOnce(
        &crate::daybook::Daybook,
        &crate::acts::FarmSettings,
        &crate::acts::Tables,
        Timestamp,
    ) -> Result<Value, ActError>
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
        Ok(to_json::stock(&stock_now(book, farm, tables, now)?.lots))
    })
    .await
}

async fn cohorts(State(app): State<App>, visit: Visiting) -> Answer {
    read(&app, &visit, |book, farm, tables, now| {
        let night = night_of(now, None, farm);
        let cohorts = cohorts_on(book, farm, &tables.stages, night)?;
        Ok(to_json::cohorts(&cohorts))
    })
    .await
}

async fn learned(State(app): State<App>, visit: Visiting) -> Answer {
    read(&app, &visit, |book, farm, tables, now| {
        Ok(to_json::learn(&learn(book, farm, tables, now)?))
    })
    .await
}

async fn tried(State(app): State<App>, visit: Visiting) -> Answer {
    read(&app, &visit, |book, farm, tables, now| {
        Ok(mixes_json(&mixes(book, farm, tables, now)?))
    })
    .await
}

async fn a_month(State(app): State<App>, visit: Visiting, Query(wanted): Query<Wanted>) -> Answer {
    read(&app, &visit, move |book, farm, _, now| {
        let wanted = wanted.or_this(now, farm)?;
        Ok(to_json::month(&month(book, wanted, None)?))
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
        Ok(to_json::trace(&sheet))
    })
    .await
}

async fn the_night(State(app): State<App>, visit: Visiting) -> Answer {
    read(&app, &visit, |book, farm, tables, now| {
        let tonight = tonight(book, farm, tables, night_of(now, None, farm), false)?;
        let kept = tonight.kept.map(|kept| {
            let lines: Vec<_> = kept
                .lines
                .iter()
                .map(|line| json!({"group": line.group, "lot": line.lot, "stream": line.stream, "grams": line.grams}))
                .collect();
            json!({"sheet": format!("r{}", kept.record), "same": kept.same, "fed": kept.fed.map(|fed| format!("r{fed}")), "lines": lines})
        });
        Ok(json!({
            "schema": 1, "night": tonight.night.day.to_string(),
            "mix": tonight.sheet.map(|sheet| to_json::mix(&sheet)),
            "kept": kept,
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
        map.insert("sheet".to_owned(), json!(sheet.sheet));
    }
    Ok(Json(value).into_response())
}

async fn fed(State(app): State<App>, visit: Visiting, bytes: axum::body::Bytes) -> Answer {
    let sent: FedSent = body(&visit, &bytes).await?;
    let (done, units) = keep_fed(&app, sent)
        .await
        .map_err(|error| told(&visit, error))?;
    Ok(Json(json!({
        "schema": 1, "record": done.record, "sheet": done.sheet.map(|sheet| format!("r{sheet}")), "emptied": done.emptied,
        "groups": done.groups.iter().map(|(group, grams)| json!({"group": group, "fed_g": grams})).collect::<Vec<_>>(),
        "already_there": done.already_there, "shown": told_fed(&Frame::new(&app, &visit), &done, units),
    }))
    .into_response())
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::super::taken::{DiscardSent, HarvestSent, PaymentSent};
    use super::*;

    #[test]
    fn openapi_names_every_path_and_no_other() {
        let described: Value = serde_json::from_str(OPENAPI).expect("JSON");
        let paths = described["paths"].as_object().expect("paths");
        let described: BTreeSet<(String, String)> = paths
            .iter()
            .flat_map(|(path, methods)| {
                let methods = methods.as_object().expect("methods");
                methods
                    .keys()
                    .map(move |method| (method.clone(), path.clone()))
            })
            .collect();
        let served: BTreeSet<(String, String)> = routes()
            .into_iter()
            .map(|(method, path, _)| (method.to_owned(), path.to_owned()))
            .collect();
        assert_eq!(described, served);
    }

    /// Every field the API takes is described, and every described field is taken.
    fn takes_what_is_described<T: serde::de::DeserializeOwned + std::fmt::Debug>(schema: &str) {
        let described: Value = serde_json::from_str(OPENAPI).expect("JSON");
        let fields: Vec<String> = described["components"]["schemas"][schema]["properties"]
            .as_object()
            .expect("properties")
            .keys()
            .cloned()
            .collect();
        let mut filled = serde_json::Map::new();
        for field in &fields {
            filled.insert(field.clone(), json!("x"));
        }
        let taken: T = serde_json::from_value(Value::Object(filled)).expect(schema);
        let printed = format!("{taken:?}");
        assert_eq!(printed.matches("\"x\"").count(), fields.len(), "{printed}");
        assert!(!printed.contains("\"\""), "undescribed field: {printed}");
    }

    #[test]
    fn openapi_names_every_field_of_what_is_sent() {
        takes_what_is_described::<BucketSent>("Bucket");
        takes_what_is_described::<DiscardSent>("Discard");
        takes_what_is_described::<HarvestSent>("Harvest");
        takes_what_is_described::<PaymentSent>("Payment");
    }
}
