use jiff::{SignedDuration, Timestamp};

use super::super::fixture::*;
use super::super::*;

#[test]
fn a_cohort_is_told_from_hatch_to_end() {
    let (_folder, book) = fullest_book();
    let lives = book.cohort_lives(Timestamp::MAX).expect("reads");
    // The end in this book is struck, so the cohort lives on.
    assert_eq!(lives.len(), 1);
    assert_eq!(lives[0].ended, Some((now(), "harvested".into())));
    let before = now() - SignedDuration::from_hours(1);
    assert_eq!(book.cohort_lives(before).expect("reads"), []);
}

#[test]
fn a_name_used_again_ends_its_own_cohort() {
    let (_folder, mut book) = new_book();
    let cohort = |id: &str| {
        let Entry::Cohort(cohort) = one_of_each().swap_remove(4).entry else {
            panic!("a cohort")
        };
        new(id, now(), Entry::Cohort(cohort))
    };
    let end = |id: &str, why: &str| {
        let (name, why) = ("C1".into(), why.into());
        new(id, now(), Entry::CohortEnd(CohortEnd { name, why }))
    };
    let all = [
        cohort("a"),
        end("x", "lost"),
        cohort("b"),
        end("y", "harvested"),
        cohort("c"),
    ];
    book.append(&all, now()).expect("appends");
    let lives = book.cohort_lives(Timestamp::MAX).expect("reads");
    let ends: Vec<Option<&str>> = lives
        .iter()
        .map(|life| life.ended.as_ref().map(|(_, why)| why.as_str()))
        .collect();
    assert_eq!(ends, [Some("lost"), Some("harvested"), None]);
}

#[test]
fn what_was_fed_is_told_by_night_group_and_lot() {
    let (_folder, mut book) = fullest_book();
    let lines = book
        .fed_lines(day("2026-03-01"), day("2026-03-01"))
        .expect("reads");
    let told: Vec<(&str, i64, i64)> = lines
        .iter()
        .map(|line| (line.group.as_str(), line.lot_seq, line.grams.get()))
        .collect();
    assert_eq!(told, [("grower", 3, 5_000), ("nursery", 3, 400)]);
    assert_eq!(book.fed_of_lots(&[3]).expect("reads"), lines);
    let none = book.fed_lines(day("2026-03-02"), day("2026-04-01"));
    assert_eq!(none.expect("reads"), []);
    let added = book
        .added_lines(day("2026-02-01"), day("2026-04-01"))
        .expect("reads");
    assert_eq!(added.len(), 2);
    assert_eq!(added[1].stream, None);
    book.append(&[strike("z", lines[0].fed_seq)], now())
        .expect("strikes");
    assert_eq!(book.fed_of_lots(&[3]).expect("reads"), []);
    let gone = book.added_lines(day("2026-02-01"), day("2026-04-01"));
    assert_eq!(gone.expect("reads"), []);
}

#[test]
fn the_newest_test_of_a_lot_wins_over_the_dock() {
    let (_folder, mut book) = fullest_book();
    let told = |book: &Daybook| -> Vec<(f64, Option<f64>)> {
        let tests = book
            .moistures(Timestamp::MIN, Timestamp::MAX)
            .expect("reads");
        tests
            .iter()
            .map(|test| (test.moisture_pct, test.sd))
            .collect()
    };
    assert_eq!(told(&book), [(76.6, Some(0.5))]);
    let facts = book.lot_facts([3, 3, 99]).expect("reads");
    assert_eq!(facts.len(), 1);
    assert_eq!(facts[&3].moisture_pct, Some(76.5));
    assert_eq!(
        facts[&3].assay.as_ref().map(|assay| assay.moisture_pct),
        Some(76.6)
    );
    book.append(&[strike("z", 4)], now()).expect("strikes");
    assert_eq!(told(&book), [(76.5, None)]);
}

#[test]
fn harvests_money_and_own_figures_leave_when_struck() {
    let (_folder, mut book) = fullest_book();
    assert_eq!(
        book.harvests(Timestamp::MAX).expect("reads")[0].entry,
        harvest(6)
    );
    let all = (Timestamp::MIN, Timestamp::MAX);
    let money = book.money(all.0, all.1).expect("reads");
    assert_eq!(money[0].entry.cohort_seqs, [6]);
    assert_eq!(book.money(all.0, now()).expect("reads"), []);
    let own = book.own_figures(Timestamp::MAX).expect("reads");
    let key = (OwnFigure::KeepsDays, "spent-grain".to_owned());
    assert!((own[&key].entry.value - 2.5).abs() < 1e-12);
    let strikes: Vec<NewRecord> = (14..=16)
        .map(|seq| strike(&format!("s{seq}"), seq))
        .collect();
    book.append(&strikes, now()).expect("strikes");
    assert_eq!(book.harvests(Timestamp::MAX).expect("reads"), []);
    assert_eq!(book.money(all.0, all.1).expect("reads"), []);
    assert!(book.own_figures(Timestamp::MAX).expect("reads").is_empty());
}

