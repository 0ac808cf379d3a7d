//! Records and books for the tests of this room.

use jiff::Timestamp;
use jiff::civil::Date;
use tempfile::TempDir;

use super::*;
use crate::larvae::Feeding;
use crate::quantity::{DecimalMark, Flow, Grams, MassUnit, Money};
use crate::stream::{Class, Leave, StreamId, Verdict};

pub(super) fn instant(text: &str) -> Timestamp {
    text.parse().expect("an instant")
}

pub(super) fn day(text: &str) -> Date {
    text.parse().expect("a date")
}

pub(super) fn stream(text: &str) -> StreamId {
    StreamId::parse(text).expect("a stream id")
}

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
        name: None,
        verified_scale: None,
        diverted_rule: None,
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
    }
}

pub(super) fn ticket_record(id: &str, at: Timestamp) -> NewRecord {
    new(id, at, Entry::Ticket(ticket()))
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
    let why = "typed wrongly".into();
    new(id, now(), Entry::Strike(Strike { target_seq, why }))
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
        Entry::Container(Container {
            name: "pail".into(),
            tare_g: Grams::new(680),
            tare_text: "1.5 lb".into(),
            volume_l: Some(20.0),
        }),
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
        Entry::Cohort(Cohort {
            name: "C1".into(),
            hatched: day("2026-02-20"),
            larvae: 30_000,
            counted: "by weight".into(),
            trays: 12,
            tray_area_m2: 0.24,
            depth_cm: Some(5.0),
            start_count: None,
            start_ug: None,
            feeding: None,
        }),
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
        Entry::CohortEnd(CohortEnd {
            name: "C1".into(),
            why: "harvested".into(),
        }),
        Entry::Farm(farm()),
        Entry::Strike(Strike {
            target_seq: 11,
            why: "entered twice".into(),
        }),
    ];
    let named = (2..).zip(entries);
    named
        .map(|(seq, entry)| new(&format!("id-{seq}"), now(), entry))
        .collect()
}

/// A new book that holds its settings only.
pub(super) fn new_book() -> (TempDir, Daybook) {
    let folder = tempfile::tempdir().expect("a folder");
    let book = Daybook::create(&folder.path().join("farm.daybook"), &farm_record(), now());
    (folder, book.expect("a new book"))
}

/// A new book that holds one record of every kind.
pub(super) fn full_book() -> (TempDir, Daybook) {
    let (folder, mut book) = new_book();
    book.append(&one_of_each(), now()).expect("appends");
    (folder, book)
}

/// One record of every kind that came with a later schema.
pub(super) fn later_kinds() -> Vec<NewRecord> {
    let entries = [
        Entry::MonthClosed(month_closed()),
        Entry::Harvest(harvest(6)),
        Entry::Money(Payment {
            item: MoneyItem::SoldLive,
            amount: Money::new(9_600),
            what: None,
            minutes: None,
            kwh: None,
            grams: Some(Grams::new(5_443)),
            grams_text: Some("12 lb".into()),
            party: Some("Pond keepers".into()),
            cohort_seqs: vec![6],
            note: None,
        }),
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
            name: "C2".into(),
            hatched: day("2026-02-27"),
            larvae: 20_000,
            counted: "by weight".into(),
            trays: 8,
            tray_area_m2: 0.24,
            depth_cm: None,
            start_count: Some(200),
            start_ug: Some(420_000),
            feeding: Some(Feeding::Every(3)),
        }),
        // So that one cohort lives in the book.
        Entry::Strike(Strike {
            target_seq: 21,
            why: "entered twice".into(),
        }),
    ];
    let named = (13..).zip(entries);
    named
        .map(|(seq, entry)| new(&format!("id-{seq}"), now(), entry))
        .collect()
}

/// Settings in which nothing is left to our defaults.
pub(super) fn chosen_farm() -> Farm {
    Farm {
        name: Some("Quay farm".into()),
        verified_scale: Some("class III".into()),
        diverted_rule: Some("flw".into()),
        chosen: Chosen {
            decimal_mark: Some(DecimalMark::Comma),
            sure_pct: Some(90),
            smallest_draw_g: Some(Grams::new(450)),
            most_lots: Some(5),
            water: Some(WaterUse::Never),
            small_division: Some("1g".into()),
            small_up_to_g: Some(Grams::new(5_000)),
            first_stage: Some("young".into()),
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
pub(super) fn fullest_book() -> (TempDir, Daybook) {
    let (folder, mut book) = full_book();
    book.append(&later_kinds(), now()).expect("appends");
    (folder, book)
}

/// Drops every trigger, as someone who wants to change the past would.
pub(super) fn disarm(book: &Book) {
    let names: Vec<String> = (book.conn)
        .prepare("SELECT name FROM sqlite_schema WHERE type = 'trigger'")
        .and_then(|mut found| found.query_map([], |row| row.get(0))?.collect())
        .expect("lists triggers");
    for name in names {
        let sql = format!("DROP TRIGGER {name}");
        book.conn.execute_batch(&sql).expect("drops");
    }
    let off = "PRAGMA foreign_keys = OFF";
    book.conn.execute_batch(off).expect("loosens");
}
