use std::fmt::Display;

use schemars::JsonSchema;
use serde::Serialize;

use crate::daybook::DaybookError;
use crate::table::{Findings, nearest_hint, nearest_names};
use crate::words::Said;

/// A value an act does not take.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rejection {
    pub field: &'static str,
    pub seen: String,
    pub accepted: String,
}

impl Rejection {
    pub(crate) fn new(
        field: &'static str,
        seen: impl Into<String>,
        accepted: impl Into<String>,
    ) -> Self {
        Self {
            field,
            seen: seen.into(),
            accepted: accepted.into(),
        }
    }
}

impl std::fmt::Display for Rejection {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(
            f,
            "`{}`: `{}` is not accepted; accepted: {}",
            self.field, self.seen, self.accepted
        )
    }
}

/// Rules of an entry as a table: what must hold, else the field, what was seen
/// there, what is accepted. All that do not hold are told at once.
macro_rules! must {
    ($($holds:expr => $field:expr, $seen:expr, $accepted:expr;)+) => {{
        let mut found = Vec::new();
        $(if !$holds {
            found.push($crate::acts::Rejection::new($field, $seen.to_string(), $accepted));
        })+
        found
    }};
}
pub(crate) use must;

/// Goes on where nothing was rejected.
pub(crate) fn all_taken(found: Vec<Rejection>) -> Result<()> {
    if found.is_empty() {
        Ok(())
    } else {
        Err(found.into())
    }
}

/// Whether text has 1 to `most` characters, none of which breaks the line.
pub(super) fn is_text(text: &str, most: usize) -> bool {
    !text.trim().is_empty() && text.chars().count() <= most && !text.chars().any(char::is_control)
}

/// The reason as typed, without blanks around it.
pub(super) fn reason<'a>(field: &'static str, why: &'a str) -> Result<&'a str, Rejection> {
    let refused = || Rejection::new(field, why, "a reason of 1 to 500 characters");
    is_text(why.trim(), 500)
        .then(|| why.trim())
        .ok_or_else(refused)
}

/// As [`is_text`], of what may be left out.
pub(super) fn is_text_if_any(text: &Option<String>, most: usize) -> bool {
    text.as_ref().is_none_or(|text| is_text(text, most))
}

/// What was typed in a field that may be left out.
pub(crate) fn shown(seen: &Option<impl ToString>) -> String {
    seen.as_ref().map(ToString::to_string).unwrap_or_default()
}

/// What an act answers.
pub type Result<T, E = ActError> = std::result::Result<T, E>;

/// Why an act was not done; each says it in its own words. Nothing was written in any of these cases.
#[derive(Debug, thiserror::Error)]
pub enum ActError {
    #[error(transparent)]
    Daybook(#[from] DaybookError),
    #[error(transparent)]
    Findings(#[from] Findings),
    #[error("{}", lines(.0))]
    Rejected(Vec<Rejection>),
    /// Values that may be a slip; someone must say they are meant.
    #[error("{}", lines(.0))]
    Doubtful(Vec<Doubt>),
    /// Lines of a sheet of which nobody said whether they were fed.
    #[error("not ticked: {}; were they fed?", .0.join(", "))]
    NotTicked(Vec<String>),
    #[error("there is no {what} `{seen}`{}", nearest_hint(.nearest, ""))]
    NotFound {
        /// `lot`, `record`, `cohort`, `sheet`.
        what: &'static str,
        seen: String,
        nearest: Vec<String>,
    },
    #[error("lot `{lot}` holds {held}, and {asked} was asked for")]
    TooMuch {
        lot: String,
        held: String,
        asked: String,
    },
    /// A ticket whose lot weight has left.
    #[error(
        "weight has left the lot of `{what}`, so it can't be struck; what hangs on it: {hanging}"
    )]
    Hangs {
        what: String,
        hanging: String,
        first: i64,
    },
    #[error("{what} was written more than two minutes ago, so it is not undone without a reason")]
    TooLateToUndo { what: String, record: i64 },
    #[error("sheet `r{sheet}` was fed already, in record `r{fed}`")]
    FedAlready { sheet: i64, fed: i64 },
    #[error("there is no sheet for the night of {night} to record as fed{before}")]
    NoSheet {
        night: String,
        /// What became of the sheet of the night before, where there is one.
        before: String,
    },
    #[error("record `{seen}` is no sheet that stands")]
    NotASheet { seen: String },
    #[error("the nights ahead could not be planned: {0}")]
    Unplanned(#[from] crate::blend::solve::Unsolved),
    #[error(
        "no cohort is due for feed on the night of {night}{}{}",
        told_had(had),
        told_later(later)
    )]
    NothingDue {
        night: String,
        /// What groups had that night already.
        had: Vec<String>,
        /// Those that wait for their next meal, with its night.
        later: Vec<String>,
    },
    #[error("cohort `{name}` is on the trays already, since record `r{seq}`")]
    CohortThere { name: String, seq: i64 },
    #[error("{month} runs until {until} local time; accepted: a month that is over")]
    MonthRuns { month: String, until: String },
    #[error("{month} is closed as version {version}, and no figure has changed since")]
    NothingChanged { month: String, version: i64 },
    #[error("{0}")]
    Time(String),
}

impl ActError {
    /// Nothing goes by that name; the nearest known ones are told.
    pub(super) fn not_found<'a>(
        what: &'static str,
        seen: &str,
        known: impl IntoIterator<Item = &'a str>,
    ) -> Self {
        let nearest = nearest_names(seen, known.into_iter());
        let seen = seen.to_owned();
        Self::NotFound {
            what,
            seen,
            nearest,
        }
    }
}

fn told_had(had: &[String]) -> String {
    if had.is_empty() {
        return String::new();
    }
    format!("; fed tonight already: {}", had.join(", "))
}

fn told_later(later: &[String]) -> String {
    if later.is_empty() {
        return String::new();
    }
    format!("; by their feeding plan: {}", later.join(", "))
}

fn lines(each: &[impl ToString]) -> String {
    each.iter()
        .map(ToString::to_string)
        .collect::<Vec<_>>()
        .join("\n")
}

impl From<Vec<Rejection>> for ActError {
    fn from(rejections: Vec<Rejection>) -> Self {
        Self::Rejected(rejections)
    }
}

impl From<Rejection> for ActError {
    fn from(rejection: Rejection) -> Self {
        Self::Rejected(vec![rejection])
    }
}

/// A figure someone must say is meant.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Doubt {
    /// The row of the table.
    pub id: &'static str,
    pub field: &'static str,
    /// What was seen, what to look at, what is likely.
    pub words: String,
    /// What was seen and what to look at, for a page in any language.
    #[serde(skip)]
    pub said: Said,
}

impl Display for Doubt {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "`{}`: {}", self.field, self.words)
    }
}
