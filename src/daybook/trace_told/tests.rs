use jiff::Timestamp;

use super::super::fixture::*;
use super::super::*;
use crate::quantity::{Grams, Money};

fn seqs<T>(filed: &[Filed<T>]) -> Vec<i64> {
    filed.iter().map(|one| one.seq).collect()
}

const ALWAYS: (Timestamp, Timestamp) = (Timestamp::MIN, Timestamp::MAX);

#[test]
fn what_was_not_fed_of_a_lot_is_told_with_its_way() {
    let (_folder, mut book) = full_book();
    let told = |book: &Daybook| -> Vec<(i64, &'static str, i64)> {
        let left = book.left_otherwise([3, 99]).expect("reads");
        let lines = left.into_values().flatten();
        lines
            .map(|line| (line.seq, line.kind.as_str(), line.grams.get()))
            .collect()
    };
    assert_eq!(
        told(&book),
        [
            (3, "picked_out", 600),
            (5, "shrink", -74),
            (8, "shrink", -3),
            (9, "picked_out", 120)
        ]
    );
    book.append(&[strike("z", 9)], now()).expect("strikes");
    assert_eq!(told(&book).len(), 3);
}

#[test]
fn a_supplier_s_tickets_and_lots_alike_leave_out_the_struck() {
    let (_folder, mut book) = full_book();
    let more = [("a", "Quay brewery"), ("b", "Quay brewery"), ("c", "Mill")]
        .map(|(id, who)| new(id, now(), Entry::Ticket(load(who, "spent-grain", 900))));
    let seq = book.append(&more, now()).expect("appends")[0].seq;
    let tickets = |book: &Daybook| {
        let all = book.tickets_of("Quay brewery", ALWAYS.0, ALWAYS.1);
        all.expect("reads")
    };
    assert_eq!(tickets(&book), [3, seq, seq + 1]);
    let past = book.tickets_of("Quay brewery", ALWAYS.0, now());
    assert_eq!(past.expect("reads"), [0_i64; 0]);
    book.append(&[strike("z", seq)], now()).expect("strikes");
    assert_eq!(tickets(&book), [3, seq + 1]);
    let held = book.held_alike("Quay brewery", &stream("spent-grain"));
    let held = held.expect("reads");
    let remaining = book.remaining_of(3).expect("reads").expect("a lot");
    assert_eq!(held, [(3, remaining), (seq + 1, Grams::new(900))]);
}

#[test]
fn harvests_and_sales_are_found_by_cohort_and_by_buyer() {
    let (_folder, mut book) = fullest_book();
    let sale = |cohort_seqs: Vec<i64>, item: MoneyItem| {
        Entry::Money(Payment {
            item,
            amount: Money::new(100),
            what: None,
            minutes: None,
            kwh: None,
            grams: None,
            grams_text: None,
            party: Some("Pond keepers".into()),
            cohort_seqs,
            note: None,
        })
    };
    let more = [
        new("a", now(), sale(vec![6, 6], MoneyItem::SoldFrass)),
        new("b", now(), sale(Vec::new(), MoneyItem::SoldDried)),
        new("c", now(), sale(vec![6], MoneyItem::GateFee)),
    ];
    let first = book.append(&more, now()).expect("appends")[0].seq;
    assert_eq!(seqs(&book.harvests_of([6, 99]).expect("reads")), [14]);
    assert_eq!(seqs(&book.sales_of([6, 6]).expect("reads")), [15, first]);
    let to = book.sales_to("Pond keepers", ALWAYS.0, ALWAYS.1);
    assert_eq!(seqs(&to.expect("reads")), [15, first, first + 1]);
    let none = book.sales_of_no_cohort(ALWAYS.0).expect("reads");
    assert_eq!(seqs(&none), [first + 1]);
    assert_eq!(book.buyers().expect("reads"), ["Pond keepers"]);
    let strikes = [14, 15, first].map(|seq| strike(&format!("s{seq}"), seq));
    book.append(&strikes, now()).expect("strikes");
    assert_eq!(book.harvests_of([6]).expect("reads"), []);
    assert_eq!(book.sales_of([6]).expect("reads"), []);
}

#[test]
fn cohorts_are_found_by_name_by_hatch_day_and_by_record() {
    let (_folder, book) = fullest_book();
    assert_eq!(seqs(&book.cohorts_named("C1").expect("reads")), [6]);
    assert_eq!(book.cohorts_named("C2").expect("reads"), []);
    let all = book.cohort_lives(Timestamp::MAX).expect("reads");
    assert_eq!(book.cohort_lives_of([6, 99]).expect("reads"), all);
    let on = |first: &str, last: &str| {
        let lives = book.cohort_lives_hatched(day(first), day(last));
        lives.expect("reads").len()
    };
    assert_eq!(on("2026-02-20", "2026-02-20"), 1);
    assert_eq!(on("2026-02-21", "2026-12-31"), 0);
}
