use super::model::{Goal, Model};

impl Model {
    /// The value that multipliers prove no point of the model can pass: for
    /// `min c·x, L ≤ A x ≤ U, l ≤ x ≤ u` and any `y`, with `d = c − Aᵀy`,
    /// `c·x = y·A x + d·x ≥ Σ (y L if y > 0, else y U) + Σ min(d l, d u)`
    /// (Lagrangian bound). A multiplier or reduced cost below `zero` that asks
    /// for a bound without an end counts as none; a larger one proves nothing.
    ///
    /// Inputs: the goal, multipliers of the rows for the goal made small (of a
    /// goal to make large, its coefficients with the sign turned) [goal's unit
    /// per row's unit]. Result: the bound, in the goal's own sense and unit.
    #[must_use]
    pub fn bound_proved(&self, goal: &Goal, multipliers: &[f64], zero: f64) -> Option<f64> {
        let sign = if goal.maximise { -1.0 } else { 1.0 };
        let mut reduced = vec![0.0; self.columns.len()];
        for (column, coefficient) in &goal.terms {
            reduced[*column] += sign * coefficient;
        }
        let least = |by: f64, lower: f64, upper: f64| {
            let end = if by > 0.0 { lower } else { upper };
            if end.is_finite() {
                Some(by * end)
            } else {
                (by.abs() <= zero).then_some(0.0)
            }
        };
        let mut bound = 0.0;
        for (row, by) in self.rows.iter().zip(multipliers) {
            let part = least(*by, row.lower, row.upper)?;
            if part == 0.0 && by.abs() <= zero {
                continue;
            }
            bound += part;
            for (column, coefficient) in &row.terms {
                reduced[*column] -= by * coefficient;
            }
        }
        for (column, by) in self.columns.iter().zip(reduced) {
            bound += least(by, column.lower, column.upper)?;
        }
        Some(sign * bound)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// max x + 2y, x + y ≤ 4, x + 3y ≤ 6: 5 at (3, 1), proved by ½ and ½.
    #[test]
    fn multipliers_prove_a_bound_and_wrong_ones_a_worse_one() {
        let mut model = Model::default();
        let x = model.column("x", 0.0, f64::INFINITY);
        let y = model.column("y", 0.0, f64::INFINITY);
        model.at_most("sum", vec![(x, 1.0), (y, 1.0)], 4.0);
        model.at_most("weighted", vec![(x, 1.0), (y, 3.0)], 6.0);
        let goal = Goal::maximise(vec![(x, 1.0), (y, 2.0)]);
        let bound = |multipliers: &[f64]| model.bound_proved(&goal, multipliers, 1e-9);
        assert_eq!(bound(&[-0.5, -0.5]), Some(5.0));
        assert_eq!(bound(&[-1.0, -1.0]), Some(10.0));
        assert_eq!(bound(&[0.0, 0.0]), None);
        assert_eq!(bound(&[-0.5, 0.5]), None);
    }
}
