//! A plain linear model: named columns with bounds, named rows with bounds.

/// A quantity the solver chooses.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    /// Stable name, used in messages and exports.
    pub name: String,
    /// At least this; may be minus infinity.
    pub lower: f64,
    /// At most this; may be infinity.
    pub upper: f64,
}

/// A linear form kept between two bounds.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Stable name, used in messages and exports.
    pub name: String,
    /// Column and coefficient; a column stands at most once.
    pub terms: Vec<(usize, f64)>,
    /// At least this; may be minus infinity.
    pub lower: f64,
    /// At most this; may be infinity.
    pub upper: f64,
}

/// What to make small or large.
#[derive(Debug, Clone, PartialEq)]
pub struct Goal {
    /// Column and coefficient; a column stands at most once.
    pub terms: Vec<(usize, f64)>,
    /// Whether larger is better.
    pub maximise: bool,
}

impl Row {
    #[must_use]
    pub fn value(&self, point: &[f64]) -> f64 {
        value_of(&self.terms, point)
    }

    /// How far it is beyond its upper bound, in its own unit.
    pub(super) fn above(&self, point: &[f64]) -> f64 {
        self.value(point) - self.upper
    }
}

impl Goal {
    /// A goal to make small.
    #[must_use]
    pub fn minimise(terms: Vec<(usize, f64)>) -> Self {
        Self {
            terms,
            maximise: false,
        }
    }

    /// A goal to make large.
    #[must_use]
    pub fn maximise(terms: Vec<(usize, f64)>) -> Self {
        Self {
            terms,
            maximise: true,
        }
    }

    #[must_use]
    pub fn value(&self, point: &[f64]) -> f64 {
        value_of(&self.terms, point)
    }
}

/// Columns and rows.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Model {
    pub columns: Vec<Column>,
    pub rows: Vec<Row>,
}

impl Model {
    /// Adds a column and returns its position.
    pub fn column(&mut self, name: impl Into<String>, lower: f64, upper: f64) -> usize {
        self.columns.push(Column {
            name: name.into(),
            lower,
            upper,
        });
        self.columns.len() - 1
    }

    /// Adds `terms ≤ upper`.
    pub fn at_most(&mut self, name: impl Into<String>, terms: Vec<(usize, f64)>, upper: f64) {
        self.between(name, terms, f64::NEG_INFINITY, upper);
    }

    /// Adds `terms ≥ lower`.
    pub fn at_least(&mut self, name: impl Into<String>, terms: Vec<(usize, f64)>, lower: f64) {
        self.between(name, terms, lower, f64::INFINITY);
    }

    /// Adds `lower ≤ terms ≤ upper`.
    pub fn between(
        &mut self,
        name: impl Into<String>,
        terms: Vec<(usize, f64)>,
        lower: f64,
        upper: f64,
    ) {
        self.rows.push(Row {
            name: name.into(),
            terms,
            lower,
            upper,
        });
    }

    /// The largest amount by which a point breaks a bound or a row; infinite when the point has no number.
    #[must_use]
    pub fn worst_violation(&self, point: &[f64]) -> f64 {
        let beyond = |value: f64, lower: f64, upper: f64| {
            if value.is_finite() {
                (lower - value).max(value - upper).max(0.0)
            } else {
                f64::INFINITY
            }
        };
        let columns = self
            .columns
            .iter()
            .zip(point)
            .map(|(column, value)| beyond(*value, column.lower, column.upper));
        let rows = self
            .rows
            .iter()
            .map(|row| beyond(row.value(point), row.lower, row.upper));
        columns.chain(rows).fold(0.0, f64::max)
    }

    /// The name of a column or row that holds a number no solver may see: NaN,
    /// an infinite coefficient, bounds the wrong way round.
    #[must_use]
    pub fn unfit(&self, goal: &Goal) -> Option<String> {
        let bounds = |name: &str, lower: f64, upper: f64| {
            let fit = lower <= upper && lower < f64::INFINITY && upper > f64::NEG_INFINITY;
            (!fit).then(|| name.to_owned())
        };
        let terms = |name: &str, terms: &[(usize, f64)]| {
            let fit = terms.iter().all(|(column, coefficient)| {
                *column < self.columns.len() && coefficient.is_finite()
            });
            (!fit).then(|| name.to_owned())
        };
        self.columns
            .iter()
            .find_map(|column| bounds(&column.name, column.lower, column.upper))
            .or_else(|| {
                self.rows.iter().find_map(|row| {
                    bounds(&row.name, row.lower, row.upper).or_else(|| terms(&row.name, &row.terms))
                })
            })
            .or_else(|| terms("goal", &goal.terms))
    }
}

/// A linear form at a point.
pub(super) fn value_of(terms: &[(usize, f64)], point: &[f64]) -> f64 {
    terms
        .iter()
        .map(|(column, coefficient)| coefficient * point[*column])
        .sum()
}
