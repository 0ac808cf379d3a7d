use crate::quantity::{Grams, ShareAsFed, ShareOfDry};

use super::Yield;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Count {
    Counted(i64),
    /// A sample counted and weighed.
    Sample {
        larvae: i64,
        /// Fresh weight of the sample, milligrams: a hundred larvae weigh some
        /// 15 g, so whole grams would be too coarse.
        milligrams: i64,
    },
}

impl Count {
    /// Larvae in a weight \[fresh\]: the count, or N = n x weight / sample weight.
    /// `None` for a sample without larvae or weight.
    pub fn larvae_in(self, weight: Grams) -> Option<f64> {
        match self {
            Self::Counted(larvae) => Some(larvae as f64),
            Self::Sample { larvae, milligrams } if larvae > 0 && milligrams > 0 => {
                Some(larvae as f64 * weight.kg() * 1e6 / milligrams as f64)
            }
            Self::Sample { .. } => None,
        }
    }
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Residue {
    Weighed {
        wet: Grams,
        moisture: Option<ShareAsFed>,
    },
    /// Put back on the trays: it is weighed with a later part.
    PutBack,
    /// Taken away without a weight.
    NotWeighed,
}

/// What was harvested of a cohort on one day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Part {
    /// Larvae, fresh.
    pub larvae: Grams,
    pub larvae_moisture: Option<ShareAsFed>,
    pub count: Option<Count>,
    /// Their nitrogen, of dry matter, if tested.
    pub larvae_nitrogen: Option<ShareOfDry>,
    pub residue: Residue,
    pub deaths_seen: i64,
}

impl Part {
    fn larvae_dry_kg(&self) -> Option<f64> {
        Some(self.larvae.kg() * self.larvae_moisture?.rest())
    }
}

/// Everything of a cohort harvested so far, as one yield: what it was fed and
/// began with is told already.
///
/// Weights and counts add up. Dry matter adds up part by part, which weighs
/// each part's moisture by its fresh weight; a part without a moisture, count
/// or residue leaves the cohort's unknown. Nitrogen is the mean of the parts
/// tested, weighed by dry matter: one test is taken to stand for the cohort
/// (our default).
pub fn gathered(fed: Yield, parts: &[Part]) -> Yield {
    let residues = || {
        let left = parts.iter().map(|part| part.residue);
        let left = left.filter(|residue| *residue != Residue::PutBack);
        left.map(|residue| match residue {
            Residue::Weighed { wet, moisture } => Some((wet, moisture)),
            Residue::PutBack | Residue::NotWeighed => None,
        })
    };
    let of_parts = |sum: Option<f64>| sum.filter(|_| !parts.is_empty());
    let of_residues = |sum: Option<f64>| sum.filter(|_| residues().next().is_some());
    let residue_dry = |(wet, moisture): (Grams, Option<ShareAsFed>)| -> Option<f64> {
        Some(wet.kg() * moisture?.rest())
    };
    let ended = (parts.iter()).map(|part| part.count?.larvae_in(part.larvae));
    Yield {
        larvae_kg: parts.iter().map(|part| part.larvae).sum::<Grams>().kg(),
        larvae_dry_kg: of_parts(parts.iter().map(Part::larvae_dry_kg).sum()),
        larvae_nitrogen: nitrogen(parts),
        ended: of_parts(ended.sum()),
        deaths_seen: parts.iter().map(|part| part.deaths_seen).sum(),
        residue_kg: of_residues(residues().map(|one| Some(one?.0.kg())).sum()),
        residue_dry_kg: of_residues(residues().map(|one| residue_dry(one?)).sum()),
        ..fed
    }
}

