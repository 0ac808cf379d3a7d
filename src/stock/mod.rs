//! Stock: lots on hand at an instant, how old they are, how long they keep.
//!
//! Owns: the pure step from what the book says of a lot to what staff need to
//! know of it now. Must not know: the daybook, the blend, clocks; `now` is an
//! argument.
//!
//! Invariants: what may be drawn never reaches into parts larvae leave; a lot
//! takes the strictest class it touched; its newest moisture test wins.

mod edible;
mod may_be_fed;
mod moisture;

use std::cmp::Reverse;
use std::collections::HashMap;
use std::sync::Arc;

use jiff::Timestamp;

use crate::quantity::{Grams, ShareAsFed};
use crate::stream::{
    AgeLimits, Class, Flag, FlagLimits, Leave, Stream, StreamId, StreamTable, UseRules, Verdict,
    flag,
};
use crate::words::{Said, say};

use edible::edible;
pub use may_be_fed::Looked;
pub use moisture::{Expected, Learned, LearnedBySupplier, density_of, moisture_of};

#[derive(Debug, Clone, PartialEq)]
pub struct LotInBook {
    /// The lot's name: the ticket's own id.
    pub name: String,
    /// Position of its ticket in the book.
    pub seq: i64,
    pub number: i64,
    pub supplier: String,
    pub stream: StreamId,
    pub weighed_at: Timestamp,
    pub net: Grams,
    /// Parts picked out, at the dock and since.
    pub picked_out: Grams,
    /// What was picked out since the dock, where anything was; empty where nobody said what.
    pub picked_since: Option<String>,
    pub remaining: Grams,
    /// Newest moisture test or dock moisture, per cent wet basis, with its spread in points.
    pub tested_moisture: Option<Tested>,
    /// Classes it touched besides its own.
    pub touched: Vec<Class>,
    /// Price per kilogram, where it differs from the stream's.
    pub price_per_kg: Option<f64>,
    pub dock_verdict: Verdict,
    /// Why, as printed at the dock.
    pub dock_reason: String,
    pub estimated: bool,
    pub bought: bool,
    /// The newest look at it this night.
    pub look: Option<Looked>,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Tested {
    pub pct: f64,
    /// One standard deviation, percentage points, where it is known.
    pub sd: Option<f64>,
    /// How: `oven`, `microwave`, `squeeze`, `dock`.
    pub method: String,
}

impl LotInBook {
    /// Days from its weighing in to an instant.
    pub fn age_at(&self, at: Timestamp) -> f64 {
        (at.duration_since(self.weighed_at).as_secs_f64() / 86_400.0).max(0.0)
    }
}

#[must_use]
#[derive(Debug, Clone, PartialEq)]
pub struct StockLot {
    pub book: LotInBook,
    pub edible: Grams,
    pub age_days: f64,
    pub keeps_days: Option<f64>,
    /// Days it may be used without a look; `None` when no keeping time is known.
    pub usable_days: Option<f64>,
    /// Why it is too old to be used without a look, if it is.
    pub too_old: Option<Said>,
    /// As [`moisture_of`] has it.
    pub moisture: Option<ShareAsFed>,
    /// What was learned of the supplier's stream, where there is enough of it.
    pub learned: Option<Arc<Learned>>,
    /// Its verdict now; lots alike share it.
    pub flag: Arc<Flag>,
}

impl StockLot {
    /// Days of keeping time left; below zero when past it.
    pub fn days_left(&self) -> Option<f64> {
        self.keeps_days.map(|keeps| keeps - self.age_days)
    }

    /// Whether it passes its keeping time within a day from now, or has.
    pub fn spoils_by_next_night(&self) -> bool {
        self.days_left().is_some_and(|left| left <= 1.0)
    }

    /// Whether parts are to be picked out of it before it is fed.
    pub fn asks_for_sorting(&self) -> bool {
        self.flag.verdict == Verdict::PickOut
    }

