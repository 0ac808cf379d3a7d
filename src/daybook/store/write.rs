use std::ops::Deref;

use jiff::Timestamp;
use rusqlite::{Transaction, TransactionBehavior};

use super::get::rows;
use super::{admit, chain, differ, get, instants, put};
use crate::daybook::stock::marks;
use crate::daybook::{Book, Daybook, DaybookError, Entry, NewRecord, Record, Result, Seal};

/// What became of a record.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Appended {
    pub seq: i64,
    /// Its ticket number, if it is a ticket.
    pub number: Option<i64>,
    pub already_there: bool,
}

/// The book while no other program can write to it. Reads see what this
/// writing has added so far.
#[derive(Debug)]
pub struct Writing<'a> {
    book: &'a Book,
    seal: Seal,
    last_number: i64,
    recorded_at: Timestamp,
    /// A record broke off between its tables; then nothing may be kept.
    broken_off: bool,
}

impl Deref for Writing<'_> {
    type Target = Book;

    fn deref(&self) -> &Book {
        self.book
    }
}

impl Daybook {
    /// Adds records, all of them or none.
    pub fn append(&mut self, records: &[NewRecord], now: Timestamp) -> Result<Vec<Appended>> {
        self.write(now, |writing| {
            records.iter().map(|new| writing.append(new)).collect()
        })
    }

    /// Reads and adds in one transaction, kept when `f` succeeds and undone
    /// when it fails: a figure checked in it still holds when it is kept. What
    /// went into a file that lies there no longer is not called kept.
    pub fn write<T, E: From<DaybookError>>(
        &mut self,
        now: Timestamp,
        f: impl FnOnce(&mut Writing<'_>) -> Result<T, E>,
    ) -> Result<T, E> {
        self.bring_up()?;
        let book = &self.book;
        let fault = |error| book.fault(error);
        let tx = Transaction::new_unchecked(&book.conn, TransactionBehavior::Immediate)
            .map_err(fault)?;
        book.held()?;
        let mut writing = Writing::begin(book, now)?;
        let made = f(&mut writing)?;
        writing.finish()?;
        tx.commit().map_err(fault)?;
        book.held()?;
        Ok(made)
    }
}

impl<'a> Writing<'a> {
    fn begin(book: &'a Book, now: Timestamp) -> Result<Self> {
        let last = "SELECT COALESCE(MAX(number), 0) FROM ticket";
        let read = || {
            let seal = Seal::of(&book.conn)?;
            Ok((seal, book.conn.query_row(last, [], |row| row.get(0))?))
        };
        let (seal, last_number) = read().map_err(|error| book.fault(error))?;
        Ok(Self {
            book,
            seal,
            last_number,
            recorded_at: instants::whole_second(now),
            broken_off: false,
        })
    }

    /// Adds a record of another book, recorded when it was recorded there.
    pub(super) fn carry(&mut self, record: &Record) -> Result<Appended> {
        let now = std::mem::replace(&mut self.recorded_at, record.recorded_at);
        let appended = self.append(&record.content);
        self.recorded_at = now;
        appended
    }

    /// Adds one record, or finds that it is there already.
    pub fn append(&mut self, new: &NewRecord) -> Result<Appended> {
        let new = admit::settled(new)?;
        if let Some(appended) = self.already_there(&new)? {
            return Ok(appended);
        }
        admit::fits(self.book, &new)?;
        let seq = self.seal.seq + 1;
        let is_ticket = matches!(new.entry, Entry::Ticket(_));
        let number = self.last_number + i64::from(is_ticket);
        let digest = chain::digest(&self.seal.digest, seq, self.recorded_at, &new);
        let digest = digest.map_err(|error| DaybookError::NotTaken { what: error.into() })?;
        let place = put::Place {
            seq,
            number,
            recorded_utc: &instants::text(self.recorded_at),
            digest: &digest,
        };
        // From here on a failure may leave a part, which must never be kept.
        self.broken_off = true;
        put::record(&self.book.conn, &place, &new).map_err(|error| self.fault(error))?;
        self.read_back(&new, seq, &digest)?;
        self.broken_off = false;
        self.seal = Seal { seq, digest };
        self.last_number = number;
        Ok(Appended {
            seq,
            number: is_ticket.then_some(number),
            already_there: false,
        })
    }

    fn already_there(&self, new: &NewRecord) -> Result<Option<Appended>> {
        let conn = &self.book.conn;
        let found = || {
            let sql = "SELECT seq FROM record WHERE id = ?1";
            let Some(seq) = rows(conn, sql, [&new.id])?.pop() else {
                return Ok(None);
            };
            Ok(get::record(conn, seq)?.zip(Some(get::number(conn, seq)?)))
        };
        let Some((kept, number)) = found().map_err(|error| self.fault(error))? else {
            return Ok(None);
        };
        if kept.content == *new {
            return Ok(Some(Appended {
                seq: kept.seq,
                number,
                already_there: true,
            }));
        }
        let difference = differ::first(&kept.content, new);
        Err(DaybookError::Conflict {
            id: new.id.clone(),
            seq: kept.seq,
            field: difference.field,
            kept: difference.kept,
            asked: difference.asked,
        })
    }

    /// The second road: what the typed tables give back is what was asked for.
    fn read_back(&self, new: &NewRecord, seq: i64, digest: &str) -> Result<()> {
        let kept = get::record(&self.book.conn, seq).map_err(|error| self.fault(error))?;
        match kept {
            Some(kept) if kept.content == *new && kept.digest == digest => Ok(()),
            _ => Err(DaybookError::ReadBack { id: new.id.clone() }),
        }
    }

    fn finish(self) -> Result<()> {
        if self.broken_off || self.book.seal()? != self.seal {
            return Err(DaybookError::BrokenOff);
        }
        marks::keep_up(&self.book.conn).map_err(|error| self.fault(error))
    }
}

#[cfg(test)]
mod tests;
