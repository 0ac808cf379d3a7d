//! What all pages share: the visit, the frame around a page, documents as HTML.

use std::sync::Arc;

use askama::Template;
use axum::response::{Html, IntoResponse, Response};

use crate::acts::ActError;
use crate::sheet::{Align, Block, Document, Tone, is_one_piece, svg};
use crate::words::Said;

use super::answer::{Refusal, details};
use super::app::App;
use super::keeper::Unkept;
use super::shape::made_id;
use super::texts::Lang;

/// Light, dark, or as the device says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) enum Look {
    #[default]
    Device,
    /// For a bright room.
    Light,
    Dark,
}

impl Look {
    pub(super) fn parse(text: &str) -> Option<Self> {
        match text {
            "device" => Some(Self::Device),
            "light" => Some(Self::Light),
            "dark" => Some(Self::Dark),
            _ => None,
        }
    }

    pub(super) const fn as_str(self) -> &'static str {
        match self {
            Self::Device => "device",
            Self::Light => "light",
            Self::Dark => "dark",
        }
    }
}

/// Who looks at a page, and how.
#[derive(Debug)]
pub(super) struct Visit {
    pub(super) token: String,
    pub(super) lang: Lang,
    pub(super) look: Look,
    pub(super) path: String,
}

/// The visit as handlers take it.
pub(super) type Visiting = axum::Extension<Arc<Visit>>;

/// The frame every page stands in.
pub(super) struct Frame {
    app: App,
    visit: Arc<Visit>,
}

impl Frame {
    pub(super) fn new(app: &App, visit: &Arc<Visit>) -> Self {
        Self {
            app: app.clone(),
            visit: Arc::clone(visit),
        }
    }

    /// A text in the visit's language.
    pub(super) fn t<'a>(&'a self, key: &'a str) -> &'a str {
        self.app.shared.texts.get(self.visit.lang, key)
    }

    /// A text with one thing put in.
    pub(super) fn with(&self, key: &str, what: &str) -> String {
        self.t(key).replacen("{}", what, 1)
    }

    /// A word of a sheet in the visit's language.
    pub(super) fn w<'a>(&'a self, english: &'a str) -> &'a str {
        self.app.shared.texts.word(self.visit.lang, english)
    }

    /// What a sheet says, in the visit's language.
    pub(super) fn say(&self, said: &Said) -> String {
        said.in_language(self.visit.lang)
    }

