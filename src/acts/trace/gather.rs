//! From the book's rows to what a trace is made of: shares of meals, lots, ways out.

use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, BTreeSet, HashMap};

use jiff::tz::TimeZone;
use jiff::{Timestamp, ToSpan, civil::Date};

use crate::acts::Result;
use crate::acts::harvest::meals::{Eater, Helping, Meals, of_no_lot};
use crate::acts::night::local_day;
use crate::acts::stock::lot::lot_name;
use crate::daybook::{Book, CohortLife, FedLine, Filed, Harvest, LeftLine, Payment, ResidueTo};
use crate::larvae::StageTable;
use crate::quantity::{Grams, shared_by_mass};
use crate::stream::Verdict;
use crate::trace::{
    CohortTraced, HarvestTraced, LeftAnotherWay, LotTraced, Origin, Portion, SaleTraced, Unplaced,
};
use crate::words::say;

/// Shares of meals, and what found no eater.
#[derive(Default)]
pub(crate) struct Shared {
    pub(crate) portions: Vec<Portion>,
    pub(crate) unplaced: Vec<Unplaced>,
}

/// A cohort to trace back, and the last night whose feed counts.
pub(crate) struct Traced<'a> {
    pub(crate) life: &'a CohortLife,
    pub(crate) until: Date,
}

/// Youngest and oldest age at which larvae are fed, days.
fn fed_ages(stages: &StageTable) -> (i32, i32) {
    let first = stages.stages.iter().map(|stage| stage.from_day).min();
    let last = stages.stages.iter().map(|stage| stage.to_day).max();
    (first.unwrap_or_default(), last.unwrap_or_default())
}

fn later(day: Date, days: i32) -> Date {
    day.saturating_add(days.days())
}

/// A helping shared among those who ate, to the gram, largest remainder first;
/// nobody when no cohort was due in the group.
fn shares(meals: &mut Meals<'_>, helping: &Helping) -> Vec<Portion> {
    let eaters = meals.eaters(helping);
    // Milligrams stand for the masses; only their ratio counts.
    let mass = |eater: &Eater| Grams::from_kg(eater.asked_kg * 1000.0).unwrap_or_default();
    let masses = eaters.iter().map(|eater| mass(eater).max(Grams::new(1)));
    let shares = shared_by_mass(helping.grams, &masses.collect::<Vec<_>>()).unwrap_or_default();
    let portion = |(eater, grams): (&Eater, Grams)| Portion {
        fed_seq: helping.fed_seq,
        night: helping.night,
        group: helping.group.clone(),
        origin: helping.of.clone(),
        cohort_seq: eater.cohort_seq,
        grams,
    };
    eaters.iter().zip(shares).map(portion).collect()
}

/// Who ate of what was fed in these lines.
pub(crate) fn shared_out(
    book: &Book,
    by: (&StageTable, &TimeZone),
    lines: &[FedLine],
) -> Result<Shared> {
    let nights = || lines.iter().map(|line| line.night);
    let (Some(first), Some(last)) = (nights().min(), nights().max()) else {
        return Ok(Shared::default());
    };
    let (youngest, oldest) = fed_ages(by.0);
    let hatched = (later(first, -oldest), later(last, -youngest));
    let lives = book.cohort_lives_hatched(hatched.0, hatched.1)?;
    let mut meals = Meals::of(by, &lives);
    let mut shared = Shared::default();
    let mut living = BTreeMap::new();
    for line in lines {
        let portions = shares(&mut meals, &line.clone().map(Origin::Lot));
        if portions.is_empty() {
            shared.unplaced.push(unplaced(book, line, &mut living)?);
        }
        shared.portions.extend(portions);
    }
    Ok(shared)
}

/// A line nobody was due for, with the cohorts on their trays then.
fn unplaced(
    book: &Book,
    line: &FedLine,
    living: &mut BTreeMap<Timestamp, Vec<String>>,
) -> Result<Unplaced> {
    let on_trays = match living.entry(line.at) {
        Entry::Occupied(known) => known.into_mut(),
        Entry::Vacant(one) => {
            let cohorts = book.cohorts(line.at)?.into_iter();
            one.insert(cohorts.map(|cohort| cohort.entry.name).collect())
        }
    };
    Ok(Unplaced {
        fed_seq: line.fed_seq,
        night: line.night,
        group: line.group.clone(),
        lot_seq: line.of,
        grams: line.grams,
        on_trays: on_trays.clone(),
    })
}

