use crate::report::{Destination, DivertedRule, Flow, MonthReport};
use crate::words::say;

use super::sheet::MonthSheet;
use super::sheet::StatementSheet;
use crate::sheet::data::{Cell, DataTable, data};

/// The month's rows, whole grams, one a supplier and stream; of a year those
/// of each of its months.
pub fn month_table(sheet: &MonthSheet) -> DataTable {
    if sheet.is_year() {
        let months = sheet.months.iter();
        by_source("By month", months.map(|one| &one.report))
    } else {
        by_source("Suppliers", std::iter::once(&sheet.report))
    }
}

fn by_source<'a>(name: &'static str, reports: impl Iterator<Item = &'a MonthReport>) -> DataTable {
    let sources = reports.flat_map(|report| {
        let suppliers = report.suppliers.iter();
        suppliers.flat_map(move |one| one.streams.iter().map(move |of| (report, one, of)))
    });
    data!(name, for (report, supplier, one) in sources => {
        "month" => &report.month,
        "zone" => &report.zone,
        "version" => report.version,
        "supplier" => &supplier.supplier,
        "stream" => &one.stream,
        "loads" => one.flow.loads,
        "refused_loads" => one.flow.refused_loads,
        ..Flow::default().columns().map(|(column, _)| column) =>
            one.flow.columns().map(|(_, grams)| grams),
        "diverted_g" => one.flow.diverted(report.rule),
    })
}

pub fn month_tables(sheet: &MonthSheet) -> Vec<DataTable> {
    let report = &sheet.report;
    let (comes, goes) = report.balance_lines();
    let mut tables = vec![
        by_source("Suppliers", std::iter::once(report)),
        data!("Balance", for (line, grams) in comes.into_iter().chain(goes) => {
            "line" => say!("balance-line", line),
            "grams" => grams,
        }),
        destinations(&sheet.covered().0, &report.total),
        data!("Trend", for told in &sheet.owner.trend => {
            "month" => &told.month,
            "received_g" => told.received,
            "diverted_g" => told.diverted,
        }),
        about([
            ("month", Cell::from(&report.month)),
            ("zone", Cell::from(&report.zone)),
            (
                "version",
                report.version.map_or(Cell::text("draft"), Cell::from),
            ),
            ("rule for diverted", report.rule.said().into()),
            ("book seal", Cell::from(&sheet.around.seal)),
        ]),
    ];
    if sheet.is_year() {
        tables.insert(1, month_table(sheet));
    }
    tables
}

fn about<const N: usize>(told: [(&str, Cell); N]) -> DataTable {
    data!("About", for (what, value) in told => { "what" => what, "value" => value })
}

/// Where what the standard covers went, and "diverted" of all by every rule.
fn destinations(flow: &Flow, total: &Flow) -> DataTable {
    let ways = Destination::ALL.map(|way| (way.said().in_english(), flow.reached(way)));
    let rules = DivertedRule::ALL.map(|rule| {
        let name = format!("diverted of all loads by the rule {}", rule.as_str());
        (name, total.diverted(rule))
    });
    data!("Destinations", for (name, grams) in ways.into_iter().chain(rules) => {
        "destination of the FLW Standard" => name,
        "grams" => grams,
    })
}

/// A statement's tickets, whole grams, one a ticket.
pub fn statement_table(sheet: &StatementSheet) -> DataTable {
    let told = &sheet.statement;
    data!("Tickets", for ticket in &told.tickets => {
        "month" => &sheet.month,
        "version" => sheet.around.closing.as_ref().map(|closing| closing.version),
        "supplier" => &told.supplier,
        "ticket" => ticket.number,
        "weighed_at" => ticket.weighed_at.strftime("%Y-%m-%d %H:%M:%S").to_string(),
        "zone" => &sheet.zone,
        "stream" => &ticket.stream,
        "gross_g" => ticket.gross_g,
        "tare_g" => ticket.tare_g,
        "net_g" => ticket.net_g,
        "picked_out_g" => ticket.picked_out_g,
        "estimated" => ticket.estimated,
        "refused" => ticket.refused.is_some(),
        "why_refused" => ticket.refused.as_ref(),
        "first_written_as" => ticket.first_written_as.as_ref(),
        "verified_scale" => sheet.around.verified_scale.is_some(),
        "book_seal" => &sheet.around.seal,
    })
}

pub fn statement_tables(sheet: &StatementSheet) -> Vec<DataTable> {
    let told = &sheet.statement;
    let scale = sheet.around.verified_scale.as_deref();
    vec![
        data!("Streams", for one in &told.streams => {
            "stream" => &one.stream,
            "loads" => one.flow.loads,
            "refused_loads" => one.flow.refused_loads,
            "received_g" => one.flow.received,
            "estimated_g" => one.flow.estimated,
            "picked_out_g" => one.flow.picked_out,
            "refused_g" => one.flow.refused,
            "diverted_g" => one.flow.diverted(sheet.rule),
        }),
        statement_table(sheet),
        destinations(&sheet.covered().0, &told.flow),
        about([
            ("supplier", Cell::from(&told.supplier)),
            ("month", Cell::from(&sheet.month)),
            ("from", sheet.around.issuer.as_ref().into()),
            (
                "scale",
                Cell::from(scale.unwrap_or("not weighed on a verified scale")),
            ),
            ("rule for diverted", sheet.rule.said().into()),
            ("book seal", Cell::from(&sheet.around.seal)),
        ]),
    ]
}
