//! What can still be read of a damaged book, written into a new one. A record
//! goes over only where the chain proves its content: its own digest does, or
//! that of the record after it.

use std::collections::BTreeMap;
use std::fs::File;
use std::io::{self, Read, Seek, SeekFrom, Write};
use std::path::Path;

use jiff::Timestamp;
use rusqlite::{Connection, OpenFlags};

use super::check::placed;
use super::fresh::{Unfinished, refused};
use super::get::rows;
use super::kin::suffixed;
use super::write::Writing;
use super::{chain, get, migrate, open};
use crate::daybook::error::words;
use crate::daybook::{DaybookError, Entry, NewRecord, Record, Result, Seal};
use crate::words::{Said, say};

/// What became of a damaged book.
#[derive(Debug)]
pub struct Rescued {
    /// In the order of both books.
    pub kept: Vec<Carried>,
    pub lost: Vec<Lost>,
    /// Whether no settings were left and those given were written instead.
    pub settings_given: bool,
    /// The new book's last record.
    pub seal: Seal,
}

/// A record of the damaged book that stands in the new one.
#[derive(Debug)]
pub struct Carried {
    /// Its seal in the damaged book, as papers of that time bear it.
    pub old: Seal,
    pub seq: i64,
    /// What it was and is as a ticket.
    pub numbers: Option<(i64, i64)>,
}

/// Records of the damaged book that are not in the new one: one, or a run of
/// which nothing is left.
#[derive(Debug)]
pub struct Lost {
    pub first: i64,
    pub last: i64,
    /// What it is called, where that can be read.
    pub what: Option<Said>,
    pub why: Said,
    /// What can be read of it and is not proved.
    pub seen: Option<NewRecord>,
}

/// No record takes less room in a file, B.
const RECORD_LEAST: u64 = 100;

/// What every book's header says alike: where it was damaged, it is known.
const HEADER: [(u64, &[u8]); 3] = [
    (0, b"SQLite format 3\0\x10\x00\x02\x02\x00\x40\x20\x20"),
    (44, &[0, 0, 0, 4]),
    (52, &[0, 0, 0, 0, 0, 0, 0, 1]),
];

/// With this SQLite reads what there is of a file cut short or of its schema.
const SETTINGS: &str = "PRAGMA writable_schema = ON; PRAGMA trusted_schema = OFF;";

/// Writes what is whole of the book at `damaged`, which stays as it is, into a
/// new one at `target`; `settings` stand in where the farm's own are lost.
///
/// # Errors
/// When nothing of it is whole, settings are neither left nor given, `target`
/// is there already or a disk refuses; nothing then stays behind.
pub fn rescue(
    damaged: &Path,
    target: &Path,
    settings: Option<&NewRecord>,
    now: Timestamp,
) -> Result<Rescued> {
    open::looks_possible(damaged)?;
    open::make(target, |book| {
        let copy = copied(damaged, target)?;
        let old = Old::open(copy.path(), damaged)?;
        let mut rescued = book.write(now, |writing| -> Result<Rescued> {
            let mut over = Over::new(writing);
            old.each(|step| over.take(step))?;
            over.done(damaged, settings)
        })?;
        book.whole()?;
        rescued.seal = book.seal()?;
        Ok(rescued)
    })
}

/// A copy to read: SQLite may mend and fold in as it likes there.
fn copied(damaged: &Path, target: &Path) -> Result<Unfinished> {
    let copy = Unfinished::beside(&suffixed(target, ".read"))?;
    for beside in ["-wal", "-journal", ""] {
        let from = suffixed(damaged, beside);
        if beside.is_empty() || from.is_file() {
            let mut source = File::open(&from).map_err(|error| refused(&from, "opened", error))?;
            let length = (source.metadata()).map_err(|error| refused(&from, "looked-at", error))?;
            File::create(suffixed(copy.path(), beside))
                .and_then(|mut to| {
                    spelled_out(&mut source, length.len(), &mut to)?;
                    if beside.is_empty() {
                        for (at, bytes) in HEADER {
                            to.seek(SeekFrom::Start(at))?;
                            to.write_all(bytes)?;
                        }
                    }
                    Ok(())
                })
                .map_err(|error| refused(target, "made", error))?;
        }
    }
    Ok(copy)
}

/// Copies block by block; one that the disk does not give back is left empty.
fn spelled_out(from: &mut (impl Read + Seek), length: u64, to: &mut impl Write) -> io::Result<()> {
    let mut block = [0; 4096];
    for at in (0..length).step_by(block.len()) {
        let whole = usize::try_from(length - at).unwrap_or(usize::MAX);
        let part = &mut block[..whole.min(4096)];
        let read = from.seek(SeekFrom::Start(at));
        if read.and_then(|_| from.read_exact(part)).is_err() {
            part.fill(0);
        }
        to.write_all(part)?;
    }
    Ok(())
}

/// The damaged book.
struct Old {
    conn: Connection,
    /// The highest record number that any of its tables names.
    last: i64,
}

/// What reading in order came to.
enum Step {
    Whole(Box<Record>, Option<i64>),
    Lost(Box<Lost>),
}

