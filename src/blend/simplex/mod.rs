//! A primal simplex method that keeps its corner from goal to goal: goals in
//! order ask for several optima over nearly one set of rows, and neither engine
//! can be told a new goal from an old corner.
//!
//! `A x − r = 0` with bounds on `x` and on the rows' values `r`. The basis is
//! factored sparsely (`factor`, `pivots`); columns are priced by reference
//! weights (devex: Harris, Mathematical Programming 5, 1973, 1–28) and leave by
//! the two-pass ratio test of the same paper, both as recalled from memory. A
//! point outside its bounds is first brought in by making small what it is out.
//! After too many exchanges that lead nowhere it goes by Bland's rule (Mathematics
//! of Operations Research 2, 1977, 103–107, as recalled from memory), which never
//! comes back to a corner, until one leads on.
//!
//! Nothing here is believed: whoever asks recomputes every row of the point and
//! the bound its multipliers prove.

mod factor;
mod pivots;
mod step;

use super::model::{Model, Row};
use factor::{Entries, Factor};

/// A bound is kept to this, in the row's or column's own unit: well below the
/// slack that goals are held with.
const KEPT: f64 = 1e-9;
/// A reduced cost this far on the wrong side of zero is zero.
const ZERO_COST: f64 = 1e-9;
/// Exchanges for each column and row, after which it is given up.
const EXCHANGES_MOST: usize = 20;
/// Exchanges that lead nowhere, for each column and row, after which Bland's rule
/// leads on (our default).
const STALLED_MOST: usize = 2;
/// Columns put out of a singular basis and begun again, at most so often.
const REPAIRS_MOST: usize = 3;

/// Where a column or row's value stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Place {
    Basic,
    Lower,
    Upper,
}

/// Which variables are basic, and where the others stand.
#[derive(Debug)]
pub(super) struct Basis {
    place: Vec<Place>,
    basic: Vec<usize>,
}

/// A corner of a model's rows. Variables are its columns, then its rows' values.
#[derive(Debug, Clone)]
pub(super) struct Simplex {
    columns: Vec<Entries>,
    /// The same entries by row: where each begins, columns, coefficients.
    row_begin: Vec<usize>,
    row_columns: Vec<usize>,
    row_coefficients: Vec<f64>,
    lower: Vec<f64>,
    upper: Vec<f64>,
    value: Vec<f64>,
    place: Vec<Place>,
    /// The variable at each position of the factored basis.
    basic: Vec<usize>,
    factor: Factor,
    costs: Vec<f64>,
    /// Whether what is out of its bounds is being made small, not the costs.
    is_outside: bool,
    reduced: Vec<f64>,
    /// 1 for a variable that may rise, −1 for one that may fall, else 0.
    toward: Vec<f64>,
    weights: Vec<f64>,
    /// The variable to enter next.
    next: Option<usize>,
    /// Exchanges since the point last went anywhere.
    stalled: usize,
    /// Of those, how many for each column and row before Bland's rule.
    patience: usize,
    /// Room to work in, by row and by variable; the latter all zero between steps.
    by_row: Vec<f64>,
    by_variable: Vec<f64>,
}

impl Simplex {
    /// A corner near a point: every column at the bound the point is nearer to.
    /// `None` when a column has no bound at all.
    pub(super) fn new(model: &Model, near: &[f64]) -> Option<Self> {
        let (width, height) = (model.columns.len(), model.rows.len());
        let mut columns = vec![Vec::new(); width];
        let (mut row_begin, mut row_columns, mut row_coefficients) =
            (vec![0], Vec::new(), Vec::new());
        for (position, row) in model.rows.iter().enumerate() {
            for (column, coefficient) in &row.terms {
                columns[*column].push((position, *coefficient));
                row_columns.push(*column);
                row_coefficients.push(*coefficient);
            }
            row_begin.push(row_columns.len());
        }
        let of_columns = model.columns.iter().map(|it| (it.lower, it.upper));
        let of_rows = model.rows.iter().map(|row| (row.lower, row.upper));
        let (lower, upper): (Vec<f64>, Vec<f64>) = of_columns.chain(of_rows).unzip();
        let mut simplex = Self {
            columns,
            row_begin,
            row_columns,
            row_coefficients,
            lower,
            upper,
            value: near.iter().copied().chain(vec![0.0; height]).collect(),
            place: vec![Place::Basic; width + height],
            basic: (width..width + height).collect(),
            factor: Factor::default(),
            costs: vec![0.0; width + height],
            is_outside: false,
            reduced: vec![0.0; width + height],
            toward: vec![0.0; width + height],
            weights: vec![1.0; width + height],
            next: None,
            stalled: 0,
            patience: STALLED_MOST,
            by_row: vec![0.0; height],
            by_variable: vec![0.0; width + height],
        };
        for column in 0..width {
            simplex.put_out(column)?;
        }
        simplex.refactor()?;
        Some(simplex)
    }

