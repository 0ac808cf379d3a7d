use jiff::{SignedDuration, Timestamp};

/// The clock of this machine, or a rehearsal's beside it.
#[derive(Debug, Clone, Copy, Default)]
pub struct Clock {
    ahead: SignedDuration,
}

impl Clock {
    /// A clock that says `now` at this moment and goes on from there.
    #[must_use]
    pub fn saying(now: Timestamp) -> Self {
        Self {
            ahead: now.duration_since(Timestamp::now()),
        }
    }

    #[must_use]
    pub fn now(self) -> Timestamp {
        let here = Timestamp::now();
        here.checked_add(self.ahead).unwrap_or(here)
    }
}
