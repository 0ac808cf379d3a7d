//! What every request passes before a handler sees it.

use std::sync::Arc;

use axum::body::{Body, to_bytes};
use axum::extract::{Request, State};
use axum::http::header::{
    self, ACCEPT_LANGUAGE, CONTENT_TYPE, COOKIE, HOST, HeaderName, ORIGIN, SET_COOKIE,
};
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode, Uri};
use axum::middleware::Next;
use axum::response::{IntoResponse, Redirect, Response};

use crate::words::{Language, say};

use super::answer::Refusal;
use super::app::{App, CameBy};
use super::session::Sessions;
use super::tls::Tls;
use super::view::{Look, Visit};

/// The largest body: a ticket is a few hundred bytes.
pub(super) const BODY_MOST: usize = 64 * 1024;
/// Where the token stands when it is not in a form.
pub(super) const TOKEN_HEADER: &str = "x-trayful-token";
/// What may be seen before the PIN.
const OPEN: [&str; 15] = [
    "/pin",
    "/style.css",
    "/hyperlegible.woff2",
    "/hyperlegible-bold.woff2",
    "/icons.svg",
    "/wait.js",
    "/reach.js",
    "/dock.js",
    "/reading.js",
    "/scale.js",
    "/ticks.js",
    "/wire.js",
    "/worker.js",
    "/manifest.json",
    "/icon.svg",
];

const POLICY: &str = "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self' data:; font-src 'self'; connect-src 'self'; manifest-src 'self'; worker-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

const ALWAYS: [(HeaderName, &str); 7] = [
    (header::CONTENT_SECURITY_POLICY, POLICY),
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (header::X_FRAME_OPTIONS, "DENY"),
    // Not `no-referrer`: with it a browser sends our own forms' origin as `null`,
    // and they would be refused as coming from elsewhere.
    (header::REFERRER_POLICY, "same-origin"),
    (header::CACHE_CONTROL, "no-store"),
    (
        HeaderName::from_static("cross-origin-opener-policy"),
        "same-origin",
    ),
    (
        HeaderName::from_static("cross-origin-resource-policy"),
        "same-origin",
    ),
];

/// Sets what every answer carries, refused ones too, and gives a refusal its words.
pub(super) async fn headers(State(app): State<App>, request: Request, next: Next) -> Response {
    let api = request.uri().path().starts_with("/api/");
    let only_reads = request.method() == Method::GET;
    let mut response = next.run(request).await;
    if let Some(refusal) = response.extensions_mut().remove::<Arc<Refusal>>() {
        let lang = response.extensions().get().copied().unwrap_or_default();
        let mut told = refusal.told(api, only_reads, lang, |said| app.shared.words(said, lang));
        told.headers_mut().extend(response.headers_mut().drain());
        response = told;
    }
    let headers = response.headers_mut();
    for (name, value) in ALWAYS {
        headers.insert(name, HeaderValue::from_static(value));
    }
    response
}

/// Lets in only requests to a host that is ours. A page elsewhere that has its
/// own name point here (DNS rebinding) brings its own name, and stays out.
pub(super) async fn host(
    State(app): State<App>,
    request: Request,
    next: Next,
) -> Result<Response, Refusal> {
    let mut named = request.headers().get_all(HOST).iter();
    let ours = match (named.next(), named.next()) {
        (Some(host), None) => host.to_str().ok(),
        _ => None,
    };
    let Some(host) = ours.filter(|host| is_ours(&app, &request, host)) else {
        return Err(Refusal::plain(
            StatusCode::MISDIRECTED_REQUEST,
            say!("dock-error-host"),
        ));
    };
    let bare = |came: &CameBy| came.bare;
    match &app.shared.tls {
        Some(tls) if request.extensions().get().is_some_and(bare) => {
            Ok(without_tls(tls, host, request.uri()))
        }
        _ => Ok(next.run(request).await),
    }
}

