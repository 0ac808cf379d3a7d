use jiff::Timestamp;
use rusqlite::{Connection, OptionalExtension, params};

use super::cells::Cells;
use super::error::BadRows;
use super::said::{self, told};
use super::{
    Book, Container, Correction, DaybookError, Entry, Farm, Record, Ticket, get, instants,
};
use crate::quantity::Grams;
use crate::stream::StreamId;

/// A record found, struck or not.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    pub record: Record,
    /// Its ticket number, if it is a ticket.
    pub number: Option<i64>,
    /// The strike that voids it, if any.
    pub struck_by: Option<i64>,
    /// Corrections of it that stand, the newest last, if it is a ticket.
    pub said: Vec<Correction>,
}

/// What a record says, with where it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Filed<T> {
    /// Number of the record.
    pub seq: i64,
    pub id: String,
    /// When it happened.
    pub at: Timestamp,
    /// Who did it.
    pub by: String,
    /// What it says.
    pub entry: T,
}

/// A ticket, with where it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct TicketFiled {
    /// The ticket as it is told now, and its record.
    pub filed: Filed<Ticket>,
    pub number: i64,
    /// The strike that voids it, if any.
    pub struck_by: Option<i64>,
}

/// A supplier on a live ticket.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SupplierUse {
    pub supplier: String,
    /// The latest ticket's instant.
    pub last_at: Timestamp,
}

/// What a supplier brings, by stream.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UsualLoad {
    pub supplier: String,
    pub stream: StreamId,
    /// The named tare of the newest of these loads.
    pub container: Option<String>,
    pub loads: i64,
    /// The newest one's instant.
    pub last_at: Timestamp,
}

/// One load of a supplier's stream.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LoadAlike {
    /// Its ticket's id.
    pub id: String,
    /// When it was weighed.
    pub at: Timestamp,
    pub gross: Grams,
    pub net: Grams,
}

/// A stream on a live ticket.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StreamUse {
    pub stream: StreamId,
    /// The latest ticket's instant.
    pub last_at: Timestamp,
}

