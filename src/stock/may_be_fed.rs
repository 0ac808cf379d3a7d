use crate::words::{Said, say};

use super::StockLot;

/// What someone said who looked at a lot on the night it may be fed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Looked {
    pub fit: bool,
    pub by: String,
    pub note: Option<String>,
}

impl StockLot {
    /// Whether it may be fed but someone should look first: past its keeping
    /// time, and nobody did tonight.
    pub fn asks_for_look(&self) -> bool {
        self.may_be_fed()
            && self.book.look.is_none()
            && self.days_left().is_some_and(|left| left < 0.0)
    }

    pub fn may_be_fed(&self) -> bool {
        self.kept_out().is_none()
    }

    /// Why the mix may not use it, if so: its verdict, the word of who looked
    /// at it, or its age.
    pub fn kept_out(&self) -> Option<Said> {
        if !self.is_feed() {
            return Some(self.flag.said());
        }
        match &self.book.look {
            Some(look) if look.fit => None,
            Some(look) => {
                let note = look.note.as_ref();
                let note = note.map_or_else(|| say!("no-reason-given"), Said::from);
                Some(say!("lot-not-fit", who = &look.by, note))
            }
            None => self.too_old.clone(),
        }
    }
}
