use jiff::{SignedDuration, Timestamp};

use super::weigh_in::weigh_into;
use crate::acts::doubts::kept_before;
use crate::acts::{Asked, Bucket, Dock, Result};
use crate::daybook::{Book, Daybook, Entry};
use crate::sheet::TicketCard;

/// A bucket sent from elsewhere, perhaps late, perhaps more than once.
#[derive(Debug, Clone, PartialEq)]
pub struct Sent {
    pub bucket: Bucket,
    /// How it came here.
    pub sending: Sending,
}

/// How an entry made elsewhere came here.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Sending {
    pub id: String,
    pub by: String,
    pub entered: Option<Timestamp>,
    /// The same clock when it was sent.
    pub sent: Option<Timestamp>,
    pub sure: bool,
}

impl Sending {
    /// Who asks, and when it happened: the present, less the time the sender's
    /// own clock counted. An entry that is in the book already keeps its
    /// instant, so that a repeated sending is the same.
    pub fn asked(&self, book: &Book, now: Timestamp) -> Result<Asked> {
        let kept = kept_before(book, &self.id)?;
        Ok(Asked {
            id: self.id.clone(),
            at: kept.map_or_else(|| now - waited(self), |kept| kept.at),
            by: self.by.clone(),
            now,
            sure: self.sure,
        })
    }
}

/// A clock elsewhere that goes wrong.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ClockOff {
    /// What it said when the bucket was entered.
    pub said: Timestamp,
    /// How far it is ahead (behind when negative).
    pub ahead: SignedDuration,
}

/// A bucket that is in the book, and what was odd about its way there.
#[derive(Debug, Clone, PartialEq)]
pub struct Welcomed {
    pub card: TicketCard,
    /// The sender's clock, where it goes wrong.
    pub clock: Option<ClockOff>,
}

/// A clock this far off is told (our default).
const CLOCK_FINE: SignedDuration = SignedDuration::from_mins(2);
/// A bucket that waited longer is taken as entered now (our default).
const WAITS_MOST: SignedDuration = SignedDuration::from_hours(24 * 31);
/// Begins what is added to the note when the sender's clock is wrong.
const CLOCK_NOTE: &str = "tablet clock said ";

/// Weighs in buckets that were sent, all in one writing: each is kept or
/// refused by itself, and one disk write serves them all.
///
/// When it was weighed is reckoned from this side's clock: the present, less
/// the time the sender's own clock counted between entering and sending. So a
/// clock that is wrong by a day does no harm; what it said is kept in the note.
pub fn weigh_in_sent(
    book: &mut Daybook,
    dock: &Dock<'_>,
    sent: &[Sent],
    now: Timestamp,
) -> Result<Vec<Result<Welcomed>>> {
    book.write(now, |writing| {
        Ok(sent
            .iter()
            .map(|sent| {
                let (bucket, asked, clock) = as_kept(writing, sent, now)?;
                let card = weigh_into(writing, dock, &bucket, &asked)?;
                Ok(Welcomed { card, clock })
            })
            .collect())
    })
}

/// The bucket with the instant it was weighed. One that is in the book already
/// comes with the instant kept there, so that a repeated sending is the same.
fn as_kept(book: &Book, sent: &Sent, now: Timestamp) -> Result<(Bucket, Asked, Option<ClockOff>)> {
    let mut bucket = sent.bucket.clone();
    let clock = clock_off(&sent.sending, now);
    let asked = sent.sending.asked(book, now)?;
    if let Some(clock) = clock {
        let said = format!("{CLOCK_NOTE}{}", clock.said.strftime("%Y-%m-%d %H:%M:%SZ"));
        bucket.note = Some(match &bucket.note {
            Some(note) => format!("{note}; {said}"),
            None => said,
        });
    }
    if let Some(kept) = kept_before(book, &sent.sending.id)?
        && let Entry::Ticket(ticket) = kept.entry
    {
        if without_clock(ticket.note.as_deref()) == sent.bucket.note.as_deref() {
            bucket.note = ticket.note;
        }
        // Which scale gave a weight is known to the run that took it.
        bucket.scale = bucket.scale.or(ticket.scale);
    }
    Ok((bucket, asked, clock))
}

fn without_clock(note: Option<&str>) -> Option<&str> {
    let note = note?;
    match note.rfind(CLOCK_NOTE) {
        Some(0) => None,
        Some(at) => note[..at].strip_suffix("; ").or(Some(note)),
        None => Some(note),
    }
}

fn waited(sent: &Sending) -> SignedDuration {
    let (Some(entered), Some(sent)) = (sent.entered, sent.sent) else {
        return SignedDuration::ZERO;
    };
    let waited = sent.duration_since(entered);
    if waited.is_negative() || waited > WAITS_MOST {
        SignedDuration::ZERO
    } else {
        waited
    }
}

fn clock_off(sent: &Sending, now: Timestamp) -> Option<ClockOff> {
    let ahead = sent.sent?.duration_since(now);
    (ahead.abs() > CLOCK_FINE).then_some(ClockOff {
        said: sent.entered.or(sent.sent)?,
        ahead,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str) -> Timestamp {
        text.parse().expect("an instant")
    }

    fn sent(entered: &str, sent: &str) -> Sending {
        Sending {
            id: "auto-1".to_owned(),
            by: "ana".to_owned(),
            entered: Some(at(entered)),
            sent: Some(at(sent)),
            sure: false,
        }
    }

    #[test]
    fn waiting_is_counted_by_the_sender_s_own_clock() {
        // The tablet is a day behind; the bucket waited ten minutes.
        let late = sent("2026-11-24T10:00:00Z", "2026-11-24T10:10:00Z");
        let now = at("2026-11-25T10:10:00Z");
        assert_eq!(waited(&late), SignedDuration::from_mins(10));
        assert_eq!(
            clock_off(&late, now),
            Some(ClockOff {
                said: at("2026-11-24T10:00:00Z"),
                ahead: SignedDuration::from_hours(-24),
            })
        );
        assert_eq!(clock_off(&late, at("2026-11-24T10:11:00Z")), None);
    }

    #[test]
    fn a_clock_set_back_meanwhile_counts_as_no_wait() {
        let odd = sent("2026-11-24T10:00:00Z", "2026-11-24T09:00:00Z");
        assert_eq!(waited(&odd), SignedDuration::ZERO);
    }

    #[test]
    fn the_clock_is_taken_off_a_note() {
        assert_eq!(without_clock(Some("wet; tablet clock said X")), Some("wet"));
        assert_eq!(without_clock(Some("tablet clock said X")), None);
        assert_eq!(without_clock(Some("wet")), Some("wet"));
        assert_eq!(without_clock(None), None);
    }
}