impl Book {
    /// The newest settings.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn farm(&self) -> Result<Farm, DaybookError> {
        self.read(|conn| {
            let seq: Option<i64> = conn
                .prepare_cached("SELECT MAX(seq) FROM live_record WHERE kind = 'farm'")?
                .query_row([], |row| row.get(0))?;
            match get::entry(conn, seq.unwrap_or_default(), "farm")? {
                Entry::Farm(farm) => Ok(farm),
                _ => Err(BadRows::as_sqlite(0, "no settings")),
            }
        })
    }

    /// The named tares, the newest of each name, by name.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn containers(&self) -> Result<Vec<Container>, DaybookError> {
        self.read(|conn| {
            let newest = "SELECT MAX(seq) FROM container JOIN live_record USING (seq)
                          GROUP BY name ORDER BY name";
            let of = |seq| match get::entry(conn, seq, "container")? {
                Entry::Container(container) => Ok(container),
                _ => Err(BadRows::as_sqlite(seq, "no tare")),
            };
            seqs(conn, newest, [])?.into_iter().map(of).collect()
        })
    }

    /// A record by its number in the book.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn record(&self, seq: i64) -> Result<Option<Found>, DaybookError> {
        self.read(|conn| found(conn, seq))
    }

    /// A record by what people call it: its id, a ticket's number (`12` or
    /// `#12`), or `r57` for record 57. `#12` is always the ticket's number.
    ///
    /// # Errors
    /// When an id and a number name two records, or the file can't be read.
    pub fn find_record(&self, reference: &str) -> Result<Option<Found>, DaybookError> {
        self.find(reference, false)
    }

    /// A ticket by what people call it, as [`Book::find_record`].
    ///
    /// # Errors
    /// As [`Book::find_record`].
    pub fn find_ticket(&self, reference: &str) -> Result<Option<Found>, DaybookError> {
        self.find(reference, true)
    }

    fn find(&self, reference: &str, ticket: bool) -> Result<Option<Found>, DaybookError> {
        let reference = reference.trim();
        let (by_id, by_number) = self.read(|conn| {
            let wanted = |record: &Found| !ticket || record.number.is_some();
            let look = |seq: Option<i64>| -> rusqlite::Result<Option<Found>> {
                let found = seq.map(|seq| found(conn, seq)).transpose()?;
                Ok(found.flatten().filter(wanted))
            };
            if let Some(number) = reference.strip_prefix('#') {
                return Ok((None, look(of_number(conn, number)?)?));
            }
            let number = match reference.strip_prefix('r') {
                Some(seq) => seq.parse().ok(),
                None => of_number(conn, reference)?,
            };
            Ok((look(of_id(conn, reference)?)?, look(number)?))
        })?;
        match (by_id, by_number) {
            (Some(a), Some(b)) if a.record.seq != b.record.seq => Err(DaybookError::Ambiguous {
                reference: reference.to_owned(),
                by_id: a.record.seq,
                by_number: b.record.seq,
            }),
            (a, b) => Ok(a.or(b)),
        }
    }

    /// Suppliers on live tickets, the latest used first.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn suppliers(&self) -> Result<Vec<SupplierUse>, DaybookError> {
        const SQL: &str = concat!(
            "SELECT supplier, MAX(at_utc) FROM ",
            told!(),
            " GROUP BY supplier ORDER BY MAX(at_utc) DESC, supplier"
        );
        self.read(|conn| {
            rows(conn, SQL, [], |cells| {
                Ok(SupplierUse {
                    supplier: cells.cell()?,
                    last_at: cells.instant()?,
                })
            })
        })
    }

    /// What suppliers bring, from live tickets since an instant: the latest first.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn usual_loads(&self, since: Timestamp) -> Result<Vec<UsualLoad>, DaybookError> {
        // SQLite takes a bare column from the row that holds the MAX.
        const SQL: &str = concat!(
            "SELECT supplier, stream, container, COUNT(*), MAX(at_utc) FROM ",
            told!(),
            " WHERE at_utc >= ?1 GROUP BY supplier, stream
             ORDER BY MAX(at_utc) DESC, supplier, stream"
        );
        self.read(|conn| {
            rows(conn, SQL, [instants::text_not_before(since)], |cells| {
                Ok(UsualLoad {
                    supplier: cells.cell()?,
                    stream: cells.stream()?,
                    container: cells.cell()?,
                    loads: cells.cell()?,
                    last_at: cells.instant()?,
                })
            })
        })
    }

    /// Streams on live tickets, the latest used first.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn streams_used(&self) -> Result<Vec<StreamUse>, DaybookError> {
        const SQL: &str = concat!(
            "SELECT stream, MAX(at_utc) FROM ",
            told!(),
            " GROUP BY stream ORDER BY MAX(at_utc) DESC, stream"
        );
        self.read(|conn| {
            rows(conn, SQL, [], |cells| {
                Ok(StreamUse {
                    stream: cells.stream()?,
                    last_at: cells.instant()?,
                })
            })
        })
    }

    /// The newest loads of a supplier's stream up to an instant, the newest
    /// first; struck ones, bought ones and estimates left out.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn loads_alike(
        &self,
        supplier: &str,
        stream: &StreamId,
        until: Timestamp,
        most: u32,
    ) -> Result<Vec<LoadAlike>, DaybookError> {
        // Every weigh-in asks, so the index leads: the newest never corrected,
        // and all that ever were, which are few.
        const SQL: &str = concat!(
            "SELECT r.id, t.at_utc, t.gross_g, t.net_g FROM ",
            told!(),
            " t JOIN record r WHERE r.seq = t.seq AND t.seq IN
               (SELECT * FROM (SELECT seq FROM live_ticket x
                  WHERE supplier = ?1 AND stream = ?2 AND bought = 0 AND at_utc < ?3
                    AND estimated = 0
                    AND NOT EXISTS (SELECT 1 FROM correction WHERE ticket_seq = x.seq)
                  ORDER BY at_utc DESC LIMIT ?4)
                UNION ALL SELECT ticket_seq FROM correction)
             AND t.supplier = ?1 AND t.stream = ?2 AND t.bought = 0 AND t.at_utc < ?3
             AND t.estimated = 0 ORDER BY t.at_utc DESC LIMIT ?4"
        );
        let until = instants::text_not_before(until);
        self.read(|conn| {
            rows(
                conn,
                SQL,
                params![supplier, stream.as_str(), until, most],
                |cells| {
                    Ok(LoadAlike {
                        id: cells.cell()?,
                        at: cells.instant()?,
                        gross: cells.grams()?,
                        net: cells.grams()?,
                    })
                },
            )
        })
    }

    /// Tickets from `from` up to, not at, `to`, by instant: refused ones too,
    /// struck ones only when asked for.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn tickets_between(
        &self,
        from: Timestamp,
        to: Timestamp,
        with_struck: bool,
    ) -> Result<Vec<TicketFiled>, DaybookError> {
        let span = [
            instants::text_not_before(from),
            instants::text_not_before(to),
        ];
        let sql = "SELECT seq FROM record
                   WHERE kind = 'ticket' AND at_utc >= ?1 AND at_utc < ?2 ORDER BY at_utc, seq";
        self.read(|conn| {
            let mut tickets = Vec::new();
            for seq in seqs(conn, sql, span)? {
                let ticket = found(conn, seq)?.and_then(TicketFiled::of);
                let ticket = ticket.ok_or_else(|| BadRows::as_sqlite(seq, "no ticket"))?;
                if with_struck || ticket.struck_by.is_none() {
                    tickets.push(ticket);
                }
            }
            Ok(tickets)
        })
    }

    /// The newest records, struck ones too, the newest first.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn newest_records(&self, most: u32) -> Result<Vec<Found>, DaybookError> {
        let sql = "SELECT seq FROM record ORDER BY seq DESC LIMIT ?1";
        self.read(|conn| {
            let newest = seqs(conn, sql, [most])?;
            Ok(founds(conn, &newest)?.into_iter().flatten().collect())
        })
    }
}

