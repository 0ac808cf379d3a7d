use std::collections::{BTreeMap, BTreeSet};

use jiff::Timestamp;

use crate::acts::night::local_day;
use crate::acts::{Desk, FarmSettings, Given, Month, Result, Tables, cohort_feed};
use crate::daybook::{Book, CohortLife, Filed, Harvest, LotFacts, MoneyItem, Payment};
use crate::money::{
    Cost, FixedShares, Labour, Ledger, Product, Sale, breakeven, dried_per_fresh, levers,
    sensitivity, shared_costs,
};
use crate::quantity::{Grams, Money, ShareAsFed};
use crate::sheet::{CohortCost, Drying, MoneySheet, PaymentLine, Unpriced};
use crate::stream::StreamId;

/// How a month's money is to be reckoned.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MoneyAsked {
    pub fixed: FixedShares,
    pub dried_pct: f64,
}

impl Default for MoneyAsked {
    /// Dried to 5 % moisture (our default; dried larvae for feed may hold at
    /// most 10 %, AAFCO T60.117(C), read in a translated copy).
    fn default() -> Self {
        Self {
            fixed: FixedShares::default(),
            dried_pct: 5.0,
        }
    }
}

/// How much each input is moved for the chart of what matters.
const MOVED_BY: f64 = 0.1;

/// A month's money: what larvae cost, where profit is nil, what would turn it.
pub fn money_month(
    (book, farm, tables): Desk<'_>,
    month: Month,
    asked: MoneyAsked,
) -> Result<MoneySheet> {
    book.at_one_moment(|book| {
        let (from, to) = month.bounds(farm)?;
        let payments = book.money(from, to)?;
        let lives = book.cohort_lives(Timestamp::MAX)?;
        let harvests = harvests_in(book, from, to)?;
        let mut ledger = from_payments(&payments);
        ledger.larvae = harvests.iter().map(|filed| filed.entry.larvae_g).sum();
        let tables = &*tables.of_farm(book, to)?;
        let unpriced = loads((book, farm, tables), (from, to), &mut ledger)?;
        let cohorts = cohort_costs((book, farm, tables), &lives, &harvests, &payments)?;
        let fixed = asked.fixed;
        let one_month = 1.0;
        let unit = farm.units.unit();
        Ok(MoneySheet {
            month: month.to_string(),
            currency: farm.currency.clone(),
            breakeven: breakeven(&ledger, &fixed, one_month, unit),
            levers: levers(&ledger, &fixed),
            bars: sensitivity(&ledger, &fixed, MOVED_BY),
            fixed,
            lines: (payments.iter().map(|filed| line(filed, &lives, farm))).collect(),
            cohorts,
            unpriced,
            drying: drying(&harvests, asked.dried_pct),
            ledger,
            units: farm.units,
        })
    })
}

/// What a kilogram of fresh larvae gives dried, by the moisture tested in the
/// month's harvests, weighted by their weight.
fn drying(harvests: &[Filed<Harvest>], dried_pct: f64) -> Drying {
    let (mut kg, mut sum) = (0.0, 0.0);
    for harvest in harvests.iter().map(|filed| &filed.entry) {
        if let Some(pct) = harvest.larvae_moisture_pct {
            kg += harvest.larvae_g.kg();
            sum += harvest.larvae_g.kg() * pct;
        }
    }
    let fresh = ShareAsFed::from_pct(sum / kg).ok();
    let both = fresh.zip(ShareAsFed::from_pct(dried_pct).ok());
    Drying {
        fresh_moisture_pct: fresh.map(|fresh| fresh.pct()),
        dried_moisture_pct: dried_pct,
        dried_per_fresh: both.and_then(|(fresh, dried)| dried_per_fresh(fresh, dried)),
    }
}

/// What the cohorts harvested in a month cost.
pub(crate) fn costs_of_month(
    (book, farm, tables): Desk<'_>,
    month: Month,
) -> Result<Vec<CohortCost>> {
    let (from, to) = month.bounds(farm)?;
    let payments = book.money(from, to)?;
    let lives = book.cohort_lives(Timestamp::MAX)?;
    let harvests = harvests_in(book, from, to)?;
    cohort_costs((book, farm, tables), &lives, &harvests, &payments)
}

