//! Goals solved from the corner where the one before ended, each with its proof:
//! the goals of many nights or of a large stock in order, rows found on the way,
//! and the check of what an engine calls best.
//!
//! What the corner-to-corner method says is not believed: the point is checked
//! row by row, and its value against the bound its multipliers prove.
//!
//! Of fewer than 400 columns the engine answers the goals before sureness and the
//! plain ones, and the method, on from the corner of the goal before, gives
//! multipliers of its own: the bound (`bound.rs`) knows neither.
//! Where value and bound are apart by more than the slack, the proved answer
//! stands, and where there is none, that of an interior-point method. What
//! nothing proves is named on the sheet. With lots within a hundred-thousandth of
//! 0 and 100 % moisture the engine alone was wrong in 2 of 1,000 nights
//! (`tests/second_solver.rs`).
//!
//! From sureness on rows are found on the way, so the method goes first, and the
//! engines stand behind it. Of more columns all goals go along one chain: a
//! primal simplex method of our own (`simplex/`) begins where nobody is fed, makes a folded sum of all goals
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
use super::goals::{GOALS, nothing_fed};
use super::model::{Goal, Model, Row};
use super::simplex::Simplex;
use super::solve::{Optimum, Unsolved, interior, solve, verified};
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
/// More rounds of rows than any model has needed.
const CUTS_MOST: usize = 200;

/// The rows that a point calls for, none where it meets all.
pub(super) type Cuts<'a> = &'a mut dyn FnMut(&[f64]) -> Vec<Row>;

/// A model on the way from goal to goal: rows only come in behind the others.
#[derive(Debug, Clone)]
pub(crate) struct Walk {
    pub(super) model: Model,
    /// Where it stands: what the last goal was best at.
    pub(super) point: Vec<f64>,
    /// The corner of our own method, where there is one.
    corner: Option<Simplex>,
}

impl Walk {
    /// Begins at a point that meets all rows, or near it.
    pub(crate) fn new(model: Model, point: Vec<f64>) -> Self {
        Self {
            model,
            point,
            corner: None,
        }
    }

    /// Begins where nobody is fed; with many columns at a corner that is good
    /// for all goals together.
    pub(super) fn of_plan(plan: &Plan) -> Self {
        let mut walk = Self::new(plan.model.clone(), nothing_fed(plan));
        if walk.is_large() {
            let weights = FOLDED.into_iter().chain([FOLDED_TIES]);
            let goals = plan.goals().map(|(_, goal)| goal);
            let goals = goals.into_iter().chain([&plan.tie_break]).zip(weights);
            let folded = goals.flat_map(|(goal, weight)| {
                made_small(goal).map(move |(column, by)| (column, weight * by))
            });
            let folded = Goal::minimise(folded.collect());
            walk.step(&folded);
        }
        walk
    }

    fn is_large(&self) -> bool {
        self.model.columns.len() >= MANY_COLUMNS
    }

    /// Goes to the best of a goal. Of few columns an engine's answer stands where
    /// its value is proved; else ours, which proves its own.
    ///
    /// # Errors
    /// As [`solve`].
    pub(super) fn best(&mut self, goal: &Goal) -> Result<Optimum, Unsolved> {
        let found = if self.is_large() {
            self.best_from_here(goal)?
        } else {
            match solve(&self.model, goal) {
                Ok(engine) => self.beside(goal, engine),
                failed => self.next(goal).map_or(failed, Ok)?,
            }
        };
        self.point.clone_from(&found.point);
        Ok(found)
    }

    /// The same by our own method first, with the rows that each point calls for
    /// until one calls for none. They stay in the model.
    ///
    /// # Errors
    /// [`Unsolved`]; rows called for before that stay too.
    pub(super) fn best_cutting(
        &mut self,
        goal: &Goal,
        called_for: Cuts,
    ) -> Result<Optimum, Unsolved> {
        for _ in 0..CUTS_MOST {
            let found = self.best_from_here(goal)?;
            self.point.clone_from(&found.point);
            let rows = called_for(&found.point);
            if rows.is_empty() {
                return Ok(found);
            }
            self.model.rows.extend(rows);
        }
        Err(Unsolved::Stopped {
            why: format!("rows were called for {CUTS_MOST} times"),
        })
    }

    /// Goes where our own method finds a goal best, with the rows called for;
    /// the point meets all rows, that it is best is not proved. `false`, and no
    /// step, where the method finds none.
    pub(super) fn go(&mut self, goal: &Goal, called_for: Cuts) -> bool {
        let basis = self.corner.as_ref().map(Simplex::basis);
        let before = self.point.clone();
        for _ in 0..CUTS_MOST {
            let Some(found) = self.step(goal) else { break };
            let rows = called_for(&found.point);
            self.point = found.point;
            if rows.is_empty() {
                return true;
            }
            self.model.rows.extend(rows);
        }
        self.point = before;
        match (&mut self.corner, basis) {
            (Some(corner), Some(basis)) => corner.back_to(basis),
            _ => self.corner = None,
        }
        false
    }

