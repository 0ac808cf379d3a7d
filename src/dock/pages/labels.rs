use askama::Template;
use axum::extract::{Query, State};
use axum::response::Response;
use fast_qr::qr::QRBuilder;
use jiff::{SignedDuration, tz::TimeZone};
use serde::Deserialize;

use crate::acts::stock_now;
use crate::sheet::Units;
use crate::stock::StockLot;

use super::super::answer::Refusal;
use super::super::app::App;
use super::super::view::{Frame, Visiting, page};

#[derive(Deserialize, Default)]
#[serde(default)]
pub(in crate::dock) struct Wanted {
    lot: String,
}

/// A label for one bucket.
struct Label {
    lot: String,
    stream: String,
    supplier: String,
    weight: String,
    came_in: String,
    spoils_by: Option<String>,
    verdict: &'static str,
    code: Option<Code>,
}

/// A QR code: side in modules with its quiet zone, and the dark ones as a path.
struct Code {
    side: usize,
    path: String,
}

#[derive(Template)]
#[template(path = "labels.html", config = "src/askama.toml")]
struct LabelsPage {
    frame: Frame,
    one: bool,
    labels: Vec<Label>,
}

/// Labels of all lots on hand, or of the one named in the address.
pub(in crate::dock) async fn show(
    State(app): State<App>,
    visit: Visiting,
    Query(wanted): Query<Wanted>,
) -> Result<Response, Refusal> {
    let frame = Frame::new(&app, &visit);
    let now = app.shared.clock.now();
    let view = app
        .read(move |book, farm, tables| stock_now(book, farm, tables, now))
        .await
        .map_err(|error| frame.unread(error))?;
    let one = !wanted.lot.is_empty();
    let labels = view
        .lots
        .iter()
        .filter(|lot| !one || lot.book.name == wanted.lot)
        .map(|lot| label(lot, &view.zone, view.units))
        .collect();
    Ok(page(&LabelsPage { frame, one, labels }))
}

fn label(lot: &StockLot, zone: &TimeZone, units: Units) -> Label {
    let day = |at: jiff::Timestamp| {
        at.to_zoned_datetime(zone.clone())
            .strftime("%Y-%m-%d %H:%M")
            .to_string()
    };
    let spoils_by = lot.keeps_days.and_then(|days| {
        let keeps = SignedDuration::try_from_secs_f64(days * 86_400.0).ok()?;
        lot.book.weighed_at.checked_add(keeps).ok()
    });
    Label {
        lot: lot.book.name.clone(),
        stream: lot.book.stream.to_string(),
        supplier: lot.book.supplier.clone(),
        weight: units.weight(lot.book.remaining),
        came_in: day(lot.book.weighed_at),
        spoils_by: spoils_by.map(day),
        verdict: lot.flag.verdict.as_str(),
        // What it names stands in it: a bare number would be taken for a weight.
        code: code(&format!("trayful lot {}", lot.book.name)),
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
