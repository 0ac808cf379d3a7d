use std::collections::BTreeMap;

use crate::quantity::Grams;
use crate::quantity::wire::{each, view};
use crate::report::methane::{Avoided, LeftOut, MethaneLine, MethaneTold, decomposed_after};
use crate::report::{
    Change, Closing, Destination, DivertedRule, Flow, MonthReport, Numbers, OfYear,
    StatementTicket, StreamMonth, SupplierMonth, TrendMonth, resolution_kg,
};
use crate::stream::StreamId;
use crate::words::Said;

use super::sheet::{MonthSheet, StatementSheet};

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
