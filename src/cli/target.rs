//! Where a command may write a file: never over a daybook or what goes with it,
//! and over another file only where that is meant. What was not looked at here
//! can't be written.

use std::fs::OpenOptions;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use crate::daybook::{Unfinished, is_of_book, is_of_database, is_same_file};
use crate::words::{Said, say};

use super::ask::confirmed;
use super::error::CliError;
use super::setting::Setting;

/// Leave to write over files.
#[derive(clap::Args)]
pub(super) struct Over {
    /// Write over a file that is there already
    #[arg(long)]
    over: bool,
}

/// A place for a file that may be written.
pub(super) struct Target {
    named: PathBuf,
    /// Where the name leads.
    real: PathBuf,
    is: Is,
}

#[derive(PartialEq, Eq)]
enum Is {
    New,
    There,
    /// What takes bytes and keeps none: a pipe, a terminal.
    Stream,
}

impl Over {
    /// Looks at all files a command is to write, before anything is done.
    pub(super) fn targets<'a>(
        &self,
        setting: &Setting,
        named: impl IntoIterator<Item = &'a Path>,
    ) -> Result<Vec<Target>, CliError> {
        let mut targets: Vec<Target> = Vec::new();
        for path in named {
            let target = Target::looked_at(setting, path)?;
            if targets
                .iter()
                .any(|other| is_same_file(&other.real, &target.real))
            {
                let said = say!("target-twice", file = path.display());
                return Err(CliError::usage(said));
            }
            if target.is == Is::There && !self.over {
                target.leave(setting)?;
            }
            targets.push(target);
        }
        Ok(targets)
    }
}

impl Target {
    fn looked_at(setting: &Setting, path: &Path) -> Result<Self, CliError> {
        refuse_kept(setting, path)?;
        let no_file = || {
            let said = say!("not-a-file-name", name = path.display());
            CliError::usage(said)
        };
        let is = match path.metadata() {
            Ok(entry) if entry.is_file() => Is::There,
            Ok(entry) if is_stream(&entry) => Is::Stream,
            Ok(_) => return Err(no_file()),
            // A link that leads nowhere is there, but is no name for a new file.
            Err(_) if path.symlink_metadata().is_ok() || path.file_name().is_none() => {
                return Err(no_file());
            }
            Err(_) => Is::New,
        };
        let real = path.canonicalize().unwrap_or_else(|_| path.to_owned());
        Ok(Self {
            named: path.to_owned(),
            real,
            is,
        })
    }

    fn leave(&self, setting: &Setting) -> Result<(), CliError> {
        let there = say!("target-there", file = self.named.display());
        if !setting.may_ask() {
            let hint = say!("target-over");
            return Err(CliError::refused(there).with_hint(hint));
        }
        if confirmed(&say!("target-ask", there))? {
            return Ok(());
        }
        Err(CliError::refused(say!(
            "target-left",
            file = self.named.display()
        )))
    }

    pub(super) fn named(&self) -> &Path {
        &self.named
    }

    /// Writes the file whole or not at all: beside it first, then in its place.
    pub(super) fn write(&self, bytes: &[u8]) -> Result<(), CliError> {
        self.told(self.put(bytes, false))
    }

    /// The same of what nobody else may read.
    pub(super) fn write_private(&self, bytes: &[u8]) -> Result<(), CliError> {
        self.told(self.put(bytes, true))
    }

    fn told(&self, put: io::Result<()>) -> Result<(), CliError> {
        put.map_err(|error| {
            let name = self.named.display();
            CliError::refused(say!("not-written", name = name, error = error))
        })
    }

    fn put(&self, bytes: &[u8], private: bool) -> io::Result<()> {
        if self.is == Is::Stream {
            let mut stream = OpenOptions::new().write(true).open(&self.real)?;
            return stream.write_all(bytes);
        }
        let whole = Unfinished::claimed(&self.real)?;
        if private {
            whole.keep_private()?;
        }
        whole.fill(bytes)?;
        match self.is {
            Is::New => whole.place_new(),
            _ => whole.replace(),
        }
    }
}

#[cfg(unix)]
fn is_stream(entry: &std::fs::Metadata) -> bool {
    use std::os::unix::fs::FileTypeExt;
    let kind = entry.file_type();
    kind.is_fifo() || kind.is_char_device()
}

#[cfg(not(unix))]
fn is_stream(_: &std::fs::Metadata) -> bool {
    false
}

/// Refuses the book and all that is kept.
fn refuse_kept(setting: &Setting, path: &Path) -> Result<(), CliError> {
    let of_book = is_of_book(&setting.daybook, path);
    let said = of_book.then(|| say!("target-book", file = path.display()));
    (said.or_else(|| kept(setting, path))).map_or(Ok(()), |said| Err(CliError::refused(said)))
}

/// The same of a book to be made; one that is there its maker refuses.
pub(super) fn refuse_new(setting: &Setting, path: &Path) -> Result<(), CliError> {
    match kept(setting, path) {
        Some(said) if path.symlink_metadata().is_err() => Err(CliError::refused(said)),
        _ => Ok(()),
    }
}

/// Why nothing is written there: it is a database or goes with one, or a table
/// of the farm's is read from there.
fn kept(setting: &Setting, path: &Path) -> Option<Said> {
    if is_of_database(path) {
        return Some(say!("target-book", file = path.display()));
    }
    let tables = setting.table_names();
    let is_table = tables.iter().any(|table| is_same_file(table, path));
    is_table.then(|| say!("target-table", file = path.display()))
}
