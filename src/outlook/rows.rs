//! From an outlook to one sparse model: a column for each lot-age and night it
//! may be drawn. Rows within a night are the blend's own (`blend/joined.rs` puts
//! nights side by side); those over nights stand in `ties`. No column and no row
//! stands for what stays from night to night: for lot *i* on night *t* there is
//! only what is taken, *x*, and from the cold store *k*. With several nights,
//! lots alike but for their age are one *kind*: a night's rows see one column *y*
//! for kind and group, with *Σ_i x_it = Σ_g y_tg*.
//!
//! A lot is drawn from its first night on while its age is at most so many keeping
//! times (`stream/age.rs`: 2; meat, fish, dairy, egg 1; our defaults), which a plan
//! may change; out of the cold store while its slowed age is.

use std::cmp::Ordering;
use std::collections::{BTreeMap, BTreeSet};

use crate::blend::{Lot, NightPlan, Plan, Policy, Problem, Role, by_makeup, in_order, joined};

use super::plan::{Batch, Outlook};

/// What a kilogram of a night is drawn from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Source {
    Batch(usize),
    /// A batch, out of the cold store.
    Cold(usize),
    Offer(usize),
}

impl Source {
    /// The batch, unless it is bought.
    pub const fn batch(self) -> Option<usize> {
        match self {
            Self::Batch(index) | Self::Cold(index) => Some(index),
            Self::Offer(_) => None,
        }
    }

