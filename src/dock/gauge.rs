//! Pictures drawn from figures: where a value stands in its window, and what a
//! mix is made of. Only geometry; the figures come reckoned.

use crate::blend::sureness::MeasureSureness;
use crate::blend::{GroupMix, Standing};
use crate::sheet::MixSheet;
use crate::stream::{Measure, Window};
use crate::words::{Said, say};

/// A gauge 1000 wide: window, limits, value.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Gauge {
    /// What is measured.
    pub(super) name: String,
    pub(super) value: String,
    pub(super) window: String,
    /// Inside, at the edge, too low, too high, beyond the limit.
    pub(super) standing: Said,
    pub(super) inside: bool,
    /// The chance of being inside, in words, where it is known.
    pub(super) chance: Option<String>,
    /// Where the value stands.
    pub(super) at: Option<u32>,
    /// Where the window begins and how wide it is.
    pub(super) span: (u32, u32),
    /// Where the hard limits stand.
    pub(super) limits: Vec<u32>,
    /// Ends of the scale in words.
    pub(super) ends: (String, String),
}

/// A part of the stacked bar, 1000 wide.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Slice {
    /// Lot and stream.
    pub(super) name: String,
    /// The lot alone, to stand in the bar.
    pub(super) short: String,
    pub(super) weight: String,
    /// Its share of the batch, in whole per cent.
    pub(super) pct: u32,
    /// Where it begins.
    pub(super) from: u32,
    pub(super) wide: u32,
    /// Which of the hatchings.
    pub(super) hatch: usize,
}

const WIDE: f64 = 1000.0;
/// Hatchings that can be told apart in black and white.
const HATCHES: usize = 8;

/// A gauge for each figure that has a window.
pub(super) fn gauges(sheet: &MixSheet, group: &GroupMix) -> Vec<Gauge> {
    let sureness = sheet.trust.sureness.as_ref();
    let chance = |measure| {
        let sure = sureness?.measures.iter();
        let of = |sure: &&_| is_of(sure, &group.name, measure);
        sure.filter(of)
            .map(|sure| format!("{:.0} %", sure.chance * 100.0))
            .next()
    };
    group
        .figures
        .measures
        .iter()
        .map(|figure| {
            let (low, high) = ends(&figure.window, figure.value);
            let place = |share: f64| {
                let place = ((share - low) / (high - low) * WIDE)
                    .clamp(0.0, WIDE)
                    .round();
                #[expect(
                    clippy::cast_possible_truncation,
                    clippy::cast_sign_loss,
                    reason = "clamped to 0..=1000 on the line above"
                )]
                let place = place as u32;
                place
            };
            let from = figure.window.min.map_or(0, place);
            let to = figure.window.max.map_or(1000, place);
            Gauge {
                name: figure.measure.to_string(),
                value: figure.value.map_or_else(|| "-".to_owned(), percent),
                window: range(figure.window.min, figure.window.max),
                standing: match figure.standing {
                    Standing::Inside => say!("dock-gauge-inside"),
                    Standing::Below(_) => say!("dock-gauge-low"),
                    Standing::Above(_) => say!("dock-gauge-high"),
                    Standing::BeyondLimit(_) => say!("dock-gauge-beyond"),
                    Standing::NoValue => say!("dock-gauge-none"),
                },
                inside: figure.standing.is_inside(),
                chance: chance(&figure.measure),
                at: figure.value.map(place),
                span: (from, to.saturating_sub(from).max(2)),
                limits: [figure.window.limit_min, figure.window.limit_max]
                    .into_iter()
                    .flatten()
                    .map(place)
                    .collect(),
                ends: (percent(low), percent(high)),
            }
        })
        .collect()
}

fn is_of(sure: &MeasureSureness, group: &str, measure: &Measure) -> bool {
    sure.group == group && sure.measure == *measure
}

/// The scale: all there is to show, with a margin, within 0 to 100 %.
fn ends(window: &Window, value: Option<f64>) -> (f64, f64) {
    let shown: Vec<f64> = [
        window.min,
        window.max,
        window.limit_min,
        window.limit_max,
        value,
    ]
    .into_iter()
    .flatten()
    .collect();
    if shown.is_empty() {
        return (0.0, 1.0);
    }
    let low = shown.iter().copied().fold(1.0, f64::min);
    let high = shown.iter().copied().fold(0.0, f64::max);
    let margin = ((high - low) * 0.15).max(0.02);
    ((low - margin).max(0.0), (high + margin).min(1.0))
}

fn percent(share: f64) -> String {
    format!("{} %", crate::sheet::one_decimal(share * 100.0))
}

fn range(low: Option<f64>, high: Option<f64>) -> String {
    match (low, high) {
        (Some(low), Some(high)) => format!(
            "{}–{}",
            crate::sheet::one_decimal(low * 100.0),
            percent(high)
        ),
        (Some(low), None) => format!("≥ {}", percent(low)),
        (None, Some(high)) => format!("≤ {}", percent(high)),
        (None, None) => String::new(),
    }
}

/// What a group's mix is made of, by fed weight, largest shares as they stand
/// on the sheet.
pub(super) fn slices(group: &GroupMix, units: crate::sheet::Units) -> Vec<Slice> {
    let total = group.figures.wet.get().max(1);
    let lots = group.draws.iter().map(|draw| {
        (
            format!("{} {}", draw.lot, draw.stream),
            draw.lot.clone(),
            draw.grams,
        )
    });
    let bought = group
        .bought
        .iter()
        .map(|(stream, grams)| (stream.to_string(), stream.to_string(), *grams));
    let water = std::iter::once(("water".to_owned(), "water".to_owned(), group.water));
    let mut sum = 0;
    lots.chain(bought)
        .chain(water)
        .filter(|(_, _, grams)| grams.get() > 0)
        .enumerate()
        .map(|(position, (name, short, grams))| {
            let thousandth = |grams: i64| u32::try_from(grams * 1000 / total).unwrap_or(0);
            let from = thousandth(sum);
            sum += grams.get();
            Slice {
                name,
                short,
                weight: units.weight(grams),
                pct: u32::try_from((grams.get() * 100 + total / 2) / total).unwrap_or(0),
                from,
                wide: thousandth(sum) - from,
                hatch: position % HATCHES,
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_scale_holds_all_it_shows() {
        let window = Window {
            min: Some(0.65),
            max: Some(0.72),
            limit_min: Some(0.45),
            limit_max: Some(0.80),
        };
        let (low, high) = ends(&window, Some(0.9));
        assert!(low < 0.45 && high > 0.9 && high <= 1.0, "{low} {high}");
        assert_eq!(ends(&Window::default(), None), (0.0, 1.0));
    }
}
