//! What must hold of every trace.

use std::collections::{BTreeMap, BTreeSet};

use proptest::prelude::*;
use trayful::acts::{TraceFrom, TraceText};
use trayful::daybook::{Correction, Entry};
use trayful::quantity::Grams;
use trayful::sheet::TraceSheet;
use trayful::stream::{Class, LarvaeFor, Region, Ruling, StreamId, Verdict};
use trayful::trace::Origin;

use crate::support::{Book, October, day, noon};

/// What a trace says each cohort ate of each lot.
fn by_pair(sheet: &TraceSheet) -> BTreeMap<(i64, i64), Grams> {
    let mut sums = BTreeMap::new();
    for portion in &sheet.trace.portions {
        if let Origin::Lot(lot) = portion.origin {
            *sums.entry((lot, portion.cohort_seq)).or_insert(Grams::ZERO) += portion.grams;
        }
    }
    sums
}

fn cohorts(sheet: &TraceSheet) -> Vec<i64> {
    sheet.trace.cohorts.iter().map(|one| one.seq).collect()
}

fn sold(sheet: &TraceSheet) -> Vec<&str> {
    let sales = sheet.trace.sales.iter();
    sales.filter_map(|sale| sale.buyer.as_deref()).collect()
}

#[test]
fn a_shared_group_tells_all_its_cohorts_to_the_gram() {
    let october = October::new();
    let sheet = october.farm.of_tickets(&["T2"]);
    assert_eq!(
        cohorts(&sheet),
        [october.older, october.younger, october.nursed]
    );
    let night: Vec<_> = (sheet.trace.portions.iter())
        .filter(|portion| portion.group == "growing")
        .collect();
    assert_eq!(night.len(), 2);
    let sum: Grams = night.iter().map(|portion| portion.grams).sum();
    assert_eq!(sum, Grams::new(6_001));
    // Fed to a group in which nobody was due: told, and not lost.
    assert_eq!(sheet.trace.unplaced.len(), 1);
    assert_eq!(sheet.trace.unplaced[0].lot_seq, october.carrots);
    assert_eq!(sheet.trace.unplaced[0].on_trays, ["H1", "H2", "H3"]);
    let back = october.farm.of_cohort(october.younger);
    assert_eq!(back.trace.unplaced, sheet.trace.unplaced);
    let lot = &sheet.trace.lots[0];
    let left: Grams = lot.left.iter().map(|one| one.grams).sum();
    assert_eq!(lot.net, lot.fed + left + lot.on_hand);
}

/// A bucket that was another's is found under the right name, from both ends,
/// though it was fed long ago.
#[test]
fn a_corrected_ticket_is_traced_under_its_right_name() {
    let mut october = October::new();
    let of_supplier = |october: &October, name: &str| {
        let from = TraceFrom::Supplier(name.to_owned(), (None, None));
        let lots = october.farm.trace(&from).expect("traces").trace.lots;
        lots.iter().map(|lot| lot.seq).collect::<Vec<_>>()
    };
    let grocer = of_supplier(&october, "Corner grocer");
    let said = Entry::Correction(Correction {
        ticket_seq: october.carrots,
        supplier: Some("Quay brewery".to_owned()),
        stream: StreamId::parse("spent-grain"),
        note: None,
        price_per_kg: None,
        verdict: Some(Verdict::Feed),
        reason: Some("fine".to_owned()),
        why: "labels were swapped".to_owned(),
    });
    let said = october.farm.put("K1", noon("2026-11-01"), said);
    assert_eq!(of_supplier(&october, "Corner grocer"), grocer[1..]);
    assert_eq!(
        of_supplier(&october, "Quay brewery"),
        [october.grain, october.carrots]
    );
    let eaten = october.farm.of_cohort(october.younger);
    let lot = eaten.trace.lot(october.carrots).expect("eaten");
    assert_eq!(
        (lot.supplier.as_str(), lot.stream.as_str()),
        ("Quay brewery", "spent-grain")
    );
    // What is left of it is set aside with the brewery's now.
    let brewery = october
        .farm
        .book
        .held_alike("Quay brewery", &lot.stream)
        .expect("reads");
    assert!(
        brewery.iter().any(|(seq, _)| *seq == october.carrots),
        "{brewery:?}"
    );
    october.farm.strike(said);
    assert_eq!(of_supplier(&october, "Corner grocer"), grocer);
    assert_eq!(of_supplier(&october, "Quay brewery"), [october.grain]);
}

