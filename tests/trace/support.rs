//! A book written record by record, for tests of the trace.

use std::path::PathBuf;

use jiff::Timestamp;
use jiff::civil::Date;
use tempfile::TempDir;
use trayful::acts::{
    ActError, Asked, FarmAsked, FarmSaid, TableFiles, Tables, TraceFrom, begin, settings, trace,
};
use trayful::daybook::{
    Addition, Cohort, CohortEnd, Daybook, Discard, Draw, Entry, Fed, Harvest, MoneyItem, NewRecord,
    Outlet, Payment, ResidueTo, Strike, Ticket,
};
use trayful::quantity::{Grams, MassUnit, Money};
use trayful::sheet::TraceSheet;
use trayful::stream::{Class, StreamId, Verdict};

pub(crate) struct Book {
    pub(crate) book: Daybook,
    pub(crate) path: PathBuf,
    pub(crate) tables: Tables,
    _folder: TempDir,
    ids: u32,
}

/// When every trace is made.
pub(crate) fn now() -> Timestamp {
    instant("2026-11-25T18:00:00Z")
}

pub(crate) fn instant(text: &str) -> Timestamp {
    text.parse().expect("an instant")
}

pub(crate) fn day(text: &str) -> Date {
    text.parse().expect("a day")
}

/// Evening of a night: when it is fed.
pub(crate) fn evening(night: Date) -> Timestamp {
    instant(&format!("{night}T20:00:00Z"))
}

/// Noon of a day.
pub(crate) fn noon(day: &str) -> Timestamp {
    instant(&format!("{day}T12:00:00Z"))
}

impl Book {
    pub(crate) fn new() -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("farm.daybook");
        let said = |text: &str| text.to_owned();
        let farm = FarmAsked {
            zone: said("Europe/Lisbon"),
            unit: said("kg"),
            division: said("0.05"),
            currency: said("EUR"),
            region: said("us"),
            larvae_for: said("poultry-fish-pig"),
            said: FarmSaid {
                name: Some(said("Invented farm")),
                ..FarmSaid::default()
            },
            chosen: trayful::daybook::Chosen::default(),
        };
        let at = noon("2026-01-01");
        let asked = Asked {
            id: said("begin"),
            at,
            by: said("AB"),
            now: at,
            sure: true,
        };
        Self {
            book: begin(&path, &farm, &asked).expect("begins"),
            tables: Tables::load(TableFiles::default()).expect("tables"),
            path,
            _folder: folder,
            ids: 0,
        }
    }

    pub(crate) fn put(&mut self, id: &str, at: Timestamp, entry: Entry) -> i64 {
        let record = NewRecord {
            id: id.to_owned(),
            at,
            by: "MK".to_owned(),
            entry,
        };
        let appended = self.book.append(&[record], now()).expect("appends");
        appended[0].seq
    }

    fn add(&mut self, at: Timestamp, entry: Entry) -> i64 {
        self.ids += 1;
        self.put(&format!("x{}", self.ids), at, entry)
    }

    pub(crate) fn ticket(&mut self, id: &str, from: (&str, &str), grams: i64, on: &str) -> i64 {
        self.ticket_touching(id, from, grams, on, Vec::new())
    }

    pub(crate) fn ticket_touching(
        &mut self,
        id: &str,
        (supplier, stream): (&str, &str),
        grams: i64,
        on: &str,
        touched: Vec<Class>,
    ) -> i64 {
        let ticket = Ticket {
            supplier: supplier.to_owned(),
            stream: StreamId::parse(stream).expect("a stream"),
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
            touched,
            verdict: Verdict::Feed,
            reason: "feed".to_owned(),
            confirmed: true,
            note: None,
            scale: None,
        };
        self.put(id, noon(on), Entry::Ticket(ticket))
    }

    pub(crate) fn cohort(&mut self, name: &str, hatched: &str, larvae: i64) -> i64 {
        let cohort = Cohort {
            name: name.to_owned(),
            hatched: day(hatched),
            larvae,
            counted: "by weight".to_owned(),
            trays: 8,
            tray_area_m2: 0.24,
            depth_cm: None,
            start_count: None,
            start_ug: None,
            feeding: None,
        };
        self.add(noon(hatched), Entry::Cohort(cohort))
    }

    pub(crate) fn end(&mut self, name: &str, on: &str, why: &str) -> i64 {
        let (name, why) = (name.to_owned(), why.to_owned());
        self.add(noon(on), Entry::CohortEnd(CohortEnd { name, why }))
    }

    /// Feeds `group, lot, grams`; a lot of 0 is bran bought that night, one below it water.
    pub(crate) fn fed(&mut self, night: Date, meals: &[(&str, i64, i64)]) -> i64 {
        let drawn = meals.iter().filter(|(_, lot, _)| *lot > 0);
        let added = meals.iter().filter(|(_, lot, _)| *lot <= 0);
        let fed = Fed {
            night,
            sheet_seq: None,
            draws: drawn
                .map(|(group, lot, grams)| Draw {
                    group: (*group).to_owned(),
                    lot_seq: *lot,
                    grams: Grams::new(*grams),
                })
                .collect(),
            additions: added
                .map(|(group, lot, grams)| Addition {
                    group: (*group).to_owned(),
                    stream: (*lot == 0).then(|| StreamId::parse("wheat-bran").expect("a stream")),
                    grams: Grams::new(*grams),
                })
                .collect(),
            remainders: Vec::new(),
        };
        self.add(evening(night), Entry::Fed(fed))
    }

    pub(crate) fn discard(&mut self, lot_seq: i64, to: Outlet, grams: i64, on: &str) -> i64 {
        let discard = Discard {
            lot_seq,
            to,
            grams: Grams::new(grams),
            why: None,
        };
        self.add(noon(on), Entry::Discard(discard))
    }

    pub(crate) fn harvest(&mut self, cohort_seq: i64, grams: i64, on: &str) -> i64 {
        let harvest = Harvest {
            cohort_seq,
            larvae_g: Grams::new(grams),
            larvae_text: format!("{grams} g"),
            larvae_moisture_pct: None,
            larvae_nitrogen_dm_pct: None,
            counted: None,
            sample_count: None,
            sample_g: None,
            dead: None,
            residue_g: Some(Grams::new(grams / 2)),
            residue_text: Some(format!("{} g", grams / 2)),
            residue_moisture_pct: None,
            residue_to: Some(ResidueTo::Kept),
            note: None,
        };
        self.add(noon(on), Entry::Harvest(harvest))
    }

    pub(crate) fn sale(&mut self, buyer: &str, grams: i64, cohorts: &[i64], on: &str) -> i64 {
        let money = Payment {
            item: MoneyItem::SoldLive,
            amount: Money::new(grams),
            what: None,
            minutes: None,
            kwh: None,
            grams: Some(Grams::new(grams)),
            grams_text: Some(format!("{grams} g")),
            party: Some(buyer.to_owned()),
            cohort_seqs: cohorts.to_vec(),
            note: None,
        };
        self.add(noon(on), Entry::Money(money))
    }

    pub(crate) fn strike(&mut self, target_seq: i64) {
        let why = "entered twice".to_owned();
        self.add(now(), Entry::Strike(Strike { target_seq, why }));
    }

    pub(crate) fn trace(&self, from: &TraceFrom) -> Result<TraceSheet, ActError> {
        let farm = settings(&self.book).expect("settings");
        trace((&self.book, &farm, &self.tables), from, false, now())
    }

    pub(crate) fn of_tickets(&self, names: &[&str]) -> TraceSheet {
        let names = names.iter().map(|name| (*name).to_owned()).collect();
        self.trace(&TraceFrom::Tickets(names)).expect("traces")
    }

    pub(crate) fn of_cohort(&self, seq: i64) -> TraceSheet {
        let from = TraceFrom::Cohort(format!("r{seq}"));
        self.trace(&from).expect("traces")
    }
}

