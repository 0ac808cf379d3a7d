use std::path::PathBuf;

use super::migrate;
use super::open::write_ahead;
use crate::daybook::{Book, Daybook, DaybookError, Result};

/// A file brought from an older schema to the newest.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BroughtUp {
    pub from: i64,
    pub to: i64,
    /// The verified copy of it as it was.
    pub copy: PathBuf,
}

impl Daybook {
    /// Makes the file ready for writing: one of an older schema is copied
    /// beside, the copy read back whole, and only then brought up.
    ///
    /// # Errors
    /// When it can only be read, no verified copy can be made, or it can't be
    /// written; it is then as it was.
    pub fn bring_up(&mut self) -> Result<()> {
        let book = &mut self.book;
        if book.read_only {
            let path = book.path.clone();
            return Err(DaybookError::ReadOnly { path });
        }
        let Some(old) = &book.old else {
            return Ok(());
        };
        let from = migrate::version(old).map_err(|error| book.fault(error))?;
        // Another program may have brought it up meanwhile.
        if from < migrate::KNOWN {
            let copy = book
                .keep_beside(from)
                .map_err(|error| DaybookError::NotBroughtUp {
                    path: book.path.clone(),
                    found: from,
                    source: Box::new(error),
                })?;
            write_ahead(old)
                .and_then(|()| migrate::bring_up(old))
                .map_err(|error| book.fault(error))?;
            let to = migrate::KNOWN;
            (self.tell)(&BroughtUp { from, to, copy });
        }
        if let Some(file) = book.old.take() {
            book.conn = file;
        }
        Ok(())
    }

    /// Has `tell` told when a first writing brings an older file up.
    pub fn when_brought_up(&mut self, tell: fn(&BroughtUp)) {
        self.tell = tell;
    }
}

impl Book {
    /// A verified copy under the first free name, such as `farm.schema-4.daybook`.
    fn keep_beside(&self, schema: i64) -> Result<PathBuf> {
        let mut nth = 1;
        loop {
            let count = if nth == 1 {
                String::new()
            } else {
                format!("-{nth}")
            };
            let mut name = self.path.file_stem().unwrap_or_default().to_owned();
            name.push(format!(".schema-{schema}{count}"));
            if let Some(ending) = self.path.extension() {
                name.push(".");
                name.push(ending);
            }
            let target = self.path.with_file_name(name);
            match self.keep(&target) {
                Err(DaybookError::Exists { .. }) if nth < 100 => nth += 1,
                kept => return kept.map(|_| target),
            }
        }
    }
}
