use jiff::{SignedDuration, Timestamp};

use crate::daybook::fixture::*;
use crate::daybook::*;

#[test]
fn a_cohort_is_told_from_hatch_to_end() {
    let book = fullest_book();
    let lives = book.cohort_lives(Timestamp::MAX).expect("reads");
    // The end in this book is struck, so the cohort lives on.
    assert_eq!(lives.len(), 1);
    assert_eq!(lives[0].ended, Some((now(), "harvested".into())));
    let before = now() - SignedDuration::from_hours(1);
    assert_eq!(book.cohort_lives(before).expect("reads"), []);
}

#[test]
fn a_name_used_again_ends_its_own_cohort() {
    let mut book = new_book();
    let cohort = || Entry::Cohort(cohort("C1"));
    for (id, entry) in [
        ("a", cohort()),
        ("x", cohort_end("C1", "lost")),
        ("b", cohort()),
        ("y", cohort_end("C1", "harvested")),
        ("c", cohort()),
    ] {
        book.enter(id, entry);
    }
    let lives = book.cohort_lives(Timestamp::MAX).expect("reads");
    let ends = lives.iter().map(|life| life.ended.as_ref());
    let ends: Vec<_> = ends.map(|end| end.map(|(_, why)| why.as_str())).collect();
    assert_eq!(ends, [Some("lost"), Some("harvested"), None]);
}

#[test]
fn what_was_fed_is_told_by_night_group_and_lot() {
    let mut book = fullest_book();
    let lines = |book: &Daybook, first, last| book.fed_lines(day(first), day(last)).expect("reads");
    let on_first = lines(&book, "2026-03-01", "2026-03-01");
    let told = (on_first.iter()).map(|line| (line.group.as_str(), line.of, line.grams.get()));
    let of_lot = [("grower", 3, 5_000), ("nursery", 3, 400)];
    assert_eq!(told.collect::<Vec<_>>(), of_lot);
    assert_eq!(book.fed_of_lots(&[3]).expect("reads"), on_first);
    assert_eq!(lines(&book, "2026-03-02", "2026-04-01"), []);
    let span = (day("2026-02-01"), day("2026-04-01"));
    let added = |book: &Daybook| book.added_lines(span.0, span.1).expect("reads");
    assert_eq!(added(&book).len(), 2);
    assert_eq!(added(&book)[1].of, None);
    book.strike([on_first[0].fed_seq]);
    assert_eq!(book.fed_of_lots(&[3]).expect("reads"), []);
    assert_eq!(added(&book), []);
}

#[test]
fn the_newest_test_of_a_lot_wins_over_the_dock() {
    let mut book = fullest_book();
    let told = |book: &Daybook| -> Vec<(f64, Option<f64>)> {
        let tests = book.moistures(ALWAYS.0, ALWAYS.1).expect("reads");
        let told = tests.iter().map(|test| (test.moisture_pct, test.sd));
        told.collect()
    };
    assert_eq!(told(&book), [(76.6, Some(0.5))]);
    let facts = book.lot_facts([3, 3, 99]).expect("reads");
    assert_eq!(facts.len(), 1);
    assert_eq!(facts[&3].moisture_pct, Some(76.5));
    let assay = facts[&3].assay.as_ref();
    assert_eq!(assay.map(|assay| assay.moisture_pct), Some(76.6));
    book.strike([4]);
    assert_eq!(told(&book), [(76.5, None)]);
}

#[test]
fn harvests_money_and_own_figures_leave_when_struck() {
    let mut book = fullest_book();
    let harvests = |book: &Daybook| book.harvests(Timestamp::MAX).expect("reads");
    let money = |book: &Daybook, to| book.money(ALWAYS.0, to).expect("reads");
    assert_eq!(harvests(&book)[0].entry, harvest(6));
    assert_eq!(money(&book, ALWAYS.1)[0].entry.cohort_seqs, [6]);
    assert_eq!(money(&book, now()), []);
    let own = book.own_figures(Timestamp::MAX).expect("reads");
    let key = (OwnFigure::KeepsDays, "spent-grain".to_owned());
    assert!((own[&key].entry.value - 2.5).abs() < 1e-12);
    book.strike(14..=16);
    assert_eq!(harvests(&book), []);
    assert_eq!(money(&book, ALWAYS.1), []);
    assert!(book.own_figures(Timestamp::MAX).expect("reads").is_empty());
}

