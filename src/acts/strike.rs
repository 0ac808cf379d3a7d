use crate::daybook::{Book, Daybook, DaybookError, Entry, NewRecord, Strike, Writing};

use super::error::Rejection;
use super::lot::lot_name;
use super::{ActError, Asked};

/// What was struck.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Struck {
    /// Position of the strike in the book.
    pub record: i64,
    /// The voided record.
    pub target: i64,
    /// What it was, such as `ticket 12` or `fed r57`.
    pub what: String,
    /// What hangs on it, when the strike was refused for that.
    pub already_there: bool,
}

/// Voids a record, with the reason; it stays in the book.
///
/// # Errors
/// No such record; a lot that weight has left (what hangs on it is named);
/// a strike, which stands.
pub fn strike(
    book: &mut Daybook,
    reference: &str,
    why: &str,
    asked: &Asked,
) -> Result<Struck, ActError> {
    let why = reason(why)?;
    book.write(asked.now, |writing| {
        strike_into(writing, reference, why, asked.id.clone(), asked)
    })
}

/// Voids records that belong together, in the order given: all of them or none.
///
/// # Errors
/// As [`strike`].
pub fn strike_all(
    book: &mut Daybook,
    references: &[&str],
    why: &str,
    asked: &Asked,
) -> Result<Vec<Struck>, ActError> {
    let why = reason(why)?;
    book.write(asked.now, |writing| {
        let each = references.iter().enumerate().map(|(at, reference)| {
            let id = match at {
                0 => asked.id.clone(),
                _ => format!("{}-{}", asked.id, at + 1),
            };
            strike_into(writing, reference, why, id, asked)
        });
        each.collect()
    })
}

fn reason(why: &str) -> Result<&str, Rejection> {
    let why = why.trim();
    if why.is_empty() || why.chars().count() > 500 || why.chars().any(char::is_control) {
        return Err(Rejection::new(
            "why",
            why,
            "a reason of 1 to 500 characters",
        ));
    }
    Ok(why)
}

fn strike_into(
    writing: &mut Writing<'_>,
    reference: &str,
    why: &str,
    id: String,
    asked: &Asked,
) -> Result<Struck, ActError> {
    let found = writing
        .find_record(reference)?
        .ok_or_else(|| ActError::NotFound {
            what: "record",
            seen: reference.to_owned(),
            nearest: Vec::new(),
        })?;
    let target = found.record.seq;
    let what = match found.number {
        Some(number) => format!("ticket {}", lot_name(&found.record.content.id, number)),
        None => format!("{} r{target}", found.record.content.entry.kind()),
    };
    let record = NewRecord {
        id,
        ..asked.record(Entry::Strike(Strike {
            target_seq: target,
            why: why.to_owned(),
        }))
    };
    let appended = writing
        .append(&record)
        .map_err(|error| with_what_hangs(writing, &what, error))?;
    Ok(Struck {
        record: appended.seq,
        target,
        what,
        already_there: appended.already_there,
    })
}

/// Names what hangs on a lot in the words people use.
fn with_what_hangs(book: &Book, what: &str, error: DaybookError) -> ActError {
    let DaybookError::WeightLeft { seq, .. } = &error else {
        return error.into();
    };
    let Ok(hanging) = book.outflow_of(*seq) else {
        return error.into();
    };
    let hanging: Vec<_> = hanging.iter().filter(|on| on.grams.get() != 0).collect();
    let told: Vec<String> = hanging
        .iter()
        .map(|on| format!("{} r{} ({:.2} kg)", on.kind, on.seq, on.grams.kg()))
        .collect();
    ActError::Hangs {
        what: what.to_owned(),
        hanging: told.join(", "),
        first: hanging.first().map_or(*seq, |on| on.seq),
    }
}
