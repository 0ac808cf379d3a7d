//! From a problem to rows.
//!
//! For lot *i*: kilograms that may be drawn *a* (edible part only), moisture
//! *m* (share of wet weight), dry share *d = 1 − m*, analytes *c* (share of dry
//! matter), density *ρ*, price *p*, urgency *u = min(1, age/keeping time)*. For
//! group *g*: dry matter wanted *D*, volume *V*, windows, limits, caps. Draws
//! *x ≥ 0*, purchases *b ≥ 0* (behave as lots), water *w ≥ 0*.
//!
//! With *DM = Σ d x* and *Q = Σ m x + w*, all linear:
//!
//! - stock *Σ_g x ≤ a*; purchase and water limits over all groups;
//! - feeding *DM + s = D*, shortage *s ≥ 0*;
//! - moisture at most *M*: *Q ≤ M/(1−M) · DM*; analyte at most *C*: *Σ (c − C)
//!   d x ≤ 0*; non-fibre carbohydrate and C:N are quotients of two such sums,
//!   *Σ (a − C b) d x ≤ 0*, unknown if an analyte in them is; minima alike;
//! - volume *Σ x/ρ + w/1000 ≤ V*, *V = min over cohorts c of room_c / share_c*:
//!   each cohort's part of the mix must fit its own trays, less what lies there
//!   (fed since residue was taken off, times 1 − reduction, at the stage's
//!   assumed density); cap *Σ_kind x ≤ cap · (Σ x + w)*, over all streams under
//!   one cap together.
//!
//! One function per family; the name of each row begins with the family and the
//! group, and is what explanations speak of.

use crate::stream::{Measure, Side, StreamId};

use super::eligible::{Figures, figures};
use super::merged::{Pool, pools};
use super::model::{Goal, Model};
use super::problem::{Group, Problem};
use super::requirement::Requirement;

/// Kilograms of water per kilogram of dry matter that count as one in the second goal.
const MOISTURE_SCALE: f64 = 1.0;
/// Share of dry matter that counts as one in the second goal.
const ANALYTE_SCALE: f64 = 0.1;

/// The model of a problem, with the four goals and where to read the answer.
#[derive(Debug, Clone)]
pub struct Plan {
    /// Columns and rows.
    pub model: Model,
    /// First goal: Σ s / D. Where shares are fair, each `s` has its own bound before.
    pub shortage: Goal,
    /// Second goal: Σ e / (scale · D).
    pub outside: Goal,
    /// Where water is the last resort: Σ w.
    pub water: Goal,
    /// Where a chance is asked for: standard deviations short of it, summed over the windows' sides.
    pub sure: Goal,
    /// What will spoil, to make large: Σ u x.
    pub urgent: Goal,
    /// Money: Σ p x.
    pub cost: Goal,
    /// Where a mix to stay close to is given: kilograms off its shares.
    pub steady: Goal,
    /// Breaks what ties remain: few lots, then old ones, then the table's order.
    pub tie_break: Goal,
    /// What each row stands for, in the rows' order; empty where nights are joined.
    pub requirements: Vec<Requirement>,
    pub(super) pools: Vec<Pool>,
    pub(super) groups: Vec<GroupColumns>,
}

/// Where one group's quantities stand.
#[derive(Debug, Clone, Default)]
pub(super) struct GroupColumns {
    /// Pool position and column.
    pub draws: Vec<(usize, usize)>,
    /// Purchase position and column.
    pub bought: Vec<(usize, usize)>,
    pub water: Option<usize>,
    /// Shortage column, kilograms of dry matter.
    pub short: usize,
    /// Columns of what lies outside a window.
    pub excesses: Vec<usize>,
    pub feeding: usize,
    /// Volume row, if a volume binds.
    pub volume: Option<usize>,
}

/// One column of a group with what its rows need.
struct Member<'a> {
    column: usize,
    stream: &'a StreamId,
    figures: Figures,
}

struct GroupRows<'a> {
    position: usize,
    group: &'a Group,
    members: Vec<Member<'a>>,
    water: Option<usize>,
}

/// Writes the model of a problem.
#[must_use]
pub fn build(problem: &Problem) -> Plan {
    let mut plan = night(problem, |_| 0);
    share_out(problem, &mut plan);
    plan
}

/// The rows that share stock and purchases out among a night's groups.
pub(super) fn share_out(problem: &Problem, plan: &mut Plan) {
    stock(plan);
    purchases(problem, plan);
}

