use std::path::{Path, PathBuf};

use jiff::Timestamp;
use rusqlite::ErrorCode;

/// What the daybook answers.
pub type Result<T, E = DaybookError> = std::result::Result<T, E>;

/// Why the daybook could not be opened, read or written to.
#[derive(Debug, thiserror::Error)]
pub enum DaybookError {
    #[error("there is no daybook at `{}`", path.display())]
    Missing { path: PathBuf },
    #[error("`{}` is there already; accepted: the name of a file that is not there yet", path.display())]
    Exists { path: PathBuf },
    #[error("`{}` is not a daybook: {why}", path.display())]
    NotADaybook { path: PathBuf, why: &'static str },
    #[error("`{}` has schema {found}; accepted: schema {known} or older", path.display())]
    NewerSchema {
        path: PathBuf,
        found: i64,
        known: i64,
    },
    #[error("`{}` is in use by another program; nothing was written", path.display())]
    Locked { path: PathBuf },
    #[error("the disk holding `{}` is full; nothing was written", path.display())]
    DiskFull { path: PathBuf },
    #[error("`{}` can be read but not written to: file, folder or disk is read-only", path.display())]
    ReadOnly { path: PathBuf },
    /// A read-only place holds a book with pages not yet folded in.
    #[error("`{}` lies in a read-only place with unfolded pages in `{}` beside it; accepted: both copied to a folder that can be written to", path.display(), beside.display())]
    Unfolded { path: PathBuf, beside: PathBuf },
    #[error("`{}` is damaged: {what}", path.display())]
    Damaged { path: PathBuf, what: String },
    #[error("`{}` could not be opened; accepted: a file this user may read, in a folder with room", path.display())]
    Shut {
        path: PathBuf,
        source: rusqlite::Error,
    },
    #[error("`{}` could not be {deed}", path.display())]
    File {
        path: PathBuf,
        deed: &'static str,
        source: std::io::Error,
    },
    #[error("the database refused work on `{}`", path.display())]
    Sqlite {
        path: PathBuf,
        source: rusqlite::Error,
    },
    #[error("the daybook does not take this: {what}")]
    NotTaken { what: String },
    #[error("record `{id}`: `{field}` is `{seen}`; accepted: {accepted}")]
    NotAccepted {
        id: String,
        field: &'static str,
        seen: String,
        accepted: &'static str,
    },
    #[error(
        "`{id}` is in the book as record {seq} with `{field}` = `{kept}`, but now comes with `{asked}`; accepted: the same content, or another id"
    )]
    Conflict {
        id: String,
        seq: i64,
        field: String,
        kept: String,
        asked: String,
    },
    /// A closed month stays as it was handed out.
    #[error(
        "record `r{seq}` closed a month and can't be struck; accepted: another version with `month --close --why`"
    )]
    ClosedStays { seq: i64 },
    #[error("version {seen} of {month} is out of turn; accepted: version {next}")]
    VersionOutOfTurn { month: String, seen: i64, next: i64 },
    #[error("there is no record `r{seq}`")]
    NoSuchRecord { seq: i64 },
    #[error("record `r{seq}` is no ticket, so it has no lot")]
    NotALot { seq: i64 },
    #[error("record `r{seq}` is no sheet, so nothing can be fed by it")]
    NotASheet { seq: i64 },
    #[error("record `r{seq}` is no cohort, so nothing is harvested from it")]
    NotACohort { seq: i64 },
    #[error("the cohort of record `r{seq}` is struck by record `r{by}`")]
    CohortStruck { seq: i64, by: i64 },
    /// A cohort that harvests or money are booked to.
    #[error(
        "the cohort of record `r{seq}` can't be struck while these stand: {}",
        records(by)
    )]
    CohortInUse { seq: i64, by: Vec<i64> },
    #[error("the lot of record `r{seq}` was refused at the dock and never was in stock")]
    LotRefused { seq: i64 },
    #[error("the ticket of record `r{seq}` is struck by record `r{by}`, so it has no lot")]
    LotStruck { seq: i64, by: i64 },
    /// Weight leaving before it came.
    #[error(
        "record `{id}` happened at `{at}`, before the lot of record `r{lot_seq}` came in at `{came}`"
    )]
    BeforeLot {
        id: String,
        at: Timestamp,
        lot_seq: i64,
        came: Timestamp,
    },
    #[error(
        "record `r{seq}` is a strike, and a strike stands; accepted: a record of any other kind, or the voided thing entered anew"
    )]
    StrikeOfStrike { seq: i64 },
    #[error("record `r{seq}` is struck already, by record `r{by}`")]
    AlreadyStruck { seq: i64, by: i64 },
    #[error("record `r{seq}` holds the farm's only settings; accepted: new settings first")]
    LastFarm { seq: i64 },
    #[error(
        "weight has left the lot of record `r{seq}` by {}; accepted: these struck first",
        records(by)
    )]
    WeightLeft { seq: i64, by: Vec<i64> },
    /// An id of one record that reads as the number of another.
    #[error(
        "`{reference}` is the id of record `r{by_id}` and the number of record `r{by_number}`; accepted: `r{by_id}` or `r{by_number}`"
    )]
    Ambiguous {
        reference: String,
        by_id: i64,
        by_number: i64,
    },
    #[error(
        "`{seen}` is not a seal; accepted: a record number, a hyphen and the first 8 digits or more of its digest, such as `57-1a2b3c4d`"
    )]
    NotASeal { seen: String },
    #[error("record `{id}` reads back otherwise than it was written; nothing was kept")]
    ReadBack { id: String },
    /// A record broke off, and the caller went on.
    #[error("a record of this batch could not be written, so none was kept")]
    BrokenOff,
    /// A file of an older schema that was left as it was.
    #[error(
        "`{}` is of schema {found} and was left as it is, since no verified copy of it could be made first: {source}",
        path.display()
    )]
    NotBroughtUp {
        path: PathBuf,
        found: i64,
        source: Box<DaybookError>,
    },
    #[error("the copy `{}` is not whole and was removed: {what}", path.display())]
    CopyNotWhole { path: PathBuf, what: String },
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