    /// The same of another batch.
    pub(super) const fn of_batch(self, index: usize) -> Self {
        match self {
            Self::Cold(_) => Self::Cold(index),
            _ => Self::Batch(index),
        }
    }
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Draw {
    pub column: usize,
    pub night: usize,
    /// The group, where the column feeds one; else it is shared out by [`Kind`].
    pub group: Option<usize>,
    /// The first of the batches the column stands for, or the offer.
    pub from: Source,
}

/// The model of an outlook, and where to read the answer.
#[must_use]
#[derive(Debug, Clone)]
pub struct Built {
    /// All nights in one model, with the four goals.
    pub plan: Plan,
    pub(super) nights: Vec<OneNight>,
    pub(super) draws: Vec<Draw>,
    /// Batches that are drawn as one, by the first of them; oldest first.
    pub(super) pools: BTreeMap<usize, Vec<usize>>,
    /// Their first batches in the order of the columns, as the mix writes its rows.
    pub(super) order: Vec<usize>,
    /// Column of what is turned away, by first batch of the pool.
    pub(super) turned_away: BTreeMap<usize, usize>,
    /// Row that shares a pool out, where several draw from it, by its first batch.
    pub(super) shared: BTreeMap<usize, usize>,
}

#[derive(Debug, Clone)]
pub(super) struct OneNight {
    pub problem: Problem,
    pub part: NightPlan,
    pub begin: usize,
    pub lots: Vec<Source>,
    pub purchases: Vec<usize>,
    /// With several nights, the kinds its columns stand for.
    pub kinds: Vec<Kind>,
}

/// Lots of one night that are alike but for their age: the rows within the
/// night see one column for each group, lots are told apart by what is taken
/// of each. Without this every row would hold every lot of every day.
#[derive(Debug, Clone)]
pub(super) struct Kind {
    /// Group and column, in the joined model.
    pub fed: Vec<(usize, usize)>,
    /// Columns of what is taken from each pool.
    pub taken: Vec<usize>,
}

/// The nights beside one another, in one model that nothing ties together yet.
pub(super) fn side_by_side(outlook: &Outlook) -> Built {
    let classes = classes(outlook);
    let kinds = (outlook.nights.len() > 1).then(|| kinds(outlook));
    let mut nights = Vec::new();
    let mut begin = 0;
    for night in 0..outlook.nights.len() {
        let one = one_night(outlook, night, begin, &classes, kinds.as_deref());
        begin += one.part.width();
        nights.push(one);
    }
    let parts: Vec<NightPlan> = nights.iter().map(|night| night.part.clone()).collect();
    let mut built = Built {
        plan: joined(&parts),
        draws: Vec::new(),
        pools: BTreeMap::new(),
        order: Vec::new(),
        turned_away: BTreeMap::new(),
        shared: BTreeMap::new(),
        nights,
    };
    match kinds {
        None => built.find_draws(),
        Some(kinds) => built.share_out(outlook, &classes, &kinds),
    }
    built
}

/// Lots of one class are alike on every night they are there: same first and
/// last night, same share of the keeping time used up, in bits of numbers that
/// are not below zero. With one night, lots of equal urgency are, as in the mix.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
struct Class {
    first: usize,
    until: usize,
    used_up: Vec<u64>,
    /// Where a cold store can keep it longer.
    age_days: Option<u64>,
    apart: bool,
}

fn classes(outlook: &Outlook) -> Vec<usize> {
    let last = outlook.nights.len().saturating_sub(1);
    let class = |batch: &Batch| {
        let until = outlook.last_night(batch).min(last);
        let used_up = |night| batch.used_up_on(night).min(1.0).to_bits();
        Class {
            first: batch.first,
            until,
            used_up: (batch.first..=until).map(used_up).collect(),
            age_days: (outlook.cold.is_some()).then(|| batch.lot.age_days.to_bits()),
            apart: batch.apart,
        }
    };
    let all: Vec<Class> = outlook.batches.iter().map(class).collect();
    numbered(&all, Class::cmp)
}

/// Lots of one kind are alike in all that the rows within a night see.
fn kinds(outlook: &Outlook) -> Vec<usize> {
    let all: Vec<&Lot> = outlook.batches.iter().map(|batch| &batch.lot).collect();
    numbered(&all, |a, b| by_makeup(a, b))
}

/// Numbers for what is alike by an order, in that order.
fn numbered<T>(all: &[T], order: impl Fn(&T, &T) -> Ordering) -> Vec<usize> {
    let mut sorted: Vec<usize> = (0..all.len()).collect();
    sorted.sort_by(|&a, &b| order(&all[a], &all[b]));
    let mut numbers = vec![0; all.len()];
    for pair in sorted.windows(2) {
        let differ = order(&all[pair[0]], &all[pair[1]]).is_ne();
        numbers[pair[1]] = numbers[pair[0]] + usize::from(differ);
    }
    numbers
}

fn one_night(
    outlook: &Outlook,
    night: usize,
    begin: usize,
    classes: &[usize],
    kinds: Option<&[usize]>,
) -> OneNight {
    let mut lots = Vec::new();
    let mut what: BTreeMap<String, Source> = BTreeMap::new();
    for (index, batch) in outlook.batches.iter().enumerate() {
        let Some(from) = there(outlook, index, night) else {
            continue;
        };
        let slowed = match from {
            Source::Cold(_) => outlook.slowed(),
            _ => 1.0,
        };
        let lot = Lot {
            age_days: batch.age_on(night, slowed),
            ..batch.lot.clone()
        };
        what.insert(lot.name.clone(), from);
        lots.push(lot);
    }
    let mut purchases = outlook.offers_by_stream();
    purchases.retain(|&index| {
        let offer = &outlook.offers[index];
        let last = offer.last_night(outlook.usable_keeping_times);
        (offer.first..=last).contains(&night)
    });
    let problem = in_order(&Problem {
        lots,
        purchases: (purchases.iter())
            .map(|&index| outlook.offers[index].purchase.clone())
            .collect(),
        water_limit: outlook.water_limit,
        groups: outlook.nights[night].groups.clone(),
        division: outlook.division,
        spreads: None,
        policy: Policy::default(),
    });
    let lots: Vec<Source> = problem.lots.iter().map(|lot| what[&lot.name]).collect();
    let class = |position: usize| lots[position].batch().map_or(0, |index| classes[index]);
    let part = match kinds {
        None => NightPlan::new(&problem, class),
        Some(kinds) => NightPlan::new(&of_kinds(&problem, &lots, kinds), |_| 0),
    };
    OneNight {
        problem,
        part,
        begin,
        lots,
        purchases,
        kinds: Vec::new(),
    }
}

/// The night's problem with one lot for each kind, in the order of the kinds,
/// named by its number.
fn of_kinds(problem: &Problem, lots: &[Source], kinds: &[usize]) -> Problem {
    let mut merged: BTreeMap<usize, Lot> = BTreeMap::new();
    for (lot, from) in problem.lots.iter().zip(lots) {
        let Some(index) = from.batch().filter(|_| lot.may_be_drawn()) else {
            continue;
        };
        let kind = kinds[index];
        let lot = Lot {
            name: kind.to_string(),
            age_days: 0.0,
            keeps_days: None,
            ..lot.clone()
        };
        merged
            .entry(kind)
            .and_modify(|kind| {
                kind.edible += lot.edible;
                kind.on_hand += lot.on_hand;
            })
            .or_insert(lot);
    }
    Problem {
        lots: merged.into_values().collect(),
        ..problem.clone()
    }
}

/// How a batch is to be had on a night: outside while it keeps there, then out
/// of the cold store while it keeps in that.
fn there(outlook: &Outlook, index: usize, night: usize) -> Option<Source> {
    let batch = &outlook.batches[index];
    if night < batch.first {
        return None;
    }
    if night <= outlook.last_night(batch) {
        return Some(Source::Batch(index));
    }
    (night <= outlook.last_cold(batch)).then_some(Source::Cold(index))
}

impl Built {
    fn find_draws(&mut self) {
        for (night, one) in self.nights.iter().enumerate() {
            for (column, role) in one.part.roles() {
                let (group, from) = match role {
                    Role::Draw { group, pool } => {
                        let members = one.part.pool(pool).iter().map(|&lot| one.lots[lot]);
                        let indices: Vec<usize> =
                            members.clone().filter_map(Source::batch).collect();
                        if !self.pools.contains_key(&indices[0]) {
                            self.order.push(indices[0]);
                        }
                        let from = one.lots[one.part.pool(pool)[0]];
                        self.pools.entry(indices[0]).or_insert(indices);
                        (group, from)
                    }
                    Role::Bought { group, purchase } => {
                        (group, Source::Offer(one.purchases[purchase]))
                    }
                    Role::Water { .. } | Role::Short { .. } => continue,
                };
                self.draws.push(Draw {
                    column: one.begin + column,
                    night,
                    group: Some(group),
                    from,
                });
            }
        }
    }

