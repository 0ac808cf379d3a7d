//! What is unlikely: one table for every way in. A terminal asks, the page
//! shows it, anything else says that it is meant (`--sure`); nothing here is
//! refused for good.

use jiff::{SignedDuration, Timestamp};

use crate::acts::error::Doubt;
use crate::acts::{ActError, Asked, Result};
use crate::daybook::{Book, NewRecord};
use crate::words::{Said, say};

/// A figure that is asked about outside its bounds.
#[derive(Debug)]
pub struct Unlikely {
    pub id: &'static str,
    /// Least that is taken without asking; `doubt-unit` of the catalogue has the unit.
    pub least: f64,
    /// Most that is taken without asking.
    pub most: f64,
    pub ask: fn() -> Said,
    pub source: fn() -> Said,
}

const OURS: fn() -> Said = || say!("evidence", key = "our-default");
const TRADE: fn() -> Said = || say!("evidence", key = "common-practice");
const NONE: f64 = f64::INFINITY;

macro_rules! unlikely {
    ($($name:ident, $id:literal, $least:expr, $most:expr, $source:expr, $ask:expr;)+) => {
        $(pub(super) const $name: Unlikely = Unlikely {
            id: $id, least: $least, most: $most, ask: $ask, source: $source,
        };)+
        /// Every row.
        pub const UNLIKELY: &[Unlikely] = &[$($name),+];
    };
}

unlikely! {
    AHEAD, "entry-ahead", -NONE, 5.0, OURS, || say!("ask-time");
    FAR_BEFORE, "entry-far-before", -NONE, 366.0, OURS, || say!("ask-year");
    FAR_AFTER, "entry-far-after", -NONE, 366.0, OURS, || say!("ask-year");
    CLOCK_BEHIND, "clock-behind", -NONE, 5.0, OURS, || say!("ask-clock");
    CLOCK_AHEAD, "clock-ahead", -NONE, 366.0, OURS, || say!("ask-clock");
    NO_NET, "net-zero", 1.0, NONE, OURS, || say!("ask-empty");
    TOO_DENSE, "net-too-dense", 0.0, 1.2, OURS, || say!("ask-tare");
    BY_HAND, "load-by-hand", 0.0, 500.0, OURS, || say!("ask-unit-and-mark");
    UNUSUAL, "load-unusual", 0.0, 4.0, OURS, || say!("ask-mark-missing");
    TWICE, "load-twice", 10.0, NONE, OURS, || say!("ask-weighed-already");
    ALIKE, "supplier-alike", 0.0, 0.0, OURS, || say!("ask-same-supplier");
    PARTS, "parts-unknown", 0.0, 0.0, OURS, || say!("ask-parts");
    SHARE, "moisture-share", 1.0, 100.0, OURS, || say!("ask-share");
    DRYING, "sample-still-dries", -NONE, 1.0, || say!("doubt-drying-source"), || say!("ask-dry-more");
    OFF_BOOK, "moisture-off-book", 0.0, 5.0, OURS, || say!("ask-stream-and-test");
    SECOND_MEAL, "meal-second", 0.0, 0.0, OURS, || say!("ask-meal-already");
    TOO_OLD, "lot-too-old", 0.0, 1.0, OURS, || say!("ask-really-good");
    LARVAE, "larvae-count", 100.0, 10_000_000.0, OURS, || say!("ask-digits");
    CROWDED, "larvae-crowded", 0.0, crate::larvae::CROWDED_PER_CM2, TRADE, || say!("ask-crowd");
    HATCH, "hatch-day", -1.0, 60.0, OURS, || say!("ask-date");
    TRAY, "tray-area", 0.01, 4.0, OURS, || say!("ask-tray-unit");
    DEPTH, "layer-depth", 0.5, 15.0, OURS, || say!("ask-centimetres");
    LARVA_MG, "larva-weight", 10.0, 350.0,         || say!("doubt-mean-weights"), || say!("ask-same-larvae");
    MORE_LARVAE, "larvae-more", 0.0, 1.25, OURS, || say!("ask-both-counts");
    ABOVE_FEED, "larvae-above-feed", 0.0, 1.0, OURS, || say!("ask-weight-and-cohort");
    OVERSOLD, "sold-above-harvested", 0.0, 1.0, OURS, || say!("ask-every-harvest");
    NIGHT, "fed-ahead", -NONE, 0.0, OURS, || say!("ask-fed-already");
}

