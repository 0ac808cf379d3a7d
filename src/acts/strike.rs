use jiff::SignedDuration;
use schemars::JsonSchema;
use serde::Serialize;

use crate::daybook::{Book, Daybook, DaybookError, Entry, Found, NewRecord, Strike, Writing};
use crate::words::{Said, say};

use crate::acts::error::reason;
use crate::acts::harvest::ended_with;
use crate::acts::stock::lot::lot_name;
use crate::acts::{ActError, Asked, Result, settings};

#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Struck {
    /// Position of the strike in the book.
    pub record: i64,
    /// The voided record.
    pub target: i64,
    /// What it was, such as `ticket 12` or `fed r57`.
    pub what: Said,
    /// What hangs on it, when the strike was refused for that.
    pub already_there: bool,
}

/// Voids a record, with the reason; it stays in the book.
pub fn strike(book: &mut Daybook, reference: &str, why: &str, asked: &Asked) -> Result<Struck> {
    let why = reason("why", why)?;
    book.write(asked.now, |writing| {
        strike_into(writing, reference, why, asked.id.clone(), asked)
    })
}

/// How long after it was written a record is undone where it was made.
pub const UNDO_WITHIN: SignedDuration = SignedDuration::from_mins(2);

/// Takes back what was written, whatever it is, with all that was written in
/// the same act, such as a cohort's end with its last harvest. Without a
/// reason only what was just written.
pub fn undo(
    book: &mut Daybook,
    reference: &str,
    why: Option<&str>,
    asked: &Asked,
) -> Result<Struck> {
    let given = why.map(|why| reason("why", why)).transpose()?;
    let why = given.unwrap_or(UNDONE);
    book.write(asked.now, |writing| {
        let found = named_record(writing, reference)?;
        let record = &found.record;
        let again = match found.struck_by {
            Some(seq) => {
                (writing.record(seq)?).is_some_and(|strike| strike.record.content.id == asked.id)
            }
            None => false,
        };
        let late = asked.now.duration_since(record.recorded_at) > UNDO_WITHIN;
        if late && given.is_none() && !again {
            return Err(ActError::TooLateToUndo {
                what: what_record(&found),
                record: record.seq,
            });
        }
        // A last harvest ends its cohort in a record of its own. The end goes
        // first: then the cohort is on its trays again, harvest or none.
        let end = ended_with(&record.content.id);
        if let Some(end) = writing.find_record(&end)?
            && matches!(end.record.content.entry, Entry::CohortEnd(_))
            && end.struck_by.is_none()
        {
            let (end, id) = (format!("r{}", end.record.seq), format!("{}-2", asked.id));
            strike_into(writing, &end, why, id, asked)?;
        }
        let target = format!("r{}", record.seq);
        strike_into(writing, &target, why, asked.id.clone(), asked)
    })
}

const UNDONE: &str = "undone at once";

/// The record of such a name, or an error that says what was seen.
pub fn named_record(book: &Book, reference: &str) -> Result<Found> {
    let found = book.find_record(reference)?;
    found.ok_or_else(|| ActError::not_found("record", reference, []))
}

/// The same of a record at hand.
pub fn what_record(found: &Found) -> Said {
    let content = &found.record.content;
    let (kind, seq) = (content.entry.kind(), found.record.seq);
    match found.number {
        Some(number) => say!("record-ticket", ticket = lot_name(&content.id, number)),
        None => {
            let kind = say!("record-kind", kind);
            say!("record-other", kind, seq)
        }
    }
}

fn strike_into(
    writing: &mut Writing<'_>,
    reference: &str,
    why: &str,
    id: String,
    asked: &Asked,
) -> Result<Struck> {
    let found = named_record(writing, reference)?;
    let (target, what) = (found.record.seq, what_record(&found));
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
fn with_what_hangs(book: &Book, what: &Said, error: DaybookError) -> ActError {
    let DaybookError::WeightLeft { seq, .. } = &error else {
        return error.into();
    };
    let (Ok(hanging), Ok(farm)) = (book.outflow_of(*seq), settings(book)) else {
        return error.into();
    };
    let hanging: Vec<_> = hanging.iter().filter(|on| on.grams.get() != 0).collect();
    let told = hanging.iter().map(|on| {
        let kind = say!("record-kind", on.kind);
        let record = say!("record-other", kind, on.seq);
        Said::joined(
            [record, format!("({})", farm.units.told(on.grams)).into()],
            " ",
        )
    });
    ActError::Hangs {
        what: what.clone(),
        hanging: Said::joined(told, ", "),
        first: hanging.first().map_or(*seq, |on| on.seq),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::acts::{FarmAsked, FarmSaid, add_container, begin};
    use crate::daybook::{Chosen, CohortEnd};
    use crate::quantity::Reader;

    fn asked(id: &str, now: &str) -> Asked {
        let now = format!("2026-03-01T{now}Z").parse().expect("an instant");
        Asked {
            id: id.to_owned(),
            at: now,
            by: "AB".to_owned(),
            now,
            sure: false,
        }
    }

    /// A farm that wrote two records at 12:00, as a last harvest does.
    fn written(folder: &std::path::Path) -> Daybook {
        let text = |text: &str| text.to_owned();
        let farm = FarmAsked {
            zone: text("UTC"),
            unit: text("kg"),
            division: text("0.1"),
            currency: text("EUR"),
            region: text("eu"),
            larvae_for: text("not-feed"),
            said: FarmSaid::default(),
            chosen: Chosen::default(),
        };
        let began = asked("begin", "08:00:00");
        let mut book = begin(&folder.join("farm.daybook"), &farm, &began).expect("a book");
        let tare = Reader::PLAIN.weight("1 kg").expect("a weight");
        let pail = asked("pail", "12:00:00");
        add_container(&mut book, "pail", &tare, None, &pail).expect("a pail");
        let end = asked("pail-end", "12:00:00");
        let entry = Entry::CohortEnd(CohortEnd {
            name: text("C1"),
            why: text("harvested"),
        });
        book.append(&[end.record(entry)], end.now).expect("an end");
        book
    }

    #[test]
    fn what_was_just_written_is_undone_with_what_belongs_to_it() {
        let folder = tempfile::tempdir().expect("a folder");
        let mut book = written(folder.path());
        let too_late = undo(&mut book, "r2", None, &asked("late", "12:02:01")).expect_err("late");
        assert!(
            matches!(too_late, ActError::TooLateToUndo { .. }),
            "{too_late}"
        );
        let struck = undo(&mut book, "r2", None, &asked("u", "12:02:00")).expect("in time");
        assert_eq!((struck.target, struck.already_there), (2, false));
        for seq in [2, 3] {
            let found = book.record(seq).expect("reads").expect("is there");
            assert!(found.struck_by.is_some(), "r{seq}");
        }
        // Sent again by a tablet that heard no answer, however late.
        let again = Asked {
            now: asked("u", "12:30:00").now,
            ..asked("u", "12:02:00")
        };
        let again = undo(&mut book, "r2", None, &again).expect("harmless");
        assert!(again.already_there);
        // With a reason it is never too late.
        let tare = Reader::PLAIN.weight("2 kg").expect("a weight");
        add_container(&mut book, "bin", &tare, None, &asked("bin", "12:40:00")).expect("a bin");
        undo(&mut book, "bin", Some("no bin"), &asked("w", "13:00:00")).expect("a reason");
    }
}
