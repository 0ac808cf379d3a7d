pub(super) mod data;

pub use data::{money_tables, payments_table};

use std::cmp::Reverse;
use std::collections::BTreeMap;

use jiff::civil::Date;
use schemars::JsonSchema;
use serde::Serialize;

use crate::money::{Bar, Breakeven, Cost, FixedShares, Ledger, Move, Product, Reckoned};
use crate::quantity::wire::Amount;
use crate::quantity::{Grams, Money, Units};
use crate::stream::StreamId;
use crate::words::{Said, say};

use super::chart::{Chart, Form};
use super::document::{Document, Grid, Tone, grid};
use super::words::figure;

#[derive(Debug, Clone, PartialEq)]
pub struct MoneySheet {
    /// Such as `2026-10`.
    pub month: String,
    /// ISO 4217 code.
    pub currency: String,
    pub ledger: Ledger,
    pub breakeven: Breakeven,
    pub levers: Vec<Move>,
    /// What a rise of a tenth of each input does to profit.
    pub bars: Vec<Bar>,
    pub fixed: FixedShares,
    pub lines: Vec<PaymentLine>,
    pub cohorts: Vec<CohortCost>,
    pub unpriced: Unpriced,
    pub drying: Drying,
    pub units: Units,
}

#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PaymentLine {
    pub record: i64,
    /// The local day.
    #[schemars(with = "String")]
    pub day: Date,
    pub by: String,
    pub item: &'static str,
    pub income: bool,
    #[serde(with = "Amount")]
    pub amount: Money,
    pub what: Option<String>,
    pub minutes: Option<i64>,
    /// Energy, kilowatt hours.
    pub kwh: Option<f64>,
    #[serde(rename = "grams")]
    pub weight: Option<Grams>,
    pub party: Option<String>,
    pub cohorts: Vec<String>,
}

#[derive(Debug, Clone, PartialEq)]
pub struct CohortCost {
    pub record: i64,
    pub name: String,
    pub ledger: Ledger,
    pub without_price: bool,
}

/// What drying leaves, by the balance of moisture.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Drying {
    /// Of fresh larvae, by the month's tests.
    pub fresh_moisture_pct: Option<f64>,
    pub dried_moisture_pct: f64,
    /// Kilograms dried of a kilogram fresh; `None` where moisture was not
    /// tested or the dried would be wetter.
    pub dried_per_fresh: Option<f64>,
}

/// Bought feed that has no price, by stream.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Unpriced(pub Vec<(StreamId, Grams)>);

impl Unpriced {
    pub fn add(&mut self, stream: &StreamId, grams: Grams) {
        match self.0.iter_mut().find(|(known, _)| known == stream) {
            Some((_, sum)) => *sum += grams,
            None => self.0.push((stream.clone(), grams)),
        }
    }
}

/// Caution at a sale. It defers to local rules.
pub fn sale_caution() -> Said {
    say!("caution-sale")
}

pub fn money_document(sheet: &MoneySheet) -> Document {
    let mut document = Document::titled(say!("money-title", sheet.month, sheet.currency));
    let ledger = &sheet.ledger;
    let profit = ledger.profit();
    let (income, cost) = (ledger.income(), ledger.total_cost());
    if income == Money::ZERO && cost == Money::ZERO {
        document.answer(Tone::Plain, say!("money-none"));
    } else if profit < Money::ZERO {
        let loss = -profit;
        document.answer(Tone::Out, say!("money-loss", income, cost, loss));
    } else {
        document.answer(Tone::Good, say!("money-left", income, cost, profit));
    }
    let larvae = sheet.units.told(ledger.larvae);
    let taken_in = sheet.units.told(ledger.taken_in);
    document.line(say!("money-weights", larvae, taken_in));
    document.table(ledger_grid(ledger, sheet.units));
    drying(&mut document, sheet);
    for (stream, grams) in &sheet.unpriced.0 {
        let weight = sheet.units.told(*grams);
        document.out(say!("money-unpriced", weight, stream));
    }
    figures(&mut document, sheet);
    turning(&mut document, sheet);
    document.table(cohort_grid(sheet));
    if !sheet.cohorts.is_empty() {
        document.small(say!("money-cohort-rule"));
        for cohort in sheet.cohorts.iter().filter(|cohort| cohort.without_price) {
            document.out(say!("money-cohort-unpriced", cohort = &cohort.name));
        }
    }
    if sheet.lines.is_empty() {
        document.next(say!("money-nothing-yet"));
    }
    document
}

fn drying(document: &mut Document, sheet: &MoneySheet) {
    let sold = sheet.ledger.sold_weight(Product::Dried);
    if sold <= Grams::ZERO {
        return;
    }
    let of = &sheet.drying;
    let Some((fresh, share)) = of.fresh_moisture_pct.zip(of.dried_per_fresh) else {
        document.line(say!("money-drying-unknown"));
        return;
    };
    let took = Grams::from_kg(sold.kg() / share).unwrap_or_default();
    document.line(say!(
        "money-drying",
        fresh = format!("{:.1}", fresh),
        dried = format!("{:.1}", of.dried_moisture_pct),
        share = format!("{share:.3}"),
        sold = sheet.units.told(sold),
        took = sheet.units.told(took),
    ));
    document.caution(say!("caution-drying"));
}

