use std::ffi::OsString;
use std::fs::{self, File, OpenOptions};
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};
use std::time::Duration;

use super::kin::{BESIDE, suffixed};
use crate::daybook::{DaybookError, Result};

/// Files of one target that may be in the making at once.
const PARTS_MOST: usize = 100;

/// A file being made beside its final place, so that it appears there whole
/// or not at all. Unless it is placed, nothing of it stays behind.
pub(crate) struct Unfinished {
    temp: PathBuf,
    target: PathBuf,
}

impl Unfinished {
    /// Claims a name in the target's folder; refuses a target that is there.
    pub(in crate::daybook) fn beside(target: &Path) -> Result<Self> {
        if target.symlink_metadata().is_ok() {
            return Err(DaybookError::Exists {
                path: target.to_owned(),
            });
        }
        Self::claimed(target).map_err(|error| refused(target, "made", error))
    }

    /// Claims a name in the target's folder, and removes what programs that
    /// were killed left there of the same target.
    pub(crate) fn claimed(target: &Path) -> io::Result<Self> {
        let name = target
            .file_name()
            .ok_or_else(|| io::Error::new(ErrorKind::InvalidInput, "the path names no file"))?;
        let parts = (0..PARTS_MOST).map(|attempt| {
            let mut part = OsString::from(".");
            part.push(name);
            part.push(format!(".{attempt}.part"));
            target.with_file_name(part)
        });
        let parts: Vec<PathBuf> = parts.collect();
        for temp in &parts {
            match OpenOptions::new().write(true).create_new(true).open(temp) {
                Ok(file) => {
                    remove_left_over(&parts, &file);
                    return Ok(Self {
                        temp: temp.clone(),
                        target: target.to_owned(),
                    });
                }
                Err(error) if error.kind() == ErrorKind::AlreadyExists => {}
                Err(error) => return Err(error),
            }
        }
        let why =
            format!("{PARTS_MOST} hidden files ending in `.part` beside it; they may be removed");
        Err(io::Error::new(ErrorKind::AlreadyExists, why))
    }

    /// Where to make it.
    pub(in crate::daybook) fn path(&self) -> &Path {
        &self.temp
    }

    /// Lets nobody but its owner read it, from before anything is in it.
    pub(crate) fn keep_private(&self) -> io::Result<()> {
        #[cfg(unix)]
        fs::set_permissions(
            &self.temp,
            std::os::unix::fs::PermissionsExt::from_mode(0o600),
        )?;
        Ok(())
    }

    /// Writes all of it at once.
    pub(crate) fn fill(&self, bytes: &[u8]) -> io::Result<()> {
        fs::write(&self.temp, bytes)
    }

    /// Puts the finished and closed file in its place, never over another.
    pub(in crate::daybook) fn place(self) -> Result<()> {
        let target = self.target.clone();
        self.place_new().map_err(|error| match error.kind() {
            ErrorKind::AlreadyExists => DaybookError::Exists { path: target },
            _ => refused(&target, "placed", error),
        })
    }

    /// As [`Self::place`], of any file.
    pub(crate) fn place_new(self) -> io::Result<()> {
        self.sync()?;
        // A link fails where a name is taken; a rename would replace it.
        match fs::hard_link(&self.temp, &self.target) {
            Ok(()) => {}
            Err(error) if error.kind() == ErrorKind::AlreadyExists => return Err(error),
            // Sticks formatted without links are common.
            Err(_) if self.target.symlink_metadata().is_err() => {
                fs::rename(&self.temp, &self.target)?;
            }
            Err(error) => return Err(error),
        }
        sync_folder(&self.target);
        Ok(())
    }

    /// Puts it in the place of another file.
    pub(crate) fn replace(self) -> io::Result<()> {
        self.sync()?;
        fs::rename(&self.temp, &self.target)?;
        sync_folder(&self.target);
        Ok(())
    }

    fn sync(&self) -> io::Result<()> {
        File::open(&self.temp)?.sync_all()
    }
}

/// Removes parts that nobody has written to for an hour, by the disk's own clock.
fn remove_left_over(parts: &[PathBuf], fresh: &File) {
    const LEFT_OVER: Duration = Duration::from_secs(3600);
    let changed = |entry: io::Result<fs::Metadata>| entry.and_then(|entry| entry.modified());
    let Ok(now) = changed(fresh.metadata()) else {
        return;
    };
    for part in parts {
        let then = changed(part.symlink_metadata());
        let idle = then.ok().and_then(|then| now.duration_since(then).ok());
        if idle.is_some_and(|idle| idle > LEFT_OVER) {
            remove_with_kin(part);
        }
    }
}

/// What is gone already needs no removing.
fn remove_with_kin(part: &Path) {
    for ending in BESIDE.iter().chain(&[""]) {
        let _ = fs::remove_file(suffixed(part, ending));
    }
}

impl Drop for Unfinished {
    fn drop(&mut self) {
        remove_with_kin(&self.temp);
    }
}

/// Makes the new name durable, where the system can.
fn sync_folder(target: &Path) {
    let folder = match target.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    // Some systems open no folders; the file itself is on the disk by now.
    let _ = File::open(folder).and_then(|folder| folder.sync_all());
}

/// What a refusal by the file system means for `path`.
pub(crate) fn refused(path: &Path, deed: &'static str, error: io::Error) -> DaybookError {
    let path = path.to_owned();
    match error.kind() {
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => DaybookError::DiskFull { path },
        ErrorKind::ReadOnlyFilesystem => DaybookError::ReadOnly { path },
        _ => DaybookError::File {
            path,
            deed,
            source: error,
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_killed_program_left_is_removed_and_what_is_being_made_is_not() {
        let folder = tempfile::tempdir().expect("a folder");
        let target = folder.path().join("kept.daybook");
        let left = |nth: u32, hours: u64| {
            let part = folder.path().join(format!(".kept.daybook.{nth}.part"));
            let file = File::create(&part).expect("a file");
            let then = file
                .metadata()
                .and_then(|entry| entry.modified())
                .expect("a time");
            (file.set_modified(then - Duration::from_secs(hours * 3600))).expect("set");
            part
        };
        let (old, busy) = (left(0, 2), left(1, 0));
        fs::write(suffixed(&old, "-journal"), "pages").expect("a file");
        let made = Unfinished::claimed(&target).expect("a name");
        assert!(!old.exists() && !suffixed(&old, "-journal").exists() && busy.exists());
        made.fill(b"whole")
            .and_then(|()| made.place_new())
            .expect("placed");
        assert_eq!(fs::read(&target).ok().as_deref(), Some(&b"whole"[..]));
        let again = Unfinished::claimed(&target).expect("a name").place_new();
        assert_eq!(
            again.map_err(|error| error.kind()),
            Err(ErrorKind::AlreadyExists)
        );
    }
}
