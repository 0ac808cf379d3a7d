//! Records and books for the tests of this room.

use std::ops::{Deref, DerefMut};

use jiff::Timestamp;
use jiff::civil::Date;
use tempfile::TempDir;

use crate::daybook::*;
use crate::larvae::Feeding;
use crate::quantity::{DecimalMark, Flow, Grams, MassUnit, Money};
use crate::stream::{Class, Leave, OwnStream, StreamId, Verdict};
use crate::words::Language;

pub(super) fn instant(text: &str) -> Timestamp {
    text.parse().expect("an instant")
}

pub(super) fn day(text: &str) -> Date {
    text.parse().expect("a date")
}

pub(super) fn stream(text: &str) -> StreamId {
    StreamId::parse(text).expect("a stream id")
}

pub(super) const ALWAYS: (Timestamp, Timestamp) = (Timestamp::MIN, Timestamp::MAX);

/// When every record of the fixtures was written.
pub(super) fn now() -> Timestamp {
    instant("2026-03-01T12:00:00Z")
}

pub(super) fn new(id: &str, at: Timestamp, entry: Entry) -> NewRecord {
    NewRecord {
        id: id.to_owned(),
        at,
        by: "AB".to_owned(),
        entry,
    }
}

pub(super) fn farm() -> Farm {
    Farm {
        zone: "America/Denver".into(),
        unit: MassUnit::Lb,
        division: "0.1".into(),
        currency: "USD".into(),
        region: "us".into(),
        larvae_for: "poultry-fish-pig".into(),
        said: FarmSaid::default(),
        chosen: Chosen::default(),
    }
}

pub(super) fn farm_record() -> NewRecord {
    new("begin", now(), Entry::Farm(farm()))
}

pub(super) fn ticket() -> Ticket {
    Ticket {
        supplier: "Quay brewery".into(),
        stream: stream("spent-grain"),
        gross_g: Some(Grams::new(14_606)),
        gross_text: Some("32.2 lb".into()),
        tare_g: Some(Grams::new(680)),
        tare_text: Some("1.5 lb".into()),
        container: Some("pail".into()),
        unit: MassUnit::Lb,
        division: "0.1 lb".into(),
        net_g: Grams::new(13_926),
        volume_l: Some(20.0),
        estimated: false,
        bought: false,
        price_per_kg: Some(-0.02),
        moisture_pct: Some(76.5),
        picked_out: vec![PickedOut {
            kind: "bone".into(),
            grams: Grams::new(600),
            text: "0.6 kg".into(),
        }],
        touched: vec![Class::Kitchen, Class::DairyEgg],
        verdict: Verdict::PickOut,
        reason: "bones".into(),
        confirmed: true,
        note: None,
        scale: None,
    }
}

pub(super) fn ticket_record(id: &str, at: Timestamp) -> NewRecord {
    new(id, at, Entry::Ticket(ticket()))
}

/// So many tickets, with ids that begin alike.
pub(super) fn tickets(id: &str, count: usize) -> Vec<NewRecord> {
    let ids = (0..count).map(|at| format!("{id}{at}"));
    ids.map(|id| ticket_record(&id, now())).collect()
}

/// A ticket of so many grams, nothing picked out.
pub(super) fn load(supplier: &str, what: &str, grams: i64) -> Ticket {
    Ticket {
        supplier: supplier.into(),
        stream: stream(what),
        gross_g: Some(Grams::new(grams)),
        gross_text: Some(format!("{grams} g")),
        tare_g: Some(Grams::ZERO),
        tare_text: Some("0 g".into()),
        net_g: Grams::new(grams),
        picked_out: Vec::new(),
        touched: Vec::new(),
        verdict: Verdict::Feed,
        ..ticket()
    }
}

pub(super) fn strike(id: &str, target_seq: i64) -> NewRecord {
    new(id, now(), strike_for(target_seq, "typed wrongly"))
}

fn strike_for(target_seq: i64, why: &str) -> Entry {
    let why = why.into();
    Entry::Strike(Strike { target_seq, why })
}

