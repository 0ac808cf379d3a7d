//! Every reader of what comes from outside, with good input for it: one list for the
//! slips of `parser_fuzz.rs` and for the inputs guided by coverage in `fuzz/`.

use std::fmt::Display;
use std::sync::{LazyLock, Mutex};

use trayful::acts::{
    ActError, Asked, BookTaken, Dock, FarmAsked, FarmSaid, FarmSettings, ImportAsked, OwnColumns,
    Period, TableFile, TableFiles, Tables, begin, import, import_book, settings,
};
use trayful::blend::{read_stock, read_targets};
use trayful::daybook::{Daybook, SealMark};
use trayful::larvae::{SHIPPED_STAGES, StageTable};
use trayful::learn::PublishedTable;
use trayful::outlook::{read_arrivals, read_plan};
use trayful::quantity::{MassUnit, NumberForm, Reader as Numbers};
use trayful::scale::{LineGrammar, Port, Watch};
use trayful::stream::{
    LarvaeFor, Region, SHIPPED_LABELS, SHIPPED_NAMES, SHIPPED_SOURCES, SHIPPED_STREAMS,
    SHIPPED_USE_RULES, SourceTable, StreamTable, UseRules, read_labels, read_names,
};
use trayful::table::read_day;

mod api;

/// A reader by name, good input for it, the first of which it takes, and whether it
/// takes bytes.
pub(crate) struct Reader {
    pub(crate) name: &'static str,
    pub(crate) good: Vec<Vec<u8>>,
    pub(crate) reads: fn(&[u8]) -> bool,
}

/// A refusal must say something; an answer is handed on.
pub(crate) fn spoken<T, E: Display>(read: Result<T, E>) -> Option<T> {
    match read {
        Ok(value) => Some(value),
        Err(error) => {
            assert!(error.to_string().trim().len() > 10, "`{error}`");
            None
        }
    }
}

pub(crate) const STOCK: &str = include_str!("../../examples/one-night/stock.csv");
pub(crate) const TARGETS: &str = include_str!("../../examples/one-night/targets.toml");
const PLAN: &str = include_str!("../../examples/ahead/plan.toml");
const ARRIVALS: &str = "day,supplier,stream,kg\n2026-11-26,Quay brewery,spent-grain,40\n";
const TICKETS: &str = "weighed_at,supplier,stream,gross,tare,unit,moisture_pct\n\
    2026-11-26T08:00Z,Quay brewery,spent-grain,20.5,1.5,lb,78\n";

static STREAMS: LazyLock<StreamTable> =
    LazyLock::new(|| StreamTable::read("streams.csv", SHIPPED_STREAMS).expect("streams"));
static SOURCES: LazyLock<SourceTable> =
    LazyLock::new(|| SourceTable::read("sources.csv", SHIPPED_SOURCES).expect("sources"));
static STAGES: LazyLock<StageTable> =
    LazyLock::new(|| StageTable::read("stages.toml", SHIPPED_STAGES).expect("stages"));
static LINES: LazyLock<LineGrammar> = LazyLock::new(|| LineGrammar::shipped().expect("lines"));

/// A farm to be filled: its book lies in memory where the machine has such a folder, so
/// that no disk is waited for.
struct Farm {
    _folder: tempfile::TempDir,
    book: Daybook,
    settings: FarmSettings,
    kept: usize,
}

fn now() -> jiff::Timestamp {
    "2026-12-01T12:00:00Z".parse().expect("an instant")
}

fn tables() -> Tables {
    Tables::load(TableFiles::default()).expect("tables")
}

impl Farm {
    fn new() -> Self {
        let memory = std::path::Path::new("/dev/shm");
        let folder = if memory.is_dir() {
            tempfile::tempdir_in(memory)
        } else {
            tempfile::tempdir()
        };
        let folder = folder.expect("a folder");
        let farm = FarmAsked {
            zone: "America/Denver".into(),
            unit: "lb".into(),
            division: "0.1".into(),
            currency: "USD".into(),
            region: "us".into(),
            larvae_for: "poultry-fish-pig".into(),
            said: FarmSaid::default(),
            chosen: trayful::daybook::Chosen::default(),
        };
        let asked = Asked {
            id: "begin".into(),
            at: now(),
            by: "ana".into(),
            now: now(),
            sure: true,
        };
        let book = begin(&folder.path().join("farm.daybook"), &farm, &asked).expect("a book");
        let settings = settings(&book).expect("settings");
        Self {
            _folder: folder,
            book,
            settings,
            kept: 0,
        }
    }
}

static FARM: LazyLock<Mutex<Farm>> = LazyLock::new(|| Mutex::new(Farm::new()));
static TABLES: LazyLock<Tables> = LazyLock::new(tables);

/// Into the book, all or nothing; another book once this one has many.
fn imported(name: &str, bytes: &[u8]) -> bool {
    let mut farm = FARM.lock().expect("no panic before");
    if farm.kept > 200 {
        *farm = Farm::new();
    }
    let Farm {
        book,
        settings,
        kept,
        ..
    } = &mut *farm;
    let dock = Dock::open(book, settings, &TABLES).expect("a dock");
    let asked = ImportAsked {
        by: "ana".into(),
        // Without a last line end it is asked about what is unusual.
        sure: name != "f.csv" || bytes.ends_with(b"\n"),
        now: now(),
    };
    let file = TableFile {
        name: name.into(),
        bytes: bytes.into(),
    };
    let read = if name == "f.csv" {
        spoken(import(book, &dock, file, &asked, |_, _| ())).is_some()
    } else {
        let taken = spoken(BookTaken::read(&file, &OwnColumns::default()));
        taken
            .and_then(|taken| spoken(import_book(book, &dock, &taken, &asked, |_, _| ())))
            .is_some()
    };
    *kept += usize::from(read);
    read
}

