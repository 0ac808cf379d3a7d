//! Tickets with what was said of them later. A correction changes no ticket,
//! so whoever reads a ticket's words puts the corrections over them: in SQL
//! where many tickets are summed up, in Rust where a few are read.

use std::collections::HashMap;

use rusqlite::{Connection, Params};

use crate::daybook::store::get::rows;
use crate::daybook::{Correction, Ticket};
use crate::stream::{StreamId, Verdict};

/// A record `r` counts when it lies in the span from `?1` to `?2`, stood by
/// record `?3` and was not struck by then.
macro_rules! counts {
    () => {
        "r.at_utc >= ?1 AND r.at_utc < ?2 AND r.seq <= ?3 AND NOT EXISTS
         (SELECT 1 FROM strike s WHERE s.target_seq = r.seq AND s.seq <= ?3)"
    };
}
pub(crate) use counts;

/// A table of tickets as they are told: each word from the newest correction
/// not struck that has it, else the ticket's own. `told!()` is what counts now,
/// without struck tickets; `told!("?3")` the book up to record `?3`, with them.
macro_rules! told {
    () => { told!(@ "live_ticket", "9223372036854775807") };
    ($upto:literal) => { told!(@ "ticket", $upto) };
    (@ $tickets:literal, $upto:literal) => {
        concat!(
            "(SELECT x.seq, x.number, x.at_utc, x.gross_g, x.gross_text, x.tare_g, x.tare_text,
                x.container, x.unit, x.division, x.net_g, x.volume_l, x.estimated, x.bought,
                x.moisture_pct, x.touched, x.scale,
                x.supplier AS first_supplier, COALESCE(w.supplier, x.supplier) AS supplier,
                x.stream AS first_stream, COALESCE(w.stream, x.stream) AS stream,
                COALESCE(w.price_per_kg, x.price_per_kg) AS price_per_kg,
                COALESCE(w.verdict, x.verdict) AS verdict, COALESCE(w.reason, x.reason) AS reason
             FROM ", $tickets, " x LEFT JOIN (SELECT DISTINCT ticket_seq, ",
            told!(newest "supplier"), ", ", told!(newest "stream"), ", ",
            told!(newest "price_per_kg"), ", ", told!(newest "verdict"), ", ",
            told!(newest "reason"),
            " FROM correction c WHERE c.seq <= ", $upto, " AND NOT EXISTS
               (SELECT 1 FROM strike s WHERE s.target_seq = c.seq AND s.seq <= ", $upto, ")) w
             ON w.ticket_seq = x.seq)"
        )
    };
    (newest $word:literal) => {
        concat!(
            "FIRST_VALUE(", $word, ") OVER (PARTITION BY ticket_seq
                ORDER BY ", $word, " IS NULL, seq DESC) AS ", $word
        )
    };
}
pub(crate) use told;

/// Corrections not struck, the oldest first.
const SAID: &str = "SELECT * FROM correction c
     WHERE NOT EXISTS (SELECT 1 FROM strike s WHERE s.target_seq = c.seq)";

/// What stands corrected now, by ticket.
pub(crate) fn all(conn: &Connection) -> rusqlite::Result<HashMap<i64, Vec<Correction>>> {
    let mut said: HashMap<i64, Vec<Correction>> = HashMap::new();
    for one in newest_last(conn, "", [])? {
        said.entry(one.ticket_seq).or_default().push(one);
    }
    Ok(said)
}

/// What stands corrected now of one ticket.
pub(crate) fn of(conn: &Connection, ticket_seq: i64) -> rusqlite::Result<Vec<Correction>> {
    newest_last(conn, " AND ticket_seq = ?1", [ticket_seq])
}

fn newest_last(
    conn: &Connection,
    which: &str,
    values: impl Params,
) -> rusqlite::Result<Vec<Correction>> {
    rows(conn, &format!("{SAID}{which} ORDER BY seq"), values)
}

impl Correction {
    /// Puts what it says of supplier, stream and price over a ticket's words,
    /// wherever they are held.
    pub(in crate::daybook) fn over(
        &self,
        supplier: &mut String,
        stream: &mut StreamId,
        price_per_kg: &mut Option<f64>,
        (verdict, reason): (&mut Verdict, &mut String),
    ) {
        if let Some(said) = &self.supplier {
            supplier.clone_from(said);
        }
        if let Some(said) = &self.stream {
            stream.clone_from(said);
        }
        *price_per_kg = self.price_per_kg.or(*price_per_kg);
        if let (Some(said), Some(why)) = (self.verdict, &self.reason) {
            *verdict = said;
            reason.clone_from(why);
        }
    }

    /// Puts all it says over a ticket.
    pub fn over_ticket(&self, ticket: &mut Ticket) {
        let told = (&mut ticket.verdict, &mut ticket.reason);
        let price = &mut ticket.price_per_kg;
        self.over(&mut ticket.supplier, &mut ticket.stream, price, told);
        if self.note.is_some() {
            ticket.note.clone_from(&self.note);
        }
    }
}

#[cfg(test)]
mod tests;
