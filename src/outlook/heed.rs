//! What to do about it: each piece of advice is taken in a copy of the outlook
//! and solved again before it is given.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;
use schemars::JsonSchema;
use serde::Serialize;

use crate::blend::solve::Unsolved;
use crate::quantity::Grams;
use crate::quantity::wire::Kg;
use crate::stream::{Measure, Side, StreamId};

use super::foresee::{Foreseen, foresee, goals_met};
use super::plan::{Batch, Outlook};
use super::rows::Source;

#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Wrong {
    /// Dry matter is missing.
    Short,
    /// A measure is beyond this end of its window.
    Out(Measure, Side),
}

/// Several nights in a row with the same trouble.
#[derive(Debug, Clone, PartialEq)]
pub struct Trouble {
    pub from: Date,
    pub to: Date,
    pub wrong: Wrong,
    pub groups: BTreeSet<String>,
    /// By how much at worst: a share, or kilograms of dry matter missing on one night.
    pub worst: f64,
}

/// What a solve with the advice taken says.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Checked {
    /// Σ shortage / wanted, with the advice taken.
    pub shortage: f64,
    /// Second goal, with the advice taken.
    pub outside: f64,
    /// Whether it is no worse than what the advice promises.
    pub holds: bool,
}

impl Checked {
    /// Shortage and outside as solved again, beside what was promised.
    pub(super) fn against((shortage, outside): (f64, f64), promised: (f64, f64)) -> Self {
        Self {
            shortage,
            outside,
            holds: shortage <= promised.0 + SAME && outside <= promised.1 + SAME,
        }
    }
}

/// What to do.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[serde(tag = "do", rename_all = "snake_case")]
pub enum Advice {
    Buy(Buy),
    /// Accept no more than can be fed.
    Accept(Accept),
    /// Take out of the stock what is past use by tomorrow.
    #[serde(rename = "compost")]
    Clear(Clear),
}

#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Buy {
    pub stream: StreamId,
    /// Weight, whole packs.
    #[serde(rename = "kg", with = "Kg")]
    pub grams: Grams,
    /// How many packs, where it comes in packs.
    pub packs: Option<i64>,
    #[schemars(with = "String")]
    pub there_on: Date,
    #[schemars(with = "String")]
    pub order_by: Date,
    pub cost: f64,
    /// The solve with all that is advised bought.
    #[serde(rename = "solved_again")]
    pub checked: Checked,
}

#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Accept {
    pub stream: StreamId,
    /// The first night of loads that are too much.
    #[schemars(with = "String")]
    pub from: Date,
    /// The last.
    #[schemars(with = "String")]
    pub to: Date,
    /// Kilograms expected, that may be fed.
    pub expected_kg: f64,
    /// Kilograms that are fed before they spoil; nought when so few are that
    /// none should come.
    pub at_most_kg: f64,
    /// The solve with no more than that accepted.
    #[serde(rename = "solved_again")]
    pub checked: Checked,
}

#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Clear {
    pub stream: StreamId,
    pub lots: Vec<String>,
    /// Kilograms that can't be fed in time.
    pub kg: f64,
    /// The last night they may be used.
    #[schemars(with = "String")]
    pub by: Date,
    /// The solve without that weight.
    #[serde(rename = "solved_again")]
    pub checked: Checked,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Heeded {
    /// The plan without buying anything.
    pub as_it_comes: Foreseen,
    pub troubles: Vec<Trouble>,
    pub advice: Vec<Advice>,
    /// The outlook with what is advised bought, as lots.
    pub outlook: Outlook,
    pub with_advice: Foreseen,
}

/// Less than this share of dry matter missing is no shortage on a plan (our default).
pub(super) const SHORT_SHARE: f64 = 0.01;
/// Less than this spoiling is not worth a word, kilograms (our default).
const SPOILING_KG: f64 = 1.0;
/// A smaller share of a load is not worth a word, or not worth bringing (our default).
const WORTH_SAYING: f64 = 0.10;
/// A lot younger than this is not sent to compost, days (our default).
const A_DAY_OLD: f64 = 1.0;
/// Re-solved goals may differ from the promised by this much, in their own unit.
pub(super) const SAME: f64 = 1e-5;

