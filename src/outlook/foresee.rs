use std::collections::{BTreeMap, VecDeque};

use jiff::civil::Date;

use crate::blend::solve::Unsolved;
use crate::blend::{
    MeasureFigure, Mix, MixVerdict, NightPlan, Plan, Problem, Role, Standing, Tiers, Weighed,
    WeighedGroup, assess, goals_in_order,
};
use crate::quantity::{Decimal, Division, Grams, MassUnit};
use crate::stream::{Measure, StreamId};

use super::plan::Outlook;
use super::rows::{Built, Draw, OneNight, Source};
use super::ties::build;

/// Both first goals count as met within this.
const MET: f64 = 1e-6;
/// Below this a weight is solver noise.
const DUST_KG: f64 = 1e-6;

#[must_use]
#[derive(Debug, Clone, PartialEq)]
pub struct Foreseen {
    /// The four goals over all nights, as proved.
    pub tiers: Tiers,
    /// The first goal: Σ shortage / wanted over groups and nights.
    pub shortage: f64,
    /// Tonight's mix, rounded to the scale; the rest of the plan is not.
    pub tonight: Mix,
    /// The nights, tonight first.
    pub nights: Vec<NightFed>,
    /// What becomes of each batch, in the outlook's order.
    pub fates: Vec<BatchFate>,
    pub draws: Vec<DrawAhead>,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DrawAhead {
    pub night: usize,
    /// The group, by position on that night.
    pub group: usize,
    pub source: Source,
    /// Kilograms as fed.
    pub kg: f64,
}

#[derive(Debug, Clone, PartialEq)]
pub struct NightFed {
    pub day: Date,
    pub groups: Vec<GroupFed>,
    /// Kilograms that still keep after feeding.
    pub stock_kg: f64,
    /// Kilograms that are spoiled by the next night, not having been used.
    pub spoils_kg: f64,
}

/// One group of a night, every figure recomputed from the draws.
#[derive(Debug, Clone, PartialEq)]
pub struct GroupFed {
    pub name: String,
    pub wanted_dm_kg: f64,
    pub dm_kg: f64,
    pub wet_kg: f64,
    pub water_kg: f64,
    pub measures: Vec<MeasureFigure>,
    /// Moisture, share as fed; `None` when nothing is fed.
    pub moisture: Option<f64>,
    /// Kilograms as fed and of dry matter by stream, bought ones too.
    pub by_stream: BTreeMap<StreamId, (f64, f64)>,
}

impl GroupFed {
    /// Its moisture beside the window, where it has one.
    pub fn of_moisture(&self) -> Option<&MeasureFigure> {
        let mut figures = self.measures.iter();
        figures.find(|figure| figure.measure == Measure::Moisture)
    }

    pub fn short_kg(&self) -> f64 {
        (self.wanted_dm_kg - self.dm_kg).max(0.0)
    }
}

/// What becomes of a batch: the parts sum up to what may be drawn of it.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct BatchFate {
    pub used_kg: f64,
    /// Not used by the last night it may be.
    pub spoiled_kg: f64,
    /// Turned away for want of room.
    pub turned_away_kg: f64,
    /// Still good after the last night of the plan.
    pub left_kg: f64,
}

impl BatchFate {
    pub fn lost_kg(&self) -> f64 {
        self.spoiled_kg + self.turned_away_kg
    }

    pub fn kept_kg(&self) -> f64 {
        self.used_kg + self.left_kg
    }
}

impl Foreseen {
    /// What the first two goals came to: shortage and outside.
    pub const fn goals(&self) -> (f64, f64) {
        (self.shortage, self.tiers.outside)
    }

    pub fn is_inside(&self) -> bool {
        self.shortage <= MET && self.tiers.outside <= MET
    }
}

pub fn foresee(outlook: &Outlook) -> Result<Foreseen, Unsolved> {
    let built = build(outlook);
    let (tiers, point) = goals_in_order(&built.plan)?;
    Ok(read(outlook, &built, tiers, &point))
}