fn ledger_grid(ledger: &Ledger, units: Units) -> Grid {
    let none = Said::default;
    let fees = (ledger.gate_fees != Money::ZERO).then(|| {
        (
            say!("money-gate-fees"),
            ledger.gate_fees.into(),
            none(),
            none(),
        )
    });
    let sold = Product::ALL.into_iter().filter_map(|product| {
        let sold = ledger.sold(product);
        let weight = units.told(ledger.sold_weight(product));
        let row = say!("money-sold", product = product.as_str());
        (sold != Money::ZERO).then(|| (row, sold.into(), none(), weight.into()))
    });
    let costs = Cost::ALL.into_iter().filter_map(|cost| {
        let paid = ledger.cost(cost);
        let tasks = (cost == Cost::Labour).then(|| tasks(ledger).into());
        let row = say!("cost", cost = cost.as_str());
        (paid != Money::ZERO).then(|| (row, none(), paid.into(), tasks.unwrap_or_default()))
    });
    grid!(for (name, came, went, of_it) in fees.into_iter().chain(sold).chain(costs) => {
        Left none() => name,
        Right say!("money-in") => came,
        Right say!("money-out") => went,
        Left say!("money-of-it") => of_it,
    })
}

/// Minutes and money by task, the dearest first.
fn tasks(ledger: &Ledger) -> String {
    let mut by_task: BTreeMap<&str, (i64, Money)> = BTreeMap::new();
    for labour in &ledger.labour {
        let (minutes, cost) = by_task.entry(&labour.task).or_default();
        *minutes += labour.minutes;
        *cost += labour.cost;
    }
    let mut by_task: Vec<_> = by_task.into_iter().collect();
    by_task.sort_by_key(|(_, (_, cost))| Reverse(*cost));
    let told = by_task.iter().map(|(task, (minutes, cost))| {
        format!("{task} {}:{:02} h {cost}", minutes / 60, minutes % 60)
    });
    told.collect::<Vec<_>>().join(", ")
}

fn figures(document: &mut Document, sheet: &MoneySheet) {
    let of = &sheet.breakeven;
    document.heading(say!("money-breakeven"));
    let mut line = |name: Said, figure: &Reckoned| {
        document.line(match figure {
            Ok(figure) => say!("money-figure", name = name, sum = figure.sum.clone()),
            Err(none) => say!("money-no-figure", name = name, why = none.clone()),
        });
    };
    line(say!("money-gross-cost"), &of.gross_cost);
    line(say!("money-net-cost"), &of.net_cost);
    for (product, price) in &of.price {
        if sheet.ledger.sold_weight(*product) > Grams::ZERO {
            line(say!("money-price", product = product.as_str()), price);
        }
    }
    line(say!("money-gate-fee"), &of.gate_fee_per_tonne);
    line(say!("money-throughput"), &of.throughput_per_month);
    let fixed = sheet.fixed.said();
    document.small(say!("money-assumption", fixed = fixed));
}

fn turning(document: &mut Document, sheet: &MoneySheet) {
    if sheet.ledger.profit() < Money::ZERO {
        document.heading(say!("money-turning"));
        let (can, cannot): (Vec<&Move>, Vec<&Move>) =
            (sheet.levers.iter()).partition(|lever| lever.change.is_some());
        for lever in can {
            document.line(lever.said());
        }
        let levers = Said::joined(cannot.iter().map(|lever| lever.lever.said()), ", ");
        if !levers.is_empty() {
            document.small(say!("money-not-enough", levers = levers));
        }
    }
    document.chart(Chart::new(
        Form::Rows,
        say!("money-bars", currency = &sheet.currency),
        say!("money-bars-drawn"),
        sheet.bars.iter().map(|bar| bar.lever.said()).collect(),
        vec![(
            say!("money-change"),
            sheet.bars.iter().map(|bar| bar.change).collect(),
        )],
    ));
}

fn cohort_grid(sheet: &MoneySheet) -> Grid {
    let unit = sheet.units.unit();
    grid!(for cohort in &sheet.cohorts => {
        let ledger = &cohort.ledger;
        let named = [Cost::BoughtFeed, Cost::Labour, Cost::Energy].map(|cost| ledger.cost(cost));
        Left say!("cohort") => &cohort.name,
        Right say!("larvae-fresh") => sheet.units.weight(ledger.larvae),
        Right say!("cost", cost = Cost::BoughtFeed.as_str()) => named[0],
        Right say!("cost", cost = Cost::Labour.as_str()) => named[1],
        Right say!("cost", cost = Cost::Energy.as_str()) => named[2],
        Right say!("money-rest") => ledger.total_cost() - named.into_iter().sum(),
        Right say!("all") => ledger.total_cost(),
        Right say!("money-cost-a-unit", unit) => figure(cost_each(ledger, sheet.units), 2),
    })
}

pub(super) fn cost_each(ledger: &Ledger, units: Units) -> Option<f64> {
    let (numerator, denominator) = units.unit().grams_ratio();
    let unit_g = numerator as f64 / denominator as f64;
    (ledger.larvae > Grams::ZERO)
        .then(|| ledger.total_cost().units() / (ledger.larvae.kg() * 1000.0 / unit_g))
}
