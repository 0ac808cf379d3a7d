use serde_json::{Value, json};

use crate::report::methane::{Avoided, MethaneLine, MethaneTold, decomposed_after};
use crate::report::{
    Balance, Change, Closing, Destination, DivertedRule, Flow, OfYear, StreamMonth, resolution_kg,
};

use super::json::extend;
use super::month::MonthSheet;
use super::statement::StatementSheet;

/// A month, all weights in whole grams.
#[must_use]
pub fn month(sheet: &MonthSheet) -> Value {
    let report = &sheet.report;
    let went = report.destinations;
    let mut value = flow(&report.total, report.rule);
    let (covered, apart) = sheet.covered();
    let standard: serde_json::Map<String, Value> = (Destination::ALL.into_iter())
        .map(|way| (way.said().in_english(), json!(covered.reached(way))))
        .collect();
    let rules: serde_json::Map<String, Value> = (DivertedRule::ALL.iter())
        .map(|rule| {
            (
                rule.as_str().to_owned(),
                json!(report.total.diverted(*rule)),
            )
        })
        .collect();
    let rest = json!({
        "schema": 1,
        "month": report.month,
        "zone": report.zone,
        "version": report.version,
        "closed": sheet.closing.as_ref().map(closed),
        "changed_since": sheet.pending.iter().map(change).collect::<Vec<_>>(),
        "seal": sheet.seal,
        "suppliers": report.suppliers.iter().map(|supplier| {
            let mut value = flow(&supplier.flow, report.rule);
            extend(&mut value, json!({
                "supplier": supplier.supplier,
                "streams": streams(&supplier.streams, report.rule),
            }));
            value
        }).collect::<Vec<_>>(),
        "destinations": {
            "fed_g": went.fed, "composted_g": went.composted, "returned_g": went.returned, "landfilled_g": went.landfilled,
            "liquor_g": went.liquor, "picked_out_g": went.picked_out, "elsewhere_g": went.elsewhere, "refused_g": went.refused,
        },
        "flw_destinations_g": standard,
        "flw_apart": apart.into_iter().map(|(stream, of)| {
            let mut value = flow(&of, report.rule);
            extend(&mut value, json!({"stream": stream}));
            value
        }).collect::<Vec<_>>(),
        "balance": balance(&report.balance),
        "scale_explains_kg": 2.0 * resolution_kg(&sheet.weighed, None),
        "trend": sheet.owner.trend.iter().map(|told| json!({"month": told.month, "received_g": told.received, "diverted_g": told.diverted})).collect::<Vec<_>>(),
        "weekdays_g": sheet.owner.weekdays,
        "spoiled_share": sheet.owner.spoiled.share(),
        "diverted_by_rule_g": rules,
        "diverted_rule": report.rule.said(),
        "methane": sheet.methane.as_ref().map(methane),
    });
    extend(&mut value, rest);
    if sheet.is_year() {
        let months: Vec<Value> = sheet.months.iter().map(of_year).collect();
        extend(&mut value, json!({"months": months}));
    }
    value
}

fn of_year(month: &OfYear) -> Value {
    let report = &month.report;
    let mut value = flow(&report.total, report.rule);
    extend(
        &mut value,
        json!({
            "month": report.month,
            "balance": balance(&report.balance),
            "closed_version": month.closed.map(|(version, _)| version),
            "changed_since": month.closed.map(|(_, differs)| differs),
        }),
    );
    value
}

fn balance(sum: &Balance) -> Value {
    json!({
        "opening_g": sum.opening, "received_g": sum.received, "bought_g": sum.bought, "water_g": sum.water, "fed_g": sum.fed,
        "composted_g": sum.composted, "returned_g": sum.returned, "landfilled_g": sum.landfilled, "picked_out_g": sum.picked_out,
        "liquor_g": sum.liquor, "elsewhere_g": sum.elsewhere, "closing_g": sum.closing, "shrink_g": sum.shrink,
    })
}