/// The first two goals alone: shortage and outside, as proved.
pub fn goals_met(outlook: &Outlook) -> Result<(f64, f64), Unsolved> {
    let mut plan = build(outlook).plan;
    let (tiers, point) = first_goals(&mut plan, 2)?;
    Ok((plan.shortage.value(&point), tiers.outside))
}

/// Solves for the first so many goals alone.
pub(super) fn first_goals(plan: &mut Plan, goals: usize) -> Result<(Tiers, Vec<f64>), Unsolved> {
    keep_first(plan, goals);
    goals_in_order(plan)
}

/// Leaves a plan the first so many goals alone.
pub(super) fn keep_first(plan: &mut Plan, goals: usize) {
    let (outside, urgent) = (&mut plan.outside, &mut plan.urgent);
    let further = [outside, urgent, &mut plan.cost, &mut plan.tie_break];
    for goal in further.into_iter().skip(goals - 1) {
        goal.terms.clear();
    }
}

fn read(outlook: &Outlook, built: &Built, tiers: Tiers, point: &[f64]) -> Foreseen {
    let draws = draws(outlook, built, point);
    let fates = fates(outlook, built, &draws, point);
    let nights = built.nights.iter().enumerate();
    let nights = nights.map(|(night, one)| night_fed(outlook, one, night, &draws, point));
    let first = built.nights.first();
    let tonight = first.map_or_else(nothing, |one| tonight(built, one, tiers, &draws, point));
    let mut foreseen = Foreseen {
        tiers,
        shortage: built.plan.shortage.value(point),
        tonight,
        nights: nights.collect(),
        fates,
        draws,
    };
    keep_count(outlook, &mut foreseen);
    foreseen
}

/// Tonight's sheet: the plan's draws as a point of tonight's own model.
fn tonight(built: &Built, one: &OneNight, tiers: Tiers, draws: &[DrawAhead], point: &[f64]) -> Mix {
    let part = &point[one.begin..one.begin + one.part.width()];
    if built.nights.len() == 1 {
        return one.part.settle_alone(&one.problem, tiers, part);
    }
    let sheet = NightPlan::new(&one.problem, |position| position);
    let of_plan = |role: Role| -> f64 {
        let mut roles = one.part.roles().into_iter();
        let found = roles.find(|(_, own)| *own == role);
        found.map_or(0.0, |(column, _)| part[column])
    };
    let drawn = |group: usize, source: Source| -> f64 {
        let own = |draw: &&DrawAhead| (draw.night, draw.group, draw.source) == (0, group, source);
        draws.iter().filter(own).map(|draw| draw.kg).sum()
    };
    let mut own = vec![0.0; sheet.width()];
    for (column, role) in sheet.roles() {
        own[column] = match role {
            Role::Draw { group, pool } => drawn(group, one.lots[sheet.pool(pool)[0]]),
            Role::Bought { group, purchase } => {
                drawn(group, Source::Offer(one.purchases[purchase]))
            }
            Role::Water { .. } | Role::Short { .. } => of_plan(role),
        };
    }
    let mut alone = sheet.tiers_at(&own);
    // What lies outside has columns in the plan's own part only.
    alone.outside = one.part.tiers_at(part).outside;
    sheet.settle(&one.problem, alone, &own)
}

fn nothing() -> Mix {
    Mix {
        verdict: MixVerdict::Nothing {
            because: Vec::new(),
        },
        tiers: None,
        groups: Vec::new(),
        held_back: Vec::new(),
        left: Vec::new(),
        too_coarse: Vec::new(),
        guessed: Vec::new(),
        notes: Vec::new(),
    }
}

