//! A closed month stays as it was handed out; what comes later is another
//! version that shows each changed figure beside the old one.

use trayful::acts::{ActError, FarmAsked, FarmSaid, change_farm, close_month, month};
use trayful::daybook::{Addition, DaybookError, Outlet};
use trayful::quantity::Grams;
use trayful::report::Destination;
use trayful::sheet::{data_csv, html, month_document, month_table};
use trayful::stream::StreamId;
use trayful::words::Language;

use crate::support::{FarmBook, answered, farm_in, october, page};

fn farm() -> FarmBook {
    let mut farm = FarmBook::in_zone("Europe/Madrid", "2026-11-02T09:00:00Z");
    farm.loads(&[
        "2026-10-02T08:00:00Z,Baker,bread,10.0",
        "2026-10-03T08:00:00Z,Baker,bread,12.0",
        "2026-10-03T09:00:00Z,Grocer,carrot-trim,20.0",
        "2026-10-05T09:00:00Z,Grocer,carrot-trim,18.0,0.5,plastic bag",
    ]);
    farm.send("#1", Outlet::Animals, "3.0", "2026-10-06T08:00:00Z");
    farm
}

/// A version in every form it can be handed out in.
fn printed(farm: &FarmBook, version: i64) -> [String; 4] {
    let sheet = month(&farm.book, october(), Some(version)).expect("a version");
    let document = month_document(&sheet);
    [
        page(&document, Language::En),
        html(&document.in_language(Language::En)).expect("a page"),
        answered(&sheet).to_string(),
        data_csv(&month_table(&sheet)).expect("a table"),
    ]
}

fn close(farm: &mut FarmBook, why: Option<&str>, now: &str) -> Result<i64, ActError> {
    farm.at(now);
    farm.close(october(), why, now)
}

#[test]
fn a_draft_is_no_version_and_a_negative_diverted_is_explained() {
    let mut farm = farm();
    // What came in September was thrown away in October, more than came.
    farm.loads(&["2026-09-28T08:00:00Z,Mill,spent-grain,90.0"]);
    farm.send("#5", Outlet::Landfilled, "80.0", "2026-10-04T08:00:00Z");
    let sheet = farm.month(october());
    assert!(sheet.report.diverted() < Grams::ZERO);
    let page = page(&month_document(&sheet), Language::En);
    let title = page.lines().nth(1).expect("a title");
    assert!(
        title.ends_with(", draft") && !title.contains("version"),
        "{title}"
    );
    let figures: Vec<&str> = page.lines().map(str::trim).collect();
    let diverted = figures
        .iter()
        .position(|line| line.contains(", diverted -"));
    let why = figures.iter().position(|line| {
        line.starts_with("Diverted is below zero where more of what came in earlier was thrown")
    });
    let (diverted, why) = diverted.zip(why).unwrap_or_else(|| panic!("{page}"));
    assert!((1..=5).contains(&(why - diverted)), "{page}");
    let told = answered(&sheet);
    assert_eq!(
        (&told["version"], &told["closed"]),
        (&serde_json::Value::Null, &serde_json::Value::Null)
    );
    assert_eq!(close(&mut farm, None, "2026-11-02T10:00:00Z").ok(), Some(1));
    let closed = farm.month(october());
    assert_eq!(answered(&closed)["version"], 1);
}

#[test]
fn the_first_version_is_printed_again_exactly() {
    let mut farm = farm();
    assert_eq!(close(&mut farm, None, "2026-11-02T10:00:00Z").ok(), Some(1));
    let mut first = printed(&farm, 1);
    // At first it is the newest, and says so by saying nothing of changes.
    assert_eq!(farm.month(october()).pending, []);

    farm.strike("#2", "belongs to another baker")
        .expect("strikes");
    farm.loads(&["2026-10-30T08:00:00Z,Grocer,carrot-trim,5.0"]);
    let newest = farm.month(october());
    assert_eq!(newest.report.total.received.get(), 60_000, "frozen");
    assert_eq!(newest.pending.len(), 6, "{:?}", newest.pending);

    let why = Some("a load of another baker; one ticket came late");
    assert_eq!(close(&mut farm, why, "2026-11-20T10:00:00Z").ok(), Some(2));
    assert_eq!(printed(&farm, 1), first);
    farm.loads(&["2026-10-31T08:00:00Z,Grocer,carrot-trim,1.0"]);
    first = printed(&farm, 1);
    let second = printed(&farm, 2);
    assert_eq!(
        close(&mut farm, Some("one more"), "2026-12-01T10:00:00Z").ok(),
        Some(3)
    );
    assert_eq!(printed(&farm, 1), first);
    // Version 2 no longer tells what is pending, which version 3 took up.
    assert_eq!(printed(&farm, 2)[3], second[3]);
    assert!(farm.book.check(None).expect("checks").is_whole());
}

