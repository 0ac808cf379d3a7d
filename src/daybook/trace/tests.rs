use jiff::Timestamp;

use crate::daybook::fixture::*;
use crate::daybook::*;
use crate::quantity::Grams;

fn seqs<T>(filed: &[Filed<T>]) -> Vec<i64> {
    filed.iter().map(|one| one.seq).collect()
}

#[test]
fn what_was_not_fed_of_a_lot_is_told_with_its_way() {
    let mut book = full_book();
    let told = |book: &Daybook| -> Vec<(i64, &'static str, i64)> {
        let left = book.left_otherwise([3, 99]).expect("reads");
        let told = |line: LeftLine| (line.seq, line.kind.as_str(), line.grams.get());
        left.into_values().flatten().map(told).collect()
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
    book.strike([9]);
    assert_eq!(told(&book).len(), 3);
}

#[test]
fn a_supplier_s_tickets_and_lots_alike_leave_out_the_struck() {
    let mut book = full_book();
    let more = [("a", "Quay brewery"), ("b", "Quay brewery"), ("c", "Mill")]
        .map(|(id, who)| new(id, now(), Entry::Ticket(load(who, "spent-grain", 900))));
    let seq = book.add(&more)[0];
    let tickets = |book: &Daybook, to| {
        let all = book.tickets_of("Quay brewery", ALWAYS.0, to);
        all.expect("reads")
    };
    assert_eq!(tickets(&book, ALWAYS.1), [3, seq, seq + 1]);
    assert_eq!(tickets(&book, now()), [0_i64; 0]);
    book.strike([seq]);
    assert_eq!(tickets(&book, ALWAYS.1), [3, seq + 1]);
    let held = book.held_alike("Quay brewery", &stream("spent-grain"));
    let held = held.expect("reads");
    let remaining = book.remaining_of(3).expect("reads").expect("a lot");
    assert_eq!(held, [(3, remaining), (seq + 1, Grams::new(900))]);
}

#[test]
fn harvests_and_sales_are_found_by_cohort_and_by_buyer() {
    let mut book = fullest_book();
    let mut sale = |id: &str, cohorts: &[i64], item: MoneyItem| {
        book.enter(id, Entry::Money(payment(item, cohorts.to_vec(), None)))
    };
    let first = sale("a", &[6, 6], MoneyItem::SoldFrass);
    sale("b", &[], MoneyItem::SoldDried);
    sale("c", &[6], MoneyItem::GateFee);
    assert_eq!(seqs(&book.harvests_of([6, 99]).expect("reads")), [14]);
    assert_eq!(seqs(&book.sales_of([6, 6]).expect("reads")), [15, first]);
    let to = book.sales_to("Pond keepers", ALWAYS.0, ALWAYS.1);
    assert_eq!(seqs(&to.expect("reads")), [15, first, first + 1]);
    let none = book.sales_of_no_cohort(ALWAYS.0).expect("reads");
    assert_eq!(seqs(&none), [first + 1]);
    assert_eq!(book.buyers().expect("reads"), ["Pond keepers"]);
    book.strike([14, 15, first]);
    assert_eq!(book.harvests_of([6]).expect("reads"), []);
    assert_eq!(book.sales_of([6]).expect("reads"), []);
}

#[test]
fn cohorts_are_found_by_name_by_hatch_day_and_by_record() {
    let book = fullest_book();
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
