use super::lot::find_lot;
use super::stock_now;
use crate::acts::error::{Rejection, is_text};
use crate::acts::{Asked, FarmSettings, Night, Result, Tables, doubts};
use crate::daybook::{Daybook, Entry, Look};
use crate::words::say;

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LookAsked {
    /// The lot, as people call it.
    pub lot: String,
    pub fit: bool,
    pub note: Option<String>,
}

/// Records that someone looked at a lot: it may be fed that night, however old
/// it is, or not at all. Returns the record and the lot's name.
pub fn look(
    book: &mut Daybook,
    farm: &FarmSettings,
    tables: &Tables,
    wanted: &LookAsked,
    night: Night,
    asked: &Asked,
) -> Result<(i64, String)> {
    let note = wanted.note.as_deref().map(str::trim);
    match note {
        Some(text) if !is_text(text, 500) => {
            return Err(Rejection::new("note", text, say!("accepted-line", most = 500)).into());
        }
        None if !wanted.fit => {
            return Err(Rejection::new("note", "", say!("accepted-what-seen")).into());
        }
        _ => {}
    }
    let (found, lot) = find_lot(book, &wanted.lot)?;
    let stock = stock_now((book, farm, tables), asked.at)?;
    let in_stock = (stock.lots.iter()).find(|one| one.book.seq == found.record.seq);
    let Some(in_stock) = in_stock else {
        return Err(Rejection::new("lot", &lot, say!("accepted-lot")).into());
    };
    if wanted.fit && !in_stock.is_feed() {
        let accepted = say!("accepted-feed-lot", why = in_stock.flag.said());
        return Err(Rejection::new("lot", &lot, accepted).into());
    }
    let times = in_stock.age_days / in_stock.usable_days.unwrap_or(f64::INFINITY);
    let days = format!("{:.1}", in_stock.age_days);
    let seen = say!("doubt-too-old", lot, stream = &in_stock.book.stream, days);
    book.write(asked.now, |writing| {
        asked.doubt(writing, |doubts| {
            if wanted.fit {
                doubts.weigh(&doubts::TOO_OLD, "lot", times, &seen);
            }
            Ok(())
        })?;
        let entry = Entry::Look(Look {
            lot_seq: found.record.seq,
            night: night.day,
            fit: wanted.fit,
            note: note.map(str::to_owned),
        });
        Ok((writing.append(&asked.record(entry))?.seq, lot))
    })
}
