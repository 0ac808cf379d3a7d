use std::path::{Path, PathBuf};

use jiff::Timestamp;
use rusqlite::ErrorCode;

/// Why the daybook could not be opened, read or written to.
#[derive(Debug, thiserror::Error)]
pub enum DaybookError {
    /// No file there.
    #[error("there is no daybook at `{}`", path.display())]
    Missing {
        /// Where it was looked for.
        path: PathBuf,
    },
    /// A file is there where a new one was to be made.
    #[error("`{}` is there already; accepted: the name of a file that is not there yet", path.display())]
    Exists {
        /// The file.
        path: PathBuf,
    },
    /// Some other file.
    #[error("`{}` is not a daybook: {why}", path.display())]
    NotADaybook {
        /// The file.
        path: PathBuf,
        /// What it seems to be.
        why: &'static str,
    },
    /// Written by a newer program.
    #[error("`{}` has schema {found}; accepted: schema {known} or older", path.display())]
    NewerSchema {
        /// The file.
        path: PathBuf,
        /// Its schema.
        found: i64,
        /// The newest schema known here.
        known: i64,
    },
    /// Another program holds it.
    #[error("`{}` is in use by another program; nothing was written", path.display())]
    Locked {
        /// The file.
        path: PathBuf,
    },
    /// No room left.
    #[error("the disk holding `{}` is full; nothing was written", path.display())]
    DiskFull {
        /// The file.
        path: PathBuf,
    },
    /// It can be read and not written.
    #[error("`{}` can be read but not written to: file, folder or disk is read-only", path.display())]
    ReadOnly {
        /// The file.
        path: PathBuf,
    },
    /// A read-only place holds a book with pages not yet folded in.
    #[error("`{}` lies in a read-only place with unfolded pages in `{}` beside it; accepted: both copied to a folder that can be written to", path.display(), beside.display())]
    Unfolded {
        /// The file.
        path: PathBuf,
        /// The file of pages beside it.
        beside: PathBuf,
    },
    /// Its content makes no sense.
    #[error("`{}` is damaged: {what}", path.display())]
    Damaged {
        /// The file.
        path: PathBuf,
        /// What was seen.
        what: String,
    },
    /// The file, or the files the database keeps beside it, can't be opened.
    #[error("`{}` could not be opened; accepted: a file this user may read, in a folder with room", path.display())]
    Shut {
        /// The file.
        path: PathBuf,
        /// What the database said.
        source: rusqlite::Error,
    },
    /// The file system refused.
    #[error("`{}` could not be {deed}", path.display())]
    File {
        /// The file.
        path: PathBuf,
        /// What was tried.
        deed: &'static str,
        /// What the system said.
        source: std::io::Error,
    },
    /// Anything else the database said.
    #[error("the database refused work on `{}`", path.display())]
    Sqlite {
        /// The file.
        path: PathBuf,
        /// What it said.
        source: rusqlite::Error,
    },
    /// A rule of a table is broken, or a row was to be changed.
    #[error("the daybook does not take this: {what}")]
    NotTaken {
        /// The rule, as the database names it.
        what: String,
    },
    /// A value no record may hold.
    #[error("record `{id}`: `{field}` is `{seen}`; accepted: {accepted}")]
    NotAccepted {
        /// The record's id.
        id: String,
        field: &'static str,
        seen: String,
        accepted: &'static str,
    },
    /// The id is in the book with another content.
    #[error(
        "`{id}` is in the book as record {seq} with `{field}` = `{kept}`, but now comes with `{asked}`; accepted: the same content, or another id"
    )]
    Conflict {
        id: String,
        /// The record that has it.
        seq: i64,
        /// The first field that differs.
        field: String,
        /// Its value in the book.
        kept: String,
        asked: String,
    },
    /// A closed month stays as it was handed out.
    #[error(
        "record `r{seq}` closed a month and can't be struck; accepted: another version with `month --close --why`"
    )]
    ClosedStays {
        /// The record.
        seq: i64,
    },
    /// Another version was closed meanwhile.
    #[error("version {seen} of {month} is out of turn; accepted: version {next}")]
    VersionOutOfTurn {
        month: String,
        /// The version asked for.
        seen: i64,
        next: i64,
    },
    #[error("there is no record `r{seq}`")]
    NoSuchRecord { seq: i64 },
    /// A record that is no ticket.
    #[error("record `r{seq}` is no ticket, so it has no lot")]
    NotALot {
        /// The record.
        seq: i64,
    },
    /// A record that is no sheet.
    #[error("record `r{seq}` is no sheet, so nothing can be fed by it")]
    NotASheet {
        /// The record.
        seq: i64,
    },
    /// A record that is no cohort.
    #[error("record `r{seq}` is no cohort, so nothing is harvested from it")]
    NotACohort {
        /// The record.
        seq: i64,
    },
    #[error("the cohort of record `r{seq}` is struck by record `r{by}`")]
    CohortStruck {
        /// The cohort.
        seq: i64,
        /// The strike.
        by: i64,
    },
    /// A cohort that harvests or money are booked to.
    #[error(
        "the cohort of record `r{seq}` can't be struck while these stand: {}",
        records(by)
    )]
    CohortInUse {
        /// The cohort.
        seq: i64,
        /// The records.
        by: Vec<i64>,
    },
    /// A lot that was turned away at the dock.
    #[error("the lot of record `r{seq}` was refused at the dock and never was in stock")]
    LotRefused {
        /// The lot's ticket.
        seq: i64,
    },
    #[error("the ticket of record `r{seq}` is struck by record `r{by}`, so it has no lot")]
    LotStruck {
        /// The lot's ticket.
        seq: i64,
        /// The strike.
        by: i64,
    },
    /// Weight leaving before it came.
    #[error(
        "record `{id}` happened at `{at}`, before the lot of record `r{lot_seq}` came in at `{came}`"
    )]
    BeforeLot {
        /// The new record.
        id: String,
        /// When it happened.
        at: Timestamp,
        /// The lot's ticket.
        lot_seq: i64,
        came: Timestamp,
    },
    /// A strike can't be struck.
    #[error(
        "record `r{seq}` is a strike, and a strike stands; accepted: a record of any other kind, or the voided thing entered anew"
    )]
    StrikeOfStrike {
        /// The strike.
        seq: i64,
    },
    /// Struck before.
    #[error("record `r{seq}` is struck already, by record `r{by}`")]
    AlreadyStruck {
        /// The record.
        seq: i64,
        /// Its strike.
        by: i64,
    },
    /// The only settings can't be struck.
    #[error("record `r{seq}` holds the farm's only settings; accepted: new settings first")]
    LastFarm {
        /// The settings' record.
        seq: i64,
    },
    /// Weight has left the lot.
    #[error(
        "weight has left the lot of record `r{seq}` by {}; accepted: these struck first",
        records(by)
    )]
    WeightLeft {
        /// The lot's ticket.
        seq: i64,
        /// The records by which it left.
        by: Vec<i64>,
    },
    /// An id of one record that reads as the number of another.
    #[error(
        "`{reference}` is the id of record `r{by_id}` and the number of record `r{by_number}`; accepted: `r{by_id}` or `r{by_number}`"
    )]
    Ambiguous {
        reference: String,
        by_id: i64,
        by_number: i64,
    },
    /// A seal as no sheet prints it.
    #[error(
        "`{seen}` is not a seal; accepted: a record number, a hyphen and the first 8 digits or more of its digest, such as `57-1a2b3c4d`"
    )]
    NotASeal { seen: String },
    /// What was written reads otherwise.
    #[error("record `{id}` reads back otherwise than it was written; nothing was kept")]
    ReadBack {
        /// The record's id.
        id: String,
    },
    /// A record broke off, and the caller went on.
    #[error("a record of this batch could not be written, so none was kept")]
    BrokenOff,
    /// A file of an older schema that was left as it was.
    #[error(
        "`{}` is of schema {found} and was left as it is, since no verified copy of it could be made first: {source}",
        path.display()
    )]
    NotBroughtUp {
        /// The file.
        path: PathBuf,
        /// Its schema.
        found: i64,
        /// Why there is no copy.
        source: Box<DaybookError>,
    },
    #[error("the copy `{}` is not whole and was removed: {what}", path.display())]
    CopyNotWhole {
        /// The copy.
        path: PathBuf,
        /// The first thing found.
        what: String,
    },
}

