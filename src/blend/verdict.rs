use std::collections::BTreeSet;

use crate::stream::Measure;

use super::assess::{Assessment, GroupFigures, Standing};
use super::eligible::figures;
use super::problem::{Group, Problem};
use super::rounding::Weighed;
use super::tiers::Tiers;

/// What is proved about a mix, and what staff should do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum MixVerdict {
    /// Everyone is fed inside every window: mix and feed.
    Inside,
    /// Not everything can be met; this is the nearest mix. Read what is out before feeding.
    Nearest,
    /// Even the hard limits admit no feed from what is there: don't feed this stock.
    Nothing {
        /// Why.
        reason: String,
    },
    /// No engine gave an answer that could be verified. Nothing is proved: feed by judgement and report it.
    Stopped {
        /// What happened.
        reason: String,
    },
}

impl MixVerdict {
    /// The word used in JSON and on the sheet.
    #[must_use]
    pub const fn as_str(&self) -> &'static str {
        match self {
            Self::Inside => "inside",
            Self::Nearest => "nearest",
            Self::Nothing { .. } => "none",
            Self::Stopped { .. } => "stopped",
        }
    }
}

/// Both goals count as zero within this.
pub(super) const GOAL_ZERO: f64 = 1e-6;
/// The verdict on rounded weights that keep to every hard limit.
pub(super) fn verdict_of(
    problem: &Problem,
    (tiers, shortage): (&Tiers, f64),
    weighed: &Weighed,
    figures: &[GroupFigures],
) -> MixVerdict {
    let wanted: f64 = problem.groups.iter().map(|group| group.dry_matter_kg).sum();
    let anything = weighed
        .groups
        .iter()
        .any(|group| !group.draws.is_empty() || !group.bought.is_empty());
    if !anything {
        let reason = if wanted - tiers.short_dm_kg > GOAL_ZERO {
            "the mix would weigh less than the scale can show".to_owned()
        } else {
            nothing_because(problem)
        };
        return MixVerdict::Nothing { reason };
    }
    let proved = shortage <= GOAL_ZERO && tiers.outside <= GOAL_ZERO;
    if proved && coarse(problem, weighed, figures).is_empty() {
        MixVerdict::Inside
    } else {
        MixVerdict::Nearest
    }
}

/// What the scale can't show finely enough: per group and measure, in words.
/// Meant for a mix that is inside before rounding.
pub(super) fn coarse(
    problem: &Problem,
    weighed: &Weighed,
    figures: &[GroupFigures],
) -> Vec<String> {
    let mut found = Vec::new();
    let groups = problem.groups.iter().zip(&weighed.groups).zip(figures);
    for ((group, weights), figures) in groups {
        let out = figures
            .measures
            .iter()
            .filter(|figure| !figure.standing.is_inside());
        found.extend(out.map(|figure| {
            format!("`{}`: {} leaves its window only because weights are rounded to {}; a finer scale would keep it", group.name, figure.measure, problem.division)
        }));
        #[expect(clippy::cast_precision_loss, reason = "a sheet has few draws")]
        let parts = (weights.draws.len() + weights.bought.len() + 1) as f64;
        let missed = (figures.dry_matter_kg - group.dry_matter_kg).abs();
        if missed > parts * problem.division.kg() {
            found.push(format!("`{}`: {:.2} kg of dry matter where {:.2} kg is wanted, only because weights are rounded to {}; a finer scale would come nearer", group.name, figures.dry_matter_kg, group.dry_matter_kg, problem.division));
        }
    }
    found
}

/// The first hard limit that the weights on the sheet break, if any.
pub(super) fn broken_limit(assessment: &Assessment) -> Option<String> {
    let shared = assessment.faults.first();
    let of_group = assessment.groups.iter().flat_map(|group| &group.faults);
    let limit = assessment
        .groups
        .iter()
        .flat_map(|group| &group.measures)
        .find_map(|figure| match figure.standing {
            Standing::BeyondLimit(by) => Some(format!(
                "{} by {:.2} percentage points",
                figure.measure,
                100.0 * by
            )),
            _ => None,
        });
    shared.into_iter().chain(of_group).next().cloned().or(limit)
}

/// The plainest true reason why no kilogram can be fed.
fn nothing_because(problem: &Problem) -> String {
    let may_enter = |group: &Group| {
        let lots = problem
            .lots
            .iter()
            .filter(|lot| lot.barred.is_none() && lot.edible.get() > 0)
            .map(|lot| &lot.composition);
        let bought = problem
            .purchases
            .iter()
            .filter(|purchase| purchase.limit.get() > 0)
            .map(|purchase| &purchase.composition);
        lots.chain(bought)
            .filter_map(|composition| figures(composition, group).ok())
            .collect::<Vec<_>>()
    };
    let mut reasons = BTreeSet::new();
    for group in &problem.groups {
        let parts = may_enter(group);
        if parts.is_empty() {
            reasons.insert(format!("nothing in stock may be fed to `{}`", group.name));
            continue;
        }
        let mut analyte = 0;
        for (measure, window) in &group.windows {
            let values: Vec<f64> = match measure {
                Measure::Moisture => parts.iter().map(|part| part.moisture).collect(),
                _ => {
                    analyte += 1;
                    parts
                        .iter()
                        .map(|part| part.analytes[analyte - 1].value())
                        .collect()
                }
            };
            let (least, most) = (
                values.iter().copied().fold(f64::INFINITY, f64::min),
                values.iter().copied().fold(0.0, f64::max),
            );
            let unit = measure.unit();
            let (pct, word) = (
                |share: f64| share * 100.0,
                if *measure == Measure::Moisture {
                    "wetter"
                } else {
                    "richer"
                },
            );
            if let Some(limit) = window.limit_max.filter(|limit| least > *limit) {
                reasons.insert(format!("everything that may be fed to `{}` is {word} than its {measure} limit of {:.1}{unit} (the least has {:.1}{unit})", group.name, pct(limit), pct(least)));
            }
            let word = if *measure == Measure::Moisture {
                "drier"
            } else {
                "poorer"
            };
            let water_helps = *measure == Measure::Moisture && problem.water_limit.get() > 0;
            if let Some(limit) = window
                .limit_min
                .filter(|limit| most < *limit && !water_helps)
            {
                reasons.insert(format!("everything that may be fed to `{}` is {word} than its {measure} limit of {:.1}{unit} (the most has {:.1}{unit})", group.name, pct(limit), pct(most)));
            }
        }
    }
    if reasons.is_empty() {
        return "the hard limits can't hold together with what is in stock".to_owned();
    }
    reasons.into_iter().collect::<Vec<_>>().join("; ")
}
