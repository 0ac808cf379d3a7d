//! A wrong supplier or stream found late: months, statements and closed months
//! follow the correction, and its strike brings everything back.

use std::collections::BTreeMap;

use trayful::acts::{month, statement};
use trayful::daybook::{Daybook, Draw, Entry};
use trayful::quantity::Grams;
use trayful::report::{Change, StreamMonth};
use trayful::sheet::{data_csv, statement_document, statement_table};
use trayful::stream::Verdict;
use trayful::words::{Language, Said};

use crate::support::{FarmBook, answered, instant, named, october, page};

fn fed(farm: &mut FarmBook, lot: &str, grams: i64, at: &str) {
    let lot = farm.book.find_ticket(lot).expect("reads").expect("a lot");
    let draw = Draw {
        group: "growing".to_owned(),
        lot_seq: lot.record.seq,
        grams: Grams::new(grams),
    };
    farm.fed(at, vec![draw], Vec::new());
}

/// Three loads, the second of them fed: eight kilograms.
fn farm() -> FarmBook {
    let mut farm = FarmBook::in_zone("Europe/Madrid", "2026-11-02T09:00:00Z");
    farm.loads(&[
        "2026-10-02T08:00:00Z,Baker,bread,10.0",
        "2026-10-03T08:00:00Z,Baker,bread,12.0",
        "2026-10-03T09:00:00Z,Grocer,carrot-trim,20.0",
    ]);
    fed(&mut farm, "#2", 8_000, "2026-10-05T20:00:00Z");
    farm
}

fn told(farm: &FarmBook) -> [String; 3] {
    let statement = |of: &str| {
        let sheet = farm.statement(of);
        let table = data_csv(&statement_table(&sheet)).expect("a table");
        table.replace(&sheet.around.seal, "HEAD")
    };
    let sheet = farm.month(october());
    let page = answered(&sheet)
        .to_string()
        .replace(&sheet.around.seal, "HEAD");
    [page, statement("Baker"), statement("Grocer")]
}

fn pending(farm: &FarmBook) -> Vec<Change> {
    farm.month(october()).pending
}

#[test]
fn a_bucket_that_was_fed_is_moved_and_comes_back_when_the_correction_is_struck() {
    let mut farm = farm();
    let before = told(&farm);
    farm.strike("#2", "another supplier's").expect_err("fed");
    let done = farm.correct("#2", Some("grocer "), None).expect("corrects");
    assert_eq!(done.words[0].now, "Grocer", "as the book spells it");
    let report = farm.month(october()).report;
    let flows = report.suppliers.iter().map(|one| {
        let flow = &one.flow;
        let grams = [flow.received, flow.fed, flow.closing].map(Grams::get);
        (one.supplier.as_str(), grams)
    });
    let moved = [
        ("Baker", [10_000, 0, 10_000]),
        ("Grocer", [32_000, 8_000, 24_000]),
    ];
    assert_eq!(flows.collect::<Vec<_>>(), moved);
    let grocer = farm.statement("Grocer");
    let numbers: Vec<_> = (grocer.statement.tickets.iter())
        .map(|ticket| {
            (
                ticket.number,
                ticket.first_written_as.as_ref().map(Said::in_english),
            )
        })
        .collect();
    assert_eq!(
        numbers,
        [(2, Some("another supplier's bread".to_owned())), (3, None)]
    );
    let page = page(&statement_document(&grocer), Language::En);
    assert!(
        page.contains("#2 corrected; first written as another supplier's bread."),
        "{page}"
    );
    assert_eq!(farm.statement("Baker").statement.tickets.len(), 1);
    farm.strike(&format!("r{}", done.record), "it was right")
        .expect("strikes");
    assert_eq!(told(&farm), before);
    assert!(farm.book.check(None).expect("checks").is_whole());
}

