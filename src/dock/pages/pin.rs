use axum::http::{HeaderValue, StatusCode, header};

use super::super::app::CameBy;
use super::super::guard::session_cookie;
use super::super::session::Try;
use super::*;

#[derive(Deserialize, Default)]
#[serde(default)]
pub(crate) struct Entered {
    pin: String,
}

#[derive(Template)]
#[template(path = "pin.html", config = "src/askama.toml")]
struct PinPage {
    frame: Frame,
    told: Option<String>,
}

pub(crate) async fn show(State(app): State<App>, visit: Visiting) -> Response {
    page(&PinPage {
        frame: Frame::new(&app, &visit),
        told: None,
    })
}

/// Tries a PIN. The right one opens a new session, so that one planted before is worth nothing.
pub(crate) async fn enter(
    State(app): State<App>,
    visit: Visiting,
    axum::Extension(came): axum::Extension<CameBy>,
    axum::Form(entered): axum::Form<Entered>,
) -> Response {
    let frame = Frame::new(&app, &visit);
    let shared = std::sync::Arc::clone(&app.shared);
    // Hashing takes tens of milliseconds of one core.
    let tried = tokio::task::spawn_blocking(move || {
        let (sessions, from) = (&shared.sessions, came.from.ip());
        sessions.try_pin(&entered.pin, &visit.session, from)
    });
    let tried = tried.await;
    let (status, told, wait) = match tried {
        Ok(Try::In(session)) => {
            let Ok(cookie) = HeaderValue::from_str(&session_cookie(&app, &session)) else {
                return StatusCode::INTERNAL_SERVER_ERROR.into_response();
            };
            let to = HeaderValue::from_static("/");
            let headers = [(header::LOCATION, to), (header::SET_COOKIE, cookie)];
            return (StatusCode::SEE_OTHER, headers).into_response();
        }
        Ok(Try::Wait(wait)) => {
            let seconds = wait.as_secs() + 1;
            let told = frame.with("dock-pin-wait", seconds);
            (StatusCode::TOO_MANY_REQUESTS, told, Some(seconds))
        }
        Ok(Try::Wrong) | Err(_) => (StatusCode::FORBIDDEN, frame.t("dock-pin-wrong"), None),
    };
    let mut response = page(&PinPage {
        frame,
        told: Some(told),
    });
    *response.status_mut() = status;
    if let Some(seconds) = wait {
        let value = HeaderValue::from(seconds);
        response.headers_mut().insert(header::RETRY_AFTER, value);
    }
    response
}