/// What these cohorts ate, each until its night; and what nobody was due
/// for while they were on their trays at an age at which larvae are fed.
pub(crate) fn eaten_by(
    book: &Book,
    by: (&StageTable, &TimeZone),
    cohorts: &[Traced<'_>],
) -> Result<Shared> {
    let hatched = || cohorts.iter().map(|of| of.life.cohort.entry.hatched);
    let (Some(first), Some(last)) = (hatched().min(), hatched().max()) else {
        return Ok(Shared::default());
    };
    // Whoever ate beside the youngest or the oldest is among these.
    let (youngest, oldest) = fed_ages(by.0);
    let span = oldest - youngest;
    let lives = book.cohort_lives_hatched(later(first, -span), later(last, span))?;
    let mut meals = Meals::of(by, &lives);
    let mut shared = Shared::default();
    let (mut living, mut known) = (BTreeMap::new(), BTreeSet::new());
    for of in cohorts {
        let cohort = &of.life.cohort;
        let hatched = cohort.entry.hatched;
        let first = later(hatched, youngest);
        let last = later(hatched, oldest).min(of.until);
        let mut own = |portions: Vec<Portion>| {
            let portions = portions.into_iter();
            let own = portions.filter(|portion| portion.cohort_seq == cohort.seq);
            shared.portions.extend(own);
        };
        let ended = of.life.ended.as_ref().map(|(ended, _)| *ended);
        let mut told_now = BTreeSet::new();
        for line in book.fed_lines(first, last)? {
            let portions = shares(&mut meals, &line.clone().map(Origin::Lot));
            let was_there = cohort.at <= line.at && ended.is_none_or(|ended| ended > line.at);
            let key = (line.fed_seq, line.group.clone());
            if portions.is_empty() && was_there && !known.contains(&key) {
                shared.unplaced.push(unplaced(book, &line, &mut living)?);
                told_now.insert(key);
            }
            own(portions);
        }
        known.extend(told_now);
        for line in book.added_lines(first, last)? {
            own(shares(&mut meals, &line.map(of_no_lot)));
        }
    }
    Ok(shared)
}

/// The lots as a trace tells them, in the order of their tickets.
pub(crate) fn lots_traced(
    book: &Book,
    zone: &TimeZone,
    seqs: &[i64],
    fed: &[FedLine],
) -> Result<Vec<LotTraced>> {
    let mut fed_of: HashMap<i64, Grams> = HashMap::new();
    for line in fed {
        *fed_of.entry(line.of).or_default() += line.grams;
    }
    let mut left = book.left_otherwise(seqs.iter().copied())?;
    let facts = book.lot_facts(seqs.iter().copied())?.into_values();
    let lots = facts.map(|lot| {
        let lines = left.remove(&lot.seq).unwrap_or_default();
        Ok(LotTraced {
            seq: lot.seq,
            name: lot_name(&lot.id, lot.number),
            supplier: lot.supplier,
            stream: lot.stream,
            came: local_day(lot.at, zone),
            net: lot.net_g,
            verdict: lot.verdict,
            touched: lot.touched,
            fed: fed_of.get(&lot.seq).copied().unwrap_or_default(),
            left: lines.into_iter().map(|line| way_out(&line, zone)).collect(),
            on_hand: match lot.verdict {
                Verdict::Refuse => Grams::ZERO,
                _ => book.remaining_of(lot.seq)?.unwrap_or_default(),
            },
        })
    });
    lots.collect()
}

fn way_out(line: &LeftLine, zone: &TimeZone) -> LeftAnotherWay {
    LeftAnotherWay {
        seq: line.seq,
        day: local_day(line.at, zone),
        grams: line.grams,
        way: line.kind.said(),
    }
}

/// Cohorts as a trace tells them; where several share a name, with the record.
pub(crate) fn cohorts_traced(lives: &[CohortLife], zone: &TimeZone) -> Vec<CohortTraced> {
    let mut named: HashMap<&str, usize> = HashMap::new();
    for life in lives {
        *named.entry(&life.cohort.entry.name).or_default() += 1;
    }
    let told = lives.iter().map(|life| {
        let (seq, cohort) = (life.cohort.seq, &life.cohort.entry);
        let ended = life.ended.as_ref();
        CohortTraced {
            seq,
            name: match named.get(cohort.name.as_str()) {
                Some(1) | None => cohort.name.clone(),
                Some(_) => format!("{} (r{seq})", cohort.name),
            },
            hatched: cohort.hatched,
            trays: cohort.trays,
            ended: ended.map(|(at, why)| (local_day(*at, zone), why.clone())),
        }
    });
    told.collect()
}

pub(crate) fn harvest_traced(harvest: &Filed<Harvest>, zone: &TimeZone) -> HarvestTraced {
    HarvestTraced {
        seq: harvest.seq,
        cohort_seq: harvest.entry.cohort_seq,
        day: local_day(harvest.at, zone),
        larvae: harvest.entry.larvae_g,
        residue: harvest.entry.residue_g,
        residue_to: harvest.entry.residue_to.map(ResidueTo::as_str),
    }
}

pub(crate) fn sale_traced(sale: Filed<Payment>, zone: &TimeZone) -> SaleTraced {
    SaleTraced {
        seq: sale.seq,
        day: local_day(sale.at, zone),
        product: say!("product", item = sale.entry.item.as_str()),
        grams: sale.entry.grams,
        paid: sale.entry.amount,
        buyer: sale.entry.party,
        cohort_seqs: sale.entry.cohort_seqs,
    }
}
