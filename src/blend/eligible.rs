use crate::stream::Measure;

use super::problem::{Composition, Group, Problem};

/// What a group's rows need to know of one kilogram of an item.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Figures {
    /// Moisture, share as fed.
    pub moisture: f64,
    /// One share of dry matter for each analyte window of the group, in the windows' order.
    pub analytes: Vec<f64>,
    /// Litres one kilogram fills; 0 when the group has no volume.
    pub litres_per_kg: f64,
    /// Names of the figures that were assumed, not known.
    pub assumed: Vec<String>,
}

impl Figures {
    pub(super) fn dry(&self) -> f64 {
        1.0 - self.moisture
    }
}

/// The figures of an item for a group, or why it may not enter.
pub(super) fn figures(composition: &Composition, group: &Group) -> Result<Figures, String> {
    let moisture = composition.moisture.ok_or_else(|| {
        "moisture unknown: test it with `assay` or give it in the stream table".to_owned()
    })?;
    let mut assumed = Vec::new();
    let mut analytes = Vec::new();
    for measure in group.windows.keys() {
        let Measure::Analyte(analyte) = measure else {
            continue;
        };
        let share = match (
            composition.analytes.get(analyte),
            group.assumed.get(analyte),
        ) {
            (Some(known), _) => known.get(),
            (None, Some(assumption)) => {
                assumed.push(format!("{measure} {:.1} % of dry matter", assumption.pct()));
                assumption.get()
            }
            (None, None) => {
                return Err(format!(
                    "{} unknown, and `{}` has a window on it",
                    analyte.key(),
                    group.name
                ));
            }
        };
        analytes.push(share);
    }
    let litres_per_kg = match (group.volume, composition.density, group.assumed_density) {
        (None, _, _) => 0.0,
        (Some(_), Some(known), _) => known.litres_per_kg(),
        (Some(_), None, Some(assumption)) => {
            assumed.push(format!("bulk density {:.0} kg/m3", assumption.kg_per_m3()));
            assumption.litres_per_kg()
        }
        (Some(_), None, None) => {
            return Err(format!(
                "bulk density unknown, and `{}` has a volume",
                group.name
            ));
        }
    };
    Ok(Figures {
        moisture: moisture.get(),
        analytes,
        litres_per_kg,
        assumed,
    })
}

/// Lots that no group may use, each with the reason.
pub(super) fn held_back(problem: &Problem) -> Vec<(usize, String)> {
    problem
        .lots
        .iter()
        .enumerate()
        .filter_map(|(index, lot)| {
            if let Some(reason) = &lot.barred {
                return Some((index, reason.clone()));
            }
            let reasons: Vec<String> = problem
                .groups
                .iter()
                .filter_map(|group| figures(&lot.composition, group).err())
                .collect();
            (reasons.len() == problem.groups.len() && !reasons.is_empty())
                .then(|| (index, reasons[0].clone()))
        })
        .collect()
}
