use serde::Serialize;

use super::bucket::{Bucket, BucketReading, Dock};
use super::weigh_in::decided_at_dock;
use crate::acts::error::{Rejection, reason};
use crate::acts::stock::assay::table_moisture;
use crate::acts::stock::lot::find_lot;
use crate::acts::{Asked, Result};
use crate::daybook::{Correction, Daybook, DaybookError, Entry, Ticket, Writing};
use crate::quantity::{Grams, MassUnit};
use crate::stream::{Stream, StreamId, Verdict};
use crate::words::{Said, say};

/// What a ticket should have said, as typed.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct CorrectionText {
    pub supplier: Option<String>,
    pub stream: Option<String>,
    pub note: Option<String>,
    pub price_per_kg: Option<String>,
    pub price: Option<String>,
    pub why: String,
}

/// A word of a ticket that was corrected.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct WordSaid {
    pub field: &'static str,
    /// As the ticket has it, which stays readable.
    pub first: Option<String>,
    pub now: String,
}

/// A ticket as it now stands.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Corrected {
    pub record: i64,
    pub ticket: String,
    pub words: Vec<WordSaid>,
    pub verdict_before: Verdict,
    pub verdict: Verdict,
    pub reason: String,
    pub cautions: Vec<Said>,
    pub already_there: bool,
}

/// Says what a ticket should have said. The ticket stays as it was written,
/// its weights with it; of each word the newest correction not struck holds.
pub fn correct(
    book: &mut Daybook,
    dock: &Dock<'_>,
    ticket: &str,
    text: &CorrectionText,
    asked: &Asked,
) -> Result<Corrected> {
    let why = reason("why", &text.why)?;
    book.write(asked.now, |writing| {
        let (found, ticket) = find_lot(writing, ticket)?;
        let seq = found.record.seq;
        let (Entry::Ticket(first), Some(before)) = (&found.record.content.entry, found.ticket())
        else {
            return Err(DaybookError::NotALot { seq }.into());
        };
        let (said, stream) = read(dock, (seq, first, &before), text, why)?;
        let mut now = before.clone();
        said.over_ticket(&mut now);
        if now == before && writing.find_record(&asked.id)?.is_none() {
            return Err(Rejection::new("correct", ticket, say!("accepted-correction")).into());
        }
        asked.doubt(writing, |doubts| {
            if let Some(supplier) = &text.supplier {
                dock.doubts_of_name(supplier, &before.supplier, doubts);
            }
            if let (Some(stream), Some(pct)) = (stream, first.moisture_pct) {
                doubts.moisture("moisture_pct", pct, 0.0, table_moisture(stream));
            }
            Ok(())
        })?;
        let appended = writing.append(&asked.record(Entry::Correction(said.clone())))?;
        Ok(Corrected {
            record: appended.seq,
            cautions: cautions(writing, dock, &ticket, &said, &now)?,
            ticket,
            words: words(first, &said, dock.farm.units.unit()),
            verdict_before: before.verdict,
            verdict: now.verdict,
            reason: now.reason,
            already_there: appended.already_there,
        })
    })
}

/// All rejections at once, or the correction, with the stream it names.
fn read<'a>(
    dock: &Dock<'a>,
    (ticket_seq, first, before): (i64, &Ticket, &Ticket),
    text: &CorrectionText,
    why: &str,
) -> Result<(Correction, Option<&'a Stream>)> {
    let bucket = Bucket {
        supplier: (text.supplier.as_ref().unwrap_or(&before.supplier)).clone(),
        stream: text.stream.clone().unwrap_or_default(),
        note: text.note.clone(),
        price_per_kg: text.price_per_kg.clone(),
        price: text.price.clone(),
        ..Bucket::default()
    };
    let mut reading = BucketReading {
        dock,
        bucket: &bucket,
        rejections: Vec::new(),
    };
    reading.words();
    let stream = text.stream.as_ref().and_then(|_| reading.stream());
    let price_per_kg = reading.price_per_kg();
    if !reading.rejections.is_empty() {
        return Err(reading.rejections.into());
    }
    let supplier = dock.supplier_known(&bucket.supplier);
    // What was turned away stays so, whatever it was.
    let judged = stream.filter(|_| first.verdict != Verdict::Refuse);
    let (verdict, reason) = judged
        .map(|stream| judged_again(dock, first, stream, &supplier))
        .unzip();
    let said = Correction {
        ticket_seq,
        supplier: text.supplier.is_some().then_some(supplier),
        stream: stream.map(|stream| stream.id.clone()),
        note: text.note.clone(),
        price_per_kg,
        verdict,
        reason,
        why: why.to_owned(),
    };
    Ok((said, stream))
}

/// As the dock would have judged the load, had it known: what staff decided and
/// picked out holds. What is on the farm can't be turned away any more.
fn judged_again(
    dock: &Dock<'_>,
    first: &Ticket,
    stream: &Stream,
    supplier: &str,
) -> (Verdict, String) {
    let was = dock.tables.streams.get(&first.stream);
    let by_table = was.map(|was| dock.judged_of(was, &first.touched, &first.supplier));
    let stricter = by_table.is_none_or(|by_table| first.verdict > by_table.verdict);
    let decided = Some(first.verdict).filter(|it| stricter && *it == Verdict::Compost);
    let bucket = Bucket {
        verdict: decided,
        note: Some(first.reason.clone()),
        ..Bucket::default()
    };
    let judged = dock.judged_of(stream, &first.touched, supplier);
    let (flag, _) = decided_at_dock(&bucket, judged, stream, &first.picked_out);
    let (verdict, reason) = match flag.verdict {
        Verdict::Refuse => (
            Verdict::Compost,
            say!("flag-too-late", reason = flag.reason),
        ),
        verdict => (verdict, flag.reason),
    };
    (verdict, reason.in_english())
}

fn words(first: &Ticket, said: &Correction, unit: MassUnit) -> Vec<WordSaid> {
    // As it was asked for: of one unit, to a hundredth of a cent.
    let text = |price: f64| ((price * unit.kg() * 1e4).round() / 1e4).to_string();
    let id = |stream: &StreamId| stream.as_str().to_owned();
    let words = [
        (
            "supplier",
            Some(first.supplier.clone()),
            said.supplier.clone(),
        ),
        (
            "stream",
            Some(id(&first.stream)),
            said.stream.as_ref().map(id),
        ),
        ("note", first.note.clone(), said.note.clone()),
        (
            "price",
            first.price_per_kg.map(text),
            said.price_per_kg.map(text),
        ),
    ];
    let said =
        |(field, first, now): (_, _, Option<String>)| now.map(|now| WordSaid { field, first, now });
    words.into_iter().filter_map(said).collect()
}

fn cautions(
    book: &Writing<'_>,
    dock: &Dock<'_>,
    ticket: &str,
    said: &Correction,
    now: &Ticket,
) -> Result<Vec<Said>> {
    let mut cautions = Vec::new();
    if said.stream.is_some() && now.estimated {
        cautions.push(say!("correct-estimated"));
    }
    let fed: Grams = (book.fed_of_lots(&[said.ticket_seq])?.iter())
        .map(|line| line.grams)
        .sum();
    if said.stream.is_some() && fed > Grams::ZERO && !now.verdict.may_be_fed() {
        let fed = dock.farm.units.told(fed);
        cautions.push(say!("correct-fed-already", fed, ticket));
    }
    Ok(cautions)
}