/// What a month says of itself and what the year says of it agree.
#[test]
fn late_water_and_purchases_show_in_a_closed_month() {
    let mut farm = farm();
    close(&mut farm, None, "2026-11-02T10:00:00Z").expect("closes");
    let addition = |stream: Option<&str>, grams| Addition {
        group: "growing".to_owned(),
        stream: stream.and_then(StreamId::parse),
        grams: Grams::new(grams),
    };
    let additions = vec![addition(None, 700), addition(Some("wheat-bran"), 900)];
    farm.fed("2026-10-20T19:00:00Z", Vec::new(), additions);
    let pending = farm.month(october()).pending;
    let told: Vec<_> = (pending.iter())
        .map(|change| (change.figure, change.before.get(), change.now.get()))
        .collect();
    assert_eq!(
        told,
        [("bought on the night", 0, 900), ("water added", 0, 700)]
    );
}

#[test]
fn another_version_shows_each_changed_figure_who_and_why() {
    let mut farm = farm();
    close(&mut farm, None, "2026-11-02T10:00:00Z").expect("closes");
    farm.strike("#2", "belongs to another baker")
        .expect("strikes");
    farm.loads(&["2026-10-30T08:00:00Z,Grocer,carrot-trim,5.0"]);
    let why = Some("a load of another baker; one ticket came late");
    close(&mut farm, why, "2026-11-20T10:00:00Z").expect("closes");
    let page = &printed(&farm, 2)[0];
    let from = page.find("Version 2").expect("a version");
    let to = page.find("By supplier and stream").expect("a section");
    insta::assert_snapshot!(page[from..to].trim_end(), @"
    Version 2, closed 2026-11-20 11:00 by MK: a load of another baker; one ticket came late

    Changed since version 1
     supplier   stream        figure              version 1            version 2             difference
    ---------- ------------- ---------- -------------------- -------------------- ----------------------
     Baker      bread         loads                       2                    1                     -1
     Baker      bread         received   22.00 kg (48.5 lb)   10.00 kg (22.0 lb)   -12.00 kg (-26.5 lb)
     Baker      bread         closing    19.00 kg (41.9 lb)    7.00 kg (15.4 lb)   -12.00 kg (-26.5 lb)
     Grocer     carrot-trim   loads                       2                    3                      1
     Grocer     carrot-trim   received   38.00 kg (83.8 lb)   43.00 kg (94.8 lb)      5.00 kg (11.0 lb)
     Grocer     carrot-trim   closing    37.50 kg (82.7 lb)   42.50 kg (93.7 lb)      5.00 kg (11.0 lb)
    - ticket #2 of 2026-10-03 10:00 struck by MK on 2026-11-02 11:00: belongs to another baker
    - ticket #5 of 2026-10-30 09:00 written by AB on 2026-11-02 11:00
    ");
}

#[test]
fn what_can_not_be_closed_or_struck() {
    let mut farm = farm();
    farm.at("2026-10-31T22:59:59Z");
    let mut told = Vec::new();
    let mut tell =
        |outcome: Result<i64, ActError>| told.push(outcome.expect_err("refused").to_string());
    tell(close(&mut farm, None, "2026-10-31T22:59:59Z"));
    close(&mut farm, None, "2026-10-31T23:00:00Z").expect("over");
    tell(close(&mut farm, None, "2026-11-03T10:00:00Z"));
    farm.loads(&["2026-10-30T08:00:00Z,Grocer,carrot-trim,5.0"]);
    tell(close(&mut farm, None, "2026-11-03T10:00:00Z"));
    tell(close(&mut farm, Some(" "), "2026-11-03T10:00:00Z"));
    let version = month(&farm.book, october(), Some(7)).expect_err("no such version");
    told.push(version.to_string());
    let closing = farm.book.closed_versions("2026-10").expect("reads")[0].seq;
    let struck = farm
        .strike(&format!("r{closing}"), "no")
        .expect_err("refused");
    assert!(matches!(
        struck,
        ActError::Daybook(DaybookError::ClosedStays { .. })
    ));
    told.push(struck.to_string());
    insta::assert_snapshot!(told.join("\n"), @"
    2026-10 runs until 2026-11-01 00:00 local time; accepted: a month that is over
    2026-10 is closed as version 1, and no figure has changed since
    `--why` is missing; accepted: the reason for another version of a closed month
    `--why`: ` ` is not accepted; accepted: a reason of 1 to 500 characters
    there is no version `7 of 2026-10`; nearest: 1
    record `r7` closed a month and can't be struck; accepted: another version with `month --close --why`
    ");
}

#[test]
fn a_repeated_closing_is_harmless() {
    let mut farm = farm();
    farm.at("2026-11-02T10:00:00Z");
    let asked = farm.asked("2026-11-02T10:00:00Z");
    let mut again = || close_month(&mut farm.book, october(), None, &asked);
    assert_eq!((again().ok(), again().ok()), (Some(1), Some(1)));
    assert_eq!(
        farm.book.closed_versions("2026-10").expect("reads").len(),
        1
    );
}

/// The zone a month was closed in bounds all its versions, even after a move.
#[test]
fn a_later_zone_does_not_move_a_closed_month() {
    let mut farm = farm();
    close(&mut farm, None, "2026-11-02T10:00:00Z").expect("closes");
    let first = printed(&farm, 1);
    let settings = FarmAsked {
        unit: "lb".to_owned(),
        division: "0.5".to_owned(),
        said: FarmSaid::default(),
        ..farm_in("Asia/Kolkata")
    };
    let asked = farm.asked("2026-11-10T10:00:00Z");
    change_farm(&mut farm.book, &settings, &asked).expect("changes");
    assert_eq!(printed(&farm, 1), first);
}

/// Every way out is in the balance and reaches the destination it stands for.
#[test]
fn every_way_out_closes_the_balance() {
    let mut farm = farm();
    let ways = [
        (Outlet::Composted, Destination::Compost),
        (Outlet::Landfilled, Destination::Landfill),
        (Outlet::Liquor, Destination::Sewer),
        (Outlet::PickedOut, Destination::Discards),
        (Outlet::Processing, Destination::Biomaterial),
        (Outlet::Digestion, Destination::Digestion),
        (Outlet::Combustion, Destination::Combustion),
        (Outlet::Land, Destination::LandApplication),
        (Outlet::Discards, Destination::Discards),
        (Outlet::Sewer, Destination::Sewer),
    ];
    let reached = |farm: &FarmBook| farm.month(october()).report;
    for (at, (to, destination)) in ways.into_iter().enumerate() {
        let before = reached(&farm).total.reached(destination).get();
        farm.send("#3", to, &format!("0.{}", at + 1), "2026-10-07T08:00:00Z");
        let report = reached(&farm);
        let more = report.total.reached(destination).get() - before;
        // 0.1 to 0.9, and 0.10 for the last.
        let grams = if at == 9 {
            100
        } else {
            100 * (i64::try_from(at).expect("small") + 1)
        };
        assert_eq!(more, grams, "{to:?}");
        assert_eq!(report.gap().get(), 0);
    }
    let report = reached(&farm);
    assert_eq!(report.total.reached(Destination::AnimalFeed).get(), 3_000);
    assert_eq!(report.total.reached(Destination::NotHarvested).get(), 0);
    farm.send("#3", Outlet::Returned, "1.0", "2026-10-07T09:00:00Z");
    let report = reached(&farm);
    assert_eq!(report.balance.returned.get(), 1_000);
    assert_eq!(report.gap().get(), 0);
}