fn harvests_in(book: &Book, from: Timestamp, to: Timestamp) -> Result<Vec<Filed<Harvest>>> {
    let all = book.harvests(Timestamp::MAX)?.into_iter();
    Ok(all.filter(|filed| (from..to).contains(&filed.at)).collect())
}

/// A ledger of what was written down as money.
fn from_payments<'a>(payments: impl IntoIterator<Item = &'a Filed<Payment>>) -> Ledger {
    let mut ledger = Ledger::default();
    for filed in payments {
        let payment = &filed.entry;
        add(&mut ledger, payment, payment.amount, payment.minutes);
    }
    ledger
}

fn add(ledger: &mut Ledger, payment: &Payment, amount: Money, minutes: Option<i64>) {
    let sale = |product| Sale {
        product,
        weight: payment.grams.unwrap_or(Grams::ZERO),
        money: amount,
    };
    let mut paid = |cost| ledger.costs.push((cost, amount));
    match payment.item {
        MoneyItem::Feed => paid(Cost::BoughtFeed),
        MoneyItem::Energy => paid(Cost::Energy),
        MoneyItem::Packaging => paid(Cost::Packaging),
        MoneyItem::Disposal => paid(Cost::Disposal),
        MoneyItem::Other => paid(Cost::Other),
        MoneyItem::GateFee => ledger.gate_fees += amount,
        MoneyItem::SoldLive => ledger.sales.push(sale(Product::Live)),
        MoneyItem::SoldDried => ledger.sales.push(sale(Product::Dried)),
        MoneyItem::SoldFrass => ledger.sales.push(sale(Product::Frass)),
        MoneyItem::Labour => ledger.labour.push(Labour {
            task: (payment.what.clone()).unwrap_or_else(|| "not said".to_owned()),
            minutes: minutes.unwrap_or(0),
            cost: amount,
        }),
    }
}

/// Feed bought at a price that is known, or not.
fn bought(
    (ledger, unpriced): (&mut Ledger, &mut Unpriced),
    (stream, grams): (&StreamId, Grams),
    price: Option<f64>,
) {
    match price {
        Some(price) => ledger.costs.push((Cost::BoughtFeed, priced(price, grams))),
        None => unpriced.add(stream, grams),
    }
}

/// What tickets say of money: loads bought, and loads taken for a price below
/// zero. Then what was bought and fed the same night, at the stream table's price.
fn loads(
    (book, farm, tables): Desk<'_>,
    (from, to): (Timestamp, Timestamp),
    ledger: &mut Ledger,
) -> Result<Unpriced> {
    let mut unpriced = Unpriced::default();
    for loads in book.priced_loads(from, to)? {
        let (stream, grams) = (&loads.stream, loads.net_g);
        if loads.bought {
            let price = loads.price_per_kg.or_else(|| table_price(tables, stream));
            bought((ledger, &mut unpriced), (stream, grams), price);
            continue;
        }
        ledger.taken_in += grams;
        if let Some(fee) = loads.price_per_kg.filter(|price| *price < 0.0) {
            ledger.gate_fees += priced(-fee, grams);
        }
    }
    // The last local day that begins before the end.
    let last = local_day(to, &farm.zone);
    let last = last.yesterday().unwrap_or(last);
    for line in book.added_lines(local_day(from, &farm.zone), last)? {
        if let Some(stream) = &line.of {
            let price = table_price(tables, stream);
            bought((ledger, &mut unpriced), (stream, line.grams), price);
        }
    }
    Ok(unpriced)
}

fn table_price(tables: &Tables, stream: &StreamId) -> Option<f64> {
    tables.streams.get(stream)?.price_per_kg
}

fn priced(price_per_kg: f64, grams: Grams) -> Money {
    Money::nearest(price_per_kg * grams.kg())
}

