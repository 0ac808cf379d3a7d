use askama::Template;
use axum::extract::{Query, State};
use axum::response::Response;
use schemars::JsonSchema;
use serde::Deserialize;

use crate::acts::{TraceFrom, TraceText, trace};
use crate::sheet::{Document, recall_document, trace_document};

use super::super::answer::Refusal;
use super::super::app::App;
use super::super::view::{Frame, Part, Visiting, page};

#[derive(Deserialize, JsonSchema, Default)]
#[serde(default)]
#[schemars(rename = "TraceWanted")]
pub(in crate::dock) struct Wanted {
    /// Tickets with commas between them; one of of, cohort, harvest, supplier, buyer
    of: String,
    /// A cohort: its name or its record, such as r57
    cohort: String,
    /// A harvest, by its record
    harvest: String,
    /// All tickets of a supplier
    supplier: String,
    /// All sales to a buyer
    buyer: String,
    /// First day, such as 2026-10-03, of a supplier's tickets or a buyer's sales
    from: String,
    /// Last day
    to: String,
    /// `recall` also tells lots of the same suppliers and streams on hand
    sheet: String,
}

impl Wanted {
    /// What to trace; several tickets have commas between them.
    pub(in crate::dock) fn text(&self) -> TraceText {
        let said = |text: &String| Some(text.clone());
        TraceText {
            tickets: self.of.split(',').map(str::to_owned).collect(),
            cohort: said(&self.cohort),
            harvest: said(&self.harvest),
            supplier: said(&self.supplier),
            buyer: said(&self.buyer),
            from: said(&self.from),
            to: said(&self.to),
        }
    }

    /// Whether the sheet to act on is wanted.
    pub(in crate::dock) fn is_recall(&self) -> bool {
        self.sheet == "recall"
    }

    fn is_empty(&self) -> bool {
        let begins = [
            &self.of,
            &self.cohort,
            &self.harvest,
            &self.supplier,
            &self.buyer,
        ];
        begins.iter().all(|text| text.trim().is_empty())
    }
}

#[derive(Template)]
#[template(path = "trace.html", config = "src/askama.toml")]
struct TracePage {
    frame: Frame,
    title: String,
    wanted: Wanted,
    parts: Vec<Part>,
}

/// Where a ticket went, or what went into a cohort; a form while nothing is asked.
pub(in crate::dock) async fn show(
    State(app): State<App>,
    visit: Visiting,
    Query(wanted): Query<Wanted>,
) -> Result<Response, Refusal> {
    let frame = Frame::new(&app, &visit);
    let now = app.shared.clock.now();
    let (text, recall) = (wanted.text(), wanted.is_recall());
    let document = if wanted.is_empty() {
        Document::titled(frame.t("trace.title"))
    } else {
        app.read(move |book, farm, tables| {
            let from = TraceFrom::read(&text)?;
            let sheet = trace(book, farm, tables, &from, recall, now)?;
            Ok(if recall {
                recall_document(&sheet, usize::MAX)
            } else {
                trace_document(&sheet, usize::MAX)
            })
        })
        .await
        .map_err(|error| frame.unread(error))?
    };
    Ok(page(&TracePage {
        parts: frame.document(&document),
        title: frame.say(&document.title),
        wanted,
        frame,
    }))
}
