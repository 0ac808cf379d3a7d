//! How long a month and a year take on a book of ten years: 1,000,000 invented
//! tickets of 40 suppliers, once with nothing fed and once with all of it fed,
//! beside the sqlite3 shell's own sum over the same rows. Prints times and peak
//! memory, asserts nothing.
//!
//! The two books take some minutes to make and are made once:
//! `TRAYFUL_BENCH_BOOK=/some/folder/ten-years.daybook cargo bench --bench month`
//! keeps them; without the variable they are made in a temporary folder.

#![expect(clippy::print_stdout, reason = "a benchmark prints its figures")]

use std::hint::black_box;
use std::path::{Path, PathBuf};
use std::time::Instant;

use child::took;
use criterion::{Criterion, criterion_group, criterion_main};
use jiff::Timestamp;
use trayful::acts::{
    Asked, Dock, FarmAsked, FarmSaid, ImportAsked, Month, TableFile, TableFiles, Tables, begin,
    import, month, settings, statement,
};
use trayful::daybook::{Daybook, Draw, Entry, Fed, NewRecord};

#[path = "processor/child.rs"]
mod child;

const TICKETS: i64 = 1_000_000;
const CHUNK: i64 = 50_000;
const STREAMS: [&str; 6] = [
    "spent-grain",
    "bread",
    "carrot-trim",
    "lettuce-trim",
    "plum-culls",
    "apple-culls",
];
const FIRST: i64 = 1_477_958_400; // 2016-11-01T00:00:00Z
const SECONDS: i64 = 315_532_800; // to 2026-11-01T00:00:00Z

fn now() -> Timestamp {
    "2026-11-25T12:00:00Z".parse().expect("an instant")
}

/// Made tickets, the same on every machine: a small generator stands for chance.
fn chunk(from: i64, to: i64) -> Vec<u8> {
    let mut text = "weighed_at,ticket,supplier,stream,gross,tare,unit,container,moisture_pct,picked_out,picked_out_kind,verdict,by,note\n".to_owned();
    for at in from..to {
        let when = Timestamp::from_second(FIRST + at * SECONDS / TICKETS).expect("an instant");
        let noise = at
            .wrapping_mul(6_364_136_223_846_793_005)
            .rotate_left(20)
            .rem_euclid(300);
        let stream = STREAMS[usize::try_from(at / 40 % 6).expect("small")];
        let supplier = at % 40 + 1;
        let (whole, tenth) = (20 + noise / 10, noise % 10);
        text.push_str(&format!(
            "{when},b{at},Supplier {supplier},{stream},{whole}.{tenth},1.5,lb,,,,,,AB,\n"
        ));
    }
    text.into_bytes()
}

/// The book with nothing fed.
fn unfed(path: &Path) -> Daybook {
    if let Ok(book) = Daybook::open(path) {
        return book;
    }
    let said = |text: &str| text.to_owned();
    let farm = FarmAsked {
        zone: said("America/Denver"),
        unit: said("lb"),
        division: said("0.1"),
        currency: said("USD"),
        region: said("other"),
        larvae_for: said("not-feed"),
        said: FarmSaid::default(),
        chosen: trayful::daybook::Chosen::default(),
    };
    let asked = Asked {
        id: said("begin"),
        at: Timestamp::from_second(FIRST - 86_400).expect("an instant"),
        by: said("AB"),
        now: now(),
        sure: true,
    };
    let began = Instant::now();
    let mut book = begin(path, &farm, &asked).expect("begins");
    let tables = Tables::load(TableFiles::default()).expect("tables");
    for from in (0..TICKETS).step_by(usize::try_from(CHUNK).expect("small")) {
        let farm = settings(&book).expect("settings");
        let dock = Dock::open(&book, &farm, &tables).expect("a dock");
        let file = TableFile {
            name: format!("tickets from {from}"),
            bytes: chunk(from, (from + CHUNK).min(TICKETS)),
        };
        let asked = ImportAsked {
            by: said("AB"),
            sure: true,
            now: now(),
        };
        import(&mut book, &dock, file, &asked, |_, _| {}).expect("imports");
    }
    println!(
        "made {TICKETS} tickets in {:.0} s",
        began.elapsed().as_secs_f64()
    );
    book
}