/// Draws by batch and group: a pool's batches are used up oldest first, nights in
/// order; what is taken of a kind is shared out over its groups in order.
fn draws(outlook: &Outlook, built: &Built, point: &[f64]) -> Vec<DrawAhead> {
    let there = outlook.batches.iter().map(|batch| batch.lot.edible.kg());
    let mut left: Vec<f64> = there.collect();
    let mut wanted: BTreeMap<usize, VecDeque<(usize, f64)>> = BTreeMap::new();
    let mut kind_of: BTreeMap<usize, usize> = BTreeMap::new();
    for kind in built.nights.iter().flat_map(|night| &night.kinds) {
        let fed = kind.fed.iter();
        let groups = fed.map(|(group, column)| (*group, point[*column]));
        wanted.insert(kind.taken[0], groups.collect());
        kind_of.extend(kind.taken.iter().map(|column| (*column, kind.taken[0])));
    }
    let mut all = Vec::new();
    for draw in &built.draws {
        let mut kg = point[draw.column];
        let mut groups = match draw.group {
            Some(group) => VecDeque::from([(group, kg)]),
            None => wanted.remove(&kind_of[&draw.column]).unwrap_or_default(),
        };
        match draw.from {
            Source::Offer(_) => pour(&mut all, draw, draw.from, kg, &mut groups),
            Source::Batch(first) | Source::Cold(first) => {
                for index in built.members(first) {
                    let taken = kg.min(left[index]);
                    left[index] -= taken;
                    kg -= taken;
                    let source = draw.from.of_batch(index);
                    pour(&mut all, draw, source, taken, &mut groups);
                }
            }
        }
        if draw.group.is_none() {
            wanted.insert(kind_of[&draw.column], groups);
        }
    }
    all
}

/// Gives what is taken to the groups that still want of it, in order.
fn pour(
    all: &mut Vec<DrawAhead>,
    draw: &Draw,
    source: Source,
    mut kg: f64,
    groups: &mut VecDeque<(usize, f64)>,
) {
    while kg > DUST_KG
        && let Some((group, wanted)) = groups.front_mut()
    {
        let taken = kg.min(*wanted);
        if taken > DUST_KG {
            all.push(DrawAhead {
                night: draw.night,
                group: *group,
                source,
                kg: taken,
            });
        }
        kg -= taken;
        *wanted -= taken;
        if *wanted <= DUST_KG {
            groups.pop_front();
        }
    }
}

fn fates(outlook: &Outlook, built: &Built, draws: &[DrawAhead], point: &[f64]) -> Vec<BatchFate> {
    let mut fates = vec![BatchFate::default(); outlook.batches.len()];
    for draw in draws {
        if let Some(index) = draw.source.batch() {
            fates[index].used_kg += draw.kg;
        }
    }
    for (first, column) in &built.turned_away {
        let mut away = point[*column];
        for index in built.members(*first) {
            let rest = outlook.batches[index].lot.edible.kg() - fates[index].used_kg;
            fates[index].turned_away_kg = away.min(rest).max(0.0);
            away -= fates[index].turned_away_kg;
        }
    }
    let last = outlook.nights.len().saturating_sub(1);
    for (batch, fate) in outlook.batches.iter().zip(&mut fates) {
        if batch.lot.barred.is_some() {
            continue;
        }
        let rest = (batch.lot.edible.kg() - fate.used_kg - fate.turned_away_kg).max(0.0);
        if outlook.last_night(batch) < last {
            fate.spoiled_kg = rest;
        } else {
            fate.left_kg = rest;
        }
    }
    fates
}

type ByStream = BTreeMap<StreamId, (f64, f64)>;

/// A night's draws to the gram, and by stream.
fn weighed(
    outlook: &Outlook,
    one: &OneNight,
    night: usize,
    draws: &[DrawAhead],
) -> (Weighed, Vec<ByStream>) {
    let place = |source: Source| match source {
        Source::Offer(index) => one.purchases.iter().position(|offer| *offer == index),
        lot => one.lots.iter().position(|from| *from == lot),
    };
    let mut weighed = Weighed {
        groups: vec![WeighedGroup::default(); one.problem.groups.len()],
    };
    let mut by_stream: Vec<ByStream> = vec![BTreeMap::new(); one.problem.groups.len()];
    for draw in draws.iter().filter(|draw| draw.night == night) {
        let Some((at, grams)) = place(draw.source).zip(Grams::from_kg(draw.kg)) else {
            continue;
        };
        let group = &mut weighed.groups[draw.group];
        let (list, stream, composition) = match draw.source {
            Source::Batch(index) | Source::Cold(index) => {
                let lot = &outlook.batches[index].lot;
                (&mut group.draws, &lot.stream, &lot.composition)
            }
            Source::Offer(index) => {
                let purchase = &outlook.offers[index].purchase;
                (&mut group.bought, &purchase.stream, &purchase.composition)
            }
        };
        list.push((at, grams));
        let dry = (composition.moisture).map_or(0.0, |moisture| 1.0 - moisture.get());
        let sums = by_stream[draw.group].entry(stream.clone()).or_default();
        sums.0 += draw.kg;
        sums.1 += draw.kg * dry;
    }
    (weighed, by_stream)
}

