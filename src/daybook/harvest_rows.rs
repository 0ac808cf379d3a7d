use rusqlite::{Connection, params};

use super::cells::Cells;
use super::{
    Adopted, Book, DaybookError, Harvest, MoneyItem, OwnFigure, Payment, ResidueTo, get, lookup,
};
use crate::quantity::{Grams, Money};

const HARVEST: &str = "SELECT cohort_seq, larvae_g, larvae_text, larvae_moisture_pct,
            larvae_nitrogen_dm_pct, counted, sample_count, sample_g, dead, residue_g,
            residue_text, residue_moisture_pct, residue_to, note
     FROM harvest WHERE seq = ?1";

const MONEY: &str = "SELECT item, hundredths, what, minutes, kwh, grams, grams_text, party, note
     FROM money WHERE seq = ?1";

const MONEY_COHORT: &str = "SELECT ord, cohort_seq FROM money_cohort WHERE seq = ?1 ORDER BY ord";

const ADOPTED: &str = "SELECT what, subject, value, before, evidence FROM adopted WHERE seq = ?1";

pub(super) fn put_harvest(conn: &Connection, seq: i64, it: &Harvest) -> rusqlite::Result<()> {
    conn.prepare_cached(
        "INSERT INTO harvest
         (seq, cohort_seq, larvae_g, larvae_text, larvae_moisture_pct, larvae_nitrogen_dm_pct,
          counted, sample_count, sample_g, dead, residue_g, residue_text, residue_moisture_pct,
          residue_to, note)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15)",
    )?
    .execute(params![
        seq,
        it.cohort_seq,
        it.larvae_g.get(),
        it.larvae_text,
        it.larvae_moisture_pct,
        it.larvae_nitrogen_dm_pct,
        it.counted,
        it.sample_count,
        it.sample_g,
        it.dead,
        it.residue_g.map(Grams::get),
        it.residue_text,
        it.residue_moisture_pct,
        it.residue_to.map(ResidueTo::as_str),
        it.note
    ])?;
    Ok(())
}

pub(super) fn get_harvest(conn: &Connection, seq: i64) -> rusqlite::Result<Harvest> {
    get::one(conn, seq, HARVEST, harvest)
}

fn harvest(cells: &mut Cells<'_>) -> rusqlite::Result<Harvest> {
    Ok(Harvest {
        cohort_seq: cells.cell()?,
        larvae_g: cells.grams()?,
        larvae_text: cells.cell()?,
        larvae_moisture_pct: cells.cell()?,
        larvae_nitrogen_dm_pct: cells.cell()?,
        counted: cells.cell()?,
        sample_count: cells.cell()?,
        sample_g: cells.cell()?,
        dead: cells.cell()?,
        residue_g: cells.grams_if_any()?,
        residue_text: cells.cell()?,
        residue_moisture_pct: cells.cell()?,
        residue_to: cells.text_if_any(ResidueTo::parse)?,
        note: cells.cell()?,
    })
}

pub(super) fn put_money(conn: &Connection, seq: i64, money: &Payment) -> rusqlite::Result<()> {
    conn.prepare_cached(
        "INSERT INTO money
         (seq, item, hundredths, what, minutes, kwh, grams, grams_text, party, note)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)",
    )?
    .execute(params![
        seq,
        money.item.as_str(),
        money.amount.hundredths(),
        money.what,
        money.minutes,
        money.kwh,
        money.grams.map(Grams::get),
        money.grams_text,
        money.party,
        money.note
    ])?;
    for (ord, cohort_seq) in (0_i64..).zip(&money.cohort_seqs) {
        conn.prepare_cached("INSERT INTO money_cohort (seq, ord, cohort_seq) VALUES (?1, ?2, ?3)")?
            .execute(params![seq, ord, cohort_seq])?;
    }
    Ok(())
}

pub(super) fn get_money(conn: &Connection, seq: i64) -> rusqlite::Result<Payment> {
    let cohort_seqs = get::many(conn, seq, MONEY_COHORT, |cells| cells.cell())?;
    get::one(conn, seq, MONEY, |cells| {
        Ok(Payment {
            item: cells.text_as(MoneyItem::parse)?,
            amount: Money::new(cells.cell()?),
            what: cells.cell()?,
            minutes: cells.cell()?,
            kwh: cells.cell()?,
            grams: cells.grams_if_any()?,
            grams_text: cells.cell()?,
            party: cells.cell()?,
            cohort_seqs,
            note: cells.cell()?,
        })
    })
}

pub(super) fn put_adopted(conn: &Connection, seq: i64, own: &Adopted) -> rusqlite::Result<()> {
    conn.prepare_cached(
        "INSERT INTO adopted (seq, what, subject, value, before, evidence)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
    )?
    .execute(params![
        seq,
        own.what.as_str(),
        own.subject,
        own.value,
        own.before,
        own.evidence
    ])?;
    Ok(())
}

pub(super) fn get_adopted(conn: &Connection, seq: i64) -> rusqlite::Result<Adopted> {
    get::one(conn, seq, ADOPTED, |cells| {
        Ok(Adopted {
            what: cells.text_as(OwnFigure::parse)?,
            subject: cells.cell()?,
            value: cells.cell()?,
            before: cells.cell()?,
            evidence: cells.cell()?,
        })
    })
}

/// Live records that need a cohort: its harvests, and money it has a part in.
pub(super) fn hangs_on_cohort(conn: &Connection, cohort_seq: i64) -> rusqlite::Result<Vec<i64>> {
    let sql = "SELECT seq FROM (SELECT seq FROM harvest WHERE cohort_seq = ?1
                   UNION SELECT seq FROM money_cohort WHERE cohort_seq = ?1)
               JOIN live_record USING (seq) ORDER BY seq";
    lookup::seqs(conn, sql, [cohort_seq])
}

/// Refuses what points to a record that is no cohort, or to a struck one.
pub(super) fn cohorts_fit(book: &Book, cohort_seqs: &[i64]) -> Result<(), DaybookError> {
    let fault = |error| book.fault(error);
    for &seq in cohort_seqs {
        match get::kind(&book.conn, seq).map_err(fault)?.as_deref() {
            None => return Err(DaybookError::NoSuchRecord { seq }),
            Some("cohort") => {}
            Some(_) => return Err(DaybookError::NotACohort { seq }),
        }
        if let Some(by) = get::struck_by(&book.conn, seq).map_err(fault)? {
            return Err(DaybookError::CohortStruck { seq, by });
        }
    }
    Ok(())
}