/// A copy of it with every lot fed.
fn fed(path: &Path, unfed: &Path) -> Daybook {
    if let Ok(book) = Daybook::open(path) {
        return book;
    }
    let began = Instant::now();
    std::fs::copy(unfed, path).expect("copies");
    let mut book = Daybook::open(path).expect("opens");
    let last = book.seal().expect("a seal").seq;
    let lots: Vec<i64> = (2..=last).collect();
    for lots in lots.chunks(50_000) {
        feed(&mut book, lots);
    }
    println!("fed all of it in {:.0} s", began.elapsed().as_secs_f64());
    book
}

/// Feeds these lots, forty a night.
fn feed(book: &mut Daybook, lots: &[i64]) {
    let records: Vec<NewRecord> = (lots.chunks(40))
        .map(|lots| {
            let came = book
                .record(lots[lots.len() - 1])
                .expect("reads")
                .expect("a ticket");
            let at = came.record.content.at;
            let draw = |lot_seq: &i64| Draw {
                group: "growing".to_owned(),
                lot_seq: *lot_seq,
                grams: book.remaining_of(*lot_seq).expect("reads").expect("a lot"),
            };
            NewRecord {
                id: format!("fed of {}", lots[0]),
                at,
                by: "AB".to_owned(),
                entry: Entry::Fed(Fed {
                    night: at.to_zoned_datetime(jiff::tz::TimeZone::UTC).date(),
                    sheet_seq: None,
                    draws: lots.iter().map(draw).collect(),
                    additions: Vec::new(),
                    remainders: Vec::new(),
                }),
            }
        })
        .collect();
    book.append(&records, now()).expect("feeds");
}

/// Prints what the commands take on a book, and the sqlite3 shell's own sum.
fn print(name: &str, path: &Path, page: &str) {
    let book = path.display().to_string();
    let ours = |args: &[&str]| {
        let mut all = vec!["--daybook", &book, "--now", "2026-11-25T12:00:00Z"];
        all.extend(args);
        took(Path::new(env!("CARGO_BIN_EXE_trayful")), &all)
            .expect("runs")
            .0
    };
    println!("{name}:");
    let month = ours(&["month", "2026-10"]);
    println!("  a month          {month}");
    for (what, args) in [
        (
            "its page         ",
            &["month", "2026-10", "--html", page, "--over"] as &[&str],
        ),
        ("a year           ", &["month", "2026"]),
        (
            "its page         ",
            &["month", "2026", "--html", page, "--over"],
        ),
        ("a statement      ", &["statement", "Supplier 7", "2026-10"]),
    ] {
        println!("  {what}{}", ours(args));
    }
    let sql = "SELECT supplier, stream, SUM(net_g) FROM ticket WHERE verdict <> 'refuse' GROUP BY supplier, stream";
    match took(Path::new("sqlite3"), &["-readonly", &book, sql]) {
        Some((shell, _)) => println!(
            "  sqlite3's own sum {shell}\n  the month takes {:.2} times the processor's time of that",
            month.cpu_s / shell.cpu_s
        ),
        None => println!("  no sqlite3 shell here to compare with"),
    }
}

fn bench(criterion: &mut Criterion) {
    let folder = tempfile::tempdir().expect("a folder");
    let path = std::env::var_os("TRAYFUL_BENCH_BOOK")
        .map_or_else(|| folder.path().join("ten-years.daybook"), PathBuf::from);
    let october = Month::parse("2026-10").expect("a month");
    let page = folder.path().join("page.html").display().to_string();
    // Closed, so that the copy and the shell find everything in the file.
    unfed(&path).close().expect("closes");
    let fed_path = path.with_extension("fed.daybook");
    fed(&fed_path, &path).close().expect("closes");
    for (name, path) in [("nothing fed", &path), ("all fed", &fed_path)] {
        print(name, path, &page);
        let book = Daybook::open(path).expect("opens");
        let mut group = criterion.benchmark_group(name);
        group.sample_size(10);
        group.bench_function("month", |b| {
            b.iter(|| black_box(month(&book, october, None).expect("a month")));
        });
        group.bench_function("statement", |b| {
            b.iter(|| black_box(statement(&book, "Supplier 7", october, None).expect("told")));
        });
        group.finish();
    }
}

criterion_group!(benches, bench);
criterion_main!(benches);
