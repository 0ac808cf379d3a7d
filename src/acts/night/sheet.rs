use crate::acts::{Asked, Night, Result};
use crate::daybook::{Addition, Book, Daybook, Draw, Entry, Sheet};
use crate::quantity::Grams;
use crate::sheet::MixSheet;

/// Records a sheet as printed, unless the night's newest sheet says the same.
/// Returns its position in the book; `None` when there is nothing to feed.
pub fn record_sheet(
    book: &mut Daybook,
    sheet: &MixSheet,
    night: Night,
    asked: &Asked,
) -> Result<Option<i64>> {
    if !sheet.mix.verdict.is_fed() {
        return Ok(None);
    }
    book.write(asked.now, |writing| {
        let entry = sheet_entry(writing, sheet, night)?;
        if let Some(newest) = writing
            .newest_sheet(night.day)?
            .filter(|newest| newest.entry == entry)
        {
            return Ok(Some(newest.seq));
        }
        let record = asked.record(Entry::Sheet(entry));
        Ok(Some(writing.append(&record)?.seq))
    })
}

pub(crate) fn sheet_entry(book: &Book, sheet: &MixSheet, night: Night) -> Result<Sheet> {
    let mut draws = Vec::new();
    let mut additions = Vec::new();
    for group in &sheet.mix.groups {
        for draw in &group.draws {
            let found = crate::acts::find_lot(book, &draw.lot)?.0;
            draws.push(Draw {
                group: group.name.clone(),
                lot_seq: found.record.seq,
                grams: draw.grams,
            });
        }
        additions.extend(group.bought.iter().map(|(stream, grams)| Addition {
            group: group.name.clone(),
            stream: Some(stream.clone()),
            grams: *grams,
        }));
        if group.water > Grams::ZERO {
            additions.push(Addition {
                group: group.name.clone(),
                stream: None,
                grams: group.water,
            });
        }
    }
    Ok(Sheet {
        night: night.day,
        verdict: sheet.mix.verdict.as_str().to_owned(),
        draws,
        additions,
    })
}
