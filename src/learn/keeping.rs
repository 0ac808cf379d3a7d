//! How long a stream keeps, from the age at which lots were fed or found spoiled.
//!
//! A lot fed at an age had kept until then and says nothing of later days
//! (censored); a lot cleared as spoiled had kept until some day before it was
//! found, so ages found are late by up to a round of inspection. Lots near
//! their end are fed first, which is not quite the chance the method takes for
//! granted: the figure leans to the long side.

use crate::quantity::quantile;
use crate::words::{Said, say};

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Kept {
    pub age_days: f64,
    /// Whether it was cleared as spoiled; else it was fed or is still on hand.
    pub spoiled: bool,
}

/// Share of lots spoiled by the age that is put forward as a keeping time: early
/// enough that most still keep (our default).
pub const SPOILED_SHARE: f64 = 0.25;

/// Lots found spoiled below which nothing is told (our default).
pub const FEWEST_SPOILED: usize = 8;

/// A step of the curve: one age at which lots were found spoiled.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    pub age_days: f64,
    /// Lots that had got as far.
    pub at_risk: usize,
    pub spoiled: usize,
    /// Share of lots that keep beyond it.
    pub keeps: f64,
    /// One standard error of that share.
    pub error: f64,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Age {
    pub days: f64,
    pub low: f64,
    /// To, days; `None` when what was seen does not reach that far.
    pub high: Option<f64>,
}

#[must_use]
#[derive(Debug, Clone, PartialEq)]
pub struct Keeping {
    pub lots: usize,
    pub spoiled: usize,
    pub steps: Vec<Step>,
}

/// The share of lots that keep beyond each age.
///
/// S(t) = Π (1 − d/n) over ages with d of n lots found spoiled; a lot fed at an
/// age at which others were found spoiled counts as at risk there. Variance
/// S² Σ d/(n (n − d)). Source: Kaplan and Meier 1958, JASA 53:457; Greenwood 1926
/// (both from memory; the test holds a worked example). Ages that are not finite
/// or below zero are left out.
pub fn keeping(lots: &[Kept]) -> Keeping {
    let fine = |lot: &&Kept| lot.age_days.is_finite() && lot.age_days >= 0.0;
    let mut lots: Vec<Kept> = lots.iter().filter(fine).copied().collect();
    lots.sort_by(|a, b| a.age_days.total_cmp(&b.age_days));
    let (mut steps, mut keeps, mut sum) = (Vec::new(), 1.0, 0.0);
    let mut before = 0;
    for alike in lots.chunk_by(|a, b| a.age_days.total_cmp(&b.age_days).is_eq()) {
        let at_risk = lots.len() - before;
        before += alike.len();
        let spoiled = alike.iter().filter(|lot| lot.spoiled).count();
        if spoiled == 0 {
            continue;
        }
        let (n, d) = (at_risk as f64, spoiled as f64);
        keeps *= 1.0 - d / n;
        if spoiled < at_risk {
            sum += d / (n * (n - d));
        }
        steps.push(Step {
            age_days: alike[0].age_days,
            at_risk,
            spoiled,
            keeps,
            error: keeps * f64::sqrt(sum),
        });
    }
    Keeping {
        lots: lots.len(),
        spoiled: steps.iter().map(|step| step.spoiled).sum(),
        steps,
    }
}

