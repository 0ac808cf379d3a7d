use jiff::ToSpan;
use jiff::civil::{Date, Weekday};

use super::{Player, unreadable};
use crate::acts::{
    HarvestAsked, PaymentAsked, Result, cohort_feed, record_harvest, record_payment,
};
use crate::daybook::{CohortLife, MoneyItem, ResidueTo};
use crate::quantity::{Money, Reader};
use crate::sheet::CohortNow;

/// Who ate beside a cohort was hatched at most so many days before it.
const LONGEST_LIFE_DAYS: i64 = 40;
/// One pound, exactly (NIST Handbook 44, Appendix C).
const KG_PER_LB: f64 = 0.453_592_37;

impl Player<'_> {
    /// Weighs off what the scenario says the cohort made of what it was really given.
    pub(super) fn harvest(&mut self, day: Date, old: &CohortNow) -> Result<()> {
        let asked = self.clock.asked(day, 7, 31)?;
        let eldest = old.cohort.hatched - LONGEST_LIFE_DAYS.days();
        let lives: Vec<CohortLife> = (self.book.cohort_lives(asked.at)?.into_iter())
            .filter(|life| life.cohort.entry.hatched >= eldest)
            .collect();
        let feed = cohort_feed(
            (&self.book, &self.farm, self.tables),
            &lives,
            (old.cohort.hatched, day),
        )?;
        let fed_dry_kg = feed
            .given
            .get(&old.record)
            .map_or(0.0, |given| given.dry_matter_kg);
        let wanted = {
            let scenario = &self.scenario.harvest;
            let dice = &mut self.other_dice;
            let mut around = |[mean, spread]: [f64; 2]| dice.around(mean, spread);
            let larvae_moisture = (around(scenario.larvae_moisture_pct) * 10.0).round() / 10.0;
            let residue_moisture = (around(scenario.residue_moisture_pct) * 10.0).round() / 10.0;
            let living = old.cohort.larvae as f64 * around(scenario.survival_pct) / 100.0;
            let gain_kg = fed_dry_kg * around(scenario.bioconversion_pct) / 100.0;
            let larvae_kg = gain_kg / (1.0 - larvae_moisture / 100.0);
            let left_kg = fed_dry_kg * (1.0 - around(scenario.reduction_pct) / 100.0);
            let residue_kg = left_kg / (1.0 - residue_moisture / 100.0);
            let pounds = |kg: f64| Reader::PLAIN.weight(&format!("{:.1}lb", kg / KG_PER_LB));
            HarvestAsked {
                cohort: old.cohort.name.clone(),
                larvae: pounds(larvae_kg).map_err(unreadable)?,
                larvae_moisture_pct: Some(larvae_moisture),
                larvae_nitrogen_dm_pct: None,
                counted: None,
                sample: Some((
                    100,
                    (larvae_kg * 1e5 / living * 10.0).round().max(1.0) / 10.0,
                )),
                dead: None,
                residue: Some(pounds(residue_kg).map_err(unreadable)?),
                residue_moisture_pct: Some(residue_moisture),
                residue_to: Some(ResidueTo::Kept),
                last: true,
                note: None,
                sure: true,
            }
        };
        let harvested = record_harvest(&mut self.book, &wanted, &asked)?;
        let prices = &self.scenario.money;
        let cohort = vec![format!("r{}", harvested.cohort_seq)];
        let buyer = usize::try_from(harvested.record).unwrap_or(0) % prices.buyers.len().max(1);
        let pounds = wanted.larvae.grams().kg() / KG_PER_LB;
        let sale = PaymentAsked {
            amount: Some(Money::nearest(pounds * prices.live_price_per_lb)),
            weight: Some(wanted.larvae.clone()),
            party: prices.buyers.get(buyer).cloned(),
            cohorts: cohort.clone(),
            ..payment(MoneyItem::SoldLive)
        };
        let sieving = PaymentAsked {
            minutes: Some(prices.sieving_minutes),
            rate: Some(amount(&prices.wage_per_hour)?),
            what: Some("sieving".to_owned()),
            cohorts: cohort.clone(),
            ..payment(MoneyItem::Labour)
        };
        let packaging = PaymentAsked {
            amount: Some(amount(&prices.packaging_a_harvest)?),
            cohorts: cohort,
            ..payment(MoneyItem::Packaging)
        };
        for wanted in [sieving, packaging, sale] {
            let asked = self.clock.asked(day, 9, 30)?;
            record_payment(&mut self.book, &wanted, &asked)?;
        }
        Ok(())
    }

    /// On Sundays work and energy of the week, on the first rent and gate fees.
    pub(super) fn bills(&mut self, day: Date) -> Result<()> {
        let prices = &self.scenario.money;
        let mut due = Vec::new();
        if day.weekday() == Weekday::Sunday {
            for (task, minutes) in &prices.minutes_a_week {
                due.push(PaymentAsked {
                    minutes: Some(*minutes),
                    rate: Some(amount(&prices.wage_per_hour)?),
                    what: Some(task.clone()),
                    ..payment(MoneyItem::Labour)
                });
            }
            due.push(PaymentAsked {
                kwh: Some(prices.kwh_a_week),
                rate: Some(amount(&prices.per_kwh)?),
                ..payment(MoneyItem::Energy)
            });
        }
        if day.day() == 1 {
            due.push(PaymentAsked {
                amount: Some(amount(&prices.rent_a_month)?),
                what: Some("rent".to_owned()),
                ..payment(MoneyItem::Other)
            });
            due.push(PaymentAsked {
                amount: Some(amount(&prices.gate_fee_a_month)?),
                party: Some(prices.gate_fee_from.clone()),
                ..payment(MoneyItem::GateFee)
            });
        }
        for wanted in due {
            let asked = self.clock.asked(day, 18, 0)?;
            record_payment(&mut self.book, &wanted, &asked)?;
        }
        Ok(())
    }
}

fn amount(text: &str) -> Result<Money> {
    Money::parse(text).map_err(unreadable)
}

/// A payment with nothing said but what it is for.
fn payment(item: MoneyItem) -> PaymentAsked {
    PaymentAsked {
        item,
        amount: None,
        what: None,
        minutes: None,
        kwh: None,
        rate: None,
        weight: None,
        party: None,
        cohorts: Vec::new(),
        note: None,
    }
}