    /// The columns' values.
    pub(super) fn point(&self) -> &[f64] {
        &self.value[..self.columns.len()]
    }

    pub(super) fn rows(&self) -> usize {
        self.basic.len()
    }

    /// Adds a row; where the point breaks it, the next [`Self::minimise`] brings it in.
    pub(super) fn add(&mut self, row: &Row) {
        if self.factor.size() == self.basic.len() {
            for (column, coefficient) in &row.terms {
                self.by_variable[*column] = *coefficient;
            }
            let basic = self.basic.iter().map(|at| self.by_variable[*at]);
            let entries = basic.enumerate().filter(|(_, by)| *by != 0.0);
            self.factor.add(entries);
            for (column, _) in &row.terms {
                self.by_variable[*column] = 0.0;
            }
        }
        for (column, coefficient) in &row.terms {
            self.columns[*column].push((self.basic.len(), *coefficient));
            self.row_columns.push(*column);
            self.row_coefficients.push(*coefficient);
        }
        self.row_begin.push(self.row_columns.len());
        self.basic.push(self.value.len());
        self.place.push(Place::Basic);
        self.lower.push(row.lower);
        self.upper.push(row.upper);
        self.by_row.push(0.0);
        self.weights.push(1.0);
        for of in [
            &mut self.value,
            &mut self.costs,
            &mut self.reduced,
            &mut self.toward,
            &mut self.by_variable,
        ] {
            of.push(0.0);
        }
    }

    /// Sets the bounds of a column, or of the row behind the columns; where the
    /// point breaks them, the next [`Self::minimise`] brings it in. `None` where
    /// it stands at a bound and neither is left.
    pub(super) fn bound(&mut self, variable: usize, lower: f64, upper: f64) -> Option<()> {
        (self.lower[variable], self.upper[variable]) = (lower, upper);
        if self.place[variable] != Place::Basic {
            self.value[variable] = self.value[variable].clamp(lower, upper);
            self.put_out(variable)?;
        }
        Some(())
    }

    /// Lets the next [`Self::minimise`] factor anew; `false` where that gave the last point.
    pub(super) fn forget_factors(&mut self) -> bool {
        let were_new = self.factor.is_new();
        self.factor = Factor::default();
        !were_new
    }

    /// Where it stands, to come back to.
    pub(super) fn basis(&self) -> Basis {
        Basis {
            place: self.place.clone(),
            basic: self.basic.clone(),
        }
    }

    /// Comes back to where it stood; rows that came in since are met by their own values.
    pub(super) fn back_to(&mut self, basis: Basis) {
        let since = basis.place.len();
        self.place[..since].copy_from_slice(&basis.place);
        self.place[since..].fill(Place::Basic);
        self.basic = basis.basic;
        self.basic.extend(since..self.place.len());
        self.factor = Factor::default();
    }

    /// Goes from corner to corner until none beside is better by these
    /// coefficients. `None` when it can't: no point meets all rows, the goal has
    /// no end, or the numbers don't allow it.
    pub(super) fn minimise(&mut self, terms: impl IntoIterator<Item = (usize, f64)>) -> Option<()> {
        self.costs.fill(0.0);
        for (column, coefficient) in terms {
            self.costs[column] += coefficient;
        }
        self.weights.fill(1.0);
        self.stalled = 0;
        if self.factor.size() < self.basic.len() {
            self.refactor()?;
        } else {
            self.reckon();
        }
        self.price();
        let mut is_exact = true;
        for _ in 0..EXCHANGES_MOST * self.value.len() {
            if self.factor.is_worn() {
                self.refactor()?;
                self.price();
            }
            match self.next {
                Some(entering) => {
                    self.step(entering)?;
                    is_exact = false;
                }
                None if is_exact => return (!self.is_outside).then_some(()),
                // What was carried from step to step is reckoned anew at the end.
                None => {
                    self.reckon();
                    self.price();
                    is_exact = true;
                }
            }
        }
        None
    }

    /// What one more unit of each row's bound adds to the goal last made small.
    pub(super) fn multipliers(&self) -> Vec<f64> {
        let mut y: Vec<f64> = self.basic.iter().map(|at| self.costs[*at]).collect();
        self.factor.backward(&mut y);
        y
    }

    /// Puts a variable at its nearer bound.
    fn put_out(&mut self, variable: usize) -> Option<()> {
        let (lower, upper) = (self.lower[variable], self.upper[variable]);
        let is_low = self.value[variable] - lower <= upper - self.value[variable];
        let (place, value) = if is_low {
            (Place::Lower, lower)
        } else {
            (Place::Upper, upper)
        };
        self.place[variable] = place;
        self.value[variable] = value;
        value.is_finite().then_some(())
    }

    fn goes_by_bland(&self) -> bool {
        self.stalled > self.patience.saturating_mul(self.value.len())
    }