/// A farm's October: two suppliers, three cohorts, two of them in one group.
pub(crate) struct October {
    pub(crate) farm: Book,
    pub(crate) grain: i64,
    pub(crate) carrots: i64,
    pub(crate) older: i64,
    pub(crate) younger: i64,
    pub(crate) nursed: i64,
    pub(crate) early_harvest: i64,
    pub(crate) harvest: i64,
    pub(crate) fed: i64,
}

impl October {
    pub(crate) fn new() -> Self {
        let mut farm = Book::new();
        let grain = farm.ticket("T1", ("Quay brewery", "spent-grain"), 20_000, "2026-10-05");
        let carrots = farm.ticket("T2", ("Corner grocer", "carrot-trim"), 15_000, "2026-10-06");
        farm.ticket("T3", ("Corner grocer", "carrot-trim"), 10_000, "2026-10-07");
        farm.ticket("T4", ("Corner grocer", "lettuce-trim"), 5_000, "2026-10-07");
        let older = farm.cohort("H1", "2026-10-01", 60_000);
        let younger = farm.cohort("H2", "2026-10-03", 40_000);
        let nursed = farm.cohort("H3", "2026-10-08", 50_000);
        let early_harvest = farm.harvest(older, 900, "2026-10-07");
        farm.sale("Bait shop", 900, &[older], "2026-10-07");
        let fed = farm.fed(
            day("2026-10-08"),
            &[
                ("growing", grain, 8_000),
                ("growing", carrots, 6_001),
                ("young", carrots, 1_000),
                ("growing", 0, 500),
                ("growing", -1, 250),
            ],
        );
        farm.fed(
            day("2026-10-09"),
            &[("growing", grain, 4_000), ("last-feeds", carrots, 300)],
        );
        farm.discard(carrots, Outlet::Composted, 2_000, "2026-10-10");
        let harvest = farm.harvest(older, 9_000, "2026-10-16");
        farm.end("H1", "2026-10-16", "harvested");
        farm.sale("Pond keepers", 6_000, &[older], "2026-10-17");
        farm.sale("Bait shop", 2_500, &[older, younger], "2026-10-18");
        farm.sale("Market stall", 700, &[], "2026-10-19");
        Self {
            farm,
            grain,
            carrots,
            older,
            younger,
            nursed,
            early_harvest,
            harvest,
            fed,
        }
    }
}
