//! Records of a word given later: what a ticket should have said, whether a
//! lot was found fit, and who gave leave to feed a stream.

use jiff::civil::Date;
use rusqlite::{Connection, params};
use serde::Serialize;

use super::cells::Cells;
use super::get;
use crate::stream::{Leave, StreamId, Verdict};

/// What a ticket should have said, never its weights. What is `None` stands as
/// it was; a verdict goes with the stream it was given for.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Correction {
    /// Position of the ticket in the book.
    pub ticket_seq: i64,
    /// Who brought it.
    pub supplier: Option<String>,
    pub stream: Option<StreamId>,
    /// Free text.
    pub note: Option<String>,
    pub price_per_kg: Option<f64>,
    /// What staff are told to do now that the stream is another.
    pub verdict: Option<Verdict>,
    /// Why; there when the verdict is.
    pub reason: Option<String>,
    pub why: String,
}

/// A lot past its keeping time, looked at.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Look {
    /// Position of the lot's ticket in the book.
    pub lot_seq: i64,
    pub night: Date,
    /// Whether it may be fed that night.
    pub fit: bool,
    /// What was seen.
    pub note: Option<String>,
}

pub(super) fn put_correction(conn: &Connection, seq: i64, it: &Correction) -> rusqlite::Result<()> {
    conn.prepare_cached(
        "INSERT INTO correction
         (seq, ticket_seq, supplier, stream, note, price_per_kg, verdict, reason, why)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
    )?
    .execute(params![
        seq,
        it.ticket_seq,
        it.supplier,
        it.stream.as_ref().map(StreamId::as_str),
        it.note,
        it.price_per_kg,
        it.verdict.map(Verdict::as_str),
        it.reason,
        it.why
    ])?;
    Ok(())
}

pub(super) fn get_correction(conn: &Connection, seq: i64) -> rusqlite::Result<Correction> {
    let sql = "SELECT ticket_seq, supplier, stream, note, price_per_kg, verdict, reason, why
               FROM correction WHERE seq = ?1";
    get::one(conn, seq, sql, correction)
}

pub(super) fn correction(cells: &mut Cells<'_>) -> rusqlite::Result<Correction> {
    Ok(Correction {
        ticket_seq: cells.cell()?,
        supplier: cells.cell()?,
        stream: cells.text_if_any(StreamId::parse)?,
        note: cells.cell()?,
        price_per_kg: cells.cell()?,
        verdict: cells.verdict_if_any()?,
        reason: cells.cell()?,
        why: cells.cell()?,
    })
}

pub(super) fn put_look(conn: &Connection, seq: i64, look: &Look) -> rusqlite::Result<()> {
    let sql = "INSERT INTO look (seq, lot_seq, night, fit, note) VALUES (?1, ?2, ?3, ?4, ?5)";
    conn.prepare_cached(sql)?.execute(params![
        seq,
        look.lot_seq,
        look.night.to_string(),
        look.fit,
        look.note
    ])?;
    Ok(())
}

pub(super) fn get_look(conn: &Connection, seq: i64) -> rusqlite::Result<Look> {
    let sql = "SELECT lot_seq, night, fit, note FROM look WHERE seq = ?1";
    get::one(conn, seq, sql, |cells| {
        Ok(Look {
            lot_seq: cells.cell()?,
            night: cells.date()?,
            fit: cells.flag()?,
            note: cells.cell()?,
        })
    })
}

pub(super) fn put_leave(conn: &Connection, seq: i64, leave: &Leave) -> rusqlite::Result<()> {
    conn.prepare_cached(
        "INSERT INTO leave (seq, stream, supplier, given_by, given_on, what_for)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
    )?
    .execute(params![
        seq,
        leave.stream.as_str(),
        leave.supplier,
        leave.given_by,
        leave.given_on.to_string(),
        leave.what_for
    ])?;
    Ok(())
}

pub(super) fn get_leave(conn: &Connection, seq: i64) -> rusqlite::Result<Leave> {
    let sql = "SELECT stream, supplier, given_by, given_on, what_for FROM leave WHERE seq = ?1";
    get::one(conn, seq, sql, |cells| {
        Ok(Leave {
            stream: cells.stream()?,
            supplier: cells.cell()?,
            given_by: cells.cell()?,
            given_on: cells.date()?,
            what_for: cells.cell()?,
        })
    })
}