    pub(super) fn lang(&self) -> &'static str {
        self.visit.lang.as_str()
    }

    pub(super) fn look(&self) -> &'static str {
        self.visit.look.as_str()
    }

    pub(super) fn token(&self) -> &str {
        &self.visit.token
    }

    pub(super) fn path(&self) -> &str {
        &self.visit.path
    }

    /// The pages of the dock's day: address and name.
    pub(super) fn places(&self) -> Vec<(&'static str, &str)> {
        vec![
            ("/", self.t("nav.weigh")),
            ("/stock", self.t("nav.stock")),
            ("/tonight", self.t("nav.tonight")),
            ("/labels", self.t("nav.labels")),
        ]
    }

    /// The other pages, folded away so that weighing in stays plain.
    pub(super) fn more_places(&self) -> Vec<(&'static str, &str)> {
        vec![
            ("/cohorts", self.t("nav.cohorts")),
            ("/discard", self.t("nav.discard")),
            ("/harvest", self.t("nav.harvest")),
            ("/month", self.t("nav.month")),
            ("/statement", self.t("nav.statement")),
            ("/money", self.t("nav.money")),
            ("/learn", self.t("nav.learn")),
            ("/mixes", self.t("nav.mixes")),
        ]
    }

    pub(super) fn is_here(&self, place: &str) -> bool {
        self.visit.path == place
    }

    /// An id for what a page without script may send.
    pub(super) fn fresh_id(&self) -> String {
        made_id().unwrap_or_default()
    }

    /// The other language: its code and its name.
    pub(super) fn other_language(&self) -> (&'static str, &'static str) {
        match self.visit.lang {
            Lang::En => ("es", "Español"),
            Lang::Es => ("en", "English"),
        }
    }

    /// The other look: its code and its name.
    pub(super) fn other_look(&self) -> (&'static str, &str) {
        match self.visit.look {
            Look::Dark => ("light", self.t("nav.light")),
            Look::Device | Look::Light => ("dark", self.t("nav.dark")),
        }
    }

    /// A document as the inside of a page.
    pub(super) fn document(&self, document: &Document) -> Vec<Part> {
        let document = document.in_language(self.visit.lang);
        document
            .blocks
            .iter()
            .map(|block| self.part(block))
            .collect()
    }

    /// The same without what to type next: here a button stands for it.
    pub(super) fn document_here(&self, document: &Document) -> Vec<Part> {
        let is_next = |block: &&Block<String>| matches!(block, Block::Line(Tone::Next, _));
        let document = document.in_language(self.visit.lang);
        let blocks = document.blocks.iter().filter(|block| !is_next(block));
        blocks.map(|block| self.part(block)).collect()
    }

    fn part(&self, block: &Block<String>) -> Part {
        match block {
            Block::Heading(text) => Part::Heading(self.w(text).to_owned()),
            Block::Line(tone, text) => Part::Line(class_of(*tone), text.clone()),
            // A chart escapes its own text.
            Block::Chart(chart) => Part::Chart(svg(chart)),
            Block::Table(grid) | Block::List(grid) => Part::Table {
                heads: grid
                    .columns
                    .iter()
                    .map(|(name, align)| (self.w(name).to_owned(), side(*align)))
                    .collect(),
                named: grid.columns.iter().any(|(name, _)| !name.trim().is_empty()),
                rows: grid
                    .rows
                    .iter()
                    .map(|row| {
                        row.iter()
                            .zip(&grid.columns)
                            .map(|(cell, (_, align))| Cell {
                                text: self.w(cell).to_owned(),
                                side: of_cell(cell, *align),
                                page: None,
                            })
                            .collect()
                    })
                    .collect(),
            },
        }
    }

    /// What an act said, a line each.
    pub(super) fn details(&self, error: &ActError) -> Vec<String> {
        details(error, &self.app.shared.texts, self.visit.lang)
    }

    /// A refusal told to this visit.
    pub(super) fn refused(&self, error: Unkept) -> Refusal {
        Refusal::of(error).told(false, self.visit.lang)
    }

    /// A page that only reads can't be shown: nothing was to be recorded.
    pub(super) fn unread(&self, error: Unkept) -> Refusal {
        Refusal::of(error)
            .told(false, self.visit.lang)
            .of_a_reading()
    }
}

/// A block of a document, ready for the template.
pub(super) enum Part {
    Heading(String),
    Line(&'static str, String),
    /// A drawing, whole.
    Chart(String),
    Table {
        heads: Vec<(String, &'static str)>,
        /// Whether any head has a name.
        named: bool,
        rows: Vec<Vec<Cell>>,
    },
}

/// A cell of a table.
pub(super) struct Cell {
    /// What it says.
    pub(super) text: String,
    pub(super) side: &'static str,
    pub(super) page: Option<String>,
}

/// Lets the rows of the last table lead to a page each.
pub(super) fn linked(parts: &mut [Part], pages: impl Iterator<Item = String>) {
    let tables = parts.iter_mut().rev();
    let rows = tables.into_iter().find_map(|part| match part {
        Part::Table { rows, .. } => Some(rows),
        Part::Heading(_) | Part::Line(..) | Part::Chart(_) => None,
    });
    for (row, page) in rows.into_iter().flatten().zip(pages) {
        if let Some(first) = row.first_mut() {
            first.page = Some(page);
        }
    }
}

const fn class_of(tone: Tone) -> &'static str {
    match tone {
        Tone::Plain => "plain",
        Tone::Good => "good",
        Tone::Out => "out",
        Tone::Caution => "caution",
        Tone::Next => "next",
        Tone::Small => "small",
    }
}

fn of_cell(cell: &str, align: Align) -> &'static str {
    match align {
        Align::Left if is_one_piece(cell) => "left word",
        other => side(other),
    }
}

const fn side(align: Align) -> &'static str {
    match align {
        Align::Left => "left",
        Align::Right => "right",
    }
}

/// A rendered page.
pub(super) fn page(template: &impl Template) -> Response {
    match template.render() {
        Ok(html) => Html(html).into_response(),
        Err(_) => axum::http::StatusCode::INTERNAL_SERVER_ERROR.into_response(),
    }
}

/// A page that is only a document.
#[derive(Template)]
#[template(path = "document.html", config = "src/askama.toml")]
pub(super) struct DocumentPage {
    pub(super) frame: Frame,
    pub(super) title: String,
    pub(super) parts: Vec<Part>,
}
