//! A year is the sum of its months, to the gram, and says which of them were
//! handed out with other figures.

use trayful::acts::{Period, year};
use trayful::daybook::{MonthRow, Outlet};
use trayful::quantity::Grams;
use trayful::report::MonthReport;
use trayful::sheet::{MonthSheet, data_csv, html, month_document, month_table, month_tables};
use trayful::words::Language;

use crate::support::{FarmBook, answered, instant, named, page};

/// A farm half an hour off, where the clock changes twice a year.
fn farm() -> FarmBook {
    let mut farm = FarmBook::in_zone("Australia/Adelaide", "2027-01-20T09:00:00Z");
    farm.loads(&[
        // Local 23:59:59 on 31 December and 00:00 on 1 January, +10:30.
        "2025-12-31T13:29:59Z,Baker,bread,1.0",
        "2025-12-31T13:30:00Z,Baker,bread,2.0",
        "2026-03-31T13:29:59Z,Grocer,carrot-trim,20.0,0.5,plastic bag",
        "2026-04-30T14:30:00Z,Grocer,carrot-trim,18.0,,,refuse",
        "2026-10-05T09:00:00Z,<b>Baker</b>,bread,12.0",
        "2026-12-31T13:29:59Z,=Grocer,carrot-trim,4.0",
        "2026-12-31T13:30:00Z,Baker,bread,8.0",
    ]);
    farm.send("#3", Outlet::Animals, "3.0", "2026-06-06T08:00:00Z");
    farm.send("#5", Outlet::Composted, "12.0", "2026-11-06T08:00:00Z");
    farm
}

fn of_2026(farm: &FarmBook) -> MonthSheet {
    let Ok(Period::Year(of)) = Period::parse("2026") else {
        panic!("no year")
    };
    year(&farm.book, of).expect("a year")
}

/// What two reports have to agree in: the suppliers' sums and the balance.
fn sums(reports: &[&MonthReport]) -> Vec<i64> {
    let sum = |of: &dyn Fn(&MonthReport) -> Grams| reports.iter().map(|one| of(one).get()).sum();
    vec![
        sum(&|one| one.total.received),
        sum(&|one| one.total.refused),
        sum(&|one| one.diverted()),
        sum(&|one| one.came()),
        sum(&|one| one.balance.fed),
        sum(&|one| one.balance.composted),
        sum(&|one| one.balance.elsewhere()),
        sum(&|one| one.balance.picked_out),
        sum(&|one| one.balance.shrink),
        sum(&|one| Grams::new(one.total.loads)),
        sum(&|one| Grams::new(one.total.refused_loads)),
    ]
}

#[test]
fn the_year_is_the_sum_of_its_months() {
    let farm = farm();
    let sheet = of_2026(&farm);
    let months: Vec<MonthReport> = (1..=12)
        .map(|month| farm.month(named(&format!("2026-{month:02}"))).report)
        .collect();
    let all: Vec<&MonthReport> = months.iter().collect();
    assert_eq!(sums(&[&sheet.report]), sums(&all));
    let listed: Vec<&MonthReport> = sheet.months.iter().map(|one| &one.report).collect();
    assert_eq!(listed, all);
    let balance = &sheet.report.balance;
    assert_eq!(balance.opening, months[0].balance.opening);
    assert_eq!(balance.closing, months[11].balance.closing);
    assert_eq!(sheet.report.gap(), Grams::ZERO);
    for pair in months.windows(2) {
        assert_eq!(pair[0].balance.closing, pair[1].balance.opening);
    }
    // By hand: 2 + 20 + 12 + 4 kg came in the year, 1 kg before it.
    assert_eq!(sheet.report.total.received, Grams::new(38_000));
    assert_eq!(
        (balance.opening, balance.elsewhere()),
        (Grams::new(1_000), Grams::new(3_000))
    );
}

