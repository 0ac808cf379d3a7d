//! Refusals as answers: one status for each kind of error, in plain words.

use std::sync::Arc;

use askama::Template;
use axum::Json;
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{Html, IntoResponse, Response};
use schemars::JsonSchema;
use serde::Serialize;

use crate::acts::{ActError, Doubt};
use crate::daybook::DaybookError;
use crate::words::{Language, Said, say};

use super::keeper::Unkept;

/// Nothing was recorded.
#[derive(Serialize, JsonSchema)]
pub(super) struct Refused {
    schema: u8,
    /// What to do: `doubtful` (send again with sure=yes if it is meant), `open` (say what became
    /// of lines without a tick), `rejected` or `conflict` (a person is needed), `late` (send
    /// again with a reason `why`), `unavailable` (send again later), `pin`, `refused`.
    error: &'static str,
    message: String,
    details: Vec<String>,
    /// With `doubtful`: each figure that is unlikely; sent again with `sure` it is meant.
    doubts: Vec<Doubt>,
}

/// A refusal, until [`Refusal::told`] makes it a page or JSON.
#[derive(Debug)]
pub(super) struct Refusal {
    status: StatusCode,
    kind: &'static str,
    said: Said,
    details: Vec<String>,
    error: Option<Box<ActError>>,
}

impl Refusal {
    /// A refusal with no more to say than its text.
    pub(super) fn plain(status: StatusCode, said: Said) -> Self {
        Self {
            status,
            kind: "refused",
            said,
            details: Vec::new(),
            error: None,
        }
    }

    pub(super) fn pin_needed() -> Self {
        Self {
            kind: "pin",
            ..Self::plain(StatusCode::UNAUTHORIZED, say!("dock-error-pin"))
        }
    }

    /// It is the owner's, and the other PIN was entered.
    pub(super) fn owner_needed() -> Self {
        Self {
            kind: "owner",
            ..Self::plain(StatusCode::FORBIDDEN, say!("dock-error-owner"))
        }
    }

    /// It may be kept or not; whoever asked is told, in the form they asked in.
    pub(super) fn too_slow() -> Self {
        Self {
            kind: "unavailable",
            ..Self::plain(StatusCode::REQUEST_TIMEOUT, say!("dock-error-slow"))
        }
    }

    /// The page or the JSON; where nothing was to be recorded, it says so.
    pub(super) fn told(
        &self,
        api: bool,
        only_reads: bool,
        lang: Language,
        words: impl Fn(&Said) -> String,
    ) -> Response {
        if self.kind == "pin" && !api {
            return see("/pin");
        }
        let said = match self.error {
            Some(_) if only_reads => say!("dock-error-unread"),
            _ => self.said.clone(),
        };
        let message = words(&said);
        let told = (self.error.as_deref()).map(|error| details(error, &words));
        let details = told.unwrap_or_else(|| self.details.clone());
        if api {
            let doubts = match self.error.as_deref() {
                Some(ActError::Doubtful(doubts)) => doubts.clone(),
                _ => Vec::new(),
            };
            let refused = Refused {
                schema: 1,
                error: self.kind,
                message,
                details,
                doubts,
            };
            return (self.status, Json(refused)).into_response();
        }
        let mut response = page(&RefusedPage {
            lang: lang.as_str(),
            title: message,
            details,
            back: words(&say!("dock-error-back")),
            enter: (self.kind == "owner").then(|| words(&say!("dock-pin-title"))),
        });
        *response.status_mut() = self.status;
        response
    }
}

/// Who asked is known further out: there it gets its words.
impl IntoResponse for Refusal {
    fn into_response(self) -> Response {
        let mut response = self.status.into_response();
        response.extensions_mut().insert(Arc::new(self));
        response
    }
}

impl From<Unkept> for Refusal {
    fn from(error: Unkept) -> Self {
        match error {
            Unkept::Stopping => Self {
                kind: "unavailable",
                ..Self::plain(StatusCode::SERVICE_UNAVAILABLE, say!("dock-error-stopping"))
            },
            Unkept::Broke(words) => Self {
                kind: "broke",
                details: vec![words],
                ..Self::plain(StatusCode::INTERNAL_SERVER_ERROR, say!("dock-error-broke"))
            },
            Unkept::NoReading(words) => Self {
                kind: "rejected",
                details: vec![words],
                ..Self::plain(StatusCode::UNPROCESSABLE_ENTITY, say!("dock-error-unread"))
            },
            Unkept::Refused(error) => {
                let (status, kind) = status_of(&error);
                Self {
                    kind,
                    error: Some(error),
                    ..Self::plain(status, say!("dock-error-refused"))
                }
            }
        }
    }
}

/// What a page asks beside an act's error: the name of the answers it shows.
pub(super) fn asks(error: &ActError) -> &'static str {
    match status_of(error) {
        (_, kind @ ("doubtful" | "open")) => kind,
        _ => "",
    }
}