/// Who comes without TLS is sent on. The certificate to trust is given out before:
/// a tablet that does not have it yet would be warned of this very page.
fn without_tls(tls: &Tls, host: &str, asked: &Uri) -> Response {
    if asked.path() == "/certificate.crt" {
        let kind = [(CONTENT_TYPE, "application/x-x509-ca-cert")];
        return (kind, tls.trusted.to_vec()).into_response();
    }
    let path = asked.path_and_query().map_or("/", |path| path.as_str());
    Redirect::temporary(&format!("https://{host}{path}")).into_response()
}

fn is_ours(app: &App, request: &Request, host: &str) -> bool {
    let host = with_port(host, app.shared.tls.is_some());
    if app.shared.hosts.contains(&host) {
        return true;
    }
    // The address this very connection came in by, as numbers.
    request
        .extensions()
        .get::<CameBy>()
        .is_some_and(|came| host == came.by.to_string())
}

/// A host name as it is compared: in small letters and with its port, which
/// browsers leave out when it is the usual one.
pub(super) fn with_port(host: &str, tls: bool) -> String {
    let host = host.trim().to_ascii_lowercase();
    if host.contains(':') {
        host
    } else {
        format!("{host}:{}", if tls { 443 } else { 80 })
    }
}

/// Finds the visit's session, language and look, and checks every change.
pub(super) async fn session(
    State(app): State<App>,
    request: Request,
    next: Next,
) -> Result<Response, Refusal> {
    let headers = request.headers();
    let known = cookie(headers, &app.shared.cookie)
        .filter(|name| Sessions::well_formed(name))
        .map(str::to_owned);
    let is_new = known.is_none();
    let Some(session) = known.or_else(Sessions::fresh) else {
        return Err(Refusal::plain(
            StatusCode::SERVICE_UNAVAILABLE,
            say!("dock-error-stopping"),
        ));
    };
    // A wish for language or look is given in the address, and kept in a cookie.
    let query = request.uri().query().unwrap_or_default();
    let wished = |name| named(query.split('&'), name);
    let (lang, look) = (
        wished("lang").and_then(Language::parse),
        wished("look").and_then(Look::parse),
    );
    let set = cookies_to_set(&app, is_new.then_some(&session), lang, look);
    let visit = Visit {
        session: session.clone(),
        token: app.shared.sessions.token(&session),
        lang: lang
            .or_else(|| cookie(headers, "trayful-lang").and_then(Language::parse))
            .or_else(|| app.shared.language())
            .unwrap_or_else(|| asked_language(headers)),
        look: look
            .or_else(|| cookie(headers, "trayful-look").and_then(Look::parse))
            .unwrap_or_default(),
        path: request.uri().path().to_owned(),
        role: app.shared.sessions.role(&session),
    };
    let lang = visit.lang;
    let (mut response, set) = match entered(&app, &session, &visit, request).await {
        Ok(mut request) => {
            request.extensions_mut().insert(Arc::new(visit));
            (next.run(request).await, set)
        }
        Err(refusal) => (refusal.into_response(), Vec::new()),
    };
    response.extensions_mut().insert(lang);
    let replaced = response.headers().contains_key(SET_COOKIE);
    for cookie in set.into_iter().filter(|_| !replaced) {
        if let Ok(value) = HeaderValue::from_str(&cookie) {
            response.headers_mut().append(SET_COOKIE, value);
        }
    }
    Ok(response)
}

/// Whether this visit may go on to what it asks for.
async fn entered(
    app: &App,
    session: &str,
    visit: &Visit,
    request: Request,
) -> Result<Request, Refusal> {
    match visit.role {
        _ if OPEN.contains(&visit.path.as_str()) => {}
        None => return Err(Refusal::pin_needed()),
        Some(role) if !role.may_open(&visit.path) => return Err(Refusal::owner_needed()),
        Some(_) => {}
    }
    match request.method() {
        &Method::GET | &Method::HEAD => Ok(request),
        _ => checked_change(app, session, request).await,
    }
}