fn records(seqs: &[i64]) -> String {
    let named: Vec<String> = seqs.iter().map(|seq| format!("record `r{seq}`")).collect();
    named.join(", ")
}

/// A cell whose content has no meaning here.
#[derive(Debug, thiserror::Error)]
#[error("column `{column}` holds `{seen}`")]
pub(super) struct BadCell {
    pub(super) column: String,
    pub(super) seen: String,
}

/// A record without its row, or with rows too many or out of order.
#[derive(Debug, thiserror::Error)]
#[error("record {seq} has {what}")]
pub(super) struct BadRows {
    pub(super) seq: i64,
    pub(super) what: String,
}

impl BadRows {
    pub(super) fn as_sqlite(seq: i64, what: impl Into<String>) -> rusqlite::Error {
        let what = what.into();
        let error = Box::new(Self { seq, what });
        rusqlite::Error::FromSqlConversionFailure(0, rusqlite::types::Type::Null, error)
    }
}

/// A database error in words, without its talk of columns where the cause is ours.
pub(super) fn words(error: &rusqlite::Error) -> String {
    match error {
        rusqlite::Error::FromSqlConversionFailure(_, _, source) => source.to_string(),
        other => other.to_string(),
    }
}

impl DaybookError {
    /// What a database error means for the file at `path`.
    pub(super) fn from_sqlite(path: &Path, error: rusqlite::Error) -> Self {
        use rusqlite::Error as E;
        let path = path.to_owned();
        match error {
            E::FromSqlConversionFailure(..)
            | E::InvalidColumnType(..)
            | E::QueryReturnedNoRows
            | E::IntegralValueOutOfRange(..) => Self::Damaged {
                path,
                what: words(&error),
            },
            _ => match error.sqlite_error_code() {
                Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Self::Locked { path },
                Some(ErrorCode::ConstraintViolation) => Self::NotTaken {
                    what: error.to_string(),
                },
                Some(ErrorCode::DiskFull) => Self::DiskFull { path },
                Some(ErrorCode::CannotOpen | ErrorCode::PermissionDenied) => Self::Shut {
                    path,
                    source: error,
                },
                Some(ErrorCode::ReadOnly) => Self::ReadOnly { path },
                Some(ErrorCode::NotADatabase | ErrorCode::DatabaseCorrupt) => Self::Damaged {
                    path,
                    what: error.to_string(),
                },
                _ => Self::Sqlite {
                    path,
                    source: error,
                },
            },
        }
    }
}
