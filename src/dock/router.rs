use axum::Router;
use axum::http::StatusCode;
use axum::middleware::{from_fn, from_fn_with_state};
use axum::response::{IntoResponse, Response};
use axum::routing::{MethodRouter, get, post};
use std::time::Duration;
use tower_http::limit::RequestBodyLimitLayer;
use tower_http::timeout::TimeoutLayer;

use super::app::App;
use super::{api, guard, pages};

/// The longest a request may take, its body included.
const REQUEST_MOST: Duration = Duration::from_secs(10);

/// Method, path and handler.
pub(super) type Route = (&'static str, &'static str, MethodRouter<App>);

/// The pages people see.
fn page_routes() -> Vec<Route> {
    vec![
        ("get", "/", get(pages::weigh::show)),
        ("post", "/", post(pages::weigh::keep)),
        ("post", "/strike", post(pages::undo::strike)),
        ("get", "/undo", get(pages::undo::ask)),
        ("get", "/stock", get(pages::stock::show)),
        ("get", "/labels", get(pages::labels::show)),
        ("get", "/tonight", get(pages::tonight::show)),
        ("post", "/tonight", post(pages::tonight::keep)),
        ("post", "/fed", post(pages::fed::fed)),
        ("get", "/cohorts", get(pages::cohorts::show)),
        ("get", "/cohort/{cohort}", get(pages::cohort::show)),
        ("get", "/discard", get(pages::discard::show)),
        ("post", "/discard", post(pages::discard::keep)),
        ("get", "/harvest", get(pages::harvest::show)),
        ("post", "/harvest", post(pages::harvest::keep)),
        ("get", "/money", get(pages::money::show)),
        ("post", "/money", post(pages::money::keep)),
        ("get", "/learn", get(pages::learned::learned)),
        ("get", "/mixes", get(pages::learned::tried)),
        ("get", "/month", get(pages::month::show)),
        ("get", "/statement", get(pages::statement::show)),
        ("get", "/trace", get(pages::trace::show)),
        ("get", "/pin", get(pages::pin::show)),
        ("post", "/pin", post(pages::pin::enter)),
        ("get", "/style.css", get(style)),
        (
            "get",
            "/wait.js",
            get(async || script(include_str!("assets/wait.js"))),
        ),
        (
            "get",
            "/dock.js",
            get(async || script(include_str!("assets/dock.js"))),
        ),
        (
            "get",
            "/reading.js",
            get(async || script(include_str!("assets/reading.js"))),
        ),
        (
            "get",
            "/scale.js",
            get(async || script(include_str!("assets/scale.js"))),
        ),
    ]
}

/// The whole service, behind everything that guards it.
pub(super) fn router(app: App) -> Router {
    let routes = page_routes().into_iter().chain(api::routes());
    routes
        .fold(Router::new(), |router, (_, path, handler)| {
            router.route(path, handler)
        })
        .fallback(nothing_here)
        .with_state(app.clone())
        .layer(from_fn_with_state(app.clone(), guard::session))
        .layer(RequestBodyLimitLayer::new(guard::BODY_MOST))
        .layer(TimeoutLayer::with_status_code(
            StatusCode::REQUEST_TIMEOUT,
            REQUEST_MOST,
        ))
        .layer(from_fn_with_state(app, guard::host))
        .layer(from_fn(guard::headers))
}

async fn nothing_here() -> Response {
    super::answer::Refusal::plain(StatusCode::NOT_FOUND, "error.nothing").into_response()
}

async fn style() -> Response {
    let kind = [("content-type", "text/css; charset=utf-8")];
    (kind, include_str!("assets/style.css")).into_response()
}

fn script(text: &'static str) -> Response {
    ([("content-type", "text/javascript; charset=utf-8")], text).into_response()
}