fn workbook() -> Vec<u8> {
    let mut book = rust_xlsxwriter::Workbook::new();
    let sheet = book.add_worksheet();
    for (row, line) in (0..).zip(TICKETS.lines()) {
        for (column, cell) in (0..).zip(line.split(',')) {
            sheet.write_string(row, column, cell).expect("a cell");
        }
    }
    book.save_to_buffer().expect("a workbook")
}

/// Numbers with their units as they are typed, under each mark and unit.
pub(crate) fn typed(bytes: &[u8]) -> bool {
    let text = String::from_utf8_lossy(bytes);
    let mut read = false;
    for form in [
        NumberForm::Plain,
        NumberForm::Unsaid,
        NumberForm::Point,
        NumberForm::Comma,
    ] {
        for unit in [None, Some(MassUnit::Lb), Some(MassUnit::Tonne)] {
            let reader = Numbers { form, unit };
            spoken(reader.number(&text));
            spoken(reader.money(&text));
            if let Some(litres) = spoken(reader.litres(&text)) {
                assert!((0.0..=1e6).contains(&litres.get()));
            }
            if let Some(reading) = spoken(reader.scale(&text)) {
                let grams = reading.reading.grams().get();
                assert!((0..=100_000_000).contains(&grams), "{grams}");
                read = true;
            }
        }
    }
    read
}

/// A scale's lines, a tenth of a second apart.
fn heard(bytes: &[u8]) -> bool {
    let mut watch = Watch::default();
    watch.connected(true);
    let mut at = std::time::Duration::ZERO;
    for line in String::from_utf8_lossy(bytes).lines() {
        at += std::time::Duration::from_millis(100);
        watch.hear(LINES.hear(line, MassUnit::Lb), line, at);
        let _seen = watch.seen(at);
    }
    true
}

macro_rules! readers {
    ($($name:literal, $good:expr, |$bytes:ident, $text:ident| $read:expr;)+) => {
        vec![$(Reader {
            name: $name,
            good: vec![$good.into()],
            reads: |bytes| {
                let text = String::from_utf8_lossy(bytes);
                let ($bytes, $text) = (bytes, &*text);
                let _both = ($bytes, $text);
                $read
            },
        }),+]
    };
}

pub(crate) fn readers() -> Vec<Reader> {
    // A few lines of a long table break as all of it does, and are read sooner.
    let few = |table: &[u8]| {
        let text = String::from_utf8_lossy(table);
        text.lines().take(5).collect::<Vec<_>>().join("\n")
    };
    let mut readers = readers! {
        "stock", STOCK, |bytes, text|
            spoken(read_stock("f", bytes, &STREAMS, &STAGES.flag_limits)).is_some();
        "targets", TARGETS, |bytes, text| spoken(read_targets("f", text, &STREAMS)).is_some();
        "plan", PLAN, |bytes, text| spoken(read_plan("f", text, &STREAMS)).is_some();
        "arrivals", ARRIVALS, |bytes, text| spoken(read_arrivals("f", bytes, &STREAMS)).is_some();
        "streams", few(SHIPPED_STREAMS), |bytes, text|
            spoken(StreamTable::read("f", bytes)).is_some();
        "sources", few(SHIPPED_SOURCES), |bytes, text|
            spoken(SourceTable::read("f", bytes)).is_some();
        "names", few(SHIPPED_NAMES), |bytes, text| spoken(read_names("f", bytes)).is_some();
        "labels", few(SHIPPED_LABELS), |bytes, text| spoken(read_labels("f", bytes)).is_some();
        "conversion", include_str!("../../data/conversion.csv"), |bytes, text|
            spoken(PublishedTable::read("f", bytes, &SOURCES)).is_some();
        "scale families", include_str!("../../data/scale-lines.csv"), |bytes, text|
            spoken(LineGrammar::read("f", bytes)).is_some();
        "rules on use", SHIPPED_USE_RULES, |bytes, text|
            spoken(UseRules::read("f", bytes, LarvaeFor::ALL[0], Region::ALL[0])).is_some();
        "stages", SHIPPED_STAGES, |bytes, text| spoken(StageTable::read("f", text)).is_some();
        "weights", "12 lb 3 oz", |bytes, text| typed(bytes);
        "scale lines", "ST,GS,+  12.30lb\r\nUS,GS,-  0.10lb\r\n", |bytes, text| heard(bytes);
        "seals", "57-1a2b-3c4d-5e6f-7a8b", |bytes, text|
            spoken(text.parse::<SealMark>()).is_some();
        "months", "2026-11", |bytes, text| spoken(Period::parse(text).map_err(ActError::from)).is_some();
        "days", "2026-11-26", |bytes, text| read_day(text).is_ok();
        "ports", "/dev/ttyUSB0", |bytes, text| text.parse::<Port>().is_ok();
        "own columns", "supplier=Who,stream=What", |bytes, text|
            spoken(OwnColumns::read(text).map_err(ActError::from)).is_some();
        "tickets", TICKETS, |bytes, text| imported("f.csv", bytes);
        "workbook", workbook(), |bytes, text| imported("f.xlsx", bytes);
    };
    readers.push(Reader {
        name: "api",
        good: api::good(),
        reads: api::takes,
    });
    readers
}