impl Old {
    fn open(copy: &Path, named: &Path) -> Result<Self> {
        let fault = |error| DaybookError::from_sqlite(named, error);
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let conn = Connection::open_with_flags(copy, flags).map_err(fault)?;
        conn.execute_batch(SETTINGS).map_err(fault)?;
        // One that can't be brought up is read as it is.
        let _as_it_is = migrate::bring_up(&conn);
        let room = copy.metadata().map_or(0, |entry| entry.len()) / RECORD_LEAST;
        let last = |table: &str| {
            let sql = format!("SELECT MAX(seq) FROM {table} WHERE seq <= ?1");
            let last = rows::<Option<i64>>(&conn, &sql, [i64::try_from(room).unwrap_or(0)]);
            last.ok()?.pop().flatten()
        };
        let tables = placed().map(|(table, _)| table);
        let tables = tables.chain(["record".to_owned()]);
        let last = tables.filter_map(|table| last(&table)).max().unwrap_or(0);
        Ok(Self { conn, last })
    }

    /// Hands on every record of which it is now known whether it is whole.
    fn each(&self, mut hand: impl FnMut(Step) -> Result<()>) -> Result<()> {
        // Digests that may stand before the next record; none is known after a gap.
        let mut before = vec![String::new()];
        // One whose own digest does not fit: the next one may prove it.
        let mut doubted: Option<(Record, String)> = None;
        for seq in 1..=self.last {
            let read = get::record(&self.conn, seq);
            let record = match read {
                Ok(Some(record)) => record,
                other => {
                    let why = other.map_or_else(|error| words(&error), |_| String::new());
                    let why = match why.as_str() {
                        "" => say!("lost-gone"),
                        why => say!("lost-unreadable", why),
                    };
                    if let Some((doubted, _)) = doubted.take() {
                        hand(self.unproved(doubted, say!("lost-changed")))?;
                    }
                    before = rows(
                        &self.conn,
                        "SELECT digest FROM record WHERE seq = ?1",
                        [seq],
                    )
                    .unwrap_or_default();
                    let what = self.named(seq);
                    let (first, last, seen) = (seq, seq, None);
                    hand(Step::Lost(Box::new(Lost {
                        first,
                        last,
                        what,
                        why,
                        seen,
                    })))?;
                    continue;
                }
            };
            let again = |before: &String| {
                let digest = chain::digest(before, seq, record.recorded_at, &record.content);
                digest.unwrap_or_default()
            };
            let proof = before.iter().find(|before| again(before) == record.digest);
            if let Some((doubted, digest)) = doubted.take() {
                hand(match proof == Some(&digest) {
                    true => self.whole(doubted),
                    false => self.unproved(doubted, say!("lost-changed")),
                })?;
            }
            if proof.is_some() {
                before = vec![record.digest.clone()];
                hand(self.whole(record))?;
            } else if let [only] = before.as_slice() {
                let again = again(only);
                before = vec![record.digest.clone(), again.clone()];
                doubted = Some((record, again));
            } else {
                let why = match before.is_empty() {
                    true => say!("lost-unproved"),
                    false => say!("lost-changed"),
                };
                before = vec![record.digest.clone()];
                hand(self.unproved(record, why))?;
            }
        }
        match doubted {
            Some((doubted, _)) => hand(self.unproved(doubted, say!("lost-changed"))),
            None => Ok(()),
        }
    }

    fn whole(&self, record: Record) -> Step {
        let number = get::number(&self.conn, record.seq).unwrap_or_default();
        Step::Whole(Box::new(record), number)
    }

    fn unproved(&self, record: Record, why: Said) -> Step {
        let (first, last) = (record.seq, record.seq);
        let what = self.named(first);
        let seen = Some(record.content);
        Step::Lost(Box::new(Lost {
            first,
            last,
            what,
            why,
            seen,
        }))
    }

    fn named(&self, seq: i64) -> Option<Said> {
        let sql = "SELECT kind, id FROM record WHERE seq = ?1";
        let (kind, id) = rows::<(String, String)>(&self.conn, sql, [seq])
            .ok()?
            .pop()?;
        let number = get::number(&self.conn, seq).ok().flatten();
        Some(match (kind.as_str(), number) {
            ("ticket", Some(number)) => say!("lost-ticket", number, id),
            _ => {
                let kind = say!("record-kind", kind);
                say!("record-other", kind, seq)
            }
        })
    }
}

/// Writes into the new book what comes from the old one.
struct Over<'a, 'b> {
    writing: &'a mut Writing<'b>,
    /// Where each record that went over stands now.
    places: BTreeMap<i64, i64>,
    has_settings: bool,
    kept: Vec<Carried>,
    lost: Vec<Lost>,
}

impl<'a, 'b> Over<'a, 'b> {
    fn new(writing: &'a mut Writing<'b>) -> Self {
        Self {
            writing,
            places: BTreeMap::new(),
            has_settings: false,
            kept: Vec::new(),
            lost: Vec::new(),
        }
    }

