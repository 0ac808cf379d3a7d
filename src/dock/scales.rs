//! The scales on a wire, as pages see them, and which weights they gave.

use std::collections::BTreeMap;
use std::sync::{Mutex, PoisonError};

use serde::Serialize;

use crate::acts::{Rejection, Result};
use crate::quantity::NumberForm;
use crate::scale::{Followed, Seen};
use crate::words::say;

/// So many of a scale's weights are known when they come back on a ticket.
const REMEMBERED: usize = 4096;

#[derive(Debug)]
pub(super) struct Scales {
    all: Vec<OneScale>,
    /// How the farm writes numbers.
    form: NumberForm,
}

#[derive(Debug)]
struct OneScale {
    name: String,
    followed: Followed,
    offered: Mutex<BTreeMap<u64, Offered>>,
}

/// A weight that stood still, and the ticket that took it.
#[derive(Debug)]
struct Offered {
    text: String,
    taken_by: Option<String>,
}

/// What a scale shows.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(super) struct Shown {
    name: String,
    state: &'static str,
    /// The weight, or the line that was not understood.
    text: String,
    /// What a ticket names the weight by; empty where none is offered.
    reading: String,
    printed: bool,
}

impl Scales {
    pub(super) fn of(followed: Vec<(String, Followed)>, form: NumberForm) -> Self {
        let one = |(name, followed)| OneScale {
            name,
            followed,
            offered: Mutex::default(),
        };
        Self {
            all: followed.into_iter().map(one).collect(),
            form,
        }
    }

    pub(super) fn are_none(&self) -> bool {
        self.all.is_empty()
    }

    pub(super) fn shown(&self) -> Vec<Shown> {
        self.all.iter().map(|one| one.shown(self.form)).collect()
    }

    /// The scale that sent this weight, if one did: a weight typed over, or one
    /// of an earlier run, counts as typed in. None is given twice.
    pub(super) fn gave(
        &self,
        reading: &str,
        gross: &str,
        ticket: &str,
    ) -> Result<Option<String>, Rejection> {
        let Some((name, number)) = reading.rsplit_once(':') else {
            return Ok(None);
        };
        let number = number.parse().unwrap_or(0);
        let Some(scale) = self.all.iter().find(|one| one.name == name) else {
            return Ok(None);
        };
        let mut offered = scale.offered();
        match offered.get_mut(&number) {
            Some(offer) if offer.text == gross.trim() => match &offer.taken_by {
                Some(other) if other != ticket => {
                    Err(Rejection::new("gross", gross, say!("accepted-scale-anew")))
                }
                _ => {
                    offer.taken_by = Some(ticket.to_owned());
                    Ok(Some(scale.name.clone()))
                }
            },
            _ => Ok(None),
        }
    }
}

impl OneScale {
    fn offered(&self) -> std::sync::MutexGuard<'_, BTreeMap<u64, Offered>> {
        self.offered.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn shown(&self, form: NumberForm) -> Shown {
        let (mut text, mut reading, mut printed) = (String::new(), String::new(), false);
        let state = match self.followed.seen() {
            Seen::Gone => "gone",
            Seen::Quiet => "quiet",
            Seen::Empty => "empty",
            Seen::Moving => "moving",
            Seen::BelowZero => "below-zero",
            Seen::Beyond => "beyond",
            Seen::Unread(line) => {
                text = line;
                "unread"
            }
            Seen::Steady(offer) => {
                text = offer.text(form);
                (reading, printed) = (format!("{}:{}", self.name, offer.number), offer.printed);
                let mut offered = self.offered();
                offered.entry(offer.number).or_insert_with(|| Offered {
                    text: text.clone(),
                    taken_by: None,
                });
                while offered.len() > REMEMBERED {
                    offered.pop_first();
                }
                "steady"
            }
        };
        Shown {
            name: self.name.clone(),
            state,
            text,
            reading,
            printed,
        }
    }
}
