//! How long a trace takes on a book of ten years: 109,500 invented tickets of
//! 40 suppliers, fed the same night to cohorts that hatch every other day, are
//! harvested and sold. Prints time on the processor, asserts nothing.
//!
//! `TRAYFUL_TRACE_BOOK=/some/folder/ten-years.daybook cargo bench --bench trace`
//! keeps the book it makes; without the variable it is made in a temporary folder.

#![expect(clippy::print_stdout, reason = "a benchmark prints its figures")]

use std::hint::black_box;
use std::path::{Path, PathBuf};
use std::time::Instant;

use jiff::civil::Date;
use jiff::{Timestamp, ToSpan};
use trayful::acts::{
    Asked, FarmAsked, FarmSaid, TableFiles, Tables, TraceFrom, begin, settings, trace,
};
use trayful::daybook::{
    Cohort, CohortEnd, Daybook, Draw, Entry, Fed, Harvest, MoneyItem, NewRecord, Payment, Ticket,
};
use trayful::quantity::{Grams, MassUnit, Money};
use trayful::sheet::{Look, html, recall_document, render, trace_document, trace_table};
use trayful::stream::{StreamId, Verdict};
use trayful::words::Language;

const DAYS: i64 = 3650;
const TICKETS_A_DAY: i64 = 30;
const DAYS_ON_TRAYS: i64 = 16;
const STREAMS: [&str; 6] = [
    "spent-grain",
    "bread",
    "carrot-trim",
    "lettuce-trim",
    "plum-culls",
    "apple-culls",
];

fn instant(text: &str) -> Timestamp {
    text.parse().expect("an instant")
}

fn ticket(number: i64) -> Ticket {
    let grams = 6_000 + number * 7919 % 9_000;
    Ticket {
        supplier: format!("Supplier {}", number % 40 + 1),
        stream: StreamId::parse(STREAMS[usize::try_from(number / 40 % 6).expect("small")])
            .expect("a stream"),
        gross_g: Some(Grams::new(grams)),
        gross_text: Some(format!("{grams} g")),
        tare_g: Some(Grams::ZERO),
        tare_text: Some("0 g".to_owned()),
        container: None,
        unit: MassUnit::Kg,
        division: "0.05 kg".to_owned(),
        net_g: Grams::new(grams),
        volume_l: None,
        estimated: false,
        bought: false,
        price_per_kg: None,
        moisture_pct: None,
        picked_out: Vec::new(),
        touched: Vec::new(),
        verdict: Verdict::Feed,
        reason: "feed".to_owned(),
        confirmed: true,
        note: None,
        scale: None,
    }
}

/// Writes one day after another; records are numbered as they will be.
struct Maker {
    records: Vec<NewRecord>,
    next: i64,
    tickets: i64,
    /// Cohorts on their trays: position, name, day it came.
    living: Vec<(i64, String, i64)>,
}

impl Maker {
    fn put(&mut self, at: Timestamp, entry: Entry) -> i64 {
        let seq = self.next;
        self.next += 1;
        let (id, by) = (format!("b{seq}"), "AB".to_owned());
        self.records.push(NewRecord { id, at, by, entry });
        seq
    }

    fn day(&mut self, offset: i64, day: Date) {
        let at = |hour: u8| instant(&format!("{day}T{hour:02}:00:00Z"));
        while let Some((seq, name, _)) = self
            .living
            .pop_if(|(_, _, came)| offset - *came >= DAYS_ON_TRAYS)
        {
            self.take_off(at(7), seq, name);
        }
        if offset % 2 == 0 {
            let name = format!("H{offset}");
            let cohort = Cohort {
                name: name.clone(),
                hatched: day,
                larvae: 60_000,
                counted: "by weight".to_owned(),
                trays: 16,
                tray_area_m2: 0.24,
                depth_cm: None,
                start_count: None,
                start_ug: None,
                feeding: None,
            };
            let seq = self.put(at(8), Entry::Cohort(cohort));
            // The oldest stands last, and is the first to go.
            self.living.insert(0, (seq, name, offset));
        }
        let mut draws = Vec::new();
        for one in 0..TICKETS_A_DAY {
            let ticket = ticket(self.tickets);
            self.tickets += 1;
            let grams = Grams::new(ticket.net_g.get() / 3);
            let lot_seq = self.put(at(10), Entry::Ticket(ticket));
            // Each lot goes to two of the three groups; a third of it stays.
            for group in [one % 3, (one + 1) % 3] {
                draws.push(Draw {
                    group: ["young", "growing", "last-feeds"]
                        [usize::try_from(group).expect("small")]
                    .to_owned(),
                    lot_seq,
                    grams,
                });
            }
        }
        let fed = Fed {
            night: day,
            sheet_seq: None,
            draws,
            additions: Vec::new(),
            remainders: Vec::new(),
        };
        self.put(at(20), Entry::Fed(fed));
    }

