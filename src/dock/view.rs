//! What all pages share: the visit, the frame around a page, documents as HTML.

use std::sync::Arc;

use askama::Template;
use axum::response::{Html, IntoResponse, Response};

use crate::sheet::{Align, Block, Document, Tone, svg};

use super::answer::Refusal;
use super::app::App;
use super::keeper::Unkept;
use super::texts::Lang;

/// Light, dark, or as the device says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) enum Look {
    /// As the device says.
    #[default]
    Device,
    /// For a bright room.
    Light,
    /// For a dark room.
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

    /// The pages to go to: address and name.
    pub(super) fn places(&self) -> Vec<(&'static str, &str)> {
        vec![
            ("/", self.t("nav.weigh")),
            ("/stock", self.t("nav.stock")),
            ("/tonight", self.t("nav.tonight")),
            ("/cohorts", self.t("nav.cohorts")),
            ("/month", self.t("nav.month")),
            ("/statement", self.t("nav.statement")),
            ("/labels", self.t("nav.labels")),
        ]
    }

    pub(super) fn is_here(&self, place: &str) -> bool {
        self.visit.path == place
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
        document
            .blocks
            .iter()
            .map(|block| self.part(block))
            .collect()
    }

    fn part(&self, block: &Block) -> Part {
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
                            .map(|(cell, (_, align))| (self.w(cell).to_owned(), side(*align)))
                            .collect()
                    })
                    .collect(),
            },
        }
    }

    /// A refusal told to this visit.
    pub(super) fn refused(&self, error: Unkept) -> Refusal {
        Refusal::of(error).told(false, self.visit.lang)
    }
}

/// A block of a document, ready for the template.
pub(super) enum Part {
    /// A heading.
    Heading(String),
    /// A line with its class.
    Line(&'static str, String),
    /// A drawing, whole.
    Chart(String),
    /// A table.
    Table {
        /// Heads with their side.
        heads: Vec<(String, &'static str)>,
        /// Whether any head has a name.
        named: bool,
        /// Cells with their side.
        rows: Vec<Vec<(String, &'static str)>>,
    },
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
