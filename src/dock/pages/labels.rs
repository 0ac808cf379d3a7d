use fast_qr::qr::QRBuilder;
use jiff::{SignedDuration, Timestamp};

use super::*;
use crate::acts::stock_now;
use crate::sheet::day_words;
use crate::stock::StockLot;

pub(crate) struct Label {
    lot: StockLot,
    called: String,
    weight: String,
    came_in: String,
    spoils_by: Option<String>,
    code: Option<Code>,
}

/// A QR code: side in modules with its quiet zone, and the dark ones as a path.
pub(crate) struct Code {
    side: usize,
    path: String,
}

#[derive(Template)]
#[template(path = "labels.html", config = "src/askama.toml")]
pub(crate) struct LabelsPage {
    frame: Frame,
    one: bool,
    labels: Vec<Label>,
}

/// Labels of all lots on hand, or of the one named in the address.
pub(crate) fn show(at: &At, frame: Frame, Query(wanted): Query<Wanted>) -> Result<LabelsPage> {
    let view = stock_now((at.book, at.farm, at.tables), at.now)?;
    let one = !wanted.lot.is_empty();
    let lots = view.lots.into_iter();
    let lots = lots.filter(|lot| !one || lot.book.name == wanted.lot);
    let labels = lots.map(|lot| label(at, &frame, lot)).collect();
    Ok(LabelsPage { frame, one, labels })
}

fn label(at: &At, frame: &Frame, lot: StockLot) -> Label {
    let day = |instant: Timestamp| {
        let local = instant.to_zoned_datetime(at.farm.zone.clone());
        frame.say(&day_words(local.date()))
    };
    let spoils_by = lot.keeps_days.and_then(|days| {
        let keeps = SignedDuration::try_from_secs_f64(days * 86_400.0).ok()?;
        lot.book.weighed_at.checked_add(keeps).ok()
    });
    Label {
        called: frame.called(&lot.book.stream),
        weight: at.farm.units.weight(lot.book.remaining),
        came_in: day(lot.book.weighed_at),
        spoils_by: spoils_by.map(day),
        // What it names stands in it: a bare number would be taken for a weight.
        code: code(&format!("trayful lot {}", lot.book.name)),
        lot,
    }
}

/// The quiet zone around a QR code, in modules (ISO/IEC 18004, from memory, unverified).
const QUIET: usize = 4;

fn code(text: &str) -> Option<Code> {
    let code = QRBuilder::new(text).build().ok()?;
    let mut path = String::new();
    for row in 0..code.size {
        for column in 0..code.size {
            if code[row][column].value() {
                path.push_str(&format!("M{} {}h1v1h-1z", column + QUIET, row + QUIET));
            }
        }
    }
    Some(Code {
        side: code.size + 2 * QUIET,
        path,
    })
}
