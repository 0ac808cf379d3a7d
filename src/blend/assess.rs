//! The second road: every figure of a mix from the weights on the sheet, in
//! plain arithmetic on kilograms, without model, rows or solver.

use crate::quantity::{Grams, Litres, Units};
use crate::stream::{Analyte, Bound, CARBON_DIVISOR, Measure, PROTEIN_OF_NITROGEN, Side, Window};
use crate::words::{Said, say};

use super::problem::{Composition, Group, Problem};
use super::rounding::Weighed;
use super::tolerance::{FED_WITHIN, SAME_SHARE};

/// What the figures of a mix are, and whether they hold.
#[derive(Debug, Clone, PartialEq)]
pub struct Assessment {
    /// One for each group, in the problem's order.
    pub groups: Vec<GroupFigures>,
    /// Broken stock, purchase or water limits. Empty on every sheet that is printed.
    pub faults: Vec<Said>,
}

/// The figures of one group's mix.
#[derive(Debug, Clone, PartialEq)]
pub struct GroupFigures {
    /// Weight as fed, water included.
    pub wet: Grams,
    pub dry_matter_kg: f64,
    /// Dry matter that counts towards the ration, kilograms: without ballast.
    pub ration_kg: f64,
    /// Moisture, share as fed; `None` when nothing is fed.
    pub moisture: Option<f64>,
    /// Non-fibre carbohydrate, share of dry matter; `None` when a part's is unknown.
    pub non_fibre_carbohydrate: Option<f64>,
    /// Carbon to nitrogen by weight; `None` when a part's is unknown.
    pub carbon_to_nitrogen: Option<f64>,
    /// Added volumes of the parts, litres; `None` when a density is unknown.
    pub volume_l: Option<f64>,
    pub cost: f64,
    /// Dry matter against what is wanted, as a share of it: inside within
    /// [`FED_WITHIN`](super::tolerance::FED_WITHIN).
    pub feeding: Standing,
    /// Each window with its value.
    pub measures: Vec<MeasureFigure>,
    /// Broken caps and volume.
    pub faults: Vec<Said>,
}

impl GroupFigures {
    /// Whether the group is fed as wanted, inside every window and limit.
    #[must_use]
    pub fn is_inside(&self) -> bool {
        self.feeding.is_inside()
            && self.faults.is_empty()
            && self
                .measures
                .iter()
                .all(|figure| figure.standing.is_inside())
    }

    /// Whether the printed weights break a limit, cap or volume.
    #[must_use]
    pub fn breaks_a_limit(&self) -> bool {
        let mut measures = self.measures.iter();
        !self.faults.is_empty()
            || measures.any(|figure| matches!(figure.standing, Standing::BeyondLimit(_)))
    }
}

impl Assessment {
    /// How bad the weights are, for comparing two roundings of one night:
    /// broken limits first, then feed, then windows, then the last grams of feed.
    #[must_use]
    pub(super) fn badness(&self) -> f64 {
        const LIMIT: f64 = 1e9;
        const FEED: f64 = 1e6;
        const WINDOW: f64 = 1e2;
        const OUT: f64 = 1.0;
        #[expect(clippy::cast_precision_loss, reason = "few faults")]
        let broken = |faults: &[Said]| LIMIT * faults.len() as f64;
        let of_group = |group: &GroupFigures| {
            let missed = match group.feeding {
                Standing::Below(by) | Standing::Above(by) => by + FEED * (by - FED_WITHIN),
                _ => 0.0,
            };
            let measures = group.measures.iter().map(|figure| match figure.standing {
                Standing::BeyondLimit(by) => LIMIT * (OUT + by),
                Standing::Above(by) | Standing::Below(by) => OUT + WINDOW * by,
                Standing::Inside | Standing::NoValue => 0.0,
            });
            broken(&group.faults) + missed + measures.sum::<f64>()
        };
        broken(&self.faults) + self.groups.iter().map(of_group).sum::<f64>()
    }
}

/// A measure of a mix against its window.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasureFigure {
    pub measure: Measure,
    /// Its value, a share in the measure's own basis.
    pub value: Option<f64>,
    /// The window, all bounds as shares.
    pub window: Window,
    pub standing: Standing,
}

impl MeasureFigure {
    /// The bound it is beyond, and how far, as a share; none where it is called inside.
    #[must_use]
    pub fn missed(&self) -> Option<(Bound, f64)> {
        let value = self.value.filter(|_| !self.standing.is_inside())?;
        self.window.missed(value, SAME_SHARE)
    }
}

/// Where a value stands against its window.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Standing {
    /// Inside window and limits.
    Inside,
    /// Below the window; how far, as a share.
    Below(f64),
    /// Above the window; how far, as a share.
    Above(f64),
    /// Outside the hard limits; how far, as a share.
    BeyondLimit(f64),
    /// Nothing is fed, so there is no value.
    NoValue,
}

