use std::fs::{self, Metadata};
use std::io::{self, Read};
use std::path::{Path, PathBuf};

/// What SQLite keeps beside a book, by the ending of its name.
pub(crate) const BESIDE: [&str; 3] = ["-wal", "-shm", "-journal"];

/// What tells a file from another of the same name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Identity(u64, u64);

#[cfg(unix)]
pub(super) fn identity(entry: &Metadata) -> Identity {
    use std::os::unix::fs::MetadataExt;
    Identity(entry.dev(), entry.ino())
}

/// Elsewhere an open file can't be removed or replaced, so that it is there says enough.
#[cfg(not(unix))]
pub(super) fn identity(_: &Metadata) -> Identity {
    Identity(0, 0)
}

pub(crate) fn suffixed(path: &Path, ending: &str) -> PathBuf {
    let mut name = path.to_owned().into_os_string();
    name.push(ending);
    PathBuf::from(name)
}

/// Whether a path leads to this book or to a file that goes with it, there or not.
pub(crate) fn is_of_book(book: &Path, path: &Path) -> bool {
    let real = book.canonicalize();
    let books = [Some(book), real.as_deref().ok()];
    let mut kin = (books.into_iter().flatten())
        .flat_map(|book| BESIDE.iter().chain(&[""]).map(|end| suffixed(book, end)));
    kin.any(|one| is_same_file(&one, path))
}

/// Whether a path leads to some database, or to a file that goes with one.
pub(crate) fn is_of_database(path: &Path) -> bool {
    let name = path.to_string_lossy();
    let of = BESIDE.iter().filter_map(|end| name.strip_suffix(end));
    is_database(path) || of.map(Path::new).any(is_database)
}

fn is_database(path: &Path) -> bool {
    const MARK: &[u8; 16] = b"SQLite format 3\0";
    let mut head = [0; MARK.len()];
    path.is_file()
        && fs::File::open(path).is_ok_and(|mut file| file.read_exact(&mut head).is_ok())
        && &head == MARK
}

/// Whether two paths lead to one file; where neither is there, to one name.
pub(crate) fn is_same_file(one: &Path, other: &Path) -> bool {
    let both = (one.metadata(), other.metadata());
    if let (Ok(one), Ok(other)) = both
        && cfg!(unix)
    {
        return identity(&one) == identity(&other);
    }
    match (resolved(one), resolved(other)) {
        // Some disks take names that differ in case for one.
        (Some(one), Some(other)) => one.to_lowercase() == other.to_lowercase(),
        _ => false,
    }
}

fn resolved(path: &Path) -> Option<String> {
    let whole = path.canonicalize().or_else(|_| {
        let folder = match path.parent() {
            Some(folder) if !folder.as_os_str().is_empty() => folder,
            _ => Path::new("."),
        };
        let name = path.file_name().ok_or(io::ErrorKind::InvalidInput)?;
        folder.canonicalize().map(|folder| folder.join(name))
    });
    Some(whole.ok()?.to_string_lossy().into_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_goes_with_a_book_is_known_by_every_path() {
        let folder = tempfile::tempdir().expect("a folder");
        let book = folder.path().join("farm.daybook");
        fs::write(&book, b"SQLite format 3\0 and more").expect("a file");
        fs::create_dir(folder.path().join("sub")).expect("a folder");
        for name in [
            "farm.daybook",
            "sub/../farm.daybook",
            "farm.daybook-wal",
            "Farm.daybook-SHM",
        ] {
            let path = folder.path().join(name);
            let known = is_of_book(&book, &path);
            assert!(known || cfg!(unix) && name.starts_with('F'), "{name}");
        }
        assert!(!is_of_book(&book, &folder.path().join("month.html")));
        assert!(is_of_database(&folder.path().join("farm.daybook-journal")));
        assert!(!is_of_database(
            &folder.path().join("other.daybook-journal")
        ));
    }
}