fn nitrogen(parts: &[Part]) -> Option<ShareOfDry> {
    let (mut dry_kg, mut nitrogen_kg) = (0.0, 0.0);
    for part in parts {
        if let (Some(share), Some(dry)) = (part.larvae_nitrogen, part.larvae_dry_kg()) {
            dry_kg += dry;
            nitrogen_kg += share.get() * dry;
        }
    }
    // A tested part without a moisture has no dry weight to be weighed by.
    let only = || parts.iter().find_map(|part| part.larvae_nitrogen);
    if dry_kg > 0.0 {
        ShareOfDry::from_pct(100.0 * nitrogen_kg / dry_kg).ok()
    } else {
        only()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::harvest::{Metric, StartWeight, Untold, conversion};

    fn pct(pct: f64) -> Option<ShareAsFed> {
        ShareAsFed::from_pct(pct).ok()
    }

    fn part(larvae: i64, moisture: f64, count: i64, residue: Residue) -> Part {
        Part {
            larvae: Grams::new(larvae),
            larvae_moisture: pct(moisture),
            count: Some(Count::Counted(count)),
            larvae_nitrogen: None,
            residue,
            deaths_seen: 0,
        }
    }

    fn weighed(wet: i64, moisture: f64) -> Residue {
        Residue::Weighed {
            wet: Grams::new(wet),
            moisture: pct(moisture),
        }
    }

    fn yielded(parts: &[Part]) -> Yield {
        let fed = Yield {
            fed_kg: 40.0,
            fed_dry_kg: Some(12.0),
            began: Some(30_000),
            start: StartWeight::LeftOut,
            days: Some(12.0),
            ..Yield::default()
        };
        gathered(fed, parts)
    }

    /// By hand: 4 kg at 60 % and 1 kg at 80 % hold 1.6 + 0.2 kg dry (64 % in
    /// the mean, not 70); residue 6 kg at 50 % holds 3 kg.
    #[test]
    fn parts_add_up_each_with_its_moisture() {
        let mut second = part(1_000, 80.0, 0, weighed(6_000, 50.0));
        second.count = Some(Count::Sample {
            larvae: 100,
            milligrams: 20_000,
        });
        second.deaths_seen = 40;
        let of = yielded(&[part(4_000, 60.0, 20_000, Residue::PutBack), second]);
        assert_eq!(of.ended, Some(25_000.0)); // 100 in 20 g: 5000 in 1 kg
        assert_eq!((of.larvae_kg, of.deaths_seen), (5.0, 40));
        let told = conversion(&of);
        let value = |metric| format!("{:.3}", told.value(metric).expect("told"));
        assert_eq!(value(Metric::Bioconversion), "15.000"); // 1.8 of 12
        assert_eq!(value(Metric::Reduction), "75.000"); // 9 of 12
        assert_eq!(value(Metric::Survival), "83.333");
        assert_eq!(value(Metric::FcrFresh), "8.000");
    }

    #[test]
    fn one_part_unknown_leaves_the_cohort_s_unknown() {
        let known = part(4_000, 60.0, 20_000, weighed(6_000, 50.0));
        let mut other = known;
        other.larvae_moisture = None;
        other.count = None;
        other.residue = Residue::NotWeighed;
        let told = conversion(&yielded(&[known, other]));
        assert_eq!(
            told.get(Metric::DigestedConversion),
            &Err(vec![Untold::LarvaeMoisture, Untold::ResidueWeight])
        );
        assert_eq!(told.get(Metric::Survival), &Err(vec![Untold::EndCount]));
        assert_eq!(told.value(Metric::FcrFresh), Some(5.0));
        // Nothing harvested yet: nothing is told for a zero.
        let told = conversion(&yielded(&[]));
        for (metric, lacks) in [
            (Metric::Bioconversion, Untold::NothingHarvested),
            (Metric::Reduction, Untold::ResidueWeight),
        ] {
            assert_eq!(told.get(metric), &Err(vec![lacks]));
        }
    }

    #[test]
    fn nitrogen_is_weighed_by_dry_matter() {
        let share = |pct| ShareOfDry::from_pct(pct).ok();
        let mut first = part(4_000, 60.0, 1, Residue::PutBack); // 1.6 kg dry
        first.larvae_nitrogen = share(6.0);
        let mut second = part(2_000, 80.0, 1, Residue::PutBack); // 0.4 kg dry
        second.larvae_nitrogen = share(8.0);
        let untested = part(9_000, 60.0, 1, Residue::PutBack);
        let seen = yielded(&[first, second, untested]).larvae_nitrogen;
        assert!((seen.expect("tested").pct() - 6.4).abs() < 1e-9);
    }
}