    /// Whether it is feed by its verdict, whatever its age.
    pub fn is_feed(&self) -> bool {
        self.flag.verdict.may_be_fed()
    }
}

/// Lots as staff see them at `now`, oldest share of keeping time first.
/// A stream that is no longer in the table is shown, unknown in everything, and kept out of mixes.
pub fn on_hand(
    lots: impl IntoIterator<Item = LotInBook>,
    now: Timestamp,
    streams: &StreamTable,
    learned: &LearnedBySupplier,
    (limits, ages): (&FlagLimits, &AgeLimits),
    rules: &UseRules,
) -> Vec<StockLot> {
    let mut judge = Judge {
        learned,
        limits,
        ages,
        rules,
        judged: HashMap::new(),
        unknown: Arc::new(not_in_the_table()),
    };
    let mut stock: Vec<StockLot> = lots
        .into_iter()
        .map(|lot| seen_now(lot, now, streams, &mut judge))
        .collect();
    // Lots are large: keys are sorted, and each lot is moved once. Bits of
    // floats that are not below zero sort as the floats do.
    let used_up = |lot: &StockLot| lot.keeps_days.map_or(0.0, |keeps| lot.age_days / keeps);
    stock.sort_by_cached_key(|lot| (Reverse(used_up(lot).to_bits()), lot.book.seq));
    stock
}

fn not_in_the_table() -> Flag {
    Flag {
        verdict: Verdict::Refuse,
        reason: say!("lot-stream-unknown"),
        use_note: Said::default(),
    }
}

/// A stream, what it touched, and the leave there is for it.
type Judged<'a> = (&'a str, Vec<Class>, Option<&'a Leave>);

/// Judges each stream once for what it touched and the leave there is for it,
/// however many lots there are.
struct Judge<'a> {
    learned: &'a LearnedBySupplier,
    limits: &'a FlagLimits,
    ages: &'a AgeLimits,
    rules: &'a UseRules,
    judged: HashMap<Judged<'a>, Arc<Flag>>,
    unknown: Arc<Flag>,
}

impl<'a> Judge<'a> {
    fn of(&mut self, stream: &'a Stream, book: &LotInBook) -> Arc<Flag> {
        let (limits, rules) = (self.limits, self.rules);
        let leave = rules.leave(&stream.id, Some(&book.supplier));
        let key = (stream.id.as_str(), book.touched.clone(), leave);
        let judged = self.judged.entry(key).or_insert_with(|| {
            let rule = rules.strictest(stream, &book.touched);
            Arc::new(flag(stream, limits, rule, leave))
        });
        // What the dock asked for was done.
        let (at_dock, reason) = match &book.picked_since {
            Some(kinds) if book.dock_verdict == Verdict::PickOut => {
                let said = match kinds.as_str() {
                    "" => say!("lot-parts-picked-out"),
                    kinds => say!("lot-picked-out", kinds = kinds),
                };
                (Verdict::Feed, said)
            }
            _ => (book.dock_verdict, Said::from(&book.dock_reason)),
        };
        // Leave that was given ends what the dock said for want of it.
        let waited = at_dock == Verdict::AskFirst && leave.is_some();
        // Parts picked out are out, and what was looked at at the dock was
        // looked at: what staff decided then holds.
        let looked = stream
            .inedible
            .as_ref()
            .is_some_and(|part| part.share.is_none())
            && at_dock == Verdict::Feed;
        let sorted =
            judged.verdict == Verdict::PickOut && (book.picked_out > Grams::ZERO || looked);
        let (verdict, reason) = match (sorted, waited) {
            (true, true) => (Verdict::Feed, say!("lot-parts-picked-out")),
            (false, true) => return Arc::clone(judged),
            (false, false) if at_dock <= judged.verdict => return Arc::clone(judged),
            (_, false) => (at_dock, reason),
        };
        Arc::new(Flag {
            verdict,
            reason,
            use_note: judged.use_note.clone(),
        })
    }
}

