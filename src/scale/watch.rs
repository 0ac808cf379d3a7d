//! When a weight may be taken.
//!
//! Some scales send ten lines a second, some one line when their key is
//! pressed. A weight of the first kind stands still once two lines in a row say
//! it and the scale itself calls it steady, or, where it never says so, once
//! nothing else was heard for a second. A line that comes alone was printed by
//! the key. A weight is offered under a number that changes whenever the load
//! does, so that no weight is taken twice.

use std::time::Duration;

use super::line::Heard;
use crate::quantity::{Grams, NumberForm, Reading};

/// A line that names no steadiness must be repeated for so long (our default).
const STILL: Duration = Duration::from_secs(1);
/// After so long without a line a stream's weight is stale (our default).
const STALE: Duration = Duration::from_secs(2);
/// A line this long after the one before, with none behind it, was printed.
const ALONE: Duration = Duration::from_millis(400);
/// How long a printed weight is offered (our default).
const PRINTED: Duration = Duration::from_secs(20);

/// What a scale shows at an instant.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Seen {
    /// The cable or the port is gone.
    Gone,
    /// Nothing was heard, or nothing for a while.
    Quiet,
    /// Nothing lies on it.
    Empty,
    Moving,
    BelowZero,
    Beyond,
    /// A line that was not understood, as it came.
    Unread(String),
    Steady(Offer),
}

/// A weight that may be taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Offer {
    /// Another load has another number.
    pub number: u64,
    pub reading: Reading,
    pub is_net: Option<bool>,
    /// Sent by the scale's own key.
    pub printed: bool,
}

impl Offer {
    /// As a scale's line that is read alike whichever mark the farm writes.
    pub fn text(&self, form: NumberForm) -> String {
        let mark = if form == NumberForm::Comma { "," } else { "." };
        let weight = self.reading.text().replace(['.', ','], mark);
        let unit = match self.reading.text().ends_with(|c: char| c.is_alphabetic()) {
            true => String::new(),
            false => format!(" {}", self.reading.unit()),
        };
        // A sign marks a scale's line: its mark stands before decimals.
        let sign = if form == NumberForm::Unsaid { "+" } else { "" };
        let kind = if self.is_net == Some(true) { " N" } else { "" };
        format!("{sign}{weight}{unit}{kind}")
    }
}

/// A line with a weight, and since when no line said otherwise.
#[derive(Debug, Clone)]
struct Run {
    reading: Reading,
    is_net: Option<bool>,
    steady: bool,
    lines: u32,
    first: Duration,
    last: Duration,
    /// Whether the line before it was long ago.
    alone: bool,
    number: u64,
}

/// Follows one scale. Instants are counted from any one beginning.
#[derive(Debug, Default)]
pub struct Watch {
    gone: bool,
    run: Option<Run>,
    /// What the newest line was, where it was no weight.
    other: Option<Seen>,
    heard: Option<Duration>,
    numbers: u64,
    /// A scale that names units leaves them out only while it moves.
    names_units: bool,
}

impl Watch {
    /// The port was lost, or is back.
    pub fn connected(&mut self, is: bool) {
        *self = Self {
            gone: !is,
            numbers: self.numbers,
            ..Self::default()
        };
    }

    /// Takes a line in, with its text for what is not understood.
    pub fn hear(&mut self, heard: Heard, line: &str, at: Duration) {
        let alone = self.heard.is_none_or(|last| at - last > ALONE * 3);
        self.heard = Some(at);
        let (reading, steady, is_net, has_unit) = match heard {
            Heard::Weight {
                reading,
                steady,
                is_net,
                has_unit,
            } => (reading, steady, is_net, has_unit),
            other => {
                self.run = None;
                self.other = Some(match other {
                    Heard::BelowZero => Seen::BelowZero,
                    Heard::Beyond => Seen::Beyond,
                    Heard::Unread => Seen::Unread(line.to_owned()),
                    _ => Seen::Moving,
                });
                return;
            }
        };
        self.names_units |= has_unit;
        if self.names_units && !has_unit {
            (self.run, self.other) = (None, Some(Seen::Moving));
            return;
        }
        self.other = None;
        let goes_on = |run: &&mut Run| {
            (run.reading.grams(), run.is_net, run.steady) == (reading.grams(), is_net, steady)
                && !alone
        };
        if let Some(run) = self.run.as_mut().filter(goes_on) {
            (run.lines, run.last, run.alone) = (run.lines + 1, at, false);
            return;
        }
        self.numbers += 1;
        self.run = Some(Run {
            reading,
            is_net,
            steady,
            lines: 1,
            first: at,
            last: at,
            alone,
            number: self.numbers,
        });
    }

