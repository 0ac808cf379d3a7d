//! From the linear answer to whole buckets: an incumbent of our own first (the
//! linear draws rounded to buckets, and a dive), then the integer search from
//! it, then the linear goals in order with the buckets fixed.

use super::super::constraints::Plan;
use super::super::model::Model;
use super::super::patience::Waiting;
use super::super::solve::solve;
use super::super::solve_whole::{Effort, solve_whole};
use super::super::tiers::{Tiers, goals_in_order};
use super::form::Form;
use crate::words::say;

/// A bucket plan with its goals.
#[derive(Debug, Clone)]
pub(super) struct Found {
    pub point: Vec<f64>,
    pub tiers: Tiers,
    pub shortage: f64,
    pub folded: f64,
}

/// What a search came to.
pub(super) struct Searched {
    pub best: Found,
    pub rounding: Found,
    /// Proven bound of the folded goal.
    pub bound: f64,
    pub asked_engine: bool,
}

/// Relative distance to the bound that is good enough not to search on.
const GAP_ENOUGH: f64 = 0.005;

/// Relative distance of a folded value to its bound; of what is near zero, in kilograms.
pub(super) fn gap(folded: f64, bound: f64) -> f64 {
    (folded - bound).max(0.0) / folded.abs().max(bound.abs()).max(1.0)
}

pub(super) fn search(
    plan: &Plan,
    form: &Form,
    linear: &[f64],
    streams_most: Option<usize>,
    (effort, waiting): (Effort, &Waiting),
) -> Option<Searched> {
    // Without bucket rules the goal is no worse: a bound where the full relaxation fails.
    let relaxed = solve(&form.model, &form.goal).ok();
    let mut bound = match &relaxed {
        Some(relaxed) => relaxed.value,
        None => solve(&plan.model, &form.goal).ok()?.value,
    };
    let rounding = rounded(plan, form, linear, waiting)?;
    let mut best = rounding.clone();
    // Near enough, or no time to look for a better one.
    let close =
        |best: &Found, bound: f64| gap(best.folded, bound) <= GAP_ENOUGH || !goes_on(waiting);
    if !close(&best, bound)
        && let Some(relaxed) = &relaxed
        && let Some(dived) =
            dive(form, &relaxed.point, waiting).and_then(|point| fixed(plan, form, &point))
    {
        better(&mut best, dived);
    }
    if !close(&best, bound)
        && let (Some(most), Some(relaxed)) = (streams_most, &relaxed)
        && let Some(chosen) = streams_chosen(form, &relaxed.point, most, waiting)
            .and_then(|point| fixed(plan, form, &point))
    {
        better(&mut best, chosen);
    }
    let mut asked_engine = false;
    if !close(&best, bound) {
        asked_engine = true;
        let whole = solve_whole(
            &form.model,
            &form.goal,
            &form.integers,
            Some(&best.point),
            effort,
        );
        if let Ok(whole) = whole {
            bound = whole.bound.map_or(bound, |proven| proven.max(bound));
            if let Some(found) = whole.point.and_then(|point| fixed(plan, form, &point)) {
                better(&mut best, found);
            }
        }
    }
    Some(Searched {
        bound: bound.min(best.folded),
        best,
        rounding,
        asked_engine,
    })
}

fn goes_on(waiting: &Waiting) -> bool {
    waiting.goes_on(|| say!("undone-buckets"))
}

/// Keeps the better of two by the goals in order, within the slack of the goals.
fn better(best: &mut Found, other: Found) {
    if is_better(&other, best) {
        *best = other;
    }
}

/// Goals count as equal within this.
const SAME: f64 = 1e-6;

fn is_better(one: &Found, than: &Found) -> bool {
    let goals = |found: &Found| {
        [
            found.shortage,
            found.tiers.outside,
            -found.tiers.urgent_kg,
            found.tiers.cost,
        ]
    };
    goals(one)
        .iter()
        .zip(goals(than))
        .map(|(one, than)| one - than)
        .find(|difference| difference.abs() > SAME)
        .is_some_and(|difference| difference < 0.0)
}

/// The linear goals in order with the buckets of a point fixed.
fn fixed(plan: &Plan, form: &Form, point: &[f64]) -> Option<Found> {
    let mut fixed = plan.clone();
    fixed.model = with_integers(form, point);
    let (tiers, point) = goals_in_order(&fixed).ok()?;
    Some(Found {
        shortage: plan.shortage.value(&point),
        folded: form.goal.value(&point),
        tiers,
        point,
    })
}

fn with_integers(form: &Form, point: &[f64]) -> Model {
    let mut model = form.model.clone();
    for column in &form.integers {
        let value = point[*column].round();
        model.columns[*column].lower = value;
        model.columns[*column].upper = value;
    }
    model
}

