use jiff::Timestamp;
use rusqlite::Connection;

use super::get::rows;
use super::{get, instants};
use crate::daybook::month::closed;
use crate::daybook::{Book, DaybookError, Entry, NewRecord, Result, Strike};
use crate::quantity::Grams;
use crate::stream::Verdict;
use crate::words::{Said, say};

/// The record as the book keeps it: whole seconds, no negative zero. Refuses
/// what a column could not hold without changing it.
pub(crate) fn settled(new: &NewRecord) -> Result<NewRecord> {
    let refuse = |field, seen: String, accepted: Said| DaybookError::NotAccepted {
        id: new.id.clone(),
        field,
        seen,
        accepted,
    };
    if new.id.trim().is_empty() {
        return Err(refuse("id", new.id.clone(), say!("accepted-filled")));
    }
    if new.by.trim().is_empty() {
        return Err(refuse(
            "by",
            new.by.clone(),
            say!("accepted-who", most = 60),
        ));
    }
    if new.at < instants::EARLIEST {
        return Err(refuse("at", new.at.to_string(), say!("accepted-from-1970")));
    }
    let mut kept = new.clone();
    kept.at = instants::whole_second(new.at);
    for (field, number) in numbers(&mut kept.entry) {
        if !number.is_finite() {
            return Err(refuse(field, number.to_string(), say!("accepted-finite")));
        }
        // SQLite keeps whole numbers as integers, where -0 and 0 are the same.
        *number += 0.0;
    }
    if let Entry::Ticket(ticket) = &kept.entry {
        let picked: i128 = (ticket.picked_out.iter())
            .map(|part| i128::from(part.grams.get()))
            .sum();
        if picked > i128::from(ticket.net_g.get()) {
            let accepted = say!(
                "accepted-at-most-net",
                net = format!("{} g", ticket.net_g.get())
            );
            return Err(refuse("picked_out", format!("{picked} g"), accepted));
        }
    }
    Ok(kept)
}

/// A figure that may be missing.
trait Figure {
    fn figure(&mut self) -> Option<&mut f64>;
}

impl Figure for f64 {
    fn figure(&mut self) -> Option<&mut f64> {
        Some(self)
    }
}

impl Figure for Option<f64> {
    fn figure(&mut self) -> Option<&mut f64> {
        self.as_mut()
    }
}

macro_rules! figures_of {
    ($entry:expr; $({ $kind:ident: $($field:ident),+ })+ no figure in $($other:ident),+;) => {
        match $entry {
            $(Entry::$kind(it) => vec![$((stringify!($field), it.$field.figure())),+],)+
            $(Entry::$other(_))|+ => Vec::new(),
        }
    };
}

/// The figures of an entry that are no whole numbers.
fn numbers(entry: &mut Entry) -> Vec<(&'static str, &mut f64)> {
    let fields: Vec<(&'static str, Option<&mut f64>)> = figures_of! { entry;
        { Container: volume_l }
        { Ticket: volume_l, price_per_kg, moisture_pct }
        { Assay: wet_g, dry_g, moisture_pct, moisture_sd }
        { Cohort: tray_area_m2, depth_cm }
        { Harvest: larvae_moisture_pct, larvae_nitrogen_dm_pct, sample_g, residue_moisture_pct }
        { Money: kwh }
        { Correction: price_per_kg }
        { Adopted: value, before }
        { OwnStream: moisture_pct, keeps_days }
        no figure in Farm, Strike, Reweigh, CohortEnd, Sheet, Fed, Discard, MonthClosed, Look, Leave;
    };
    let present = |(field, number): (_, Option<_>)| number.map(|number| (field, number));
    fields.into_iter().filter_map(present).collect()
}

/// Refuses a record that contradicts those before it.
pub(crate) fn fits(book: &Book, new: &NewRecord) -> Result<()> {
    match &new.entry {
        Entry::Strike(strike) => strike_fits(book, strike),
        Entry::Assay(assay) => lot_fits(book, new, assay.lot_seq),
        Entry::Reweigh(reweigh) => lot_fits(book, new, reweigh.lot_seq),
        Entry::Discard(discard) => lot_fits(book, new, discard.lot_seq),
        Entry::Look(look) => lot_fits(book, new, look.lot_seq),
        Entry::Correction(it) => {
            let (_, first) = ticket_stands(book, it.ticket_seq)?;
            // Else a load would come into stock, or weight that is there leave it.
            let refused = |verdict| verdict == Verdict::Refuse;
            match it.verdict {
                Some(verdict) if refused(verdict) != refused(first) => {
                    Err(DaybookError::NotAccepted {
                        id: new.id.clone(),
                        field: "verdict",
                        seen: verdict.to_string(),
                        accepted: say!("accepted-refuse-stays"),
                    })
                }
                _ => Ok(()),
            }
        }
        Entry::Fed(fed) => {
            if let Some(seq) = fed.sheet_seq {
                get::is_a(book, seq, "sheet", DaybookError::NotASheet { seq })?;
            }
            (fed.draws.iter().map(|draw| draw.lot_seq))
                .chain(fed.remainders.iter().map(|rest| rest.lot_seq))
                .try_for_each(|lot_seq| lot_fits(book, new, lot_seq))
        }
        Entry::Sheet(sheet) => {
            (sheet.draws.iter()).try_for_each(|draw| lot_fits(book, new, draw.lot_seq))
        }
        Entry::Farm(_)
        | Entry::Container(_)
        | Entry::Ticket(_)
        | Entry::Cohort(_)
        | Entry::CohortEnd(_)
        | Entry::Adopted(_)
        | Entry::Leave(_)
        | Entry::OwnStream(_) => Ok(()),
        Entry::Harvest(harvest) => cohorts_fit(book, &[harvest.cohort_seq]),
        Entry::Money(money) => cohorts_fit(book, &money.cohort_seqs),
        Entry::MonthClosed(closed) => closed::fits(book, closed),
    }
}

