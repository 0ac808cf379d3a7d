use std::collections::BTreeMap;

use super::sheet::{MonthSheet, StatementSheet};
use crate::quantity::Grams;
use crate::quantity::wire::{each, view};
use crate::report::methane::{Avoided, LeftOut, MethaneLine, MethaneTold, decomposed_after};
use crate::report::{
    Change, Closing, Destination, DivertedRule, Flow, MonthReport, Numbers, OfYear,
    StatementTicket, StreamMonth, SupplierMonth, TrendMonth, resolution_kg,
};
use crate::sheet::data::{Cell, DataTable, data};
use crate::stream::StreamId;
use crate::words::{Said, say};

/// The month's rows, whole grams, one a supplier and stream; of a year those
/// of each of its months.
pub fn month_table(sheet: &MonthSheet) -> DataTable {
    if sheet.is_year() {
        by_source("By month", sheet.months.iter().map(|one| &one.report))
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
pub(super) fn destinations(flow: &Flow, total: &Flow) -> DataTable {
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
        "scale" => ticket.scale.as_ref(),
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

view! {
    /// A month, all weights in whole grams.
    pub Month(sheet: &MonthSheet) {
        #[serde(flatten)]
        total: Sums = Sums::from((&sheet.report.total, sheet.report.rule)),
        month: String = sheet.report.month.clone(),
        zone: String = sheet.report.zone.clone(),
        version: Option<i64> = sheet.report.version,
        closed: Option<Closing> = sheet.around.closing.clone(),
        changed_since: Vec<Change> = sheet.pending.clone(),
        seal: String = sheet.around.seal.clone(),
        suppliers: Vec<SupplierSums> =
            sheet.report.suppliers.iter().map(|one| SupplierSums::from((one, sheet.report.rule))).collect(),
        destinations: Went = Went::from(&sheet.report.total),
        flw_destinations_g: BTreeMap<String, Grams> =
            Destination::ALL.into_iter().map(|way| (way.said().in_english(), sheet.covered().0.reached(way))).collect(),
        flw_apart: Vec<StreamSums> =
            sheet.covered().1.iter().map(|(stream, flow)| StreamSums::from((*stream, flow, sheet.report.rule))).collect(),
        balance: BalanceTold = BalanceTold::from(&sheet.report),
        scale_explains_kg: f64 = 2.0 * resolution_kg(&sheet.around.weighed, None),
        trend: Vec<TrendMonth> = sheet.owner.trend.clone(),
        weekdays_g: Vec<Grams> = sheet.owner.weekdays.to_vec(),
        spoiled_share: Option<f64> = sheet.owner.spoiled.share(),
        diverted_by_rule_g: BTreeMap<&'static str, Grams> =
            DivertedRule::ALL.iter().map(|rule| (rule.as_str(), sheet.report.total.diverted(*rule))).collect(),
        diverted_rule: Said = sheet.report.rule.said(),
        methane: Option<Methane> = sheet.around.methane.as_ref().map(Methane::from),
        /// The twelve months of a year.
        #[serde(skip_serializing_if = "Option::is_none")]
        months: Option<Vec<MonthOfYear>> = sheet.is_year().then(|| each(&sheet.months)),
    }

    MonthOfYear(of: &OfYear) {
        #[serde(flatten)]
        total: Sums = Sums::from((&of.report.total, of.report.rule)),
        month: String = of.report.month.clone(),
        balance: BalanceTold = BalanceTold::from(&of.report),
        closed_version: Option<i64> = of.closed.map(|(version, _)| version),
        changed_since: Option<bool> = of.closed.map(|(_, differs)| differs),
    }

    pub(super) SupplierSums((one, rule): (&SupplierMonth, DivertedRule)) {
        #[serde(flatten)]
        total: Sums = Sums::from((&one.flow, rule)),
        supplier: String = one.supplier.clone(),
        streams: Vec<StreamSums> = streams(&one.streams, rule),
    }

    StreamSums((stream, flow, rule): (&StreamId, &Flow, DivertedRule)) {
        #[serde(flatten)]
        total: Sums = Sums::from((flow, rule)),
        stream: StreamId = stream.clone(),
    }

    pub(super) Sums((flow, rule): (&Flow, DivertedRule)) {
        received_g: Grams = flow.received, estimated_g: Grams = flow.estimated,
        picked_out_g: Grams = flow.picked_out, refused_g: Grams = flow.refused,
        diverted_g: Grams = flow.diverted(rule),
        loads: i64 = flow.loads, refused_loads: i64 = flow.refused_loads,
    }

    pub(super) Went(went: &Flow) {
        fed_g: Grams = went.fed, composted_g: Grams = went.composted,
        returned_g: Grams = went.returned, landfilled_g: Grams = went.landfilled,
        liquor_g: Grams = went.liquor, picked_out_g: Grams = went.picked_out,
        elsewhere_g: Grams = went.elsewhere(), refused_g: Grams = went.refused,
    }

    pub(super) BalanceTold(of: &MonthReport) {
        opening_g: Grams = of.balance.opening, received_g: Grams = of.balance.received,
        bought_g: Grams = of.balance.bought, water_g: Grams = of.nights.water,
        fed_g: Grams = of.balance.fed, composted_g: Grams = of.balance.composted,
        returned_g: Grams = of.balance.returned, landfilled_g: Grams = of.balance.landfilled,
        picked_out_g: Grams = of.balance.picked_out, liquor_g: Grams = of.balance.liquor,
        elsewhere_g: Grams = of.balance.elsewhere(),
        closing_g: Grams = of.balance.closing, shrink_g: Grams = of.balance.shrink,
    }

    /// A supplier's statement, all weights in whole grams.
    pub Statement(sheet: &StatementSheet) {
        #[serde(flatten)]
        total: Sums = Sums::from((&sheet.statement.flow, sheet.rule)),
        supplier: String = sheet.statement.supplier.clone(),
        month: String, zone: String,
        from: Option<String> = sheet.around.issuer.clone(),
        verified_scale: Option<String> = sheet.around.verified_scale.clone(),
        closed: Option<Closing> = sheet.around.closing.clone(),
        changes: Vec<Change> = sheet.statement.changes.clone(),
        streams: Vec<StreamSums> = streams(&sheet.statement.streams, sheet.rule),
        tickets: Vec<StatementTicket> = sheet.statement.tickets.clone(),
        numbers: Option<Numbers> = sheet.statement.numbers.clone(),
        diverted_rule: Said = sheet.rule.said(),
        methane: Option<Methane> = sheet.around.methane.as_ref().map(Methane::from),
        seal: String = sheet.around.seal.clone(),
    }

    Methane(told: &MethaneTold) {
        gwp: Said = told.gwp.said(),
        climate: &'static str = told.climate.as_str(),
        captured: (f64, f64),
        suppliers: Vec<MethaneOf> = told.lines.iter().map(|line| MethaneOf::from((line, told))).collect(),
    }

    MethaneOf((line, told): (&MethaneLine, &MethaneTold)) {
        supplier: String = line.supplier.clone(),
        former_outlet: &'static str = line.outlet.as_str(),
        diverted_kg: f64 = line.diverted_kg,
        dry_kg: f64 = line.dry_kg,
        left_out: Vec<LeftOut> = line.left_out.clone(),
        lifetime_ch4_kg: Option<[f64; 2]> = avoided(line).ok(),
        lifetime_co2e_kg: Option<[f64; 2]> = avoided(line).ok().map(|ends| ends.map(|kg| kg * told.gwp.factor())),
        first_year_ch4_kg: Option<[f64; 2]> =
            avoided(line).ok().map(|ends| ends.map(|kg| kg * decomposed_after(1, told.climate.decay()))),
        why: Option<&'static str> = match line.avoided {
            Avoided::Nothing => Some("was not landfilled"),
            _ => avoided(line).err(),
        },
    }
}

fn streams(streams: &[StreamMonth], rule: DivertedRule) -> Vec<StreamSums> {
    let each = streams.iter();
    each.map(|one| StreamSums::from((&one.stream, &one.flow, rule)))
        .collect()
}

/// The ends of the range in kilograms, or why there is none.
fn avoided(line: &MethaneLine) -> Result<[f64; 2], &'static str> {
    match line.avoided {
        Avoided::Range { low_kg, high_kg } => Ok([low_kg, high_kg]),
        Avoided::Nothing => Ok([0.0, 0.0]),
        Avoided::Unknown => Err("former outlet not known"),
        Avoided::Mandated => Err("diversion is the law"),
        Avoided::NoWeight => Err("nothing diverted"),
        Avoided::LeftOut => Err("no stream with a figure"),
    }
}
