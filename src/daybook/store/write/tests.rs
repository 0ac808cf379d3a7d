use super::*;
use crate::daybook::Outlet;
use crate::daybook::fixture::*;
use crate::quantity::Grams;
use crate::stream::Verdict;

fn refused(book: &mut Kept, new: NewRecord) -> DaybookError {
    let before = book.head();
    let error = book.append(&[new], now()).expect_err("refused");
    assert_eq!(book.head(), before, "nothing was written");
    error
}

#[test]
fn every_kind_reads_back_as_it_was_asked_for() {
    let book = fullest_book();
    for (seq, asked) in (2..).zip(one_of_each().into_iter().chain(later_kinds())) {
        let found = book.at(seq);
        assert_eq!(found.record.content, asked);
        assert_eq!(found.record.recorded_at, now());
        let tickets = [(3, 1), (25, 2)];
        let number = tickets.iter().find(|(record, _)| *record == seq);
        assert_eq!(found.number, number.map(|(_, number)| *number));
    }
    assert_eq!(book.record(27).expect("reads"), None);
    assert!(book.is_whole());
}

#[test]
fn a_repeated_record_is_harmless_and_another_under_its_id_is_refused() {
    let mut book = full_book();
    let seal = book.head();
    let again = book.append(&one_of_each(), now()).expect("harmless");
    assert!(again.iter().all(|record| record.already_there));
    assert_eq!((again[1].seq, again[1].number), (3, Some(1)));
    assert_eq!(book.head(), seal);

    let mut other = one_of_each().swap_remove(1);
    other.at = instant("2026-03-01T11:00:00Z");
    let error = refused(&mut book, other).to_string();
    insta::assert_snapshot!(error, @"This is in the book already, as record 3. There `at` is 2026-03-01T12:00:00Z, here it is 2026-03-01T11:00:00Z. The book keeps what it has. To record this too, enter it anew (`id-3` is taken).");
}

#[test]
fn a_fraction_of_a_second_is_dropped_and_a_retry_with_it_is_harmless() {
    let mut book = new_book();
    let new = ticket_record("a", instant("2026-03-01T11:00:00.75Z"));
    for already_there in [false, true] {
        let appended = book
            .append(std::slice::from_ref(&new), now())
            .expect("appends");
        assert_eq!(appended[0].already_there, already_there);
    }
    assert_eq!(
        book.at(2).record.content.at,
        instant("2026-03-01T11:00:00Z")
    );
}

#[test]
fn all_records_of_a_batch_or_none() {
    let mut book = new_book();
    let mut blank = ticket_record("c", now());
    blank.by = " ".into();
    let batch = [ticket_record("a", now()), ticket_record("b", now()), blank];
    let seal = book.head();
    assert!(book.append(&batch, now()).is_err());
    assert_eq!(book.head(), seal);
    let kept = book.append(&batch[..2], now()).expect("appends");
    assert_eq!(
        kept.iter().map(|t| t.number).collect::<Vec<_>>(),
        [Some(1), Some(2)]
    );
}

#[test]
fn a_failing_or_panicking_caller_leaves_nothing() {
    let mut book = new_book();
    let seal = book.head();
    let failed: Result<(), DaybookError> = book.write(now(), |writing| {
        writing.append(&ticket_record("a", now()))?;
        assert_eq!(writing.remaining_of(2)?, Some(Grams::new(13_326)));
        Err(DaybookError::NoSuchRecord { seq: 99 })
    });
    assert!(matches!(
        failed,
        Err(DaybookError::NoSuchRecord { seq: 99 })
    ));
    let panicked = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| {
        book.write(now(), |writing| -> Result<(), DaybookError> {
            writing.append(&ticket_record("a", now()))?;
            panic!("the program ends here")
        })
    }));
    assert!(panicked.is_err());
    assert_eq!(book.head(), seal);
    book.enter("a", Entry::Ticket(ticket()));
}

#[test]
fn a_record_that_broke_off_takes_the_writing_with_it() {
    let mut book = new_book();
    let mut odd = load("Cafe", "coffee-grounds", 1);
    odd.volume_l = Some(-1.0);
    let kept: Result<(), DaybookError> = book.write(now(), |writing| {
        let new = new("a", now(), Entry::Ticket(odd));
        let error = writing.append(&new).expect_err("a table rule");
        assert!(matches!(error, DaybookError::NotTaken { .. }), "{error}");
        Ok(())
    });
    assert!(matches!(kept, Err(DaybookError::BrokenOff)));
    assert_eq!(book.head().seq, 1);
}