/// The troubles of a plan, those that begin first in front.
pub fn troubles(foreseen: &Foreseen) -> Vec<Trouble> {
    let mut found: Vec<Trouble> = Vec::new();
    for night in &foreseen.nights {
        for group in &night.groups {
            let short = group.short_kg();
            let is_short = short > SHORT_SHARE * group.wanted_dm_kg;
            let out = group.measures.iter().filter_map(|figure| {
                let (bound, by) = figure.missed()?;
                Some((Wrong::Out(figure.measure.clone(), bound.side), by))
            });
            let all = is_short.then_some((Wrong::Short, short)).into_iter();
            for (wrong, by) in all.chain(out) {
                note(&mut found, night.day, wrong, &group.name, by);
            }
        }
    }
    found
}

fn note(found: &mut Vec<Trouble>, day: Date, wrong: Wrong, group: &str, by: f64) {
    let goes_on = |to: Date| to.tomorrow().is_ok_and(|next| next >= day);
    let same = |trouble: &&mut Trouble| trouble.wrong == wrong && goes_on(trouble.to);
    if let Some(trouble) = found.iter_mut().find(same) {
        trouble.to = day;
        trouble.worst = trouble.worst.max(by);
        trouble.groups.insert(group.to_owned());
    } else {
        found.push(Trouble {
            from: day,
            to: day,
            wrong,
            groups: BTreeSet::from([group.to_owned()]),
            worst: by,
        });
    }
}

/// Plans as it comes, finds the troubles, and advises.
pub fn heed(outlook: &Outlook) -> Result<Heeded, Unsolved> {
    let bare = outlook.without_buying();
    let as_it_comes = foresee(&bare)?;
    let troubles = troubles(&as_it_comes);
    let mut advice = Vec::new();
    let mut stocked = bare;
    let mut with_advice = as_it_comes.clone();
    if !troubles.is_empty() && !outlook.offers.is_empty() {
        let bought = buy(outlook, &as_it_comes)?;
        if let Some(bought) = bought.filter(|(advice, ..)| !advice.is_empty()) {
            (advice, stocked, with_advice) = bought;
        }
    }
    let promised = with_advice.goals();
    advice.extend(accept(&stocked, &with_advice, promised)?);
    advice.extend(clear(&stocked, &with_advice, promised)?);
    Ok(Heeded {
        as_it_comes,
        troubles,
        advice,
        outlook: stocked,
        with_advice,
    })
}

impl Heeded {
    /// Streams of which something spoils unfed in the plan that could have been
    /// fed: nobody asks for more of them. What is past use already counts for nothing.
    pub fn wasted(&self) -> BTreeSet<&StreamId> {
        let batches = self.outlook.batches.iter().zip(&self.with_advice.fates);
        batches
            .filter(|(batch, _)| batch.expected || self.outlook.last_night(batch) > 0)
            .filter(|(_, fate)| fate.lost_kg() > SPOILING_KG)
            .map(|(batch, _)| &batch.lot.stream)
            .collect()
    }
}

fn checked(outlook: &Outlook, promised: (f64, f64)) -> Result<Checked, Unsolved> {
    Ok(Checked::against(goals_met(outlook)?, promised))
}

/// Buys as the four goals ask for, in whole packs: each stream with its first
/// delivery where that does as well, else delivery by delivery.
fn buy(
    outlook: &Outlook,
    as_it_comes: &Foreseen,
) -> Result<Option<(Vec<Advice>, Outlook, Foreseen)>, Unsolved> {
    let plan = foresee(outlook)?;
    let promised = plan.goals();
    let mut kg: BTreeMap<usize, f64> = BTreeMap::new();
    for draw in &plan.draws {
        if let Source::Offer(index) = draw.source {
            *kg.entry(index).or_default() += draw.kg;
        }
    }
    kg.retain(|_, kg| *kg > SAME);
    let helps =
        promised.0 < as_it_comes.shortage - SAME || promised.1 < as_it_comes.tiers.outside - SAME;
    if !helps {
        return Ok(None);
    }
    let order = |at_once: bool| {
        let packs = ordered(outlook, &kg, at_once);
        let stocked = with_bought(outlook, &packs);
        let plan = foresee(&stocked)?;
        let checked = Checked::against(plan.goals(), promised);
        Ok((packs, stocked, plan, checked))
    };
    let mut ordered = order(true)?;
    if !ordered.3.holds {
        ordered = order(false)?;
    }
    let (packs, stocked, plan, checked) = ordered;
    let advice = packs.iter().map(|(index, grams)| {
        let offer = &outlook.offers[*index];
        Advice::Buy(Buy {
            stream: offer.purchase.stream.clone(),
            grams: *grams,
            packs: offer.pack.map(|pack| grams.get() / pack.get().max(1)),
            there_on: outlook.nights[offer.first].day,
            order_by: offer.order_by,
            cost: grams.kg() * offer.purchase.price_per_kg,
            checked,
        })
    });
    Ok(Some((advice.collect(), stocked, plan)))
}