#[derive(Debug, Default, Clone, PartialEq, Eq)]
pub(super) struct Doubts(Vec<Doubt>);

impl Doubts {
    /// Asks about a figure outside its row's bounds.
    pub(super) fn weigh(
        &mut self,
        row: &Unlikely,
        field: &'static str,
        figure: f64,
        seen: impl Into<Said>,
    ) {
        self.weigh_worded(row, field, figure, Said::from, seen);
    }

    /// The same, with the bound in the farm's own units.
    pub(super) fn weigh_worded(
        &mut self,
        row: &Unlikely,
        field: &'static str,
        figure: f64,
        worded: impl Fn(f64) -> Said,
        seen: impl Into<Said>,
    ) {
        let (side, bound) = match figure {
            _ if (row.least..=row.most).contains(&figure) || figure.is_nan() => return,
            // Nothing to measure: it is there or not.
            _ if row.most - row.least <= 0.0 => ("always", row.most),
            _ if figure < row.least => ("below", row.least),
            _ => ("above", row.most),
        };
        let source = (row.source)();
        let unit = say!("doubt-unit", row.id);
        let bound = say!("doubt-asked", side, bound = worded(bound), unit, source);
        let said = Said::joined([seen.into(), (row.ask)()], ". ");
        let words = say!("doubt-bounded", seen = &said, bound = &bound).in_english();
        self.0.push(Doubt {
            id: row.id,
            field,
            words,
            said,
            bound,
        });
    }

    /// Asks about a moisture that looks like a share, or lies far from what the
    /// stream table says with its spread, both in per cent; `sd` is the test's own.
    pub(super) fn moisture(
        &mut self,
        field: &'static str,
        pct: f64,
        sd: f64,
        book: Option<(f64, Option<f64>)>,
    ) {
        if pct > 0.0 {
            self.weigh(&SHARE, field, pct, format!("{pct} %"));
        }
        let Some((mean, spread)) = book.filter(|_| pct >= SHARE.least) else {
            return;
        };
        // Points; a spread that is unknown is not zero, and none is below two (our defaults).
        let spread = spread.unwrap_or(5.0).max(2.0).hypot(sd);
        let seen = say!(
            "doubt-off-table",
            pct = format!("{pct:.1}"),
            mean = format!("{mean:.1}"),
            spread = format!("{spread:.1}"),
        );
        self.weigh(&OFF_BOOK, field, (pct - mean).abs() / spread, seen);
    }

    /// Asks about a sample whose last two weights differ too much for it to be dry,
    /// grams of so many (Government of Saskatchewan, determining moisture content of
    /// forage: dry until less than 1 g of 100 g is lost). The bound itself is asked about: less than it is dry.
    pub(super) fn drying(&mut self, field: &'static str, loses_g: f64, wet_g: f64) {
        let digits = |grams: f64| format!("{grams:.1}");
        let seen = say!(
            "doubt-still-dries",
            loses = digits(loses_g),
            wet = digits(wet_g)
        );
        self.weigh(&DRYING, field, (100.0 * loses_g / wet_g).next_up(), seen);
    }

    /// Those found elsewhere, with these.
    pub(super) fn extend(&mut self, others: Self) {
        self.0.extend(others.0);
    }

    pub(super) fn iter(&self) -> impl Iterator<Item = &Doubt> {
        self.0.iter()
    }

    /// Nothing, or what must be said to be meant.
    pub(super) fn settled(self) -> Result<()> {
        if self.0.is_empty() {
            return Ok(());
        }
        Err(ActError::Doubtful(self.0))
    }

