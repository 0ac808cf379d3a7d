//! A page that is only read: a document, and around it what asks for another.

use std::time::{Duration, Instant};

use axum::extract::Path;

use super::*;
use crate::acts::{AheadAsked, Month, Pace, YieldAsked, ahead, cohorts_on, learn, mixes, yields};
use crate::sheet::{ahead_page, cohorts_document, learn_document, mixes_document, yields_document};

pub(crate) enum Around {
    Nothing,
    Cohorts,
    Month(Month),
    Statement {
        month: Month,
        suppliers: Vec<String>,
        supplier: String,
    },
    Trace {
        of: String,
        cohort: String,
        supplier: String,
        buyer: String,
    },
}

#[derive(Template)]
#[template(path = "document.html", config = "src/askama.toml")]
pub(crate) struct DocumentPage {
    frame: Frame,
    title: String,
    blocks: Vec<Block<String>>,
    /// Where the rows of its table lead to.
    pages: Vec<String>,
    around: Around,
}

pub(crate) type Page = Result<DocumentPage>;

impl DocumentPage {
    pub(super) fn of(frame: Frame, document: &Document, around: Around) -> Self {
        Self {
            title: frame.say(&document.title),
            blocks: frame.blocks(document),
            pages: Vec::new(),
            around,
            frame,
        }
    }

    fn titled(frame: Frame, title: &'static str, document: &Document) -> Self {
        let title = frame.t(title);
        Self {
            title,
            ..Self::of(frame, document, Around::Nothing)
        }
    }
}

/// What the farm's own records say against the tables.
pub(crate) fn learned(at: &At, frame: Frame, (): ()) -> Page {
    let sheet = learn((at.book, at.farm, at.tables), at.now)?;
    let document = learn_document(&sheet);
    Ok(DocumentPage::titled(frame, "dock-nav-learn", &document))
}

/// Which mixes went with which harvests.
pub(crate) fn tried(at: &At, frame: Frame, (): ()) -> Page {
    let sheet = mixes((at.book, at.farm, at.tables), at.now)?;
    let document = mixes_document(&sheet);
    Ok(DocumentPage::titled(frame, "dock-nav-mixes", &document))
}

/// So many nights are planned on the page; the command plans more.
const NIGHTS_AHEAD: usize = 7;
/// Weeks played for the chance of running short.
const WEEKS_PLAYED: usize = 40;
/// Nothing more is begun after this; a page is waited for.
const AHEAD_WITHIN: Duration = Duration::from_secs(4);

/// The nights ahead, what to do first in front.
pub(crate) fn nights_ahead(at: &At, frame: Frame, (): ()) -> Page {
    let began = Instant::now();
    let asked = AheadAsked {
        nights: NIGHTS_AHEAD,
        arrivals: None,
        plan: None,
        weeks: WEEKS_PLAYED,
    };
    let pace = Pace {
        say: &|_| (),
        spent: &|| began.elapsed(),
        limit: AHEAD_WITHIN,
    };
    let sheet = ahead((at.book, at.farm, at.tables), at.night(), &asked, &pace)?;
    Ok(DocumentPage::titled(
        frame,
        "dock-nav-ahead",
        &ahead_page(&sheet),
    ))
}

/// Larvae on their trays.
pub(crate) fn cohorts(at: &At, frame: Frame, (): ()) -> Page {
    let night = at.night();
    let cohorts = cohorts_on(at.book, at.farm, &at.tables.stages, night)?;
    let document = cohorts_document(&cohorts, night.day);
    let own_page = |record: i64| format!("/cohort/r{record}");
    Ok(DocumentPage {
        pages: cohorts.iter().map(|of| own_page(of.record)).collect(),
        around: Around::Cohorts,
        ..DocumentPage::titled(frame, "dock-nav-cohorts", &document)
    })
}

/// What one cohort was given, and what it made of it.
pub(crate) fn cohort(at: &At, frame: Frame, Path(cohort): Path<String>) -> Page {
    let how = YieldAsked::default();
    let sheet = yields((at.book, at.farm, at.tables), Some(&cohort), how, at.now)?;
    let document = yields_document(&sheet);
    Ok(DocumentPage {
        blocks: frame.blocks_here(&document),
        ..DocumentPage::of(frame, &document, Around::Nothing)
    })
}