/// What the cohorts harvested in a month cost: what names them, their share of
/// what names none by fresh weight harvested, and the bought feed they ate.
fn cohort_costs(
    (book, farm, tables): Desk<'_>,
    lives: &[CohortLife],
    harvests: &[Filed<Harvest>],
    payments: &[Filed<Payment>],
) -> Result<Vec<CohortCost>> {
    let mut larvae: BTreeMap<i64, Grams> = BTreeMap::new();
    for filed in harvests {
        *larvae.entry(filed.entry.cohort_seq).or_default() += filed.entry.larvae_g;
    }
    let seqs: Vec<i64> = larvae.keys().copied().collect();
    let weights: Vec<Grams> = larvae.values().copied().collect();
    // Bought feed is told by what each ate; all other costs that name no cohort are shared.
    let common = from_payments(payments.iter().filter(|filed| {
        let item = filed.entry.item;
        filed.entry.cohort_seqs.is_empty() && !item.is_income() && item != MoneyItem::Feed
    }));
    let Some(mut shares) = shared_costs(&common, &weights) else {
        return Ok(Vec::new());
    };
    for payment in payments.iter().map(|filed| &filed.entry) {
        if payment.item == MoneyItem::Feed {
            continue;
        }
        let named: Vec<usize> = (payment.cohort_seqs.iter())
            .filter_map(|seq| seqs.iter().position(|known| known == seq))
            .collect();
        let by: Vec<i64> = named.iter().map(|&at| weights[at].get()).collect();
        let minutes = payment.minutes.filter(|_| named.len() == 1);
        let amounts = payment.amount.shared(&by).unwrap_or_default();
        for (at, amount) in named.into_iter().zip(amounts) {
            add(&mut shares[at], payment, amount, minutes);
        }
    }
    let harvested = (lives.iter()).filter(|life| larvae.contains_key(&life.cohort.seq));
    let first = harvested.map(|life| life.cohort.entry.hatched).min();
    let last = harvests.iter().map(|filed| local_day(filed.at, &farm.zone));
    let Some(days) = first.zip(last.max()) else {
        return Ok(Vec::new());
    };
    let feed = cohort_feed((book, farm, tables), lives, days)?;
    let eaten: BTreeSet<i64> = (seqs.iter())
        .filter_map(|seq| feed.given.get(seq))
        .flat_map(|given| given.lots_kg.keys().copied())
        .collect();
    let facts = book.lot_facts(eaten)?;
    let of_cohort = |((seq, larvae), ledger): ((&i64, Grams), Ledger)| {
        let given = feed.given.get(seq);
        let feed = given.map(|given| feed_cost(given, &facts, tables));
        let (cost, without_price) = feed.unwrap_or_default();
        let mut ledger = Ledger { larvae, ..ledger };
        ledger.costs.push((Cost::BoughtFeed, cost));
        CohortCost {
            record: *seq,
            name: name_of(lives, *seq),
            ledger,
            without_price,
        }
    };
    let all = seqs.iter().zip(weights).zip(shares);
    Ok(all.map(of_cohort).collect())
}

/// What the bought feed in a cohort's meals cost, and whether some has no price.
fn feed_cost(given: &Given, facts: &BTreeMap<i64, LotFacts>, tables: &Tables) -> (Money, bool) {
    let (mut cost, mut without_price) = (0.0, false);
    let lots = given.lots_kg.iter().filter_map(|(seq, kg)| {
        let lot = facts.get(seq).filter(|lot| lot.bought)?;
        let price = lot.price_per_kg;
        Some((price.or_else(|| table_price(tables, &lot.stream)), kg))
    });
    let added = given.added_kg.iter();
    let added = added.map(|(stream, kg)| (table_price(tables, stream), kg));
    for (price, kg) in lots.chain(added) {
        match price {
            Some(price) => cost += price * kg,
            None => without_price = true,
        }
    }
    (Money::nearest(cost), without_price)
}

fn name_of(lives: &[CohortLife], seq: i64) -> String {
    let life = lives.iter().find(|life| life.cohort.seq == seq);
    life.map_or_else(|| format!("r{seq}"), |life| life.cohort.entry.name.clone())
}

fn line(filed: &Filed<Payment>, lives: &[CohortLife], farm: &FarmSettings) -> PaymentLine {
    let payment = &filed.entry;
    PaymentLine {
        record: filed.seq,
        day: local_day(filed.at, &farm.zone),
        by: filed.by.clone(),
        item: payment.item.as_str(),
        income: payment.item.is_income(),
        amount: payment.amount,
        what: payment.what.clone(),
        minutes: payment.minutes,
        kwh: payment.kwh,
        weight: payment.grams,
        party: payment.party.clone(),
        cohorts: (payment.cohort_seqs.iter())
            .map(|seq| name_of(lives, *seq))
            .collect(),
    }
}
