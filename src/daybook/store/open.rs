use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use std::time::Duration;

use jiff::Timestamp;
use rusqlite::backup::Backup;
use rusqlite::config::DbConfig;
use rusqlite::{Connection, ErrorCode, OpenFlags};

use super::fresh::{Unfinished, refused};
use super::kin::suffixed;
use super::migrate;
use super::place::Place;
use crate::daybook::{Book, Daybook, DaybookError, Entry, NewRecord, Result};
use crate::words::say;

/// How long to wait for another program to finish.
pub(crate) const PATIENCE: Duration = Duration::from_secs(5);

/// Statements kept prepared: more than the book has.
const STATEMENTS: usize = 128;

/// Waiting time and caution for files of unknown origin, such as a copy
/// brought on a stick. FULL: a weighing that was confirmed survives a power cut.
const SETTINGS: &str = "
    PRAGMA trusted_schema = OFF;
    PRAGMA cell_size_check = ON;
    PRAGMA mmap_size = 0;
    PRAGMA foreign_keys = ON;
    PRAGMA synchronous = FULL;
    PRAGMA cache_size = -32000;
    PRAGMA temp_store = MEMORY;
";

impl Daybook {
    /// Makes a new daybook whose first record is the farm's settings. The file
    /// appears whole or not at all.
    ///
    /// # Errors
    /// When a file is there already, the first record holds no settings, or
    /// disk or folder refuse.
    pub fn create(path: &Path, farm: &NewRecord, now: Timestamp) -> Result<Self> {
        if !matches!(farm.entry, Entry::Farm(_)) {
            return Err(DaybookError::NotAccepted {
                id: farm.id.clone(),
                field: "kind",
                seen: farm.entry.kind().to_owned(),
                accepted: say!("accepted-farm-first"),
            });
        }
        make(path, |daybook| {
            daybook.append(std::slice::from_ref(farm), now).map(drop)
        })?;
        Self::open(path)
    }

    /// Opens a daybook, for reading only where the place allows no more.
    pub fn open(path: &Path) -> Result<Self> {
        Self::open_waiting(path, PATIENCE)
    }

    /// Opens it and waits at most `wait` for other programs, now and later.
    pub(in crate::daybook) fn open_waiting(path: &Path, wait: Duration) -> Result<Self> {
        Self::open_as(path, path, wait)
    }

    /// Opens `file` and speaks of it as `path`, where it is about to go.
    pub(in crate::daybook) fn open_as(file: &Path, path: &Path, wait: Duration) -> Result<Self> {
        looks_possible(file)?;
        let fault = |error| not_a_daybook_or(path, error);
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let tried = || {
            let conn = connect(file, flags, wait)?;
            let mark = application_id(&conn)?;
            Ok((conn, mark))
        };
        let ((conn, mark), still) = if is_closed_off(file) {
            (open_still(file, wait)?, true)
        } else {
            match tried() {
                Ok(reached) => (reached, false),
                Err(error) if is_shut(&error) => (open_still(file, wait)?, true),
                Err(error) => return Err(fault(error)),
            }
        };
        if mark != migrate::APPLICATION_ID {
            return Err(DaybookError::NotADaybook {
                path: path.to_owned(),
                why: say!("no-book-other-program"),
            });
        }
        let read_only = still || conn.is_readonly("main").map_err(fault)?;
        Self::of(conn, file, path, read_only)?.readable()
    }

    fn of(conn: Connection, file: &Path, path: &Path, read_only: bool) -> Result<Self> {
        conn.set_prepared_statement_cache_capacity(STATEMENTS);
        let place = Place::of(file).map_err(|error| refused(path, "looked-at", error))?;
        Ok(Self {
            book: Book {
                conn,
                path: path.to_owned(),
                place: place.into(),
                read_only,
                old: None,
            },
            tell: |_| (),
        })
    }

    /// Reads are written for the newest schema only: of an older file they
    /// see a copy brought up.
    fn readable(mut self) -> Result<Self> {
        let found = migrate::version(&self.book.conn).map_err(|error| self.fault(error))?;
        if found > migrate::KNOWN {
            return Err(DaybookError::NewerSchema {
                path: self.book.path.clone(),
                found,
                known: migrate::KNOWN,
            });
        }
        if found < migrate::KNOWN {
            let raised = raised(&self.book.conn).map_err(|error| self.fault(error))?;
            self.book.old = Some(std::mem::replace(&mut self.book.conn, raised));
        } else if !self.book.read_only {
            write_ahead(&self.book.conn).map_err(|error| self.fault(error))?;
        }
        Ok(self)
    }

    /// Folds the pages beside the file into it, as far as nobody reads them.
    /// They stay there as well, so nothing depends on it.
    pub fn fold_in(&self) {
        if self.held().is_ok() {
            let fold = "PRAGMA wal_checkpoint(PASSIVE)";
            let _later = self.file().query_row(fold, [], |_| Ok(()));
        }
    }

    /// Closes the file and folds the pages beside it into it, as far as there
    /// is room; what is not folded in stays beside it and is not lost.
    pub fn close(self) -> Result<()> {
        let Book {
            conn, path, old, ..
        } = self.book;
        old.unwrap_or(conn)
            .close()
            .map_err(|(_, error)| DaybookError::from_sqlite(&path, error))
    }
}

