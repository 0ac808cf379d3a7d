//! A page that is only read: a document, and around it what asks for another.

use std::time::{Duration, Instant};

use axum::extract::Path;

use super::*;
use crate::acts::{AheadAsked, Month, Pace, YieldAsked, ahead, cohorts_on, mixes, yields};
use crate::sheet::{Chart, Tone, ahead_page, cohorts_document, mixes_document, yields_document};
use crate::words::Said;

pub(crate) enum Around {
    Nothing,
    Cohorts,
    Check,
    /// Records of the day stand before this one too.
    Day(i64),
    Month {
        month: Month,
        /// Those to choose from, and which is shown.
        months: Vec<(String, String)>,
        shown: String,
    },
    Statement {
        month: Month,
        months: Vec<(String, String)>,
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

/// What stands above a month or a statement: one figure, and what it is made of.
pub(super) struct Headline {
    pub(super) figure: String,
    pub(super) said: Said,
    /// What of it is used and what is not, each as large.
    pub(super) parts: Vec<(String, Said)>,
    /// To hold it against.
    pub(super) beside: Vec<Said>,
    /// What it is the sum of: under a heading each, names with their weights.
    pub(super) why: Vec<(Said, Vec<(String, String)>)>,
    /// Whether it is closed, and what a draft means.
    pub(super) state: Said,
    /// Who or what it comes from, the largest first, each with its share of the largest [%].
    pub(super) ranking: Vec<(String, String, i64)>,
}

/// Names with their weights, the largest first.
pub(super) fn ranked(
    units: Units,
    parts: impl Iterator<Item = (String, Grams)>,
) -> Vec<(String, String, i64)> {
    let mut parts: Vec<_> = parts.filter(|(_, grams)| *grams > Grams::ZERO).collect();
    parts.sort_by_key(|(_, grams)| std::cmp::Reverse(*grams));
    let most = parts.first().map_or(1, |(_, grams)| grams.get());
    let rank =
        |(name, grams): (String, Grams)| (name, units.told(grams), grams.get() * 100 / most.max(1));
    parts.into_iter().map(rank).collect()
}

#[derive(Template)]
#[template(path = "document.html", config = "src/askama.toml")]
pub(crate) struct DocumentPage {
    frame: Frame,
    title: String,
    /// The lines it begins with.
    answer: Vec<(Tone, String)>,
    blocks: Vec<Block<String>>,
    /// Where the rows of its table lead to.
    pages: Vec<String>,
    around: Around,
    headline: Option<Headline>,
    /// Drawn below the headline rather than where it stands in the document.
    chart: Option<Chart<String>>,
}

pub(crate) type Page = Result<DocumentPage>;

impl DocumentPage {
    pub(super) fn of(frame: Frame, document: &Document, around: Around) -> Self {
        let (answer, blocks) = frame.answered(document);
        Self {
            title: frame.say(&document.title),
            answer,
            blocks,
            pages: Vec::new(),
            around,
            headline: None,
            chart: None,
            frame,
        }
    }

    /// With one figure above it; the document is folded where it is long.
    pub(super) fn under(mut self, title: String, headline: Headline) -> Self {
        self.title = title;
        let is_chart = |block: &Block<String>| matches!(block, Block::Chart(_));
        if let Some(at) = self.blocks.iter().position(is_chart)
            && let Block::Chart(chart) = self.blocks.remove(at)
        {
            self.chart = Some(chart);
        }
        self.headline = Some(headline);
        self
    }

    fn titled(frame: Frame, title: &'static str, document: &Document) -> Self {
        let title = frame.t(title);
        Self {
            title,
            ..Self::of(frame, document, Around::Nothing)
        }
    }
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
    let document = frame.app.shared.ahead(at, || {
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
        Ok(ahead_page(&sheet))
    })?;
    Ok(DocumentPage::titled(frame, "dock-nav-ahead", &document))
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
    Ok(DocumentPage::of(frame, &document, Around::Nothing))
}