/// The other road: the book's own sums over the whole year at once.
#[test]
fn the_year_is_what_the_book_sums_up_over_it() {
    let farm = farm();
    let (from, to) = ("2025-12-31T13:30:00Z", "2026-12-31T13:30:00Z");
    let rows = (farm.book.month_rows(instant(from), instant(to))).expect("reads");
    let sum = |of: fn(&MonthRow) -> Grams| rows.iter().map(of).sum::<Grams>();
    let sheet = of_2026(&farm);
    let total = &sheet.report.total;
    assert_eq!(total.opening, sum(|row| row.flow.opening));
    assert_eq!(total.received, sum(|row| row.flow.received));
    assert_eq!(total.refused, sum(|row| row.flow.refused));
    assert_eq!(total.composted, sum(|row| row.flow.composted));
    assert_eq!(total.closing, sum(|row| row.flow.closing));
    let weekdays: Grams = sheet.owner.weekdays.into_iter().sum();
    assert_eq!(weekdays, total.received);
    let top: Grams = sheet.owner.top.iter().map(|(_, grams)| *grams).sum();
    assert_eq!(top, total.received);
}

#[test]
fn a_closed_month_that_changed_is_named() {
    let mut farm = farm();
    let march = named("2026-03");
    for month in [march, named("2026-05")] {
        let closed = farm.close(month, None, "2027-01-20T10:00:00Z");
        closed.expect("closes");
    }
    let closed = |farm: &FarmBook| -> Vec<_> {
        let months = of_2026(farm).months;
        months.into_iter().filter_map(|one| one.closed).collect()
    };
    assert_eq!(closed(&farm), [(1, false), (1, false)]);
    farm.loads(&["2026-03-02T01:00:00Z,Baker,bread,7.0"]);
    // What came late in March is stock in May.
    assert_eq!(closed(&farm), [(1, true), (1, true)]);
    let again = farm.close(march, Some("a late ticket"), "2027-01-21T10:00:00Z");
    again.expect("closes");
    assert_eq!(closed(&farm), [(2, false), (1, true)]);
    // What was not handed out as a version is none.
    let versions: Vec<Option<i64>> = (of_2026(&farm).months.iter())
        .map(|one| one.report.version)
        .collect();
    assert_eq!(versions[2], Some(2));
    assert_eq!(versions.iter().flatten().count(), 1, "{versions:?}");
    let document = month_document(&of_2026(&farm));
    insta::assert_snapshot!(page(&document, Language::En));
    insta::assert_snapshot!("a_year_in_spanish", page(&document, Language::Es));
}

#[test]
fn every_form_of_the_year_tells_the_same_and_no_name_does_harm() {
    let farm = farm();
    let sheet = of_2026(&farm);
    let total = &sheet.report.total;
    let csv = data_csv(&month_table(&sheet)).expect("a table");
    let heads: Vec<&str> = csv.lines().next().expect("heads").split(',').collect();
    let at = heads.iter().position(|head| *head == "received_g");
    let at = at.expect("is there");
    let received = (csv.lines().skip(1)).map(|line| {
        let cell = line.split(',').nth(at).expect("a cell");
        cell.parse::<i64>().expect("grams")
    });
    assert_eq!(received.sum::<i64>(), total.received.get());
    assert!(!csv.contains(",=Grocer"), "{csv}");
    let page = html(&month_document(&sheet).in_language(Language::En)).expect("a page");
    assert!(!page.contains("<b>") && page.contains("&#60;b&#62;Baker"));
    let told = answered(&sheet);
    assert_eq!(told["month"], "2026");
    let months = told["months"].as_array().expect("months");
    let of_months: i64 = months
        .iter()
        .filter_map(|one| one["received_g"].as_i64())
        .sum();
    assert_eq!((months.len(), of_months), (12, total.received.get()));
    let names: Vec<&str> = month_tables(&sheet)
        .iter()
        .map(|table| table.name)
        .collect();
    assert_eq!(
        names,
        [
            "Suppliers",
            "By month",
            "Balance",
            "Destinations",
            "Trend",
            "About"
        ]
    );
}
