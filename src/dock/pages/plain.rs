//! A form that needs no page of its own: questions one below the other.

use super::*;
use crate::words::Said;

/// How a question is answered.
pub(super) enum Answered {
    /// A line of so many letters.
    Line(u16),
    /// A line, with what is known already to choose from.
    Known(Vec<String>),
    Day,
    /// The scale may answer it.
    Weight,
    /// One of these: a word of the form's, and how people say it.
    OneOf(Vec<(String, String)>),
    Tick,
    /// What the page was opened for: it stays.
    Already,
}

pub(super) struct Question {
    name: &'static str,
    label: String,
    value: String,
    answered: Answered,
    /// What an answer looks like.
    like: String,
}

impl Question {
    pub(super) fn of(name: &'static str, label: String, value: &str, answered: Answered) -> Self {
        Self {
            name,
            label,
            value: value.to_owned(),
            answered,
            like: String::new(),
        }
    }

    /// An example, said to be one: it must not look like an answer.
    pub(super) fn such_as(self, frame: &Frame, example: &str) -> Self {
        self.like(frame.with("dock-plain-such-as", example))
    }

    pub(super) fn like(mut self, like: impl Into<String>) -> Self {
        self.like = like.into();
        self
    }
}

/// Words of choices as a form sends and says them.
pub(super) fn one_of<T>(
    frame: &Frame,
    all: impl IntoIterator<Item = T>,
    word: impl Fn(&T) -> String,
    said: impl Fn(&T) -> Said,
) -> Answered {
    let both = |one: T| (word(&one), frame.say(&said(&one)));
    Answered::OneOf(all.into_iter().map(both).collect())
}

/// What a form is for, where it goes, and where it leads back to.
pub(super) struct About {
    pub(super) title: Said,
    pub(super) path: &'static str,
    pub(super) api: &'static str,
    /// Fields without which nothing is sent.
    pub(super) needs: &'static str,
    pub(super) back: &'static str,
    /// What its button says.
    pub(super) does: Said,
}

#[derive(Template)]
#[template(path = "plain.html", config = "src/askama.toml")]
pub(crate) struct PlainForm {
    frame: Frame,
    about: About,
    id: String,
    by: String,
    problems: Vec<String>,
    asks: &'static str,
    done: Option<Kept>,
    first: Vec<Question>,
    /// Asked less often, folded away.
    more: Vec<Question>,
    /// What it does, where that is not plain.
    lead: String,
    /// What there is to know, below the form.
    blocks: Vec<Block<String>>,
}

impl PlainForm {
    pub(super) fn of<F: Form>(frame: Frame, mut entry: Entry<F>, about: About) -> Self
    where
        F::Done: super::super::form::ForPeople<Screen = Kept>,
    {
        let way = entry.values.way();
        Self {
            id: way.id.clone(),
            by: way.by.clone(),
            problems: entry.problems,
            asks: entry.asks,
            done: entry.done,
            first: Vec::new(),
            more: Vec::new(),
            lead: String::new(),
            blocks: Vec::new(),
            frame,
            about,
        }
    }

    pub(super) fn asking(mut self, questions: Vec<Question>) -> Self {
        self.first = questions;
        self
    }

    pub(super) fn and_more(mut self, questions: Vec<Question>) -> Self {
        self.more = questions;
        self
    }

    pub(super) fn leading(mut self, lead: String) -> Self {
        self.lead = lead;
        self
    }

    pub(super) fn below(mut self, document: &Document) -> Self {
        self.blocks = self.frame.blocks_here(document);
        self
    }
}
