use std::fs::{self, File, OpenOptions};
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use crate::daybook::{DaybookError, Result};

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
        let name = target.file_name().ok_or_else(|| {
            let why = io::Error::new(ErrorKind::InvalidInput, "the path names no file");
            refused(target, "made", why)
        })?;
        for attempt in 0..100 {
            let mut part = std::ffi::OsString::from(".");
            part.push(name);
            part.push(format!(".{attempt}.part"));
            let temp = target.with_file_name(part);
            match OpenOptions::new().write(true).create_new(true).open(&temp) {
                Ok(_) => {
                    return Ok(Self {
                        temp,
                        target: target.to_owned(),
                    });
                }
                Err(error) if error.kind() == ErrorKind::AlreadyExists => {}
                Err(error) => return Err(refused(target, "made", error)),
            }
        }
        let why = io::Error::new(ErrorKind::AlreadyExists, "100 `.part` files beside it");
        Err(refused(target, "made", why))
    }

    /// Where to make it.
    pub(in crate::daybook) fn path(&self) -> &Path {
        &self.temp
    }

    /// Puts the finished and closed file in its place, never over another.
    pub(in crate::daybook) fn place(self) -> Result<()> {
        let fault = |error| refused(&self.target, "placed", error);
        File::open(&self.temp)
            .and_then(|file| file.sync_all())
            .map_err(fault)?;
        // A link fails where a name is taken; a rename would replace it.
        match fs::hard_link(&self.temp, &self.target) {
            Ok(()) => {}
            Err(error) if error.kind() == ErrorKind::AlreadyExists => {
                return Err(DaybookError::Exists {
                    path: self.target.clone(),
                });
            }
            // Sticks formatted without links are common.
            Err(_) if self.target.symlink_metadata().is_err() => {
                fs::rename(&self.temp, &self.target).map_err(fault)?;
            }
            Err(error) => return Err(fault(error)),
        }
        sync_folder(&self.target);
        Ok(())
    }
}

impl Drop for Unfinished {
    fn drop(&mut self) {
        for ending in ["", "-wal", "-shm", "-journal"] {
            let mut name = self.temp.clone().into_os_string();
            name.push(ending);
            // What is gone already needs no removing.
            let _ = fs::remove_file(PathBuf::from(name));
        }
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