#[test]
fn what_was_sold_before_the_meal_is_left_out_and_told() {
    let october = October::new();
    let sheet = october.farm.of_tickets(&["T2"]);
    assert_eq!(sold(&sheet), ["Pond keepers", "Bait shop"]);
    assert_eq!(sheet.trace.before.len(), 2);
    assert!(sheet.trace.before.contains(&october.early_harvest));
    let harvests: Vec<i64> = sheet.trace.harvests.iter().map(|one| one.seq).collect();
    assert_eq!(harvests, [october.harvest]);
    assert_eq!(sheet.of_no_cohort.len(), 1);
    // The early harvest ate of nothing that is on record.
    let early = TraceFrom::Harvest(format!("r{}", october.early_harvest));
    let back = october.farm.trace(&early).expect("traces");
    assert_eq!(back.trace.portions, []);
}

#[test]
fn what_was_taken_off_on_the_day_of_the_meal_counts() {
    let mut october = October::new();
    let noon_of_the_meal = "2026-10-08";
    let harvest = october.farm.harvest(october.older, 300, noon_of_the_meal);
    let onward = october.farm.of_tickets(&["T2"]);
    assert!(onward.trace.harvests.iter().any(|one| one.seq == harvest));
    let back = TraceFrom::Harvest(format!("r{harvest}"));
    let back = by_pair(&october.farm.trace(&back).expect("traces"));
    let eaten: Vec<_> = back.into_keys().collect();
    let ate = october.older;
    assert_eq!(eaten, [(october.grain, ate), (october.carrots, ate)]);
}

#[test]
fn struck_records_vanish() {
    let mut october = October::new();
    let before = october.farm.of_tickets(&["T2"]);
    october.farm.strike(october.harvest);
    let sale = before.trace.sales[0].seq;
    october.farm.strike(sale);
    let sheet = october.farm.of_tickets(&["T2"]);
    assert_eq!(sheet.trace.harvests, []);
    assert_eq!(sold(&sheet), ["Bait shop"]);
    october.farm.strike(october.fed);
    let sheet = october.farm.of_tickets(&["T2"]);
    assert_eq!(sheet.trace.portions, []);
    assert!(cohorts(&sheet).is_empty());
    assert_eq!(sheet.trace.lots[0].on_hand, Grams::new(12_700));
    let back = october.farm.of_cohort(october.older);
    let eaten: Vec<_> = by_pair(&back).into_keys().collect();
    assert_eq!(eaten, [(october.grain, october.older)]);
    let ticket = october
        .farm
        .ticket("T8", ("Corner grocer", "bread"), 900, "2026-10-20");
    october.farm.strike(ticket);
    let gone = october.farm.trace(&TraceFrom::Tickets(vec!["T8".into()]));
    let told = gone.expect_err("is refused").to_string();
    assert!(told.contains("no ticket that stands"), "{told}");
    let grocer = TraceFrom::Supplier("Corner grocer".into(), (None, None));
    let grocer = october.farm.trace(&grocer).expect("traces");
    assert_eq!(grocer.trace.lots.len(), 3);
}

#[test]
fn a_cohort_keeps_the_strictest_class_of_all_it_ate() {
    let mut october = October::new();
    let ruling = |farm: &Book, cohort| farm.of_cohort(cohort).uses[0].1.ruling();
    assert_eq!(
        ruling(&october.farm, october.younger),
        Some(Ruling::Allowed)
    );
    let touched = vec![Class::MeatFish];
    let canteen = ("Canteen", "bread");
    let lot = october
        .farm
        .ticket_touching("T9", canteen, 4_000, "2026-10-10", touched);
    october.farm.fed(day("2026-10-11"), &[("growing", lot, 10)]);
    let sheet = october.farm.of_cohort(october.younger);
    let left = &sheet.uses[0].1;
    assert_ne!(left.ruling(), Some(Ruling::Allowed));
    let decided = left.decided_by.iter().map(trayful::words::Said::in_english);
    assert_eq!(decided.collect::<Vec<_>>(), ["lot T9 (bread from Canteen)"]);
    assert!(left.classes.contains(&Class::MeatFish) && left.classes.contains(&Class::Grain));
    // Good feed afterwards does not bring it back up.
    let strictest = left.ruling();
    october
        .farm
        .fed(day("2026-10-12"), &[("growing", october.grain, 1_000)]);
    assert_eq!(ruling(&october.farm, october.younger), strictest);
}

#[test]
fn days_bound_a_supplier_s_tickets_by_local_day() {
    let october = October::new();
    let lots = |from: &str, to: &str| {
        let text = TraceText {
            supplier: Some("Corner grocer".into()),
            from: Some(from.into()),
            to: Some(to.into()),
            ..TraceText::default()
        };
        let sheet = october.farm.trace(&TraceFrom::read(&text).expect("reads"));
        let sheet = sheet.expect("traces");
        let lots = sheet.trace.lots.iter();
        lots.map(|lot| lot.name.clone()).collect::<Vec<_>>()
    };
    assert_eq!(lots("2026-10-07", "2026-10-07"), ["T3", "T4"]);
    assert_eq!(lots("2026-10-01", "2026-10-06"), ["T2"]);
    assert_eq!(lots("2026-11-01", ""), [""; 0]);
}

