//! Which measures of a mix go with a result, over cohorts: a ridge regression.
//! It finds what goes together, never what causes what.
//!
//! Moisture, protein, fat, fibre, ash of dry matter and dry matter a larva
//! against bioconversion; penalty by leave-one-out; cohorts with an impossible
//! figure left out. The table is shown only where it errs less than the mean
//! alone.

use crate::words::{Said, say};

use super::cholesky::Cholesky;

/// Cohorts below which nothing is told (our default).
pub const FEWEST_COHORTS: usize = 12;
/// Share of cohorts above which a measure that is not known drops out, rather
/// than the cohorts (our default).
const UNKNOWN_AT_MOST: f64 = 0.2;
/// Penalties tried, as powers of ten in quarters from 1e-3 to 1e5 (our default).
const QUARTERS: std::ops::RangeInclusive<i32> = -12..=20;

/// One cohort: its measures in the order of the names, and its result.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Measures of what it was fed; `None` where not known.
    pub measures: Vec<Option<f64>>,
    pub result: f64,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Fate {
    /// It is in: result for one standard deviation more of it, all else alike.
    Coefficient {
        /// In the result's unit.
        per_sd: f64,
        /// That standard deviation (divisor n) in the measure's unit.
        sd: f64,
    },
    Constant,
    MostlyUnknown,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RidgeUntold {
    /// Fewer than [`FEWEST_COHORTS`] with all measures known.
    FewCohorts {
        cohorts: usize,
    },
    NothingDiffers,
    SameResult,
}

impl RidgeUntold {
    /// Why, as told after "not told:".
    pub fn said(self) -> Said {
        match self {
            Self::FewCohorts { cohorts } => {
                say!("mixes-few-cohorts", cohorts, needed = FEWEST_COHORTS)
            }
            Self::NothingDiffers => say!("mixes-nothing-differs"),
            Self::SameResult => say!("mixes-same-result"),
        }
    }
}

#[derive(Debug, Clone, PartialEq)]
pub struct Ridge {
    pub cohorts: usize,
    /// Cohorts left out because a measure of theirs is not known.
    pub left_out: usize,
    /// The result where every measure is at its mean.
    pub intercept: f64,
    /// Each measure by its place.
    pub fates: Vec<Fate>,
    pub penalty: f64,
    /// Root mean square of leave-one-out errors, in the result's unit.
    pub error: f64,
    /// The same of the mean of the other cohorts: what knowing nothing errs by.
    pub mean_error: f64,
}

impl Ridge {
    pub fn tells_more_than_mean(&self) -> bool {
        self.error < self.mean_error
    }
}

/// Regression of a result on measures, with the penalty that leaves the least
/// leave-one-out error.
///
/// With X the measures, each less its mean and over its standard deviation
/// (divisor n), and y the result less its mean: minimise ‖y − Xβ‖² + λ‖β‖².
/// The intercept is not penalised. Leave-one-out errors are eᵢ/(1 − hᵢᵢ) with
/// H = 11ᵀ/n + X(XᵀX + λI)⁻¹Xᵀ, exact but for scales, which keep the left-out
/// cohort. Since the penalty is chosen by it, the error told is a little too
/// good. Source: Hoerl and Kennard 1970, Technometrics 12:55; Allen 1974,
/// Technometrics 16:125 (both from memory, unverified).
pub fn ridge(rows: &[Row]) -> Result<Ridge, RidgeUntold> {
    let design = Design::of(rows)?;
    let fits = QUARTERS.filter_map(|quarter| {
        let penalty = 10_f64.powf(f64::from(quarter) / 4.0);
        design.fit(penalty)
    });
    fits.min_by(|a, b| a.error.total_cmp(&b.error))
        .ok_or(RidgeUntold::NothingDiffers)
}

/// The same with a penalty of the caller's; 0 is ordinary least squares.
///
/// # Errors
/// As [`ridge`]; and [`RidgeUntold::NothingDiffers`] when without a penalty the
/// measures do not determine the coefficients.
pub fn ridge_at(rows: &[Row], penalty: f64) -> Result<Ridge, RidgeUntold> {
    Design::of(rows)?
        .fit(penalty)
        .ok_or(RidgeUntold::NothingDiffers)
}

/// Standardised measures of the cohorts that are in.
struct Design {
    /// By cohort, then measure that is in.
    x: Vec<Vec<f64>>,
    y: Vec<f64>,
    mean: f64,
    left_out: usize,
    /// Fates with coefficients still to come.
    fates: Vec<Fate>,
}

fn mean(values: impl ExactSizeIterator<Item = f64>) -> f64 {
    let count = values.len() as f64;
    values.sum::<f64>() / count
}

impl Design {
    fn of(rows: &[Row]) -> Result<Self, RidgeUntold> {
        let rows: Vec<&Row> = rows.iter().filter(|row| row.result.is_finite()).collect();
        let width = rows.iter().map(|row| row.measures.len()).max().unwrap_or(0);
        let known = |row: &Row, at: usize| {
            let value = row.measures.get(at).copied().flatten();
            value.filter(|value| value.is_finite())
        };
        let is_unknown = |at: usize| {
            let unknown = rows.iter().filter(|row| known(row, at).is_none()).count();
            unknown as f64 > UNKNOWN_AT_MOST * rows.len() as f64
        };
        let kept: Vec<usize> = (0..width).filter(|at| !is_unknown(*at)).collect();
        let mut x = Vec::new();
        let mut y = Vec::new();
        for row in &rows {
            let values: Option<Vec<f64>> = kept.iter().map(|at| known(row, *at)).collect();
            if let Some(values) = values {
                x.push(values);
                y.push(row.result);
            }
        }
        if x.len() < FEWEST_COHORTS {
            return Err(RidgeUntold::FewCohorts { cohorts: x.len() });
        }
        let mut fates = vec![Fate::MostlyUnknown; width];
        for (column, at) in kept.iter().enumerate() {
            fates[*at] = standardised(&mut x, column);
        }
        let differs: Vec<bool> = (kept.iter())
            .map(|at| fates[*at] != Fate::Constant)
            .collect();
        for row in &mut x {
            let mut differs = differs.iter();
            row.retain(|_| differs.next() == Some(&true));
        }
        if x[0].is_empty() {
            return Err(RidgeUntold::NothingDiffers);
        }
        let centre = mean(y.iter().copied());
        let left_out = rows.len() - x.len();
        y.iter_mut().for_each(|result| *result -= centre);
        if y.iter().all(|off| off.abs() <= 1e-12 * centre.abs()) {
            return Err(RidgeUntold::SameResult);
        }
        Ok(Self {
            x,
            y,
            mean: centre,
            left_out,
            fates,
        })
    }

    /// `None` when the matrix is not positive definite, as with no penalty and
    /// measures that depend on each other.
    fn fit(&self, penalty: f64) -> Option<Ridge> {
        let count = self.x.len();
        let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();
        let columns: Vec<Vec<f64>> = (0..self.x[0].len())
            .map(|column| self.x.iter().map(|row| row[column]).collect())
            .collect();
        let gram = columns.iter().enumerate().map(|(i, one)| {
            let row = columns.iter().take(i + 1).enumerate();
            row.map(|(j, other)| dot(one, other) + if i == j { penalty } else { 0.0 })
                .collect()
        });
        // β = (XᵀX + λI)⁻¹Xᵀy.
        let factor = Cholesky::of(gram.collect())?;
        let right: Vec<f64> = columns.iter().map(|column| dot(column, &self.y)).collect();
        let beta = factor.solved(&right);
        let leverage = self.x.iter().map(|row| {
            let half = factor.forward(row);
            dot(&half, &half)
        });
        let n = count as f64;
        let each = self.x.iter().zip(&self.y).zip(leverage);
        let off =
            each.map(|((row, y), leverage)| (y - dot(row, &beta)) / (1.0 - 1.0 / n - leverage));
        let error = mean(off.map(|off| off * off)).sqrt();
        let of_mean = self.y.iter().map(|y| (y * n / (n - 1.0)).powi(2));
        let mut beta = beta.into_iter();
        let mut fates = self.fates.clone();
        for fate in &mut fates {
            if let Fate::Coefficient { per_sd, .. } = fate {
                *per_sd = beta.next()?;
            }
        }
        Some(Ridge {
            cohorts: count,
            left_out: self.left_out,
            intercept: self.mean,
            fates,
            penalty,
            error,
            mean_error: mean(of_mean).sqrt(),
        })
    }
}

fn standardised(x: &mut [Vec<f64>], column: usize) -> Fate {
    let centre = mean(x.iter().map(|row| row[column]));
    let squares = x.iter().map(|row| (row[column] - centre).powi(2));
    let sd = mean(squares).sqrt();
    // Equal figures may differ in their last bit.
    if sd <= 1e-12 * centre.abs() {
        return Fate::Constant;
    }
    for row in x {
        row[column] = (row[column] - centre) / sd;
    }
    Fate::Coefficient { per_sd: 0.0, sd }
}
