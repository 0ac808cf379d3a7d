use serde::Serialize;

use super::lot::find_lot;
use crate::acts::doubts::kept_before;
use crate::acts::error::{Rejection, reason};
use crate::acts::{ActError, Asked, Result};
use crate::daybook::{Daybook, Discard, Entry, Outlet};
use crate::quantity::{Grams, Reading, Units};
use crate::words::say;

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Discarded {
    pub record: i64,
    pub lot: String,
    pub to: Outlet,
    pub grams: Grams,
    #[serde(rename = "left_g")]
    pub left: Grams,
    pub already_there: bool,
}

/// Records weight of a lot that goes elsewhere than to larvae; `weight` of `None` is all of it.
pub fn discard(
    book: &mut Daybook,
    lot: &str,
    to: Outlet,
    weight: Option<&Reading>,
    why: Option<&str>,
    units: Units,
    asked: &Asked,
) -> Result<Discarded> {
    why.map(|why| reason("why", why)).transpose()?;
    book.write(asked.now, |writing| {
        let (found, lot) = find_lot(writing, lot)?;
        let seq = found.record.seq;
        let held = writing.remaining_of(seq)?.unwrap_or(Grams::ZERO);
        let repeated = kept_before(writing, &asked.id)?.is_some();
        let grams = weight.map_or(held, Reading::grams);
        if !repeated && grams > held {
            return Err(ActError::TooMuch {
                lot,
                held: units.told(held),
                asked: units.told(grams),
            });
        }
        if !repeated && grams <= Grams::ZERO {
            let accepted = say!("accepted-above-zero");
            return Err(Rejection::new("weight", units.weight(grams), accepted).into());
        }
        let entry = Entry::Discard(Discard {
            lot_seq: seq,
            to,
            grams,
            why: why.map(ToOwned::to_owned),
        });
        let appended = writing.append(&asked.record(entry))?;
        let left = writing.remaining_of(seq)?.unwrap_or(Grams::ZERO);
        Ok(Discarded {
            record: appended.seq,
            lot,
            to,
            grams,
            left,
            already_there: appended.already_there,
        })
    })
}