impl TicketFiled {
    fn of(found: Found) -> Option<Self> {
        let entry = found.ticket()?;
        Some(Self {
            filed: Filed {
                seq: found.record.seq,
                id: found.record.content.id,
                at: found.record.content.at,
                by: found.record.content.by,
                entry,
            },
            number: found.number?,
            struck_by: found.struck_by,
        })
    }
}

pub(super) fn found(conn: &Connection, seq: i64) -> rusqlite::Result<Option<Found>> {
    let Some(record) = get::record(conn, seq)? else {
        return Ok(None);
    };
    let is_ticket = matches!(record.content.entry, Entry::Ticket(_));
    let (number, said) = if is_ticket {
        (get::number(conn, seq)?, said::of(conn, seq)?)
    } else {
        (None, Vec::new())
    };
    Ok(Some(Found {
        number,
        said,
        struck_by: get::struck_by(conn, seq)?,
        record,
    }))
}

fn founds(conn: &Connection, seqs: &[i64]) -> rusqlite::Result<Vec<Option<Found>>> {
    seqs.iter().map(|seq| found(conn, *seq)).collect()
}

fn of_id(conn: &Connection, id: &str) -> rusqlite::Result<Option<i64>> {
    conn.prepare_cached("SELECT seq FROM record WHERE id = ?1")?
        .query_row([id], |row| row.get(0))
        .optional()
}

fn of_number(conn: &Connection, number: &str) -> rusqlite::Result<Option<i64>> {
    let Ok(number) = number.parse::<i64>() else {
        return Ok(None);
    };
    conn.prepare_cached("SELECT seq FROM ticket WHERE number = ?1")?
        .query_row([number], |row| row.get(0))
        .optional()
}

/// A column of record numbers.
pub(super) fn seqs(
    conn: &Connection,
    sql: &str,
    values: impl rusqlite::Params,
) -> rusqlite::Result<Vec<i64>> {
    rows(conn, sql, values, |cells| cells.cell())
}

/// Every row of a query.
pub(super) fn rows<T>(
    conn: &Connection,
    sql: &str,
    values: impl rusqlite::Params,
    build: impl Fn(&mut Cells<'_>) -> rusqlite::Result<T>,
) -> rusqlite::Result<Vec<T>> {
    conn.prepare_cached(sql)?
        .query_map(values, |row| build(&mut Cells::of(row)))?
        .collect()
}

#[cfg(test)]
mod tests;