    /// Which way a variable may go from where it stands.
    fn way(&self, variable: usize) -> f64 {
        let is_fixed = (self.upper[variable] - self.lower[variable]).abs() == 0.0;
        match self.place[variable] {
            Place::Lower if !is_fixed => 1.0,
            Place::Upper if !is_fixed => -1.0,
            _ => 0.0,
        }
    }

    /// A variable's column: of `A`, or of `−I`.
    fn column(&self, variable: usize) -> Entries {
        match self.columns.get(variable) {
            Some(entries) => entries.clone(),
            None => vec![(variable - self.columns.len(), -1.0)],
        }
    }

    /// Factors the basis anew and reckons all values from those at a bound.
    fn refactor(&mut self) -> Option<()> {
        for _ in 0..=REPAIRS_MOST {
            let columns = self.basic.iter().map(|at| self.column(*at)).collect();
            match Factor::of(columns) {
                Ok((factor, at)) => {
                    self.factor = factor;
                    self.basic = at.into_iter().map(|column| self.basic[column]).collect();
                    self.reckon();
                    return Some(());
                }
                // Rows without a pivot are covered by their own values.
                Err(singular) => {
                    for (column, row) in singular.columns.into_iter().zip(singular.rows) {
                        self.put_out(self.basic[column])?;
                        self.basic[column] = self.columns.len() + row;
                        self.place[self.basic[column]] = Place::Basic;
                    }
                }
            }
        }
        None
    }

    fn reckon(&mut self) {
        let width = self.columns.len();
        let mut v = vec![0.0; self.basic.len()];
        for variable in 0..self.value.len() {
            self.toward[variable] = self.way(variable);
            if self.place[variable] == Place::Upper {
                self.value[variable] = self.upper[variable];
            } else if self.place[variable] == Place::Lower {
                self.value[variable] = self.lower[variable];
            } else {
                continue;
            }
            if self.value[variable] == 0.0 {
                continue;
            }
            match self.columns.get(variable) {
                Some(entries) => entries
                    .iter()
                    .for_each(|(row, by)| v[*row] -= by * self.value[variable]),
                None => v[variable - width] += self.value[variable],
            }
        }
        self.factor.forward(&mut v);
        for (variable, value) in self.basic.iter().zip(v) {
            self.value[*variable] = value;
        }
    }

    /// Reduced costs `c − Aᵀy` from nothing, and who enters.
    fn price(&mut self) {
        let outside: Vec<f64> = self.basic.iter().map(|at| self.out_by(*at)).collect();
        self.is_outside = outside.iter().any(|by| *by != 0.0);
        let mut y = if self.is_outside {
            outside
        } else {
            self.basic.iter().map(|at| self.costs[*at]).collect()
        };
        self.factor.backward(&mut y);
        let width = self.columns.len();
        for variable in 0..self.value.len() {
            // Who can't move needs no price.
            if self.toward[variable] == 0.0 {
                continue;
            }
            let own = if self.is_outside {
                0.0
            } else {
                self.costs[variable]
            };
            self.reduced[variable] = match self.columns.get(variable) {
                Some(entries) => own - entries.iter().map(|(row, by)| by * y[*row]).sum::<f64>(),
                None => own + y[variable - width],
            };
        }
        self.next = self.sweep(0.0, 0.0);
    }

    /// 1 for a value above its bounds, −1 for one below, else 0.
    fn out_by(&self, variable: usize) -> f64 {
        if self.value[variable] > self.upper[variable] + KEPT {
            1.0
        } else if self.value[variable] < self.lower[variable] - KEPT {
            -1.0
        } else {
            0.0
        }
    }

    /// Subtracts the pivot's row (in `by_variable`, which it clears) times
    /// `ratio` from the reduced costs, lets weights grow to its squares times
    /// `weight`, and finds who enters: the largest reduced cost for its weight, by
    /// Bland's rule the first.
    fn sweep(&mut self, ratio: f64, weight: f64) -> Option<usize> {
        // Without branches, so that it runs several at a time; what it does to basic
        // variables is put right when they leave.
        let update = (self.by_variable.iter_mut())
            .zip(&mut self.reduced)
            .zip(&mut self.weights);
        for ((entry, reduced), own) in update {
            *reduced -= ratio * *entry;
            *own = own.max(*entry * *entry * weight);
            *entry = 0.0;
        }
        let by_bland = self.goes_by_bland();
        let (mut best, mut next) = (0.0, None);
        let all = self.reduced.iter().zip(&self.toward).zip(&self.weights);
        for (variable, ((reduced, toward), own)) in all.enumerate() {
            let gain = -reduced * toward;
            if gain > ZERO_COST && gain * gain > best * own {
                if by_bland {
                    return Some(variable);
                }
                best = gain * gain / own;
                next = Some(variable);
            }
        }
        next
    }
}

#[cfg(test)]
mod tests;
