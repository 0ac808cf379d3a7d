//! Draining or pressing liquor off lots, as a cure for what is too wet.

use crate::quantity::{Grams, ShareAsFed};
use crate::stream::Measure;

use super::super::problem::{Lot, Problem};
use super::super::requirement::Side;
use super::conflict::Conflict;
use super::cures::{Change, Cure, bisect, fits, proven};
use super::strict::Demand;

/// Pressing is not reckoned below this moisture (our default).
const PRESSED_TO: f64 = 0.70;
/// Lots pressed at most, wettest kilograms of water first.
const PRESSED_MOST: usize = 6;

/// A lot with `litres` of liquor off it: `dry' = dry − λ·y`, `kg' = kg − y` (liquor taken as 1 kg/L).
fn pressed_lot(lot: &Lot, litres: f64, liquor_dry: f64) -> Option<Lot> {
    let (kg, moisture) = (lot.on_hand.kg(), lot.composition.moisture?.get());
    let left = kg - litres;
    let dry = (1.0 - moisture) * kg - liquor_dry * litres;
    let after = ShareAsFed::from_pct((1.0 - dry / left) * 100.0).ok()?;
    let grams = Grams::from_kg(litres)?;
    let mut pressed = lot.clone();
    pressed.on_hand = lot.on_hand - grams;
    pressed.edible = (lot.edible - grams).max(Grams::ZERO);
    pressed.composition.moisture = Some(after);
    pressed.price_per_kg = lot.price_per_kg * kg / left;
    Some(pressed)
}

/// Drains the lots with most free water one after another, the last only as far as it must be.
pub(super) fn pressed(
    problem: &Problem,
    conflicts: &[Conflict],
    liquor_dry: f64,
    least_kg: f64,
) -> Option<Cure> {
    let too_wet = conflicts
        .iter()
        .flat_map(|conflict| &conflict.demands)
        .any(|demand| {
            matches!(demand, Demand::Volume { .. })
                || matches!(
                    demand,
                    Demand::Bound {
                        measure: Measure::Moisture,
                        side: Side::Most,
                        ..
                    }
                )
        });
    if !too_wet {
        return None;
    }
    let most = |lot: &Lot| -> f64 {
        let moisture = lot.composition.moisture.map_or(0.0, |share| share.get());
        let litres = lot.edible.kg() * (moisture - PRESSED_TO) / (1.0 - liquor_dry - PRESSED_TO);
        (litres * 10.0).floor() / 10.0
    };
    let mut order: Vec<usize> = (0..problem.lots.len())
        .filter(|&lot| problem.lots[lot].barred.is_none() && most(&problem.lots[lot]) >= 0.1)
        .collect();
    order.sort_by(|&a, &b| most(&problem.lots[b]).total_cmp(&most(&problem.lots[a])));
    let mut changed = problem.clone();
    let mut done: Vec<(String, f64, f64)> = Vec::new();
    for lot in order.into_iter().take(PRESSED_MOST) {
        let at = |tenths: u32| {
            let mut trial = changed.clone();
            trial.lots[lot] =
                pressed_lot(&problem.lots[lot], f64::from(tenths) / 10.0, liquor_dry)?;
            Some(trial)
        };
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "tenths of a litre of one lot, above zero"
        )]
        let whole = (most(&problem.lots[lot]) * 10.0).round() as u32;
        let told = |tenths: u32, trial: &Problem| {
            let moisture = trial.lots[lot].composition.moisture;
            (
                problem.lots[lot].name.clone(),
                f64::from(tenths) / 10.0,
                moisture.map_or(0.0, |share| share.get()),
            )
        };
        let Some(fully) = at(whole) else { continue };
        if !fits(&fully) {
            done.push(told(whole, &fully));
            changed = fully;
            continue;
        }
        let least = bisect(whole, |tenths| at(tenths).is_some_and(|trial| fits(&trial)));
        return (least..=whole).take(4).find_map(|tenths| {
            let trial = at(tenths)?;
            let mut lots = done.clone();
            lots.push(told(tenths, &trial));
            if lots.iter().map(|(_, litres, _)| litres).sum::<f64>() < least_kg {
                return None;
            }
            proven(Change::Press { lots, liquor_dry }, None, trial)
        });
    }
    None
}
