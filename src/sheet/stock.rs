use crate::quantity::wire::view;
use crate::stream::StreamId;
use serde::Serializer;
use std::collections::HashSet;

use jiff::tz::TimeZone;

use crate::quantity::{Grams, Units};
use crate::stock::StockLot;
use crate::stream::Verdict;
use crate::words::{Said, say};

use super::document::{Document, Tone, grid};
use super::words::{listed, one_decimal};

#[derive(Debug, Clone, PartialEq)]
pub struct StockView {
    pub lots: Vec<StockLot>,
    /// The farm's zone, for the day a lot came in.
    pub zone: TimeZone,
    pub units: Units,
}

/// The stock as a page: the first `most` lots by name, all of them in the sums.
pub fn stock_document(view: &StockView, most: usize) -> Document {
    let mut document = Document::titled(say!("stock-title"));
    if view.lots.is_empty() {
        document.line(say!("stock-nothing"));
        document.next(say!("stock-weigh-first"));
        return document;
    }
    let total: Grams = view.lots.iter().map(|lot| lot.book.remaining).sum();
    let weight = view.units.told(total);
    document.answer(
        Tone::Plain,
        say!("stock-total", lots = view.lots.len(), weight),
    );
    document.table(grid!(for lot in view.lots.iter().take(most) => {
        let weight = view.units.weight(lot.book.remaining);
        Left say!("stock-lot") => &lot.book.name,
        Left say!("stream") => &lot.book.stream,
        Left say!("supplier") => &lot.book.supplier,
        Right say!("stock-on-hand") => if lot.book.estimated {
            say!("stock-estimated", weight)
        } else {
            weight.into()
        },
        Right say!("stock-age") => one_decimal(lot.age_days),
        Right say!("stock-good-for") => good_for(lot),
        Right say!("moisture-pct") => moisture(lot),
        Left say!("stock-verdict") => lot.flag.verdict.said(),
    }));
    let more = view.lots.len().saturating_sub(most);
    if more > 0 {
        document.next(say!("stock-more", more));
    }
    spoiling(view, &mut document);
    flagged(view, most, &mut document);
    document
}

/// How long it still keeps, or how long it is past that.
fn good_for(lot: &StockLot) -> Said {
    match lot.days_left() {
        None => say!("not-known"),
        Some(left) if left < 0.0 => say!("stock-days-past", days = one_decimal(-left)),
        Some(left) => say!("stock-days", days = one_decimal(left)),
    }
}

fn moisture(lot: &StockLot) -> Said {
    let Some(moisture) = lot.moisture else {
        return say!("figure-unknown");
    };
    let pct = one_decimal(moisture.pct());
    match lot.moisture_from() {
        "learned" => say!("stock-moisture-learned", pct),
        "book" => say!("stock-moisture-book", pct),
        method => say!("stock-moisture-tested", pct, method),
    }
}

fn spoiling(view: &StockView, document: &mut Document) {
    let soon: Vec<&StockLot> = (view.lots.iter())
        .filter(|lot| lot.is_feed() && lot.spoils_by_next_night())
        .collect();
    if soon.is_empty() {
        return;
    }
    let weight = (soon.iter()).map(|lot| lot.book.remaining).sum();
    let weight = view.units.weight(weight);
    let lots = named(soon.iter().copied());
    document.out(say!("stock-spoiling", weight, lots));
    if soon.iter().any(|lot| !lot.may_be_fed()) {
        let lots = named(soon.iter().copied().filter(|lot| !lot.may_be_fed()));
        document.out(say!("stock-out-of-mix", lots));
    }
    if (soon.iter()).any(|lot| lot.days_left().is_some_and(|left| left < 0.0)) {
        document.caution(say!("stock-look-first"));
    }
}

fn named<'a>(lots: impl Iterator<Item = &'a StockLot>) -> Said {
    listed(lots.map(|lot| &lot.book.name), 12)
}

fn flagged(view: &StockView, most: usize, document: &mut Document) {
    let flagged: Vec<&StockLot> = (view.lots.iter())
        .filter(|lot| lot.flag.verdict != Verdict::Feed)
        .collect();
    if flagged.is_empty() {
        return;
    }
    document.heading(say!("stock-flags"));
    for lot in flagged.iter().take(most) {
        let (name, stream) = (&lot.book.name, &lot.book.stream);
        document.line(say!("stock-flag", name, stream, flag = lot.flag.said()));
    }
    let mut seen = HashSet::new();
    let notes = (flagged.iter())
        .filter(|lot| matches!(lot.flag.verdict, Verdict::AskFirst | Verdict::Refuse))
        .map(|lot| &lot.flag.use_note)
        .filter(|note| !note.is_empty() && seen.insert(note.in_english()));
    for note in notes.collect::<Vec<_>>() {
        document.caution(note);
    }
}

view! {
    /// A lot on hand.
    pub LotLine(lot: &StockLot) {
        lot: String = lot.book.name.clone(),
        number: i64 = lot.book.number,
        supplier: String = lot.book.supplier.clone(),
        stream: StreamId = lot.book.stream.clone(),
        weighed_at: String = lot.book.weighed_at.to_string(),
        kg: f64 = lot.book.remaining.kg(),
        on_hand_g: Grams = lot.book.remaining,
        edible_g: Grams = lot.edible,
        age_days: f64 = lot.age_days,
        keeps_days: Option<f64> = lot.keeps_days,
        days_left: Option<f64> = lot.days_left(),
        spoils_by_next_night: bool = lot.spoils_by_next_night(),
        moisture_pct: Option<f64> = lot.moisture.map(|moisture| moisture.pct()),
        moisture_from: String = lot.moisture_from().to_owned(),
        estimated: bool = lot.book.estimated,
        bought: bool = lot.book.bought,
        verdict: Verdict = lot.flag.verdict,
        reason: Said = lot.flag.reason.clone(),
        /// Why no mix may use it tonight.
        kept_out: Option<Said> = lot.kept_out(),
    }
}

/// The stock, straight to where it goes: the list may be long.
pub fn write_stock(
    lots: &[StockLot],
    writer: impl std::io::Write,
) -> Result<(), serde_json::Error> {
    serde_json::Serializer::new(writer).collect_seq(lots.iter().map(LotLine::from))
}
