//! How much a long run does: as much as `TRAYFUL_LONG` says, and no round is begun
//! once `TRAYFUL_LONG_MINUTES` are over, so that a table of what was reached is printed.

use std::time::{Duration, Instant};

fn number(name: &str) -> Option<usize> {
    let asked = std::env::var(name).ok()?;
    Some(asked.parse().expect("a whole number"))
}

/// Rounds from 0, the usual number of them unless another was asked for.
pub(crate) fn rounds(usual: usize) -> impl Iterator<Item = usize> {
    let minutes = number("TRAYFUL_LONG_MINUTES").and_then(|minutes| u64::try_from(minutes).ok());
    let end = minutes.map(|minutes| Instant::now() + Duration::from_secs(60 * minutes));
    (0..number("TRAYFUL_LONG").unwrap_or(usual))
        .take_while(move |_| end.is_none_or(|end| Instant::now() < end))
}
