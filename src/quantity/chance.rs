/// The standard normal distribution: `Φ(z) = ½ + φ(z) Σ z^(2k+1)/(1·3·…·(2k+1))`
/// (series as in Marsaglia, Evaluating the Normal Distribution, Journal of
/// Statistical Software 11(4), 2004); beyond 7 it is 0 or 1 within 1e-11.
pub fn normal(z: f64) -> f64 {
    if z.abs() > 7.0 {
        return f64::from(u8::from(z > 0.0));
    }
    let (mut term, mut sum, mut odd) = (z, z, 1.0);
    while (term / sum).abs() > 1e-17 && term != 0.0 {
        odd += 2.0;
        term *= z * z / odd;
        sum += term;
    }
    0.5 + sum * (-0.5 * z * z).exp() / (2.0 * std::f64::consts::PI).sqrt()
}

/// The number below which a standard normal one lies with a chance.
pub fn quantile(chance: f64) -> f64 {
    inverse(chance, 7.0, normal)
}

/// The chance that Student's t with `df` degrees of freedom is below `t`.
///
/// Finite series of Abramowitz and Stegun 1964, 26.7.3 (odd) and 26.7.4 (even),
/// with theta = atan(t/sqrt(df)); from memory, checked against the printed
/// table in the test. `df` is at least 1.
pub fn student(t: f64, df: u32) -> f64 {
    let df = df.max(1);
    let theta = (t / f64::from(df).sqrt()).atan();
    let cos2 = theta.cos().powi(2);
    let is_odd = df % 2 == 1;
    // Terms cos^k with each factor (k-1)/k from the one before, k in steps of two.
    let first = if is_odd { theta.cos() } else { 1.0 };
    let (mut term, mut sum) = (first, 0.0);
    let mut k = if is_odd { 1 } else { 0 };
    while k + 2 <= df {
        sum += term;
        k += 2;
        term *= cos2 * f64::from(k - 1) / f64::from(k);
    }
    let within = if is_odd {
        2.0 / std::f64::consts::PI * (theta + theta.sin() * sum)
    } else {
        theta.sin() * sum
    };
    0.5 + 0.5 * within
}

/// The number below which Student's t with `df` degrees of freedom lies with a chance.
pub fn student_quantile(chance: f64, df: u32) -> f64 {
    // One degree of freedom has heavy tails; 1e6 holds chances up to 1 - 3e-7.
    inverse(chance, 1e6, |t| student(t, df))
}

/// Where a rising function of chance crosses one, between two equal bounds.
fn inverse(chance: f64, bound: f64, below: impl Fn(f64) -> f64) -> f64 {
    let (mut low, mut high) = (-bound, bound);
    for _ in 0..100 {
        let middle = f64::midpoint(low, high);
        if below(middle) < chance {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}

/// The value below which a share of a sorted sample lies, between its neighbours
/// in proportion; `None` of nothing. `share` 0.5 is the median.
///
/// Position (n - 1) x share (type 7 of Hyndman and Fan 1996, The American
/// Statistician 50:361; from memory).
pub fn sample_quantile(sorted: &[f64], share: f64) -> Option<f64> {
    let last = sorted.len().checked_sub(1)?;
    let position = last as f64 * share.clamp(0.0, 1.0);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "from zero to the last index"
    )]
    let below = position.floor() as usize;
    let above = (below + 1).min(last);
    let part = position - position.floor();
    Some(sorted[below] + part * (sorted[above] - sorted[below]))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Standard table of the normal distribution.
    #[test]
    fn the_normal_distribution() {
        for (z, chance) in [
            (0.0, 0.5),
            (1.0, 0.841_344_746),
            (1.644_853_627, 0.95),
            (-1.959_963_985, 0.025),
            (3.0, 0.998_650_102),
        ] {
            assert!((normal(z) - chance).abs() < 1e-8, "{z}");
            assert!((quantile(chance) - z).abs() < 1e-6, "{chance}");
        }
        assert!(normal(-40.0).abs() < 1e-12 && (normal(40.0) - 1.0).abs() < 1e-12);
    }

    /// Standard table of Student's t (one-sided 0.95, 0.975, 0.995).
    #[test]
    fn student_s_table() {
        for (df, row) in [
            (1, [6.314, 12.706, 63.657]),
            (2, [2.920, 4.303, 9.925]),
            (3, [2.353, 3.182, 5.841]),
            (4, [2.132, 2.776, 4.604]),
            (9, [1.833, 2.262, 3.250]),
            (30, [1.697, 2.042, 2.750]),
        ] {
            for (chance, expected) in [0.95, 0.975, 0.995].into_iter().zip(row) {
                let t = student_quantile(chance, df);
                assert!((t - expected).abs() < 6e-4, "{df} {chance}: {t}");
                assert!((student_quantile(1.0 - chance, df) + t).abs() < 1e-6);
            }
        }
        assert!((student_quantile(0.9, 5000) - quantile(0.9)).abs() < 1e-3);
    }

    #[test]
    fn a_sample_s_quartiles() {
        let sorted = [1.0, 2.0, 4.0, 8.0, 16.0];
        let of = |share| sample_quantile(&sorted, share);
        assert_eq!(
            [of(0.25), of(0.5), of(0.75)],
            [Some(2.0), Some(4.0), Some(8.0)]
        );
        assert_eq!(sample_quantile(&sorted[..4], 0.5), Some(3.0));
        assert_eq!(sample_quantile(&[], 0.5), None);
    }
}
