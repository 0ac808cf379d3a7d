use std::io;
use std::path::{Path, PathBuf};
use std::sync::Mutex;

use super::kin::{Identity, identity, suffixed};
use crate::daybook::{DaybookError, Result};

/// Where an open book's file lies. A program that has it open can go on writing
/// into a file that was removed or replaced; nobody would ever read that again.
#[derive(Debug)]
pub(crate) struct Place {
    file: PathBuf,
    wal: PathBuf,
    seen: Mutex<Seen>,
}

#[derive(Debug)]
struct Seen {
    book: Identity,
    /// The pages beside it; none before the first look that found them.
    wal: Option<Identity>,
    longest: u64,
}

impl Place {
    pub(crate) fn of(file: &Path) -> io::Result<Self> {
        let entry = file.metadata()?;
        let real = file.canonicalize().unwrap_or_else(|_| file.to_owned());
        Ok(Self {
            file: file.to_owned(),
            wal: suffixed(&real, "-wal"),
            seen: Mutex::new(Seen {
                book: identity(&entry),
                wal: None,
                longest: entry.len(),
            }),
        })
    }

    /// Refuses, in the name of `path`, what is held no longer.
    pub(crate) fn held(&self, path: &Path) -> Result<()> {
        if self.is_held() {
            return Ok(());
        }
        Err(DaybookError::Moved {
            path: path.to_owned(),
        })
    }

    /// Whether the path still leads to the open file, with all it had, and the
    /// pages beside it are the ones written to.
    fn is_held(&self) -> bool {
        let Ok(entry) = self.file.metadata() else {
            return false;
        };
        let mut seen = (self.seen.lock()).unwrap_or_else(std::sync::PoisonError::into_inner);
        if identity(&entry) != seen.book || entry.len() < seen.longest {
            return false;
        }
        seen.longest = entry.len();
        let wal = self.wal.metadata().ok().map(|entry| identity(&entry));
        if seen.wal.is_none() {
            seen.wal = wal;
        }
        seen.wal == wal
    }
}
