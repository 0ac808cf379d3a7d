use crate::quantity::{ShareOfDry, word_enum};
use crate::words::{Said, say};

use super::doubt::{Impossible, doubts};
use super::{Metric, Yield};

word_enum!(
    /// Why a figure can't be told.
    Untold {
        /// A lot fed has no moisture.
        FeedMoisture = "feed-moisture",
        /// A lot fed has no protein.
        FeedProtein = "feed-protein",
        /// A part of the harvest has no moisture.
        LarvaeMoisture = "larvae-moisture",
        LarvaeNitrogen = "larvae-nitrogen",
        /// A residue was not weighed.
        ResidueWeight = "residue-weight",
        ResidueMoisture = "residue-moisture",
        /// Larvae put on trays were not counted.
        StartCount = "start-count",
        /// Larvae harvested were not counted.
        EndCount = "end-count",
        /// Days not known, or none.
        Days = "days",
        NothingFed = "nothing-fed",
        NothingHarvested = "nothing-harvested",
        /// No dry matter was gained.
        NothingGained = "nothing-gained",
        /// No dry matter is gone from the feed.
        NothingGone = "nothing-gone",
        /// An input is beyond all sense.
        NotANumber = "not-a-number",
    }
);

impl Untold {
    pub fn said(self) -> Said {
        say!("lacks", what = self.as_str())
    }
}

/// A value in its metric's unit, or all that is missing for it.
pub type Told = Result<f64, Vec<Untold>>;

#[must_use]
#[derive(Debug, Clone, PartialEq)]
pub struct Conversion {
    /// In the order of [`Metric::ALL`], which is the enum's own.
    values: [Told; Metric::ALL.len()],
    /// Dry matter gained \[kg\].
    pub gain_kg: Told,
    /// Impossible results, with what to check.
    pub doubts: Vec<Impossible>,
}

impl Conversion {
    pub fn get(&self, metric: Metric) -> &Told {
        &self.values[metric as usize]
    }

    pub fn value(&self, metric: Metric) -> Option<f64> {
        self.get(metric).as_ref().ok().copied()
    }
}

/// Figures of conversion from what went in and what came out.
///
/// Inputs as in [`Yield`]; results in each [`Metric`]'s unit, by its equation
/// and source. B is dry larvae less N start x start weight, where the choice in
/// [`StartWeight`](super::StartWeight) is to subtract it. Nothing is clamped: what can't be is told
/// in `doubts`.
pub fn conversion(of: &Yield) -> Conversion {
    let fed = match of.fed_dry_kg {
        None => Err(vec![Untold::FeedMoisture]),
        Some(kg) if kg <= 0.0 => Err(vec![Untold::NothingFed]),
        Some(kg) => finite(kg),
    };
    let residue = known(of.residue_dry_kg, residue_lacks(of));
    let gain = gain_kg(of);
    let gone = both(&fed, &residue, |fed, residue| Ok(fed - residue));
    let days = match of.days {
        Some(days) if days > 0.0 => finite(days),
        _ => Err(vec![Untold::Days]),
    };
    let reduction = both(&gone, &fed, |gone, fed| Ok(100.0 * gone / fed));
    let values = Metric::ALL.map(|metric| {
        let value = match metric {
            Metric::Reduction => reduction.clone(),
            Metric::ReductionIndex => both(&reduction, &days, |share, days| Ok(share / days)),
            Metric::Bioconversion => both(&gain, &fed, |gain, fed| Ok(100.0 * gain / fed)),
            Metric::DigestedConversion => both(&gain, &gone, |gain, gone| {
                over(100.0 * gain, gone, Untold::NothingGone)
            }),
            Metric::FcrDry => both(&fed, &gain, |fed, gain| {
                over(fed, gain, Untold::NothingGained)
            }),
            Metric::FcrFresh if of.fed_kg <= 0.0 => Err(vec![Untold::NothingFed]),
            Metric::FcrFresh => over(of.fed_kg, of.larvae_kg, Untold::NothingHarvested),
            Metric::Survival => survival(of),
            Metric::ProteinConversion => protein_conversion(of, &gain),
            Metric::Metabolised => {
                let lost = both(&gone, &gain, |gone, gain| Ok(gone - gain));
                both(&lost, &fed, |lost, fed| Ok(100.0 * lost / fed))
            }
        };
        value.and_then(finite)
    });
    Conversion {
        values,
        doubts: doubts(of, gain.as_ref().ok().copied()),
        gain_kg: gain,
    }
}

/// B = dry larvae − N start × start weight \[kg dry matter\].
fn gain_kg(of: &Yield) -> Told {
    let nothing = Untold::NothingHarvested;
    let larvae = known(
        of.larvae_dry_kg,
        if of.larvae_kg > 0.0 {
            Untold::LarvaeMoisture
        } else {
            nothing
        },
    );
    match of.start.mg_dry() {
        None => larvae,
        Some(mg_dry) => both(&larvae, &began(of), |larvae, began| {
            Ok(larvae - began * mg_dry / 1e6)
        }),
    }
    .and_then(finite)
}

fn began(of: &Yield) -> Told {
    known(of.began.map(|count| count as f64), Untold::StartCount)
}

/// N end / N start × 100.
fn survival(of: &Yield) -> Told {
    let ended = known(of.ended, Untold::EndCount);
    both(&ended, &began(of), |ended, began| {
        over(100.0 * ended, began, Untold::StartCount)
    })
}

/// B × N share × factor / protein fed × 100.
fn protein_conversion(of: &Yield, gain: &Told) -> Told {
    let fed = known(of.fed_protein_kg, Untold::FeedProtein);
    let share = known(
        of.larvae_nitrogen.map(ShareOfDry::get),
        Untold::LarvaeNitrogen,
    );
    let gained = both(gain, &share, |gain, share| {
        Ok(gain * share * of.factor.value())
    });
    both(&gained, &fed, |gained, fed| {
        over(100.0 * gained, fed, Untold::NothingFed)
    })
}

const fn residue_lacks(of: &Yield) -> Untold {
    if of.residue_kg.is_some() {
        Untold::ResidueMoisture
    } else {
        Untold::ResidueWeight
    }
}

fn known(value: Option<f64>, lacks: Untold) -> Told {
    value.ok_or_else(|| vec![lacks]).and_then(finite)
}

fn finite(value: f64) -> Told {
    if value.is_finite() {
        Ok(value)
    } else {
        Err(vec![Untold::NotANumber])
    }
}

/// A quotient by something above zero.
fn over(above: f64, below: f64, otherwise: Untold) -> Told {
    if below > 0.0 {
        Ok(above / below)
    } else {
        Err(vec![otherwise])
    }
}

/// A figure of two, or all that either lacks, each once.
fn both(one: &Told, other: &Told, figure: impl Fn(f64, f64) -> Told) -> Told {
    match (one, other) {
        (Ok(one), Ok(other)) => figure(*one, *other),
        (one, other) => {
            let lacks = |told: &Told| told.as_ref().err().cloned().unwrap_or_default();
            let mut all = [lacks(one), lacks(other)].concat();
            all.sort();
            all.dedup();
            Err(all)
        }
    }
}
