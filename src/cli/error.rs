use std::error::Error;
use std::process::ExitCode;

use anstyle::{AnsiColor, Effects, Style};

use crate::acts::ActError;
use crate::daybook::DaybookError;
use crate::words::{Said, say};

use super::{REFUSED, USAGE, output};

/// What is printed when a command fails: what, why, what to do.
#[derive(Debug)]
pub(super) struct CliError {
    pub(super) code: u8,
    pub(super) message: Said,
    pub(super) causes: Vec<String>,
    pub(super) hint: Option<Box<Said>>,
}

impl CliError {
    fn of(code: u8, message: impl Into<Said>) -> Self {
        let (message, causes, hint) = (message.into(), Vec::new(), None);
        Self {
            code,
            message,
            causes,
            hint,
        }
    }

    pub(super) fn usage(message: impl Into<Said>) -> Self {
        Self::of(USAGE, message)
    }

    pub(super) fn refused(message: impl Into<Said>) -> Self {
        Self::of(REFUSED, message)
    }

    /// Prints it in the one form there is.
    pub(super) fn failed(&self) -> ExitCode {
        let said = |label: Said, colour: AnsiColor, words: &Said| {
            let style = Style::new()
                .fg_color(Some(colour.into()))
                .effects(Effects::BOLD);
            let [label, words] = [&label, words].map(|of| of.in_language(output::language()));
            output::note(format!("{style}{label}{style:#} {words}"));
        };
        said(say!("label-error"), AnsiColor::Red, &self.message);
        for cause in &self.causes {
            said(say!("label-cause"), AnsiColor::Red, &cause.into());
        }
        if let Some(hint) = &self.hint {
            said(say!("label-hint"), AnsiColor::Cyan, hint);
        }
        ExitCode::from(self.code)
    }

    pub(super) fn with_hint(mut self, hint: impl Into<Said>) -> Self {
        self.hint = Some(Box::new(hint.into()));
        self
    }

    /// An argument that is missing where nobody can be asked.
    pub(super) fn missing(flag: &str, accepted: impl Into<Said>) -> Self {
        let (place, accepted) = (format!("`{flag}`"), accepted.into());
        Self::usage(say!("is-missing", place, accepted)).with_hint(say!("hint-asked-for"))
    }
}

impl<E> From<E> for CliError
where
    ActError: From<E>,
{
    fn from(error: E) -> Self {
        let error = ActError::from(error);
        let hint = hint(&error).map(Box::new);
        // A value of an argument is wrong usage; what the farm's book or a file refuses is a refusal.
        let code = match error {
            ActError::Rejected(_) => USAGE,
            _ => REFUSED,
        };
        let causes = std::iter::successors(error.source(), |&cause| cause.source());
        let causes = causes.map(ToString::to_string).collect();
        Self {
            code,
            message: error.said(),
            causes,
            hint,
        }
    }
}

fn hint(error: &ActError) -> Option<Said> {
    Some(match error {
        ActError::Rejected(_) | ActError::NotTicked(_) | ActError::Time(_) => return None,
        ActError::Daybook(error) => return daybook_hint(error),
        ActError::NotFound { what, .. } => say!("hint-to-find", what),
        ActError::TooMuch { lot, .. } => say!("hint-reweigh", lot),
        ActError::Hangs { first, .. } => say!("hint-void-those", record = first),
        ActError::TooLateToUndo { record, .. } => say!("hint-void-with-reason", record),
        ActError::FedAlready { fed, .. } => say!("hint-void-first", record = fed),
        ActError::CohortThere { name, .. } => say!("hint-end-first", name),
        ActError::Findings(_) => say!("hint-mend-file"),
        ActError::Doubtful(_) => say!("hint-sure"),
        ActError::NoSheet { .. } => say!("hint-mix"),
        ActError::NotASheet { .. } => say!("hint-sheet-number"),
        // Who was fed already needs no cohort.
        ActError::NothingDue { had, .. } if !had.is_empty() => say!("hint-fed"),
        ActError::NothingDue { .. } => say!("hint-cohorts"),
        ActError::Unplanned(_) => say!("hint-fewer-nights"),
        ActError::MonthRuns { .. } => say!("hint-running-month"),
        ActError::NothingChanged { .. } => say!("hint-any-version"),
    })
}

fn daybook_hint(error: &DaybookError) -> Option<Said> {
    Some(match error {
        DaybookError::Missing { .. } => say!("hint-begin"),
        DaybookError::Exists { .. } => say!("hint-leave-out-begin"),
        DaybookError::NotADaybook { .. } => say!("hint-daybook"),
        DaybookError::NewerSchema { .. } => say!("hint-update"),
        DaybookError::Locked { .. } => say!("hint-close-other"),
        DaybookError::DiskFull { .. } => say!("hint-make-room"),
        DaybookError::ReadOnly { .. } => say!("hint-permissions"),
        DaybookError::Moved { .. } => say!("hint-moved"),
        DaybookError::Damaged { .. } | DaybookError::NotWhole { .. } => say!("hint-check"),
        DaybookError::Conflict { .. } => say!("hint-own-id"),
        _ => return None,
    })
}