#[test]
fn a_cohort_with_a_harvest_stays_and_no_other_record_is_one() {
    let (_folder, mut book) = fullest_book();
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
    let strikes: Vec<NewRecord> = (14..=15)
        .map(|seq| strike(&format!("s{seq}"), seq))
        .collect();
    book.append(&strikes, now()).expect("strikes");
    book.append(&[strike("z", 6)], now()).expect("free by then");
    let late = new("late", now(), Entry::Harvest(harvest(6)));
    assert!(matches!(
        book.append(&[late], now()),
        Err(DaybookError::CohortStruck { seq: 6, .. })
    ));
}

#[test]
fn fates_tell_spoiled_and_cleared_for_another_reason_apart() {
    let (_folder, mut book) = full_book();
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
    book.append(&[discard("c", "past its time")], now())
        .expect("appends");
    let told = fates(&book);
    assert_eq!((told.len(), told[0].spoiled), (1, false));
    let stayed = told[0].left.duration_since(now());
    assert_eq!(stayed, SignedDuration::from_hours(24));
    book.append(&[discard("d", "spoiled: mould")], now())
        .expect("appends");
    assert!(fates(&book)[0].spoiled);
}

#[test]
fn a_container_s_volume_is_no_density() {
    let (_folder, mut book) = full_book();
    // Its volume is its container's, which says nothing of how full it was.
    let densities = |book: &Daybook| {
        book.densities(Timestamp::MIN, Timestamp::MAX)
            .expect("reads")
    };
    assert_eq!(densities(&book), []);
    let mut measured = ticket();
    measured.container = None;
    let measured = new("m", now(), Entry::Ticket(measured));
    book.append(&[measured], now()).expect("appends");
    assert_eq!(densities(&book).len(), 1);
}

#[test]
fn a_price_said_later_holds_everywhere_until_it_is_struck() {
    let (_folder, mut book) = full_book();
    let mut bought = ticket();
    (bought.bought, bought.price_per_kg) = (true, Some(4.0));
    let bought = new("bought", now(), Entry::Ticket(bought));
    let seq = book.append(&[bought], now()).expect("appends")[0].seq;
    let said = |id: &str, ticket_seq, price, note: Option<&str>| {
        let correction = Correction {
            ticket_seq,
            supplier: None,
            stream: None,
            note: note.map(str::to_owned),
            price_per_kg: price,
            verdict: None,
            reason: None,
            why: "a comma too few".into(),
        };
        new(id, now(), Entry::Correction(correction))
    };
    let all = |book: &Daybook| -> [Option<f64>; 4] {
        let lots = book.lots(Timestamp::MAX).expect("reads");
        let lot = lots.iter().find(|lot| lot.seq == seq).expect("on hand");
        let facts = book.lot_facts([seq]).expect("reads");
        let paid = book
            .prices_paid(Timestamp::MIN, Timestamp::MAX)
            .expect("reads");
        let loads = book
            .priced_loads(Timestamp::MIN, Timestamp::MAX)
            .expect("reads");
        let load = loads.iter().find(|load| load.bought).expect("bought");
        let of_lot = facts.get(&seq).and_then(|lot| lot.price_per_kg);
        let paid = paid.first().map(|(_, price)| *price);
        [lot.price_per_kg, of_lot, paid, load.price_per_kg]
    };
    assert_eq!(all(&book), [Some(4.0); 4]);
    let others = ticket().price_per_kg;
    let records = [
        said("first", seq, Some(0.5), None),
        said("second", seq, Some(0.4), None),
        said("note", seq, None, Some("a new sack")),
    ];
    let written = book.append(&records, now()).expect("appends");
    assert_eq!(all(&book), [Some(0.4); 4], "the newest price");
    let lots = book.lots(Timestamp::MAX).expect("reads");
    let other = lots.iter().find(|lot| lot.seq != seq).expect("another");
    assert_eq!(other.price_per_kg, others);
    for (at, then) in [(1, 0.5), (0, 4.0)] {
        let strike = Entry::Strike(Strike {
            target_seq: written[at].seq,
            why: "not so".into(),
        });
        let strike = new(&format!("strike{at}"), now(), strike);
        book.append(&[strike], now()).expect("appends");
        assert_eq!(all(&book), [Some(then); 4]);
    }
    let first = book.record(seq).expect("reads").expect("is there");
    let Entry::Ticket(first) = first.record.content.entry else {
        panic!("a ticket")
    };
    assert_eq!(first.price_per_kg, Some(4.0), "the first word stays");
}
