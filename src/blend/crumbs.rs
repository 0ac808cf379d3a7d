//! Draws too small to carry that are left once weights are rounded: each is
//! struck, made as large as the smallest, given to another group that draws of
//! the same lot, or made all that is left of its lot, while the other weights are
//! rounded anew around it or stay as they are. Only what the sheet does not show
//! may be lost by it: nothing inside goes out, nothing out goes farther, nobody
//! gets less, no window is less sure.

use crate::quantity::Grams;

use super::assess::{Assessment, GroupFigures, Standing, assess};
use super::constraints::Plan;
use super::problem::{Few, Problem};
use super::requirement::Requirement;
use super::rounding::{Fixed, Weighed, weigh};
use super::weights::as_columns;

/// What a sheet does not show: a share of a window or of what is wanted.
const NOT_SHOWN: f64 = 0.000_5;
/// Standard deviations a window's margin may fall short more: less than one
/// point in a hundred at a chance of 8 in 10 (our default).
const LESS_SURE: f64 = 0.03;
/// More crumbs than any sheet had.
const ROUNDS_MOST: usize = 20;

/// A draw too small to carry.
#[derive(Debug, Clone, Copy)]
struct Crumb {
    group: usize,
    lot: usize,
    grams: Grams,
    smallest: Grams,
}

/// Weights with as few crumbs as can be had for what the sheet does not show.
pub(super) fn without_crumbs(
    problem: &Problem,
    plan: &Plan,
    point: &[f64],
    rule: Few,
    rounded: Weighed,
) -> Weighed {
    let mut now = Tried::new(problem, rule, Fixed::new(), rounded);
    for _ in 0..ROUNDS_MOST {
        let figures = assess(problem, &now.weighed);
        let nearer = |crumb: &Crumb| {
            let fates = fates(problem, &now.weighed, crumb).into_iter();
            let fixed = fates.flat_map(|fate| {
                let around = now.fixed.clone().into_iter().chain(fate.clone());
                let alone = as_it_stands(&now.weighed).chain(fate);
                [around.collect::<Fixed>(), alone.collect()]
            });
            let tried = fixed.map(|fixed| {
                let weighed = weigh(problem, plan, point, &fixed);
                Tried::new(problem, rule, fixed, weighed)
            });
            let better = tried.filter(|tried| {
                tried.crumbs.len() < now.crumbs.len()
                    && shows_no_loss(problem, plan, (&now.weighed, &figures), &tried.weighed)
            });
            let used = |tried: &Tried| used(plan, &tried.weighed);
            better.max_by(|one, other| used(one).total_cmp(&used(other)))
        };
        let Some(next) = now.crumbs.iter().find_map(nearer) else {
            break;
        };
        now = next;
    }
    now.weighed
}

/// Weights, what was fixed for them, and what of them is too small.
struct Tried {
    fixed: Fixed,
    weighed: Weighed,
    crumbs: Vec<Crumb>,
}

impl Tried {
    fn new(problem: &Problem, rule: Few, fixed: Fixed, weighed: Weighed) -> Self {
        let crumbs = crumbs(problem, rule, &weighed);
        Self {
            fixed,
            weighed,
            crumbs,
        }
    }
}

/// Every draw as it stands.
fn as_it_stands(weighed: &Weighed) -> impl Iterator<Item = ((usize, usize), Grams)> {
    let groups = weighed.groups.iter().enumerate();
    groups.flat_map(|(group, of)| {
        let draws = of.draws.iter();
        draws.map(move |&(lot, grams)| ((group, lot), grams))
    })
}

