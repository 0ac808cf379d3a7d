use crate::report::{Destination, DivertedRule, Flow, MonthReport, covered_and_apart};
use crate::words::Said;

use super::data::{Cell, DataTable};
use super::month::MonthSheet;
use super::statement::StatementSheet;

/// The month's rows, whole grams, one a supplier and stream; of a year those
/// of each of its months.
#[must_use]
pub fn month_table(sheet: &MonthSheet) -> DataTable {
    if sheet.is_year() {
        let months = sheet.months.iter();
        by_source("By month", months.map(|one| &one.report))
    } else {
        by_source("Suppliers", std::iter::once(&sheet.report))
    }
}

fn by_source<'a>(name: &'static str, reports: impl Iterator<Item = &'a MonthReport>) -> DataTable {
    let mut columns = vec![
        "month",
        "zone",
        "version",
        "supplier",
        "stream",
        "loads",
        "refused_loads",
    ];
    // Bought stock is no supplier's row, so its column would be zeros.
    columns.extend(Flow::COLUMNS.into_iter().filter(|name| *name != "bought_g"));
    columns.push("diverted_g");
    let sources = reports.flat_map(|report| {
        let each = move |supplier| (report, supplier);
        report.suppliers.iter().map(each)
    });
    let rows = sources.flat_map(|(report, supplier)| {
        supplier.streams.iter().map(move |one| {
            let flow = &one.flow;
            let mut cells = vec![
                Cell::text(&report.month),
                Cell::text(&report.zone),
                report.version.map_or(Cell::Empty, Cell::Whole),
                Cell::text(&supplier.supplier),
                Cell::text(one.stream.as_str()),
                Cell::Whole(flow.loads),
                Cell::Whole(flow.refused_loads),
            ];
            let figures = Flow::COLUMNS.into_iter().zip(flow.figures());
            let figures = figures.filter(|(name, _)| *name != "bought_g");
            cells.extend(figures.map(|(_, grams)| Cell::Whole(grams.get())));
            cells.push(Cell::Whole(flow.diverted(report.rule).get()));
            cells
        })
    });
    DataTable {
        name,
        rows: rows.collect(),
        columns,
    }
}

/// The month as the sheets of a workbook.
#[must_use]
pub fn month_tables(sheet: &MonthSheet) -> Vec<DataTable> {
    let report = &sheet.report;
    let sum = &report.balance;
    let balance = [
        ("opening stock", sum.opening),
        ("received", sum.received),
        ("bought", sum.bought),
        ("water", report.nights.water),
        ("fed", sum.fed),
        ("composted", sum.composted),
        ("returned", sum.returned),
        ("landfilled", sum.landfilled),
        ("picked out", sum.picked_out),
        ("liquor", sum.liquor),
        ("other ways", sum.elsewhere()),
        ("closing stock", sum.closing),
        ("shrink", sum.shrink),
    ];
    let trend = sheet.owner.trend.iter().map(|told| {
        vec![
            Cell::text(&told.month),
            Cell::Whole(told.received.get()),
            Cell::Whole(told.diverted.get()),
        ]
    });
    let mut tables = vec![
        by_source("Suppliers", std::iter::once(report)),
        DataTable {
            name: "Balance",
            columns: vec!["line", "grams"],
            rows: (balance.into_iter())
                .map(|(name, grams)| vec![Cell::text(name), Cell::Whole(grams.get())])
                .collect(),
        },
        destinations(&sheet.covered().0, &report.total),
        DataTable {
            name: "Trend",
            columns: vec!["month", "received_g", "diverted_g"],
            rows: trend.collect(),
        },
        DataTable {
            name: "About",
            columns: vec!["what", "value"],
            rows: vec![
                vec![Cell::text("month"), Cell::text(&report.month)],
                vec![Cell::text("zone"), Cell::text(&report.zone)],
                vec![
                    Cell::text("version"),
                    report.version.map_or(Cell::text("draft"), Cell::Whole),
                ],
                vec![
                    Cell::text("rule for diverted"),
                    Cell::text(report.rule.said().in_english()),
                ],
                vec![Cell::text("book seal"), Cell::text(&sheet.seal)],
            ],
        },
    ];
    if sheet.is_year() {
        tables.insert(1, month_table(sheet));
    }
    tables
}

