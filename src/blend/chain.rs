//! Goals solved from the corner where the one before ended, each with its proof:
//! the goals of many nights or of a large stock in order, rows found on the way,
//! and the check of what an engine calls best.
//!
//! What the corner-to-corner method says is not believed: the point is checked
//! row by row, and its value against the bound its multipliers prove.
//!
//! Of fewer than 400 columns the engine answers, and the method, begun beside
//! its point, gives multipliers of its own: the bound (`bound.rs`) knows neither.
//! Where value and bound are apart by more than the slack, the proved answer
//! stands, and where there is none, that of an interior-point method. What
//! nothing proves is named on the sheet. With lots within a hundred-thousandth of
//! 0 and 100 % moisture the engine alone was wrong in 2 of 1,000 nights
//! (`tests/second_solver.rs`).
//!
//! Of more columns the goals go along one chain: a primal simplex method of our
//! own (`simplex/`) begins where nobody is fed, makes a folded sum of all goals
//! small to find a corner near the last one, then takes the goals in order, each
//! from the corner of the one before, each held by a row. The folded sum only
//! steers. Tried and slower: an interior-point method (6.7 s a goal at 28 × 50),
//! letting lots in bit by bit (0.14 s against 0.05 s for 1,000 lots), moving the
//! rows' bounds by a hair against degenerate steps, letting nights in one after
//! another.
//!
//! `tests/ahead_plans.rs` compares every goal with an interior-point method,
//! and with HiGHS where Python has `highspy`; where `tests/run` made that
//! Python, its absence fails. `cargo bench --bench ahead` prints times and the
//! ratio: on a busy two-core machine, November 2026, all four goals and the
//! tie-break of 14 nights × 15 invented streams × 3 groups took 0.08 s on the
//! processor, 0.29 times HiGHS (1.16.0, each goal from nothing), in 10 MB; 28 ×
//! 50 took 2.8 s, 0.14 times HiGHS, in 43 MB; 60 × 50 took 24 s, in 94 MB.

use super::constraints::Plan;
use super::model::{Goal, Model, Row};
use super::simplex::Simplex;
use super::solve::{CUTS_MOST, Optimum, Unsolved, interior, solve, solve_cutting, verified};
use super::tiers::GOALS;
use super::tolerance::is_proved;

/// Columns from which the corner-to-corner method goes first and no engine is
/// asked (measured on two groups).
const MANY_COLUMNS: usize = 400;
/// A multiplier below this, on a side without an end, is zero.
const ZERO: f64 = 1e-9;
/// Weights of the goals, in order, in the sum that finds a corner to begin from (our
/// default, measured: about a quarter less time than going goal by goal).
const FOLDED: [f64; GOALS] = [1000.0, 300.0, 10.0, 1.0, 1.0, 0.1, 0.1];
/// The tie-break's weight in it.
const FOLDED_TIES: f64 = 0.001;

/// A corner that goes from goal to goal.
pub(super) struct Chain(Simplex);

impl Chain {
    /// Begins near a point.
    pub(super) fn near(model: &Model, point: &[f64]) -> Option<Self> {
        let fit = model.unfit(&Goal::minimise(Vec::new())).is_none();
        fit.then(|| Simplex::new(model, point)).flatten().map(Self)
    }

    /// Begins near a point, at a corner that is good for all goals together.
    /// `None` where one solve at a time does better: few columns.
    pub(super) fn of_plan(plan: &Plan, near: &[f64]) -> Option<Self> {
        if plan.model.columns.len() < MANY_COLUMNS {
            return None;
        }
        let mut chain = Self::near(&plan.model, near)?;
        let mut folded = Vec::new();
        let weights = FOLDED.into_iter().chain([FOLDED_TIES]);
        let goals = plan.goals().map(|(_, goal)| goal);
        for (goal, weight) in goals.into_iter().chain([&plan.tie_break]).zip(weights) {
            if plan.model.unfit(goal).is_some() {
                return None;
            }
            folded.extend(made_small(goal).map(|(column, by)| (column, weight * by)));
        }
        chain.0.minimise(folded)?;
        Some(chain)
    }

    /// The optimum of a goal, where it is proved. The model is the one before, with
    /// rows that came in since behind it.
    pub(super) fn next(&mut self, model: &Model, goal: &Goal) -> Option<Optimum> {
        if model.unfit(goal).is_some() {
            return None;
        }
        for row in &model.rows[self.0.rows()..] {
            self.0.add(row);
        }
        self.0.minimise(made_small(goal))?;
        let optimum = verified(model, goal, self.0.point().to_vec()).ok()?;
        let bound = model.bound_proved(goal, &self.0.multipliers(), ZERO)?;
        let optimum = Optimum {
            bound: Some(bound),
            ..optimum
        };
        optimum.is_proved().then_some(optimum)
    }
}

