use std::time::Duration;

use askama::Template;
use axum::Router;
use axum::extract::{FromRequestParts, Query, Request, State};
use axum::http::StatusCode;
use axum::middleware::{Next, from_fn, from_fn_with_state};
use axum::response::Response;
use axum::routing::{get, post};
use tower_http::limit::RequestBodyLimitLayer;

use crate::acts::Result;
use crate::words::say;

use super::answer::{Refusal, Taken};
use super::app::{App, At, Route};
use super::form::{Form, Wanted, keep, show};
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
use super::pages::own_stream::OwnStreamSent;
use super::pages::settings::{ContainerSent, SettingsSent};
use super::pages::weigh::BucketSent;
use super::pages::{
    document, home, labels, month, office, pin, records, stock, tonight, trace, undo,
};
use super::view::{Frame, Visiting};
use super::{api, guard, live};

/// The longest a request may take, its body included.
const REQUEST_MOST: Duration = Duration::from_secs(10);

/// A page that only reads: its path, and what it makes of the book.
fn seen<E, T>(path: &'static str, make: fn(&At, Frame, E) -> Result<T>) -> Route
where
    E: FromRequestParts<App> + Send + 'static,
    T: Template + 'static,
{
    let handler = async move |State(app): State<App>, visit: Visiting, wanted: E| {
        let made = move |at: &At, frame: Frame| make(at, frame, wanted);
        Frame::new(&app, &visit).shown(made).await
    };
    ("get", path, get(handler))
}

/// A file made of the book, to be saved.
fn taken(path: &'static str, make: fn(&At, &Wanted) -> Result<Taken, Unkept>) -> Route {
    let handler = async move |State(app): State<App>, Query(wanted): Query<Wanted>| {
        let made = app.read(move |at| Ok(make(at, &wanted))).await;
        made.and_then(|made| made).map_err(Refusal::from)
    };
    ("get", path, get(handler))
}

fn form<F: Form>(path: &'static str) -> Route {
    ("any", path, get(show::<F>).post(keep::<F>))
}

fn file(path: &'static str, kind: &'static str, bytes: &'static [u8]) -> Route {
    let handler = async move || ([("content-type", kind)], bytes);
    ("get", path, get(handler))
}

/// A file of `assets/`, and one made by others, in `data/page/` with its licence.
macro_rules! shipped {
    ($($name:literal: $kind:expr, $($from:literal)+;)+) => {
        [$(file(concat!("/", $name), $kind, include_bytes!(concat!($($from,)+ $name)))),+]
    };
}

const STYLE: &str = "text/css; charset=utf-8";
const SCRIPT: &str = "text/javascript; charset=utf-8";

fn files() -> impl IntoIterator<Item = Route> {
    shipped! {
        "style.css": STYLE, "assets/";
        "wait.js": SCRIPT, "assets/";
        "reach.js": SCRIPT, "assets/";
        "dock.js": SCRIPT, "assets/";
        "reading.js": SCRIPT, "assets/";
        "scale.js": SCRIPT, "assets/";
        "wire.js": SCRIPT, "assets/";
        "ticks.js": SCRIPT, "assets/";
        "worker.js": SCRIPT, "assets/";
        "manifest.json": "application/manifest+json", "assets/";
        "icon.svg": "image/svg+xml", "../../data/page/";
        "icons.svg": "image/svg+xml", "../../data/page/";
        "hyperlegible.woff2": "font/woff2", "../../data/page/";
        "hyperlegible-bold.woff2": "font/woff2", "../../data/page/";
    }
}

fn page_routes() -> Vec<Route> {
    vec![
        seen("/", home::show),
        form::<BucketSent>("/weigh"),
        form::<DiscardSent>("/discard"),
        form::<HarvestSent>("/harvest"),
        form::<LotSent>("/lot"),
        form::<CohortSent>("/cohorts/add"),
        form::<PaymentSent>("/money"),
        form::<TakeSent>("/learn"),
        form::<CorrectionSent>("/correct"),
        form::<CloseSent>("/month/close"),
        form::<SettingsSent>("/settings"),
        form::<ContainerSent>("/containers"),
        form::<OwnStreamSent>("/streams"),
        ("post", "/fed", post(keep::<FedSent>)),
        ("any", "/tonight", get(show::<FedSent>).post(tonight::keep)),
        ("post", "/strike", post(undo::strike)),
        ("get", "/undo", get(undo::ask)),
        seen("/stock", stock::show),
        seen("/labels", labels::show),
        seen("/office", office::show),
        seen("/cohorts", document::cohorts),
        seen("/cohort/{cohort}", document::cohort),
        seen("/ahead", document::nights_ahead),
        seen("/mixes", document::tried),
        seen("/month", month::show),
        taken("/month.csv", month::csv),
        taken("/month.xlsx", month::workbook),
        taken("/statement.csv", month::statement_csv),
        taken("/statement.xlsx", month::statement_workbook),
        seen("/day", records::today),
        seen("/check", records::check),
        taken("/copy", records::copy),
        ("get", "/events", get(live::events)),
        seen("/statement", month::of_supplier),
        seen("/trace", trace::show),
        ("any", "/pin", get(pin::show).post(pin::enter)),
    ]
}

/// The whole service, behind everything that guards it.
pub(super) fn router(app: App) -> Router {
    let routes = (page_routes().into_iter().chain(files())).chain(api::routes());
    routes
        .fold(Router::new(), |router, (_, path, handler)| {
            router.route(path, handler)
        })
        .fallback(nothing_here)
        .with_state(app.clone())
        .layer(from_fn_with_state(app.clone(), guard::session))
        .layer(RequestBodyLimitLayer::new(guard::BODY_MOST))
        .layer(from_fn(in_time))
        .layer(from_fn_with_state(app.clone(), guard::host))
        .layer(from_fn_with_state(app, guard::headers))
}

/// Ends what takes too long with an answer that says so. An entry may be kept
/// all the same: sent again under its id it is the same one.
async fn in_time(request: Request, next: Next) -> Result<Response, Refusal> {
    let answer = tokio::time::timeout(REQUEST_MOST, next.run(request)).await;
    answer.map_err(|_| Refusal::too_slow())
}

async fn nothing_here() -> Refusal {
    Refusal::plain(StatusCode::NOT_FOUND, say!("dock-error-nothing"))
}
