//! What a year's page says besides: its months.

use crate::quantity::Grams;
use crate::report::{Balance, MonthReport, OfYear};

use super::document::{Align, Document, Grid, Tone};
use super::month::MonthSheet;

/// Says how many months may still change.
pub(super) fn draft_of_year(document: &mut Document, sheet: &MonthSheet) {
    let open = sheet.months.iter().filter(|one| one.closed.is_none());
    let open = open.count();
    if open > 0 {
        let verb = if open == 1 { "is" } else { "are" };
        document.toned(
            Tone::Caution,
            format!("DRAFT: {open} of the 12 months {verb} not closed; figures may still change."),
        );
    }
}

/// The months of a year, each with its weights and its balance.
pub(super) fn months(document: &mut Document, sheet: &MonthSheet) {
    if sheet.months.is_empty() {
        return;
    }
    document.heading("By month");
    document.table(brought(sheet));
    document.heading("Balance by month");
    document.table(balances(sheet));
    let left_out = if sheet.months.iter().any(OfYear::is_empty) {
        " Months with nothing to tell are left out."
    } else {
        ""
    };
    document.line(format!(
        "As the book tells each month now; the year is their sum, added up without rounding.{left_out}"
    ));
    let differing: Vec<&str> = (sheet.months.iter())
        .filter(|one| one.closed.is_some_and(|(_, differs)| differs))
        .map(|one| one.report.month.as_str())
        .collect();
    if let Some(first) = differing.first() {
        document.toned(
            Tone::Caution,
            format!(
                "Handed out with other figures than the book tells now: {}. To see what changed: trayful month {first}",
                differing.join(", ")
            ),
        );
    }
}

fn came(balance: &Balance) -> Grams {
    balance.received + balance.bought + balance.water
}

fn other_ways(balance: &Balance) -> Grams {
    balance.composted
        + balance.returned
        + balance.landfilled
        + balance.picked_out
        + balance.liquor
        + balance.elsewhere
}

fn brought(sheet: &MonthSheet) -> Grid {
    let units = sheet.units;
    let mut grid = Grid::new(&[
        ("month", Align::Left),
        ("loads", Align::Right),
        ("received", Align::Right),
        ("picked out", Align::Right),
        ("refused", Align::Right),
        ("diverted", Align::Right),
        ("handed out", Align::Left),
    ]);
    let mut row = |name: &str, report: &MonthReport, closed: String| {
        let total = &report.total;
        grid.row([
            name.to_owned(),
            total.loads.to_string(),
            units.weight(total.received),
            units.weight(total.picked_out),
            units.weight(total.refused),
            units.weight(report.diverted()),
            closed,
        ]);
    };
    for one in told(sheet) {
        row(&one.report.month, &one.report, handed_out(one));
    }
    row("All", &sheet.report, String::new());
    grid
}

fn told(sheet: &MonthSheet) -> impl Iterator<Item = &OfYear> {
    sheet.months.iter().filter(|one| !one.is_empty())
}

fn handed_out(month: &OfYear) -> String {
    match month.closed {
        None => "open".to_owned(),
        Some((version, false)) => format!("version {version}"),
        Some((version, true)) => format!("version {version}, changed since"),
    }
}

fn balances(sheet: &MonthSheet) -> Grid {
    let units = sheet.units;
    let mut grid = Grid::new(&[
        ("month", Align::Left),
        ("opening", Align::Right),
        ("came", Align::Right),
        ("fed", Align::Right),
        ("other ways", Align::Right),
        ("shrink", Align::Right),
        ("closing", Align::Right),
    ]);
    let mut row = |name: &str, balance: &Balance| {
        grid.row([
            name.to_owned(),
            units.weight(balance.opening),
            units.weight(came(balance)),
            units.weight(balance.fed),
            units.weight(other_ways(balance)),
            units.weight(balance.shrink),
            units.weight(balance.closing),
        ]);
    };
    for one in told(sheet) {
        row(&one.report.month, &one.report.balance);
    }
    row("All", &sheet.report.balance);
    grid
}