/// Other words on a ticket, as a test changes them.
pub(super) fn correction(ticket_seq: i64, change: impl FnOnce(&mut Correction)) -> Entry {
    let mut it = Correction {
        ticket_seq,
        why: "labels were swapped".into(),
        ..Correction::default()
    };
    change(&mut it);
    Entry::Correction(it)
}

pub(super) fn cohort(name: &str) -> Cohort {
    Cohort {
        name: name.into(),
        hatched: day("2026-02-20"),
        larvae: 30_000,
        counted: "by weight".into(),
        trays: 12,
        tray_area_m2: 0.24,
        depth_cm: Some(5.0),
        start_count: None,
        start_ug: None,
        feeding: None,
    }
}

pub(super) fn cohort_end(name: &str, why: &str) -> Entry {
    let (name, why) = (name.into(), why.into());
    Entry::CohortEnd(CohortEnd { name, why })
}

/// Money of pond keepers for so many grams, as entered.
pub(super) fn payment(item: MoneyItem, cohort_seqs: Vec<i64>, of: Option<(i64, &str)>) -> Payment {
    Payment {
        item,
        amount: Money::new(9_600),
        what: None,
        minutes: None,
        kwh: None,
        grams: of.map(|(grams, _)| Grams::new(grams)),
        grams_text: of.map(|(_, text)| text.into()),
        party: Some("Pond keepers".into()),
        cohort_seqs,
        note: None,
    }
}

pub(super) fn pail(grams: i64, text: &str, volume_l: Option<f64>) -> Entry {
    Entry::Container(Container {
        name: "pail".into(),
        tare_g: Grams::new(grams),
        tare_text: text.into(),
        volume_l,
    })
}

pub(super) fn names(folder: &Path) -> Vec<String> {
    let entries = std::fs::read_dir(folder).expect("lists");
    let name = |entry: std::io::Result<std::fs::DirEntry>| entry.expect("an entry").file_name();
    let names = entries.map(|entry| name(entry).to_string_lossy().into_owned());
    let mut names: Vec<String> = names.collect();
    names.sort();
    names
}

/// With ids after their positions, from one on.
fn numbered(from: i64, entries: impl IntoIterator<Item = Entry>) -> Vec<NewRecord> {
    let named = (from..).zip(entries);
    named
        .map(|(seq, entry)| new(&format!("id-{seq}"), now(), entry))
        .collect()
}

pub(super) fn discard(lot_seq: i64, to: Outlet, grams: i64) -> Entry {
    Entry::Discard(Discard {
        lot_seq,
        to,
        grams: Grams::new(grams),
        why: None,
    })
}

pub(super) fn draw(group: &str, lot_seq: i64, grams: i64) -> Draw {
    Draw {
        group: group.into(),
        lot_seq,
        grams: Grams::new(grams),
    }
}

pub(super) fn addition(group: &str, what: Option<&str>, grams: i64) -> Addition {
    Addition {
        group: group.into(),
        stream: what.map(stream),
        grams: Grams::new(grams),
    }
}

/// Version 1 of a month with one row, all of its figures different.
pub(super) fn month_closed() -> MonthClosed {
    let mut flow = Flow {
        loads: 1,
        refused_loads: 2,
        ..Flow::default()
    };
    // In the order of the book's columns, in which shrink stands before the further ways.
    let order = (0..3).chain(4..11).chain([18]).chain(11..18).chain([19]);
    for (at, grams) in order.zip(100..) {
        *flow.figures_mut()[at] = Grams::new(grams);
    }
    let row = MonthRow {
        supplier: "Quay brewery".into(),
        stream: stream("spent-grain"),
        bought: false,
        flow,
    };
    MonthClosed {
        month: "2026-02".into(),
        version: 1,
        zone: "America/Denver".into(),
        from: instant("2026-02-01T07:00:00Z"),
        to: instant("2026-03-01T07:00:00Z"),
        night_bought_g: Grams::new(900),
        night_water_g: Grams::new(250),
        why: None,
        rows: vec![row],
    }
}

