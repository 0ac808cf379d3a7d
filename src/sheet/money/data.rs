use crate::money::{Cost, Reckoned};

use super::MoneySheet;
use crate::sheet::data::{DataTable, data};

/// What was written down, the figures and the cohorts, for other programs.
pub fn money_tables(sheet: &MoneySheet) -> Vec<DataTable> {
    vec![
        payments_table(sheet),
        figures_table(sheet),
        cohorts_table(sheet),
    ]
}

/// What was written down as money, one row a record.
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
