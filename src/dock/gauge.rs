//! Pictures drawn from figures: where a value stands in its window, and what a
//! mix is made of. Only geometry; the figures come reckoned.

use crate::blend::{GroupMix, MeasureFigure};
use crate::quantity::Units;
use crate::sheet::{MixSheet, one_decimal, range};
use crate::stream::{Measure, Window};
use crate::words::{Said, say};

/// A gauge 1000 wide: window, limits, value.
pub(super) struct Gauge {
    pub(super) name: Said,
    pub(super) value: String,
    pub(super) window: Said,
    /// Inside, at the edge, too low, too high, beyond the limit.
    pub(super) standing: Said,
    pub(super) inside: bool,
    /// The chance of being inside, in words, where it is known.
    pub(super) chance: Option<String>,
    pub(super) at: Option<u32>,
    /// Where the window begins and how wide it is.
    pub(super) span: (u32, u32),
    pub(super) limits: Vec<u32>,
    pub(super) ends: (String, String),
}

/// A part of the stacked bar, 1000 wide.
pub(super) struct Slice {
    /// Lot and stream.
    pub(super) name: Said,
    pub(super) weight: String,
    pub(super) pct: u32,
    pub(super) from: u32,
    pub(super) wide: u32,
    pub(super) hatch: usize,
}

const WIDE: f64 = 1000.0;
/// Hatchings that can be told apart in black and white.
const HATCHES: usize = 8;

/// A gauge for each figure that has a window.
pub(super) fn gauges(sheet: &MixSheet, group: &GroupMix) -> Vec<Gauge> {
    let sureness = sheet.trust.sureness.as_ref();
    let chance = |measure: &Measure| {
        let mut sure = sureness?.measures.iter();
        let sure = sure.find(|sure| sure.group == group.name && sure.measure == *measure)?;
        Some(format!("{:.0} %", sure.chance * 100.0))
    };
    let gauge = |figure: &MeasureFigure| {
        let window = &figure.window;
        let (low, high) = ends(window, figure.value);
        let place = |share: f64| {
            let place = (share - low) / (high - low) * WIDE;
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "clamped to 0..=1000"
            )]
            let place = place.clamp(0.0, WIDE).round() as u32;
            place
        };
        let from = window.min.map_or(0, place);
        let to = window.max.map_or(1000, place);
        Gauge {
            name: figure.measure.said(),
            value: figure.value.map_or_else(|| "-".to_owned(), percent),
            window: range(window.range(false), figure.measure.unit()),
            standing: figure.standing.said(),
            inside: figure.standing.is_inside(),
            chance: chance(&figure.measure),
            at: figure.value.map(place),
            span: (from, to.saturating_sub(from).max(2)),
            limits: limits(window).map(place).collect(),
            ends: (percent(low), percent(high)),
        }
    };
    group.figures.measures.iter().map(gauge).collect()
}

fn limits(window: &Window) -> impl Iterator<Item = f64> + Clone {
    let hard = window.bounds().filter(|bound| bound.is_hard);
    hard.map(|bound| bound.share)
}

/// The scale: all there is to show, with a margin, within 0 to 100 %.
fn ends(window: &Window, value: Option<f64>) -> (f64, f64) {
    let bounds = window.bounds().map(|bound| bound.share);
    let shown = bounds.chain(value);
    if shown.clone().next().is_none() {
        return (0.0, 1.0);
    }
    let low = shown.clone().fold(1.0, f64::min);
    let high = shown.fold(0.0, f64::max);
    let margin = ((high - low) * 0.15).max(0.02);
    ((low - margin).max(0.0), (high + margin).min(1.0))
}

fn percent(share: f64) -> String {
    format!("{} %", one_decimal(share * 100.0))
}

/// What a group's mix is made of, by fed weight, largest shares as they stand
/// on the sheet.
pub(super) fn slices(group: &GroupMix, units: Units) -> Vec<Slice> {
    let total = group.figures.wet.get().max(1);
    let lots = group.draws.iter();
    let lots = lots.map(|draw| {
        (
            Said::joined([(&draw.lot).into(), (&draw.stream).into()], " "),
            draw.grams,
        )
    });
    let bought = group.bought.iter();
    let bought = bought.map(|(stream, grams)| (Said::from(stream), *grams));
    let all = lots.chain(bought).chain([(say!("water"), group.water)]);
    let mut sum = 0;
    all.filter(|(_, grams)| grams.get() > 0)
        .enumerate()
        .map(|(position, (name, grams))| {
            let thousandth = |grams: i64| u32::try_from(grams * 1000 / total).unwrap_or(0);
            let from = thousandth(sum);
            sum += grams.get();
            Slice {
                name,
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
