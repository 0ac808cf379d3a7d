use std::collections::BTreeMap;

use crate::blend::solve::Unsolved;
use crate::blend::{GOAL_SLACK, Walk, goals_in_order};
use crate::quantity::{Dice, Grams};

use super::foresee::{Foreseen, first_goals, keep_first};
use super::heed::SHORT_SHARE;
use super::plan::Outlook;
use super::rows::{Built, Source};
use super::ties::build;

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chance {
    pub weeks: usize,
    /// Weeks with a night on which more than 1 % of dry matter was missing, each
    /// night being mixed from what was there.
    pub short: usize,
    /// Weeks in which more than 1 % of all dry matter had to be missing, whatever was
    /// done after tonight: as if all arrivals were known.
    pub short_at_best: usize,
    /// Weeks with a night outside a window by more than a hair.
    pub outside: usize,
    pub nights: usize,
}

impl Chance {
    pub fn short_pct(&self) -> f64 {
        pct(self.short, self.weeks)
    }

    /// Weeks in a hundred that have to run short, were all arrivals known.
    pub fn short_at_best_pct(&self) -> f64 {
        pct(self.short_at_best, self.weeks)
    }

    /// One standard error of [`Self::short_pct`], in weeks of a hundred: `√(p (1 − p) / n)`.
    pub fn short_pct_error(&self) -> f64 {
        let share = self.short_pct() / 100.0;
        100.0 * (share * (1.0 - share) / self.weeks.max(1) as f64).sqrt()
    }
}

fn pct(part: usize, whole: usize) -> f64 {
    100.0 * (part as f64 / whole.max(1) as f64)
}

/// How far a batch may be off, one standard deviation in kilograms, by batch.
pub type Spread = Vec<f64>;

/// Nights played at most.
const WEEK: usize = 7;
/// The second goal counts as left from here on; window excesses of one night.
const OUTSIDE: f64 = 1e-3;

/// Plays `weeks` weeks with arrivals drawn around what is expected. Tonight is
/// the plan's own decision, the same in all; each later night is mixed from what
/// is there by the same goals as tonight's mix, without knowing what comes.
/// `go_on` is told how many weeks are played, and may say that it is enough.
pub fn chance_of_short(
    outlook: &Outlook,
    plan: &Foreseen,
    spread: &Spread,
    (weeks, seed): (usize, u64),
    mut go_on: impl FnMut(usize) -> bool,
) -> Result<Chance, Unsolved> {
    let mut chance = Chance {
        weeks: 0,
        short: 0,
        short_at_best: 0,
        outside: 0,
        nights: outlook.nights.len().min(WEEK),
    };
    let mut dice = Dice::seeded(seed);
    let nights = (1..chance.nights).filter_map(|night| NightPlayed::new(outlook, night));
    let mut nights: Vec<NightPlayed> = nights.collect();
    for week in 0..weeks {
        let came = came(outlook, spread, &mut dice);
        let left = after_tonight(plan, came);
        let (short, outside) = one_week(&mut nights, left.clone())?;
        // Fed enough night by night, it can be; only storage is not asked of a night.
        let may_lack = short || outlook.storage.binds();
        chance.short_at_best += usize::from(may_lack && short_at_best(outlook, &left)?);
        chance.short += usize::from(short);
        chance.outside += usize::from(outside);
        chance.weeks = week + 1;
        if !go_on(week + 1) {
            break;
        }
    }
    Ok(chance)
}

/// Kilograms of each batch in one drawn week.
fn came(outlook: &Outlook, spread: &Spread, dice: &mut Dice) -> Vec<f64> {
    let mut came = Vec::new();
    for (index, batch) in outlook.batches.iter().enumerate() {
        let kg = batch.lot.edible.kg();
        let spread = spread.get(index).copied().unwrap_or_default();
        came.push(if batch.expected && spread > 0.0 {
            dice.around(kg, spread).max(0.0)
        } else {
            kg
        });
    }
    came
}

fn after_tonight(plan: &Foreseen, mut left: Vec<f64>) -> Vec<f64> {
    for draw in plan.draws.iter().filter(|draw| draw.night == 0) {
        if let Some(index) = draw.source.batch() {
            left[index] = (left[index] - draw.kg).max(0.0);
        }
    }
    left
}

/// Whether dry matter has to be missing from tomorrow on, all arrivals being known.
fn short_at_best(outlook: &Outlook, left: &[f64]) -> Result<bool, Unsolved> {
    let mut week = outlook.clone();
    week.offers.clear();
    week.nights.truncate(WEEK);
    if let Some(tonight) = week.nights.first_mut() {
        tonight.groups.clear();
    }
    for (batch, kg) in week.batches.iter_mut().zip(left) {
        batch.lot.edible = Grams::from_kg(*kg).unwrap_or(Grams::ZERO);
    }
    week.batches.retain(|batch| batch.first < week.nights.len());
    let (tiers, _) = first_goals(&mut build(&week).plan, 1)?;
    Ok(tiers.short_dm_kg > SHORT_SHARE * week.dry_matter_kg())
}

