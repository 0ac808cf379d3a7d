use std::collections::BTreeMap;

use super::{CohortCost, Drying, MoneySheet, PaymentLine};
use crate::money::{Bar, Cost, Ledger, Move, Product, Reckoned};
use crate::quantity::wire::{each, view};
use crate::quantity::{Grams, MassUnit};
use crate::sheet::data::{DataTable, data};
use crate::stream::StreamId;
use crate::words::Said;

pub fn money_tables(sheet: &MoneySheet) -> Vec<DataTable> {
    vec![
        payments_table(sheet),
        figures_table(sheet),
        cohorts_table(sheet),
    ]
}

pub fn payments_table(sheet: &MoneySheet) -> DataTable {
    data!("Money", for line in &sheet.lines => {
        "record" => line.record,
        "day" => line.day,
        "item" => line.item,
        "way" => if line.income { "in" } else { "out" },
        "amount" => line.amount,
        "what" => line.what.as_ref(),
        "minutes" => line.minutes,
        "kwh" => line.kwh,
        "grams" => line.weight,
        "party" => line.party.as_ref(),
        "cohorts" => line.cohorts.join(" "),
        "by" => &line.by,
    })
}

fn figures_table(sheet: &MoneySheet) -> DataTable {
    let of = &sheet.breakeven;
    let named = |name: &str, figure| (name.to_owned(), figure);
    let cost = [
        named("cost", &of.gross_cost),
        named("cost less gate fees and frass", &of.net_cost),
    ];
    let price = |product: &str| format!("break-even price, {product}");
    let prices = (of.price.iter()).map(|(product, figure)| (price(product.as_str()), figure));
    let rest: [(String, &Reckoned); 2] = [
        named("break-even gate fee, a tonne", &of.gate_fee_per_tonne),
        named("break-even throughput, a month", &of.throughput_per_month),
    ];
    data!("Figures", for (name, figure) in cost.into_iter().chain(prices).chain(rest) => {
        "figure" => name,
        "value" => figure.as_ref().ok().map(|figure| figure.value),
        "sum" => match figure {
            Ok(figure) => figure.sum.in_english(),
            Err(none) => none.in_english(),
        },
    })
}

fn cohorts_table(sheet: &MoneySheet) -> DataTable {
    data!("Cohorts", for cohort in &sheet.cohorts => {
        let ledger = &cohort.ledger;
        "cohort" => &cohort.name,
        "larvae_g" => ledger.larvae,
        "bought_feed" => ledger.cost(Cost::BoughtFeed),
        "labour" => ledger.cost(Cost::Labour),
        "energy" => ledger.cost(Cost::Energy),
        "packaging" => ledger.cost(Cost::Packaging),
        "disposal" => ledger.cost(Cost::Disposal),
        "other" => ledger.cost(Cost::Other),
        "cost" => ledger.total_cost(),
        "income" => ledger.income(),
    })
}

view! {
    /// A month's money: amounts in the farm's currency as numbers, weights in grams.
    pub Money(sheet: &MoneySheet) {
        month: String, currency: String,
        unit: MassUnit = sheet.units.unit(),
        profit: f64 = sheet.ledger.profit().units(),
        ledger: LedgerTold = LedgerTold::from(&sheet.ledger),
        cost_per_unit: Figure = Figure::from(&sheet.breakeven.gross_cost),
        net_cost_per_unit: Figure = Figure::from(&sheet.breakeven.net_cost),
        break_even_price: BTreeMap<&'static str, Figure> =
            sheet.breakeven.price.iter().map(|(product, price)| (product.as_str(), price.into())).collect(),
        break_even_gate_fee_per_tonne: Figure = Figure::from(&sheet.breakeven.gate_fee_per_tonne),
        break_even_throughput_per_month: Figure = Figure::from(&sheet.breakeven.throughput_per_month),
        fixed: Said = sheet.fixed.said(),
        levers: Vec<Lever> = each(&sheet.levers),
        rise_of_a_tenth: Vec<Rise> = each(&sheet.bars),
        cohorts: Vec<CohortMoney> = each(&sheet.cohorts),
        drying: Drying,
        without_price: Vec<WithoutPrice> = each(&sheet.unpriced.0),
        money: Vec<PaymentLine> = sheet.lines.clone(),
    }

    Lever(of: &Move) {
        lever: Said = of.lever.said(),
        change: Option<f64>,
    }

    Rise(bar: &Bar) {
        lever: Said = bar.lever.said(),
        profit_change: f64 = bar.change,
    }

    CohortMoney(of: &CohortCost) {
        cohort: String = of.name.clone(),
        record: i64,
        ledger: LedgerTold = LedgerTold::from(&of.ledger),
        some_feed_without_price: bool = of.without_price,
    }

    WithoutPrice((stream, grams): &(StreamId, Grams)) {
        stream: StreamId = stream.clone(),
        grams: Grams = *grams,
    }

    LedgerTold(ledger: &Ledger) {
        gate_fees: f64 = ledger.gate_fees.units(),
        taken_in_g: Grams = ledger.taken_in,
        larvae_g: Grams = ledger.larvae,
        sales: BTreeMap<&'static str, Sold> =
            Product::ALL.iter().map(|of| (of.as_str(), Sold::from((ledger, *of)))).collect(),
        costs: BTreeMap<String, f64> =
            Cost::ALL.iter().map(|of| (of.as_str().replace('-', "_"), ledger.cost(*of).units())).collect(),
        cost: f64 = ledger.total_cost().units(),
        income: f64 = ledger.income().units(),
    }

    Sold((ledger, product): (&Ledger, Product)) {
        amount: f64 = ledger.sold(product).units(),
        grams: Grams = ledger.sold_weight(product),
    }

    /// A figure with its sum, or why there is none.
    Figure(of: &Reckoned) {
        value: Option<f64> = of.as_ref().ok().map(|of| of.value),
        #[serde(skip_serializing_if = "Option::is_none")]
        sum: Option<Said> = of.as_ref().ok().map(|of| of.sum.clone()),
        #[serde(skip_serializing_if = "Option::is_none")]
        not_told: Option<Said> = of.clone().err(),
    }
}
