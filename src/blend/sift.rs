//! Large stocks, of which few lots decide: a model is solved over some of its
//! lots while the others stay as they are, lots that could do better are let
//! in, and so on until none could. Then the point is best for all of them.
//!
//! Proof: give each shared row its multiplier `y` from the dual of the small
//! problem. A lot, seen alone, can at best bring `a · min(0, min r)` with
//! `r = c − Aᵀy` over its columns and `a` its weight; what it brings now is
//! `Σ r x`. The differences, summed over all lots, bound how far the point's
//! value can lie above the best one (Lagrangian bound).

mod multipliers;

use super::explain::dual::Dual;
use super::model::{Goal, Model, Row};
use super::solve::{Optimum, Unsolved, solve};
use super::tolerance::ROW_TOLERANCE;

/// Columns from which sifting beats one solve (measured on two groups).
const SIFT_FROM: usize = 400;
/// Rows that many lots share, up to which sifting pays: a plan of many nights has
/// hundreds, and reading the multipliers off costs the cube of their number.
const SHARED_MOST: usize = 100;
/// Lots let in at the start and in each round.
const LET_IN: usize = 120;
/// More rounds than any stock has needed; then one plain solve decides.
const ROUNDS_MAX: usize = 60;
/// Accepted bound on the distance to the best value, relative and absolute.
const GAP: f64 = 1e-8;

/// Whether so many rows are shared by many lots that sifting doesn't pay.
pub(super) fn shares_much(model: &Model) -> bool {
    let shared = model.rows.iter().filter(|row| !is_own(model, row));
    shared.count() > SHARED_MOST
}

/// Solves a model from a point that meets all its rows.
///
/// # Errors
/// As [`solve`].
pub(super) fn solve_from(model: &Model, goal: &Goal, start: &[f64]) -> Result<Optimum, Unsolved> {
    if model.columns.len() < SIFT_FROM {
        return solve(model, goal);
    }
    let sieve = Sieve::new(model, goal);
    let sifted = (sieve.shared.len() <= SHARED_MOST).then(|| sieve.sifted(start));
    match sifted.flatten() {
        Some(optimum) => Ok(optimum),
        None => solve(model, goal),
    }
}

/// Columns that share a lot's weight and nothing else with other lots.
struct Lot {
    columns: Vec<usize>,
    row: Option<usize>,
    weight: f64,
}

struct Sieve<'a> {
    model: &'a Model,
    goal: &'a Goal,
    /// The goal's coefficients, to make small.
    costs: Vec<f64>,
    lots: Vec<Lot>,
    /// Rows that are no lot's own.
    shared: Vec<usize>,
    /// Columns that belong to no lot: always in.
    always: Vec<usize>,
}

impl<'a> Sieve<'a> {
    fn new(model: &'a Model, goal: &'a Goal) -> Self {
        let mut costs = vec![0.0; model.columns.len()];
        let sign = if goal.maximise { -1.0 } else { 1.0 };
        for (column, coefficient) in &goal.terms {
            costs[*column] = sign * coefficient;
        }
        let mut owner = vec![false; model.columns.len()];
        let (mut lots, mut shared) = (Vec::new(), Vec::new());
        for (position, row) in model.rows.iter().enumerate() {
            if is_own(model, row) && row.terms.iter().all(|(column, _)| !owner[*column]) {
                let columns: Vec<usize> = row.terms.iter().map(|(column, _)| *column).collect();
                columns.iter().for_each(|column| owner[*column] = true);
                lots.push(Lot {
                    columns,
                    row: Some(position),
                    weight: row.upper,
                });
            } else {
                shared.push(position);
            }
        }
        let mut always = Vec::new();
        for (position, column) in model
            .columns
            .iter()
            .enumerate()
            .filter(|(at, _)| !owner[*at])
        {
            if column.lower == 0.0 && column.upper.is_finite() {
                lots.push(Lot {
                    columns: vec![position],
                    row: None,
                    weight: column.upper,
                });
            } else {
                always.push(position);
            }
        }
        Self {
            model,
            goal,
            costs,
            lots,
            shared,
            always,
        }
    }

