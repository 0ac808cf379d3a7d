//! A small invented farm for tests of the month.

use jiff::Timestamp;
use tempfile::TempDir;
use trayful::acts::{
    ActError, Asked, Corrected, CorrectionText, Dock, FarmAsked, FarmSaid, ImportAsked, TableFile,
    TableFiles, Tables, begin, correct, discard, import, settings, strike,
};
use trayful::daybook::{Daybook, Outlet};
use trayful::quantity::Reader;
use trayful::quantity::wire::Versioned;

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

impl FarmBook {
    /// A new book of a farm in `zone`, kilograms, division 0.1, at `now`.
    pub(crate) fn in_zone(zone: &str, now: &str) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let farm = FarmAsked {
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
        };
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
        let farm = settings(&self.book).expect("settings");
        let tables = Tables::load(TableFiles::default()).expect("tables");
        let dock = Dock::open(&self.book, &farm, &tables).expect("a dock");
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
        import(&mut self.book, &dock, &file, &asked, |_, _| {}).expect("imports");
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
        let farm = settings(&self.book).expect("settings");
        let tables = Tables::load(TableFiles::default()).expect("tables");
        let dock = Dock::open(&self.book, &farm, &tables).expect("a dock");
        let text = CorrectionText {
            supplier: supplier.map(str::to_owned),
            stream: stream.map(str::to_owned),
            why: "labels were swapped".to_owned(),
            ..CorrectionText::default()
        };
        let now = self.now.to_string();
        let asked = self.asked(&now);
        correct(&mut self.book, &dock, ticket, &text, &asked)
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
