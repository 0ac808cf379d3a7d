//! Who did what today, whether the book is whole, and a copy of it to take away.

use super::document::{Around, DocumentPage, Page};
use super::*;
use crate::acts::{midnight, what_record};
use crate::daybook::{Entry, Found};
use crate::sheet::{check_document, day_words, grid};
use crate::words::{Said, say};

/// So many records stand on a page.
const LISTED_MOST: u16 = 500;

/// What was written down since midnight, the newest first, page by page.
pub(crate) fn today(at: &At, frame: Frame, Query(wanted): Query<Wanted>) -> Page {
    let local = at.now.to_zoned_datetime(at.farm.zone.clone());
    let midnight = midnight(local.date(), at.farm)?;
    let before = wanted.before.parse().unwrap_or(i64::MAX);
    let records = at.book.records_before(before, u32::from(LISTED_MOST) + 1)?;
    let mut of_today: Vec<_> = (records.into_iter())
        .take_while(|found| found.record.recorded_at >= midnight)
        .collect();
    let goes_on = of_today.len() > usize::from(LISTED_MOST);
    of_today.truncate(usize::from(LISTED_MOST));
    let mut document = Document::titled(say!("dock-day-title", day = day_words(local.date())));
    document.line(match goes_on {
        true => say!("dock-day-some", records = of_today.len()),
        false if before < i64::MAX => say!("dock-day-rest", records = of_today.len()),
        false => say!("dock-day-count", records = of_today.len()),
    });
    document.table(grid!(for found in &of_today => {
        let content = &found.record.content;
        Left say!("when") => at.local(found.record.recorded_at, "%H:%M"),
        Left say!("dock-day-who") => &content.by,
        Left say!("dock-day-what") => {
            let what = in_a_line(at, found)?;
            match found.struck_by {
                Some(_) => say!("dock-day-undone", what),
                None => what,
            }
        },
    }));
    let last = of_today.last().filter(|_| goes_on);
    let around = last.map_or(Around::Nothing, |found| Around::Day(found.record.seq));
    Ok(DocumentPage::of(frame, &document, around))
}

/// What a record says, for who looks back over the day.
pub(super) fn in_a_line(at: &At, found: &Found) -> Result<Said> {
    let (units, entry) = (at.farm.units, &found.record.content.entry);
    let kind = say!("record-kind", kind = entry.kind());
    let of = |seq: i64| match at.book.record(seq)? {
        Some(found) => in_a_line(at, &found),
        None => Ok(Said::default()),
    };
    if let Some(ticket) = found.ticket() {
        let weight = units.told(ticket.net_g).into();
        let told = Said::joined([weight, (&ticket.stream).into()], " ");
        let told = [what_record(found), told, ticket.supplier.into()];
        return Ok(Said::joined(told, ", "));
    }
    let more: Said = match entry {
        Entry::Strike(strike) => {
            let what = of(strike.target_seq)?;
            return Ok(say!("dock-day-undid", what));
        }
        Entry::Money(paid) => {
            let what = say!("dock-money-kind", what = paid.item.as_str());
            let amount = format!("{} {}", paid.amount, at.farm.currency).into();
            return Ok(Said::joined([what, amount], ", "));
        }
        Entry::Fed(fed) => units.told(fed.grams()).into(),
        Entry::Harvest(harvest) => units.told(harvest.larvae_g).into(),
        Entry::Container(container) => container.name.as_str().into(),
        Entry::Cohort(cohort) => cohort.name.as_str().into(),
        Entry::CohortEnd(end) => end.name.as_str().into(),
        Entry::Assay(assay) => of(assay.lot_seq)?,
        Entry::Reweigh(reweigh) => of(reweigh.lot_seq)?,
        Entry::Look(look) => of(look.lot_seq)?,
        Entry::Discard(gone) => {
            let weight = units.told(gone.grams).into();
            Said::joined([weight, of(gone.lot_seq)?], ", ")
        }
        _ => return Ok(kind),
    };
    Ok(Said::joined([kind, more], ", "))
}

/// Looks through the whole book.
pub(crate) fn check(at: &At, frame: Frame, (): ()) -> Page {
    let report = at.book.check(None)?;
    let flaws = report.flaws.iter().map(|flaw| &flaw.what);
    let title = say!("dock-check-title");
    let mut document = check_document(title, (report.records, report.tickets), flaws);
    document.small(say!("begin-seal", seal = report.seal.short()));
    Ok(DocumentPage::of(frame, &document, Around::Check))
}

/// A verified copy of the book, to be saved elsewhere.
pub(crate) fn copy(at: &At, _: &Wanted) -> Result<Taken, Unkept> {
    let (seal, bytes) = at.book.kept_bytes().map_err(ActError::from)?;
    let day = at.local(at.now, "%Y-%m-%d");
    Ok(Taken {
        name: format!("farm-{day}-r{}.daybook", seal.seq),
        kind: "application/vnd.sqlite3",
        bytes,
    })
}