/// Draws below their group's smallest that do not empty their lot, the smallest first.
fn crumbs(problem: &Problem, rule: Few, weighed: &Weighed) -> Vec<Crumb> {
    let emptying = weighed.emptying(problem);
    let scales = weighed.scales(problem);
    let mut found = Vec::new();
    for (group, (weights, (wet, division))) in weighed.groups.iter().zip(scales).enumerate() {
        let smallest = rule.smallest_draw(division, wet.kg());
        for &(lot, grams) in &weights.draws {
            if grams < smallest && !emptying.contains(&(group, lot)) {
                found.push(Crumb {
                    group,
                    lot,
                    grams,
                    smallest,
                });
            }
        }
    }
    found.sort_by_key(|crumb| crumb.grams);
    found
}

/// What may become of a crumb: the weights that are fixed then.
fn fates(problem: &Problem, weighed: &Weighed, crumb: &Crumb) -> Vec<Fixed> {
    let Crumb {
        group,
        lot,
        grams,
        smallest,
    } = *crumb;
    let draws = weighed.groups.iter().enumerate().flat_map(|(group, of)| {
        let of_lot = of.draws.iter().filter(|(of, _)| *of == lot);
        of_lot.map(move |(_, grams)| (group, *grams))
    });
    let draws: Vec<(usize, Grams)> = draws.collect();
    let drawn: Grams = draws.iter().map(|(_, grams)| *grams).sum();
    let rest = problem.lots[lot].edible - drawn;
    let alone = |grams| Fixed::from([((group, lot), grams)]);
    let mut fates = vec![alone(Grams::ZERO), alone(smallest), alone(grams + rest)];
    for (other, had) in draws {
        if other != group {
            let with = |own, others| Fixed::from([((group, lot), own), ((other, lot), others)]);
            fates.push(with(Grams::ZERO, had + grams + rest));
            fates.push(with(Grams::ZERO, had + grams));
            if had + grams > smallest {
                fates.push(with(smallest, had + grams - smallest));
            }
        }
    }
    fates
}

/// How much of what will spoil is used.
fn used(plan: &Plan, weighed: &Weighed) -> f64 {
    plan.urgent.value(&as_columns(plan, weighed))
}

fn shows_no_loss(
    problem: &Problem,
    plan: &Plan,
    (before, figures): (&Weighed, &Assessment),
    weighed: &Weighed,
) -> bool {
    let after = assess(problem, weighed);
    let mut groups = figures.groups.iter().zip(&after.groups);
    after.faults.is_empty()
        && groups.all(|(was, is)| is_no_worse(was, is))
        && shortfalls(plan, before)
            .zip(shortfalls(plan, weighed))
            .all(|(was, is)| is <= was + LESS_SURE)
}

fn is_no_worse(was: &GroupFigures, is: &GroupFigures) -> bool {
    let far = |standing: Standing| match standing {
        Standing::Inside => Some(0.0),
        Standing::Below(by) | Standing::Above(by) => Some(by),
        Standing::BeyondLimit(_) | Standing::NoValue => None,
    };
    let kept = |was: Standing, is: Standing| match (far(was), far(is)) {
        (Some(was), Some(is)) => is <= was + if was > 0.0 { NOT_SHOWN } else { 0.0 },
        (None, _) => true,
        _ => false,
    };
    let mut measures = was.measures.iter().zip(&is.measures);
    is.faults.is_empty()
        && kept(was.feeding, is.feeding)
        && measures.all(|(was, is)| kept(was.standing, is.standing))
}

/// Standard deviations each window's sides are short of the chance asked for.
fn shortfalls(plan: &Plan, weighed: &Weighed) -> impl Iterator<Item = f64> {
    let columns = as_columns(plan, weighed);
    let sides = plan.sure.terms.iter();
    sides.map(move |(short, _)| {
        let rows = plan.requirements.iter().zip(&plan.model.rows);
        let tangents = rows.filter(|(of, _)| matches!(of, Requirement::Margin { .. }));
        let short_by = tangents.filter_map(|(_, row)| {
            let (_, unit) = row.terms.iter().find(|(column, _)| *column == *short)?;
            Some(row.above(&columns) / -unit)
        });
        short_by.fold(0.0, f64::max)
    })
}