/// A ticket that is not struck: when its load came, and its verdict.
fn ticket_stands(book: &Book, lot_seq: i64) -> Result<(Timestamp, Verdict)> {
    let seq = lot_seq;
    get::is_a(book, seq, "ticket", DaybookError::NotALot { seq })?;
    if let Some(by) = book.read(|conn| get::struck_by(conn, seq))? {
        return Err(DaybookError::LotStruck { seq, by });
    }
    let sql = "SELECT at_utc, verdict FROM ticket WHERE seq = ?1";
    let told = book.read(|conn| rows(conn, sql, [seq]))?.pop();
    told.ok_or(DaybookError::NotALot { seq })
}

fn lot_fits(book: &Book, new: &NewRecord, lot_seq: i64) -> Result<()> {
    let (came, verdict) = ticket_stands(book, lot_seq)?;
    if verdict == Verdict::Refuse {
        return Err(DaybookError::LotRefused { seq: lot_seq });
    }
    if new.at < came {
        return Err(DaybookError::BeforeLot {
            id: new.id.clone(),
            at: new.at,
            lot_seq,
            came,
        });
    }
    Ok(())
}

fn strike_fits(book: &Book, strike: &Strike) -> Result<()> {
    let seq = strike.target_seq;
    let Some(kind) = book.read(|conn| get::kind(conn, seq))? else {
        return Err(DaybookError::NoSuchRecord { seq });
    };
    if kind == "strike" {
        return Err(DaybookError::StrikeOfStrike { seq });
    }
    if kind == "month-closed" {
        return Err(DaybookError::ClosedStays { seq });
    }
    if let Some(by) = book.read(|conn| get::struck_by(conn, seq))? {
        return Err(DaybookError::AlreadyStruck { seq, by });
    }
    let of_it = |sql: &str| book.read(|conn| rows(conn, sql, [seq]));
    match kind.as_str() {
        "farm" if of_it(OTHER_FARMS)?.is_empty() => Err(DaybookError::LastFarm { seq }),
        "cohort" => match of_it(HANGS_ON_COHORT)? {
            by if by.is_empty() => Ok(()),
            by => Err(DaybookError::CohortInUse { seq, by }),
        },
        "own-stream" => match of_it(LOADS_OF_STREAM)? {
            by if by.is_empty() => Ok(()),
            by => Err(DaybookError::StreamInUse { seq, by }),
        },
        "ticket" => match of_it(LEFT_BY)? {
            by if by.is_empty() => Ok(()),
            by => Err(DaybookError::WeightLeft { seq, by }),
        },
        _ => Ok(()),
    }
}

const OTHER_FARMS: &str = "SELECT seq FROM live_record WHERE kind = 'farm' AND seq <> ?1 LIMIT 1";

/// Live records that need a cohort: its harvests, and money it has a part in.
const HANGS_ON_COHORT: &str = "SELECT seq FROM (SELECT seq FROM harvest WHERE cohort_seq = ?1
         UNION SELECT seq FROM money_cohort WHERE cohort_seq = ?1)
     JOIN live_record USING (seq) ORDER BY seq";

/// Live tickets of a farm's own stream, as they are told now or were first
/// written, where no earlier record of that stream stands.
const LOADS_OF_STREAM: &str = "SELECT seq FROM (
         SELECT seq, stream FROM live_ticket
         UNION SELECT ticket_seq, c.stream FROM correction c JOIN live_record USING (seq))
     WHERE stream = (SELECT stream FROM own_stream WHERE seq = ?1)
     AND NOT EXISTS (SELECT 1 FROM own_stream o JOIN live_record USING (seq)
         WHERE o.seq <> ?1 AND o.stream = (SELECT stream FROM own_stream WHERE seq = ?1))
     ORDER BY seq LIMIT 12";

/// The live records by which weight left a lot.
const LEFT_BY: &str =
    "SELECT DISTINCT seq FROM live_outflow WHERE lot_seq = ?1 AND grams <> 0 ORDER BY seq";

/// Refuses what points to a record that is no cohort, or to a struck one.
fn cohorts_fit(book: &Book, cohort_seqs: &[i64]) -> Result<()> {
    for &seq in cohort_seqs {
        get::is_a(book, seq, "cohort", DaybookError::NotACohort { seq })?;
        if let Some(by) = book.read(|conn| get::struck_by(conn, seq))? {
            return Err(DaybookError::CohortStruck { seq, by });
        }
    }
    Ok(())
}

/// What a lot holds by every live record, whatever its instant.
pub(crate) fn remaining(conn: &Connection, lot_seq: i64) -> rusqlite::Result<Option<Grams>> {
    let sql = "SELECT verdict, net_g
                 - COALESCE((SELECT SUM(grams) FROM picked_out WHERE seq = ?1), 0)
                 - COALESCE((SELECT SUM(grams) FROM live_outflow WHERE lot_seq = ?1), 0)
             FROM live_ticket WHERE seq = ?1";
    let held: Vec<(Verdict, Grams)> = rows(conn, sql, [lot_seq])?;
    let is_lot = |(verdict, _): &(Verdict, Grams)| *verdict != Verdict::Refuse;
    Ok(held.into_iter().find(is_lot).map(|(_, grams)| grams))
}
