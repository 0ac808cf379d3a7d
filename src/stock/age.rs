use super::StockLot;

/// What someone said who looked at a lot on the night it may be fed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Looked {
    /// Whether it may be fed that night.
    pub fit: bool,
    /// Who looked.
    pub by: String,
    /// What was seen.
    pub note: Option<String>,
}

impl StockLot {
    /// Days it may be used without a look; `None` when no keeping time is known.
    #[must_use]
    pub fn usable_days(&self) -> Option<f64> {
        self.keeps_days.map(|keeps| keeps * self.keeping_times)
    }

    /// Whether it is past the days it may be used without a look.
    #[must_use]
    pub fn is_too_old(&self) -> bool {
        self.usable_days().is_some_and(|days| self.age_days > days)
    }

    /// Whether it may be fed but someone should look first: past its keeping
    /// time, and nobody did tonight.
    #[must_use]
    pub fn asks_for_look(&self) -> bool {
        self.may_be_fed()
            && self.book.look.is_none()
            && self.days_left().is_some_and(|left| left < 0.0)
    }

    /// Whether the mix may use it.
    #[must_use]
    pub fn may_be_fed(&self) -> bool {
        self.kept_out().is_none()
    }

    /// Why the mix may not use it, if so: its verdict, the word of who looked
    /// at it, or its age.
    #[must_use]
    pub fn kept_out(&self) -> Option<String> {
        if !self.is_feed() {
            return Some(format!("{}: {}", self.flag.verdict, self.flag.reason));
        }
        match (&self.book.look, self.is_too_old()) {
            (Some(look), _) if look.fit => None,
            (Some(look), _) => {
                let note = look.note.as_deref().unwrap_or("no reason given");
                Some(format!("not fit tonight, says {}: {note}", look.by))
            }
            (None, true) => Some(format!(
                "too old: {:.1} days, out after {:.1} ({} x its keeping time, {}) unless someone looks",
                self.age_days,
                self.usable_days().unwrap_or_default(),
                self.keeping_times,
                self.ages_label
            )),
            (None, false) => None,
        }
    }
}
