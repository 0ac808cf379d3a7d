use std::path::{Path, PathBuf};

use jiff::Timestamp;
use rusqlite::ErrorCode;

use super::store::kin::{BESIDE, suffixed};
use crate::words::{Said, say};

/// What the daybook answers.
pub type Result<T, E = DaybookError> = std::result::Result<T, E>;

/// Why the daybook could not be opened, read or written to.
#[derive(Debug, thiserror::Error)]
#[error("{}", self.said().in_english())]
pub enum DaybookError {
    Missing {
        path: PathBuf,
    },
    Exists {
        path: PathBuf,
    },
    NotADaybook {
        path: PathBuf,
        why: Said,
    },
    NewerSchema {
        path: PathBuf,
        found: i64,
        known: i64,
    },
    Locked {
        path: PathBuf,
    },
    DiskFull {
        path: PathBuf,
    },
    ReadOnly {
        path: PathBuf,
    },
    /// A read-only place holds a book with pages not yet folded in.
    Unfolded {
        path: PathBuf,
        beside: PathBuf,
    },
    /// Whoever has it open could go on writing where nobody will ever read.
    Moved {
        path: PathBuf,
    },
    Damaged {
        path: PathBuf,
        what: String,
    },
    Shut {
        path: PathBuf,
        source: rusqlite::Error,
    },
    File {
        path: PathBuf,
        deed: &'static str,
        source: std::io::Error,
    },
    Sqlite {
        path: PathBuf,
        source: rusqlite::Error,
    },
    NotTaken {
        what: Said,
    },
    NotAccepted {
        id: String,
        field: &'static str,
        seen: String,
        accepted: Said,
    },
    Conflict {
        id: String,
        seq: i64,
        field: String,
        kept: String,
        asked: String,
    },
    /// A closed month stays as it was handed out.
    ClosedStays {
        seq: i64,
    },
    VersionOutOfTurn {
        month: String,
        seen: i64,
        next: i64,
    },
    NoSuchRecord {
        seq: i64,
    },
    NotALot {
        seq: i64,
    },
    NotASheet {
        seq: i64,
    },
    NotACohort {
        seq: i64,
    },
    CohortStruck {
        seq: i64,
        by: i64,
    },
    /// A stream of the farm's own that loads are of.
    StreamInUse {
        seq: i64,
        by: Vec<i64>,
    },
    /// A cohort that harvests or money are booked to.
    CohortInUse {
        seq: i64,
        by: Vec<i64>,
    },
    LotRefused {
        seq: i64,
    },
    LotStruck {
        seq: i64,
        by: i64,
    },
    /// Weight leaving before it came.
    BeforeLot {
        id: String,
        at: Timestamp,
        lot_seq: i64,
        came: Timestamp,
    },
    StrikeOfStrike {
        seq: i64,
    },
    AlreadyStruck {
        seq: i64,
        by: i64,
    },
    LastFarm {
        seq: i64,
    },
    WeightLeft {
        seq: i64,
        by: Vec<i64>,
    },
    /// An id of one record that reads as the number of another.
    Ambiguous {
        reference: String,
        by_id: i64,
        by_number: i64,
    },
    NotASeal {
        seen: String,
    },
    ReadBack {
        id: String,
    },
    /// A record broke off, and the caller went on.
    BrokenOff,
    /// A file of an older schema that was left as it was.
    NotBroughtUp {
        path: PathBuf,
        found: i64,
        source: Box<DaybookError>,
    },
    /// What says it was changed must not leave the farm as a paper.
    NotWhole {
        path: PathBuf,
        flaws: usize,
        first: Said,
    },
    CopyNotWhole {
        path: PathBuf,
        what: Said,
    },
    /// A damaged file of which no record is whole.
    NothingLeft {
        path: PathBuf,
    },
    /// A damaged file that holds records, and no settings of the farm's.
    SettingsLost {
        path: PathBuf,
    },
}

fn records(seqs: &[i64]) -> String {
    let named: Vec<String> = seqs.iter().map(|seq| format!("`r{seq}`")).collect();
    named.join(", ")
}