/// Where what the standard covers went, and "diverted" of all by every rule.
fn destinations(flow: &Flow, total: &Flow) -> DataTable {
    let ways = Destination::ALL.map(|way| (way.said().in_english(), flow.reached(way)));
    let rules = DivertedRule::ALL.map(|rule| {
        (
            format!("diverted of all loads by the rule {}", rule.as_str()),
            total.diverted(rule),
        )
    });
    DataTable {
        name: "Destinations",
        columns: vec!["destination of the FLW Standard", "grams"],
        rows: (ways.into_iter().chain(rules))
            .map(|(name, grams)| vec![Cell::Text(name), Cell::Whole(grams.get())])
            .collect(),
    }
}

/// A statement's tickets, whole grams, one a ticket.
#[must_use]
pub fn statement_table(sheet: &StatementSheet) -> DataTable {
    let told = &sheet.statement;
    let grams = |grams: Option<crate::quantity::Grams>| {
        grams.map_or(Cell::Empty, |grams| Cell::Whole(grams.get()))
    };
    let yes_no = |yes: bool| Cell::text(if yes { "yes" } else { "no" });
    let version = sheet
        .closing
        .as_ref()
        .map_or(Cell::Empty, |closing| Cell::Whole(closing.version));
    let rows = told.tickets.iter().map(|ticket| {
        vec![
            Cell::text(&sheet.month),
            version.clone(),
            Cell::text(&told.supplier),
            Cell::Whole(ticket.number),
            Cell::text(ticket.at.strftime("%Y-%m-%d %H:%M:%S").to_string()),
            Cell::text(&sheet.zone),
            Cell::text(ticket.stream.as_str()),
            grams(ticket.gross),
            grams(ticket.tare),
            grams(Some(ticket.net)),
            grams(Some(ticket.picked_out)),
            yes_no(ticket.estimated),
            yes_no(ticket.refused.is_some()),
            Cell::text(ticket.refused.as_deref().unwrap_or_default()),
            Cell::text(
                (ticket.first.as_ref())
                    .map(Said::in_english)
                    .unwrap_or_default(),
            ),
            yes_no(sheet.verified_scale.is_some()),
            Cell::text(&sheet.seal),
        ]
    });
    DataTable {
        name: "Tickets",
        columns: vec![
            "month",
            "version",
            "supplier",
            "ticket",
            "weighed_at",
            "zone",
            "stream",
            "gross_g",
            "tare_g",
            "net_g",
            "picked_out_g",
            "estimated",
            "refused",
            "why_refused",
            "first_written_as",
            "verified_scale",
            "book_seal",
        ],
        rows: rows.collect(),
    }
}

/// A statement as the sheets of a workbook.
#[must_use]
pub fn statement_tables(sheet: &StatementSheet) -> Vec<DataTable> {
    let told = &sheet.statement;
    let rows = told.streams.iter().map(|one| {
        let mut cells = vec![
            Cell::text(one.stream.as_str()),
            Cell::Whole(one.flow.loads),
            Cell::Whole(one.flow.refused_loads),
        ];
        cells.extend(
            [
                one.flow.received,
                one.flow.estimated,
                one.flow.picked_out,
                one.flow.refused,
                one.flow.diverted(sheet.rule),
            ]
            .map(|grams| Cell::Whole(grams.get())),
        );
        cells
    });
    vec![
        DataTable {
            name: "Streams",
            columns: vec![
                "stream",
                "loads",
                "refused_loads",
                "received_g",
                "estimated_g",
                "picked_out_g",
                "refused_g",
                "diverted_g",
            ],
            rows: rows.collect(),
        },
        statement_table(sheet),
        destinations(
            &covered_and_apart(&told.streams, &sheet.not_food).0,
            &told.flow,
        ),
        DataTable {
            name: "About",
            columns: vec!["what", "value"],
            rows: vec![
                vec![Cell::text("supplier"), Cell::text(&told.supplier)],
                vec![Cell::text("month"), Cell::text(&sheet.month)],
                vec![
                    Cell::text("from"),
                    Cell::text(sheet.issuer.as_deref().unwrap_or_default()),
                ],
                vec![
                    Cell::text("scale"),
                    Cell::text(
                        sheet
                            .verified_scale
                            .as_deref()
                            .unwrap_or("not weighed on a verified scale"),
                    ),
                ],
                vec![
                    Cell::text("rule for diverted"),
                    Cell::text(sheet.rule.said().in_english()),
                ],
                vec![Cell::text("book seal"), Cell::text(&sheet.seal)],
            ],
        },
    ]
}