    fn sifted(&self, start: &[f64]) -> Option<Optimum> {
        let mut point = start.to_vec();
        let mut inside = self.first_in(&point);
        let mut before = f64::INFINITY;
        for _ in 0..ROUNDS_MAX {
            let multipliers = self.small_solve(&inside, &mut point)?;
            let value: f64 = self
                .costs
                .iter()
                .zip(&point)
                .map(|(cost, at)| cost * at)
                .sum();
            let mut gaps = self.gaps(&self.reduced(&multipliers), &point);
            // What lots already in seem to lack is the small solve's own tolerance.
            let outside = |gap: &&(f64, usize)| !inside[gap.1];
            let total: f64 = gaps.iter().filter(outside).map(|(gap, _)| gap).sum();
            if total <= GAP * value.abs().max(1.0) {
                return self.believed(point);
            }
            // Lots at an end of their range can be left there again, but only
            // while that brings the value on: else two sets could alternate.
            if value < before - GAP * value.abs().max(1.0) {
                for (lot, is_in) in inside.iter_mut().enumerate() {
                    *is_in = *is_in && self.is_between(lot, &point);
                }
            }
            before = before.min(value);
            gaps.retain(|(gap, lot)| *gap > 0.0 && !inside[*lot]);
            gaps.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
            gaps.iter()
                .take(LET_IN)
                .for_each(|(_, lot)| inside[*lot] = true);
        }
        None
    }

    /// Lots that stand between their ends, and some evenly from the rest.
    fn first_in(&self, point: &[f64]) -> Vec<bool> {
        let stride = (self.lots.len() / LET_IN).max(1);
        (0..self.lots.len())
            .map(|lot| lot % stride == 0 || self.is_between(lot, point))
            .collect()
    }

    fn is_between(&self, lot: usize, point: &[f64]) -> bool {
        let lot = &self.lots[lot];
        let used: Vec<f64> = lot
            .columns
            .iter()
            .map(|column| point[*column])
            .filter(|at| *at > 0.0)
            .collect();
        match used.as_slice() {
            [] => false,
            [whole] => *whole < lot.weight,
            _ => true,
        }
    }

    /// Solves over the lots let in, the others as they stand; moves the point
    /// there and returns the multipliers of the shared rows.
    fn small_solve(&self, inside: &[bool], point: &mut [f64]) -> Option<Vec<f64>> {
        let mut place = vec![None; point.len()];
        let mut small = Model::default();
        let mut columns = self.always.clone();
        let let_in = self.lots.iter().zip(inside).filter(|(_, inside)| **inside);
        columns.extend(let_in.clone().flat_map(|(lot, _)| &lot.columns));
        for &column in &columns {
            let full = &self.model.columns[column];
            place[column] = Some(small.column("", full.lower, full.upper));
        }
        let own = let_in.filter_map(|(lot, _)| lot.row);
        for position in self.shared.iter().copied().chain(own) {
            let row = &self.model.rows[position];
            let mut still = 0.0;
            let mut terms = Vec::new();
            for (column, coefficient) in &row.terms {
                match place[*column] {
                    Some(at) => terms.push((at, *coefficient)),
                    None => still += coefficient * point[*column],
                }
            }
            small.between("", terms, row.lower - still, row.upper - still);
        }
        let terms = columns
            .iter()
            .enumerate()
            .filter(|(_, column)| self.costs[**column] != 0.0)
            .map(|(at, column)| (at, self.costs[*column]))
            .collect();
        let small_goal = Goal::minimise(terms);
        let optimum = solve(&small, &small_goal).ok()?;
        for (column, value) in columns.iter().zip(optimum.point) {
            point[*column] = value;
        }
        // At most corners the multipliers follow from which rows are tight and
        // which columns stand between their ends; elsewhere the dual is solved.
        self.read_off(point, inside).or_else(|| {
            let worths = Dual::of(&small, &small_goal).worths().ok()?;
            Some(worths.rows[..self.shared.len()].to_vec())
        })
    }