/// What holds within one night, without the rows that share stock and
/// purchases out. Only lots of one class become one column.
pub(super) fn night(problem: &Problem, class: impl Fn(usize) -> usize) -> Plan {
    let mut plan = Plan::empty(pools(problem, class));
    let weights = tie_weights(&plan.pools);
    for group in &problem.groups {
        let rows = columns_of_group(problem, group, &weights, &mut plan);
        feeding(&rows, &mut plan);
        windows(&rows, &mut plan);
        volume(&rows, &mut plan);
        caps(&rows, problem.policy.water_last, &mut plan);
    }
    water(problem, &mut plan);
    plan
}

impl Plan {
    pub(super) fn empty(pools: Vec<Pool>) -> Self {
        Self {
            model: Model::default(),
            shortage: Goal::minimise(Vec::new()),
            outside: Goal::minimise(Vec::new()),
            water: Goal::minimise(Vec::new()),
            sure: Goal::minimise(Vec::new()),
            urgent: Goal::maximise(Vec::new()),
            cost: Goal::minimise(Vec::new()),
            steady: Goal::minimise(Vec::new()),
            tie_break: Goal::minimise(Vec::new()),
            requirements: Vec::new(),
            pools,
            groups: Vec::new(),
        }
    }

    /// The columns of the group that is being written.
    fn note(&mut self, note: impl FnOnce(&mut GroupColumns)) {
        if let Some(columns) = self.groups.last_mut() {
            note(columns);
        }
    }
}

fn columns_of_group<'a>(
    problem: &'a Problem,
    group: &'a Group,
    weights: &[f64],
    plan: &mut Plan,
) -> GroupRows<'a> {
    #[expect(clippy::cast_precision_loss, reason = "a night has few groups")]
    let number = plan.groups.len() as f64;
    let mut columns = GroupColumns::default();
    let mut members = Vec::new();
    for (position, weight) in weights.iter().enumerate() {
        let (first, upper) = (
            plan.pools[position].members[0],
            plan.pools[position].edible_kg,
        );
        let lot = &problem.lots[first];
        let Ok(figures) = figures(&lot.composition, group) else {
            continue;
        };
        let column = plan
            .model
            .column(format!("draw {} {}", group.name, lot.name), 0.0, upper);
        push_nonzero(&mut plan.urgent, column, lot.urgency());
        push_nonzero(&mut plan.cost, column, lot.price_per_kg);
        let tie = weight * (1.0 + TIE_GROUP * number);
        plan.tie_break.terms.push((column, tie));
        columns.draws.push((position, column));
        members.push(Member {
            column,
            stream: &lot.stream,
            figures,
        });
    }
    for (position, purchase) in problem.purchases.iter().enumerate() {
        let Ok(figures) = figures(&purchase.composition, group) else {
            continue;
        };
        let column = plan.model.column(
            format!("buy {} {}", group.name, purchase.stream.as_str()),
            0.0,
            purchase.limit.kg(),
        );
        push_nonzero(&mut plan.cost, column, purchase.price_per_kg);
        plan.tie_break
            .terms
            .push((column, TIE_NOT_ON_HAND * (1.0 + TIE_GROUP * number)));
        columns.bought.push((position, column));
        members.push(Member {
            column,
            stream: &purchase.stream,
            figures,
        });
    }
    if problem.water_limit.get() > 0 {
        let column = plan.model.column(
            format!("water {}", group.name),
            0.0,
            problem.water_limit.kg(),
        );
        plan.tie_break
            .terms
            .push((column, TIE_NOT_ON_HAND * (1.0 + TIE_GROUP * number)));
        if problem.policy.water_last {
            plan.water.terms.push((column, 1.0));
        }
        columns.water = Some(column);
    }
    let water = columns.water;
    plan.groups.push(columns);
    GroupRows {
        position: plan.groups.len() - 1,
        group,
        members,
        water,
    }
}

fn push_nonzero(goal: &mut Goal, column: usize, coefficient: f64) {
    if coefficient != 0.0 {
        goal.terms.push((column, coefficient));
    }
}

/// The lightest lot's weight counts as this much in the tie-break, so that a
/// handful does not outweigh all else, kilograms.
const TIE_LIGHTEST_KG: f64 = 0.5;
/// What the youngest lot weighs more than the oldest, and the last of the order more than the first.
const TIE_YOUNGEST: f64 = 1e-3;
const TIE_LAST: f64 = 1e-5;
/// What is bought or added comes after any lot on hand.
const TIE_NOT_ON_HAND: f64 = 3.0;
/// How much more a draw weighs for each group further on: which of two groups takes which lot is settled too.
const TIE_GROUP: f64 = 1e-4;

