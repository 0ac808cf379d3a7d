use crate::words::{Said, say};

use super::StockLot;

/// What someone said who looked at a lot on the night it may be fed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Looked {
    pub fit: bool,
    pub by: String,
    pub note: Option<String>,
}

/// Why a lot is too old to be used without a look, if it is: older than so
/// many keeping times.
pub fn too_old(age_days: f64, keeps_days: f64, (times, label): (f64, &str)) -> Option<Said> {
    let usable = keeps_days * times;
    (age_days > usable).then(|| {
        let (age, usable) = (format!("{age_days:.1}"), format!("{usable:.1}"));
        say!("lot-too-old", age, usable, times, label)
    })
}

impl StockLot {
    /// Days it may be used without a look; `None` when no keeping time is known.
    pub fn usable_days(&self) -> Option<f64> {
        self.keeps_days.map(|keeps| keeps * self.keeping_times)
    }

    /// Why it is too old to be used without a look, if it is.
    pub fn too_old(&self) -> Option<Said> {
        too_old(
            self.age_days,
            self.keeps_days?,
            (self.keeping_times, self.ages_label),
        )
    }

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
            None => self.too_old(),
        }
    }
}