/// One record of every kind; of schema 1; they become records 2 to 12, the ticket record 3.
pub(super) fn one_of_each() -> Vec<NewRecord> {
    let entries = [
        pail(680, "1.5 lb", Some(20.0)),
        Entry::Ticket(ticket()),
        Entry::Assay(Assay {
            lot_seq: 3,
            method: "oven".into(),
            wet_g: Some(100.0),
            dry_g: Some(23.4),
            moisture_pct: 76.6,
            moisture_sd: 0.5,
        }),
        Entry::Reweigh(Reweigh {
            lot_seq: 3,
            found_g: Grams::new(13_400),
            book_g: Grams::new(13_326),
            text: "29.5 lb".into(),
        }),
        Entry::Cohort(cohort("C1")),
        Entry::Sheet(Sheet {
            night: day("2026-03-01"),
            verdict: "inside".into(),
            draws: vec![draw("grower", 3, 5_000)],
            additions: vec![addition("grower", Some("wheat-bran"), 900)],
        }),
        Entry::Fed(Fed {
            night: day("2026-03-01"),
            sheet_seq: Some(7),
            draws: vec![draw("grower", 3, 5_000), draw("nursery", 3, 400)],
            additions: vec![
                addition("grower", Some("wheat-bran"), 900),
                addition("nursery", None, 250),
            ],
            remainders: vec![Remainder {
                lot_seq: 3,
                grams: Grams::new(-3),
            }],
        }),
        discard(3, Outlet::PickedOut, 120),
        cohort_end("C1", "harvested"),
        Entry::Farm(farm()),
        strike_for(11, "entered twice"),
    ];
    numbered(2, entries)
}

/// A book in a folder of its own.
pub(super) struct Kept {
    book: Daybook,
    pub(super) folder: TempDir,
}

impl Deref for Kept {
    type Target = Daybook;

    fn deref(&self) -> &Daybook {
        &self.book
    }
}

impl DerefMut for Kept {
    fn deref_mut(&mut self) -> &mut Daybook {
        &mut self.book
    }
}

/// What must succeed.
impl Kept {
    pub(super) fn add(&mut self, records: &[NewRecord]) -> Vec<i64> {
        let appended = self.append(records, now()).expect("appends");
        appended.iter().map(|record| record.seq).collect()
    }

    pub(super) fn enter(&mut self, id: &str, entry: Entry) -> i64 {
        self.add(&[new(id, now(), entry)])[0]
    }

    /// Strikes records, each under an id after its target.
    pub(super) fn strike(&mut self, seqs: impl IntoIterator<Item = i64>) {
        let strikes = seqs.into_iter().map(|seq| strike(&format!("s{seq}"), seq));
        self.add(&strikes.collect::<Vec<_>>());
    }

    pub(super) fn at(&self, seq: i64) -> Found {
        self.record(seq).expect("reads").expect("is there")
    }

    pub(super) fn head(&self) -> Seal {
        self.seal().expect("a seal")
    }

    pub(super) fn is_whole(&self) -> bool {
        self.check(None).expect("checks").is_whole()
    }

    /// Runs SQL behind the book's back.
    pub(super) fn run(&self, sql: &str) {
        self.conn.execute_batch(sql).expect(sql);
    }

    /// Drops every trigger, as someone who wants to change the past would.
    pub(super) fn disarm(&self) {
        let sql = "SELECT 'DROP TRIGGER ' || name FROM sqlite_schema WHERE type = 'trigger'";
        for sql in
            crate::daybook::store::get::rows::<String>(&self.conn, sql, []).expect("lists triggers")
        {
            self.run(&sql);
        }
        self.run("PRAGMA foreign_keys = OFF");
    }

    /// The file of the closed book, and its folder.
    pub(super) fn closed(self) -> (TempDir, PathBuf) {
        let path = self.path().to_owned();
        self.book.close().expect("closes");
        (self.folder, path)
    }
}

/// A new book that holds its settings only.
pub(super) fn new_book() -> Kept {
    let folder = tempfile::tempdir().expect("a folder");
    let book = Daybook::create(&folder.path().join("farm.daybook"), &farm_record(), now());
    let book = book.expect("a new book");
    Kept { book, folder }
}

/// A new book that holds one record of every kind.
pub(super) fn full_book() -> Kept {
    let mut book = new_book();
    book.add(&one_of_each());
    book
}

