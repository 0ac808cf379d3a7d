//! Whole buckets as an integer program on top of the plan.
//!
//! For a class of equal buckets *c* (one pool, one weight `b`, `k` of them) and
//! group *g*: `n` buckets tipped whole, `r ≤ b` kilograms out of an opened one:
//!
//! - `x_pool,g = Σ_c (b n + r)`; identical buckets are one integer, so that no
//!   choice is seen twice;
//! - `Σ_g r ≤ b o`, `Σ_g n + o ≤ k`, `Σ_{c of a stream} o ≤ 1`: at most one
//!   opened bucket per stream and night, which groups may share;
//! - with a smallest weight `w`: `w t ≤ r ≤ b t`, and buckets below it stay shut;
//! - with at most `K` streams a group, bought ones too: `n ≤ k u`, `r ≤ b u`,
//!   what is bought `≤ limit · u`, `Σ u ≤ K`.
//!
//! Goals folded into one, to be made small: `4000·f₁ + 1000·f₂ − f₃ + 0.1·f₄`.

use std::collections::BTreeMap;

use crate::quantity::Grams;
use crate::stream::StreamId;

use super::super::constraints::Plan;
use super::super::model::{Goal, Model};
use super::super::problem::Problem;
use super::BucketRule;

/// Buckets that are equal in content and weight.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Class {
    pub pool: usize,
    /// Lot and how many of its buckets, oldest first.
    pub members: Vec<(usize, i64)>,
    /// What may be drawn of one bucket.
    pub bucket: Grams,
    pub count: i64,
}

/// Where a class stands for one group.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Tip {
    pub class: usize,
    pub group: usize,
    pub whole: usize,
    pub rest: usize,
}

/// The integer program.
#[derive(Debug, Clone)]
pub(super) struct Form {
    pub model: Model,
    pub goal: Goal,
    pub integers: Vec<usize>,
    pub classes: Vec<Class>,
    pub tips: Vec<Tip>,
    /// The column that says whether a class has the opened bucket of its stream.
    pub opened: Vec<usize>,
    /// By group, the columns that say whether a stream is used; empty where that is not limited.
    pub uses: Vec<Vec<usize>>,
}

/// Weight of shortage, of distance outside, of money against a kilogram of urgency.
const FOLD: [f64; 3] = [4000.0, 1000.0, 0.1];

/// Weights of the four goals in the folded one.
pub(super) fn folded(plan: &Plan) -> Goal {
    let mut terms: BTreeMap<usize, f64> = BTreeMap::new();
    let goals = [
        (&plan.shortage, FOLD[0]),
        (&plan.outside, FOLD[1]),
        (&plan.urgent, -1.0),
        (&plan.cost, FOLD[2]),
    ];
    for (goal, weight) in goals {
        for (column, coefficient) in &goal.terms {
            *terms.entry(*column).or_default() += weight * coefficient;
        }
    }
    Goal::minimise(terms.into_iter().collect())
}

/// Buckets of all pools, equal ones together.
pub(super) fn classes(problem: &Problem, plan: &Plan) -> Vec<Class> {
    let mut found: Vec<Class> = Vec::new();
    for (pool, members) in plan.pools.iter().enumerate() {
        for &lot in &members.members {
            for (bucket, count) in buckets_of(problem, lot) {
                let equal = |class: &&mut Class| class.pool == pool && class.bucket == bucket;
                match found.iter_mut().find(equal) {
                    Some(class) => {
                        class.members.push((lot, count));
                        class.count += count;
                    }
                    None => found.push(Class {
                        pool,
                        members: vec![(lot, count)],
                        bucket,
                        count,
                    }),
                }
            }
        }
    }
    found
}

/// A lot's full buckets, and the one begun before, as weight and number.
fn buckets_of(problem: &Problem, lot: usize) -> Vec<(Grams, i64)> {
    /// Less than this of a bucket is the scale's noise.
    const BEGUN: f64 = 0.02;
    let lot = &problem.lots[lot];
    #[expect(clippy::cast_possible_truncation, reason = "a lot has few buckets")]
    let full = (lot.buckets + BEGUN).floor() as i64;
    let begun = lot.buckets - lot.buckets.floor();
    if full < 1 {
        return vec![(lot.edible, 1)];
    }
    if lot.buckets < 1.0 + BEGUN || begun <= BEGUN || begun >= 1.0 - BEGUN {
        return vec![(Grams::new(lot.edible.get() / full), full)];
    }
    let bucket = Grams::from_kg(lot.edible.kg() / lot.buckets).unwrap_or(lot.edible);
    let rest = Grams::new(lot.edible.get() - full * bucket.get());
    vec![(bucket, full), (rest, 1)]
}

pub(super) fn form(problem: &Problem, plan: &Plan, rule: &BucketRule) -> Form {
    let mut form = Form {
        model: plan.model.clone(),
        goal: folded(plan),
        integers: Vec::new(),
        classes: classes(problem, plan),
        tips: Vec::new(),
        opened: Vec::new(),
        uses: Vec::new(),
    };
    // Fair shares are those of weights that can be split; buckets have their own.
    for (group, columns) in problem.groups.iter().zip(&plan.groups) {
        form.model.columns[columns.short].upper = group.dry_matter_kg;
    }
    tips(problem, plan, rule, &mut form);
    opened(problem, &mut form);
    if let Some(most) = rule.streams_most {
        streams(problem, plan, most, &mut form);
    }
    form
}