fn one_week(nights: &mut [NightPlayed], mut left: Vec<f64>) -> Result<(bool, bool), Unsolved> {
    let (mut short, mut outside) = (false, false);
    for night in nights {
        let (short_dm_kg, out) = night.mix(&mut left)?;
        short |= short_dm_kg > SHORT_SHARE * night.wanted_dm_kg;
        outside |= out > OUTSIDE;
    }
    Ok((short, outside))
}

/// A night that each week mixes anew. Only what is left differs, which bounds columns
/// and rows, so that each week goes on from the corner of the one before.
struct NightPlayed {
    /// Places of its batches in the whole outlook.
    there: Vec<usize>,
    wanted_dm_kg: f64,
    built: Built,
    /// Its model with both first goals held at nought.
    fed_inside: Walk,
}

impl NightPlayed {
    /// `None` when nobody is fed.
    fn new(outlook: &Outlook, night: usize) -> Option<Self> {
        let (alone, there) = night_alone(outlook, night);
        if alone.nights[0].groups.is_empty() {
            return None;
        }
        let mut built = build(&alone);
        keep_first(&mut built.plan, 3);
        let mut model = built.plan.model.clone();
        for goal in [&built.plan.shortage, &built.plan.outside] {
            model.at_most("held at nought", goal.terms.clone(), GOAL_SLACK);
        }
        let nothing = vec![0.0; model.columns.len()];
        Some(Self {
            there,
            wanted_dm_kg: alone.dry_matter_kg(),
            built,
            fed_inside: Walk::new(model, nothing),
        })
    }

    /// Takes from what is left; dry matter missing, and how far outside. On most
    /// nights everyone can be fed inside: then one solve proves it and is the mix.
    fn mix(&mut self, left: &mut [f64]) -> Result<(f64, f64), Unsolved> {
        self.bound(left);
        let plan = &self.built.plan;
        let (outcome, point) = match self.fed_inside.next(&plan.urgent) {
            Some(found) => ((0.0, 0.0), found.point),
            None => {
                let (tiers, point) = goals_in_order(plan)?;
                ((tiers.short_dm_kg, tiers.outside), point)
            }
        };
        take(&self.there, &self.built, &point, left);
        Ok(outcome)
    }

    fn bound(&mut self, left: &[f64]) {
        let Built {
            plan,
            draws,
            pools,
            shared,
            ..
        } = &mut self.built;
        let kg = |member: &usize| -> f64 {
            let kg = left[self.there[*member]];
            let grams = Grams::from_kg(kg).filter(|_| kg > LEFT_KG);
            grams.unwrap_or(Grams::ZERO).kg()
        };
        for draw in draws.iter() {
            let Source::Batch(first) = draw.from else {
                continue;
            };
            let kg = pools[&first].iter().map(kg).sum();
            plan.model.columns[draw.column].upper = kg;
            self.fed_inside.bound(draw.column, 0.0, kg);
            if let Some(&row) = shared.get(&first) {
                plan.model.rows[row].upper = kg;
                self.fed_inside.bound_row(row, f64::NEG_INFINITY, kg);
            }
        }
    }
}

/// A batch with no more than this left is gone, kilograms.
const LEFT_KG: f64 = 0.001;

/// One night with a kilogram of all that may be there, as an outlook of its own, and
/// the places of its batches in the whole one.
fn night_alone(outlook: &Outlook, night: usize) -> (Outlook, Vec<usize>) {
    let is_there = |index: &usize| {
        let batch = &outlook.batches[*index];
        (batch.first..=outlook.last_cold(batch)).contains(&night)
    };
    let there: Vec<usize> = (0..outlook.batches.len()).filter(is_there).collect();
    let batches = there.iter().map(|index| {
        let mut batch = outlook.batches[*index].clone();
        batch.lot.age_days = batch.age_on(night, 1.0);
        batch.lot.edible = Grams::new(1_000);
        batch.lot.on_hand = batch.lot.edible;
        // Equal lots are drawn in the order of their names.
        batch.lot.name = index.to_string();
        batch.first = 0;
        batch
    });
    let alone = Outlook {
        nights: vec![outlook.nights[night].clone()],
        batches: batches.collect(),
        offers: Vec::new(),
        cold: None,
        storage: super::Storage::default(),
        ..*outlook
    };
    (alone, there)
}

fn take(there: &[usize], built: &Built, point: &[f64], left: &mut [f64]) {
    let mut rest: BTreeMap<usize, f64> = BTreeMap::new();
    for draw in &built.draws {
        if let Source::Batch(first) = draw.from {
            *rest.entry(first).or_default() += point[draw.column];
        }
    }
    for (first, mut kg) in rest {
        for member in built.members(first) {
            let index = there[member];
            let taken = kg.min(left[index]);
            left[index] -= taken;
            kg -= taken;
        }
    }
}