#[test]
fn a_closed_month_shows_it_as_changed_and_its_next_version_says_who_and_why() {
    let mut farm = farm();
    let close = |farm: &mut FarmBook, why, now: &str| {
        farm.at(now);
        farm.close(october(), why, now)
    };
    close(&mut farm, None, "2026-11-02T10:00:00Z").expect("closes");
    let first = |farm: &FarmBook| {
        let sheet = statement(&farm.book, "Baker", october(), Some(1)).expect("a statement");
        data_csv(&statement_table(&sheet)).expect("a table")
    };
    let handed_out = first(&farm);
    let done = farm.correct("#2", Some("Grocer"), None).expect("corrects");
    let told = |change: &Change| {
        let (supplier, figure) = (&change.supplier, change.figure);
        let (before, now) = (change.before.get(), change.now.get());
        format!("{supplier} {figure}: {before} to {now}")
    };
    let figures: Vec<String> = pending(&farm).iter().map(told).collect();
    assert_eq!(
        figures,
        [
            "Baker loads: 2 to 1",
            "Baker received: 22000 to 10000",
            "Baker fed: 8000 to 0",
            "Baker closing: 14000 to 10000",
            "Grocer loads: 0 to 1",
            "Grocer received: 0 to 12000",
            "Grocer fed: 0 to 8000",
            "Grocer closing: 0 to 4000",
        ]
    );
    assert_eq!(first(&farm), handed_out, "as it was handed out");
    close(&mut farm, Some("a label"), "2026-11-03T10:00:00Z").expect("closes");
    let said = |farm: &FarmBook| -> Vec<String> {
        let sheet = farm.month(october());
        let corrections = sheet.around.closing.expect("closed").corrections;
        corrections.iter().map(Said::in_english).collect()
    };
    assert_eq!(
        said(&farm),
        ["ticket #2 of 2026-10-03 10:00 corrected by MK on 2026-11-02 11:00: labels were swapped"]
    );
    // Struck again, the first figures hold, and the book says why.
    farm.strike(&format!("r{}", done.record), "it was right")
        .expect("strikes");
    assert_eq!(pending(&farm).len(), 8);
    close(&mut farm, Some("right at first"), "2026-11-04T10:00:00Z").expect("closes");
    let struck = format!(
        "correction r{} of ticket #2 of 2026-10-03 10:00 struck by MK on 2026-11-03 11:00: it was right",
        done.record
    );
    assert_eq!(said(&farm), [struck]);
    let sheets =
        [1, 3].map(|version| month(&farm.book, october(), Some(version)).expect("a month"));
    assert_eq!(sheets[0].report.suppliers, sheets[1].report.suppliers);
}

/// What a month opens with is kept along the book by tickets as first written.
#[test]
fn stock_from_a_month_before_opens_under_its_right_name() {
    let mut farm = farm();
    farm.correct("#2", Some("Grocer"), Some("carrot-trim"))
        .expect("corrects");
    let report = farm.month(named("2026-11")).report;
    let opening = report.suppliers.iter().flat_map(|one| {
        let told = |of: &StreamMonth| format!("{} {}", of.stream.as_str(), of.flow.opening.get());
        let streams = one.streams.iter().map(told);
        streams.map(|told| format!("{} {told}", one.supplier))
    });
    let moved = ["Baker bread 10000", "Grocer carrot-trim 24000"];
    assert_eq!(opening.collect::<Vec<_>>(), moved);
}

#[test]
fn a_new_stream_is_judged_anew_and_what_was_turned_away_stays_so() {
    let mut farm = farm();
    farm.loads(&["2026-10-07T08:00:00Z,Grocer,carrot-trim,5.0,,,refuse"]);
    for (ticket, stream, verdict) in [
        ("#2", "wood-shavings", Verdict::Compost),
        ("#2", "plum-culls", Verdict::AskFirst),
        ("#4", "bread", Verdict::Refuse),
    ] {
        let done = farm.correct(ticket, None, Some(stream)).expect("corrects");
        assert_eq!(done.verdict, verdict, "{}", done.reason);
        // Eight kilograms were fed of the first, which is said where it matters.
        assert_eq!(done.cautions.len(), usize::from(ticket == "#2"));
    }
    let report = farm.month(october()).report;
    assert_eq!(report.total.received.get(), 42_000);
    assert_eq!(report.total.refused.get(), 5_000);
    assert_eq!(report.total.fed.get(), 8_000);
    for (ticket, supplier, stream) in [
        ("#1", None, None),
        ("#1", None, Some("no-such-stream")),
        ("#1", Some(" "), None),
        ("#3", Some("GROCER"), None),
        ("#9", Some("Baker"), None),
    ] {
        let head = farm.book.seal().expect("a seal");
        let refused = farm.correct(ticket, supplier, stream).expect_err("refused");
        assert_eq!(farm.book.seal().expect("a seal"), head, "{refused}");
    }
}

type Sums = BTreeMap<(String, String), [i64; 3]>;