/// What to order with each delivery: whole packs, never more than the delivery
/// may hold. What one can't hold goes with the next of the same stream;
/// `at_once` begins with the first that is asked for and waits for nothing.
fn ordered(outlook: &Outlook, kg: &BTreeMap<usize, f64>, at_once: bool) -> BTreeMap<usize, Grams> {
    let mut deliveries: BTreeMap<&StreamId, Vec<usize>> = BTreeMap::new();
    for (index, offer) in outlook.offers.iter().enumerate() {
        let of_stream = deliveries.entry(&offer.purchase.stream);
        of_stream.or_default().push(index);
    }
    let mut ordered = BTreeMap::new();
    for indices in deliveries.values_mut() {
        indices.sort_by_key(|index| outlook.offers[*index].first);
        let asked = |index: &usize| kg.get(index).copied().unwrap_or_default();
        let all: f64 = indices.iter().map(asked).sum();
        let mut waiting = if at_once { all } else { 0.0 };
        for index in indices.iter().skip_while(|index| asked(index) <= SAME) {
            waiting += if at_once { 0.0 } else { asked(index) };
            let grams = whole_packs(outlook, *index, waiting);
            if grams > Grams::ZERO {
                ordered.insert(*index, grams);
            }
            waiting = (waiting - grams.kg()).max(0.0);
        }
    }
    ordered
}

/// The weight to order: whole packs, else whole kilograms; never above what the
/// delivery may hold.
fn whole_packs(outlook: &Outlook, offer: usize, kg: f64) -> Grams {
    let offer = &outlook.offers[offer];
    let pack = offer.pack.unwrap_or(Grams::new(1_000)).get().max(1);
    let needed = Grams::from_kg(kg).unwrap_or(Grams::ZERO).get();
    let packs = (needed + pack - 1).div_euclid(pack);
    let most = offer.purchase.limit.get().div_euclid(pack);
    Grams::new(packs.min(most) * pack)
}

/// The outlook with these weights of its offers there as lots, and nothing else to buy.
pub(super) fn with_bought(outlook: &Outlook, bought: &BTreeMap<usize, Grams>) -> Outlook {
    let mut stocked = outlook.without_buying();
    for (index, grams) in bought {
        let offer = &outlook.offers[*index];
        let what = &offer.purchase;
        let name = format!("bought {} {index}", what.stream.as_str());
        // Paid for already; else the last goal would leave it lying.
        let composition = what.composition.clone();
        let mut batch = Batch::of(name, &what.stream, *grams, composition, offer.first);
        batch.lot.keeps_days = offer.keeps_days;
        stocked.batches.push(Batch {
            supplier: "bought".to_owned(),
            most_times: offer.most_times,
            ..batch
        });
    }
    stocked
}