/// The linear draws rounded to buckets: whole ones tipped, in each stream the
/// largest part left over taken from one opened bucket, other parts rounded.
/// Where that breaks a limit, only what is tipped whole anyway; at worst nothing.
fn rounded(plan: &Plan, form: &Form, linear: &[f64], waiting: &Waiting) -> Option<Found> {
    let mut best: Option<Found> = None;
    // What tips the same ends the same.
    let (mut tried, mut reached) = (Vec::new(), Vec::new());
    for share in [0.5, 0.25, 0.75, 1.0, f64::INFINITY] {
        if !goes_on(waiting) {
            break;
        }
        let Some(tipped) = tipped_at(plan, form, linear, share) else {
            continue;
        };
        if is_new(&mut tried, &tipped)
            && let Some(point) = dived_from(form, &tipped, waiting)
            && is_new(&mut reached, &wholes(form, &point))
        {
            keep(&mut best, fixed(plan, form, &point));
        }
    }
    if best.is_none() {
        // Nothing opened; at worst nothing tipped, which keeps to every limit.
        let shut = shut(plan, form, linear);
        keep(&mut best, fixed(plan, form, &shut));
        let nothing = vec![0.0; form.model.columns.len()];
        keep(&mut best, fixed(plan, form, &nothing));
    }
    best
}

/// Whether whole numbers are none of those before, to which they are added.
fn is_new(before: &mut Vec<Vec<f64>>, wholes: &[f64]) -> bool {
    let is_new = before.iter().all(|of| of != wholes);
    before.push(wholes.to_vec());
    is_new
}

fn wholes(form: &Form, point: &[f64]) -> Vec<f64> {
    let columns = form.integers.iter();
    columns.map(|column| point[*column].round()).collect()
}

fn keep(best: &mut Option<Found>, found: Option<Found>) {
    match (best.as_mut(), found) {
        (Some(best), Some(found)) => better(best, found),
        (None, found) => *best = found,
        (Some(_), None) => {}
    }
}

/// The whole buckets within the linear draws, none opened.
fn shut(plan: &Plan, form: &Form, linear: &[f64]) -> Vec<f64> {
    let mut point = vec![0.0; form.model.columns.len()];
    let mut free: Vec<f64> = form.classes.iter().map(count).collect();
    for tip in &form.tips {
        let class = &form.classes[tip.class];
        let draws = plan.groups[tip.group].draws.iter();
        let drawn: f64 = draws
            .filter(|(pool, _)| *pool == class.pool)
            .map(|(_, column)| linear[*column])
            .sum();
        let before: f64 = form
            .tips
            .iter()
            .filter(|of| of.group == tip.group && form.classes[of.class].pool == class.pool)
            .map(|of| point[of.whole] * form.classes[of.class].bucket.kg())
            .sum();
        let left = ((drawn - before) / class.bucket.kg().max(0.001) + 1e-9).floor();
        let most = form.model.columns[tip.whole].upper;
        point[tip.whole] = left.min(free[tip.class]).min(most).max(0.0);
        free[tip.class] -= point[tip.whole];
    }
    point
}

/// How many buckets each tip takes where parts of at least `share` of a bucket are
/// tipped whole.
fn tipped_at(plan: &Plan, form: &Form, linear: &[f64], share: f64) -> Option<Vec<f64>> {
    let mut all = Vec::new();
    let mut left: Vec<f64> = plan
        .groups
        .iter()
        .enumerate()
        .flat_map(|(group, columns)| columns.draws.iter().map(move |draw| (group, draw)))
        .map(|(_, (_, column))| linear[*column])
        .collect();
    let slots: Vec<(usize, usize)> = plan
        .groups
        .iter()
        .enumerate()
        .flat_map(|(group, columns)| columns.draws.iter().map(move |(pool, _)| (group, *pool)))
        .collect();
    let mut free: Vec<f64> = form.classes.iter().map(count).collect();
    for tip in &form.tips {
        let class = &form.classes[tip.class];
        let slot = slots
            .iter()
            .position(|slot| *slot == (tip.group, class.pool))?;
        let kg = class.bucket.kg();
        let most = form.model.columns[tip.whole].upper;
        let tipped = if kg > 0.0 {
            let exact = left[slot] / kg + 1e-9;
            let more = f64::from(u8::from(exact.fract() >= share));
            (exact.floor() + more).min(free[tip.class]).min(most)
        } else {
            0.0
        };
        free[tip.class] -= tipped;
        left[slot] = (left[slot] - tipped * kg).max(0.0);
        all.push(tipped);
    }
    Some(all)
}