#[test]
fn a_cohort_with_a_harvest_stays_and_no_other_record_is_one() {
    let mut book = fullest_book();
    let refused = book.append(&[strike("z", 6)], now());
    assert!(matches!(
        refused,
        Err(DaybookError::CohortInUse { seq: 6, .. })
    ));
    for (seq, wanted) in [(3, "no cohort"), (99, "no record")] {
        let bad = new("bad", now(), Entry::Harvest(harvest(seq)));
        let told = book.append(&[bad], now()).expect_err("refuses").to_string();
        assert!(told.contains(wanted), "{told}");
    }
    book.strike([14, 15, 6]);
    let late = new("late", now(), Entry::Harvest(harvest(6)));
    assert!(matches!(
        book.append(&[late], now()),
        Err(DaybookError::CohortStruck { seq: 6, .. })
    ));
}

#[test]
fn fates_tell_spoiled_and_cleared_for_another_reason_apart() {
    let mut book = full_book();
    let fates = |book: &Daybook| book.lot_fates(Timestamp::MAX).expect("reads");
    let discard = |id: &str, why: &str| {
        let Entry::Discard(mut discard) = discard(3, Outlet::Composted, 300) else {
            panic!("a discard")
        };
        discard.why = Some(why.into());
        let late = now() + SignedDuration::from_hours(24);
        new(id, late, Entry::Discard(discard))
    };
    assert!(!fates(&book)[0].spoiled);
    book.add(&[discard("c", "past its time")]);
    let told = fates(&book);
    assert_eq!((told.len(), told[0].spoiled), (1, false));
    let stayed = told[0].left.duration_since(now());
    assert_eq!(stayed, SignedDuration::from_hours(24));
    book.add(&[discard("d", "spoiled: mould")]);
    assert!(fates(&book)[0].spoiled);
}

#[test]
fn a_container_s_volume_is_no_density() {
    let mut book = full_book();
    // Its volume is its container's, which says nothing of how full it was.
    let densities = |book: &Daybook| book.densities(ALWAYS.0, ALWAYS.1).expect("reads");
    assert_eq!(densities(&book), []);
    let mut measured = ticket();
    measured.container = None;
    book.enter("m", Entry::Ticket(measured));
    assert_eq!(densities(&book).len(), 1);
}

#[test]
fn a_price_said_later_holds_everywhere_until_it_is_struck() {
    let mut book = full_book();
    let mut bought = ticket();
    (bought.bought, bought.price_per_kg) = (true, Some(4.0));
    let seq = book.enter("bought", Entry::Ticket(bought));
    let said = |id: &str, price, note: Option<&str>| {
        let words = |it: &mut Correction| {
            (it.price_per_kg, it.note) = (price, note.map(str::to_owned));
        };
        new(id, now(), correction(seq, words))
    };
    let all = |book: &Daybook| -> [Option<f64>; 4] {
        let lots = book.lots(Timestamp::MAX).expect("reads");
        let lot = lots.iter().find(|lot| lot.seq == seq).expect("on hand");
        let facts = book.lot_facts([seq]).expect("reads");
        let paid = book.prices_paid(ALWAYS.0, ALWAYS.1).expect("reads");
        let loads = book.priced_loads(ALWAYS.0, ALWAYS.1).expect("reads");
        let load = loads.iter().find(|load| load.bought).expect("bought");
        let of_lot = facts.get(&seq).and_then(|lot| lot.price_per_kg);
        let paid = paid.first().map(|(_, price)| *price);
        [lot.price_per_kg, of_lot, paid, load.price_per_kg]
    };
    assert_eq!(all(&book), [Some(4.0); 4]);
    let others = ticket().price_per_kg;
    let written = book.add(&[
        said("first", Some(0.5), None),
        said("second", Some(0.4), None),
        said("note", None, Some("a new sack")),
    ]);
    assert_eq!(all(&book), [Some(0.4); 4], "the newest price");
    let lots = book.lots(Timestamp::MAX).expect("reads");
    let other = lots.iter().find(|lot| lot.seq != seq).expect("another");
    assert_eq!(other.price_per_kg, others);
    for (at, then) in [(1, 0.5), (0, 4.0)] {
        book.strike([written[at]]);
        assert_eq!(all(&book), [Some(then); 4]);
    }
    let Entry::Ticket(first) = book.at(seq).record.content.entry else {
        panic!("a ticket")
    };
    assert_eq!(first.price_per_kg, Some(4.0), "the first word stays");
}
