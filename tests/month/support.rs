//! A small invented farm for tests of the month.

use jiff::Timestamp;
use tempfile::TempDir;
use trayful::acts::{
    ActError, Asked, Corrected, CorrectionText, Dock, FarmAsked, FarmSaid, ImportAsked, Month,
    TableFile, TableFiles, Tables, begin, close_month, correct, discard, import, month, settings,
    statement, strike,
};
use trayful::daybook::{Addition, Daybook, Draw, Entry, Fed, NewRecord, Outlet};
use trayful::quantity::Reader;
use trayful::quantity::wire::Versioned;
use trayful::sheet::{Document, Look, MonthSheet, StatementSheet, render};
use trayful::words::Language;

/// A book in its folder, with a clock that only the test moves.
pub(crate) struct FarmBook {
    /// The book.
    pub(crate) book: Daybook,
    _folder: TempDir,
    ids: u32,
    now: Timestamp,
}

/// An instant from text.
pub(crate) fn instant(text: &str) -> Timestamp {
    text.parse().expect("an instant")
}

pub(crate) fn named(month: &str) -> Month {
    Month::parse(month).expect("a month")
}

pub(crate) fn october() -> Month {
    named("2026-10")
}

/// A page as a terminal without colours shows it.
pub(crate) fn page(document: &Document, language: Language) -> String {
    let look = Look {
        styled: false,
        width: None,
    };
    render(&document.in_language(language), look)
}

/// A farm in `zone`, kilograms, division 0.1.
pub(crate) fn farm_in(zone: &str) -> FarmAsked {
    FarmAsked {
        zone: zone.to_owned(),
        unit: "kg".to_owned(),
        division: "0.1".to_owned(),
        currency: "EUR".to_owned(),
        region: "other".to_owned(),
        larvae_for: "not-feed".to_owned(),
        said: FarmSaid {
            name: Some("Invented farm".to_owned()),
            ..FarmSaid::default()
        },
        chosen: trayful::daybook::Chosen::default(),
    }
}

impl FarmBook {
    /// A new book of [`farm_in`] a zone, at `now`.
    pub(crate) fn in_zone(zone: &str, now: &str) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let farm = farm_in(zone);
        let begun = Asked {
            id: "begin".to_owned(),
            at: instant("2016-01-01T00:00:00Z"),
            by: "AB".to_owned(),
            now: instant("2016-01-01T00:00:00Z"),
            sure: true,
        };
        let book = begin(&folder.path().join("farm.daybook"), &farm, &begun).expect("begins");
        Self {
            book,
            _folder: folder,
            ids: 0,
            now: instant(now),
        }
    }

    /// Who asks, and when.
    pub(crate) fn asked(&mut self, at: &str) -> Asked {
        self.ids += 1;
        Asked {
            id: format!("t{}", self.ids),
            at: instant(at),
            by: "MK".to_owned(),
            now: self.now,
            sure: true,
        }
    }

    /// Moves the clock.
    pub(crate) fn at(&mut self, now: &str) {
        self.now = instant(now);
    }

    /// Takes in loads by the import act: `instant,supplier,stream,gross kg,rest`,
    /// where the rest is `picked_out,picked_out_kind,verdict,volume` or nothing;
    /// without a weight the volume stands for it.
    pub(crate) fn loads(&mut self, rows: &[&str]) {
        let mut text = "weighed_at,ticket,supplier,stream,gross,tare,unit,container,moisture_pct,picked_out,picked_out_kind,verdict,by,note,volume\n".to_owned();
        for row in rows {
            self.ids += 1;
            let mut cells = row.split(',').collect::<Vec<_>>();
            cells.resize(8, "");
            let [at, supplier, stream, gross, picked, kind, verdict, volume] = cells[..] else {
                panic!("{row}")
            };
            let tare = if gross.is_empty() { "" } else { "0" };
            text.push_str(&format!(
                "{at},l{},{supplier},{stream},{gross},{tare},kg,,,{picked},{kind},{verdict},AB,,{volume}\n",
                self.ids
            ));
        }
        let file = TableFile {
            name: "test.csv".to_owned(),
            bytes: text.into_bytes(),
        };
        let asked = ImportAsked {
            by: "AB".to_owned(),
            sure: true,
            now: self.now,
        };
        let done = self.at_dock(|book, dock| import(book, dock, file, &asked, |_, _| {}));
        done.expect("imports");
    }

    fn at_dock<T>(&mut self, act: impl FnOnce(&mut Daybook, &Dock<'_>) -> T) -> T {
        let farm = settings(&self.book).expect("settings");
        let tables = Tables::load(TableFiles::default()).expect("tables");
        let dock = Dock::open(&self.book, &farm, &tables).expect("a dock");
        act(&mut self.book, &dock)
    }

    /// What a month tells now, or its newest version.
    pub(crate) fn month(&self, of: Month) -> MonthSheet {
        month(&self.book, of, None).expect("a month")
    }

    /// What was received in a month, grams.
    pub(crate) fn received(&self, of: Month) -> i64 {
        self.month(of).report.total.received.get()
    }

    /// A supplier's statement for October.
    pub(crate) fn statement(&self, of: &str) -> StatementSheet {
        statement(&self.book, of, october(), None).expect("a statement")
    }

    /// Closes a month.
    pub(crate) fn close(
        &mut self,
        month: Month,
        why: Option<&str>,
        at: &str,
    ) -> Result<i64, ActError> {
        let asked = self.asked(at);
        close_month(&mut self.book, month, why, &asked)
    }

    /// Writes down what was fed that day.
    pub(crate) fn fed(&mut self, at: &str, draws: Vec<Draw>, additions: Vec<Addition>) {
        let asked = self.asked(at);
        let record = NewRecord {
            id: asked.id,
            at: asked.at,
            by: asked.by,
            entry: Entry::Fed(Fed {
                night: at[..10].parse().expect("a day"),
                sheet_seq: None,
                draws,
                additions,
                remainders: Vec::new(),
            }),
        };
        self.book.append(&[record], asked.now).expect("appends");
    }

    /// Sends part of a lot elsewhere.
    pub(crate) fn send(&mut self, lot: &str, to: Outlet, kilos: &str, at: &str) {
        let asked = self.asked(at);
        let weight = Reader::PLAIN
            .weight(&format!("{kilos} kg"))
            .expect("a weight");
        let units = settings(&self.book).expect("settings").units;
        discard(&mut self.book, lot, to, Some(&weight), None, units, &asked).expect("discards");
    }

    /// Says whose and what a ticket really was.
    pub(crate) fn correct(
        &mut self,
        ticket: &str,
        supplier: Option<&str>,
        stream: Option<&str>,
    ) -> Result<Corrected, ActError> {
        let text = CorrectionText {
            supplier: supplier.map(str::to_owned),
            stream: stream.map(str::to_owned),
            why: "labels were swapped".to_owned(),
            ..CorrectionText::default()
        };
        let now = self.now.to_string();
        let asked = self.asked(&now);
        self.at_dock(|book, dock| correct(book, dock, ticket, &text, &asked))
    }

    /// Voids a record.
    pub(crate) fn strike(&mut self, reference: &str, why: &str) -> Result<(), ActError> {
        let now = self.now.to_string();
        let asked = self.asked(&now);
        strike(&mut self.book, reference, why, &asked).map(|_| ())
    }
}

/// A month as other programs get it.
pub(crate) fn answered(sheet: &trayful::sheet::MonthSheet) -> serde_json::Value {
    let answer = Versioned::first(trayful::sheet::json::Month::from(sheet));
    serde_json::to_value(answer).expect("JSON")
}
