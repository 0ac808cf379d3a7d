use jiff::Timestamp;
use schemars::JsonSchema;
use serde::Serialize;

use crate::acts::doubts::{self, Doubts};
use crate::acts::error::{Rejection, all_taken, is_text_if_any, must, shown};
use crate::acts::{Asked, Result, find_cohort};
use crate::daybook::{Book, Daybook, Entry, MoneyItem, Payment};
use crate::quantity::wire::Amount;
use crate::quantity::{Grams, Money, Reading};
use crate::words::say;

#[derive(Debug, Clone, PartialEq)]
pub struct PaymentAsked {
    pub item: MoneyItem,
    /// How much; may be left out where time or energy and its price say it.
    pub amount: Option<Money>,
    /// The task of labour, or what else it was for.
    pub what: Option<String>,
    pub minutes: Option<i64>,
    pub kwh: Option<f64>,
    /// What an hour or a kilowatt hour costs; as the last time when left out.
    pub rate: Option<Money>,
    pub weight: Option<Reading>,
    pub party: Option<String>,
    pub cohorts: Vec<String>,
    pub note: Option<String>,
}

/// What was written down.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Paid {
    /// Position in the book.
    pub record: i64,
    #[serde(with = "Amount")]
    pub amount: Money,
    pub reckoned: Option<String>,
    /// Whether it was in the book before.
    pub already_there: bool,
}

/// Writes down money earned or spent.
pub fn record_payment(book: &mut Daybook, wanted: &PaymentAsked, asked: &Asked) -> Result<Paid> {
    all_taken(wanted.rejections())?;
    book.write(asked.now, |writing| {
        let (amount, reckoned) = wanted.priced(writing, &asked.id)?;
        let lives = writing.cohort_lives(Timestamp::MAX)?;
        let mut cohort_seqs = Vec::new();
        for name in &wanted.cohorts {
            let seq = find_cohort(&lives, name)?.cohort.seq;
            if !cohort_seqs.contains(&seq) {
                cohort_seqs.push(seq);
            }
        }
        let entry = Entry::Money(Payment {
            item: wanted.item,
            amount,
            what: wanted.what.clone(),
            minutes: wanted.minutes,
            kwh: wanted.kwh,
            grams: wanted.weight.as_ref().map(Reading::grams),
            grams_text: (wanted.weight.as_ref()).map(|reading| reading.text().to_owned()),
            party: wanted.party.clone(),
            cohort_seqs,
            note: wanted.note.clone(),
        });
        asked.doubt(writing, |doubts| wanted.sold(writing, doubts))?;
        let appended = writing.append(&asked.record(entry))?;
        Ok(Paid {
            record: appended.seq,
            amount,
            reckoned,
            already_there: appended.already_there,
        })
    })
}

impl PaymentAsked {
    /// Larvae sold, with those sold before, beside those harvested.
    fn sold(&self, book: &Book, doubts: &mut Doubts) -> Result<()> {
        let larvae = |item| matches!(item, MoneyItem::SoldLive | MoneyItem::SoldDried);
        let Some(weight) = self.weight.as_ref().filter(|_| larvae(self.item)) else {
            return Ok(());
        };
        let before = book.money(Timestamp::MIN, Timestamp::MAX)?;
        let before = before.iter().filter(|filed| larvae(filed.entry.item));
        let before: Grams = before.filter_map(|filed| filed.entry.grams).sum();
        let harvests = book.harvests(Timestamp::MAX)?;
        let harvested: Grams = harvests.iter().map(|filed| filed.entry.larvae_g).sum();
        // A farm that writes no harvest down has nothing to compare with.
        if harvested > Grams::ZERO {
            let sold = before + weight.grams();
            let times = sold.kg() / harvested.kg();
            let kg = |grams: Grams| format!("{:.2}", grams.kg());
            let seen = say!("doubt-oversold", sold = kg(sold), harvested = kg(harvested));
            doubts.weigh(&doubts::OVERSOLD, "weight", times, seen);
        }
        Ok(())
    }