/// Makes a new file, lets `fill` write into it, and puts it in its place once
/// it reads back as it was written.
pub(super) fn make<T>(path: &Path, fill: impl FnOnce(&mut Daybook) -> Result<T>) -> Result<T> {
    let unfinished = Unfinished::beside(path)?;
    let fault = |error| DaybookError::from_sqlite(path, error);
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let conn = connect(unfinished.path(), flags, PATIENCE).map_err(fault)?;
    migrate::bring_up(&conn).map_err(fault)?;
    let mut daybook = Daybook::of(conn, unfinished.path(), path, false)?;
    let filled = fill(&mut daybook)?;
    let seal = daybook.seal()?;
    // Only now: with pages beside it, closing could leave a part there
    // without a word when the disk is full.
    write_ahead(&daybook.conn).map_err(fault)?;
    daybook.close()?;
    let made = Daybook::open_as(unfinished.path(), path, PATIENCE)?;
    if made.seal()? != seal {
        return Err(DaybookError::BrokenOff);
    }
    made.close()?;
    unfinished.place()?;
    Ok(filled)
}

/// Judges by the directory entry alone: opening the file here and closing it
/// again would drop the locks of another handle in this process.
pub(super) fn looks_possible(path: &Path) -> Result<()> {
    let not_a_daybook = |why| DaybookError::NotADaybook {
        path: path.to_owned(),
        why,
    };
    match path.metadata() {
        Ok(entry) if entry.is_dir() => Err(not_a_daybook(say!("no-book-folder"))),
        Ok(entry) if entry.is_file() && entry.len() == 0 => {
            Err(not_a_daybook(say!("no-book-empty")))
        }
        Ok(_) => Ok(()),
        Err(error) if error.kind() == ErrorKind::NotFound => Err(DaybookError::Missing {
            path: path.to_owned(),
        }),
        Err(error) => Err(refused(path, "looked-at", error)),
    }
}

fn connect(path: &Path, flags: OpenFlags, wait: Duration) -> rusqlite::Result<Connection> {
    let conn = Connection::open_with_flags(path, flags)?;
    conn.busy_timeout(wait)?;
    conn.execute_batch(SETTINGS)?;
    // Else SQLite plans a statement anew for every value bound to it, which
    // costs more than running it.
    conn.set_db_config(DbConfig::SQLITE_DBCONFIG_ENABLE_QPSG, true)?;
    Ok(conn)
}

/// A copy in a place of its own that goes when it is closed, with the newest schema.
fn raised(conn: &Connection) -> rusqlite::Result<Connection> {
    let mut copy = Connection::open("")?;
    copy.execute_batch(SETTINGS)?;
    copy.set_prepared_statement_cache_capacity(STATEMENTS);
    Backup::new(conn, &mut copy)?.run_to_completion(i32::MAX, PATIENCE, None)?;
    migrate::bring_up(&copy)?;
    Ok(copy)
}

pub(crate) fn write_ahead(conn: &Connection) -> rusqlite::Result<()> {
    conn.pragma_update_and_check(None, "journal_mode", "wal", |_| Ok(()))
}

fn application_id(conn: &Connection) -> rusqlite::Result<i32> {
    conn.pragma_query_value(None, "application_id", |row| row.get(0))
}

fn not_a_daybook_or(path: &Path, error: rusqlite::Error) -> DaybookError {
    if error.sqlite_error_code() == Some(ErrorCode::NotADatabase) {
        return DaybookError::NotADaybook {
            path: path.to_owned(),
            why: say!("no-book-no-sqlite"),
        };
    }
    DaybookError::from_sqlite(path, error)
}

/// Whether nobody is to write to the file and nobody does. Opened as usual it
/// would leave a file beside it that can't be written to either, and that one
/// would stay when the book may be written to again.
fn is_closed_off(path: &Path) -> bool {
    let read_only = |entry: std::fs::Metadata| entry.permissions().readonly();
    path.metadata().is_ok_and(read_only) && !suffixed(path, "-wal").exists()
}

/// Whether the place may only lack the right to make the files beside the book.
fn is_shut(error: &rusqlite::Error) -> bool {
    let code = error.sqlite_error_code();
    matches!(code, Some(ErrorCode::CannotOpen | ErrorCode::ReadOnly))
}

/// Opens a book in a place where nothing can be written, as a still file.
/// Pages beside it that were not folded in would be missed, so they refuse.
fn open_still(path: &Path, wait: Duration) -> Result<(Connection, i32)> {
    let beside = suffixed(path, "-wal");
    if beside.metadata().is_ok_and(|entry| entry.len() > 0) {
        return Err(DaybookError::Unfolded {
            path: path.to_owned(),
            beside,
        });
    }
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY
        | OpenFlags::SQLITE_OPEN_URI
        | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let conn = connect(&still_uri(path)?, flags, wait);
    conn.and_then(|conn| {
        let mark = application_id(&conn)?;
        Ok((conn, mark))
    })
    .map_err(|error| not_a_daybook_or(path, error))
}

fn still_uri(path: &Path) -> Result<PathBuf> {
    let absolute = std::path::absolute(path).map_err(|error| refused(path, "opened", error))?;
    let mut uri = String::from("file:");
    for character in absolute.to_string_lossy().chars() {
        match character {
            '%' => uri.push_str("%25"),
            '?' => uri.push_str("%3f"),
            '#' => uri.push_str("%23"),
            other => uri.push(other),
        }
    }
    uri.push_str("?immutable=1");
    Ok(PathBuf::from(uri))
}

#[cfg(test)]
mod tests;
