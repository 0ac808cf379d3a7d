use postgres::error::SqlState;

use super::connect::told;
use super::{Network, Result, ShareError};
use crate::daybook::{Book, Seal, SealedRecord};

/// What became of a sending.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sent {
    pub site: String,
    /// How many records were new there.
    pub records: i64,
    /// The last one there, which is the book's own last.
    pub seal: Seal,
}

/// Records kept at once: a break loses no more than these.
const AT_ONCE: i64 = 500;

const LAST: &str = "SELECT seq, encode(digest, 'hex') FROM trayful.record
    WHERE site = session_user ORDER BY seq DESC LIMIT 1";

const ONE: &str = "SELECT encode(digest, 'hex') FROM trayful.record
    WHERE site = session_user AND seq = $1";

const ADD: &str = "INSERT INTO trayful.record (site, seq, digest, body)
    SELECT session_user, seq, decode(digest, 'hex'), body
    FROM unnest($1::bigint[], $2::text[], $3::text[]) AS new (seq, digest, body)";

impl Network {
    /// Sends what the database does not hold of a book yet, as the site whose
    /// role logged in, and tells after each part how far it is.
    pub fn send(&mut self, book: &Book, mut step: impl FnMut(i64, i64)) -> Result<Sent> {
        let one = self.client.query_one("SELECT session_user::text", &[]);
        let site: String = one.map_err(|error| told(&self.named, &error))?.get(0);
        let here = book.seal()?.seq;
        let (mut last, mut records) = (self.followed(book, &site)?, 0);
        while last.seq < here {
            let part = book.sealed_after(&last, AT_ONCE.min(here - last.seq))?;
            let Some(newest) = part.last().map(|one| one.seal.clone()) else {
                break;
            };
            if self.add(&part)? {
                records += newest.seq - last.seq;
                last = newest;
            } else {
                // Somebody else sends the same book: go on from what is there now.
                last = self.followed(book, &site)?;
            }
            step(last.seq, here);
        }
        Ok(Sent {
            site,
            records,
            seal: last,
        })
    }

    /// The last record there, found to be the book's own.
    fn followed(&mut self, book: &Book, site: &str) -> Result<Seal> {
        let last = self.client.query_opt(LAST, &[]);
        let last = last.map_err(|error| told(&self.named, &error))?;
        let (there, digest) = last.map_or((0, String::new()), |row| (row.get(0), row.get(1)));
        let (here, site) = (book.seal()?.seq, site.to_owned());
        if !self.is_own(book, there.min(here))? {
            let seq = self.first_other(book, there.min(here))?;
            return Err(ShareError::Fork { site, seq });
        }
        match there <= here {
            true => Ok(Seal { seq: there, digest }),
            false => Err(ShareError::Behind { site, there, here }),
        }
    }

    /// Whether the record of this number is the same there and in the book.
    fn is_own(&mut self, book: &Book, seq: i64) -> Result<bool> {
        if seq == 0 {
            return Ok(true);
        }
        let there = self.client.query_opt(ONE, &[&seq]);
        let there = there.map_err(|error| told(&self.named, &error))?;
        let own = book.record(seq)?.map(|found| found.record.digest);
        Ok(own == there.map(|row| row.get(0)))
    }

    /// The first record that differs, where record `other` does: all that
    /// follows a fork differs too.
    fn first_other(&mut self, book: &Book, mut other: i64) -> Result<i64> {
        let mut same = 0;
        while other - same > 1 {
            let middle = same + (other - same) / 2;
            match self.is_own(book, middle)? {
                true => same = middle,
                false => other = middle,
            }
        }
        Ok(other)
    }

    /// Adds records, all of them or none; not where one of the numbers was
    /// taken meanwhile.
    fn add(&mut self, part: &[SealedRecord]) -> Result<bool> {
        let seqs: Vec<i64> = part.iter().map(|one| one.seal.seq).collect();
        let digests: Vec<&str> = part.iter().map(|one| one.seal.digest.as_str()).collect();
        let texts: Vec<&str> = part.iter().map(|one| one.text.as_str()).collect();
        match self.client.execute(ADD, &[&seqs, &digests, &texts]) {
            Ok(_) => Ok(true),
            Err(error) if error.code() == Some(&SqlState::UNIQUE_VIOLATION) => Ok(false),
            Err(error) => Err(told(&self.named, &error)),
        }
    }
}
