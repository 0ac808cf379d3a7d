use std::collections::BTreeMap;

use jiff::ToSpan;
use jiff::civil::Date;

use super::arrivals::{Known, Loads, add_expected, expected, loads};
use crate::acts::harvest::on_trays::cohorts_with_residue;
use crate::acts::night::mix::{blend_lot, group_of, name_apart};
use crate::acts::stock::stock_and_learned;
use crate::acts::{ActError, Desk, Night, Result, Tables};
use crate::blend::{Composition, Lot, Purchase};
use crate::larvae::{CohortOnTrays, Due, demand, larvae_fed};
use crate::outlook::{
    ANY_WEIGHT, Batch, BuyRow, Expected, Forecast, HatchRow, NightAhead, Offer, Outlook, PlanFile,
    Spread, Storage,
};
use crate::stock::{LearnedBySupplier, StockLot};
use crate::stream::{Class, StreamId, UseRules};
use crate::words::{Said, say};

/// What was gathered from book, tables and files.
pub(crate) struct Gathered {
    pub(crate) outlook: Outlook,
    pub(crate) forecast: Forecast,
    pub(crate) spread: Spread,
    pub(crate) notes: Vec<Said>,
    pub(crate) kept_out: KeptOut,
}

/// Gathers the outlook; the caller sees to it that it is read at one moment.
pub(crate) fn gather(
    (book, farm, tables): Desk<'_>,
    night: Night,
    nights: usize,
    plan: &PlanFile,
    rows: &[Expected],
) -> Result<Gathered> {
    let tables = &*tables.of_farm(book, night.at)?;
    let mut notes = Vec::new();
    let days: Vec<Date> = (0..i64::try_from(nights).unwrap_or_default())
        .filter_map(|ahead| night.day.checked_add(ahead.days()).ok())
        .collect();
    let cohorts = cohorts_with_residue((book, farm, tables), night)?;
    let cohorts = with_hatches(cohorts, &days, plan, &mut notes);
    let ahead = nights_ahead(cohorts, &days, tables);
    if ahead.iter().all(|night| night.groups.is_empty()) {
        let last = days.last().copied().unwrap_or(night.day);
        return Err(ActError::NothingDue {
            had: Vec::new(),
            night: say!("refused-any-night", first = night.day, last),
            later: Vec::new(),
        });
    }
    let loads = loads(book, farm, night.day, plan)?;
    let forecast = expected(&loads, &days, plan, rows);
    let (mut batches, learned, kept_out) = on_hand((book, farm, tables), night)?;
    let rules = tables.rules(farm)?;
    let known = Known {
        tables,
        rules: &rules,
        learned: &learned,
        units: farm.units,
    };
    let spread = add_expected(&forecast, &known, &days, &mut batches, &mut notes);
    let offers = offers(tables, &rules, plan, &loads, &days, &mut notes);
    let outlook = Outlook {
        offers,
        batches,
        water_limit: plan.water,
        division: farm.units.division,
        cold: plan.cold,
        storage: Storage {
            limit_kg: plan.storage_kg,
            limit_l: plan.storage_l,
            assumed_density: tables
                .stages
                .stages
                .iter()
                .find_map(|stage| stage.assumed_density.as_ref())
                .map(|cited| cited.value),
        },
        usable_keeping_times: (plan.usable_keeping_times).unwrap_or(tables.stages.ages.times),
        nights: ahead,
    };
    Ok(Gathered {
        outlook,
        forecast,
        spread,
        notes,
        kept_out,
    })
}

/// What each night asks for. What a night's meal leaves on the trays is there
/// on the next, less what will be gone of it.
fn nights_ahead(
    mut cohorts: Vec<CohortOnTrays>,
    days: &[Date],
    tables: &Tables,
) -> Vec<NightAhead> {
    let stages = &tables.stages;
    let mut ahead = Vec::new();
    for day in days {
        let due = demand(&cohorts, *day, stages);
        ahead.push(NightAhead {
            day: *day,
            larvae: larvae_fed(&cohorts, *day, stages),
            groups: due
                .iter()
                .map(|due| group_of(due, &tables.streams))
                .collect(),
        });
        let of_dry = due.iter().flat_map(|group| {
            let litres_per_kg = group.stage.litres_per_dry_kg() * (1.0 - stages.reduction.value);
            let stays = |due: &Due| (due.cohort.name.clone(), due.dry_matter_kg * litres_per_kg);
            group.due.iter().map(stays).collect::<Vec<_>>()
        });
        let stays: BTreeMap<String, f64> = of_dry.collect();
        for cohort in &mut cohorts {
            cohort.lies_l += stays.get(&cohort.name).copied().unwrap_or_default();
        }
    }
    ahead
}

/// By stream, kilograms and names of lots that their age or who looked at them keeps out.
type KeptOut = BTreeMap<StreamId, (f64, Vec<String>)>;

/// The lots on hand, as tonight's mix has them, what was learned of suppliers,
/// and what is kept out.
fn on_hand(
    (book, farm, tables): Desk<'_>,
    night: Night,
) -> Result<(Vec<Batch>, LearnedBySupplier, KeptOut)> {
    let (stock, learned) = stock_and_learned((book, farm, tables), night.at)?;
    let mut lots: Vec<Lot> = stock
        .lots
        .iter()
        .map(|lot| blend_lot(lot, &tables.streams))
        .collect();
    name_apart(&mut lots, &stock.lots);
    let mut kept_out = KeptOut::new();
    for (lot, in_stock) in lots.iter().zip(&stock.lots) {
        if in_stock.is_feed() && lot.barred.is_some() {
            let (kg, names) = kept_out.entry(lot.stream.clone()).or_default();
            *kg += lot.on_hand.kg();
            names.push(lot.name.clone());
        }
    }
    let batches = lots
        .into_iter()
        .zip(&stock.lots)
        .map(|(lot, in_stock)| Batch {
            supplier: in_stock.book.supplier.clone(),
            most_times: tables.stages.ages.class_limit(classes_of(in_stock, tables)),
            ..Batch::plain(lot, 0)
        });
    Ok((batches.collect(), learned, kept_out))
}

