use serde_json::{Map, Value, json};

use crate::harvest::money::{Cost, Ledger, Product, Reckoned};

use super::money::MoneySheet;

/// A month's money: amounts in the farm's currency as numbers, weights in grams.
#[must_use]
pub fn money(sheet: &MoneySheet) -> Value {
    let of = &sheet.breakeven;
    let prices: Map<String, Value> = (of.price.iter())
        .map(|(product, price)| (product.as_str().to_owned(), figure(price)))
        .collect();
    json!({
        "schema": 1,
        "month": sheet.month,
        "currency": sheet.currency,
        "unit": sheet.units.unit().to_string(),
        "profit": sheet.ledger.profit().units(),
        "ledger": ledger(&sheet.ledger),
        "cost_per_unit": figure(&of.gross_cost),
        "net_cost_per_unit": figure(&of.net_cost),
        "break_even_price": prices,
        "break_even_gate_fee_per_tonne": figure(&of.gate_fee_per_tonne),
        "break_even_throughput_per_month": figure(&of.throughput_per_month),
        "fixed": sheet.fixed.said(),
        "levers": sheet.levers.iter().map(|lever| json!({
            "lever": lever.lever.said(), "change": lever.change,
        })).collect::<Vec<_>>(),
        "rise_of_a_tenth": sheet.bars.iter().map(|bar| json!({
            "lever": bar.lever.said(), "profit_change": bar.change,
        })).collect::<Vec<_>>(),
        "cohorts": sheet.cohorts.iter().map(|cohort| json!({
            "cohort": cohort.name, "record": cohort.record, "ledger": ledger(&cohort.ledger),
            "some_feed_without_price": cohort.without_price,
        })).collect::<Vec<_>>(),
        "drying": {
            "fresh_moisture_pct": sheet.drying.fresh.map(|share| share.pct()),
            "dried_moisture_pct": sheet.drying.dried_pct,
            "dried_per_fresh": sheet.drying.dried_per_fresh,
        },
        "without_price": sheet.unpriced.0.iter().map(|(stream, grams)| json!({
            "stream": stream, "grams": grams,
        })).collect::<Vec<_>>(),
        "money": sheet.lines.iter().map(|line| json!({
            "record": line.record, "day": line.day.to_string(), "item": line.item,
            "income": line.income, "amount": line.amount.units(), "what": line.what,
            "minutes": line.minutes, "kwh": line.kwh, "grams": line.weight,
            "party": line.party, "cohorts": line.cohorts, "by": line.by,
        })).collect::<Vec<_>>(),
    })
}

fn ledger(ledger: &Ledger) -> Value {
    let costs: Map<String, Value> = (Cost::ALL.into_iter())
        .map(|cost| {
            (
                cost.as_str().replace('-', "_"),
                json!(ledger.cost(cost).units()),
            )
        })
        .collect();
    let sales: Map<String, Value> = (Product::ALL.into_iter())
        .map(|product| {
            let sold = json!({
                "amount": ledger.sold(product).units(), "grams": ledger.sold_weight(product),
            });
            (product.as_str().to_owned(), sold)
        })
        .collect();
    json!({
        "gate_fees": ledger.gate_fees.units(),
        "taken_in_g": ledger.taken_in,
        "larvae_g": ledger.larvae,
        "sales": sales,
        "costs": costs,
        "cost": ledger.total_cost().units(),
        "income": ledger.income().units(),
    })
}

fn figure(figure: &Reckoned) -> Value {
    match figure {
        Ok(figure) => json!({"value": figure.value, "sum": figure.sum}),
        Err(none) => json!({"value": null, "not_told": none.said()}),
    }
}
