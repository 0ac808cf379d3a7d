use std::collections::BTreeMap;

use crate::quantity::Grams;
use crate::quantity::wire::{each, view};
use crate::report::methane::{Avoided, MethaneLine, MethaneTold, decomposed_after};
use crate::report::{
    Change, Closing, Destination, DivertedRule, Flow, MonthReport, Numbers, OfYear,
    StatementTicket, StreamMonth, SupplierMonth, TrendMonth, resolution_kg,
};
use crate::stream::StreamId;
use crate::words::Said;

use super::sheet::MonthSheet;
use super::statement::StatementSheet;

view! {
    /// A month, all weights in whole grams.
    pub Month(sheet: &MonthSheet) {
        #[serde(flatten)]
        total: Sums = Sums::from((&sheet.report.total, sheet.report.rule)),
        month: String = sheet.report.month.clone(),
        zone: String = sheet.report.zone.clone(),
        version: Option<i64> = sheet.report.version,
        closed: Option<Closed> = sheet.closing.as_ref().map(Closed::from),
        changed_since: Vec<Changed> = each(&sheet.pending),
        seal: String,
        suppliers: Vec<SupplierSums> =
            sheet.report.suppliers.iter().map(|one| SupplierSums::from((one, sheet.report.rule))).collect(),
        destinations: Went = Went::from(&sheet.report.total),
        flw_destinations_g: BTreeMap<String, Grams> =
            Destination::ALL.into_iter().map(|way| (way.said().in_english(), sheet.covered().0.reached(way))).collect(),
        flw_apart: Vec<StreamSums> =
            sheet.covered().1.iter().map(|(stream, flow)| StreamSums::from((*stream, flow, sheet.report.rule))).collect(),
        balance: BalanceTold = BalanceTold::from(&sheet.report),
        scale_explains_kg: f64 = 2.0 * resolution_kg(&sheet.weighed, None),
        trend: Vec<Trend> = each(&sheet.owner.trend),
        weekdays_g: Vec<Grams> = sheet.owner.weekdays.to_vec(),
        spoiled_share: Option<f64> = sheet.owner.spoiled.share(),
        diverted_by_rule_g: BTreeMap<&'static str, Grams> =
            DivertedRule::ALL.iter().map(|rule| (rule.as_str(), sheet.report.total.diverted(*rule))).collect(),
        diverted_rule: Said = sheet.report.rule.said(),
        methane: Option<Methane> = sheet.methane.as_ref().map(Methane::from),
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

    SupplierSums((one, rule): (&SupplierMonth, DivertedRule)) {
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

    Sums((flow, rule): (&Flow, DivertedRule)) {
        received_g: Grams = flow.received, estimated_g: Grams = flow.estimated,
        picked_out_g: Grams = flow.picked_out, refused_g: Grams = flow.refused,
        diverted_g: Grams = flow.diverted(rule),
        loads: i64 = flow.loads, refused_loads: i64 = flow.refused_loads,
    }

    Went(went: &Flow) {
        fed_g: Grams = went.fed, composted_g: Grams = went.composted,
        returned_g: Grams = went.returned, landfilled_g: Grams = went.landfilled,
        liquor_g: Grams = went.liquor, picked_out_g: Grams = went.picked_out,
        elsewhere_g: Grams = went.elsewhere(), refused_g: Grams = went.refused,
    }

    BalanceTold(of: &MonthReport) {
        opening_g: Grams = of.balance.opening, received_g: Grams = of.balance.received,
        bought_g: Grams = of.balance.bought, water_g: Grams = of.nights.water,
        fed_g: Grams = of.balance.fed, composted_g: Grams = of.balance.composted,
        returned_g: Grams = of.balance.returned, landfilled_g: Grams = of.balance.landfilled,
        picked_out_g: Grams = of.balance.picked_out, liquor_g: Grams = of.balance.liquor,
        elsewhere_g: Grams = of.balance.elsewhere(),
        closing_g: Grams = of.balance.closing, shrink_g: Grams = of.balance.shrink,
    }

    Trend(of: &TrendMonth) {
        month: String,
        received_g: Grams = of.received,
        diverted_g: Grams = of.diverted,
    }

    /// A supplier's statement, all weights in whole grams.
    pub Statement(sheet: &StatementSheet) {
        #[serde(flatten)]
        total: Sums = Sums::from((&sheet.statement.flow, sheet.rule)),
        supplier: String = sheet.statement.supplier.clone(),
        month: String, zone: String,
        from: Option<String> = sheet.issuer.clone(),
        verified_scale: Option<String>,
        closed: Option<Closed> = sheet.closing.as_ref().map(Closed::from),
        changes: Vec<Changed> = each(&sheet.statement.changes),
        streams: Vec<StreamSums> = streams(&sheet.statement.streams, sheet.rule),
        tickets: Vec<TicketLine> = each(&sheet.statement.tickets),
        numbers: Option<NumbersTold> = sheet.statement.numbers.as_ref().map(NumbersTold::from),
        diverted_rule: Said = sheet.rule.said(),
        methane: Option<Methane> = sheet.methane.as_ref().map(Methane::from),
        seal: String,
    }

    TicketLine(ticket: &StatementTicket) {
        ticket: i64 = ticket.number,
        weighed_at: String = ticket.at.to_string(),
        stream: StreamId,
        gross_g: Option<Grams> = ticket.gross,
        tare_g: Option<Grams> = ticket.tare,
        net_g: Grams = ticket.net,
        picked_out_g: Grams = ticket.picked_out,
        estimated: bool, refused: Option<String>,
        first_written_as: Option<String> = ticket.first.as_ref().map(Said::in_english),
    }

    NumbersTold(of: &Numbers) {
        first: i64, last: i64, listed: i64,
        struck: Vec<StruckTicket> = each(&of.struck),
        other_month: Vec<i64>, other: i64, missing: Vec<i64>,
    }

    StruckTicket((ticket, why): &(i64, String)) {
        ticket: i64 = *ticket,
        why: String = why.clone(),
    }

    Closed(closing: &Closing) {
        version: i64, by: String, at: String, why: Option<String>,
        changes: Vec<Changed> = each(&closing.changes),
        corrections: Vec<Said>,
    }

    Changed(change: &Change) {
        supplier: String, stream: Option<StreamId>, figure: &'static str,
        unit: &'static str = if change.is_weight { "g" } else { "loads" },
        before: Grams, now: Grams,
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
        left_out: Vec<LeftOut> = each(&line.left_out),
        lifetime_ch4_kg: Option<[f64; 2]> = avoided(line).ok(),
        lifetime_co2e_kg: Option<[f64; 2]> = avoided(line).ok().map(|ends| ends.map(|kg| kg * told.gwp.factor())),
        first_year_ch4_kg: Option<[f64; 2]> =
            avoided(line).ok().map(|ends| ends.map(|kg| kg * decomposed_after(1, told.climate.decay()))),
        why: Option<&'static str> = match line.avoided {
            Avoided::Nothing => Some("was not landfilled"),
            _ => avoided(line).err(),
        },
    }

    LeftOut((stream, kg, why): &(StreamId, f64, Said)) {
        stream: StreamId = stream.clone(),
        kg: f64 = *kg,
        why: Said = why.clone(),
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