/// One meal of an invented book: night, feed group, lot, grams; struck or not.
type Meal = (i8, usize, usize, i64, bool);

fn meal() -> impl Strategy<Value = Meal> {
    (
        5_i8..25,
        0_usize..3,
        0_usize..5,
        0_i64..900,
        prop::bool::weighted(0.15),
    )
}

/// The last one as an earlier program's book names it.
const GROUPS: [&str; 3] = ["young", "growing", "finisher"];

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// A ticket reaches a cohort just when the cohort's way back lists the
    /// ticket, with the same weight; shares sum to what was fed.
    #[test]
    fn both_ways_tell_the_same(
        hatched in prop::collection::vec((1_i8..22, 1_i64..90_000), 1..6),
        ended in prop::option::of((0_usize..5, 8_i8..25)),
        meals in prop::collection::vec(meal(), 1..20),
    ) {
        let mut farm = Book::new();
        let lots: Vec<i64> = (0..5)
            .map(|at| farm.ticket(&format!("L{at}"), ("Grocer", "bread"), 90_000, "2026-10-01"))
            .collect();
        let cohorts: Vec<i64> = (hatched.iter().enumerate())
            .map(|(at, (on, larvae))| {
                farm.cohort(&format!("C{at}"), &format!("2026-10-{on:02}"), *larvae)
            })
            .collect();
        if let Some((at, on)) = ended.filter(|(at, _)| *at < cohorts.len()) {
            farm.end(&format!("C{at}"), &format!("2026-10-{on:02}"), "lost");
        }
        let mut fed_of: BTreeMap<i64, Grams> = BTreeMap::new();
        for (night, group, lot, grams, struck) in meals {
            let night = day(&format!("2026-10-{night:02}"));
            let seq = farm.fed(night, &[(GROUPS[group], lots[lot], grams), (GROUPS[group], -1, 70)]);
            if struck {
                farm.strike(seq);
            } else {
                *fed_of.entry(lots[lot]).or_default() += Grams::new(grams);
            }
        }
        let mut onward = BTreeMap::new();
        for (at, lot) in lots.iter().enumerate() {
            let sheet = farm.of_tickets(&[&format!("L{at}")]);
            let pairs = by_pair(&sheet);
            let placed: Grams = pairs.values().copied().sum();
            let unplaced: Grams = sheet.trace.unplaced.iter().map(|one| one.grams).sum();
            let fed = fed_of.get(lot).copied().unwrap_or_default();
            prop_assert_eq!(placed + unplaced, fed);
            prop_assert_eq!(sheet.trace.lots[0].fed, fed);
            let told: BTreeSet<i64> = sheet.trace.cohorts.iter().map(|one| one.seq).collect();
            prop_assert_eq!(&told, &pairs.keys().map(|(_, cohort)| *cohort).collect());
            onward.extend(pairs);
        }
        let mut back = BTreeMap::new();
        for cohort in cohorts {
            let sheet = farm.of_cohort(cohort);
            prop_assert!(sheet.trace.portions.iter().all(|one| one.cohort_seq == cohort));
            back.extend(by_pair(&sheet));
        }
        prop_assert_eq!(onward, back);
    }

    /// More to eat never makes a rule milder, whatever the use and the region.
    #[test]
    fn use_goes_down_only(ate in prop::collection::vec((0_usize..82, prop::option::of(0_usize..10)), 1..8)) {
        let farm = Book::new();
        let streams: Vec<_> = farm.tables.streams.iter().collect();
        let eaten: Vec<_> = ate
            .iter()
            .map(|(stream, touched)| {
                let touched: Vec<Class> = touched.map(|at| Class::ALL[at]).into_iter().collect();
                (streams[stream % streams.len()], touched)
            })
            .collect();
        for larvae_for in LarvaeFor::ALL {
            for region in Region::ALL {
                let rules = farm.tables.rules_for(larvae_for, region).expect("rules");
                let mut kept = Ruling::Allowed;
                for most in 1..=eaten.len() {
                    let part = eaten[..most].iter().map(|(stream, touched)| (*stream, touched.as_slice()));
                    let ruling = rules.strictest_of_all(part).expect("a rule").ruling;
                    prop_assert!(ruling >= kept);
                    let (stream, touched) = &eaten[most - 1];
                    let own = rules.strictest(stream, touched).expect("a rule").ruling;
                    prop_assert_eq!(ruling, kept.max(own));
                    kept = ruling;
                }
            }
        }
    }
}