fn dived_from(form: &Form, tipped: &[f64], waiting: &Waiting) -> Option<Vec<f64>> {
    let mut model = form.model.clone();
    for (tip, tipped) in form.tips.iter().zip(tipped) {
        model.columns[tip.whole].lower = *tipped;
        model.columns[tip.whole].upper = *tipped;
    }
    // The rest is small: which bucket to open, from which stream, is dived for.
    let relaxed = solve(&model, &form.goal).ok()?;
    let narrowed = Form {
        model,
        ..form.clone()
    };
    dive(&narrowed, &relaxed.point, waiting)
}

#[expect(clippy::cast_precision_loss, reason = "a lot has few buckets")]
fn count(class: &super::form::Class) -> f64 {
    class.count as f64
}

/// A dive from the streams that each group may take from: those the relaxed point
/// uses most, then one for another as long as that helps. Which few streams go
/// together is what the relaxation says least about.
fn streams_chosen(
    form: &Form,
    relaxed: &[f64],
    most: usize,
    waiting: &Waiting,
) -> Option<Vec<f64>> {
    /// Exchanges tried at most.
    const TRIED_MOST: usize = 160;
    let mut chosen: Vec<Vec<usize>> = Vec::new();
    for columns in &form.uses {
        let mut order = columns.clone();
        order.sort_by(|a, b| relaxed[*b].total_cmp(&relaxed[*a]).then(a.cmp(b)));
        order.truncate(most);
        chosen.push(order);
    }
    let with = |chosen: &[Vec<usize>]| {
        let mut model = form.model.clone();
        for column in form.uses.iter().flatten() {
            let on = chosen.iter().flatten().any(|chosen| chosen == column);
            let value = f64::from(u8::from(on));
            model.columns[*column].lower = value;
            model.columns[*column].upper = value;
        }
        model
    };
    let mut now = solve(&with(&chosen), &form.goal).ok()?;
    let mut exchanges = exchanges(&form.uses, &chosen);
    let mut tried = 0;
    while let Some((group, place, column)) = exchanges.pop()
        && tried < TRIED_MOST
        && goes_on(waiting)
    {
        tried += 1;
        let mut other = chosen.clone();
        other[group][place] = column;
        if let Ok(after) = solve(&with(&other), &form.goal)
            && after.value < now.value - SAME
        {
            (now, chosen) = (after, other);
            exchanges = self::exchanges(&form.uses, &chosen);
        }
    }
    let narrowed = Form {
        model: with(&chosen),
        ..form.clone()
    };
    dive(&narrowed, &now.point, waiting)
}

/// Every stream that is not chosen for a group in the place of each that is.
fn exchanges(uses: &[Vec<usize>], chosen: &[Vec<usize>]) -> Vec<(usize, usize, usize)> {
    let mut found = Vec::new();
    for (group, (columns, chosen)) in uses.iter().zip(chosen).enumerate() {
        for place in 0..chosen.len() {
            let others = columns.iter().filter(|column| !chosen.contains(column));
            found.extend(others.map(|column| (group, place, *column)));
        }
    }
    found
}

/// Rounds a relaxed point step by step: what is whole stays, the most decided
/// are fixed, the rest is solved again.
fn dive(form: &Form, relaxed: &[f64], waiting: &Waiting) -> Option<Vec<f64>> {
    const ROUNDS_MOST: usize = 40;
    const WHOLE: f64 = 1e-6;
    let mut model = form.model.clone();
    let mut point = relaxed.to_vec();
    for _ in 0..ROUNDS_MOST {
        let mut open: Vec<(f64, usize)> = form
            .integers
            .iter()
            .filter(|column| (point[**column] - point[**column].round()).abs() > WHOLE)
            .map(|column| ((point[*column].fract() - 0.5).abs(), *column))
            .collect();
        if open.is_empty() {
            return Some(point);
        }
        if !goes_on(waiting) {
            break;
        }
        open.sort_by(|(a, _), (b, _)| b.total_cmp(a));
        let many = open.len().div_ceil(4);
        let before = model.clone();
        let fix = |model: &mut Model, column: usize, value: f64| {
            model.columns[column].lower = value;
            model.columns[column].upper = value;
        };
        for (_, column) in &open[..many] {
            fix(&mut model, *column, point[*column].round());
        }
        let solved = solve(&model, &form.goal).or_else(|_| {
            // Too many at once: the one most decided, either way.
            let column = open[0].1;
            let near = point[column].round();
            let far = if near > point[column] {
                near - 1.0
            } else {
                near + 1.0
            };
            model = before.clone();
            fix(&mut model, column, near);
            solve(&model, &form.goal).or_else(|_| {
                fix(&mut model, column, far);
                solve(&model, &form.goal)
            })
        });
        point = solved.ok()?.point;
    }
    None
}
