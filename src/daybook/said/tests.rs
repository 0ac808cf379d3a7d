use super::super::fixture::*;
use super::super::get::rows;
use super::super::{Correction, Daybook, NewRecord};
use super::*;
use crate::daybook::DaybookError;

/// Ticket 3 of the full book, from `Quay brewery`, spent-grain, pick out.
const TICKET: i64 = 3;

fn said(id: &str, ticket_seq: i64, change: impl FnOnce(&mut Correction)) -> NewRecord {
    let mut it = Correction {
        ticket_seq,
        supplier: None,
        stream: None,
        note: None,
        price_per_kg: None,
        verdict: None,
        reason: None,
        why: "labels were swapped".into(),
    };
    change(&mut it);
    new(id, now(), Entry::Correction(it))
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
    let (_folder, mut book) = full_book();
    let first = ticket();
    let of_first = format!("{}|spent-grain|pick out|-0.02", first.supplier);
    let before = book.seal().expect("a seal").seq;
    assert_eq!(
        told(&book, before),
        [[of_first.clone()], [of_first.clone()]]
    );
    let corrections = [
        said("a", TICKET, |it| it.supplier = Some("Dock".into())),
        said("b", TICKET, |it| {
            it.stream = Some(stream("okara"));
            (it.verdict, it.reason) = (Some(Verdict::Feed), Some("fine".into()));
        }),
        said("c", TICKET, |it| {
            it.supplier = Some("Mill".into());
            (it.price_per_kg, it.note) = (Some(0.5), Some("third shelf".into()));
        }),
    ];
    let written = book.append(&corrections, now()).expect("appends");
    let now_told = "Mill|okara|feed|0.5";
    assert_eq!(
        told(&book, before + 2),
        [[now_told.to_owned()], ["Dock|okara|feed|-0.02".to_owned()]]
    );
    let found = book.record(TICKET).expect("reads").expect("is there");
    assert_eq!(found.record.content.entry, Entry::Ticket(first.clone()));
    let ticket = found.ticket().expect("a ticket");
    assert_eq!(
        (
            ticket.supplier.as_str(),
            ticket.note.as_deref(),
            ticket.reason.as_str()
        ),
        ("Mill", Some("third shelf"), "fine")
    );
    assert_eq!(ticket.net_g, first.net_g);
    for (nth, then) in [
        (2, "Dock|okara|feed|-0.02"),
        (0, "Quay brewery|okara|feed|-0.02"),
        (1, of_first.as_str()),
    ] {
        let strike = strike(&format!("s{nth}"), written[nth].seq);
        book.append(&[strike], now()).expect("strikes");
        let head = book.seal().expect("a seal").seq;
        assert_eq!(told(&book, head), [[then.to_owned()], [then.to_owned()]]);
        // What was told before the strike is told again as it was.
        assert_eq!(told(&book, written[2].seq)[1], [now_told]);
    }
    let found = book.record(TICKET).expect("reads").expect("is there");
    assert_eq!(found.ticket(), Some(first));
    assert!(book.check(None).expect("checks").is_whole());
}

#[test]
fn no_correction_lets_a_load_in_or_out_of_the_stock() {
    let (_folder, mut book) = full_book();
    let verdict = |id: &str, ticket_seq, verdict| {
        said(id, ticket_seq, |it| {
            (it.verdict, it.reason) = (Some(verdict), Some("x".into()));
        })
    };
    let mut turned_away = ticket();
    turned_away.verdict = Verdict::Refuse;
    let turned_away = new("away", now(), Entry::Ticket(turned_away));
    let away = book.append(&[turned_away], now()).expect("appends")[0].seq;
    for (ticket, other) in [(TICKET, Verdict::Refuse), (away, Verdict::Feed)] {
        let refused = book.append(&[verdict("x", ticket, other)], now());
        let refused = refused.expect_err("refused");
        assert!(
            matches!(
                refused,
                DaybookError::NotAccepted {
                    field: "verdict",
                    ..
                }
            ),
            "{refused}"
        );
    }
    let supplier = said("y", away, |it| it.supplier = Some("Mill".into()));
    book.append(&[supplier], now()).expect("appends");
}

/// A view that SQLite can't search through would copy every ticket there is.
#[test]
fn tickets_as_told_are_searched_and_never_copied() {
    let (_folder, book) = full_book();
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
