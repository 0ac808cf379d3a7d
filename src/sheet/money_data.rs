use crate::harvest::money::{Cost, Reckoned};
use crate::quantity::Money;

use super::data::{Cell, DataTable};
use super::money::MoneySheet;

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
    let text = |text: &Option<String>| text.as_ref().map_or(Cell::Empty, Cell::text);
    let rows = sheet.lines.iter().map(|line| {
        vec![
            Cell::Whole(line.record),
            Cell::text(line.day.to_string()),
            Cell::text(line.item),
            Cell::text(if line.income { "in" } else { "out" }),
            Cell::number(Some(line.amount.units())),
            text(&line.what),
            line.minutes.map_or(Cell::Empty, Cell::Whole),
            Cell::number(line.kwh),
            line.weight
                .map_or(Cell::Empty, |grams| Cell::Whole(grams.get())),
            text(&line.party),
            Cell::text(line.cohorts.join(" ")),
            Cell::text(&line.by),
        ]
    });
    DataTable {
        name: "Money",
        columns: vec![
            "record", "day", "item", "way", "amount", "what", "minutes", "kwh", "grams", "party",
            "cohorts", "by",
        ],
        rows: rows.collect(),
    }
}

fn figures_table(sheet: &MoneySheet) -> DataTable {
    let of = &sheet.breakeven;
    let mut named: Vec<(String, &Reckoned)> = vec![
        ("cost".to_owned(), &of.gross_cost),
        ("cost less gate fees and frass".to_owned(), &of.net_cost),
    ];
    for (product, price) in &of.price {
        named.push((format!("break-even price, {}", product.as_str()), price));
    }
    named.push((
        "break-even gate fee, a tonne".to_owned(),
        &of.gate_fee_per_tonne,
    ));
    named.push((
        "break-even throughput, a month".to_owned(),
        &of.throughput_per_month,
    ));
    let rows = named.into_iter().map(|(name, figure)| {
        let (value, sum) = match figure {
            Ok(figure) => (Some(figure.value), figure.sum.in_english()),
            Err(none) => (None, none.said().in_english()),
        };
        vec![Cell::text(name), Cell::number(value), Cell::text(sum)]
    });
    DataTable {
        name: "Figures",
        columns: vec!["figure", "value", "sum"],
        rows: rows.collect(),
    }
}

fn cohorts_table(sheet: &MoneySheet) -> DataTable {
    let money = |money: Money| Cell::number(Some(money.units()));
    let rows = sheet.cohorts.iter().map(|cohort| {
        let ledger = &cohort.ledger;
        let mut row = vec![Cell::text(&cohort.name), Cell::Whole(ledger.larvae.get())];
        row.extend(Cost::ALL.map(|cost| money(ledger.cost(cost))));
        row.push(money(ledger.total_cost()));
        row.push(money(ledger.income()));
        row
    });
    DataTable {
        name: "Cohorts",
        columns: vec![
            "cohort",
            "larvae_g",
            "bought_feed",
            "labour",
            "energy",
            "packaging",
            "disposal",
            "other",
            "cost",
            "income",
        ],
        rows: rows.collect(),
    }
}
