use std::time::{Duration, Instant};

use jiff::{SignedDuration, Timestamp};

use crate::blend::Patience;

/// Seconds somebody waits for a mix, at a terminal or on the page (our default).
pub const MIX_SECONDS: u16 = 20;

/// Lasts so many seconds from now.
#[must_use]
pub fn patience(seconds: u16) -> Patience {
    let (began, limit) = (Instant::now(), Duration::from_secs(seconds.into()));
    Patience::while_it(move || began.elapsed() < limit)
}

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