/// A supplier's statement, all weights in whole grams.
#[must_use]
pub fn statement(sheet: &StatementSheet) -> Value {
    let told = &sheet.statement;
    let mut value = flow(&told.flow, sheet.rule);
    let rest = json!({
        "schema": 1,
        "supplier": told.supplier,
        "month": sheet.month,
        "zone": sheet.zone,
        "from": sheet.issuer,
        "verified_scale": sheet.verified_scale,
        "closed": sheet.closing.as_ref().map(closed),
        "changes": told.changes.iter().map(change).collect::<Vec<_>>(),
        "streams": streams(&told.streams, sheet.rule),
        "tickets": told.tickets.iter().map(|ticket| json!({
            "ticket": ticket.number, "weighed_at": ticket.at.to_string(), "stream": ticket.stream, "gross_g": ticket.gross,
            "tare_g": ticket.tare, "net_g": ticket.net, "picked_out_g": ticket.picked_out, "estimated": ticket.estimated,
            "refused": ticket.refused, "first_written_as": ticket.first,
        })).collect::<Vec<_>>(),
        "numbers": told.numbers.as_ref().map(|numbers| json!({
            "first": numbers.first, "last": numbers.last, "listed": numbers.listed,
            "struck": numbers.struck.iter().map(|(number, why)| json!({"ticket": number, "why": why})).collect::<Vec<_>>(),
            "other_month": numbers.other_month, "other": numbers.other, "missing": numbers.missing,
        })),
        "diverted_rule": sheet.rule.said(),
        "methane": sheet.methane.as_ref().map(methane),
        "seal": sheet.seal,
    });
    extend(&mut value, rest);
    value
}

fn streams(streams: &[StreamMonth], rule: DivertedRule) -> Vec<Value> {
    let one = |one: &StreamMonth| {
        let mut value = flow(&one.flow, rule);
        extend(&mut value, json!({"stream": one.stream}));
        value
    };
    streams.iter().map(one).collect()
}

fn closed(closing: &Closing) -> Value {
    json!({
        "version": closing.version, "by": closing.by, "at": closing.at, "why": closing.why,
        "changes": closing.changes.iter().map(change).collect::<Vec<_>>(), "corrections": closing.corrections,
    })
}

fn change(change: &Change) -> Value {
    json!({
        "supplier": change.supplier, "stream": change.stream, "figure": change.figure,
        "unit": if change.is_weight { "g" } else { "loads" }, "before": change.before, "now": change.now,
    })
}

fn methane(told: &MethaneTold) -> Value {
    let line = |line: &MethaneLine| {
        let (range, why) = match line.avoided {
            Avoided::Range { low_kg, high_kg } => (Some([low_kg, high_kg]), None),
            Avoided::Nothing => (Some([0.0, 0.0]), Some("was not landfilled")),
            Avoided::Unknown => (None, Some("former outlet not known")),
            Avoided::Mandated => (None, Some("diversion is the law")),
            Avoided::NoWeight => (None, Some("nothing diverted")),
            Avoided::LeftOut => (None, Some("no stream with a figure")),
        };
        json!({
            "supplier": line.supplier, "former_outlet": line.outlet.as_str(), "diverted_kg": line.diverted_kg,
            "dry_kg": line.dry_kg,
            "left_out": line.left_out.iter().map(|(stream, kg, why)| json!({"stream": stream, "kg": kg, "why": why})).collect::<Vec<_>>(),
            "lifetime_ch4_kg": range, "lifetime_co2e_kg": range.map(|ends| ends.map(|kg| kg * told.gwp.factor())),
            "first_year_ch4_kg": range.map(|ends| ends.map(|kg| kg * decomposed_after(1, told.climate.decay()))), "why": why,
        })
    };
    json!({
        "gwp": told.gwp.said(), "climate": told.climate.as_str(), "captured": [told.captured.0, told.captured.1],
        "suppliers": told.lines.iter().map(line).collect::<Vec<_>>(),
    })
}

fn flow(flow: &Flow, rule: DivertedRule) -> Value {
    json!({
        "received_g": flow.received,
        "estimated_g": flow.estimated,
        "picked_out_g": flow.picked_out,
        "refused_g": flow.refused,
        "diverted_g": flow.diverted(rule),
        "loads": flow.loads,
        "refused_loads": flow.refused_loads,
    })
}