impl Standing {
    /// Whether the value may be called inside; what has no value may not.
    #[must_use]
    pub fn is_inside(self) -> bool {
        self == Self::Inside
    }

    #[must_use]
    pub fn said(self) -> Said {
        let standing = match self {
            Self::Inside => "inside",
            Self::Below(_) => "below",
            Self::Above(_) => "above",
            Self::BeyondLimit(_) => "limit",
            Self::NoValue => "none",
        };
        say!("standing", standing)
    }
}

/// Recomputes every figure of a mix from its rounded weights.
#[must_use]
pub fn assess(problem: &Problem, weighed: &Weighed) -> Assessment {
    let groups = problem
        .groups
        .iter()
        .enumerate()
        .map(|(position, group)| group_figures(problem, weighed, position, group))
        .collect();
    Assessment {
        groups,
        faults: shared_faults(problem, weighed),
    }
}

fn shared_faults(problem: &Problem, weighed: &Weighed) -> Vec<Said> {
    let mut drawn = vec![Grams::ZERO; problem.lots.len()];
    let mut bought = vec![Grams::ZERO; problem.purchases.len()];
    for group in &weighed.groups {
        for (lot, grams) in &group.draws {
            drawn[*lot] += *grams;
        }
        for (purchase, grams) in &group.bought {
            bought[*purchase] += *grams;
        }
    }
    let water: Grams = weighed.groups.iter().map(|group| group.water).sum();
    let lots = problem.lots.iter().zip(drawn);
    let lots = lots.map(|(lot, drawn)| (Said::from(&lot.name), drawn, lot.edible));
    let bought = problem.purchases.iter().zip(bought);
    let bought = bought.map(|(of, bought)| (Said::from(&of.stream), bought, of.limit));
    lots.chain(bought)
        .chain([(say!("water"), water, problem.water_limit)])
        .filter(|(_, taken, there)| taken > there)
        .map(|(what, taken, there)| {
            say!(
                "mix-overdrawn",
                what,
                taken = taken.get(),
                there = there.get()
            )
        })
        .collect()
}

/// One part of a mix: its weight and what it is made of.
struct Part<'a> {
    kg: f64,
    composition: &'a Composition,
}

impl Part<'_> {
    fn moisture(&self) -> f64 {
        self.composition
            .moisture
            .map_or(f64::NAN, |share| share.get())
    }

    fn dry_kg(&self) -> f64 {
        self.kg * (1.0 - self.moisture())
    }

    fn ration_kg(&self) -> f64 {
        self.dry_kg() * (1.0 - self.composition.ballast)
    }
}

fn group_figures(
    problem: &Problem,
    weighed: &Weighed,
    position: usize,
    group: &Group,
) -> GroupFigures {
    let weights = &weighed.groups[position];
    let lots = weights.draws.iter().map(|(lot, grams)| {
        (
            *grams,
            &problem.lots[*lot].composition,
            problem.lots[*lot].price_per_kg,
        )
    });
    let bought = weights.bought.iter().map(|(item, grams)| {
        (
            *grams,
            &problem.purchases[*item].composition,
            problem.purchases[*item].price_per_kg,
        )
    });
    let all: Vec<(Grams, &Composition, f64)> = lots.chain(bought).collect();
    let parts: Vec<Part<'_>> = all
        .iter()
        .map(|(grams, composition, _)| Part {
            kg: grams.kg(),
            composition,
        })
        .collect();
    let water_kg = weights.water.kg();
    let wet = all.iter().map(|(grams, _, _)| *grams).sum::<Grams>() + weights.water;
    let dry_matter_kg = zero_plus(parts.iter().map(Part::dry_kg));
    let ration_kg = zero_plus(parts.iter().map(Part::ration_kg));
    let moisture = (wet.get() > 0).then(|| {
        (parts
            .iter()
            .map(|part| part.kg * part.moisture())
            .sum::<f64>()
            + water_kg)
            / wet.kg()
    });
    let volume_l = parts
        .iter()
        .map(|part| {
            part.composition
                .density
                .or(group.assumed_density)
                .map(|density| part.kg * density.litres_per_kg())
        })
        .sum::<Option<f64>>()
        .map(|litres| litres + water_kg);
    let measures = group.windows.iter().map(|(measure, window)| {
        let value = match measure {
            Measure::Moisture => moisture,
            _ => of_dry_matter(&parts, measure, group),
        };
        MeasureFigure {
            measure: measure.clone(),
            value,
            window: *window,
            standing: standing(value, window),
        }
    });
    GroupFigures {
        wet,
        dry_matter_kg,
        ration_kg,
        moisture,
        non_fibre_carbohydrate: of_dry_matter(&parts, &Measure::NonFibreCarbohydrate, group),
        carbon_to_nitrogen: of_dry_matter(&parts, &Measure::CarbonToNitrogen, group)
            .map(|hundredths| 100.0 * hundredths),
        volume_l,
        cost: zero_plus(all.iter().map(|(grams, _, price)| grams.kg() * price)),
        feeding: feeding(ration_kg, group.dry_matter_kg),
        measures: measures.collect(),
        faults: cap_and_volume_faults(problem, weighed, position, group, wet, volume_l),
    }
}

