use crate::acts::{ActError, MADE_HERE, Result};
use crate::daybook::{Book, Found};

/// What staff call a lot: the ticket's own id, or its number where the id was made here.
pub fn lot_name(id: &str, number: i64) -> String {
    if id.starts_with(MADE_HERE) {
        number.to_string()
    } else {
        id.to_owned()
    }
}

/// What staff call the lot of a record; nothing where it is no ticket.
pub(crate) fn lot_of(found: &Found) -> Option<String> {
    Some(lot_name(&found.record.content.id, found.number?))
}

/// The ticket of a lot by what people call it.
pub fn find_lot(book: &Book, reference: &str) -> Result<(Found, String)> {
    let Some(found) = book.find_ticket(reference)? else {
        let newest = book.newest_records(200)?;
        let names: Vec<String> = newest.iter().filter_map(lot_of).collect();
        let names = names.iter().map(String::as_str);
        return Err(ActError::not_found("lot", reference, names));
    };
    let name = lot_of(&found).unwrap_or_default();
    Ok((found, name))
}