    /// What it shows now.
    pub fn seen(&self, at: Duration) -> Seen {
        if self.gone {
            return Seen::Gone;
        }
        let since = |then: Duration| at.saturating_sub(then);
        let Some(run) = &self.run else {
            let fresh = self.heard.is_some_and(|last| since(last) <= STALE);
            return match &self.other {
                Some(other) if fresh => other.clone(),
                _ => Seen::Quiet,
            };
        };
        let printed = run.alone && run.lines == 1 && since(run.last) >= ALONE;
        if since(run.last) > if printed { PRINTED } else { STALE } {
            return Seen::Quiet;
        }
        let stands = match run.steady {
            true => run.lines >= 2,
            false => run.lines >= 3 && run.last - run.first >= STILL,
        };
        if !(printed || stands) {
            return Seen::Moving;
        }
        if run.reading.grams() == Grams::ZERO {
            return Seen::Empty;
        }
        Seen::Steady(Offer {
            number: run.number,
            reading: run.reading.clone(),
            is_net: run.is_net,
            printed,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::super::line::LineGrammar;
    use super::*;
    use crate::quantity::MassUnit;

    /// What is seen after lines at their milliseconds, so long after the last.
    fn after(lines: &[(u64, &str)], then: u64) -> (Watch, Seen) {
        let grammar = LineGrammar::shipped().expect("reads");
        let mut watch = Watch::default();
        for (at, line) in lines {
            watch.hear(
                grammar.hear(line, MassUnit::Kg),
                line,
                Duration::from_millis(*at),
            );
        }
        let last = lines.last().map_or(0, |(at, _)| *at);
        let seen = watch.seen(Duration::from_millis(last + then));
        (watch, seen)
    }

    fn grams(seen: &Seen) -> Option<i64> {
        match seen {
            Seen::Steady(offer) => Some(offer.reading.grams().get()),
            _ => None,
        }
    }

    #[test]
    fn two_steady_lines_make_a_weight_and_one_does_not() {
        let line = "ST,GS,+  12.34kg";
        assert_eq!(
            after(&[(0, "US,GS,+  9.1kg"), (100, line)], 10).1,
            Seen::Moving
        );
        let (_, seen) = after(&[(0, "US,GS,+  9.1kg"), (100, line), (200, line)], 10);
        assert_eq!(grams(&seen), Some(12_340));
        // Noise that leaves a number differs from the line beside it.
        let noisy = [(0, line), (100, "ST,GS,+  72.34kg"), (200, line)];
        assert_eq!(after(&noisy, 10).1, Seen::Moving);
    }

    #[test]
    fn without_a_word_of_steadiness_it_waits_a_second() {
        let line = "  3.20 kg";
        let lines: Vec<(u64, &str)> = (0..10).map(|at| (at * 100, line)).collect();
        assert_eq!(after(&lines, 10).1, Seen::Moving);
        let lines: Vec<(u64, &str)> = (0..=10).map(|at| (at * 100, line)).collect();
        assert_eq!(grams(&after(&lines, 10).1), Some(3_200));
    }

    #[test]
    fn a_line_alone_was_printed_by_the_key() {
        let line = "ST,GS,+  12.34kg";
        assert_eq!(after(&[(5_000, line)], 100).1, Seen::Moving);
        let (_, seen) = after(&[(5_000, line)], 500);
        assert!(matches!(&seen, Seen::Steady(offer) if offer.printed));
        assert_eq!(after(&[(5_000, line)], 21_000).1, Seen::Quiet);
        // The same again is another weighing.
        let (_, again) = after(&[(5_000, line), (9_000, line)], 500);
        assert!(matches!(again, Seen::Steady(Offer { number: 2, .. })));
    }

    #[test]
    fn what_is_stale_is_not_offered() {
        let line = "ST,GS,+  12.34kg";
        let lines = [(0, line), (100, line), (200, line)];
        assert_eq!(grams(&after(&lines, 1_900).1), Some(12_340));
        assert_eq!(after(&lines, 2_100).1, Seen::Quiet);
        let (mut watch, _) = after(&lines, 10);
        watch.connected(false);
        assert_eq!(watch.seen(Duration::from_millis(210)), Seen::Gone);
        watch.connected(true);
        assert_eq!(watch.seen(Duration::from_millis(220)), Seen::Quiet);
    }

    #[test]
    fn another_load_has_another_number() {
        let (one, other) = ("ST,GS,+  12.34kg", "ST,GS,+   0.00kg");
        let lines = [(0, one), (100, one), (200, other), (300, other)];
        let (mut watch, seen) = after(&lines, 10);
        assert_eq!(seen, Seen::Empty);
        let grammar = LineGrammar::shipped().expect("reads");
        for at in [400, 500] {
            watch.hear(
                grammar.hear(one, MassUnit::Kg),
                one,
                Duration::from_millis(at),
            );
        }
        let seen = watch.seen(Duration::from_millis(510));
        assert!(
            matches!(seen, Seen::Steady(Offer { number: 3, .. })),
            "{seen:?}"
        );
    }

    #[test]
    fn a_scale_that_names_units_moves_where_it_names_none() {
        let (with, without) = ("+   5.00 kg", "+   5.00");
        let lines: Vec<(u64, &str)> = (0..=20)
            .map(|at| (at * 100, if at < 3 { with } else { without }))
            .collect();
        assert_eq!(after(&lines, 10).1, Seen::Moving);
    }

    #[test]
    fn what_is_not_understood_is_shown_as_it_came() {
        let seen = after(&[(0, "Batch 12")], 10).1;
        assert_eq!(seen, Seen::Unread("Batch 12".to_owned()));
    }
}
