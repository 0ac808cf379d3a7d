use jiff::tz::TimeZone;

use crate::quantity::Grams;
use crate::stock::StockLot;
use crate::stream::Verdict;

use super::document::{Align, Document, Grid, Tone};
use super::words::{Units, one_decimal, plural};

/// The stock at an instant, for people.
#[derive(Debug, Clone, PartialEq)]
pub struct StockView {
    /// Lots, those that should be used first in front.
    pub lots: Vec<StockLot>,
    /// The farm's zone, for the day a lot came in.
    pub zone: TimeZone,
    /// How weights are said.
    pub units: Units,
}

/// A lot spoils "by the next night" within this many days.
const NEXT_NIGHT_DAYS: f64 = 1.0;

/// The stock as a page: the first `most` lots by name, all of them in the sums.
#[must_use]
pub fn stock_document(view: &StockView, most: usize) -> Document {
    let mut document = Document::titled("Stock on hand");
    let total: Grams = view.lots.iter().map(|lot| lot.book.remaining).sum();
    if view.lots.is_empty() {
        document.line("Nothing on hand.");
        document.toned(
            Tone::Next,
            "Next: `trayful weigh` takes in the first bucket.",
        );
        return document;
    }
    let count = i64::try_from(view.lots.len()).unwrap_or(i64::MAX);
    document.line(format!(
        "{}, {}",
        plural(count, "lot", "lots"),
        view.units.both(total)
    ));
    let mut grid = Grid::new(&[
        ("lot", Align::Left),
        ("stream", Align::Left),
        ("supplier", Align::Left),
        ("on hand", Align::Right),
        ("age, days", Align::Right),
        ("keeps yet", Align::Right),
        ("moisture %", Align::Right),
        ("verdict", Align::Left),
    ]);
    for lot in view.lots.iter().take(most) {
        grid.row([
            lot.book.name.clone(),
            lot.book.stream.to_string(),
            lot.book.supplier.clone(),
            format!(
                "{}{}",
                view.units.weight(lot.book.remaining),
                if lot.book.estimated { " est." } else { "" }
            ),
            one_decimal(lot.age_days),
            keeps_yet(lot),
            moisture(lot),
            lot.flag.verdict.to_string(),
        ]);
    }
    document.table(grid);
    let more = view.lots.len().saturating_sub(most);
    if more > 0 {
        document.toned(
            Tone::Next,
            format!("... and {more} more lots; `trayful stock --all` lists them all."),
        );
    }
    spoiling(view, &mut document);
    flagged(view, most, &mut document);
    document
}

fn keeps_yet(lot: &StockLot) -> String {
    match lot.days_left() {
        None => "not known".to_owned(),
        Some(left) if left < 0.0 => format!("{} d past", one_decimal(-left)),
        Some(left) => format!("{} d", one_decimal(left)),
    }
}

fn moisture(lot: &StockLot) -> String {
    let Some(moisture) = lot.moisture else {
        return "unknown".to_owned();
    };
    let origin = match &lot.book.tested_moisture {
        Some(tested) => tested.method.as_str(),
        None if lot.learned_moisture().is_some() => "learned",
        None => "book",
    };
    format!("{} {origin}", one_decimal(moisture.pct()))
}

fn spoiling(view: &StockView, document: &mut Document) {
    let soon: Vec<&StockLot> = view
        .lots
        .iter()
        .filter(|lot| lot.is_feed() && lot.spoils_within(NEXT_NIGHT_DAYS))
        .collect();
    if soon.is_empty() {
        return;
    }
    let weight: Grams = soon.iter().map(|lot| lot.book.remaining).sum();
    let names: Vec<&str> = soon.iter().map(|lot| lot.book.name.as_str()).collect();
    document.toned(
        Tone::Out,
        format!(
            "Past or passing its keeping time by the next night: {} in lots {}",
            view.units.weight(weight),
            listed(&names)
        ),
    );
    let out: Vec<&str> = (soon.iter())
        .filter(|lot| !lot.may_be_fed())
        .map(|lot| lot.book.name.as_str())
        .collect();
    if !out.is_empty() {
        document.toned(
            Tone::Out,
            format!(
                "Out of every mix tonight, too old or found unfit: {}",
                listed(&out)
            ),
        );
    }
    if soon
        .iter()
        .any(|lot| lot.days_left().is_some_and(|left| left < 0.0))
    {
        document.toned(Tone::Caution, "Lots past their time: look at them in open air before use; don't put your nose in the bucket (mould and gases). Foul or mouldy ones go out with `trayful discard`.");
    }
}

fn listed(names: &[&str]) -> String {
    const SHOWN: usize = 12;
    let mut text = names
        .iter()
        .take(SHOWN)
        .copied()
        .collect::<Vec<_>>()
        .join(", ");
    if names.len() > SHOWN {
        text.push_str(&format!(" and {} more", names.len() - SHOWN));
    }
    text
}

fn flagged(view: &StockView, most: usize, document: &mut Document) {
    let flagged: Vec<&StockLot> = view
        .lots
        .iter()
        .filter(|lot| lot.flag.verdict != Verdict::Feed)
        .collect();
    if flagged.is_empty() {
        return;
    }
    document.heading("Flags");
    for lot in flagged.iter().take(most) {
        document.line(format!(
            "{} {}: {}: {}",
            lot.book.name, lot.book.stream, lot.flag.verdict, lot.flag.reason
        ));
    }
    let mut notes: Vec<&str> = flagged
        .iter()
        .filter(|lot| matches!(lot.flag.verdict, Verdict::AskFirst | Verdict::Refuse))
        .map(|lot| lot.flag.use_note.as_str())
        .filter(|note| !note.is_empty())
        .collect();
    notes.sort_unstable();
    notes.dedup();
    for note in notes {
        document.toned(Tone::Caution, note);
    }
}