/// One record of every kind that came with a later schema.
pub(super) fn later_kinds() -> Vec<NewRecord> {
    let entries = [
        Entry::MonthClosed(month_closed()),
        Entry::Harvest(harvest(6)),
        Entry::Money(payment(
            MoneyItem::SoldLive,
            vec![6],
            Some((5_443, "12 lb")),
        )),
        Entry::Adopted(Adopted {
            what: OwnFigure::KeepsDays,
            subject: "spent-grain".into(),
            value: 2.5,
            before: Some(2.0),
            evidence: "12 lots cleared".into(),
        }),
        Entry::Correction(Correction {
            ticket_seq: 3,
            supplier: Some("Dockside brewery".into()),
            stream: Some(stream("okara")),
            note: Some("labels were swapped".into()),
            price_per_kg: Some(0.05),
            verdict: Some(Verdict::Feed),
            reason: Some("fine".into()),
            why: "the brewery rang".into(),
        }),
        Entry::Look(Look {
            lot_seq: 3,
            night: day("2026-03-02"),
            fit: true,
            note: Some("smells fresh".into()),
        }),
        Entry::Leave(Leave {
            stream: stream("restaurant-mix"),
            supplier: Some("Harbour canteen".into()),
            given_by: "County office".into(),
            given_on: day("2026-02-11"),
            what_for: "plate waste without meat".into(),
        }),
        Entry::Farm(chosen_farm()),
        Entry::Cohort(Cohort {
            hatched: day("2026-02-27"),
            larvae: 20_000,
            trays: 8,
            depth_cm: None,
            start_count: Some(200),
            start_ug: Some(420_000),
            feeding: Some(Feeding::Every(3)),
            ..cohort("C2")
        }),
        // So that one cohort lives in the book.
        strike_for(21, "entered twice"),
        Entry::OwnStream(OwnStream {
            stream: stream("rye-ends"),
            name: "Rye ends".into(),
            template: stream("bread"),
            moisture_pct: Some(40.5),
            keeps_days: Some(2.5),
            verdict: Some(Verdict::PickOut),
        }),
        Entry::Farm(Farm {
            chosen: Chosen {
                language: Some(Language::Es),
                ..Chosen::default()
            },
            ..farm()
        }),
        Entry::Ticket(Ticket {
            scale: Some("dock".into()),
            moisture_pct: None,
            ..load("Quay brewery", "spent-grain", 9_000)
        }),
        // So that the book's settings are those that choose all.
        Entry::Farm(chosen_farm()),
    ];
    numbered(13, entries)
}

/// Settings in which nothing is left to our defaults.
pub(super) fn chosen_farm() -> Farm {
    Farm {
        said: FarmSaid {
            name: Some("Quay farm".into()),
            verified_scale: Some("class III".into()),
            diverted_rule: Some("flw".into()),
        },
        chosen: Chosen {
            decimal_mark: Some(DecimalMark::Comma),
            sure_pct: Some(90),
            smallest_draw_g: Some(Grams::new(450)),
            most_lots: Some(5),
            water: Some(WaterUse::Never),
            small_division: Some("1g".into()),
            small_up_to_g: Some(Grams::new(5_000)),
            first_stage: Some("young".into()),
            language: None,
        },
        ..farm()
    }
}

/// A harvest of a cohort, all of its figures different.
pub(super) fn harvest(cohort_seq: i64) -> Harvest {
    Harvest {
        cohort_seq,
        larvae_g: Grams::new(9_072),
        larvae_text: "20 lb".into(),
        larvae_moisture_pct: Some(66.5),
        larvae_nitrogen_dm_pct: Some(7.25),
        counted: None,
        sample_count: Some(100),
        sample_g: Some(18.5),
        dead: Some(40),
        residue_g: Some(Grams::new(11_340)),
        residue_text: Some("25 lb".into()),
        residue_moisture_pct: Some(48.0),
        residue_to: Some(ResidueTo::Kept),
        note: None,
    }
}

/// A new book in which no table is empty.
pub(super) fn fullest_book() -> Kept {
    let mut book = full_book();
    book.add(&later_kinds());
    book
}
