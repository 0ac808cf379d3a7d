use std::fmt;
use std::str::FromStr;

use jiff::Timestamp;
use rusqlite::{Connection, OptionalExtension};
use serde::Serialize;
use sha2::{Digest, Sha256};

use super::get;
use crate::daybook::{Book, DaybookError, NewRecord, Result};
use crate::words::say;

/// What a digest is taken over, after the digest before. Its JSON form is
/// part of the file format: a field added to a record later must be left out
/// of the JSON while it is absent, or old books no longer verify.
#[derive(Serialize)]
struct Sealed<'a> {
    seq: i64,
    recorded_at: Timestamp,
    content: &'a NewRecord,
}

/// A record as JSON, the text its digest covers.
fn text(seq: i64, recorded_at: Timestamp, content: &NewRecord) -> serde_json::Result<String> {
    serde_json::to_string(&Sealed {
        seq,
        recorded_at,
        content,
    })
}

/// SHA-256 in hex over the digest before and the record as JSON.
pub(crate) fn digest(
    before: &str,
    seq: i64,
    recorded_at: Timestamp,
    content: &NewRecord,
) -> serde_json::Result<String> {
    Ok(digest_of(before, &text(seq, recorded_at, content)?))
}

fn digest_of(before: &str, text: &str) -> String {
    let mut hasher = Sha256::new();
    hasher.update(before);
    hasher.update(text);
    hex(&hasher.finalize())
}

pub(crate) fn hex(bytes: &[u8]) -> String {
    const DIGITS: &[u8; 16] = b"0123456789abcdef";
    let pairs = bytes.iter().flat_map(|byte| [byte >> 4, byte & 15]);
    pairs
        .map(|half| char::from(DIGITS[usize::from(half)]))
        .collect()
}

/// The last record of the book: what a printed sheet vouches for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Seal {
    /// Number of the last record; 0 for an empty book.
    pub seq: i64,
    pub digest: String,
}

impl Seal {
    /// Number and first 16 digits in groups of four, as sheets print it, such as
    /// `57-1a2b-3c4d-5e6f-7a8b`. Half as many were found anew in minutes.
    pub fn short(&self) -> String {
        let digits = self.digest.as_bytes().chunks(4).take(4);
        digits.fold(self.seq.to_string(), |seal, group| {
            format!("{seal}-{}", String::from_utf8_lossy(group))
        })
    }

    pub(in crate::daybook) fn of(conn: &Connection) -> rusqlite::Result<Self> {
        let last = conn
            .prepare_cached("SELECT seq, digest FROM record ORDER BY seq DESC LIMIT 1")?
            .query_row([], |row| {
                Ok(Self {
                    seq: row.get(0)?,
                    digest: row.get(1)?,
                })
            })
            .optional()?;
        // Before the first record stands the empty text.
        Ok(last.unwrap_or(Self {
            seq: 0,
            digest: String::new(),
        }))
    }
}

/// A record for another keeper: its seal, and the text the digest covers after
/// the digest before, from which it can be reckoned again.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SealedRecord {
    pub seal: Seal,
    pub text: String,
}

impl Book {
    /// The records that follow `before`, so many at most, each found to be what
    /// its digest covers.
    pub fn sealed_after(&self, before: &Seal, most: i64) -> Result<Vec<SealedRecord>> {
        let mut found: Vec<SealedRecord> = Vec::new();
        for seq in before.seq + 1..=before.seq + most {
            let Some(record) = self.read(|conn| get::record(conn, seq))? else {
                break;
            };
            let text = text(seq, record.recorded_at, &record.content)
                .map_err(|error| DaybookError::NotTaken { what: error.into() })?;
            let last = found.last().map_or(before, |one| &one.seal);
            if digest_of(&last.digest, &text) != record.digest {
                return Err(DaybookError::NotWhole {
                    path: self.path.clone(),
                    flaws: 1,
                    first: say!("flaw-changed-or-before", seq, before = last.seq),
                });
            }
            let digest = record.digest;
            let seal = Seal { seq, digest };
            found.push(SealedRecord { seal, text });
        }
        Ok(found)
    }
}

const MARK_DIGITS_MIN: usize = 8;

/// A seal as a sheet printed it, to compare the book with.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SealMark {
    pub seq: i64,
    /// First digits of its digest, at least 8, lower case.
    pub prefix: String,
}

impl FromStr for SealMark {
    type Err = DaybookError;

    fn from_str(text: &str) -> Result<Self> {
        let seen = text.trim();
        let mark = || {
            let (seq, prefix) = seen.split_once('-')?;
            let seq: i64 = seq.parse().ok()?;
            let prefix = prefix.to_ascii_lowercase().replace(['-', ' '], "");
            let fine = seq >= 1
                && (MARK_DIGITS_MIN..=64).contains(&prefix.len())
                && prefix.bytes().all(|byte| byte.is_ascii_hexdigit());
            fine.then_some(Self { seq, prefix })
        };
        mark().ok_or_else(|| DaybookError::NotASeal {
            seen: seen.to_owned(),
        })
    }
}

impl fmt::Display for SealMark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}-{}", self.seq, self.prefix)
    }
}

#[cfg(test)]
mod tests;
