use crate::daybook::{Book, Found};
use crate::table::nearest_names;

use super::{ActError, MADE_HERE};

/// What staff call a lot: the ticket's own id, or its number where the id was made here.
pub fn lot_name(id: &str, number: i64) -> String {
    if id.starts_with(MADE_HERE) {
        number.to_string()
    } else {
        id.to_owned()
    }
}

/// The ticket of a lot by what people call it.
pub fn find_lot(book: &Book, reference: &str) -> Result<(Found, String), ActError> {
    let Some(found) = book.find_ticket(reference)? else {
        let names: Vec<String> = book
            .newest_records(200)?
            .iter()
            .filter_map(|found| Some(lot_name(&found.record.content.id, found.number?)))
            .collect();
        return Err(ActError::NotFound {
            what: "lot",
            seen: reference.to_owned(),
            nearest: nearest_names(reference, names.iter().map(String::as_str)),
        });
    };
    let name = lot_name(&found.record.content.id, found.number.unwrap_or_default());
    Ok((found, name))
}
