//! What forms and JSON bring, as the acts want it. A blank field is an absent one.

use jiff::Timestamp;
use schemars::JsonSchema;
use serde::Deserialize;

use crate::acts::{MADE_HERE, Rejection, Result, Sending};
use crate::quantity::{QuantityError, Reader, Reading};
use crate::words::{Said, is_unseen, say};

pub(super) fn given(text: &str) -> Option<String> {
    let text = text.trim();
    (!text.is_empty()).then(|| text.to_owned())
}

/// Whether a box was ticked.
pub(super) fn ticked(text: &str) -> bool {
    matches!(text, "yes" | "on" | "true")
}

/// A bucket without a container. No container can have that name: it is told
/// by `NAME=TARE`.
pub(super) const NO_CONTAINER: &str = "=0";

/// The tare that was typed or chosen as text, and the container that was chosen.
pub(super) fn tare(container: &str, tare: &str) -> (Option<String>, Option<String>) {
    let container = given(container).filter(|chosen| chosen != "other");
    match (given(tare), container) {
        (Some(tare), _) => (Some(tare), None),
        (None, Some(none)) if none == NO_CONTAINER => (Some("0".to_owned()), None),
        (None, container) => (None, container),
    }
}

fn refused(field: &'static str, seen: &str, accepted: impl Into<Said>) -> Rejection {
    Rejection::new(field, seen.chars().take(80).collect::<String>(), accepted)
}

/// How an entry came here.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(default)]
pub(super) struct Way {
    /// Made by the sender, 12 to 60 letters, digits, - or _. The same id with the same content
    /// is kept once; with other content it is a conflict. A ticket whose id begins with `auto-`
    /// is called by its number.
    pub(super) id: String,
    /// Who did it
    pub(super) by: String,
    /// `yes` when unlikely figures are meant
    pub(super) sure: String,
    /// The sender's clock when it was entered, RFC 3339.
    pub(super) entered_at: String,
    /// The same when it was sent: the difference is how long it waited.
    pub(super) sent_at: String,
}

impl Way {
    /// Read, with who is taken where no one is named.
    pub(super) fn sending(&self, otherwise: &str) -> Result<Sending, Rejection> {
        Ok(Sending {
            id: page_id(&self.id)?,
            by: who(&self.by, otherwise)?,
            entered: instant("entered_at", &self.entered_at)?,
            sent: instant("sent_at", &self.sent_at)?,
            sure: ticked(&self.sure),
        })
    }
}

/// An id made in a page. It must be long enough that no two pages make the same.
fn page_id(id: &str) -> Result<String, Rejection> {
    // `r` with digits names a record.
    let names_a_record = id
        .strip_prefix('r')
        .is_some_and(|rest| rest.bytes().all(|b| b.is_ascii_digit()));
    let is_fine = |b: u8| b.is_ascii_alphanumeric() || b == b'-' || b == b'_';
    if (12..=60).contains(&id.len()) && !names_a_record && id.bytes().all(is_fine) {
        return Ok(id.to_owned());
    }
    Err(refused("id", id, say!("accepted-sender-id")))
}

/// A fresh id, for a page without script.
pub(super) fn made_id() -> Option<String> {
    super::session::Sessions::fresh().map(|random| format!("{MADE_HERE}{}", &random[..20]))
}

fn who(named: &str, otherwise: &str) -> Result<String, Rejection> {
    let named = given(named).unwrap_or_else(|| otherwise.to_owned());
    if named.chars().count() > 60 || named.chars().any(is_unseen) {
        return Err(refused("by", &named, say!("accepted-who", most = 60)));
    }
    Ok(named)
}

fn instant(field: &'static str, text: &str) -> Result<Option<Timestamp>, Rejection> {
    let read = given(text).map(|text| text.parse()).transpose();
    read.map_err(|_| refused(field, text, say!("accepted-instant")))
}

/// Fields while they are read, with every one that is not understood.
pub(super) struct Fields {
    reader: Reader,
    refused: Vec<Rejection>,
}

impl Fields {
    pub(super) fn of(reader: Reader) -> Self {
        let refused = Vec::new();
        Self { reader, refused }
    }

    pub(super) fn refuse(&mut self, field: &'static str, seen: &str, accepted: impl Into<Said>) {
        self.refused.push(refused(field, seen, accepted));
    }

    pub(super) fn read<T>(
        &mut self,
        field: &'static str,
        text: &str,
        parse: impl FnOnce(Reader, &str) -> Result<T, QuantityError>,
    ) -> Option<T> {
        let read = parse(self.reader, &given(text)?);
        read.map_err(|error| self.refuse(field, text.trim(), error.accepted()))
            .ok()
    }

    pub(super) fn weight(&mut self, field: &'static str, text: &str) -> Option<Reading> {
        let scaled = self.read(field, text, Reader::scale);
        scaled.map(|read| read.reading)
    }

    pub(super) fn choice<T>(
        &mut self,
        field: &'static str,
        text: &str,
        parse: fn(&str) -> Option<T>,
        accepted: impl Into<Said>,
    ) -> Option<T> {
        let found = parse(text.trim());
        if found.is_none() {
            self.refuse(field, text, accepted);
        }
        found
    }

    /// A field that may not be left out.
    pub(super) fn needed<T>(
        &mut self,
        field: &'static str,
        text: &str,
        read: Option<T>,
        accepted: Said,
    ) -> Option<T> {
        if given(text).is_none() {
            self.refuse(field, "", accepted);
        }
        read
    }

    /// The field without which there is nothing to ask for, where all the
    /// others were understood too.
    pub(super) fn done<T>(self, needed: Option<T>) -> Result<T> {
        match needed {
            Some(needed) if self.refused.is_empty() => Ok(needed),
            _ => Err(self.refused.into()),
        }
    }
}