/// What an act said, a line each, with fields called as the form calls them.
pub(super) fn details(error: &ActError, words: &impl Fn(&Said) -> String) -> Vec<String> {
    let lines: Vec<Said> = match error {
        ActError::Doubtful(doubts) => (doubts.iter())
            .map(|doubt| Said::joined([label(doubt.field), doubt.said.clone()], ": "))
            .collect(),
        ActError::Rejected(rejections) => (rejections.iter())
            .map(|one| {
                let (field, accepted) = (label(one.field), &one.accepted);
                match one.seen.trim() {
                    "" => say!("dock-error-missing", field, accepted),
                    seen => say!("dock-error-not-taken", field, seen = seen, accepted),
                }
            })
            .collect(),
        other => vec![other.said()],
    };
    // What a terminal sets apart so, a page says plainly.
    let plain = |line: &Said| words(line).replace('`', "");
    lines.iter().map(plain).collect()
}

fn label(field: &str) -> Said {
    say!("dock-field", field = field.trim_start_matches("--"))
}

/// The status of an act's error, and one word on what to do with the entry:
/// `doubtful` asks for a yes, `late` for a reason, `conflict` and `rejected` for a person,
/// `unavailable` is worth sending again.
fn status_of(error: &ActError) -> (StatusCode, &'static str) {
    match error {
        ActError::Doubtful(_) => (StatusCode::UNPROCESSABLE_ENTITY, "doubtful"),
        ActError::NotTicked(_) => (StatusCode::UNPROCESSABLE_ENTITY, "open"),
        ActError::Rejected(_) | ActError::Findings(_) | ActError::Time(_) => {
            (StatusCode::UNPROCESSABLE_ENTITY, "rejected")
        }
        ActError::NotFound { .. } => (StatusCode::NOT_FOUND, "rejected"),
        ActError::TooLateToUndo { .. } => (StatusCode::CONFLICT, "late"),
        ActError::Daybook(error) => of_daybook(error),
        ActError::TooMuch { .. }
        | ActError::Hangs { .. }
        | ActError::MonthRuns { .. }
        | ActError::NothingChanged { .. }
        | ActError::FedAlready { .. }
        | ActError::NoSheet { .. }
        | ActError::NotASheet { .. }
        | ActError::NothingDue { .. }
        | ActError::Unplanned(_)
        | ActError::CohortThere { .. } => (StatusCode::CONFLICT, "rejected"),
    }
}

fn of_daybook(error: &DaybookError) -> (StatusCode, &'static str) {
    match error {
        DaybookError::Conflict { .. } => (StatusCode::CONFLICT, "conflict"),
        DaybookError::NotAccepted { .. } | DaybookError::NotTaken { .. } => {
            (StatusCode::UNPROCESSABLE_ENTITY, "rejected")
        }
        DaybookError::Locked { .. }
        | DaybookError::DiskFull { .. }
        | DaybookError::ReadOnly { .. }
        | DaybookError::Missing { .. }
        | DaybookError::Moved { .. }
        | DaybookError::File { .. }
        | DaybookError::Sqlite { .. }
        | DaybookError::Damaged { .. }
        | DaybookError::ReadBack { .. }
        | DaybookError::BrokenOff => (StatusCode::SERVICE_UNAVAILABLE, "unavailable"),
        _ => (StatusCode::CONFLICT, "rejected"),
    }
}

#[derive(Template)]
#[template(path = "refused.html", config = "src/askama.toml")]
struct RefusedPage {
    lang: &'static str,
    title: String,
    details: Vec<String>,
    back: String,
    /// Where another PIN would do.
    enter: Option<String>,
}

/// A file to be saved where the page is looked at.
pub(super) struct Taken {
    pub(super) name: String,
    pub(super) kind: &'static str,
    pub(super) bytes: Vec<u8>,
}

impl IntoResponse for Taken {
    fn into_response(self) -> Response {
        let saved = format!("attachment; filename=\"{}\"", self.name);
        let headers = [
            (header::CONTENT_TYPE, self.kind.to_owned()),
            (header::CONTENT_DISPOSITION, saved),
        ];
        (headers, self.bytes).into_response()
    }
}

/// The answer to a form that was done: go on to this page.
pub(super) fn see(page: &str) -> Response {
    let place = HeaderValue::from_str(page).unwrap_or(HeaderValue::from_static("/"));
    let there = [(header::LOCATION, place)];
    (StatusCode::SEE_OTHER, there).into_response()
}

pub(super) fn page(template: &impl Template) -> Response {
    match template.render() {
        Ok(html) => Html(html).into_response(),
        Err(_) => StatusCode::INTERNAL_SERVER_ERROR.into_response(),
    }
}
