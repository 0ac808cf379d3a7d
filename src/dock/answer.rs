//! Refusals as answers: one status for each kind of error, in plain words.

use askama::Template;
use axum::Json;
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{Html, IntoResponse, Response};
use schemars::JsonSchema;
use serde::Serialize;

use crate::acts::{ActError, Doubt};
use crate::daybook::DaybookError;

use super::keeper::Unkept;
use super::texts::{Lang, Texts};

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

/// A refusal, told as a page or as JSON.
#[derive(Debug)]
pub(super) struct Refusal {
    status: StatusCode,
    kind: &'static str,
    key: &'static str,
    details: Vec<String>,
    error: Option<Box<ActError>>,
    api: bool,
    lang: Lang,
    to_pin: bool,
}

impl Refusal {
    /// A refusal with no more to say than its text.
    pub(super) fn plain(status: StatusCode, key: &'static str) -> Self {
        Self {
            status,
            kind: "refused",
            key,
            details: Vec::new(),
            error: None,
            api: false,
            lang: Lang::En,
            to_pin: false,
        }
    }

    pub(super) fn pin_needed(api: bool, lang: Lang) -> Self {
        Self {
            kind: "pin",
            to_pin: true,
            ..Self::plain(StatusCode::UNAUTHORIZED, "error.pin")
        }
        .told(api, lang)
    }

    /// What an act or the writing thread said.
    pub(super) fn of(error: Unkept) -> Self {
        match error {
            Unkept::Stopping => Self {
                kind: "unavailable",
                ..Self::plain(StatusCode::SERVICE_UNAVAILABLE, "error.stopping")
            },
            Unkept::Broke(said) => Self {
                kind: "broke",
                details: vec![said],
                ..Self::plain(StatusCode::INTERNAL_SERVER_ERROR, "error.broke")
            },
            Unkept::Refused(error) => {
                let (status, kind) = status_of(&error);
                Self {
                    kind,
                    error: Some(error),
                    ..Self::plain(status, "error.refused")
                }
            }
        }
    }

    /// A text that is no reading, in the words of whoever read it.
    pub(super) fn no_reading(words: String) -> Self {
        Self {
            kind: "rejected",
            details: vec![words],
            ..Self::plain(StatusCode::UNPROCESSABLE_ENTITY, "error.unread")
        }
    }

    /// Nothing was to be recorded.
    #[must_use]
    pub(super) fn of_a_reading(mut self) -> Self {
        if self.key == "error.refused" {
            self.key = "error.unread";
        }
        self
    }

    #[must_use]
    pub(super) fn told(mut self, api: bool, lang: Lang) -> Self {
        self.api = api;
        self.lang = lang;
        self
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
pub(super) fn details(error: &ActError, texts: &Texts, lang: Lang) -> Vec<String> {
    let called = |field| label(field).map_or(field, |key| texts.get(lang, key));
    let lines: Vec<String> = match error {
        ActError::Doubtful(doubts) => (doubts.iter())
            .map(|doubt| format!("{}: {}", called(doubt.field), doubt.said.in_language(lang)))
            .collect(),
        ActError::Rejected(rejections) => (rejections.iter())
            .map(|one| {
                let (key, seen) = match one.seen.trim() {
                    "" => ("error.missing", None),
                    seen => ("error.not-taken", Some(seen)),
                };
                let put_in = [Some(called(one.field)), seen, Some(one.accepted.as_str())];
                (put_in.into_iter().flatten()).fold(texts.get(lang, key).to_owned(), |line, one| {
                    line.replacen("{}", one, 1)
                })
            })
            .collect(),
        other => vec![other.to_string()],
    };
    // What a terminal sets apart so, a page says plainly.
    lines.iter().map(|line| line.replace('`', "")).collect()
}

/// The text by which the page's forms call a field of an act.
fn label(field: &str) -> Option<&'static str> {
    Some(match field {
        "supplier" => "weigh.supplier",
        "stream" => "field.stream",
        "gross" | "weight" => "weigh.weight",
        "container" | "tare" => "weigh.container",
        "moisture_pct" => "field.moisture",
        "picked_out" => "weigh.picked",
        "picked_out_kind" | "kind" => "weigh.picked-kind",
        "refuse" => "weigh.refuse",
        "note" => "weigh.note",
        "by" => "weigh.by",
        "why" => "undo.reason",
        "lot" => "discard.lot",
        "at" => "field.at",
        "night" => "nav.tonight",
        "group" => "field.group",
        "cohort" => "harvest.cohort",
        "larvae" => "harvest.larvae",
        "residue" => "harvest.residue",
        "residue-to" => "harvest.residue-to",
        "count" => "harvest.count",
        "sample" => "harvest.sample",
        "dead" => "harvest.dead",
        "larvae-moisture" => "harvest.larvae-moisture",
        "residue-moisture" => "harvest.residue-moisture",
        "larvae-nitrogen" => "harvest.nitrogen",
        "item" => "money.item",
        "amount" => "money.amount",
        "minutes" => "money.minutes",
        "kwh" => "money.kwh",
        "rate" => "money.rate",
        "what" => "money.what",
        "party" => "money.party",
        _ => return None,
    })
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
        ActError::Daybook(error) => of_daybook(error),
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
struct RefusedPage<'a> {
    lang: &'a str,
    title: &'a str,
    details: &'a [String],
    back: &'a str,
}

/// The answer to a form that was done: go on to this page.
pub(super) fn see(page: &str) -> Response {
    let place = HeaderValue::from_str(page).unwrap_or(HeaderValue::from_static("/"));
    let there = [(header::LOCATION, place)];
    (StatusCode::SEE_OTHER, there).into_response()
}

impl IntoResponse for Refusal {
    fn into_response(self) -> Response {
        if self.to_pin && !self.api {
            return see("/pin");
        }
        let Ok(texts) = Texts::shipped() else {
            return self.status.into_response();
        };
        let title = texts.get(self.lang, self.key);
        let told = (self.error.as_deref()).map(|error| details(error, &texts, self.lang));
        let details = told.unwrap_or(self.details);
        if self.api {
            let doubts = match self.error.map(|error| *error) {
                Some(ActError::Doubtful(doubts)) => doubts,
                _ => Vec::new(),
            };
            let refused = Refused {
                schema: 1,
                error: self.kind,
                message: title.to_owned(),
                details,
                doubts,
            };
            return (self.status, Json(refused)).into_response();
        }
        let page = RefusedPage {
            lang: self.lang.as_str(),
            title,
            details: &details,
            back: texts.get(self.lang, "error.back"),
        };
        match page.render() {
            Ok(html) => (self.status, Html(html)).into_response(),
            Err(_) => self.status.into_response(),
        }
    }
}