fn accept(
    outlook: &Outlook,
    plan: &Foreseen,
    promised: (f64, f64),
) -> Result<Vec<Advice>, Unsolved> {
    let mut by_stream: BTreeMap<&StreamId, Vec<usize>> = BTreeMap::new();
    for (index, batch) in outlook.batches.iter().enumerate() {
        let fate = plan.fates[index];
        if batch.expected && fate.lost_kg() > 0.1 {
            by_stream.entry(&batch.lot.stream).or_default().push(index);
        }
    }
    let mut advice = Vec::new();
    for (stream, indices) in by_stream {
        let night = |index: &usize| outlook.batches[*index].first;
        let (from, to) = (
            indices.iter().map(night).min().unwrap_or_default(),
            indices.iter().map(night).max().unwrap_or_default(),
        );
        // All loads of those days, also those that are used whole.
        let is_one = |batch: &Batch| {
            let fits = batch.lot.stream == *stream && batch.lot.barred.is_none();
            fits && batch.expected && (from..=to).contains(&batch.first)
        };
        let all = outlook.batches.iter().enumerate();
        let loads = all.filter(|(_, batch)| is_one(batch));
        let loads: Vec<usize> = loads.map(|(index, _)| index).collect();
        let sum = |kg: &dyn Fn(usize) -> f64| loads.iter().map(|index| kg(*index)).sum::<f64>();
        let expected_kg = sum(&|index| outlook.batches[index].lot.edible.kg());
        let used_kg = sum(&|index| plan.fates[index].kept_kg());
        if expected_kg - used_kg < SPOILING_KG.max(WORTH_SAYING * expected_kg) {
            continue;
        }
        let with_at_most = |share: f64| {
            let mut taken = outlook.clone();
            for index in &loads {
                let kept_kg = share * plan.fates[*index].kept_kg();
                shrink(&mut taken.batches[*index], kept_kg);
            }
            checked(&taken, promised)
        };
        // Nobody brings a hundredth of a load: where that little is used, the
        // word is no, if no night is worse for it.
        let none = (used_kg < WORTH_SAYING * expected_kg)
            .then(|| with_at_most(0.0))
            .transpose()?
            .filter(|checked| checked.holds);
        let (at_most_kg, checked) = match none {
            Some(checked) => (0.0, checked),
            None => (used_kg, with_at_most(1.0)?),
        };
        advice.push(Advice::Accept(Accept {
            stream: stream.clone(),
            from: outlook.nights[from].day,
            to: outlook.nights[to].day,
            expected_kg,
            at_most_kg,
            checked,
        }));
    }
    Ok(advice)
}

fn clear(
    outlook: &Outlook,
    plan: &Foreseen,
    promised: (f64, f64),
) -> Result<Vec<Advice>, Unsolved> {
    let mut by_stream: BTreeMap<(&StreamId, usize), Vec<usize>> = BTreeMap::new();
    for (index, batch) in outlook.batches.iter().enumerate() {
        let fate = plan.fates[index];
        let by = outlook.last_night(batch);
        // What came today or keeps beyond tomorrow is planned anew before it is
        // lost: nobody composts this morning's load.
        let is_pressing = by <= 1 && batch.lot.age_days >= A_DAY_OLD;
        if !batch.expected && is_pressing && fate.lost_kg() > 0.1 {
            let key = (&batch.lot.stream, by);
            by_stream.entry(key).or_default().push(index);
        }
    }
    let mut advice = Vec::new();
    for ((stream, by), indices) in by_stream {
        let gone = |index: &usize| plan.fates[*index].lost_kg();
        let kg: f64 = indices.iter().map(gone).sum();
        if kg < SPOILING_KG {
            continue;
        }
        let mut taken = outlook.clone();
        for index in &indices {
            let rest = taken.batches[*index].lot.edible.kg() - gone(index);
            shrink(&mut taken.batches[*index], rest);
        }
        let name = |index: &usize| outlook.batches[*index].lot.name.clone();
        advice.push(Advice::Clear(Clear {
            stream: stream.clone(),
            lots: indices.iter().map(name).collect(),
            kg,
            by: outlook.nights[by.min(outlook.nights.len() - 1)].day,
            checked: checked(&taken, promised)?,
        }));
    }
    Ok(advice)
}

fn shrink(batch: &mut Batch, kg: f64) {
    let grams = Grams::from_kg(kg.max(0.0)).unwrap_or(Grams::ZERO);
    // A gram up, so that rounding takes nothing the plan needs.
    let up = i64::from(kg > 0.0);
    let grams = Grams::new(grams.get() + up).min(batch.lot.edible);
    batch.lot.edible = grams;
    batch.lot.on_hand = grams;
}