    fn take_off(&mut self, at: Timestamp, cohort_seq: i64, name: String) {
        let harvest = Harvest {
            cohort_seq,
            larvae_g: Grams::new(9_000),
            larvae_text: "9 kg".to_owned(),
            larvae_moisture_pct: None,
            larvae_nitrogen_dm_pct: None,
            counted: None,
            sample_count: None,
            sample_g: None,
            dead: None,
            residue_g: None,
            residue_text: None,
            residue_moisture_pct: None,
            residue_to: None,
            note: None,
        };
        self.put(at, Entry::Harvest(harvest));
        let why = "harvested".to_owned();
        self.put(at, Entry::CohortEnd(CohortEnd { name, why }));
        let money = Payment {
            item: MoneyItem::SoldLive,
            amount: Money::new(4_500),
            what: None,
            minutes: None,
            kwh: None,
            grams: Some(Grams::new(9_000)),
            grams_text: Some("9 kg".to_owned()),
            party: Some(format!("Buyer {}", cohort_seq % 25 + 1)),
            cohort_seqs: vec![cohort_seq],
            note: None,
        };
        self.put(at, Entry::Money(money));
    }
}

fn made(path: &Path, now: Timestamp) -> Daybook {
    if let Ok(book) = Daybook::open(path) {
        return book;
    }
    let said = |text: &str| text.to_owned();
    let farm = FarmAsked {
        zone: said("UTC"),
        unit: said("kg"),
        division: said("0.05"),
        currency: said("EUR"),
        region: said("other"),
        larvae_for: said("not-feed"),
        said: FarmSaid::default(),
        chosen: trayful::daybook::Chosen::default(),
    };
    let first: Date = "2016-11-01".parse().expect("a day");
    let asked = Asked {
        id: said("begin"),
        at: instant("2016-10-31T12:00:00Z"),
        by: said("AB"),
        now,
        sure: true,
    };
    let began = Instant::now();
    let mut book = begin(path, &farm, &asked).expect("begins");
    let mut maker = Maker {
        records: Vec::new(),
        next: book.seal().expect("a seal").seq + 1,
        tickets: 0,
        living: Vec::new(),
    };
    for offset in 0..DAYS {
        maker.day(offset, first + offset.days());
        if offset % 50 == 49 {
            let records = std::mem::take(&mut maker.records);
            book.append(&records, now).expect("appends");
        }
    }
    println!("made in {:.0} s", began.elapsed().as_secs_f64());
    book
}

/// Time on the processor of this thread, milliseconds.
fn on_the_processor() -> f64 {
    let told = std::fs::read_to_string("/proc/thread-self/schedstat").unwrap_or_default();
    let nanoseconds = told.split(' ').next().and_then(|text| text.parse().ok());
    nanoseconds.unwrap_or(0.0_f64) / 1e6
}

fn main() {
    let now = instant("2026-11-25T12:00:00Z");
    let folder = tempfile::tempdir().expect("a folder");
    let kept = std::env::var_os("TRAYFUL_TRACE_BOOK").map(PathBuf::from);
    let path = kept.unwrap_or_else(|| folder.path().join("ten-years.daybook"));
    let book = made(&path, now);
    let farm = settings(&book).expect("settings");
    let tables = Tables::load(TableFiles::default()).expect("tables");
    let day = |text: &str| Some(text.parse::<Date>().expect("a day"));
    let supplier = || "Supplier 7".to_owned();
    let harvest = book.harvests(now).expect("reads")[1000].seq;
    let month = (day("2026-01-01"), day("2026-01-31"));
    let asked = [
        ("a ticket", TraceFrom::Tickets(vec!["50000".to_owned()])),
        ("a cohort", TraceFrom::Cohort("H2000".to_owned())),
        ("a harvest", TraceFrom::Harvest(format!("r{harvest}"))),
        ("a supplier's month", TraceFrom::Supplier(supplier(), month)),
        (
            "a buyer's year",
            TraceFrom::Buyer("Buyer 7".to_owned(), (day("2025-01-01"), day("2025-12-31"))),
        ),
        (
            "a buyer, all",
            TraceFrom::Buyer("Buyer 7".to_owned(), (None, None)),
        ),
        (
            "a supplier, all",
            TraceFrom::Supplier(supplier(), (None, None)),
        ),
    ];
    let look = Look {
        styled: false,
        width: None,
    };
    for (what, from) in &asked {
        for recall in [false, true] {
            let before = on_the_processor();
            let sheet = trace((&book, &farm, &tables), from, recall, now).expect("traces");
            let traced = on_the_processor() - before;
            let document = if recall {
                recall_document
            } else {
                trace_document
            };
            black_box(render(
                &document(&sheet, 200).in_language(Language::En),
                look,
            ));
            let shown = on_the_processor() - before - traced;
            black_box(
                html(&document(&sheet, usize::MAX).in_language(Language::En)).expect("a page"),
            );
            let page = on_the_processor() - before - traced - shown;
            let links = trace_table(&sheet).rows.len();
            let word = if recall { "recall" } else { "trace" };
            println!(
                "{word} of {what}: {traced:.0} ms, as text {shown:.0} ms, as a page {page:.0} ms; {links} links"
            );
        }
    }
}