/// The session's cookie. `Secure` only under TLS: a browser would not send it without.
pub(super) fn session_cookie(app: &App, session: &str) -> String {
    let secure = if app.shared.tls.is_some() {
        "; Secure"
    } else {
        ""
    };
    let cookie = &app.shared.cookie;
    format!("{cookie}={session}; HttpOnly; SameSite=Strict; Path=/{secure}")
}

fn cookies_to_set(
    app: &App,
    session: Option<&String>,
    lang: Option<Language>,
    look: Option<Look>,
) -> Vec<String> {
    let session = session.map(|session| session_cookie(app, session));
    let kept = |name, value| {
        format!("trayful-{name}={value}; HttpOnly; SameSite=Strict; Path=/; Max-Age=31536000")
    };
    let lang = lang.map(|lang| kept("lang", lang.as_str()));
    let look = look.map(|look| kept("look", look.as_str()));
    [session, lang, look].into_iter().flatten().collect()
}

/// A change must come from our own page: by what the browser says of it, and
/// by the session's token, in a header or in the form.
async fn checked_change(app: &App, session: &str, request: Request) -> Result<Request, Refusal> {
    let foreign = || Refusal::plain(StatusCode::FORBIDDEN, say!("dock-error-foreign"));
    let headers = request.headers();
    let text = |name: &str| headers.get(name).map(|value| value.to_str().unwrap_or("?"));
    if text("sec-fetch-site").is_some_and(|site| site != "same-origin") {
        return Err(foreign());
    }
    if let Some(origin) = text(ORIGIN.as_str()) {
        let host = text(HOST.as_str()).unwrap_or_default();
        let schemes: &[_] = match app.shared.tls {
            Some(_) => &["https"],
            // Another program in front of this one may speak TLS.
            None => &["http", "https"],
        };
        if !(schemes.iter()).any(|scheme| origin == format!("{scheme}://{host}")) {
            return Err(foreign());
        }
    }
    let in_header = text(TOKEN_HEADER).map(str::to_owned);
    let is_form = text(CONTENT_TYPE.as_str())
        .is_some_and(|kind| kind.starts_with("application/x-www-form-urlencoded"));
    let (parts, body) = request.into_parts();
    let body = to_bytes(body, BODY_MOST)
        .await
        .map_err(|_| Refusal::plain(StatusCode::PAYLOAD_TOO_LARGE, say!("dock-error-too-large")))?;
    // A token is letters and digits, so a form brings it as it is.
    let form = std::str::from_utf8(&body).unwrap_or_default();
    let in_form = || named(form.split('&'), "token").filter(|_| is_form);
    let token = in_header.as_deref().or_else(in_form);
    if !token.is_some_and(|token| app.shared.sessions.token_fits(session, token)) {
        return Err(Refusal::plain(
            StatusCode::FORBIDDEN,
            say!("dock-error-token"),
        ));
    }
    Ok(Request::from_parts(parts, Body::from(body)))
}

fn asked_language(headers: &HeaderMap) -> Language {
    let asked = headers
        .get(ACCEPT_LANGUAGE)
        .and_then(|value| value.to_str().ok())
        .unwrap_or_default();
    asked
        .split(',')
        .find_map(|part| Language::parse(part.trim().get(..2)?))
        .unwrap_or_default()
}

fn cookie<'a>(headers: &'a HeaderMap, name: &str) -> Option<&'a str> {
    let lines = headers.get_all(COOKIE).iter();
    let lines = lines.filter_map(|value| value.to_str().ok());
    named(lines.flat_map(|line| line.split(';')), name)
}

/// The value of the first pair `name=value`.
fn named<'a>(mut pairs: impl Iterator<Item = &'a str>, name: &str) -> Option<&'a str> {
    pairs.find_map(|pair| pair.trim().strip_prefix(name)?.strip_prefix('='))
}
