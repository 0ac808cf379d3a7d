use askama::Template;
use axum::extract::{Query, State};
use axum::response::Response;
use serde::Deserialize;

use crate::acts::{ActError, Month, month, statement};
use crate::daybook::Book;
use crate::sheet::{Document, statement_document};

use super::super::answer::Refusal;
use super::super::app::App;
use super::super::view::{Frame, Part, Visiting, page};

#[derive(Deserialize, Default)]
#[serde(default)]
pub(in crate::dock) struct Wanted {
    pub(in crate::dock) month: String,
    pub(in crate::dock) supplier: String,
}

#[derive(Template)]
#[template(path = "statement.html", config = "src/askama.toml")]
struct StatementPage {
    frame: Frame,
    title: String,
    month: String,
    suppliers: Vec<(String, bool)>,
    parts: Vec<Part>,
}

/// What a supplier gets for a month: the month before this one (this one while
/// that has nobody) and its first supplier, or those named in the address.
pub(in crate::dock) async fn show(
    State(app): State<App>,
    visit: Visiting,
    Query(wanted): Query<Wanted>,
) -> Result<Response, Refusal> {
    let frame = Frame::new(&app, &visit);
    let now = app.shared.clock.now();
    let (month, supplier, suppliers, document) = app
        .read(move |book, farm, tables| {
            let this = Month::of(now.to_zoned_datetime(farm.zone.clone()).date());
            let (asked, suppliers) =
                match wanted.month.trim() {
                    "" => suppliers_of(book, this.before()).and_then(|(last, suppliers)| {
                        match suppliers.as_slice() {
                            [] => suppliers_of(book, this),
                            _ => Ok((last, suppliers)),
                        }
                    })?,
                    named => suppliers_of(book, Month::parse(named).map_err(ActError::from)?)?,
                };
            let supplier = match wanted.supplier.trim() {
                "" => suppliers.first().cloned(),
                named => Some(named.to_owned()),
            };
            let document = match &supplier {
                Some(supplier) => {
                    let sheet = statement(book, supplier, asked, None)?;
                    statement_document(&sheet.apart(tables.not_food()))
                }
                None => Document::default(),
            };
            Ok((asked.to_string(), supplier, suppliers, document))
        })
        .await
        .map_err(|error| frame.unread(error))?;
    let title = if document.title.is_empty() {
        frame.t("statement.title").to_owned()
    } else {
        frame.say(&document.title)
    };
    Ok(page(&StatementPage {
        title,
        month,
        suppliers: suppliers
            .into_iter()
            .map(|name| {
                let is_shown = Some(&name) == supplier.as_ref();
                (name, is_shown)
            })
            .collect(),
        parts: frame.document(&document),
        frame,
    }))
}

fn suppliers_of(book: &Book, asked: Month) -> Result<(Month, Vec<String>), ActError> {
    let suppliers = month(book, asked, None)?.report.suppliers;
    let names = suppliers.into_iter().map(|supplier| supplier.supplier);
    Ok((asked, names.collect()))
}
