use std::path::Path;

use rusqlite::backup::{Backup, StepResult};
use rusqlite::{Connection, OpenFlags};

use super::fresh::{Unfinished, refused};
use super::kin::suffixed;
use super::open;
use crate::daybook::{Book, Daybook, DaybookError, Result, Seal, SealMark};
use crate::words::{Said, say};

impl Book {
    /// Writes a verified copy to `target`: copied while others may go on
    /// writing, read again from start to end, then put in its place.
    ///
    /// # Errors
    /// When `target` is there already, the copy is not whole, or a disk
    /// refuses; nothing of the copy then stays behind.
    pub fn keep(&self, target: &Path) -> Result<Seal> {
        let unfinished = Unfinished::beside(target)?;
        self.copy_to(unfinished.path(), target)?;
        let seal = self.verified(unfinished.path(), target)?;
        unfinished.place()?;
        Ok(seal)
    }

    /// A verified copy as bytes, to be kept elsewhere; none stays beside the book.
    pub fn kept_bytes(&self) -> Result<(Seal, Vec<u8>)> {
        let unfinished = Unfinished::beside(&suffixed(&self.path, ".copy"))?;
        self.copy_to(unfinished.path(), &self.path)?;
        let seal = self.verified(unfinished.path(), &self.path)?;
        let bytes = std::fs::read(unfinished.path());
        let bytes = bytes.map_err(|error| refused(&self.path, "opened", error))?;
        Ok((seal, bytes))
    }

    fn copy_to(&self, temp: &Path, target: &Path) -> Result<()> {
        let at_target = |error| DaybookError::from_sqlite(target, error);
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let mut copy = Connection::open_with_flags(temp, flags).map_err(at_target)?;
        let backup = Backup::new(self.file(), &mut copy).map_err(at_target)?;
        // All pages in one step: one moment of the book, as writers go on.
        match backup.step(-1).map_err(at_target)? {
            StepResult::Done => {}
            _ => {
                return Err(DaybookError::Locked {
                    path: self.path.clone(),
                });
            }
        }
        drop(backup);
        copy.close().map_err(|(_, error)| at_target(error))
    }

    fn verified(&self, temp: &Path, target: &Path) -> Result<Seal> {
        let not_whole = |what: Said| DaybookError::CopyNotWhole {
            path: target.to_owned(),
            what,
        };
        let copy = Daybook::open_as(temp, target, open::PATIENCE)
            .map_err(|error| not_whole(error.said()))?;
        let report = copy.check(None)?;
        copy.close()?;
        if let Some(flaw) = report.flaws.first() {
            return Err(not_whole(flaw.what.clone()));
        }
        // The book may have grown since; the copy's seal must still be in it.
        let mark = SealMark {
            seq: report.seal.seq,
            prefix: report.seal.digest.clone(),
        };
        if self.holds(&mark)? {
            Ok(report.seal)
        } else {
            Err(not_whole(say!("flaw-seal-not-there", mark)))
        }
    }

    fn holds(&self, mark: &SealMark) -> Result<bool> {
        let sql = "SELECT EXISTS (SELECT 1 FROM record WHERE seq = ?1 AND digest = ?2)";
        let held = self
            .file()
            .query_row(sql, (mark.seq, &mark.prefix), |row| row.get(0));
        held.map_err(|error| self.fault(error))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::daybook::fixture::*;

    /// What lies beside the book.
    fn beside(book: &Kept) -> Vec<String> {
        let mut names = names(book.folder.path());
        names.retain(|name| !name.starts_with("farm.daybook"));
        names
    }

    #[test]
    fn a_copy_is_verified_and_never_replaces_a_file() {
        let mut book = full_book();
        let target = book.folder.path().join("kept.daybook");
        let seal = book.keep(&target).expect("keeps");
        assert_eq!(Some(seal), book.seal().ok());
        book.add(&[ticket_record("a", now())]);
        let error = book.keep(&target).expect_err("is there");
        assert!(matches!(error, DaybookError::Exists { .. }));
        assert_eq!(beside(&book), ["kept.daybook"]);
        let copy = Daybook::open(&target).expect("opens");
        assert_eq!(copy.seal().expect("a seal").seq, 12);
    }

    #[test]
    fn a_copy_that_is_not_whole_leaves_nothing_behind() {
        let book = full_book();
        book.disarm();
        book.run("UPDATE ticket SET supplier = 'Another'");
        let error = book.keep(&book.folder.path().join("kept.daybook"));
        assert!(
            matches!(error, Err(DaybookError::CopyNotWhole { .. })),
            "{error:?}"
        );
        assert_eq!(beside(&book), [""; 0]);
    }
}
