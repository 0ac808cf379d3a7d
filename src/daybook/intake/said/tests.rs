use super::*;
use crate::daybook::fixture::*;
use crate::daybook::store::get::rows;
use crate::daybook::{Correction, Daybook, DaybookError, Entry, NewRecord};

/// Ticket 3 of the full book, from `Quay brewery`, spent-grain, pick out.
const TICKET: i64 = 3;

fn said(id: &str, ticket_seq: i64, change: impl FnOnce(&mut Correction)) -> NewRecord {
    new(id, now(), correction(ticket_seq, change))
}

/// The ticket's words by SQL, live and up to record `upto`.
fn told(book: &Daybook, upto: i64) -> [Vec<String>; 2] {
    let told = |from: &str, values: &[i64]| {
        let words = "supplier || '|' || stream || '|' || verdict || '|' || price_per_kg";
        let sql = format!("SELECT {words} FROM {from} t WHERE t.seq = {TICKET}");
        let values = rusqlite::params_from_iter(values);
        rows(&book.conn, &sql, values).expect("reads")
    };
    [told(told!(), &[]), told(told!("?1"), &[upto])]
}

#[test]
fn each_word_is_the_newest_that_is_not_struck() {
    let mut book = full_book();
    let first = ticket();
    let of_first = format!("{}|spent-grain|pick out|-0.02", first.supplier);
    let before = book.head().seq;
    assert_eq!(
        told(&book, before),
        [[of_first.clone()], [of_first.clone()]]
    );
    let written = book.add(&[
        said("a", TICKET, |it| it.supplier = Some("Dock".into())),
        said("b", TICKET, |it| {
            it.stream = Some(stream("okara"));
            (it.verdict, it.reason) = (Some(Verdict::Feed), Some("fine".into()));
        }),
        said("c", TICKET, |it| {
            it.supplier = Some("Mill".into());
            (it.price_per_kg, it.note) = (Some(0.5), Some("third shelf".into()));
        }),
    ]);
    let now_told = "Mill|okara|feed|0.5";
    assert_eq!(
        told(&book, before + 2),
        [[now_told.to_owned()], ["Dock|okara|feed|-0.02".to_owned()]]
    );
    let found = book.at(TICKET);
    assert_eq!(found.record.content.entry, Entry::Ticket(first.clone()));
    let ticket = found.ticket().expect("a ticket");
    let words = [&ticket.supplier, &ticket.reason];
    assert_eq!(words, ["Mill", "fine"]);
    assert_eq!(ticket.note.as_deref(), Some("third shelf"));
    assert_eq!(ticket.net_g, first.net_g);
    for (nth, then) in [
        (2, "Dock|okara|feed|-0.02"),
        (0, "Quay brewery|okara|feed|-0.02"),
        (1, of_first.as_str()),
    ] {
        book.strike([written[nth]]);
        let head = book.head().seq;
        assert_eq!(told(&book, head), [[then.to_owned()], [then.to_owned()]]);
        // What was told before the strike is told again as it was.
        assert_eq!(told(&book, written[2])[1], [now_told]);
    }
    assert_eq!(book.at(TICKET).ticket(), Some(first));
    assert!(book.is_whole());
}

#[test]
fn no_correction_lets_a_load_in_or_out_of_the_stock() {
    let mut book = full_book();
    let verdict = |id: &str, ticket_seq, verdict| {
        said(id, ticket_seq, |it| {
            (it.verdict, it.reason) = (Some(verdict), Some("x".into()));
        })
    };
    let mut turned_away = ticket();
    turned_away.verdict = Verdict::Refuse;
    let away = book.enter("away", Entry::Ticket(turned_away));
    for (ticket, other) in [(TICKET, Verdict::Refuse), (away, Verdict::Feed)] {
        match book.append(&[verdict("x", ticket, other)], now()) {
            Err(DaybookError::NotAccepted { field, .. }) => assert_eq!(field, "verdict"),
            other => panic!("{other:?}"),
        }
    }
    book.add(&[said("y", away, |it| it.supplier = Some("Mill".into()))]);
}

/// A view that SQLite can't search through would copy every ticket there is.
#[test]
fn tickets_as_told_are_searched_and_never_copied() {
    let book = full_book();
    let plan = |sql: &str| {
        let sql = format!("EXPLAIN QUERY PLAN {sql}");
        let values = rusqlite::params_from_iter(vec![1_i64; sql.matches('?').count().min(3)]);
        let mut plan = book.conn.prepare(&sql).expect("prepares");
        let told = plan.query_map(values, |row| row.get::<_, String>(3));
        let told: Vec<String> = told
            .expect("plans")
            .map(|line| line.expect("a line"))
            .collect();
        told.join("\n")
    };
    let by_day = plan(concat!(
        "SELECT t.supplier, SUM(t.net_g) FROM record r CROSS JOIN ",
        told!("?3"),
        " t WHERE t.seq = r.seq AND r.at_utc >= ?1 AND r.at_utc < ?2 GROUP BY t.supplier"
    ));
    assert!(
        by_day.contains("SEARCH x USING INTEGER PRIMARY KEY"),
        "{by_day}"
    );
}