/// Solves a goal from a point that meets all rows. Of few columns an engine's
/// answer stands where its value is proved; else ours, which proves its own.
///
/// # Errors
/// As [`solve`].
pub(super) fn solve_from(model: &Model, goal: &Goal, start: &[f64]) -> Result<Optimum, Unsolved> {
    let ours = |near: &[f64]| Chain::near(model, near)?.next(model, goal);
    if model.columns.len() >= MANY_COLUMNS {
        return ours(start).map_or_else(|| solve(model, goal), Ok);
    }
    match solve(model, goal) {
        Ok(engine) => Ok(beside(model, goal, engine)),
        failed => ours(start).map_or(failed, Ok),
    }
}

/// An engine's answer where its value is proved; else ours, which proves its own.
pub(super) fn beside(model: &Model, goal: &Goal, engine: Optimum) -> Optimum {
    let ours = Chain::near(model, &engine.point).and_then(|mut chain| chain.next(model, goal));
    match ours {
        Some(ours) if is_proved(engine.value, ours.value) => Optimum {
            bound: ours.bound,
            ..engine
        },
        Some(ours) => ours,
        None => proved_by(engine, interior(model, goal).ok()),
    }
}

/// The answer of two engines whose value one of them proves; else the first with
/// what is known of how far off it may be.
fn proved_by(first: Optimum, second: Option<Optimum>) -> Optimum {
    let Some(second) = second else {
        return first;
    };
    let bound = second.bound;
    let first = Optimum { bound, ..first };
    if second.is_proved() && !first.is_proved() {
        second
    } else {
        first
    }
}

/// Solves a goal, adding the rows that each point calls for until one calls for
/// none, each time on from the last corner. The rows stay in the model.
///
/// # Errors
/// [`Unsolved`]; rows called for before that stay too.
pub(super) fn solve_cutting_from(
    model: &mut Model,
    goal: &Goal,
    start: &[f64],
    mut called_for: impl FnMut(&[f64]) -> Vec<Row>,
) -> Result<Optimum, Unsolved> {
    if model.columns.len() < MANY_COLUMNS
        && let Ok(engine) = solve_cutting(model, goal, &mut called_for)
    {
        let proved = beside(model, goal, engine);
        if called_for(&proved.point).is_empty() {
            return Ok(proved);
        }
    }
    let mut chain = Chain::near(model, start);
    for _ in 0..CUTS_MOST {
        // The chain is left at the first point it can't prove.
        let next = chain.as_mut().and_then(|chain| chain.next(model, goal));
        if next.is_none() {
            chain = None;
        }
        let optimum = next.map_or_else(|| solve(model, goal), Ok)?;
        let rows = called_for(&optimum.point);
        if rows.is_empty() {
            return Ok(optimum);
        }
        model.rows.extend(rows);
    }
    Err(Unsolved::Stopped {
        why: format!("rows were called for {CUTS_MOST} times"),
    })
}

fn made_small(goal: &Goal) -> impl Iterator<Item = (usize, f64)> + '_ {
    let sign = if goal.maximise { -1.0 } else { 1.0 };
    (goal.terms.iter()).map(move |(column, coefficient)| (*column, sign * coefficient))
}

#[cfg(test)]
mod tests {
    /// The unit circle by tangents: max x + 1.2 y ends at √(1 + 1.2²).
    #[test]
    fn rows_called_for_are_added_until_none_is() {
        let mut model = Model::default();
        let x = model.column("x", 0.0, 5.0);
        let y = model.column("y", 0.0, 5.0);
        model.at_most("box", vec![(x, 1.0), (y, 1.0)], 9.0);
        let goal = Goal::maximise(vec![(x, 1.0), (y, 1.2)]);
        let tangent = |point: &[f64]| {
            let norm = point.iter().map(|at| at * at).sum::<f64>().sqrt();
            if norm <= 1.0 + 1e-7 {
                return Vec::new();
            }
            vec![Row {
                name: "tangent".to_owned(),
                terms: vec![(x, point[0] / norm), (y, point[1] / norm)],
                lower: f64::NEG_INFINITY,
                upper: 1.0,
            }]
        };
        let optimum = solve_cutting_from(&mut model, &goal, &[0.0; 2], tangent).expect("optimum");
        assert!((optimum.value - (1.0_f64 + 1.2 * 1.2).sqrt()).abs() < 1e-6);
        assert!(model.rows.len() > 4, "{}", model.rows.len());
        let cold = solve(&model, &goal).expect("the same rows at once");
        assert!((optimum.value - cold.value).abs() < 1e-7);
    }

