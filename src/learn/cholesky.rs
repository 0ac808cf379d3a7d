/// The lower triangle L of a symmetric positive definite matrix A = L Lᵀ.
#[derive(Debug)]
pub(super) struct Cholesky(Vec<Vec<f64>>);

impl Cholesky {
    /// Factors a matrix given by the rows of its lower triangle; `None` when it
    /// is not positive definite to within rounding.
    pub(super) fn of(mut lower: Vec<Vec<f64>>) -> Option<Self> {
        for i in 0..lower.len() {
            let whole = lower[i][i];
            for j in 0..=i {
                let inner: f64 = (0..j).map(|k| lower[i][k] * lower[j][k]).sum();
                let rest = lower[i][j] - inner;
                if i > j {
                    lower[i][j] = rest / lower[j][j];
                } else if rest.is_finite() && rest > 1e-13 * whole {
                    lower[i][i] = rest.sqrt();
                } else {
                    return None;
                }
            }
        }
        Some(Self(lower))
    }

    /// z with L z = b.
    pub(super) fn forward(&self, b: &[f64]) -> Vec<f64> {
        let mut z: Vec<f64> = Vec::with_capacity(b.len());
        for (row, b) in self.0.iter().zip(b) {
            let inner: f64 = row.iter().zip(&z).map(|(l, z)| l * z).sum();
            z.push((b - inner) / row[z.len()]);
        }
        z
    }

    /// x with A x = b.
    pub(super) fn solved(&self, b: &[f64]) -> Vec<f64> {
        let mut x = self.forward(b);
        for i in (0..x.len()).rev() {
            let inner: f64 = (i + 1..x.len()).map(|k| self.0[k][i] * x[k]).sum();
            x[i] = (x[i] - inner) / self.0[i][i];
        }
        x
    }
}

#[cfg(test)]
mod tests {
    use super::Cholesky;

    /// By hand: [[4, 2], [2, 5]] = L Lᵀ with L = [[2, 0], [1, 2]].
    #[test]
    fn two_by_two() {
        let factor = Cholesky::of(vec![vec![4.0], vec![2.0, 5.0]]).expect("definite");
        assert_eq!(factor.0, [vec![2.0], vec![1.0, 2.0]]);
        assert_eq!(factor.solved(&[8.0, 12.0]), [1.0, 2.0]);
        assert!(Cholesky::of(vec![vec![1.0], vec![2.0, 4.0]]).is_none());
        assert!(Cholesky::of(vec![vec![f64::NAN]]).is_none());
    }
}