#[test]
fn values_no_record_may_hold() {
    let mut book = new_book();
    let mut cases = Vec::new();
    for (field, change) in [
        ("id", (|new| new.id = " ".into()) as fn(&mut NewRecord)),
        ("by", |new| new.by = String::new()),
        ("at", |new| new.at = instant("1969-12-31T23:59:59Z")),
    ] {
        let mut new = ticket_record("a", now());
        change(&mut new);
        cases.push((field, new));
    }
    for number in [f64::NAN, f64::INFINITY] {
        let mut ticket = ticket();
        ticket.moisture_pct = Some(number);
        cases.push(("moisture_pct", new("a", now(), Entry::Ticket(ticket))));
    }
    let mut all_bone = ticket();
    all_bone.picked_out[0].grams = Grams::new(13_927);
    cases.push(("picked_out", new("a", now(), Entry::Ticket(all_bone))));
    for (wanted, new) in cases {
        match refused(&mut book, new) {
            DaybookError::NotAccepted { field, .. } => assert_eq!(field, wanted),
            other => panic!("{wanted}: {other}"),
        }
    }
}

#[test]
fn a_negative_zero_is_a_zero() {
    let mut book = new_book();
    book.enter("a", pail(0, "0", Some(-0.0)));
    assert!(book.is_whole());
}

#[test]
fn a_lot_must_be_there_to_lose_weight() {
    let mut book = full_book();
    let mut turned_away = load("Cafe", "coffee-grounds", 5_000);
    turned_away.verdict = Verdict::Refuse;
    book.enter("refused", Entry::Ticket(turned_away));
    let struck = load("Cafe", "coffee-grounds", 5_000);
    book.enter("struck", Entry::Ticket(struck));
    book.strike([14]);
    let mut lost = |lot_seq, at: &str| {
        let entry = discard(lot_seq, Outlet::Composted, 10);
        refused(&mut book, new("d", instant(at), entry)).to_string()
    };
    let told = [
        lost(99, "2026-03-01T12:00:00Z"),
        lost(1, "2026-03-01T12:00:00Z"),
        lost(13, "2026-03-01T12:00:00Z"),
        lost(14, "2026-03-01T12:00:00Z"),
        lost(3, "2026-03-01T11:59:59Z"),
    ];
    insta::assert_snapshot!(told.join("\n"), @"
    there is no record `r99`
    record `r1` is no ticket, so it has no lot
    the lot of record `r13` was refused at the dock and never was in stock
    the ticket of record `r14` is struck by record `r15`, so it has no lot
    record `d` happened at `2026-03-01T11:59:59Z`, before the lot of record `r3` came in at `2026-03-01T12:00:00Z`
    ");
}

#[test]
fn what_is_fed_follows_a_sheet_or_none() {
    let mut book = full_book();
    for (sheet, wanted) in [
        (3, "record `r3` is no sheet"),
        (99, "there is no record `r99`"),
    ] {
        let mut fed = one_of_each().swap_remove(6);
        fed.id = "fed".into();
        if let Entry::Fed(fed) = &mut fed.entry {
            fed.sheet_seq = Some(sheet);
        }
        assert!(refused(&mut book, fed).to_string().contains(wanted));
    }
}

#[test]
fn strikes_that_can_not_be() {
    let mut book = full_book();
    let mut told = Vec::new();
    for target in [99, 12, 11, 3, 1] {
        told.push(refused(&mut book, strike("s", target)).to_string());
    }
    insta::assert_snapshot!(told.join("\n"), @"
    there is no record `r99`
    record `r12` is a strike, and a strike stands; accepted: a record of any other kind, or the voided thing entered anew
    record `r11` is struck already, by record `r12`
    weight has left the lot of record `r3` by records `r5`, `r8`, `r9`; accepted: these struck first
    record `r1` holds the farm's only settings; accepted: new settings first
    ");
}

#[test]
fn of_two_handles_one_waits_and_says_so() {
    let mut book = new_book();
    let wait = std::time::Duration::from_millis(20);
    let mut other = Daybook::open_waiting(book.path(), wait).expect("opens");
    let done: Result<_, DaybookError> = book.write(now(), |writing| {
        let error = other.append(&[ticket_record("b", now())], now());
        assert!(matches!(error, Err(DaybookError::Locked { .. })));
        // Reading goes on meanwhile.
        assert_eq!(other.seal()?.seq, 1);
        writing.append(&ticket_record("a", now()))
    });
    assert_eq!(done.expect("appends").seq, 2);
    let next = other
        .append(&[ticket_record("b", now())], now())
        .expect("appends");
    assert_eq!((next[0].seq, next[0].number), (3, Some(2)));
    assert!(book.is_whole());
}

#[test]
fn a_full_disk_is_told_and_leaves_the_book_whole() {
    let mut book = new_book();
    book.run("PRAGMA max_page_count = 1");
    let batch = tickets("t", 200);
    let error = book.append(&batch, now()).expect_err("no room");
    assert!(matches!(error, DaybookError::DiskFull { .. }), "{error}");
    book.run("PRAGMA max_page_count = 1000000");
    assert_eq!(book.head().seq, 1);
    book.add(&batch);
    assert!(book.is_whole());
}
