use std::error::Error;
use std::process::ExitCode;

use anstyle::{AnsiColor, Effects, Style};

use crate::acts::ActError;
use crate::daybook::DaybookError;

use super::{REFUSED, USAGE, output};

/// What is printed when a command fails: what, why, what to do.
#[derive(Debug)]
pub(super) struct CliError {
    pub(super) code: u8,
    pub(super) message: String,
    pub(super) causes: Vec<String>,
    pub(super) hint: Option<String>,
}

impl CliError {
    fn of(code: u8, message: impl Into<String>) -> Self {
        let (message, causes, hint) = (message.into(), Vec::new(), None);
        Self {
            code,
            message,
            causes,
            hint,
        }
    }

    pub(super) fn usage(message: impl Into<String>) -> Self {
        Self::of(USAGE, message)
    }

    pub(super) fn refused(message: impl Into<String>) -> Self {
        Self::of(REFUSED, message)
    }

    /// Prints it in the one form there is.
    pub(super) fn failed(&self) -> ExitCode {
        let said = |label: &str, colour: AnsiColor, words: &str| {
            let style = Style::new()
                .fg_color(Some(colour.into()))
                .effects(Effects::BOLD);
            output::note(format!("{style}{label}{style:#} {words}"));
        };
        said("error:", AnsiColor::Red, &self.message);
        for cause in &self.causes {
            said("caused by:", AnsiColor::Red, cause);
        }
        if let Some(hint) = &self.hint {
            said("hint:", AnsiColor::Cyan, hint);
        }
        ExitCode::from(self.code)
    }

    pub(super) fn with_hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = Some(hint.into());
        self
    }

    /// An argument that is missing where nobody can be asked.
    pub(super) fn missing(flag: &str, accepted: &str) -> Self {
        Self::usage(format!("`{flag}` is missing; accepted: {accepted}"))
            .with_hint("at a terminal it is asked for; elsewhere it must be given")
    }
}

impl<E> From<E> for CliError
where
    ActError: From<E>,
{
    fn from(error: E) -> Self {
        let error = ActError::from(error);
        let hint = hint(&error);
        // A value of an argument is wrong usage; what the farm's book or a file refuses is a refusal.
        let code = match error {
            ActError::Rejected(_) => USAGE,
            _ => REFUSED,
        };
        let causes = std::iter::successors(error.source(), |&cause| cause.source());
        let causes = causes.map(ToString::to_string).collect();
        Self {
            code,
            message: error.to_string(),
            causes,
            hint,
        }
    }
}

fn hint(error: &ActError) -> Option<String> {
    Some(match error {
        ActError::Rejected(_) | ActError::NotTicked(_) | ActError::Time(_) => return None,
        ActError::Daybook(error) => return daybook_hint(error).map(ToOwned::to_owned),
        ActError::NotFound { what, .. } => to_find(what).to_owned(),
        ActError::TooMuch { lot, .. } => {
            format!("weigh what is there and record it: trayful reweigh {lot} --weight WEIGHT")
        }
        ActError::Hangs { first, .. } => {
            format!("void those first, such as: trayful strike r{first} --why REASON")
        }
        ActError::TooLateToUndo { record, .. } => {
            format!("void it with a reason: trayful strike r{record} --why REASON")
        }
        ActError::FedAlready { fed, .. } => {
            format!("to feed it anew, void the first: trayful strike r{fed} --why REASON")
        }
        ActError::CohortThere { name, .. } => {
            format!("end it first: trayful cohort end {name} --why REASON")
        }
        ActError::Findings(_) => {
            "nothing was recorded; mend the file and run the same command again".to_owned()
        }
        ActError::Doubtful(_) => {
            "if that is right, run it again with --sure; nothing was recorded".to_owned()
        }
        ActError::NoSheet { .. } => {
            "`trayful mix` proposes tonight's mix and records its sheet".to_owned()
        }
        ActError::NotASheet { .. } => {
            "`trayful mix` prints the sheet's record number in its title".to_owned()
        }
        ActError::NothingDue { .. } => {
            "`trayful cohort list` shows ages and stages; `trayful cohort add` puts larvae on trays"
                .to_owned()
        }
        ActError::Unplanned(_) => {
            "fewer nights may do: trayful ahead --nights 7; tonight has `trayful mix`".to_owned()
        }
        ActError::MonthRuns { .. } => {
            "`trayful month` shows the running month without closing it".to_owned()
        }
        ActError::NothingChanged { .. } => {
            "`trayful month MONTH --version N` prints any version again".to_owned()
        }
    })
}

/// Where names of such things are to be had.
fn to_find(what: &str) -> &'static str {
    match what {
        "lot" => "`trayful stock` lists the lots on hand",
        "stream" => "`trayful streams` lists them",
        "cohort" => "`trayful cohort list` lists the cohorts",
        "proposal" => "`trayful learn` lists what waits for your word",
        "version" => {
            "`trayful month MONTH --close` makes the first version of a month that is over"
        }
        "supplier-in-month" => "`trayful month MONTH` lists the suppliers",
        "supplier" | "buyer" => "names are taken as they stand in the book",
        "harvest" => "a harvest goes by its record, such as `r57`",
        _ => "name a ticket (`12`), an id, or a record (`r57`)",
    }
}

fn daybook_hint(error: &DaybookError) -> Option<&'static str> {
    Some(match error {
        DaybookError::Missing { .. } => {
            "`trayful begin` makes a new daybook, `trayful demo` an invented one; `--daybook FILE` names another"
        }
        DaybookError::Exists { .. } => {
            "to use it, leave out `begin`; `--daybook FILE` names another"
        }
        DaybookError::NotADaybook { .. } => "`--daybook FILE` names another file",
        DaybookError::NewerSchema { .. } => "update trayful; this version leaves the file alone",
        DaybookError::Locked { .. } => "close the other program, or wait until its work is done",
        DaybookError::DiskFull { .. } => "make room on the disk, then run the same command again",
        DaybookError::ReadOnly { .. } => {
            "check the file's and folder's permissions, or copy the book to where you may write"
        }
        DaybookError::Damaged { .. } => {
            "`trayful check` says what is damaged; `trayful keep` copies are made for this"
        }
        DaybookError::Conflict { .. } => "give this one an id of its own; nothing was recorded",
        _ => return None,
    })
}
