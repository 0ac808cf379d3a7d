use std::collections::BTreeMap;

use rusqlite::Connection;

use super::get::rows;
use super::{chain, get, migrate};
use crate::daybook::error::words;
use crate::daybook::stock::marks;
use crate::daybook::{Book, DaybookError, Entry, Result, Seal, SealMark};
use crate::words::{Said, say};

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Flaw {
    /// Number of the record it concerns, where it concerns one.
    pub record: Option<i64>,
    pub what: Said,
}

/// What a check of the whole book found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CheckReport {
    pub seal: Seal,
    pub records: i64,
    pub tickets: i64,
    /// Everything wrong; empty when the book is whole.
    pub flaws: Vec<Flaw>,
}

impl CheckReport {
    pub fn is_whole(&self) -> bool {
        self.flaws.is_empty()
    }
}

/// Flaws of the file itself that are listed at most.
const FILE_FLAWS_MAX: u32 = 20;

/// What must hold of rows in tables besides that those named after a kind of
/// record hold its rows alone.
const PLACED: &[(&str, &str)] = &[
    ("ticket", "x.at_utc = r.at_utc"),
    ("picked_out", "r.kind = 'ticket'"),
    (
        "strike",
        "x.target_seq NOT IN (SELECT seq FROM record WHERE kind = 'strike')",
    ),
    ("sheet_draw", "r.kind = 'sheet'"),
    ("sheet_addition", "r.kind = 'sheet'"),
    (
        "outflow",
        "r.kind IN ('fed', 'reweigh', 'discard') AND x.at_utc = r.at_utc",
    ),
    ("inflow", "r.kind = 'fed'"),
    ("month_figure", "r.kind = 'month-closed'"),
    ("money_cohort", "r.kind = 'money'"),
];

impl Book {
    /// Reads the whole book again: the file's own structure, every record and
    /// its place in the chain, ticket numbers, the guards against change; and
    /// whether it still holds the record a sheet once printed as its seal.
    ///
    /// # Errors
    /// When the file can't be read at all; what is merely wrong is a flaw.
    pub fn check(&self, printed: Option<&SealMark>) -> Result<CheckReport> {
        self.read(|conn| {
            let mut flaws = Vec::new();
            file_flaws(conn, &mut flaws);
            attempt(guard_flaws, conn, &mut flaws);
            let records = record_flaws(conn, &mut flaws)?;
            if let Some(mark) = printed {
                flaws.extend(mark_flaw(conn, mark)?);
            }
            let count = "SELECT COUNT(*) FROM ticket";
            Ok(CheckReport {
                seal: Seal::of(conn)?,
                records,
                tickets: conn.query_row(count, [], |row| row.get(0))?,
                flaws,
            })
        })
    }
}

impl Book {
    /// Refuses a book that is not whole.
    pub fn whole(&self) -> Result<()> {
        let flaws = self.check(None)?.flaws;
        let Some(first) = flaws.first() else {
            return Ok(());
        };
        Err(DaybookError::NotWhole {
            path: self.path.clone(),
            flaws: flaws.len(),
            first: first.what.clone(),
        })
    }
}

fn flaw(record: Option<i64>, what: Said) -> Flaw {
    Flaw { record, what }
}

/// What SQLite itself finds. A file too damaged for that is a flaw, no failure.
fn file_flaws(conn: &Connection, flaws: &mut Vec<Flaw>) {
    let sql = format!("PRAGMA integrity_check({FILE_FLAWS_MAX})");
    match rows::<String>(conn, &sql, []) {
        Ok(told) => flaws.extend(
            (told.into_iter().filter(|line| line != "ok"))
                .map(|line| flaw(None, say!("flaw-structure", line))),
        ),
        Err(error) => flaws.push(flaw(None, say!("flaw-file", why = error))),
    }
    match rows::<(String, Option<i64>, String)>(conn, "PRAGMA foreign_key_check", []) {
        Ok(orphans) => flaws.extend(orphans.into_iter().map(|(table, row, parent)| {
            let of = row.unwrap_or_default();
            flaw(row, say!("flaw-orphan", of, table, parent))
        })),
        Err(error) => flaws.push(flaw(None, say!("flaw-file", why = error))),
    }
}

/// Compares the schema with a fresh one: a guard that was dropped is how a
/// change would begin, and a trigger slipped in could make one.
fn guard_flaws(conn: &Connection, flaws: &mut Vec<Flaw>) -> rusqlite::Result<()> {
    let parts = |conn: &Connection| -> rusqlite::Result<BTreeMap<(String, String), String>> {
        let sql = "SELECT type, name, sql FROM sqlite_schema WHERE sql IS NOT NULL";
        let named: Vec<((String, String), String)> = rows(conn, sql, [])?;
        Ok(named.into_iter().collect())
    };
    let fresh = Connection::open_in_memory()?;
    migrate::bring_up(&fresh)?;
    let (wanted, mut seen) = (parts(&fresh)?, parts(conn)?);
    for (part, sql) in wanted {
        let (sort, name) = &part;
        match seen.remove(&part) {
            None => flaws.push(flaw(None, say!("flaw-guard-missing", sort, name))),
            Some(other) if other != sql => {
                flaws.push(flaw(None, say!("flaw-guard-changed", sort, name)));
            }
            Some(_) => {}
        }
    }
    let slipped_in = seen.into_keys().filter(|(sort, _)| sort == "trigger");
    flaws.extend(slipped_in.map(|(_, name)| flaw(None, say!("flaw-foreign-trigger", name))));
    Ok(())
}

