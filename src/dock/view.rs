//! What all pages share: the visit and the frame around a page.

use std::sync::Arc;

use askama::Template;
use axum::response::Response;

use crate::acts::{ActError, Result};
use crate::sheet::{Block, Document, Tone};
use crate::stream::StreamId;
use crate::words::{Language, Said};

use super::answer::{Refusal, details, page};
use super::app::{App, At};
use super::pages::office::{Place, places};
use super::role::Role;
use super::shape::made_id;

/// Light (for a bright room), dark, or as the device says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) enum Look {
    #[default]
    Device,
    Light,
    Dark,
}

impl Look {
    pub(super) fn parse(text: &str) -> Option<Self> {
        let all = [Self::Device, Self::Light, Self::Dark];
        all.into_iter().find(|look| look.as_str() == text)
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
    pub(super) session: String,
    pub(super) token: String,
    pub(super) lang: Language,
    pub(super) look: Look,
    pub(super) path: String,
    /// What it may do; `None` before the PIN.
    pub(super) role: Option<Role>,
}

/// The visit as handlers take it.
pub(super) type Visiting = axum::Extension<Arc<Visit>>;

#[derive(Clone)]
pub(super) struct Frame {
    pub(super) app: App,
    pub(super) visit: Arc<Visit>,
}

impl Frame {
    pub(super) fn new(app: &App, visit: &Arc<Visit>) -> Self {
        Self {
            app: app.clone(),
            visit: Arc::clone(visit),
        }
    }

    /// The words of what is said, each stream by what people call it.
    pub(super) fn say(&self, said: &Said) -> String {
        self.app.shared.words(said, self.visit.lang)
    }

    pub(super) fn t(&self, key: &'static str) -> String {
        self.say(&Said::sentence(key, Vec::new()))
    }

    /// A sentence with one thing put in.
    pub(super) fn with(&self, key: &'static str, what: impl Into<Said>) -> String {
        self.say(&Said::sentence(key, vec![("what", what.into())]))
    }

    /// What people call a stream; its id where the table has it no more.
    pub(super) fn called(&self, id: &StreamId) -> String {
        self.say(&id.into())
    }

    /// All streams of the table: an id, and what people call it.
    pub(super) fn streams(&self, at: &At) -> Vec<(String, String)> {
        let streams = at.tables.streams.iter();
        let both = streams.map(|stream| (stream.id.as_str().to_owned(), self.say(&stream.said())));
        both.collect()
    }

    /// An id for what a page without script may send.
    pub(super) fn fresh_id(&self) -> String {
        made_id().unwrap_or_default()
    }

    pub(super) fn blocks(&self, document: &Document) -> Vec<Block<String>> {
        document.map(&|said: &Said| self.say(said)).blocks
    }

    /// The same without what to type next: here a button stands for it.
    pub(super) fn blocks_here(&self, document: &Document) -> Vec<Block<String>> {
        let mut blocks = self.blocks(document);
        blocks.retain(|block| !matches!(block, Block::Line(Tone::Next, _)));
        blocks
    }

    /// The lines a document begins with, and what comes after them.
    pub(super) fn answered(
        &self,
        document: &Document,
    ) -> (Vec<(Tone, String)>, Vec<Block<String>>) {
        let mut blocks = self.blocks_here(document);
        let lines = blocks.iter();
        let lines = lines.take_while(|block| matches!(block, Block::Line(..)));
        let rest = blocks.split_off(lines.count());
        let line = |block| match block {
            Block::Line(tone, text) => Some((tone, text)),
            _ => None,
        };
        (blocks.into_iter().filter_map(line).collect(), rest)
    }

    /// Whether scales on a wire are listened to.
    pub(super) fn has_scales(&self) -> bool {
        !self.app.shared.scales.are_none()
    }

    pub(super) fn places(&self) -> [Place; 5] {
        places()
    }

    /// For tables whose rows lead to no page.
    pub(super) const fn nowhere(&self) -> &'static [String] {
        &[]
    }

    pub(super) fn leads<'a>(&self, pages: &'a [String], row: &usize) -> Option<&'a String> {
        pages.get(*row)
    }

    pub(super) fn details(&self, error: &ActError) -> Vec<String> {
        details(error, &|said| self.say(said))
    }

    /// A page made of what stands in the book.
    pub(super) async fn shown<T: Template>(
        self,
        make: impl FnOnce(&At, Self) -> Result<T> + Send + 'static,
    ) -> Result<Response, Refusal> {
        let app = self.app.clone();
        Ok(app.read(move |at| Ok(page(&make(at, self)?))).await?)
    }
}
