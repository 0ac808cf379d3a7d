use jiff::Timestamp;
use rusqlite::Connection;
use serde::Deserialize;

use crate::daybook::error::BadRows;
use crate::daybook::intake::said::{self, told};
use crate::daybook::store::get::rows;
use crate::daybook::store::{get, instants};
use crate::daybook::{
    Book, Container, Correction, DaybookError, Entry, Farm, Record, Result, Ticket,
};
use crate::quantity::Grams;
use crate::stream::{OwnStream, StreamId};

/// A record found, struck or not.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    pub record: Record,
    /// Its ticket number, if it is a ticket.
    pub number: Option<i64>,
    pub struck_by: Option<i64>,
    /// Corrections of it that stand, the newest last, if it is a ticket.
    pub said: Vec<Correction>,
}

impl Found {
    /// The ticket it is, if it is one, as it is told now.
    pub fn ticket(&self) -> Option<Ticket> {
        let Entry::Ticket(first) = &self.record.content.entry else {
            return None;
        };
        let mut ticket = first.clone();
        self.said.iter().for_each(|it| it.over_ticket(&mut ticket));
        Some(ticket)
    }
}

/// What a record says, with where it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Filed<T> {
    pub seq: i64,
    pub id: String,
    pub at: Timestamp,
    pub by: String,
    pub entry: T,
}

/// A ticket, with where it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct TicketFiled {
    /// The ticket as it is told now, and its record.
    pub filed: Filed<Ticket>,
    pub number: i64,
    pub struck_by: Option<i64>,
}

/// What a supplier brings, by stream.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct UsualLoad {
    pub supplier: String,
    pub stream: StreamId,
    /// The named tare of the newest of these loads.
    pub container: Option<String>,
    pub loads: i64,
    pub last_at: Timestamp,
}

/// One load of a supplier's stream.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct LoadAlike {
    pub id: String,
    pub at: Timestamp,
    pub gross: Grams,
    pub net: Grams,
}

impl Book {
    pub fn farm(&self) -> Result<Farm> {
        let seq = self.farm_seq()?;
        self.read(|conn| get::farm(conn, seq))
    }

    /// The record of the settings that hold.
    pub fn farm_seq(&self) -> Result<i64> {
        let sql = "SELECT MAX(seq) FROM live_record WHERE kind = 'farm'";
        self.read(|conn| {
            let seq: Option<i64> = rows(conn, sql, [])?.pop().flatten();
            Ok(seq.unwrap_or_default())
        })
    }

    /// The named tares, the newest of each name, by name.
    pub fn containers(&self) -> Result<Vec<Container>> {
        // SQLite takes a bare column from the row that holds the MAX.
        let newest = "SELECT MAX(seq), c.* FROM container c JOIN live_record USING (seq)
                      GROUP BY name ORDER BY name";
        self.read(|conn| rows(conn, newest, []))
    }

    /// The farm's own streams, in the order of writing.
    pub fn own_streams(&self) -> Result<Vec<OwnStream>> {
        let sql = "SELECT o.* FROM own_stream o JOIN live_record USING (seq) ORDER BY seq";
        self.read(|conn| rows(conn, sql, []))
    }

    pub fn record(&self, seq: i64) -> Result<Option<Found>> {
        self.read(|conn| found(conn, seq))
    }

    /// A record by what people call it: its id, a ticket's number (`12` or
    /// `#12`), or `r57` for record 57. `#12` is always the ticket's number.
    pub fn find_record(&self, reference: &str) -> Result<Option<Found>> {
        self.find(reference, false)
    }

    /// A ticket by what people call it, as [`Book::find_record`].
    pub fn find_ticket(&self, reference: &str) -> Result<Option<Found>> {
        self.find(reference, true)
    }

    fn find(&self, reference: &str, ticket: bool) -> Result<Option<Found>> {
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
    pub fn suppliers(&self) -> Result<Vec<String>> {
        const SQL: &str = concat!(
            "SELECT supplier FROM ",
            told!(),
            " GROUP BY supplier ORDER BY MAX(at_utc) DESC, supplier"
        );
        self.read(|conn| rows(conn, SQL, []))
    }

    /// When the earliest of its records happened.
    pub fn begins_at(&self) -> Result<Option<Timestamp>> {
        const SQL: &str = "SELECT at_utc FROM record ORDER BY at_utc LIMIT 1";
        self.read(|conn| Ok(rows(conn, SQL, [])?.pop()))
    }

    /// What suppliers bring, from live tickets since an instant: the latest first.
    pub fn usual_loads(&self, since: Timestamp) -> Result<Vec<UsualLoad>> {
        // SQLite takes a bare column from the row that holds the MAX.
        const SQL: &str = concat!(
            "SELECT supplier, stream, container, COUNT(*) AS loads, MAX(at_utc) AS last_at FROM ",
            told!(),
            " WHERE at_utc >= ?1 GROUP BY supplier, stream
             ORDER BY MAX(at_utc) DESC, supplier, stream"
        );
        self.read(|conn| rows(conn, SQL, [instants::text_not_before(since)]))
    }

    /// The newest loads of a supplier's stream up to an instant, the newest
    /// first; struck ones, bought ones and estimates left out.
    pub fn loads_alike(
        &self,
        supplier: &str,
        stream: &StreamId,
        until: Timestamp,
        most: u32,
    ) -> Result<Vec<LoadAlike>> {
        // Every weigh-in asks, so the index leads: the newest never corrected,
        // and all that ever were, which are few.
        const SQL: &str = concat!(
            "SELECT r.id, t.at_utc AS at, t.gross_g AS gross, t.net_g AS net FROM ",
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
        let values = (supplier, stream.as_str(), until, most);
        self.read(|conn| rows(conn, SQL, values))
    }

    /// Tickets from `from` up to, not at, `to`, by instant: refused ones too,
    /// struck ones only when asked for.
    pub fn tickets_between(
        &self,
        from: Timestamp,
        to: Timestamp,
        with_struck: bool,
    ) -> Result<Vec<TicketFiled>> {
        let span = instants::span(from, to);
        let sql = "SELECT seq FROM record
                   WHERE kind = 'ticket' AND at_utc >= ?1 AND at_utc < ?2 ORDER BY at_utc, seq";
        self.read(|conn| {
            let mut tickets = Vec::new();
            for seq in rows(conn, sql, span)? {
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
    pub fn newest_records(&self, most: u32) -> Result<Vec<Found>> {
        self.records_before(i64::MAX, most)
    }

    /// The newest records that stand before one, the newest first.
    pub fn records_before(&self, seq: i64, most: u32) -> Result<Vec<Found>> {
        let sql = "SELECT seq FROM record WHERE seq < ?1 ORDER BY seq DESC LIMIT ?2";
        self.read(|conn| {
            let newest = rows(conn, sql, (seq, most))?.into_iter();
            newest
                .filter_map(|seq| found(conn, seq).transpose())
                .collect()
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

fn of_id(conn: &Connection, id: &str) -> rusqlite::Result<Option<i64>> {
    Ok(rows(conn, "SELECT seq FROM record WHERE id = ?1", [id])?.pop())
}

fn of_number(conn: &Connection, number: &str) -> rusqlite::Result<Option<i64>> {
    let Ok(number) = number.parse::<i64>() else {
        return Ok(None);
    };
    Ok(rows(conn, "SELECT seq FROM ticket WHERE number = ?1", [number])?.pop())
}

#[cfg(test)]
mod tests;