    use std::collections::BTreeMap;

    use super::super::{Composition, Group, Lot, NightPlan, Policy, Problem, Role, joined};
    use super::*;
    use crate::quantity::{Decimal, Division, Grams, MassUnit, ShareAsFed, ShareOfDry};
    use crate::stream::{Analyte, Measure, StreamId, Window};

    fn lot(number: u8, kg: f64) -> Lot {
        let spread = f64::from(number * 7 % 11) / 11.0;
        let is_dry = number.is_multiple_of(3);
        let moisture = if is_dry { 12.0 } else { 76.0 + 14.0 * spread };
        let grams = Grams::from_kg(kg).expect("a weight");
        let share = |pct| ShareOfDry::from_pct(pct).expect("a share");
        Lot {
            name: format!("L{number:02}"),
            stream: StreamId::parse(&format!("stream-{number}")).expect("an id"),
            on_hand: grams,
            edible: grams,
            composition: Composition {
                moisture: Some(ShareAsFed::from_pct(moisture).expect("moisture")),
                analytes: BTreeMap::from([
                    (Analyte::named("protein"), share(6.0 + 20.0 * spread)),
                    (Analyte::named("fat"), share(14.0 - 12.0 * spread)),
                ]),
                density: None,
                ballast: 0.0,
            },
            price_per_kg: if is_dry { 0.1 + spread } else { 0.0 },
            age_days: 3.0 * spread,
            keeps_days: Some(4.0),
            buckets: 1.0,
            barred: None,
        }
    }

    fn group(name: &str, dry_matter_kg: f64) -> Group {
        let window = |key: &str, min, max| {
            let window = Window {
                min: Some(min),
                max: Some(max),
                ..Window::default()
            };
            (Measure::from_key(key).expect("a measure"), window)
        };
        Group {
            name: name.to_owned(),
            dry_matter_kg,
            volume: None,
            windows: [
                window("moisture_pct", 0.60, 0.72),
                window("protein_dm_pct", 0.12, 0.20),
                window("fat_dm_pct", 0.02, 0.10),
            ]
            .into(),
            caps: BTreeMap::new(),
            assumed: BTreeMap::new(),
            assumed_density: None,
            ..Group::default()
        }
    }

    /// Twelve nights that share what is there, `kg` of each lot.
    fn nights(kg: f64) -> Plan {
        let problem = Problem {
            lots: (0..14).map(|number| lot(number, kg)).collect(),
            purchases: Vec::new(),
            water_limit: Grams::ZERO,
            groups: vec![group("last-feeds", 5.0), group("young", 1.0)],
            division: Decimal::parse("0.1")
                .and_then(|step| Division::new(step, MassUnit::Kg))
                .expect("a division"),
            spreads: None,
            policy: Policy::default(),
        };
        let night = NightPlan::new(&problem, |position| position);
        let parts = vec![night.clone(); 12];
        let mut plan = joined(&parts);
        let mut stock: BTreeMap<usize, Vec<(usize, f64)>> = BTreeMap::new();
        for part in 0..parts.len() {
            for (column, role) in night.roles() {
                if let Role::Draw { pool, .. } = role {
                    let terms = stock.entry(pool).or_default();
                    terms.push((part * night.width() + column, 1.0));
                }
            }
        }
        for terms in stock.into_values() {
            plan.model.at_most("stock", terms, kg);
        }
        plan
    }

    /// Every goal is proved by the chain itself, and the engines, each beginning
    /// anew, agree: with plenty, with too little, with next to nothing.
    #[test]
    fn goals_are_proved_along_one_chain() {
        for kg in [40.0, 12.0, 1.0] {
            let plan = nights(kg);
            let near = vec![0.0; plan.model.columns.len()];
            let mut chain = Chain::of_plan(&plan, &near).expect("many columns");
            let mut model = plan.model.clone();
            let goals = plan.goals().map(|(_, goal)| goal);
            let goals = goals.into_iter().filter(|goal| !goal.terms.is_empty());
            for goal in goals.chain([&plan.tie_break]) {
                let ours = chain.next(&model, goal).expect("proved").value;
                let theirs = solve(&model, goal).expect("solved").value;
                let near = 1e-6 * theirs.abs().max(1.0);
                assert!((ours - theirs).abs() < near, "{kg}: {ours} {theirs}");
                let slack = 1e-7 * ours.abs().max(1.0);
                let (lower, upper) = if goal.maximise {
                    (ours - slack, f64::INFINITY)
                } else {
                    (f64::NEG_INFINITY, ours + slack)
                };
                model.between("held", goal.terms.clone(), lower, upper);
            }
        }
    }
}