impl DaybookError {
    pub fn said(&self) -> Said {
        let of = |path: &Path| path.display().to_string();
        match self {
            Self::Missing { path } => say!("book-missing", path = of(path)),
            Self::Exists { path } => say!("book-exists", path = of(path)),
            Self::NotADaybook { path, why } => say!("book-not-one", path = of(path), why),
            Self::NewerSchema { path, found, known } => {
                say!("book-newer", path = of(path), found, known)
            }
            Self::Locked { path } => say!("book-locked", path = of(path)),
            Self::DiskFull { path } => say!("book-disk-full", path = of(path)),
            Self::ReadOnly { path } => say!("book-read-only", path = of(path)),
            Self::Unfolded { path, beside } => {
                say!("book-unfolded", path = of(path), beside = of(beside))
            }
            Self::Moved { path } => say!("book-moved", path = of(path)),
            Self::NotWhole { path, flaws, first } => {
                say!("book-not-whole", path = of(path), flaws, first)
            }
            Self::Damaged { path, what } => say!("book-damaged", path = of(path), what),
            Self::Shut { path, .. } => say!("book-shut", path = of(path)),
            Self::File { path, deed, .. } => say!("book-file", path = of(path), deed),
            Self::Sqlite { path, .. } => say!("book-work-refused", path = of(path)),
            Self::NotTaken { what } => say!("book-not-taken", what),
            Self::NotAccepted {
                id,
                field,
                seen,
                accepted,
            } => say!("record-not-accepted", id, field, seen, accepted),
            Self::Conflict {
                id,
                seq,
                field,
                kept,
                asked,
            } => say!("record-conflict", id, seq, field, kept, asked),
            Self::ClosedStays { seq } => say!("record-closed-stays", seq),
            Self::VersionOutOfTurn { month, seen, next } => {
                say!("record-version-out-of-turn", month, seen, next)
            }
            Self::NoSuchRecord { seq } => say!("record-none", seq),
            Self::NotALot { seq } => say!("record-not-a-lot", seq),
            Self::NotASheet { seq } => say!("record-not-a-sheet", seq),
            Self::NotACohort { seq } => say!("record-not-a-cohort", seq),
            Self::CohortStruck { seq, by } => say!("record-cohort-struck", seq, by),
            Self::StreamInUse { seq, by } => say!("record-stream-in-use", seq, by = records(by)),
            Self::CohortInUse { seq, by } => say!("record-cohort-in-use", seq, by = records(by)),
            Self::LotRefused { seq } => say!("record-lot-refused", seq),
            Self::LotStruck { seq, by } => say!("record-lot-struck", seq, by),
            Self::BeforeLot {
                id,
                at,
                lot_seq,
                came,
            } => say!("record-before-lot", id, at, lot_seq, came),
            Self::StrikeOfStrike { seq } => say!("record-strike-stands", seq),
            Self::AlreadyStruck { seq, by } => say!("record-struck-already", seq, by),
            Self::LastFarm { seq } => say!("record-last-farm", seq),
            Self::WeightLeft { seq, by } => say!("record-weight-left", seq, by = records(by)),
            Self::Ambiguous {
                reference,
                by_id,
                by_number,
            } => say!("record-ambiguous", reference, by_id, by_number),
            Self::NotASeal { seen } => say!("record-not-a-seal", seen),
            Self::ReadBack { id } => say!("record-read-back", id),
            Self::BrokenOff => say!("book-broken-off"),
            Self::NotBroughtUp {
                path,
                found,
                source,
            } => {
                let why = source.said();
                say!("book-not-brought-up", path = of(path), found, why)
            }
            Self::CopyNotWhole { path, what } => say!("book-copy-not-whole", path = of(path), what),
            Self::NothingLeft { path } => say!("book-nothing-left", path = of(path)),
            Self::SettingsLost { path } => say!("book-settings-lost", path = of(path)),
        }
    }
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
                    what: rule_broken(&error),
                },
                Some(ErrorCode::DiskFull) => Self::DiskFull { path },
                Some(ErrorCode::CannotOpen | ErrorCode::PermissionDenied) => Self::Shut {
                    path,
                    source: error,
                },
                Some(ErrorCode::ReadOnly) => Self::ReadOnly {
                    path: shut_beside(&path).unwrap_or(path),
                },
                Some(ErrorCode::NotADatabase | ErrorCode::DatabaseCorrupt) => Self::Damaged {
                    path,
                    what: error.to_string(),
                },
                _ => Self::Sqlite {
                    path,
                    source: without_sql(error),
                },
            },
        }
    }
}

/// The file beside the book that keeps it from being written to, where it is not the book.
fn shut_beside(book: &Path) -> Option<PathBuf> {
    let shut = |path: &Path| {
        let entry = path.metadata();
        entry.is_ok_and(|entry| entry.permissions().readonly())
    };
    let mut beside = BESIDE.map(|ending| suffixed(book, ending)).into_iter();
    beside.find(|path| !shut(book) && shut(path))
}

/// What SQLite says of a rule it was given, without the rule's own text.
fn rule_broken(error: &rusqlite::Error) -> Said {
    let said = error.to_string();
    let rule = said.split(" constraint failed").next().unwrap_or_default();
    match rule {
        "CHECK" | "UNIQUE" | "NOT NULL" | "FOREIGN KEY" => {
            say!("book-rule-broken", rule = rule.replace(' ', "-"))
        }
        _ => said.into(),
    }
}

/// The error without the statement it arose in: that is nothing people can act on.
fn without_sql(error: rusqlite::Error) -> rusqlite::Error {
    match error {
        rusqlite::Error::SqlInputError { error, msg, .. } => {
            rusqlite::Error::SqliteFailure(error, Some(msg))
        }
        other => other,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn people_see_no_sql() {
        let conn = rusqlite::Connection::open_in_memory().expect("opens");
        conn.execute_batch("CREATE TABLE t (a NOT NULL UNIQUE CHECK (length(a) = 20))")
            .expect("made");
        for sql in [
            "INSERT INTO t VALUES ('short')",
            "INSERT INTO t VALUES (NULL)",
            "SELECT b FROM t",
            "SELECT a FROM nothing",
        ] {
            let error = conn.execute_batch(sql).expect_err(sql);
            let error = DaybookError::from_sqlite(Path::new("farm.daybook"), error);
            let cause = std::error::Error::source(&error).map(ToString::to_string);
            let told = format!("{error} {cause:?}");
            for sql in ["length", "SELECT", "INSERT", "offset"] {
                assert!(!told.contains(sql), "{told}");
            }
        }
    }

    #[test]
    fn what_keeps_a_book_from_being_written_to_is_named() {
        let folder = tempfile::tempdir().expect("a folder");
        let book = folder.path().join("farm.daybook");
        let beside = suffixed(&book, "-shm");
        for path in [&book, &beside] {
            std::fs::write(path, "pages").expect("a file");
        }
        let mut shut = std::fs::metadata(&beside).expect("a file").permissions();
        shut.set_readonly(true);
        std::fs::set_permissions(&beside, shut).expect("shut");
        let read_only = rusqlite::ffi::Error::new(rusqlite::ffi::SQLITE_READONLY);
        let error = rusqlite::Error::SqliteFailure(read_only, None);
        let told = DaybookError::from_sqlite(&book, error).to_string();
        assert!(
            told.contains("farm.daybook-shm` can be read but not"),
            "{told}"
        );
    }
}
