//! Pages that are a document, with little around it.
use axum::extract::Path;

use super::*;
use crate::acts::{YieldAsked, cohorts_on, learn, mixes, stock_now, yields};
use crate::sheet::{
    cohorts_document, learn_document, mixes_document, stock_document, yields_document,
};
use crate::stream::Verdict;

#[derive(Template)]
#[template(path = "document.html", config = "src/askama.toml")]
pub(in crate::dock) struct DocumentPage {
    frame: Frame,
    title: String,
    blocks: Vec<Block<String>>,
    /// Where the rows of its table lead to.
    pages: Vec<String>,
}

type Page = Result<DocumentPage, ActError>;

fn shown(frame: Frame, title: &'static str, document: &Document) -> Page {
    Ok(DocumentPage {
        title: frame.t(title),
        blocks: frame.blocks(document),
        pages: Vec::new(),
        frame,
    })
}

/// What the farm's own records say against the tables.
pub(in crate::dock) fn learned(at: &At, frame: Frame, (): ()) -> Page {
    let sheet = learn(at.book, at.farm, at.tables, at.now)?;
    shown(frame, "dock-nav-learn", &learn_document(&sheet))
}

/// Which mixes went with which harvests.
pub(in crate::dock) fn tried(at: &At, frame: Frame, (): ()) -> Page {
    let sheet = mixes(at.book, at.farm, at.tables, at.now)?;
    shown(frame, "dock-nav-mixes", &mixes_document(&sheet))
}

/// Larvae on their trays.
pub(in crate::dock) fn cohorts(at: &At, frame: Frame, (): ()) -> Page {
    let night = at.night();
    let cohorts = cohorts_on(at.book, at.farm, &at.tables.stages, night)?;
    let own_page = |record: i64| format!("/cohort/r{record}");
    let pages = cohorts.iter().map(|of| own_page(of.record)).collect();
    let page = shown(
        frame,
        "dock-nav-cohorts",
        &cohorts_document(&cohorts, night.day),
    )?;
    Ok(DocumentPage { pages, ..page })
}

/// What one cohort was given, and what it made of it.
pub(in crate::dock) fn cohort(at: &At, frame: Frame, Path(cohort): Path<String>) -> Page {
    let how = YieldAsked::default();
    let sheet = yields(at.book, at.farm, at.tables, Some(&cohort), how, at.now)?;
    let document = yields_document(&sheet);
    Ok(DocumentPage {
        title: frame.say(&document.title),
        blocks: frame.blocks_here(&document),
        pages: Vec::new(),
        frame,
    })
}

#[derive(Template)]
#[template(path = "stock.html", config = "src/askama.toml")]
pub(in crate::dock) struct StockPage {
    frame: Frame,
    title: String,
    blocks: Vec<Block<String>>,
    lots: Vec<String>,
    /// Lots whose parts are to be picked out, with their stream.
    to_sort: Vec<(String, String)>,
}

/// What is here, what spoils by tomorrow, and the way to trace a lot.
pub(in crate::dock) fn stock(at: &At, frame: Frame, (): ()) -> Result<StockPage, ActError> {
    let view = stock_now(at.book, at.farm, at.tables, at.now)?;
    let to_sort = view
        .lots
        .iter()
        .filter(|lot| lot.flag.verdict == Verdict::PickOut);
    Ok(StockPage {
        title: frame.t("dock-nav-stock"),
        blocks: frame.blocks(&stock_document(&view, usize::MAX)),
        to_sort: to_sort
            .map(|lot| (lot.book.name.clone(), lot.book.stream.to_string()))
            .collect(),
        lots: view.lots.into_iter().map(|lot| lot.book.name).collect(),
        frame,
    })
}