/// Weights that break ties as a feeder would, one for each pool: fewest lots
/// (`Σ x/a` counts lots once each is emptied), then the oldest, then the order
/// of the table. Ages count by rank, so that the minute of asking never shows.
fn tie_weights(pools: &[Pool]) -> Vec<f64> {
    let mut by_age: Vec<usize> = (0..pools.len()).collect();
    by_age.sort_by(|&a, &b| pools[b].age_days.total_cmp(&pools[a].age_days));
    let mut weights = vec![0.0; pools.len()];
    for (rank, pool) in by_age.into_iter().enumerate() {
        #[expect(clippy::cast_precision_loss, reason = "a stock has few lots")]
        let [rank, place, members, all] =
            [rank, pool, pools[pool].members.len(), pools.len()].map(|count| count as f64);
        let lot_kg = (pools[pool].edible_kg / members).max(TIE_LIGHTEST_KG);
        weights[pool] = 1.0 / lot_kg + TIE_YOUNGEST * rank / all + TIE_LAST * place / all;
    }
    weights
}

/// Feeding: `R + s = D` with `R = Σ (1 − k) d x`, `k` the ballast that feeds
/// nobody [share of dry matter], and shortage `0 ≤ s ≤ D`.
fn feeding(rows: &GroupRows<'_>, plan: &mut Plan) {
    let wanted = rows.group.dry_matter_kg;
    let short = plan
        .model
        .column(format!("short {}", rows.group.name), 0.0, wanted);
    let mut terms: Vec<(usize, f64)> = rows
        .members
        .iter()
        .map(|member| (member.column, member.figures.ration()))
        .collect();
    terms.push((short, 1.0));
    plan.requirements.push(Requirement::Feeding {
        group: rows.position,
    });
    plan.model.between(
        format!("feeding {}", rows.group.name),
        terms,
        wanted,
        wanted,
    );
    plan.shortage.terms.push((short, 1.0 / wanted));
    let feeding = plan.model.rows.len() - 1;
    plan.note(|columns| {
        columns.short = short;
        columns.feeding = feeding;
    });
}

/// Windows and limits: each bound is a row `terms ≤ 0`; a limit is hard, a
/// window is softened by an excess `e ≥ 0` in the row's own kilograms.
///
/// Moisture at most M: `Q − r·DM ≤ 0` with `r = M/(1−M)` [kg water].
/// Analyte at most C: `Σ (c − C) d x ≤ 0` [kg analyte]; a measure reckoned from
/// several, `Σ (above − C·below) d x ≤ 0`. Minima alike with the sign turned.
fn windows(rows: &GroupRows<'_>, plan: &mut Plan) {
    let mut analytes = 0;
    for (measure, window) in &rows.group.windows {
        let analyte = (*measure != Measure::Moisture).then(|| {
            analytes += 1;
            analytes - 1
        });
        let scale = if analyte.is_some() {
            ANALYTE_SCALE
        } else {
            MOISTURE_SCALE
        };
        for limit in window.bounds() {
            let (side, bound, hard) = (limit.side, limit.share, limit.is_hard);
            if analyte.is_none() && bound >= 1.0 {
                continue; // moisture at most 100 % holds of itself
            }
            let mut terms = match analyte {
                Some(position) => analyte_form(rows, position, bound),
                None => moisture_form(rows, bound),
            };
            if side == Side::Least {
                terms
                    .iter_mut()
                    .for_each(|(_, coefficient)| *coefficient = -*coefficient);
            }
            let name = format!("{} {} {}", limit.key(), rows.group.name, measure.key());
            if !hard {
                let excess = plan
                    .model
                    .column(format!("excess of {name}"), 0.0, f64::INFINITY);
                terms.push((excess, -1.0));
                let weight = f64::from(1 + rows.group.others) / (scale * rows.group.dry_matter_kg);
                plan.outside.terms.push((excess, weight));
                plan.note(|columns| columns.excesses.push(excess));
            }
            plan.requirements.push(Requirement::Bound {
                group: rows.position,
                measure: measure.clone(),
                side,
                share: bound,
                is_hard: hard,
            });
            plan.model.at_most(name, terms, 0.0);
        }
    }
}

fn moisture_form(rows: &GroupRows<'_>, bound: f64) -> Vec<(usize, f64)> {
    let ratio = bound / (1.0 - bound);
    let mut terms: Vec<(usize, f64)> = rows
        .members
        .iter()
        .map(|member| {
            (
                member.column,
                member.figures.moisture - ratio * member.figures.dry(),
            )
        })
        .collect();
    terms.extend(rows.water.map(|column| (column, 1.0)));
    terms
}

