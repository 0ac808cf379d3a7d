use super::*;
use crate::daybook::fixture::*;
use crate::quantity::Grams;

fn seq_of(found: Result<Option<Found>, DaybookError>) -> Option<i64> {
    found.expect("reads").map(|found| found.record.seq)
}

#[test]
fn what_people_call_a_record() {
    let mut book = full_book();
    book.add(&[ticket_record("1", now()), ticket_record("r2", now())]);
    for (reference, record, ticket) in [
        ("id-3", Some(3), Some(3)),
        ("id-4", Some(4), None),
        (" #1 ", Some(3), Some(3)),
        ("#2", Some(13), Some(13)),
        ("2", Some(13), Some(13)),
        ("r8", Some(8), None),
        ("r3", Some(3), Some(3)),
        ("#9", None, None),
        ("nobody", None, None),
        ("", None, None),
    ] {
        assert_eq!(seq_of(book.find_record(reference)), record, "{reference}");
        assert_eq!(seq_of(book.find_ticket(reference)), ticket, "{reference}");
    }
    // `1` is the id of record 13 and the number of the ticket in record 3.
    let error = book.find_ticket("1").expect_err("two of them").to_string();
    insta::assert_snapshot!(error, @"`1` is the id of record `r13` and the number of record `r3`; accepted: `r13` or `r3`");
    assert!(book.find_record("r2").is_err());
    // Record 2 is no ticket, so among tickets `r2` can only be the id.
    assert_eq!(seq_of(book.find_ticket("r2")), Some(14));
}

#[test]
fn the_newest_of_each_name_and_nothing_struck() {
    let mut book = full_book();
    book.enter("pail 2", pail(700, "700 g", None));
    book.enter("pail 3", pail(900, "900 g", None));
    book.strike([14]);
    let pails = book.containers().expect("reads");
    assert_eq!((pails.len(), pails[0].tare_g), (1, Grams::new(700)));

    let newest = book.newest_records(2).expect("reads");
    assert_eq!(newest[0].record.content.entry.kind(), "strike");
    assert_eq!((newest[1].record.seq, newest[1].struck_by), (14, Some(15)));
}

#[test]
fn suppliers_streams_and_tickets_of_a_span() {
    let mut book = new_book();
    let at = |hour: i64| instant(&format!("2026-02-01T{hour:02}:00:00Z"));
    for (hour, who, what) in [
        (1, "Quay", "spent-grain"),
        (2, "Cafe", "coffee-grounds"),
        (3, "Quay", "okara"),
    ] {
        let load = Entry::Ticket(load(who, what, 1_000));
        book.add(&[new(&format!("t{hour}"), at(hour), load)]);
    }
    book.strike([4]);
    assert_eq!(book.suppliers().expect("reads"), ["Cafe", "Quay"]);

    let numbers = |from, to, struck| -> Vec<i64> {
        let tickets = book.tickets_between(from, to, struck).expect("reads");
        tickets.iter().map(|ticket| ticket.number).collect()
    };
    assert_eq!(numbers(at(1), at(3), true), [1, 2]);
    assert_eq!(numbers(at(1), at(4), true), [1, 2, 3]);
    assert_eq!(numbers(at(1), at(4), false), [1, 2]);
}

#[test]
fn nights_and_cohorts() {
    let mut book = full_book();
    let night = day("2026-03-01");
    let sheet = book.newest_sheet(night).expect("reads").expect("a sheet");
    assert_eq!(book.sheet(sheet.seq).expect("reads"), Some(sheet));
    assert_eq!(book.fed_on(night).expect("reads").len(), 1);
    assert_eq!(book.fed_on(day("2026-03-02")).expect("reads").len(), 0);
    assert_eq!(book.sheet(8).expect("reads"), None);
    book.strike([7, 8]);
    assert_eq!(book.newest_sheet(night).expect("reads"), None);
    assert_eq!(book.fed_on(night).expect("reads").len(), 0);

    // The end in record 10 ended the cohort in record 6; a later one of that
    // name lives on, and an end that is struck ends nothing.
    let cohorts = |book: &Book| -> Vec<i64> {
        let filed = book.cohorts(now()).expect("reads");
        filed.iter().map(|cohort| cohort.seq).collect()
    };
    assert_eq!(cohorts(&book), [0; 0]);
    book.enter("again", Entry::Cohort(cohort("C1")));
    let later = instant("2026-03-02T12:00:00Z");
    book.add(&[new("end", later, cohort_end("C1", "lost"))]);
    book.strike([10]);
    assert_eq!(cohorts(&book), [6, 15]);
    assert_eq!(book.cohorts(later).expect("reads").len(), 0);
}