/// What is wrong with the records; returns how many there are.
fn record_flaws(conn: &Connection, flaws: &mut Vec<Flaw>) -> rusqlite::Result<i64> {
    attempt(misplaced_flaws, conn, flaws);
    attempt(number_flaws, conn, flaws);
    attempt(stock_flaws, conn, flaws);
    chain_flaws(conn, flaws)
}

type FindFlaws = fn(&Connection, &mut Vec<Flaw>) -> rusqlite::Result<()>;

/// A table that can't be read is a flaw among others.
fn attempt(find: FindFlaws, conn: &Connection, flaws: &mut Vec<Flaw>) {
    if let Err(error) = find(conn, flaws) {
        let why = words(&error);
        flaws.push(flaw(None, say!("flaw-table", why)));
    }
}

/// Every table of records, and what must hold of its rows.
pub(super) fn placed() -> impl Iterator<Item = (String, String)> {
    let own = |kind: &&str| (kind.replace('-', "_"), format!("r.kind = '{kind}'"));
    let further = (PLACED.iter()).map(|(table, fine)| ((*table).to_owned(), (*fine).to_owned()));
    Entry::KINDS.iter().map(own).chain(further)
}

fn misplaced_flaws(conn: &Connection, flaws: &mut Vec<Flaw>) -> rusqlite::Result<()> {
    for (table, fine) in placed() {
        let sql = format!(
            "SELECT DISTINCT x.seq FROM {table} x JOIN record r ON r.seq = x.seq
             WHERE NOT ({fine}) ORDER BY x.seq"
        );
        for seq in rows(conn, &sql, [])? {
            flaws.push(flaw(Some(seq), say!("flaw-misplaced", seq, table)));
        }
    }
    Ok(())
}

fn number_flaws(conn: &Connection, flaws: &mut Vec<Flaw>) -> rusqlite::Result<()> {
    let numbers: Vec<(i64, i64)> = rows(conn, "SELECT seq, number FROM ticket ORDER BY seq", [])?;
    let mut next = 1;
    for (seq, number) in numbers {
        if number != next {
            flaws.push(flaw(Some(seq), say!("flaw-number", seq, number, next)));
        }
        // Go on from what is there: one gap is one flaw.
        next = number.saturating_add(1);
    }
    Ok(())
}

fn stock_flaws(conn: &Connection, flaws: &mut Vec<Flaw>) -> rusqlite::Result<()> {
    let wrong = marks::wrong(conn)?.into_iter();
    flaws.extend(wrong.map(|(seq, what)| flaw(Some(seq), what)));
    Ok(())
}

/// Reads and hashes every record; returns how many there are.
fn chain_flaws(conn: &Connection, flaws: &mut Vec<Flaw>) -> rusqlite::Result<i64> {
    let spine: Vec<(i64, String)> = rows(conn, "SELECT seq, digest FROM record ORDER BY seq", [])?;
    let mut before = Seal {
        seq: 0,
        digest: String::new(),
    };
    let mut records = 0;
    for (seq, digest) in spine {
        records += 1;
        if seq == before.seq.saturating_add(1) {
            flaws.extend(link_flaw(conn, &before, seq, &digest));
        } else {
            flaws.push(gap(before.seq, seq));
        }
        before = Seal { seq, digest };
    }
    Ok(records)
}

fn gap(before: i64, seq: i64) -> Flaw {
    let first = before.saturating_add(1);
    let last = seq.saturating_sub(1);
    let missing = match first == last {
        true => say!("flaw-missing", first),
        false => say!("flaw-missing-some", first, last),
    };
    flaw(Some(first), say!("flaw-unverified", missing, seq))
}

fn link_flaw(conn: &Connection, before: &Seal, seq: i64, digest: &str) -> Option<Flaw> {
    let what = match get::record(conn, seq) {
        Ok(Some(record)) => {
            let again = chain::digest(&before.digest, seq, record.recorded_at, &record.content);
            if again.as_ref().is_ok_and(|again| again == digest) {
                return None;
            }
            if let Err(error) = again {
                say!("flaw-no-digest", seq, why = error)
            } else if before.seq == 0 {
                say!("flaw-changed", seq)
            } else {
                say!("flaw-changed-or-before", seq, before = before.seq)
            }
        }
        Ok(None) => say!("flaw-missing", first = seq),
        Err(error) => say!("flaw-unreadable", seq, why = words(&error)),
    };
    Some(flaw(Some(seq), what))
}

fn mark_flaw(conn: &Connection, mark: &SealMark) -> rusqlite::Result<Option<Flaw>> {
    let sql = "SELECT digest FROM record WHERE seq = ?1";
    let digest = rows::<String>(conn, sql, [mark.seq])?.pop();
    let what = match digest {
        Some(digest) if digest.starts_with(&mark.prefix) => return Ok(None),
        Some(digest) => {
            let now: String = digest.chars().take(mark.prefix.len()).collect();
            say!("flaw-replaced", mark.seq, now, mark.prefix)
        }
        None => {
            let last = Seal::of(conn)?.seq;
            let gone = mark.seq.saturating_sub(last);
            say!("flaw-cut-off", mark.seq, mark, last, gone)
        }
    };
    Ok(Some(flaw(Some(mark.seq), what)))
}

#[cfg(test)]
mod tests;
