//! A daybook of 100,000 tickets: import, stock and month. Prints times, asserts nothing.

use std::fmt::Write;
use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use jiff::Timestamp;
use trayful::acts::{
    Asked, Dock, FarmAsked, ImportAsked, Month, TableFile, TableFiles, Tables, begin, import,
    month, settings, stock_now,
};
use trayful::sheet::{Look, json, render, stock_document};
use trayful::words::Language;

const TICKETS: usize = 100_000;

fn tickets() -> Vec<u8> {
    let streams = [
        "spent-grain",
        "carrot-trim",
        "bread",
        "lettuce-trim",
        "apple-culls",
    ];
    let mut file = "weighed_at,ticket,supplier,stream,gross,tare,unit,container,moisture_pct,picked_out,picked_out_kind,verdict,by,note\n".to_owned();
    for ticket in 0..TICKETS {
        let (month, day, hour) = (1 + ticket * 11 / TICKETS, 1 + ticket % 28, 8 + ticket % 10);
        let gross = 15.0 + f64::from(u32::try_from(ticket * 7919 % 250).unwrap_or_default()) / 10.0;
        let (supplier, stream) = (ticket % 40, streams[ticket % streams.len()]);
        let _written = writeln!(
            file,
            "2026-{month:02}-{day:02}T{hour:02}:00:00Z,T{ticket},Supplier {supplier},{stream},{gross:.1},1.5,lb,,,,,,AB,"
        );
    }
    file.into_bytes()
}

fn book(criterion: &mut Criterion) {
    let now: Timestamp = "2026-12-01T12:00:00Z".parse().expect("an instant");
    let folder = tempfile::tempdir().expect("a folder");
    let tables = Tables::load(TableFiles::default()).expect("tables");
    let asked = Asked {
        id: "begin".into(),
        at: now,
        by: "AB".into(),
        now,
        sure: true,
    };
    let farm_asked = FarmAsked {
        zone: "UTC".into(),
        unit: "lb".into(),
        division: "0.1".into(),
        currency: "USD".into(),
        region: "us".into(),
        larvae_for: "not-feed".into(),
        said: trayful::acts::FarmSaid::default(),
        chosen: trayful::daybook::Chosen::default(),
    };
    let file = TableFile {
        name: "tickets.csv".into(),
        bytes: tickets(),
    };
    let import_asked = ImportAsked {
        by: "AB".into(),
        sure: false,
        now,
    };
    let fresh = |name: &str| begin(&folder.path().join(name), &farm_asked, &asked).expect("a book");
    let mut group = criterion.benchmark_group("100,000 tickets");
    group.sample_size(10);
    let mut made = 0;
    group.bench_function("import", |bencher| {
        bencher.iter_batched(
            || {
                made += 1;
                fresh(&format!("import-{made}"))
            },
            |mut book| {
                let farm = settings(&book).expect("settings");
                let dock = Dock::open(&book, &farm, &tables).expect("dock");
                import(&mut book, &dock, file.clone(), &import_asked, |_, _| ()).expect("import")
            },
            criterion::BatchSize::PerIteration,
        );
    });
    let mut book = fresh("read");
    let farm = settings(&book).expect("settings");
    let dock = Dock::open(&book, &farm, &tables).expect("dock");
    import(&mut book, &dock, file.clone(), &import_asked, |_, _| ()).expect("import");
    group.bench_function("lots from the book", |bencher| {
        bencher.iter(|| black_box(book.lots(now).expect("lots")));
    });
    group.bench_function("stock", |bencher| {
        bencher.iter(|| black_box(stock_now((&book, &farm, &tables), now).expect("stock")));
    });
    let view = stock_now((&book, &farm, &tables), now).expect("stock");
    group.bench_function("stock as a page", |bencher| {
        let look = Look {
            styled: false,
            width: None,
        };
        bencher.iter(|| {
            black_box(render(
                &stock_document(&view, 200).in_language(Language::En),
                look,
            ))
        });
    });
    group.bench_function("stock as JSON", |bencher| {
        bencher.iter(|| {
            let mut text = Vec::new();
            json::write_stock(&view.lots, &mut text).expect("JSON");
            black_box(text)
        });
    });
    group.bench_function("month", |bencher| {
        let may = Month::parse("2026-05").expect("a month");
        bencher.iter(|| black_box(month(&book, may, None).expect("month")));
    });
    group.finish();
}

criterion_group!(benches, book);
criterion_main!(benches);