    /// Adds a row.
    pub(super) fn add(&mut self, row: Row) {
        self.model.rows.push(row);
    }

    /// Sets the bounds of a column.
    pub(crate) fn bound(&mut self, column: usize, lower: f64, upper: f64) {
        let of = &mut self.model.columns[column];
        (of.lower, of.upper) = (lower, upper);
        self.corner = self
            .corner
            .take()
            .and_then(|mut corner| corner.bound(column, lower, upper).map(|()| corner));
    }

    /// Sets the bounds of a row.
    pub(crate) fn bound_row(&mut self, row: usize, lower: f64, upper: f64) {
        let of = &mut self.model.rows[row];
        (of.lower, of.upper) = (lower, upper);
        let variable = self.model.columns.len() + row;
        self.corner = self
            .corner
            .take()
            .filter(|corner| row < corner.rows())
            .and_then(|mut corner| corner.bound(variable, lower, upper).map(|()| corner));
    }

    /// Our own method's corner for a goal; its point meets all rows.
    fn step(&mut self, goal: &Goal) -> Option<Optimum> {
        let mut corner = match self.corner.take() {
            Some(corner) => corner,
            None => {
                let fit = self.model.unfit(goal).is_none();
                fit.then(|| Simplex::new(&self.model, &self.point))??
            }
        };
        for row in &self.model.rows[corner.rows()..] {
            corner.add(row);
        }
        let went = corner.minimise(made_small(goal));
        let point = corner.point().to_vec();
        self.corner = Some(corner);
        went.and_then(|()| verified(&self.model, goal, point).ok())
    }

    /// The best of a goal: by our own method, on from where it stands, where that
    /// proves it, else by an engine.
    ///
    /// # Errors
    /// As [`solve`].
    pub(crate) fn best_from_here(&mut self, goal: &Goal) -> Result<Optimum, Unsolved> {
        let ours = self.next(goal);
        ours.map_or_else(|| solve(&self.model, goal), Ok)
    }

    /// Our own method's answer, where it is proved.
    pub(crate) fn next(&mut self, goal: &Goal) -> Option<Optimum> {
        if self.model.unfit(goal).is_some() {
            return None;
        }
        let mut proved = self.proved(goal);
        // What was carried along for long can be too far off to prove anything.
        if proved.is_none() && self.corner.as_mut().is_some_and(Simplex::forget_factors) {
            proved = self.proved(goal);
        }
        // A corner that proves nothing is left.
        if proved.is_none() {
            self.corner = None;
        }
        proved
    }

    fn proved(&mut self, goal: &Goal) -> Option<Optimum> {
        let found = self.step(goal)?;
        let multipliers = self.corner.as_ref()?.multipliers();
        let bound = self.model.bound_proved(goal, &multipliers, ZERO);
        let found = Optimum { bound, ..found };
        found.is_proved().then_some(found)
    }

    /// An engine's answer where its value is proved; else ours, which proves its own.
    fn beside(&mut self, goal: &Goal, engine: Optimum) -> Optimum {
        match self.next(goal) {
            Some(ours) if is_proved(engine.value, ours.value) => Optimum {
                bound: ours.bound,
                ..engine
            },
            Some(ours) => ours,
            None => proved_by(engine, interior(&self.model, goal).ok()),
        }
    }
}

/// The best of one goal by itself: by our own method where that proves it, else by an engine.
///
/// # Errors
/// As [`solve`].
pub fn best_alone(model: &Model, goal: &Goal) -> Result<Optimum, Unsolved> {
    Walk::new(model.clone(), vec![0.0; model.columns.len()]).best_from_here(goal)
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
        let mut walk = Walk::new(model, vec![0.0; 2]);
        let optimum = walk.best_cutting(&goal, &mut { tangent }).expect("optimum");
        assert!(optimum.is_proved());
        assert!((optimum.value - (1.0_f64 + 1.2 * 1.2).sqrt()).abs() < 1e-6);
        assert!(walk.model.rows.len() > 4, "{}", walk.model.rows.len());
        let cold = solve(&walk.model, &goal).expect("the same rows at once");
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
            let mut walk = Walk::of_plan(&plan);
            assert!(walk.is_large());
            let goals = plan.goals().map(|(_, goal)| goal);
            let goals = goals.into_iter().filter(|goal| !goal.terms.is_empty());
            for goal in goals.chain([&plan.tie_break]) {
                let ours = walk.next(goal).expect("proved").value;
                let theirs = solve(&walk.model, goal).expect("solved").value;
                let near = 1e-6 * theirs.abs().max(1.0);
                assert!((ours - theirs).abs() < near, "{kg}: {ours} {theirs}");
                let slack = 1e-7 * ours.abs().max(1.0);
                let (lower, upper) = if goal.maximise {
                    (ours - slack, f64::INFINITY)
                } else {
                    (f64::NEG_INFINITY, ours + slack)
                };
                walk.model.between("held", goal.terms.clone(), lower, upper);
            }
        }
    }
}
