use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use jiff::ToSpan;
use jiff::civil::Date;

use crate::acts::month::basis::midnight;
use crate::acts::night::local_day;
use crate::acts::{ActError, FarmSettings, Result, Tables};
use crate::daybook::Book;
use crate::outlook::{
    Arrived, Batch, Expected, Forecast, History, MORNING_TO_EVENING_DAYS, PlanFile, Spread,
    forecast,
};
use crate::quantity::{Grams, Units};
use crate::stock::{Learned, LearnedBySupplier, density_of, moisture_of};
use crate::stream::{AgeLimits, Stream, StreamId, UseRules, Verdict};
use crate::words::{Said, say};

/// Weeks of history that are learned from (our default).
const WEEKS_LEARNED: i64 = 26;

/// What is known of what is to come.
pub(crate) struct Known<'a> {
    pub(crate) tables: &'a Tables,
    pub(crate) rules: &'a UseRules,
    pub(crate) learned: &'a LearnedBySupplier,
    pub(crate) units: Units,
}

/// Puts what is expected beside what is there; returns the spread of each batch.
/// What may not be fed is left out, and said.
pub(crate) fn add_expected(
    forecast: &Forecast,
    known: &Known<'_>,
    days: &[Date],
    batches: &mut Vec<Batch>,
    notes: &mut Vec<Said>,
) -> Spread {
    let mut learned_of = BTreeSet::new();
    let mut spread: Spread = vec![0.0; batches.len()];
    let mut not_fed: BTreeMap<&StreamId, f64> = BTreeMap::new();
    let mut too_old: BTreeMap<&StreamId, f64> = BTreeMap::new();
    for one in &forecast.expected {
        let Some(stream) = known.tables.streams.get(&one.stream) else {
            continue;
        };
        let verdict = known
            .tables
            .judge(stream, Some(known.rules), Some(&one.supplier))
            .verdict;
        if !verdict.may_be_fed() {
            *not_fed.entry(&one.stream).or_default() += one.kg;
            continue;
        }
        let of = (one.supplier.clone(), one.stream.clone());
        let learned = known.learned.get(&of).map(Arc::as_ref);
        if learned.is_some() {
            learned_of.insert((&one.stream, &one.supplier));
        }
        let ages = &known.tables.stages.ages;
        let first_fed = MORNING_TO_EVENING_DAYS;
        if (ages.too_old(first_fed, stream.keeps_days, [stream.class])).is_some() {
            *too_old.entry(&one.stream).or_default() += one.kg;
            continue;
        }
        batches.extend(batch_of(one, stream, learned, days, ages));
        spread.resize(batches.len(), one.spread_kg);
    }
    if !learned_of.is_empty() {
        let all = learned_of.into_iter();
        let all = all.map(|(stream, supplier)| say!("ahead-learned-of", stream, supplier));
        notes.push(say!("ahead-learned", all = Said::joined(all, ", ")));
    }
    for (stream, kg) in too_old {
        notes.push(say!(
            "ahead-too-old",
            stream,
            weight = known.units.weight_kg(kg)
        ));
    }
    for (stream, kg) in not_fed {
        notes.push(say!(
            "ahead-not-fed",
            stream,
            weight = known.units.weight_kg(kg)
        ));
    }
    spread
}

/// Loads of the last half year before today; today may not be over.
pub(crate) struct Loads {
    pub(crate) history: History,
    pub(crate) bought: BTreeSet<StreamId>,
}

pub(crate) fn loads(
    book: &Book,
    farm: &FarmSettings,
    today: Date,
    plan: &PlanFile,
) -> Result<Loads> {
    let earliest = today
        .checked_sub(WEEKS_LEARNED.weeks())
        .map_err(|error| ActError::Time(error.into()))?;
    let tickets = book.tickets_between(midnight(earliest, farm)?, midnight(today, farm)?, false)?;
    let mut found = Loads {
        history: History {
            from: today,
            until: today,
            arrived: Vec::new(),
            holidays: plan.holidays.iter().map(|holiday| holiday.day).collect(),
        },
        bought: BTreeSet::new(),
    };
    for ticket in tickets {
        let day = local_day(ticket.filed.at, &farm.zone);
        found.history.from = found.history.from.min(day);
        let entry = ticket.filed.entry;
        if entry.verdict == Verdict::Refuse {
            continue;
        }
        if entry.bought {
            found.bought.insert(entry.stream);
        } else {
            let picked: Grams = entry.picked_out.iter().map(|part| part.grams).sum();
            found.history.arrived.push(Arrived {
                supplier: entry.supplier,
                stream: entry.stream,
                day,
                kg: (entry.net_g - picked).kg(),
                moisture_pct: entry.moisture_pct,
            });
        }
    }
    Ok(found)
}

pub(crate) fn expected(
    loads: &Loads,
    days: &[Date],
    plan: &PlanFile,
    rows: &[Expected],
) -> Forecast {
    let mut told = forecast(&loads.history, days.get(1..).unwrap_or_default());
    for one in &mut told.expected {
        if let Some(holiday) = plan.holidays.iter().find(|holiday| holiday.day == one.day) {
            one.kg *= holiday.share;
            one.spread_kg *= holiday.share;
        }
    }
    for row in rows {
        told.expected.retain(|one| {
            (one.day, &one.supplier, &one.stream) != (row.day, &row.supplier, &row.stream)
        });
        let is_ahead = days.get(1..).unwrap_or_default().contains(&row.day);
        told.expected.extend(is_ahead.then(|| row.clone()));
    }
    told.expected.retain(|one| one.kg > 0.0);
    told.expected
        .sort_by(|a, b| (a.day, &a.stream, &a.supplier).cmp(&(b.day, &b.stream, &b.supplier)));
    told
}

fn batch_of(
    one: &Expected,
    stream: &Stream,
    learned: Option<&Learned>,
    days: &[Date],
    ages: &AgeLimits,
) -> Option<Batch> {
    let first = days.iter().position(|day| *day == one.day)?;
    let on_hand = Grams::from_kg(one.kg)?;
    let name = format!("{} {} {}", one.stream.as_str(), one.day, one.supplier);
    let mut batch = Batch::to_come(name, stream, on_hand, ages, first);
    batch.lot.composition.moisture = moisture_of(one.moisture_pct, learned, stream);
    batch.lot.composition.density = density_of(learned, stream);
    batch.lot.price_per_kg = stream.price_per_kg.unwrap_or(0.0);
    batch.supplier.clone_from(&one.supplier);
    Some(batch)
}