/// Received, refused and fed in October by supplier and stream, record by record.
fn by_hand(book: &Daybook) -> Sums {
    let (from, to) = (
        instant("2026-09-30T22:00:00Z"),
        instant("2026-10-31T23:00:00Z"),
    );
    let head = book.seal().expect("a seal").seq;
    let records: Vec<_> = (1..=head)
        .map(|seq| book.record(seq).expect("reads").expect("is there"))
        .filter(|found| found.struck_by.is_none())
        .collect();
    let mut names: BTreeMap<i64, (String, String)> = BTreeMap::new();
    for found in &records {
        match &found.record.content.entry {
            Entry::Ticket(ticket) => {
                let name = (ticket.supplier.clone(), ticket.stream.as_str().to_owned());
                names.insert(found.record.seq, name);
            }
            Entry::Correction(said) => {
                if let Some(name) = names.get_mut(&said.ticket_seq) {
                    name.0 = said.supplier.clone().unwrap_or_else(|| name.0.clone());
                    name.1 = said
                        .stream
                        .as_ref()
                        .map_or_else(|| name.1.clone(), |id| id.as_str().to_owned());
                }
            }
            _ => {}
        }
    }
    let mut sums = Sums::new();
    for found in &records {
        let content = &found.record.content;
        if content.at < from || content.at >= to {
            continue;
        }
        match &content.entry {
            Entry::Ticket(ticket) => {
                let sums = sums.entry(names[&found.record.seq].clone()).or_default();
                sums[usize::from(ticket.verdict == Verdict::Refuse)] += ticket.net_g.get();
            }
            Entry::Fed(fed) => {
                for draw in &fed.draws {
                    let sums = sums.entry(names[&draw.lot_seq].clone()).or_default();
                    sums[2] += draw.grams.get();
                }
            }
            _ => {}
        }
    }
    sums
}

fn by_report(book: &Daybook) -> Sums {
    let report = month(book, october(), None).expect("a month").report;
    let mut sums = Sums::new();
    for one in &report.suppliers {
        for of in &one.streams {
            let told = [of.flow.received, of.flow.refused, of.flow.fed].map(Grams::get);
            if told != [0; 3] {
                sums.insert((one.supplier.clone(), of.stream.as_str().to_owned()), told);
            }
        }
    }
    sums
}

/// Many corrections at random, struck one after the other.
#[test]
fn sums_are_those_of_the_records_one_by_one() {
    const SUPPLIERS: [&str; 4] = ["Baker", "Grocer", "Mill", "Canteen"];
    const STREAMS: [&str; 4] = ["bread", "carrot-trim", "spent-grain", "apple-culls"];
    let mut seed = 20_261_003_u64;
    let mut one_of = |count: u64| {
        seed = seed
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        usize::try_from((seed >> 33) % count).expect("small")
    };
    let mut farm = FarmBook::in_zone("Europe/Madrid", "2026-11-02T09:00:00Z");
    for _ in 0..40 {
        let refuse = if one_of(8) == 0 { ",,,refuse" } else { "" };
        let row = format!(
            "2026-{}T08:00:00Z,{},{},{}.{}{refuse}",
            ["09-29", "10-02", "10-15", "10-30"][one_of(4)],
            SUPPLIERS[one_of(4)],
            STREAMS[one_of(4)],
            5 + one_of(20),
            one_of(10),
        );
        farm.loads(&[&row]);
    }
    let lots = farm.book.lots(instant("2026-11-02T00:00:00Z"));
    for lot in lots.expect("reads").iter().take(25) {
        let grams = lot.remaining_g.get() / (1 + i64::try_from(one_of(3)).expect("small"));
        let ticket = format!("#{}", lot.number);
        fed(&mut farm, &ticket, grams, "2026-10-30T20:00:00Z");
    }
    let first = by_report(&farm.book);
    assert_eq!(first, by_hand(&farm.book));
    let mut corrections = Vec::new();
    while corrections.len() < 30 {
        let ticket = format!("#{}", 1 + one_of(40));
        let (supplier, stream) = (SUPPLIERS[one_of(4)], STREAMS[one_of(4)]);
        let (supplier, stream) = match one_of(3) {
            0 => (Some(supplier), None),
            1 => (None, Some(stream)),
            _ => (Some(supplier), Some(stream)),
        };
        // One that says what the ticket says is refused.
        if let Ok(done) = farm.correct(&ticket, supplier, stream) {
            corrections.push(done.record);
            assert_eq!(by_report(&farm.book), by_hand(&farm.book));
        }
    }
    assert_ne!(by_report(&farm.book), first);
    while !corrections.is_empty() {
        let at = u64::try_from(corrections.len()).expect("small");
        let record = corrections.swap_remove(one_of(at));
        farm.strike(&format!("r{record}"), "not so")
            .expect("strikes");
        assert_eq!(by_report(&farm.book), by_hand(&farm.book));
    }
    assert_eq!(by_report(&farm.book), first);
    assert!(farm.book.check(None).expect("checks").is_whole());
}
