use askama::Template;
use axum::extract::State;
use axum::response::Response;

use crate::acts::stock_now;
use crate::sheet::stock_document;
use crate::stream::Verdict;

use super::super::answer::Refusal;
use super::super::app::App;
use super::super::view::{Frame, Part, Visiting, page};

#[derive(Template)]
#[template(path = "stock.html", config = "src/askama.toml")]
struct StockPage {
    frame: Frame,
    title: String,
    parts: Vec<Part>,
    lots: Vec<String>,
    /// Lots whose parts are to be picked out, with their stream.
    to_sort: Vec<(String, String)>,
}

/// What is here, what spoils by tomorrow, and the way to trace a lot.
pub(in crate::dock) async fn show(
    State(app): State<App>,
    visit: Visiting,
) -> Result<Response, Refusal> {
    let frame = Frame::new(&app, &visit);
    let now = app.shared.clock.now();
    let view = app
        .read(move |book, farm, tables| stock_now(book, farm, tables, now))
        .await
        .map_err(|error| frame.unread(error))?;
    let to_sort = (view.lots.iter())
        .filter(|lot| lot.flag.verdict == Verdict::PickOut)
        .map(|lot| (lot.book.name.clone(), lot.book.stream.to_string()))
        .collect();
    Ok(page(&StockPage {
        title: frame.t("nav.stock").to_owned(),
        parts: frame.document(&stock_document(&view, usize::MAX)),
        to_sort,
        lots: view.lots.into_iter().map(|lot| lot.book.name).collect(),
        frame,
    }))
}
