use super::{Grams, MassUnit, round_ratio};

/// Shares a whole by mass so that the shares sum to it exactly.
///
/// Largest remainder: each gets the floor of its exact share, what is left goes
/// one gram each to the largest remainders, the first of equals first. `None`
/// when the masses sum to nothing or one is below zero. Source of the method:
/// Hamilton's method of apportionment (common practice, no source).
pub fn shared_by_mass(whole: Grams, masses: &[Grams]) -> Option<Vec<Grams>> {
    let masses: Vec<i64> = masses.iter().map(|mass| mass.get()).collect();
    let shares = apportioned(whole.get(), &masses)?;
    Some(shares.into_iter().map(Grams::new).collect())
}

/// The same for whole numbers of anything, by weights of anything.
pub fn apportioned(whole: i64, weights: &[i64]) -> Option<Vec<i64>> {
    let sum: i128 = weights.iter().map(|weight| i128::from(*weight)).sum();
    if sum <= 0 || weights.iter().any(|weight| *weight < 0) {
        return None;
    }
    let exact: Vec<i128> = (weights.iter())
        .map(|weight| i128::from(whole) * i128::from(*weight))
        .collect();
    let shares = largest_remainder(&exact, sum, i128::from(whole));
    (shares.into_iter().map(i64::try_from))
        .collect::<Result<_, _>>()
        .ok()
}

/// Weights as printed in `unit` with so many decimals, chosen so that the
/// printed column adds up to its printed total, which is rounded once.
///
/// Returns the parts and the total, in units of the last printed digit.
pub fn printed_to_add_up(parts: &[Grams], unit: MassUnit, places: u8) -> (Vec<i128>, i128) {
    let (grams, per) = unit.grams_ratio();
    let scale = 10_i128.pow(u32::from(places)) * per;
    let exact: Vec<i128> = (parts.iter())
        .map(|part| i128::from(part.get()) * scale)
        .collect();
    let whole = round_ratio(exact.iter().sum(), grams);
    (largest_remainder(&exact, grams, whole), whole)
}

/// Whole numbers that sum to `whole`, each `part/divisor` rounded down or up.
/// `whole` must be the sum of the parts over the divisor, itself rounded down or up.
fn largest_remainder(parts: &[i128], divisor: i128, whole: i128) -> Vec<i128> {
    let mut shares: Vec<i128> = (parts.iter())
        .map(|part| part.div_euclid(divisor))
        .collect();
    let left = whole - shares.iter().sum::<i128>();
    let mut order: Vec<usize> = (0..parts.len()).collect();
    order.sort_by_key(|at| std::cmp::Reverse(parts[*at].rem_euclid(divisor)));
    for at in order.into_iter().take(usize::try_from(left).unwrap_or(0)) {
        shares[at] += 1;
    }
    shares
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn grams(masses: &[i64]) -> Vec<Grams> {
        masses.iter().copied().map(Grams::new).collect()
    }

    #[test]
    fn three_thirds_of_a_hundred_grams() {
        let shares = shared_by_mass(Grams::new(100), &grams(&[5, 5, 5]));
        assert_eq!(shares, Some(grams(&[34, 33, 33])));
        let back = shared_by_mass(Grams::new(-100), &grams(&[5, 5, 5]));
        assert_eq!(back, Some(grams(&[-33, -33, -34])));
        assert_eq!(shared_by_mass(Grams::new(1), &grams(&[0, 0])), None);
        assert_eq!(shared_by_mass(Grams::new(1), &grams(&[2, -1])), None);
        assert_eq!(shared_by_mass(Grams::new(1), &[]), None);
    }

    proptest! {
        #[test]
        fn shares_sum_to_the_whole_and_lie_within_a_gram(
            whole in -1_000_000_000_i64..1_000_000_000,
            masses in prop::collection::vec(0_i64..10_000_000, 1..40),
        ) {
            let sum: i64 = masses.iter().sum();
            prop_assume!(sum > 0);
            let shares = shared_by_mass(Grams::new(whole), &grams(&masses)).expect("shares");
            prop_assert_eq!(shares.iter().map(|share| share.get()).sum::<i64>(), whole);
            for (share, mass) in shares.iter().zip(&masses) {
                let off = i128::from(share.get()) * i128::from(sum)
                    - i128::from(whole) * i128::from(*mass);
                prop_assert!(off.abs() < i128::from(sum), "{share:?} of {mass}");
            }
        }

        #[test]
        fn printed_parts_add_up_to_the_printed_total(
            parts in prop::collection::vec(-5_000_000_i64..50_000_000, 0..40),
            places in 0_u8..3,
        ) {
            for unit in [MassUnit::Lb, MassUnit::Kg] {
                let (printed, total) = printed_to_add_up(&grams(&parts), unit, places);
                prop_assert_eq!(printed.iter().sum::<i128>(), total);
                let (numerator, denominator) = unit.grams_ratio();
                let scale = 10_i128.pow(u32::from(places)) * denominator;
                for (steps, part) in printed.iter().zip(&parts) {
                    let off = steps * numerator - i128::from(*part) * scale;
                    prop_assert!(off.abs() < numerator);
                }
            }
        }
    }
}