/// A lot's own class and those it touched.
fn classes_of(lot: &StockLot, tables: &Tables) -> Vec<Class> {
    let own = tables.streams.get(&lot.book.stream);
    let touched = lot.book.touched.iter().copied();
    touched.chain(own.map(|stream| stream.class)).collect()
}

/// Cohorts that are there and those to come: planned, or else going on as before.
fn with_hatches(
    mut cohorts: Vec<CohortOnTrays>,
    days: &[Date],
    plan: &PlanFile,
    notes: &mut Vec<Said>,
) -> Vec<CohortOnTrays> {
    let (Some(today), Some(last)) = (days.first().copied(), days.last().copied()) else {
        return cohorts;
    };
    let to_come = |(number, of): (usize, HatchRow)| CohortOnTrays {
        name: format!("planned {number}"),
        hatched: of.day,
        larvae: of.larvae,
        trays: of.trays,
        tray_area_m2: of.tray_area_m2,
        depth_cm: None,
        first_night: of.day,
        feeding: None,
        lies_l: 0.0,
    };
    let is_ahead = |day: Date| day > today && day <= last;
    if let Some(hatches) = &plan.hatches {
        let planned = hatches.iter().filter(|hatch| is_ahead(hatch.day)).cloned();
        cohorts.extend(planned.enumerate().map(to_come));
        return cohorts;
    }
    cohorts.sort_by_key(|cohort| cohort.hatched);
    let mut gaps: Vec<i32> = cohorts
        .windows(2)
        .map(|pair| (pair[1].hatched - pair[0].hatched).get_days())
        .filter(|gap| *gap > 0)
        .collect();
    gaps.sort_unstable();
    let (Some(newest), Some(&gap)) = (cohorts.last().cloned(), gaps.get(gaps.len() / 2)) else {
        if days.len() > 1 {
            notes.push(say!("ahead-no-hatch"));
        }
        return cohorts;
    };
    let as_before = (1..)
        .map_while(|times| (newest.hatched.checked_add((times * i64::from(gap)).days())).ok())
        .take_while(|day| *day <= last)
        .filter(|day| is_ahead(*day))
        .map(|day| HatchRow {
            day,
            larvae: newest.larvae,
            trays: newest.trays,
            tray_area_m2: newest.tray_area_m2,
        });
    let before = cohorts.len();
    cohorts.extend(as_before.enumerate().map(to_come));
    if cohorts.len() > before {
        let (larvae, cohort) = (newest.larvae, &newest.name);
        notes.push(say!("ahead-hatches", days = gap, larvae, cohort));
    }
    cohorts
}

/// What can be bought: as the plan file says, else what the farm bought before.
fn offers(
    tables: &Tables,
    rules: &UseRules,
    plan: &PlanFile,
    loads: &Loads,
    days: &[Date],
    notes: &mut Vec<Said>,
) -> Vec<Offer> {
    let before = || {
        let rows = loads.bought.iter().map(|stream| BuyRow {
            stream: stream.clone(),
            price_per_kg: None,
            pack: None,
            limit: ANY_WEIGHT,
            delivery_days: Vec::new(),
            lead_days: 1,
        });
        rows.collect::<Vec<_>>()
    };
    let rows = plan.buy.clone().unwrap_or_else(before);
    if plan.buy.is_none() && !rows.is_empty() && days.len() > 1 {
        let names = rows.iter().map(|row| Said::from(&row.stream));
        notes.push(say!("ahead-buys", streams = Said::joined(names, ", ")));
    }
    let mut offers = Vec::new();
    for row in rows {
        let Some(stream) = tables.streams.get(&row.stream) else {
            continue;
        };
        let Some(price_per_kg) = row.price_per_kg.or(stream.price_per_kg) else {
            notes.push(say!("ahead-no-price", stream = &row.stream));
            continue;
        };
        let flag = tables.judge(stream, Some(rules), None);
        if !flag.verdict.may_be_bought() {
            let (stream, why) = (&row.stream, flag.said());
            notes.push(say!("ahead-not-bought", stream, why));
            continue;
        }
        let lead = usize::try_from(row.lead_days).unwrap_or_default();
        let deliveries = days.iter().enumerate().skip(lead).filter(|(_, day)| {
            row.delivery_days.is_empty() || row.delivery_days.contains(&day.weekday())
        });
        for (first, day) in deliveries.take(MOST_DELIVERIES) {
            offers.push(Offer {
                purchase: Purchase {
                    stream: stream.id.clone(),
                    composition: Composition::of(stream),
                    price_per_kg,
                    limit: row.limit,
                },
                first,
                keeps_days: stream.keeps_days,
                most_times: tables.stages.ages.class_limit([stream.class]),
                pack: row.pack,
                order_by: day
                    .checked_sub(i64::from(row.lead_days).days())
                    .unwrap_or(*day),
            });
        }
    }
    offers
}

/// Deliveries of one stream that are looked at (our default).
const MOST_DELIVERIES: usize = 7;
