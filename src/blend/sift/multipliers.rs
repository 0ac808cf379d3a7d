//! The multipliers of the shared rows, read off a corner.

use super::{GAP, Sieve};

/// Within this of an end, in the row's or column's own unit, a value is at it.
const TIGHT: f64 = 1e-7;
/// A multiplier or reduced cost this far on the wrong side of zero is zero.
const SIGN: f64 = 1e-9;

impl Sieve<'_> {
    /// Multipliers by complementary slackness: zero for a loose row, and such
    /// that every equation of [`Self::equations`] holds. `None` unless they
    /// prove the small problem's point best.
    pub(super) fn read_off(&self, point: &[f64], inside: &[bool]) -> Option<Vec<f64>> {
        let equations = self.equations(point, inside);
        let tight: Vec<usize> = (0..self.shared.len())
            .filter(|at| self.is_tight(self.shared[*at], point))
            .collect();
        let difference = |of: &[f64], (column, less): &(usize, Option<usize>)| {
            of[*column] - less.map_or(0.0, |less| of[less])
        };
        let mut system = vec![vec![0.0; tight.len() + 1]; equations.len()];
        for (equation, terms) in system.iter_mut().zip(&equations) {
            equation[tight.len()] = difference(&self.costs, terms);
        }
        let mut dense = vec![0.0; point.len()];
        for (unknown, position) in tight.iter().enumerate() {
            let terms = &self.model.rows[self.shared[*position]].terms;
            terms.iter().for_each(|(column, by)| dense[*column] = *by);
            for (equation, columns) in system.iter_mut().zip(&equations) {
                equation[unknown] = difference(&dense, columns);
            }
            terms.iter().for_each(|(column, _)| dense[*column] = 0.0);
        }
        let mut multipliers = vec![0.0; self.shared.len()];
        for (position, value) in tight.iter().zip(eliminated(system, tight.len())) {
            multipliers[*position] = value;
        }
        self.is_proved(&multipliers, point, inside)
            .then_some(multipliers)
    }

    /// Columns whose reduced cost is zero, or equal to another's: those between
    /// their ends, and those that share a lot out whole.
    fn equations(&self, point: &[f64], inside: &[bool]) -> Vec<(usize, Option<usize>)> {
        let mut equations: Vec<(usize, Option<usize>)> = self
            .always
            .iter()
            .filter(|column| {
                let bounds = &self.model.columns[**column];
                let at = point[**column];
                at > bounds.lower + TIGHT && at < bounds.upper - TIGHT
            })
            .map(|column| (*column, None))
            .collect();
        for (lot, _) in self.lots.iter().zip(inside).filter(|(_, inside)| **inside) {
            let used: Vec<usize> = (lot.columns.iter().copied())
                .filter(|column| point[*column] > TIGHT)
                .collect();
            let sum: f64 = used.iter().map(|column| point[*column]).sum();
            if sum < lot.weight - TIGHT {
                equations.extend(used.iter().map(|column| (*column, None)));
            } else {
                let others = used.iter().skip(1);
                equations.extend(others.map(|column| (*column, used.first().copied())));
            }
        }
        equations
    }

    fn is_tight(&self, row: usize, point: &[f64]) -> bool {
        let row = &self.model.rows[row];
        let value: f64 = row
            .terms
            .iter()
            .map(|(column, by)| by * point[*column])
            .sum();
        value - row.lower <= TIGHT || row.upper - value <= TIGHT
    }

    /// Whether multipliers have the right signs and no lot or column that is in
    /// could do better by them.
    fn is_proved(&self, multipliers: &[f64], point: &[f64], inside: &[bool]) -> bool {
        let signs = self.shared.iter().zip(multipliers).all(|(row, by)| {
            let row = &self.model.rows[*row];
            let value: f64 = row
                .terms
                .iter()
                .map(|(column, by)| by * point[*column])
                .sum();
            let (low, high) = (value - row.lower <= TIGHT, row.upper - value <= TIGHT);
            (*by <= SIGN || low) && (*by >= -SIGN || high)
        });
        let reduced = self.reduced(multipliers);
        let always = self.always.iter().all(|column| {
            let bounds = &self.model.columns[*column];
            let (low, high) = (
                point[*column] <= bounds.lower + TIGHT,
                point[*column] >= bounds.upper - TIGHT,
            );
            (reduced[*column] >= -SIGN || high) && (reduced[*column] <= SIGN || low)
        });
        let value: f64 = self
            .costs
            .iter()
            .zip(point)
            .map(|(cost, at)| cost * at)
            .sum();
        let lots = self.gaps(&reduced, point);
        let lacking: f64 = (lots.iter())
            .filter(|(_, lot)| inside[*lot])
            .map(|(gap, _)| gap)
            .sum();
        signs && always && lacking <= GAP * value.abs().max(1.0)
    }
}

/// One solution of `system · x = last column` by elimination with the largest
/// pivot; an unknown that nothing settles is zero.
fn eliminated(mut system: Vec<Vec<f64>>, unknowns: usize) -> Vec<f64> {
    const SINGULAR: f64 = 1e-9;
    let mut settled: Vec<(usize, usize)> = Vec::new();
    for unknown in 0..unknowns {
        let from = settled.len();
        let pivot = (from..system.len()).max_by(|a, b| {
            let size = |row: &usize| system[*row][unknown].abs();
            size(a).total_cmp(&size(b))
        });
        let Some(pivot) = pivot.filter(|row| system[*row][unknown].abs() > SINGULAR) else {
            continue;
        };
        system.swap(from, pivot);
        let lead = system[from].clone();
        for (row, equation) in system.iter_mut().enumerate() {
            let by = equation[unknown] / lead[unknown];
            if row != from && by != 0.0 {
                equation
                    .iter_mut()
                    .zip(&lead)
                    .for_each(|(at, from)| *at -= by * from);
            }
        }
        settled.push((from, unknown));
    }
    let mut solution = vec![0.0; unknowns];
    for (row, unknown) in settled {
        solution[unknown] = system[row][unknowns] / system[row][unknown];
    }
    solution
}
