//! How long a month takes on a book of ten years: 1,000,000 invented tickets of
//! 40 suppliers, taken in by the import act and all of them fed, beside the sqlite3 shell's own sum
//! over the same rows. Prints times, asserts nothing.
//!
//! The book takes some minutes to make and is made once:
//! `TRAYFUL_BENCH_BOOK=/some/folder/ten-years.daybook cargo bench --bench month`
//! keeps it; without the variable it is made in a temporary folder.

#![expect(clippy::print_stdout, reason = "a benchmark prints its figures")]

use std::hint::black_box;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::Instant;

use criterion::{Criterion, criterion_group, criterion_main};
use jiff::Timestamp;
use trayful::acts::{
    Asked, Dock, FarmAsked, FarmSaid, ImportAsked, Month, TableFile, TableFiles, Tables, begin,
    import, month, settings, statement,
};
use trayful::daybook::{Daybook, Draw, Entry, Fed, NewRecord};

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

fn made(path: &Path) -> Daybook {
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
    };
    let asked = Asked {
        id: said("begin"),
        at: Timestamp::from_second(FIRST - 86_400).expect("an instant"),
        by: said("AB"),
        now: now(),
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
        let before = book.head().expect("a head").seq;
        import(&mut book, &dock, &file, &asked, |_, _| {}).expect("imports");
        let last = book.head().expect("a head").seq;
        feed(&mut book, before + 1, last);
    }
    println!(
        "made {TICKETS} tickets in {:.0} s",
        began.elapsed().as_secs_f64()
    );
    book
}

/// Feeds all lots of these records, forty a night.
fn feed(book: &mut Daybook, first: i64, last: i64) {
    let lots: Vec<i64> = (first..=last).collect();
    let records: Vec<NewRecord> = (lots.chunks(40))
        .map(|lots| {
            let came = book
                .record(lots[lots.len() - 1])
                .expect("reads")
                .expect("a ticket");
            let at = came.record.content.at;
            let draw = |lot_seq: &i64| Draw {
                group: "grower".to_owned(),
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

/// The sqlite3 shell's own sum by supplier and stream over all rows, best of five.
fn shell(path: &Path) -> Option<f64> {
    let sql = "SELECT supplier, stream, SUM(net_g) FROM ticket WHERE verdict <> 'refuse' GROUP BY supplier, stream";
    let one = || {
        let began = Instant::now();
        let output = Command::new("sqlite3")
            .arg("-readonly")
            .arg(path)
            .arg(sql)
            .output()
            .ok()?;
        output
            .status
            .success()
            .then(|| began.elapsed().as_secs_f64())
    };
    (0..5)
        .map(|_| one())
        .collect::<Option<Vec<_>>>()?
        .into_iter()
        .reduce(f64::min)
}

/// The whole process, best of five.
fn process(path: &Path, args: &[&str]) -> f64 {
    let one = || {
        let began = Instant::now();
        let output = Command::new(env!("CARGO_BIN_EXE_trayful"))
            .args([
                "--daybook",
                &path.display().to_string(),
                "--now",
                "2026-11-25T12:00:00Z",
            ])
            .args(args)
            .output()
            .expect("runs");
        assert!(
            output.status.success(),
            "{}",
            String::from_utf8_lossy(&output.stderr)
        );
        began.elapsed().as_secs_f64()
    };
    (0..5).map(|_| one()).fold(f64::INFINITY, f64::min)
}

fn bench(criterion: &mut Criterion) {
    let folder = tempfile::tempdir().expect("a folder");
    let path = std::env::var_os("TRAYFUL_BENCH_BOOK")
        .map_or_else(|| folder.path().join("ten-years.daybook"), PathBuf::from);
    let book = made(&path);
    let october = Month::parse("2026-10").expect("a month");
    let page = folder.path().join("page.html").display().to_string();
    let month_s = process(&path, &["month", "2026-10"]);
    let page_s = process(&path, &["month", "2026-10", "--html", &page]);
    let statement_s = process(&path, &["statement", "Supplier 7", "2026-10"]);
    println!(
        "process: month {month_s:.3} s, its page {page_s:.3} s, a statement {statement_s:.3} s"
    );
    match shell(&path) {
        Some(shell_s) => println!(
            "sqlite3 shell, sum over the same rows: {shell_s:.3} s; the month takes {:.2} times that",
            month_s / shell_s
        ),
        None => println!("no sqlite3 shell here to compare with"),
    }
    let mut group = criterion.benchmark_group("ten years");
    group.sample_size(10);
    group.bench_function("month", |b| {
        b.iter(|| black_box(month(&book, october, None).expect("a month")));
    });
    group.bench_function("statement", |b| {
        b.iter(|| black_box(statement(&book, "Supplier 7", october, None).expect("told")));
    });
    group.finish();
}

criterion_group!(benches, bench);
criterion_main!(benches);
