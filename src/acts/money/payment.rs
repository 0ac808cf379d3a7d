use jiff::Timestamp;
use schemars::JsonSchema;
use serde::Serialize;

use crate::acts::doubts::{self, Doubts};
use crate::acts::error::{Rejection, all_taken, is_text_if_any, must, shown};
use crate::acts::{Asked, Result, find_cohort, settings};
use crate::daybook::{Book, Daybook, Entry, MoneyItem, Payment};
use crate::quantity::wire::Amount;
use crate::quantity::{Grams, Money, Reading};
use crate::words::{Said, say};

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
    pub reckoned: Option<Said>,
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
            let units = settings(book)?.units;
            let told = |grams| units.told(grams);
            let seen = say!(
                "doubt-oversold",
                sold = told(sold),
                harvested = told(harvested)
            );
            doubts.weigh(&doubts::OVERSOLD, "weight", times, seen);
        }
        Ok(())
    }

    fn rejections(&self) -> Vec<Rejection> {
        let amount_is = || say!("accepted-amount-of-item");
        let not_below_zero = |of: Option<Money>| of.is_none_or(|of| of >= Money::ZERO);
        let reckonable = self.minutes.is_some() || self.kwh.is_some();
        let (labour, energy) = (
            self.item == MoneyItem::Labour,
            self.item == MoneyItem::Energy,
        );
        let weight = self.weight.as_ref();
        must! {
            not_below_zero(self.amount) => "amount", shown(&self.amount), amount_is();
            not_below_zero(self.rate) => "rate", shown(&self.rate), amount_is();
            self.minutes.is_none_or(|of| labour && (0..=1_000_000).contains(&of)) =>
                "minutes", shown(&self.minutes), say!("accepted-minutes");
            self.kwh.is_none_or(|of| energy && (0.0..=1e7).contains(&of)) =>
                "kwh", shown(&self.kwh), say!("accepted-kwh");
            self.amount.is_some() || reckonable =>
                "amount", "", say!("accepted-amount");
            self.rate.is_none() || (self.amount.is_none() && reckonable) =>
                "rate", shown(&self.rate), say!("accepted-rate");
            weight.is_none_or(|weight| weight.grams() > Grams::ZERO) =>
                "weight", weight.map_or("", Reading::text), say!("accepted-above-zero");
            weight.is_some() || !self.item.is_sale() =>
                "weight", "", say!("accepted-weight-sold");
            is_text_if_any(&self.what, 60) =>
                "what", shown(&self.what), say!("accepted-line", most = 60);
            is_text_if_any(&self.party, 120) =>
                "party", shown(&self.party), say!("accepted-line", most = 120);
            is_text_if_any(&self.note, 500) =>
                "note", shown(&self.note), say!("accepted-line", most = 500);
        }
    }

    /// The amount as given, or time or energy at its rate.
    fn priced(&self, book: &Book, id: &str) -> Result<(Money, Option<Said>)> {
        if let Some(amount) = self.amount {
            return Ok((amount, None));
        }
        let (rate, from) = match self.rate {
            Some(rate) => (rate.units(), "now"),
            None => (self.last_rate(book, id)?, "last"),
        };
        let (quantity, unit, told) = match (self.minutes, self.kwh) {
            (Some(minutes), _) => {
                let hours = minutes as f64 / 60.0;
                (hours, "hour", format!("{minutes} min"))
            }
            (None, kwh) => {
                let kwh = kwh.unwrap_or_default();
                (kwh, "kwh", format!("{kwh} kWh"))
            }
        };
        let amount = Money::parse(&format!("{:.2}", quantity * rate)).map_err(|error| {
            Rejection::new("rate", format!("{told} at {rate}"), error.accepted())
        })?;
        let rate = format!("{rate:.2}");
        Ok((amount, Some(say!("paid-sum", told, rate, unit, from))))
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
            let of = self.item.as_str();
            Rejection::new("rate", "", say!("accepted-first-rate", of)).into()
        })
    }
}
