use schemars::JsonSchema;
use serde::Serialize;

use crate::daybook::DaybookError;
use crate::table::{Findings, nearest_names, nearest_told, not_accepted};
use crate::words::{Said, is_unseen, say};

/// A value an act does not take.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rejection {
    pub field: &'static str,
    pub seen: String,
    pub accepted: Said,
}

impl Rejection {
    pub(crate) fn new(
        field: &'static str,
        seen: impl Into<String>,
        accepted: impl Into<Said>,
    ) -> Self {
        Self {
            field,
            seen: seen.into(),
            accepted: accepted.into(),
        }
    }

    fn said(&self) -> Said {
        let place = format!("`{}`", self.field);
        not_accepted(place, self.seen.as_str(), &self.accepted)
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

/// Whether text has 1 to `most` characters, each of which can be seen.
pub(super) fn is_text(text: &str, most: usize) -> bool {
    !text.trim().is_empty() && text.chars().count() <= most && !text.chars().any(is_unseen)
}

/// The reason as typed, without blanks around it.
pub(super) fn reason<'a>(field: &'static str, why: &'a str) -> Result<&'a str, Rejection> {
    let refused = || Rejection::new(field, why, say!("accepted-reason", most = 500));
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

/// Why an act was not done. Nothing was written in any of these cases.
#[derive(Debug, thiserror::Error)]
#[error("{}", self.said().in_english())]
pub enum ActError {
    #[error(transparent)]
    Daybook(#[from] DaybookError),
    #[error(transparent)]
    Findings(#[from] Findings),
    Rejected(Vec<Rejection>),
    /// Values that may be a slip; someone must say they are meant.
    Doubtful(Vec<Doubt>),
    /// Lines of a sheet of which nobody said whether they were fed.
    NotTicked(Vec<Said>),
    NotFound {
        /// As `refused-not-found` of the catalogue tells them apart.
        what: &'static str,
        seen: String,
        nearest: Vec<String>,
    },
    TooMuch {
        lot: String,
        held: String,
        asked: String,
    },
    /// A ticket whose lot weight has left.
    Hangs {
        what: Said,
        hanging: Said,
        first: i64,
    },
    TooLateToUndo {
        what: Said,
        record: i64,
    },
    FedAlready {
        sheet: i64,
        fed: i64,
    },
    NoSheet {
        night: String,
        /// What became of the sheet of the night before, where there is one.
        before: Said,
    },
    NotASheet {
        seen: String,
    },
    Unplanned(crate::blend::solve::Unsolved),
    NothingDue {
        night: Said,
        /// What groups had that night already.
        had: Vec<String>,
        /// Those that wait for their next meal, with its night.
        later: Vec<Said>,
    },
    CohortThere {
        name: String,
        seq: i64,
    },
    MonthRuns {
        month: String,
        until: String,
    },
    NothingChanged {
        month: String,
        version: i64,
    },
    Time(Said),
}

impl ActError {
    pub fn said(&self) -> Said {
        match self {
            Self::Daybook(error) => error.said(),
            Self::Findings(findings) => findings.said(),
            Self::Rejected(each) => Said::joined(each.iter().map(Rejection::said), "\n"),
            Self::Doubtful(each) => Said::joined(each.iter().map(Doubt::told), "\n"),
            Self::NotTicked(lines) => say!(
                "refused-not-ticked",
                lines = Said::joined(lines.iter().map(Said::from), "; ")
            ),
            Self::NotFound {
                what,
                seen,
                nearest,
            } => say!(
                "refused-not-found",
                what,
                seen,
                nearest = nearest_told(nearest)
            ),
            Self::TooMuch { lot, held, asked } => say!("refused-too-much", lot, held, asked),
            Self::Hangs { what, hanging, .. } => say!("refused-hangs", what, hanging),
            Self::TooLateToUndo { what, .. } => say!("refused-too-late", what),
            Self::FedAlready { sheet, fed } => say!("refused-fed-already", sheet, fed),
            Self::NoSheet { night, before } => say!("refused-no-sheet", night, before),
            Self::NotASheet { seen } => say!("refused-not-a-sheet", seen),
            Self::Unplanned(why) => say!("refused-unplanned", why = why.said()),
            Self::NothingDue { night, had, later } => {
                let mut parts = vec![say!("refused-nothing-due", night)];
                if !had.is_empty() {
                    parts.push(say!("refused-had", groups = had.join(", ")));
                }
                if !later.is_empty() {
                    let cohorts = Said::joined(later.clone(), ", ");
                    parts.push(say!("refused-later", cohorts));
                }
                Said::joined(parts, "; ")
            }
            Self::CohortThere { name, seq } => say!("refused-cohort-there", name, seq),
            Self::MonthRuns { month, until } => say!("refused-month-runs", month, until),
            Self::NothingChanged { month, version } => {
                say!("refused-nothing-changed", month, version)
            }
            Self::Time(why) => why.clone(),
        }
    }

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

impl From<crate::blend::solve::Unsolved> for ActError {
    fn from(why: crate::blend::solve::Unsolved) -> Self {
        Self::Unplanned(why)
    }
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
    /// What is taken without asking, and whose bound it is.
    #[serde(skip)]
    pub bound: Said,
}

impl Doubt {
    /// The field with all there is to say of it.
    pub(crate) fn told(&self) -> Said {
        say!("doubt-told", self.field, seen = &self.said, self.bound)
    }
}
