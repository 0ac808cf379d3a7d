//! Whole buckets: a feeder tips buckets, and opens few.
//!
//! The integer program stands in `form.rs`. Own incumbent: linear draws rounded
//! at several thresholds and a dive, with few streams a group also exchanges of
//! one stream for another; then the engine from it with its bound; then the
//! linear goals in order with the buckets fixed. The folded goal *4000 f₁ +
//! 1000 f₂ − f₃ + 0.1 f₄* steers the search; plans are compared by the four
//! goals in order, and the gap told is that of the folded goal to a proven
//! bound (the linear relaxation or the engine's, whichever is nearer). Measured
//! on 36 invented nights of 40 lots and 2 groups (`cargo bench --bench trust`):
//! all within 1 %, by either engine: microlp took 0.12 s at the median and 0.5
//! s at most, HiGHS 0.28 s and 0.9 s; of 80 lots 0.32 s and 1.2 s, 0.40 s and
//! 2.7 s (a busy two-core machine, November 2026). With very few streams a
//! group the relaxation bounds badly: the sheet then says that nothing near is
//! proved.

mod form;
mod search;
mod settle;

use std::time::Duration;

use schemars::JsonSchema;
use serde::Serialize;

use crate::quantity::Grams;
use crate::quantity::wire::Kg;

use super::assess::{GroupFigures, assess};
use super::constraints::Plan;
use super::fitted::Fitted;
use super::model::{Goal, Model};
use super::patience::Waiting;
use super::problem::Problem;
use super::propose::{Mix, mix_of};
use super::rounding::{Weighed, WeighedGroup};
use super::solve_whole::{Effort, Engine};
use super::tiers::Tiers;
use super::tolerance::GOAL_ZERO;
use form::{Form, form};
use search::{Found, gap, search};
use settle::settle;

/// What is asked of buckets.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct BucketRule {
    /// The most streams a group takes from, bought ones too, if that is limited.
    pub streams_most: Option<usize>,
    /// No part of a bucket below this weight is taken.
    pub smallest: Grams,
    /// How long to search, milliseconds.
    pub limit_ms: u64,
    /// The integer engine to search with.
    pub engine: Engine,
}

impl Bucketed {
    /// Whether everyone could be fed inside every window if buckets could be split freely.
    #[must_use]
    pub fn fits_unless_whole(&self) -> bool {
        let (linear, shortage) = (&self.tiers[1], self.shortage[1]);
        shortage <= GOAL_ZERO && linear.outside <= GOAL_ZERO
    }
}

impl Default for BucketRule {
    fn default() -> Self {
        Self {
            streams_most: None,
            smallest: Grams::ZERO,
            limit_ms: 2_500,
            engine: Engine::default(),
        }
    }
}

/// A bucket plan and what is proved of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Bucketed {
    /// By group, in the problem's order: what to tip.
    pub tips: Vec<Vec<BucketTip>>,
    /// How far the folded goal is from its proven bound at most, a share.
    pub gap: f64,
    /// The folded goal and its bound, in kilograms of urgency.
    pub folded: (f64, f64),
    /// Goals of the plan, of the linear answer, and of its rounding to buckets.
    pub tiers: [Tiers; 3],
    /// First goal's values of the same, Σ s/D.
    pub shortage: [f64; 3],
    /// The integer engine, where one was needed.
    pub engine: Option<&'static str>,
}

/// What to tip of one lot.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct BucketTip {
    pub lot: String,
    pub whole: i64,
    /// Taken from one more bucket.
    #[serde(rename = "rest_kg", with = "Kg")]
    pub rest: Grams,
    pub of: i64,
}

/// The integer program of a plan, for exports and for other solvers: model,
/// folded goal to be made small, columns that take whole numbers.
#[must_use]
pub fn bucket_model(
    problem: &Problem,
    plan: &Plan,
    rule: &BucketRule,
) -> (Model, Goal, Vec<usize>) {
    let form = form(problem, plan, rule);
    (form.model, form.goal, form.integers)
}

/// The plan in buckets; `None` when not even feeding nothing keeps to the limits.
pub(super) fn in_buckets(
    problem: &Problem,
    plan: &Plan,
    (tiers, point): (&Tiers, &[f64]),
    rule: &BucketRule,
    waiting: &Waiting,
) -> Option<(Mix, Bucketed)> {
    let form = form(problem, plan, rule);
    let effort = Effort {
        engine: rule.engine,
        limit: Duration::from_millis(rule.limit_ms),
        gap: 0.005,
    };
    let searched = search(plan, &form, point, rule.streams_most, (effort, waiting))?;
    let best = &searched.best;
    let (weighed, tips) = weighed(problem, plan, &form, best, rule);
    let assessment = assess(problem, &weighed);
    // Weights out of a limit are none: then the mix as without buckets stands.
    let is_broken = !assessment.faults.is_empty()
        || (assessment.groups.iter()).any(GroupFigures::breaks_a_limit);
    if is_broken {
        return None;
    }
    let fitted = Fitted {
        weighed,
        assessment,
        too_coarse: Vec::new(),
    };
    let mix = mix_of(problem, best.tiers, fitted);
    let bucketed = Bucketed {
        tips,
        gap: gap(best.folded, searched.bound),
        folded: (best.folded, searched.bound),
        tiers: [best.tiers, *tiers, searched.rounding.tiers],
        shortage: [
            best.shortage,
            plan.shortage.value(point),
            searched.rounding.shortage,
        ],
        engine: searched.asked_engine.then_some(rule.engine.as_str()),
    };
    Some((mix, bucketed))
}