impl Keeping {
    /// The age by which a share of the lots is spoiled, with an interval of a chance.
    ///
    /// The first age at which S(t) is at most 1 − share; from the first at which
    /// S(t) − z·error is, to the first at which S(t) + z·error is (Brookmeyer and
    /// Crowley 1982, Biometrics 38:29, with plain Greenwood errors; from memory).
    ///
    /// # Errors
    /// Why none is told: too few were found spoiled, or the share was not reached.
    pub fn spoiled_by(&self, share: f64, chance: f64) -> Result<Age, Said> {
        if self.spoiled < FEWEST_SPOILED {
            let (spoiled, needed) = (self.spoiled, FEWEST_SPOILED);
            return Err(say!("keeping-too-few", spoiled, needed));
        }
        let z = quantile(0.5 + 0.5 * chance);
        // A hair for sums of thirds and sixths that are one half.
        let first = |times: f64| {
            let reached = |step: &&Step| step.keeps + times * step.error <= 1.0 - share + 1e-9;
            self.steps.iter().find(reached).map(|step| step.age_days)
        };
        let days = first(0.0).ok_or_else(|| say!("keeping-no-end"))?;
        Ok(Age {
            days,
            low: first(-z).unwrap_or(days),
            high: first(z),
        })
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn lots(ages: &[f64], spoiled: bool) -> Vec<Kept> {
        let lot = |age_days: &f64| Kept {
            age_days: *age_days,
            spoiled,
        };
        ages.iter().map(lot).collect()
    }

    /// Freireich et al. 1963, Blood 21:699: weeks of remission on 6-MP, the
    /// worked example of the textbooks (from memory, unverified); false is
    /// censored. Shares and Greenwood errors as printed there.
    #[test]
    fn freireich_1963_six_mp() {
        let spoiled = [6.0, 6.0, 6.0, 7.0, 10.0, 13.0, 16.0, 22.0, 23.0];
        let others = [
            6.0, 9.0, 10.0, 11.0, 17.0, 19.0, 20.0, 25.0, 32.0, 32.0, 34.0, 35.0,
        ];
        let of = keeping(&[lots(&others, false), lots(&spoiled, true)].concat());
        let row = |of: &Step| {
            let (days, keeps, error) = (of.age_days, of.keeps, of.error);
            format!("{days} {} {} {keeps:.3} {error:.3}", of.at_risk, of.spoiled)
        };
        assert_eq!(
            of.steps.iter().map(row).collect::<Vec<_>>(),
            [
                "6 21 3 0.857 0.076",
                "7 17 1 0.807 0.087",
                "10 15 1 0.753 0.096",
                "13 12 1 0.690 0.107",
                "16 11 1 0.627 0.114",
                "22 7 1 0.538 0.128",
                "23 6 1 0.448 0.135",
            ]
        );
        let age = of.spoiled_by(0.5, 0.95).expect("nine events");
        assert_eq!((age.days, age.low, age.high), (23.0, 13.0, None));
    }

    #[test]
    fn silent_when_little_spoiled() {
        let mut all = lots(&[2.0; 7], true);
        let days = |lots: &[Kept]| {
            let age = keeping(lots).spoiled_by(0.5, 0.9);
            age.map(|age| age.days).map_err(|why| why.in_english())
        };
        let few = "7 lots found spoiled, at least 8 are needed";
        assert_eq!(days(&all), Err(few.to_owned()));
        all.extend(lots(&[3.0], true));
        assert_eq!(days(&all), Ok(2.0));
        all.extend(lots(&[4.0; 20], false));
        let late = "too many lots keep beyond any age found spoiled";
        assert_eq!(days(&all), Err(late.to_owned()));
        all.extend(lots(&[f64::NAN], true));
        assert_eq!(keeping(&all).lots, 28);
    }

    proptest! {
        /// Without lots fed, the curve is the plain share of lots left; the
        /// order in which lots are told does not matter.
        #[test]
        fn plain_shares_and_any_order(
            ages in prop::collection::vec((1_u32..30).prop_map(f64::from), 8..60),
            fed in prop::collection::vec((1_u32..30).prop_map(f64::from), 0..40),
        ) {
            let spoiled = lots(&ages, true);
            for step in keeping(&spoiled).steps {
                let left = ages.iter().filter(|age| **age > step.age_days).count();
                let share = left as f64 / ages.len() as f64;
                prop_assert!((step.keeps - share).abs() < 1e-9);
                let binomial = (share * (1.0 - share) / ages.len() as f64).sqrt();
                prop_assert!((step.error - binomial).abs() < 1e-9);
            }
            let mut all = [spoiled, lots(&fed, false)].concat();
            let one = keeping(&all);
            all.reverse();
            prop_assert_eq!(&one, &keeping(&all));
            if let Ok(age) = one.spoiled_by(0.5, 0.9) {
                prop_assert!(age.low <= age.days && age.high.is_none_or(|high| high >= age.days));
            }
        }
    }
}