fn analyte_form(rows: &GroupRows<'_>, position: usize, bound: f64) -> Vec<(usize, f64)> {
    rows.members
        .iter()
        .map(|member| {
            (
                member.column,
                member.figures.analytes[position].beyond(bound) * member.figures.dry(),
            )
        })
        .collect()
}

/// Volume: `Σ x/ρ + w/1000 ≤ V` [litres; w in kg is w litres]. Added volumes
/// are an upper bound, since fines fill voids.
fn volume(rows: &GroupRows<'_>, plan: &mut Plan) {
    let Some(volume) = rows.group.volume else {
        return;
    };
    let mut terms: Vec<(usize, f64)> = rows
        .members
        .iter()
        .map(|member| (member.column, member.figures.litres_per_kg))
        .collect();
    terms.extend(rows.water.map(|column| (column, 1.0)));
    plan.requirements.push(Requirement::Volume {
        group: rows.position,
    });
    plan.model
        .at_most(format!("volume {}", rows.group.name), terms, volume.get());
    let row = plan.model.rows.len() - 1;
    plan.note(|columns| columns.volume = Some(row));
}

/// Cap on a stream or a kind: `Σ_stream x − cap · (Σ x + w) ≤ 0` [kg as fed]. Water that
/// is the last resort makes no room for a capped stream: then without `w`.
fn caps(rows: &GroupRows<'_>, water_last: bool, plan: &mut Plan) {
    for (stream, cap) in &rows.group.caps {
        let falls_under = |member: &Member<'_>| rows.group.cap_of(member.stream) == stream;
        if !rows.members.iter().any(falls_under) {
            continue;
        }
        let mut terms: Vec<(usize, f64)> = rows
            .members
            .iter()
            .map(|member| {
                (
                    member.column,
                    if falls_under(member) {
                        1.0 - cap.get()
                    } else {
                        -cap.get()
                    },
                )
            })
            .collect();
        let water = rows.water.filter(|_| !water_last);
        terms.extend(water.map(|column| (column, -cap.get())));
        plan.requirements.push(Requirement::Cap {
            group: rows.position,
            stream: stream.clone(),
        });
        plan.model.at_most(
            format!("cap {} {}", rows.group.name, stream.as_str()),
            terms,
            0.0,
        );
    }
}

/// Stock: `Σ_g x ≤ a` for every pool [kg as fed]; with one group its column's bound says it already.
fn stock(plan: &mut Plan) {
    if plan.groups.len() < 2 {
        return;
    }
    let mut terms: Vec<Vec<(usize, f64)>> = vec![Vec::new(); plan.pools.len()];
    for columns in &plan.groups {
        for (pool, column) in &columns.draws {
            terms[*pool].push((*column, 1.0));
        }
    }
    for (position, (pool, terms)) in plan
        .pools
        .iter()
        .zip(terms)
        .enumerate()
        .filter(|(_, (_, terms))| terms.len() > 1)
    {
        let name = plan.model.columns[terms[0].0]
            .name
            .replacen("draw", "stock", 1);
        plan.requirements
            .push(Requirement::Stock { pool: position });
        plan.model.at_most(name, terms, pool.edible_kg);
    }
}

/// Purchases: `Σ_g b ≤ limit` [kg as fed].
fn purchases(problem: &Problem, plan: &mut Plan) {
    for (position, purchase) in problem.purchases.iter().enumerate() {
        let terms: Vec<(usize, f64)> = plan
            .groups
            .iter()
            .flat_map(|columns| &columns.bought)
            .filter(|(bought, _)| *bought == position)
            .map(|(_, column)| (*column, 1.0))
            .collect();
        if terms.len() > 1 {
            plan.requirements.push(Requirement::Purchase { position });
            plan.model.at_most(
                format!("purchase {}", purchase.stream.as_str()),
                terms,
                purchase.limit.kg(),
            );
        }
    }
}

/// Water: `Σ_g w ≤ limit` [kg].
fn water(problem: &Problem, plan: &mut Plan) {
    let terms: Vec<(usize, f64)> = plan
        .groups
        .iter()
        .filter_map(|columns| columns.water)
        .map(|column| (column, 1.0))
        .collect();
    if terms.len() > 1 {
        plan.requirements.push(Requirement::Water);
        plan.model
            .at_most("water in all", terms, problem.water_limit.kg());
    }
}
