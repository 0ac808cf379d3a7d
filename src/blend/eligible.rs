use crate::stream::{Analyte, Measure};
use crate::words::{Said, say};

use super::problem::{Composition, Group, Problem};

/// What a group's rows need to know of one kilogram of an item.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Figures {
    /// Moisture, share as fed.
    pub moisture: f64,
    /// One for each window of the group on dry matter, in the windows' order.
    pub analytes: Vec<Parts>,
    /// Litres one kilogram fills; 0 when the group has no volume.
    pub litres_per_kg: f64,
    /// Share of dry matter that feeds nobody.
    pub ballast: f64,
    /// Figures that were assumed, not known.
    pub assumed: Vec<Said>,
}

/// What a kilogram of dry matter adds above and below the line of a measure.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Parts {
    pub above: f64,
    pub below: f64,
}

impl Parts {
    /// The measure of this alone.
    pub(super) fn value(self) -> f64 {
        self.above / self.below
    }

    /// How far above a bound, in the kilograms of the row.
    pub(super) fn beyond(self, bound: f64) -> f64 {
        self.above - bound * self.below
    }

    fn of(composition: &Composition, measure: &Measure) -> Result<Option<Self>, Analyte> {
        let Some(quotient) = measure.quotient() else {
            return Ok(None);
        };
        let share = |analyte: &Analyte| Some(composition.analytes.get(analyte)?.get());
        let wanted = quotient.above.by.iter().chain(&quotient.below.by);
        if let Some((unknown, _)) = wanted.into_iter().find(|(name, _)| share(name).is_none()) {
            return Err(unknown.clone());
        }
        let parts = (quotient.above.at(share)).zip(quotient.below.at(share));
        Ok(parts.map(|(above, below)| Self { above, below }))
    }
}

impl Figures {
    pub(super) fn dry(&self) -> f64 {
        1.0 - self.moisture
    }

    /// Kilograms of ration in a kilogram as fed.
    pub(super) fn ration(&self) -> f64 {
        self.dry() * (1.0 - self.ballast)
    }
}

/// The figures of an item for a group, or why it may not enter.
pub(super) fn figures(composition: &Composition, group: &Group) -> Result<Figures, Said> {
    let moisture = composition
        .moisture
        .ok_or_else(|| say!("lot-moisture-unknown"))?;
    let mut assumed = Vec::new();
    let mut analytes = Vec::new();
    for measure in group.windows.keys() {
        // Only a window on the analyte itself may assume it: what is reckoned
        // from several is unknown if one of them is.
        let assumption = match measure {
            Measure::Analyte(analyte) => group.assumed.get(analyte),
            _ => None,
        };
        match (Parts::of(composition, measure), assumption) {
            (Ok(parts), _) => analytes.extend(parts),
            (Err(_), Some(assumption)) => {
                let pct = format!("{:.1}", assumption.pct());
                assumed.push(say!("assumed-share", measure = measure.said(), pct));
                analytes.push(Parts {
                    above: assumption.get(),
                    below: 1.0,
                });
            }
            (Err(unknown), None) => {
                let (analyte, group) = (unknown.key(), &group.name);
                return Err(match measure {
                    Measure::Analyte(_) => say!("lot-analyte-unknown", analyte, group),
                    _ => say!("lot-measure-unknown", analyte, group, measure),
                });
            }
        }
    }
    let litres_per_kg = match (group.volume, composition.density, group.assumed_density) {
        (None, _, _) => 0.0,
        (Some(_), Some(known), _) => known.litres_per_kg(),
        (Some(_), None, Some(assumption)) => {
            let density = format!("{:.0}", assumption.kg_per_m3());
            assumed.push(say!("assumed-density", density));
            assumption.litres_per_kg()
        }
        (Some(_), None, None) => {
            return Err(say!("lot-density-unknown", group = &group.name));
        }
    };
    Ok(Figures {
        moisture: moisture.get(),
        analytes,
        litres_per_kg,
        ballast: composition.ballast,
        assumed,
    })
}

/// Lots that no group may use, each with the reason.
pub(super) fn held_back(problem: &Problem) -> Vec<(usize, Said)> {
    problem
        .lots
        .iter()
        .enumerate()
        .filter_map(|(index, lot)| {
            if let Some(reason) = &lot.barred {
                return Some((index, reason.clone()));
            }
            let reasons: Vec<Said> = problem
                .groups
                .iter()
                .filter_map(|group| {
                    if group.never_gets(&lot.stream) {
                        return Some(say!("lot-group-gets-none", group = &group.name));
                    }
                    figures(&lot.composition, group).err()
                })
                .collect();
            (reasons.len() == problem.groups.len() && !reasons.is_empty())
                .then(|| (index, reasons[0].clone()))
        })
        .collect()
}