#[expect(clippy::cast_precision_loss, reason = "a lot has few buckets")]
fn tips(problem: &Problem, plan: &Plan, rule: &BucketRule, form: &mut Form) {
    for (group, columns) in plan.groups.iter().enumerate() {
        let name = &problem.groups[group].name;
        for (pool, draw) in &columns.draws {
            let mut terms = vec![(*draw, -1.0)];
            for class in 0..form.classes.len() {
                let Class {
                    pool: of,
                    bucket,
                    count,
                    ..
                } = form.classes[class];
                if of != *pool {
                    continue;
                }
                let told = &problem.lots[form.classes[class].members[0].0].name;
                let kg = if bucket < rule.smallest {
                    0.0
                } else {
                    bucket.kg()
                };
                let most = if kg > 0.0 { count as f64 } else { 0.0 };
                let whole = form.model.column(format!("whole {name} {told}"), 0.0, most);
                let rest = form.model.column(format!("rest {name} {told}"), 0.0, kg);
                form.integers.push(whole);
                terms.extend([(whole, bucket.kg()), (rest, 1.0)]);
                form.tips.push(Tip {
                    class,
                    group,
                    whole,
                    rest,
                });
                if rule.smallest > Grams::ZERO {
                    let any = form.model.column(format!("any {name} {told}"), 0.0, 1.0);
                    form.integers.push(any);
                    let row = format!("smallest {name} {told}");
                    let least = vec![(rest, 1.0), (any, -rule.smallest.kg())];
                    form.model.at_least(row.clone(), least, 0.0);
                    form.model.at_most(row, vec![(rest, 1.0), (any, -kg)], 0.0);
                }
            }
            form.model
                .between(format!("tipped {name} {draw}"), terms, 0.0, 0.0);
        }
    }
}

#[expect(clippy::cast_precision_loss, reason = "a lot has few buckets")]
fn opened(problem: &Problem, form: &mut Form) {
    let mut by_stream: BTreeMap<&StreamId, Vec<(usize, f64)>> = BTreeMap::new();
    for (position, class) in form.classes.iter().enumerate() {
        let lot = &problem.lots[class.members[0].0];
        let opened = form.model.column(format!("opened {}", lot.name), 0.0, 1.0);
        form.integers.push(opened);
        form.opened.push(opened);
        by_stream
            .entry(&lot.stream)
            .or_default()
            .push((opened, 1.0));
        let tips = form.tips.iter().filter(|tip| tip.class == position);
        let mut rests: Vec<(usize, f64)> = tips.clone().map(|tip| (tip.rest, 1.0)).collect();
        rests.push((opened, -class.bucket.kg()));
        form.model
            .at_most(format!("opened weight {}", lot.name), rests, 0.0);
        let mut wholes: Vec<(usize, f64)> = tips.map(|tip| (tip.whole, 1.0)).collect();
        wholes.push((opened, 1.0));
        form.model.at_most(
            format!("buckets of {}", lot.name),
            wholes,
            class.count as f64,
        );
    }
    for (stream, terms) in by_stream {
        // Only the bucket that is open may give up less than all of itself.
        form.model
            .at_most(format!("one opened {}", stream.as_str()), terms, 1.0);
    }
}

#[expect(clippy::cast_precision_loss, reason = "a lot has few buckets")]
fn streams(problem: &Problem, plan: &Plan, most: usize, form: &mut Form) {
    for group in 0..plan.groups.len() {
        let name = &problem.groups[group].name;
        // Stream, column and the most it can be.
        let mut taken: Vec<(&StreamId, usize, f64)> = Vec::new();
        for tip in form.tips.iter().filter(|tip| tip.group == group) {
            let class = &form.classes[tip.class];
            let stream = &problem.lots[class.members[0].0].stream;
            taken.push((stream, tip.whole, class.count as f64));
            taken.push((stream, tip.rest, class.bucket.kg()));
        }
        for (position, column) in &plan.groups[group].bought {
            let purchase = &problem.purchases[*position];
            taken.push((&purchase.stream, *column, purchase.limit.kg()));
        }
        let mut used: BTreeMap<&StreamId, usize> = BTreeMap::new();
        for (stream, column, most) in taken {
            let any = *used.entry(stream).or_insert_with(|| {
                let any = form
                    .model
                    .column(format!("use {name} {}", stream.as_str()), 0.0, 1.0);
                form.integers.push(any);
                any
            });
            let row = format!("use of {name} {}", stream.as_str());
            form.model
                .at_most(row, vec![(column, 1.0), (any, -most)], 0.0);
        }
        let terms = used.values().map(|column| (*column, 1.0)).collect();
        form.uses.push(used.into_values().collect());
        form.model
            .at_most(format!("streams of {name}"), terms, most as f64);
    }
}
