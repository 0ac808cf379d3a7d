use crate::daybook::{Correction, Daybook, DaybookError, Entry};
use crate::quantity::{MassUnit, Reader};

use super::error::Rejection;
use super::lot::find_lot;
use super::strike::reason;
use super::{ActError, Asked, FarmSettings};

/// A ticket's price as it now stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Corrected {
    /// Position of the correction in the book.
    pub record: i64,
    /// What staff call the ticket.
    pub ticket: String,
    /// Price per kilogram now.
    pub price_per_kg: f64,
    /// As the ticket has it, which stays readable.
    pub first_per_kg: Option<f64>,
}

/// Says what a ticket's price should have been. The ticket stays as it was
/// written, its weights with it; the newest correction not struck holds.
///
/// # Errors
/// No such ticket; one that was struck; no number.
pub fn correct_price(
    book: &mut Daybook,
    farm: &FarmSettings,
    ticket: &str,
    price: &str,
    why: &str,
    asked: &Asked,
) -> Result<Corrected, ActError> {
    let why = reason(why)?;
    let reader = Reader {
        form: farm.units.form,
        unit: Some(MassUnit::Kg),
    };
    let limits = -1e6..=1e6;
    let number = reader.number(price).ok();
    let Some(price_per_kg) = number.filter(|price| limits.contains(price)) else {
        let accepted = "a number from -1000000 to 1000000 that can be read one way";
        return Err(Rejection::new("price", price, accepted).into());
    };
    let (found, name) = find_lot(book, ticket)?;
    let Entry::Ticket(first) = &found.record.content.entry else {
        return Err(DaybookError::NotALot {
            seq: found.record.seq,
        }
        .into());
    };
    let entry = Entry::Correction(Correction {
        ticket_seq: found.record.seq,
        supplier: None,
        stream: None,
        note: None,
        price_per_kg: Some(price_per_kg),
        verdict: None,
        reason: None,
        why: why.to_owned(),
    });
    book.write(asked.now, |writing| {
        Ok(Corrected {
            record: writing.append(&asked.record(entry.clone()))?.seq,
            ticket: name.clone(),
            price_per_kg,
            first_per_kg: first.price_per_kg,
        })
    })
}