    /// Reduced costs `c − Aᵀy` over the shared rows.
    fn reduced(&self, multipliers: &[f64]) -> Vec<f64> {
        let mut reduced = self.costs.clone();
        for (row, multiplier) in self.shared.iter().zip(multipliers) {
            if *multiplier != 0.0 {
                for (column, coefficient) in &self.model.rows[*row].terms {
                    reduced[*column] -= multiplier * coefficient;
                }
            }
        }
        reduced
    }

    /// How much better each lot could do, seen alone at these reduced costs.
    fn gaps(&self, reduced: &[f64], point: &[f64]) -> Vec<(f64, usize)> {
        self.lots
            .iter()
            .enumerate()
            .map(|(position, lot)| {
                let best = lot
                    .columns
                    .iter()
                    .map(|column| reduced[*column])
                    .fold(0.0, f64::min);
                let now: f64 = lot
                    .columns
                    .iter()
                    .map(|column| reduced[*column] * point[*column])
                    .sum();
                ((now - lot.weight * best).max(0.0), position)
            })
            .collect()
    }

    fn believed(&self, point: Vec<f64>) -> Option<Optimum> {
        (self.model.worst_violation(&point) <= ROW_TOLERANCE).then(|| Optimum {
            value: self.goal.value(&point),
            point,
        })
    }
}

/// Whether a row only says that some columns together stay below a weight
/// each of them could reach alone.
fn is_own(model: &Model, row: &Row) -> bool {
    let as_a_lot = |(column, coefficient): &(usize, f64)| {
        let column = &model.columns[*column];
        (coefficient - 1.0).abs() == 0.0
            && column.lower == 0.0
            && (column.upper - row.upper).abs() == 0.0
    };
    row.lower == f64::NEG_INFINITY && row.upper.is_finite() && row.terms.iter().all(as_a_lot)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// Two uses of many lots, a shared demand and a shared quality row.
    fn stock(lots: &[(f64, f64, f64)], wanted: f64) -> (Model, Goal, Vec<f64>) {
        let mut model = Model::default();
        let (mut feed, mut quality, mut cost) = (Vec::new(), Vec::new(), Vec::new());
        for (weight, share, price) in lots {
            let pair = [
                model.column("a", 0.0, *weight),
                model.column("b", 0.0, *weight),
            ];
            model.at_most(
                "own",
                pair.iter().map(|column| (*column, 1.0)).collect(),
                *weight,
            );
            feed.extend(pair.iter().map(|column| (*column, 1.0)));
            quality.push((pair[0], share - 0.4));
            quality.push((pair[1], 0.5 - share));
            cost.push((pair[0], *price));
            cost.push((pair[1], price * 1.1));
        }
        let short = model.column("short", 0.0, wanted);
        feed.push((short, 1.0));
        cost.push((short, 100.0));
        model.between("feeding", feed, wanted, wanted);
        model.at_most("quality", quality, 0.0);
        let mut start = vec![0.0; model.columns.len()];
        start[short] = wanted;
        (model, Goal::minimise(cost), start)
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(24))]
        #[test]
        fn sifting_ends_where_one_solve_does(
            lots in proptest::collection::vec((1.0..20.0_f64, 0.0..1.0_f64, 0.1..3.0_f64), 220..400),
            share in 0.01..1.2_f64,
        ) {
            let wanted = share * lots.iter().map(|(weight, _, _)| weight).sum::<f64>();
            let (model, goal, start) = stock(&lots, wanted);
            let sifted = Sieve::new(&model, &goal).sifted(&start).expect("sifted");
            let whole = solve(&model, &goal).expect("solved");
            prop_assert!((sifted.value - whole.value).abs() <= 1e-7 * whole.value.abs().max(1.0), "{} {}", sifted.value, whole.value);
        }
    }
}