    fn rejections(&self) -> Vec<Rejection> {
        const NOT_BELOW_ZERO: &str =
            "an amount not below zero; the item says whether it came in or went out";
        let not_below_zero = |of: Option<Money>| of.is_none_or(|of| of >= Money::ZERO);
        let reckonable = self.minutes.is_some() || self.kwh.is_some();
        let (labour, energy) = (
            self.item == MoneyItem::Labour,
            self.item == MoneyItem::Energy,
        );
        let weight = self.weight.as_ref();
        must! {
            not_below_zero(self.amount) => "amount", shown(&self.amount), NOT_BELOW_ZERO;
            not_below_zero(self.rate) => "rate", shown(&self.rate), NOT_BELOW_ZERO;
            self.minutes.is_none_or(|of| labour && (0..=1_000_000).contains(&of)) =>
                "minutes", shown(&self.minutes), "0 to 1000000 minutes, of `labour` alone";
            self.kwh.is_none_or(|of| energy && (0.0..=1e7).contains(&of)) =>
                "kwh", shown(&self.kwh), "0 to 10000000 kilowatt hours, of `energy` alone";
            self.amount.is_some() || reckonable => "amount", "nothing",
                "an amount such as 96.00, or minutes of labour, or kilowatt hours";
            self.rate.is_none() || (self.amount.is_none() && reckonable) => "rate",
                shown(&self.rate), "a rate beside minutes or kilowatt hours, and no amount";
            weight.is_none_or(|weight| weight.grams() > Grams::ZERO) =>
                "weight", weight.map_or("", Reading::text), "a weight above zero";
            weight.is_some() || !self.item.is_sale() =>
                "weight", "nothing", "the weight sold, as 12lb";
            is_text_if_any(&self.what, 60) =>
                "what", shown(&self.what), "1 to 60 characters on one line";
            is_text_if_any(&self.party, 120) =>
                "party", shown(&self.party), "1 to 120 characters on one line";
            is_text_if_any(&self.note, 500) =>
                "note", shown(&self.note), "1 to 500 characters on one line";
        }
    }

    /// The amount as given, or time or energy at its rate.
    fn priced(&self, book: &Book, id: &str) -> Result<(Money, Option<String>)> {
        if let Some(amount) = self.amount {
            return Ok((amount, None));
        }
        let (rate, from) = match self.rate {
            Some(rate) => (rate.units(), String::new()),
            None => (
                self.last_rate(book, id)?,
                ", the rate of the last time".to_owned(),
            ),
        };
        let (quantity, unit, told) = match (self.minutes, self.kwh) {
            (Some(minutes), _) => {
                let hours = minutes as f64 / 60.0;
                (hours, "an hour", format!("{minutes} min"))
            }
            (None, kwh) => {
                let kwh = kwh.unwrap_or_default();
                (kwh, "a kWh", format!("{kwh} kWh"))
            }
        };
        let amount = Money::parse(&format!("{:.2}", quantity * rate)).map_err(|error| {
            Rejection::new("rate", format!("{told} at {rate}"), error.accepted())
        })?;
        Ok((amount, Some(format!("{told} at {rate:.2} {unit}{from}"))))
    }

    /// What an hour or kilowatt hour cost when last written down; for a request
    /// that is in the book, what it was then.
    fn last_rate(&self, book: &Book, id: &str) -> Result<f64> {
        let all = book.money(Timestamp::MIN, Timestamp::MAX)?;
        let own = all.iter().position(|filed| filed.id == id);
        let earlier = &all[..own.unwrap_or(all.len())];
        let rate = earlier.iter().rev().find_map(|filed| {
            let before = &filed.entry;
            if before.item != self.item {
                return None;
            }
            let quantity = match before.item {
                MoneyItem::Labour => before.minutes? as f64 / 60.0,
                _ => before.kwh?,
            };
            (quantity > 0.0).then(|| before.amount.units() / quantity)
        });
        rate.ok_or_else(|| {
            let what = if self.item == MoneyItem::Labour {
                "what an hour costs, as 18.00; nothing was written down before"
            } else {
                "what a kilowatt hour costs, as 0.21; nothing was written down before"
            };
            Rejection::new("rate", "nothing", what).into()
        })
    }
}