/// One group's share of one lot.
#[derive(Debug, Clone)]
struct Taken {
    group: usize,
    lot: usize,
    whole: i64,
    bucket: Grams,
    rest_kg: f64,
}

/// Buckets handed to lots oldest first, the rest rounded to the scale.
fn weighed(
    problem: &Problem,
    plan: &Plan,
    form: &Form,
    found: &Found,
    rule: &BucketRule,
) -> (Weighed, Vec<Vec<BucketTip>>) {
    let mut taken: Vec<Taken> = Vec::new();
    for (position, class) in form.classes.iter().enumerate() {
        let mut members = class.members.clone();
        let tips = || form.tips.iter().filter(|tip| tip.class == position);
        for tip in tips() {
            #[expect(clippy::cast_possible_truncation, reason = "bucket counts")]
            let mut whole = found.point[tip.whole].round() as i64;
            for (lot, left) in &mut members {
                let of_lot = whole.min(*left);
                if of_lot > 0 {
                    taken.push(Taken {
                        group: tip.group,
                        lot: *lot,
                        whole: of_lot,
                        bucket: class.bucket,
                        rest_kg: 0.0,
                    });
                    *left -= of_lot;
                    whole -= of_lot;
                }
            }
        }
        let Some((opened, _)) = members.iter().find(|(_, left)| *left > 0) else {
            continue;
        };
        for tip in tips().filter(|tip| found.point[tip.rest] > 1e-6) {
            taken.push(Taken {
                group: tip.group,
                lot: *opened,
                whole: 0,
                bucket: class.bucket,
                rest_kg: found.point[tip.rest],
            });
        }
    }
    let bought: Vec<Vec<(usize, f64)>> = plan
        .groups
        .iter()
        .map(|columns| {
            let of = columns.bought.iter();
            of.map(|(item, column)| (*item, found.point[*column]))
                .collect()
        })
        .collect();
    let water: Vec<f64> = plan
        .groups
        .iter()
        .map(|columns| columns.water.map_or(0.0, |column| found.point[column]))
        .collect();
    let rests = settle(problem, &taken, &bought, &water, rule.smallest);
    let weighed = collect(problem, &taken, &rests);
    (weighed, tips_of(problem, &taken, &rests))
}

/// Rounded parts, as [`settle`] leaves them.
struct Settled {
    rests: Vec<Grams>,
    bought: Vec<Vec<(usize, Grams)>>,
    water: Vec<Grams>,
}

fn collect(problem: &Problem, taken: &[Taken], settled: &Settled) -> Weighed {
    let group = |position: usize| {
        let mut draws: std::collections::BTreeMap<usize, Grams> = std::collections::BTreeMap::new();
        for (one, rest) in taken.iter().zip(&settled.rests) {
            if one.group == position {
                let grams = Grams::new(one.whole * one.bucket.get()) + *rest;
                *draws.entry(one.lot).or_insert(Grams::ZERO) += grams;
            }
        }
        let above_zero = |(_, grams): &(usize, Grams)| *grams > Grams::ZERO;
        WeighedGroup {
            draws: draws.into_iter().filter(above_zero).collect(),
            bought: settled.bought[position]
                .iter()
                .copied()
                .filter(above_zero)
                .collect(),
            water: settled.water[position],
        }
    };
    Weighed {
        groups: (0..problem.groups.len()).map(group).collect(),
    }
}

fn tips_of(problem: &Problem, taken: &[Taken], settled: &Settled) -> Vec<Vec<BucketTip>> {
    let mut tips: Vec<Vec<BucketTip>> = vec![Vec::new(); problem.groups.len()];
    for (one, rest) in taken.iter().zip(&settled.rests) {
        let name = &problem.lots[one.lot].name;
        let of_group = &mut tips[one.group];
        match of_group.iter_mut().find(|tip| tip.lot == *name) {
            Some(tip) => {
                tip.whole += one.whole;
                tip.rest += *rest;
            }
            None => of_group.push(BucketTip {
                lot: name.clone(),
                whole: one.whole,
                rest: *rest,
                #[expect(clippy::cast_possible_truncation, reason = "a lot has few buckets")]
                of: problem.lots[one.lot].buckets.ceil() as i64,
            }),
        }
    }
    for of_group in &mut tips {
        of_group.retain(|tip| tip.whole > 0 || tip.rest > Grams::ZERO);
    }
    tips
}