    /// The clock, beside when the book's last record was written. A machine
    /// without a network may begin years away.
    pub(super) fn clock(&mut self, book: &Book, field: &'static str, now: Timestamp) -> Result<()> {
        if let Some(last) = book.newest_records(1)?.pop() {
            let last = last.record.recorded_at;
            let seen = say!("doubt-clock", now, last);
            let since = now.duration_since(last).as_secs_f64();
            self.weigh(&CLOCK_BEHIND, field, -since / 60.0, &seen);
            self.weigh(&CLOCK_AHEAD, field, since / 86_400.0, seen);
        }
        Ok(())
    }

    /// When it happened, beside the clock and the book's last record.
    pub(super) fn when(
        &mut self,
        book: &Book,
        field: &'static str,
        at: Timestamp,
        now: Timestamp,
    ) -> Result<()> {
        let ahead = at.duration_since(now);
        let minutes = ahead.as_secs_f64() / 60.0;
        self.weigh(&AHEAD, field, minutes, say!("doubt-ahead", at, now));
        let last = book.newest_records(1)?.pop();
        // Of the clock's own time the clock is asked about, once.
        if let Some(last) = (last.filter(|_| at != now)).map(|found| found.record.content.at) {
            let days = |span: SignedDuration| span.as_secs_f64() / 86_400.0;
            let seen = say!("doubt-far-from-last", at, last);
            self.weigh(&FAR_BEFORE, field, days(last.duration_since(at)), &seen);
            self.weigh(&FAR_AFTER, field, days(at.duration_since(last)), seen);
        }
        Ok(())
    }
}

impl Asked {
    /// Finds what is unlikely in an entry, unless it was said to be meant or is
    /// in the book already.
    pub(super) fn doubt(
        &self,
        book: &Book,
        find: impl FnOnce(&mut Doubts) -> Result<()>,
    ) -> Result<()> {
        if self.sure || kept_before(book, &self.id)?.is_some() {
            return Ok(());
        }
        let mut doubts = Doubts::default();
        doubts.clock(book, "at", self.now)?;
        doubts.when(book, "at", self.at, self.now)?;
        find(&mut doubts)?;
        doubts.settled()
    }
}

/// What the book has under an id.
pub fn kept_before(book: &Book, id: &str) -> Result<Option<NewRecord>> {
    let found = book.find_record(id)?;
    Ok(found
        .map(|found| found.record.content)
        .filter(|content| content.id == id))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_row_has_a_name_of_its_own_and_bounds() {
        let mut names: Vec<&str> = UNLIKELY.iter().map(|row| row.id).collect();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), UNLIKELY.len());
        for row in UNLIKELY {
            assert!(row.least.is_finite() || row.most.is_finite(), "{}", row.id);
            assert!(
                row.least <= row.most && (row.ask)().in_english().ends_with(['?', '.']),
                "{}",
                row.id
            );
        }
    }

    #[test]
    fn a_bound_itself_is_likely() {
        for row in UNLIKELY {
            let asked = |figure| {
                let mut doubts = Doubts::default();
                doubts.weigh(row, "it", figure, "seen");
                !doubts.0.is_empty()
            };
            if row.least.is_finite() && row.least != 0.0 {
                assert!(!asked(row.least) && asked(row.least - 0.01), "{}", row.id);
            }
            if row.most.is_finite() {
                assert!(!asked(row.most) && asked(row.most + 0.01), "{}", row.id);
            }
        }
    }

    #[test]
    fn a_test_far_from_the_table_is_asked_about() {
        let asked = |pct, sd, book| {
            let mut doubts = Doubts::default();
            doubts.moisture("moisture", pct, sd, book);
            doubts.iter().map(|doubt| doubt.id).collect::<Vec<_>>()
        };
        assert_eq!(
            asked(0.36, 1.0, Some((36.0, Some(2.0)))),
            ["moisture-share"]
        );
        assert_eq!(
            asked(92.0, 2.0, Some((36.0, Some(2.0)))),
            ["moisture-off-book"]
        );
        assert_eq!(
            asked(40.0, 1.0, Some((91.5, Some(1.6)))),
            ["moisture-off-book"]
        );
        assert_eq!(asked(77.5, 3.0, Some((36.0, None))), ["moisture-off-book"]);
        assert!(asked(80.0, 2.0, Some((77.0, Some(4.4)))).is_empty());
        assert!(asked(0.0, 0.0, None).is_empty());
    }
}