    fn take(&mut self, step: Step) -> Result<()> {
        let (record, number) = match step {
            Step::Whole(record, number) => (*record, number),
            Step::Lost(lost) => {
                self.lose(*lost);
                return Ok(());
            }
        };
        let mut moved = record.clone();
        for seq in points_to(&mut moved.content.entry) {
            match self.places.get(seq) {
                Some(now) => *seq = *now,
                None => {
                    let why = say!("lost-hangs", on = *seq);
                    self.leave(record, why);
                    return Ok(());
                }
            }
        }
        use DaybookError as E;
        match self.writing.carry(&moved) {
            Ok(appended) => {
                self.has_settings |= matches!(record.content.entry, Entry::Farm(_));
                self.places.insert(record.seq, appended.seq);
                self.kept.push(Carried {
                    old: Seal {
                        seq: record.seq,
                        digest: record.digest,
                    },
                    seq: appended.seq,
                    numbers: number.zip(appended.number),
                });
                Ok(())
            }
            Err(
                error @ (E::Locked { .. }
                | E::DiskFull { .. }
                | E::ReadOnly { .. }
                | E::Moved { .. }
                | E::Damaged { .. }
                | E::Shut { .. }
                | E::File { .. }
                | E::Sqlite { .. }
                | E::NotTaken { .. }
                | E::ReadBack { .. }
                | E::BrokenOff),
            ) => Err(error),
            Err(contradiction) => {
                self.leave(record, contradiction.said());
                Ok(())
            }
        }
    }

    /// Leaves out a whole record that contradicts those that went over.
    fn leave(&mut self, record: Record, why: Said) {
        let (first, last) = (record.seq, record.seq);
        let kind = say!("record-kind", kind = record.content.entry.kind());
        let what = Some(say!("record-other", kind, seq = first));
        let seen = Some(record.content);
        self.lose(Lost {
            first,
            last,
            what,
            why,
            seen,
        });
    }

    fn lose(&mut self, lost: Lost) {
        match self.lost.last_mut() {
            Some(run) if run.what.is_none() && lost.what.is_none() && run.why == lost.why => {
                run.last = lost.last;
            }
            _ => self.lost.push(lost),
        }
    }

    fn done(self, damaged: &Path, settings: Option<&NewRecord>) -> Result<Rescued> {
        let path = damaged.to_owned();
        if self.kept.is_empty() {
            return Err(DaybookError::NothingLeft { path });
        }
        if !self.has_settings {
            let settings = settings.ok_or(DaybookError::SettingsLost { path })?;
            self.writing.append(settings)?;
        }
        Ok(Rescued {
            kept: self.kept,
            lost: self.lost,
            settings_given: !self.has_settings,
            seal: Seal {
                seq: 0,
                digest: String::new(),
            },
        })
    }
}

/// The records an entry points to.
fn points_to(entry: &mut Entry) -> Vec<&mut i64> {
    match entry {
        Entry::Strike(it) => vec![&mut it.target_seq],
        Entry::Assay(it) => vec![&mut it.lot_seq],
        Entry::Reweigh(it) => vec![&mut it.lot_seq],
        Entry::Discard(it) => vec![&mut it.lot_seq],
        Entry::Look(it) => vec![&mut it.lot_seq],
        Entry::Correction(it) => vec![&mut it.ticket_seq],
        Entry::Harvest(it) => vec![&mut it.cohort_seq],
        Entry::Money(it) => it.cohort_seqs.iter_mut().collect(),
        Entry::Sheet(it) => it.draws.iter_mut().map(|draw| &mut draw.lot_seq).collect(),
        Entry::Fed(it) => (it.sheet_seq.iter_mut())
            .chain(it.draws.iter_mut().map(|draw| &mut draw.lot_seq))
            .chain(it.remainders.iter_mut().map(|rest| &mut rest.lot_seq))
            .collect(),
        Entry::Farm(_)
        | Entry::Container(_)
        | Entry::Ticket(_)
        | Entry::Cohort(_)
        | Entry::CohortEnd(_)
        | Entry::MonthClosed(_)
        | Entry::Adopted(_)
        | Entry::Leave(_)
        | Entry::OwnStream(_) => Vec::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::io::Cursor;

    /// A disk that does not give back one of its blocks.
    struct Worn(Cursor<Vec<u8>>);

    impl Read for Worn {
        fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
            match self.0.position() {
                4096..8192 => Err(io::Error::other("bad block")),
                _ => self.0.read(into),
            }
        }
    }

    impl Seek for Worn {
        fn seek(&mut self, to: SeekFrom) -> io::Result<u64> {
            self.0.seek(to)
        }
    }

    #[test]
    fn a_block_the_disk_keeps_back_costs_that_block_only() {
        let mut copy = Vec::new();
        let mut worn = Worn(Cursor::new(vec![7; 10_000]));
        spelled_out(&mut worn, 10_000, &mut copy).expect("copied");
        let expected: Vec<u8> = (0..10_000)
            .map(|at| if (4096..8192).contains(&at) { 0 } else { 7 })
            .collect();
        assert_eq!(copy, expected);
    }
}