/// A sum that is zero, not minus zero, when there is nothing to add.
fn zero_plus(numbers: impl Iterator<Item = f64>) -> f64 {
    numbers.fold(0.0, |sum, number| sum + number)
}

/// What a kilogram of dry matter holds of a measure, and of what it is measured
/// against: the analyte and the dry matter, or a hundredth of the carbon and the
/// nitrogen. Only an analyte by itself is ever assumed.
fn held(composition: &Composition, measure: &Measure, group: &Group) -> Option<(f64, f64)> {
    let known = |name| {
        let share = composition.analytes.get(&Analyte::named(name))?;
        Some(share.get())
    };
    match measure {
        Measure::Moisture => None,
        Measure::Analyte(analyte) => {
            let known = composition.analytes.get(analyte);
            let share = known.or_else(|| group.assumed.get(analyte))?;
            Some((share.get(), 1.0))
        }
        Measure::NonFibreCarbohydrate => {
            let others = known("protein")? + known("fat")? + known("fibre")? + known("ash")?;
            Some((1.0 - others, 1.0))
        }
        Measure::CarbonToNitrogen => {
            let carbon = (1.0 - known("ash")?) / CARBON_DIVISOR;
            Some((carbon / 100.0, known("protein")? / PROTEIN_OF_NITROGEN))
        }
    }
}

/// A measure of dry matter; `None` when a part's figure is unknown or there is nothing to divide by.
fn of_dry_matter(parts: &[Part<'_>], measure: &Measure, group: &Group) -> Option<f64> {
    let (mut above, mut below) = (0.0, 0.0);
    for part in parts {
        let (of, against) = held(part.composition, measure, group)?;
        above += of * part.dry_kg();
        below += against * part.dry_kg();
    }
    (below > 0.0).then(|| above / below)
}

fn standing(value: Option<f64>, window: &Window) -> Standing {
    let Some(value) = value else {
        return Standing::NoValue;
    };
    match window.missed(value, SAME_SHARE) {
        Some((bound, by)) if bound.is_hard => Standing::BeyondLimit(by),
        Some((bound, by)) if bound.side == Side::Least => Standing::Below(by),
        Some((_, by)) => Standing::Above(by),
        None => Standing::Inside,
    }
}

fn feeding(ration_kg: f64, wanted_kg: f64) -> Standing {
    let missed = ration_kg / wanted_kg - 1.0;
    if missed.abs() <= FED_WITHIN + SAME_SHARE {
        Standing::Inside
    } else if missed > 0.0 {
        Standing::Above(missed)
    } else {
        Standing::Below(-missed)
    }
}

fn cap_and_volume_faults(
    problem: &Problem,
    weighed: &Weighed,
    position: usize,
    group: &Group,
    wet: Grams,
    volume_l: Option<f64>,
) -> Vec<Said> {
    let weights = &weighed.groups[position];
    let units = Units::of(problem.division);
    let mut faults = Vec::new();
    for (stream, cap) in &group.caps {
        let lots = weights
            .draws
            .iter()
            .filter(|(lot, _)| group.cap_of(&problem.lots[*lot].stream) == stream)
            .map(|(_, grams)| *grams);
        let bought = weights
            .bought
            .iter()
            .filter(|(item, _)| group.cap_of(&problem.purchases[*item].stream) == stream)
            .map(|(_, grams)| *grams);
        let of_stream: Grams = lots.chain(bought).sum();
        let allowed = cap.get() * wet.kg();
        if of_stream.kg() > allowed + SAME_SHARE * wet.kg() {
            faults.push(say!(
                "mix-above-cap",
                stream,
                weight = units.told(of_stream),
                pct = format!("{:.0}", cap.pct()),
                allowed = units.told_kg(allowed),
            ));
        }
    }
    if let (Some(limit), Some(volume)) = (group.volume.map(Litres::get), volume_l)
        && volume > limit * (1.0 + SAME_SHARE)
    {
        let [volume, limit] = [volume, limit].map(|litres| units.volume(litres));
        faults.push(say!("mix-above-volume", volume, limit));
    }
    faults
}
