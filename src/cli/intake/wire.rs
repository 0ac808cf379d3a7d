//! Takes a weight from a scale on a wire.

use std::time::{Duration, Instant};

use crate::cli::ask::line;
use crate::cli::setting::scale_port;
use crate::cli::*;
use crate::quantity::{MassUnit, NumberForm};
use crate::scale::{Followed, Seen, follow};

/// How long it waits for a weight that stands still.
const MOST: Duration = Duration::from_secs(30);

/// A scale, and the last of its weights that was taken.
pub(super) struct OnWire {
    pub(super) name: String,
    followed: Followed,
    taken: u64,
}

impl OnWire {
    pub(super) fn of(text: &str, unit: MassUnit) -> Result<Self, CliError> {
        let port = scale_port(text)?;
        Ok(Self {
            name: port.name.clone(),
            followed: follow(port, unit).map_err(CliError::refused)?,
            taken: 0,
        })
    }

    /// The next weight that stands still; a person says when the bucket is on.
    pub(super) fn weight(
        &mut self,
        setting: &Setting,
        form: NumberForm,
    ) -> Result<String, CliError> {
        if setting.may_ask() {
            line(&say!("ask-scale-on", name = &self.name).in_language(output::language()))?;
        }
        let began = Instant::now();
        loop {
            let seen = self.followed.seen();
            match seen {
                Seen::Steady(offer) if offer.number > self.taken => {
                    self.taken = offer.number;
                    let text = offer.text(form);
                    output::note(say!("scale-took", name = &self.name, weight = &text));
                    return Ok(text);
                }
                _ if began.elapsed() > MOST => {
                    let seconds = MOST.as_secs();
                    let name = &self.name;
                    let why = CliError::refused(say!("scale-no-weight", name, seconds));
                    return Err(why.with_hint(hint(&seen)));
                }
                _ => std::thread::sleep(Duration::from_millis(50)),
            }
        }
    }
}

fn hint(seen: &Seen) -> Said {
    match seen {
        Seen::Gone => say!("scale-hint-gone"),
        Seen::Quiet => say!("scale-hint-quiet"),
        Seen::Unread(line) => say!("scale-hint-unread", line),
        Seen::BelowZero => say!("scale-hint-below-zero"),
        Seen::Beyond => say!("scale-hint-beyond"),
        Seen::Empty | Seen::Moving | Seen::Steady(_) => say!("scale-hint-moving"),
    }
}