    /// What is fed of a kind on a night is taken from its pools: `Σ_i x_it = Σ_g y_tg`.
    fn share_out(&mut self, outlook: &Outlook, classes: &[usize], kinds: &[usize]) {
        let mut members: BTreeMap<(usize, usize), Vec<usize>> = BTreeMap::new();
        for (index, batch) in outlook.batches.iter().enumerate() {
            if batch.lot.may_be_drawn() {
                let key = (kinds[index], classes[index]);
                members.entry(key).or_default().push(index);
            }
        }
        for pool in members.values_mut() {
            pool.sort_by(|&a, &b| {
                let (a, b) = (&outlook.batches[a].lot, &outlook.batches[b].lot);
                (b.age_days.total_cmp(&a.age_days)).then_with(|| a.name.cmp(&b.name))
            });
        }
        let first_of: BTreeMap<usize, usize> = members
            .values()
            .flat_map(|pool| pool.iter().map(|index| (*index, pool[0])))
            .collect();
        self.order = members.values().map(|pool| pool[0]).collect();
        self.pools = members.into_values().map(|pool| (pool[0], pool)).collect();
        for night in 0..self.nights.len() {
            self.share_out_night(outlook, night, kinds, &first_of);
        }
    }

    fn share_out_night(
        &mut self,
        outlook: &Outlook,
        night: usize,
        kinds: &[usize],
        first_of: &BTreeMap<usize, usize>,
    ) {
        let one = &self.nights[night];
        let mut fed: BTreeMap<usize, Vec<(usize, usize)>> = BTreeMap::new();
        for (column, role) in one.part.roles() {
            let column = one.begin + column;
            match role {
                Role::Draw { group, pool } => {
                    let kind = one.part.pool(pool)[0];
                    fed.entry(kind).or_default().push((group, column));
                }
                Role::Bought { group, purchase } => self.draws.push(Draw {
                    column,
                    night,
                    group: Some(group),
                    from: Source::Offer(one.purchases[purchase]),
                }),
                Role::Water { .. } | Role::Short { .. } => {}
            }
        }
        // Lots of the kinds' problem stand in the order of the kinds that are there.
        let mut there: BTreeMap<usize, BTreeSet<Source>> = BTreeMap::new();
        for from in &one.lots {
            let index = from.batch().filter(|index| first_of.contains_key(index));
            if let Some(index) = index {
                let sources = there.entry(kinds[index]).or_default();
                sources.insert(from.of_batch(first_of[&index]));
            }
        }
        let mut shares = Vec::new();
        for (position, sources) in there.into_values().enumerate() {
            let Some(fed) = fed.remove(&position) else {
                continue;
            };
            let mut terms: Vec<(usize, f64)> =
                fed.iter().map(|(_, column)| (*column, -1.0)).collect();
            let mut taken = Vec::new();
            for from in sources {
                let (Source::Batch(first) | Source::Cold(first) | Source::Offer(first)) = from;
                let name = format!("n{night} take {}", outlook.batches[first].lot.name);
                let kg = self.pool_kg(outlook, first);
                let column = self.plan.model.column(name, 0.0, kg);
                self.plan.tie_break.terms.push((column, 0.0));
                terms.push((column, 1.0));
                taken.push(column);
                self.draws.push(Draw {
                    column,
                    night,
                    group: None,
                    from,
                });
            }
            let name = format!("n{night} share out {position}");
            self.plan.model.between(name, terms, 0.0, 0.0);
            shares.push(Kind { fed, taken });
        }
        self.nights[night].kinds = shares;
    }

    pub(super) fn by_source(&self) -> BTreeMap<Source, Vec<Draw>> {
        let mut by_source: BTreeMap<Source, Vec<Draw>> = BTreeMap::new();
        for draw in &self.draws {
            by_source.entry(draw.from).or_default().push(*draw);
        }
        by_source
    }

    /// The batches of a pool by its first, oldest first.
    pub(super) fn members(&self, first: usize) -> impl Iterator<Item = usize> {
        self.pools.get(&first).into_iter().flatten().copied()
    }

    pub(super) fn pool_kg(&self, outlook: &Outlook, first: usize) -> f64 {
        let kg = |index: usize| outlook.batches[index].lot.edible.kg();
        self.members(first).map(kg).sum()
    }
}