fn seen_now<'a>(
    book: LotInBook,
    now: Timestamp,
    streams: &'a StreamTable,
    judge: &mut Judge<'a>,
) -> StockLot {
    let age_days = book.age_at(now);
    let Some(stream) = streams.get(&book.stream) else {
        return StockLot {
            edible: Grams::ZERO,
            age_days,
            keeps_days: None,
            usable_days: None,
            too_old: None,
            moisture: None,
            learned: None,
            flag: Arc::clone(&judge.unknown),
            book,
        };
    };
    let tested_pct = book.tested_moisture.as_ref().map(|tested| tested.pct);
    let learned = if judge.learned.is_empty() {
        None
    } else {
        let of = (book.supplier.clone(), book.stream.clone());
        judge.learned.get(&of).map(Arc::clone)
    };
    let classes = book.touched.iter().copied().chain([stream.class]);
    StockLot {
        edible: edible(&book, stream),
        age_days,
        keeps_days: stream.keeps_days,
        usable_days: judge.ages.usable_days(stream.keeps_days, classes.clone()),
        too_old: judge.ages.too_old(age_days, stream.keeps_days, classes),
        moisture: moisture_of(tested_pct, learned.as_deref(), stream),
        learned,
        flag: judge.of(stream, &book),
        book,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::larvae::{SHIPPED_STAGES, StageTable};
    use crate::stream::{LarvaeFor, Region, SHIPPED_STREAMS, SHIPPED_USE_RULES, StreamId};
    use crate::words::Language;

    fn lot(stream: &str, remaining: i64) -> LotInBook {
        LotInBook {
            name: "1".into(),
            seq: 1,
            number: 1,
            supplier: "Invented brewery".into(),
            stream: StreamId::parse(stream).expect("id"),
            weighed_at: "2026-03-01T08:00:00Z".parse().expect("instant"),
            net: Grams::new(10_000),
            picked_out: Grams::ZERO,
            picked_since: None,
            remaining: Grams::new(remaining),
            tested_moisture: None,
            touched: Vec::new(),
            price_per_kg: None,
            dock_verdict: Verdict::Feed,
            dock_reason: String::new(),
            estimated: false,
            bought: false,
            look: None,
        }
    }

    fn seen(lot: LotInBook) -> StockLot {
        seen_with(lot, &LearnedBySupplier::new())
    }

    fn seen_with(lot: LotInBook, learned: &LearnedBySupplier) -> StockLot {
        let streams = StreamTable::read("streams.csv", SHIPPED_STREAMS).expect("streams");
        let stages = StageTable::read("stages.toml", SHIPPED_STAGES).expect("stages");
        let farm = (LarvaeFor::NotFeed, Region::Us);
        let rules = UseRules::read("use-rules.csv", SHIPPED_USE_RULES, farm.0, farm.1);
        let rules = rules.expect("rules");
        let now = "2026-03-02T20:00:00Z".parse().expect("instant");
        let limits = (&stages.flag_limits, &stages.ages);
        on_hand(vec![lot], now, &streams, learned, limits, &rules).remove(0)
    }

    #[test]
    fn a_test_of_the_lot_goes_before_what_was_learned_and_that_before_the_book() {
        let learned = Learned {
            moisture: Some(Expected {
                value: ShareAsFed::from_pct(81.0).expect("share"),
                sd: 0.02,
                origin: "7 tests".into(),
            }),
            density: None,
        };
        let grain = lot("spent-grain", 10_000);
        let of = (grain.supplier.clone(), grain.stream.clone());
        let known = LearnedBySupplier::from([(of, Arc::new(learned))]);
        let pct = |lot: &StockLot| lot.moisture.expect("known").pct();
        let untested = seen_with(grain.clone(), &known);
        assert!((pct(&untested) - 81.0).abs() < 1e-9);
        assert!(untested.learned_moisture().is_some());
        let mut tested = grain.clone();
        tested.tested_moisture = Some(Tested {
            pct: 74.0,
            sd: Some(1.0),
            method: "oven".into(),
        });
        let tested = seen_with(tested, &known);
        assert!((pct(&tested) - 74.0).abs() < 1e-9);
        assert!(tested.learned_moisture().is_none());
        let mut other = grain;
        other.supplier = "Another brewery".into();
        let of_book = seen(lot("spent-grain", 1)).moisture;
        assert_eq!(seen_with(other, &known).moisture, of_book);
    }

    #[test]
    fn age_and_keeping_time() {
        let grain = seen(lot("spent-grain", 10_000));
        assert!((grain.age_days - 1.5).abs() < 1e-9);
        assert!((grain.days_left().expect("keeps") - 0.5).abs() < 1e-9);
        assert!(grain.spoils_by_next_night());
        assert!(!seen(lot("wheat-bran", 10_000)).spoils_by_next_night());
    }

    #[test]
    fn age_asks_for_a_look_and_then_keeps_out() {
        // 36 hours old: grain keeps 2 days, fish a fifth of one.
        let fish = seen(lot("fish-offal", 10_000));
        let reason = fish.too_old.expect("too old").in_english();
        let expected = "too old: 1.5 days, out after 0.2 (1 x";
        assert!(reason.starts_with(expected), "{reason}");
        let now: Timestamp = "2026-03-02T20:00:00Z".parse().expect("instant");
        let weighed = |hours: i64| LotInBook {
            weighed_at: now - jiff::SignedDuration::from_hours(hours),
            ..lot("spent-grain", 10_000)
        };
        let of = |hours: i64| {
            let grain = seen(weighed(hours));
            (grain.may_be_fed(), grain.asks_for_look())
        };
        assert_eq!(
            [47, 49, 95, 97].map(of),
            [(true, false), (true, true), (true, true), (false, false)]
        );
        let looked = |hours: i64, fit: bool| {
            let mut lot = weighed(hours);
            let (by, note) = ("NF".into(), Some("grey fur".into()));
            lot.look = Some(Looked { fit, by, note });
            seen(lot)
        };
        assert!(looked(97, true).may_be_fed() && !looked(49, true).asks_for_look());
        assert_eq!(
            looked(1, false).kept_out().map(|why| why.in_english()),
            Some("not fit tonight, says NF: grey fur".into())
        );
        // What touched meat is out after one keeping time.
        let mut touched = weighed(49);
        touched.touched = vec![Class::MeatFish];
        assert!(seen(touched).too_old.is_some());
    }

    #[test]
    fn what_the_dock_asked_to_pick_out_is_told_in_either_language_once_it_is_out() {
        let mut plums = lot("plum-culls", 9_400);
        plums.dock_verdict = Verdict::PickOut;
        assert_eq!(seen(plums.clone()).flag.verdict, Verdict::PickOut);
        plums.picked_out = Grams::new(600);
        plums.picked_since = Some("pit".into());
        let flag = seen(plums).flag;
        assert_eq!(flag.verdict, Verdict::Feed);
        let told = [Language::En, Language::Es].map(|of| flag.reason.in_language(of));
        assert_eq!(told, ["pit picked out", "pit: apartado"]);
    }

    /// USDA: 38 % of chicken wings as bought is bone and connective tissue.
    #[test]
    fn draws_never_reach_into_bone() {
        assert_eq!(seen(lot("chicken-wings", 10_000)).edible, Grams::new(6_200));
        assert_eq!(seen(lot("chicken-wings", 5_000)).edible, Grams::new(1_200));
        assert_eq!(seen(lot("chicken-wings", 3_000)).edible, Grams::ZERO);
        let mut picked = lot("chicken-wings", 6_300);
        picked.picked_out = Grams::new(3_700);
        assert_eq!(seen(picked).edible, Grams::new(6_300));
    }

    #[test]
    fn the_strictest_of_dock_and_table_holds() {
        let downgraded = LotInBook {
            dock_verdict: Verdict::Compost,
            dock_reason: "mouldy".into(),
            ..lot("bread", 5_000)
        };
        let seen_lot = seen(downgraded);
        assert_eq!(seen_lot.flag.verdict, Verdict::Compost);
        assert_eq!(seen_lot.flag.reason.in_english(), "mouldy");
        assert!(!seen_lot.may_be_fed());
        assert_eq!(seen(lot("no-such-stream", 1)).flag.verdict, Verdict::Refuse);
    }

    /// 4,649 g by one road and 4,650 g by another, of 5 kg at 7 %.
    #[test]
    fn a_whole_share_of_a_whole_weight_stays_whole() {
        let streams = StreamTable::read("streams.csv", SHIPPED_STREAMS).expect("streams");
        let id = StreamId::parse("chicken-wings").expect("id");
        let mut stream = streams.get(&id).expect("a stream").clone();
        if let Some(part) = &mut stream.inedible {
            part.share = ShareAsFed::from_pct(7.0).ok();
        }
        let mut five = lot("chicken-wings", 5_000);
        five.net = Grams::new(5_000);
        assert_eq!(stream.edible_of(five.net, five.net), Grams::new(4_650));
        assert_eq!(edible(&five, &stream), Grams::new(4_650));
    }
}