fn night_fed(
    outlook: &Outlook,
    one: &OneNight,
    night: usize,
    draws: &[DrawAhead],
    point: &[f64],
) -> NightFed {
    // Figures of a plan are reckoned to the gram, whatever the scale shows.
    let gram = Decimal::parse("1").and_then(|one| Division::new(one, MassUnit::G));
    let problem = Problem {
        division: gram.unwrap_or(outlook.division),
        ..one.problem.clone()
    };
    let (mut weighed, by_stream) = weighed(outlook, one, night, draws);
    for (column, role) in one.part.roles() {
        if let Role::Water { group } = role {
            let kg = point[one.begin + column];
            weighed.groups[group].water = Grams::from_kg(kg).unwrap_or(Grams::ZERO);
        }
    }
    let assessment = assess(&problem, &weighed);
    let assessed = problem.groups.iter().zip(assessment.groups);
    let groups = assessed.zip(weighed.groups).zip(by_stream);
    NightFed {
        day: outlook.nights[night].day,
        groups: groups
            .map(|(((group, figures), weights), by_stream)| GroupFed {
                name: group.name.clone(),
                wanted_dm_kg: group.dry_matter_kg,
                dm_kg: figures.dry_matter_kg,
                wet_kg: figures.wet.kg(),
                water_kg: weights.water.kg(),
                measures: figures.measures.into_iter().map(by_a_hair).collect(),
                moisture: figures.moisture,
                by_stream,
            })
            .collect(),
        stock_kg: 0.0,
        spoils_kg: 0.0,
    }
}

/// Less than this outside a window is inside on a plan, as a share (our
/// default): a plan is reckoned to the gram, and grams alone push out what
/// stands on its window's edge. The night's own sheet is strict.
const HAIR: f64 = 0.000_5;

fn by_a_hair(mut figure: MeasureFigure) -> MeasureFigure {
    use Standing::{Above, Below, BeyondLimit, Inside};
    if let Below(by) | Above(by) | BeyondLimit(by) = figure.standing
        && by <= HAIR
    {
        figure.standing = Inside;
    }
    figure
}

/// Stock after each night and what spoils by the next, by plain book-keeping over the draws.
fn keep_count(outlook: &Outlook, foreseen: &mut Foreseen) {
    for (index, batch) in outlook.batches.iter().enumerate() {
        if batch.lot.barred.is_some() {
            continue;
        }
        let fate = foreseen.fates[index];
        let mut rest = batch.lot.edible.kg() - fate.turned_away_kg;
        let last = outlook.last_night(batch);
        let mut drawn: BTreeMap<usize, f64> = BTreeMap::new();
        let own = |draw: &&DrawAhead| draw.source.batch() == Some(index);
        for draw in foreseen.draws.iter().filter(own) {
            *drawn.entry(draw.night).or_default() += draw.kg;
        }
        for night in batch.first..foreseen.nights.len() {
            rest -= drawn.get(&night).copied().unwrap_or_default();
            let still: f64 = match night < last {
                true => rest,
                false => drawn.range(night + 1..).map(|(_, kg)| kg).sum(),
            };
            foreseen.nights[night].stock_kg += still.max(0.0);
            if night == last {
                foreseen.nights[night].spoils_kg += (rest - still).max(0.0);
            }
        }
    }
}
