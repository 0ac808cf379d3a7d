//! What can't hold together and what would cure it, in the farm's words.

use crate::blend::Side;
use crate::blend::explain::{Change, Conflict, Cure, Demand, PlainReason};
use crate::quantity::Units;
use crate::stream::Measure;
use crate::words::{Said, say};

use super::MixSheet;
use crate::sheet::document::Document;
use crate::sheet::words::{one_decimal, pct};

/// What can't hold together and what would cure it, short.
pub(super) fn conflicts_part(sheet: &MixSheet, document: &mut Document) {
    const CURES_MOST: usize = 5;
    let Some(why) = &sheet.trust.why else { return };
    for conflict in &why.conflicts {
        document.line(conflict_words(conflict, sheet.units));
    }
    if why.conflicts.is_empty() {
        return;
    }
    if why.cures.is_empty() {
        document.line(say!("cure-none"));
        return;
    }
    document.line(say!("cure-any"));
    for (position, cure) in why.cures.iter().take(CURES_MOST).enumerate() {
        let cure = cure_words(cure, sheet.units, |group| trays_of(sheet, group));
        document.line(Said::joined([(position + 1).into(), cure], ". "));
    }
}

#[must_use]
pub(super) fn conflict_words(conflict: &Conflict, units: Units) -> Said {
    match &conflict.plain {
        Some(reason) => reason_words(reason, units),
        None => {
            let demands = conflict.demands.iter();
            let demands = Said::joined(demands.map(|demand| demand_words(demand, units)), "; ");
            say!("conflict", demands)
        }
    }
}

#[must_use]
pub(super) fn because_words(because: &[PlainReason], units: Units) -> Said {
    match because {
        [] => say!("reason-limits"),
        some => Said::joined(some.iter().map(|one| reason_words(one, units)), " "),
    }
}

fn reason_words(reason: &PlainReason, units: Units) -> Said {
    match reason {
        PlainReason::AllBeyond {
            group,
            measure,
            side,
            bound,
            nearest,
            value,
        } => {
            let is = match (measure, side) {
                (Measure::Moisture, Side::Most) => "wetter",
                (Measure::Moisture, Side::Least) => "drier",
                (_, Side::Most) => "richer",
                (_, Side::Least) => "poorer",
            };
            let share = |share: f64| format!("{}{}", pct(share), measure.unit());
            say!(
                "reason-all-beyond",
                group,
                is,
                measure = measure.said(),
                bound = share(*bound),
                nearest,
                value = share(*value)
            )
        }
        PlainReason::TooLittle { group, dm_kg } => {
            say!("reason-too-little", group, weight = units.dry(*dm_kg))
        }
        PlainReason::Nothing { group } => say!("reason-nothing", group),
        PlainReason::TooCoarse { division } => say!("reason-too-coarse", division),
    }
}

#[must_use]
pub(super) fn demand_words(demand: &Demand, units: Units) -> Said {
    match demand {
        Demand::Feed { group, side, dm_kg } => {
            let (side, weight) = (side.as_str(), units.dry(*dm_kg));
            say!("demand-feed", group, side, weight)
        }
        Demand::Bound {
            group,
            measure,
            side,
            share,
            is_hard,
        } => {
            let bound = format!("{}{}", pct(*share), measure.unit());
            let (measure, side) = (measure.said(), side.as_str());
            say!("demand-bound", group, measure, side, bound, is_hard)
        }
        Demand::Volume { group, litres } => {
            say!("demand-volume", group, volume = units.volume(*litres))
        }
        Demand::Cap {
            group,
            stream,
            share,
        } => say!("demand-cap", group, stream, pct = pct(*share)),
        Demand::Purchase { stream, kg } => {
            say!("demand-bought", stream, weight = units.weight_kg(*kg))
        }
        Demand::Water { kg } => say!("demand-water", weight = units.weight_kg(*kg)),
    }
}

fn trays_of(sheet: &MixSheet, group: &str) -> Option<i64> {
    let position = sheet.mix.groups.iter().position(|of| of.name == group)?;
    let card = sheet.cards.get(position)?;
    Some(card.trays.iter().map(|dose| dose.trays).sum())
}

#[must_use]
pub(super) fn cure_words(cure: &Cure, units: Units, trays: impl Fn(&str) -> Option<i64>) -> Said {
    let listed = |parts: Vec<Said>| Said::joined(parts, ", ");
    match &cure.what {
        Change::Buy {
            stream,
            grams,
            price_per_kg,
        } => {
            let price = price_per_kg.map_or_else(
                || say!("price-not-known"),
                |price| {
                    let (unit, a_unit) = (units.unit(), price * units.unit().kg());
                    let [sum, price] = [price * grams.kg(), a_unit].map(|of| format!("{of:.2}"));
                    say!("price-sum", sum, price, unit)
                },
            );
            say!("cure-buy", weight = units.weight(*grams), stream, price)
        }
        Change::Press { lots, liquor_dry } => {
            let lots = lots.iter().map(|(lot, litres, after)| {
                let weight = units.weight_kg(*litres);
                say!("cure-press-lot", weight, lot, pct = pct(*after))
            });
            let lots = listed(lots.collect());
            say!("cure-press", lots, pct = pct(*liquor_dry))
        }
        Change::Water { grams } => say!("cure-water", weight = units.weight(*grams)),
        Change::Room {
            group,
            from_l,
            to_l,
        } => room_words((group, units), (*from_l, *to_l), trays(group)),
        Change::Test {
            lot,
            stream,
            drier,
            moisture,
        } => {
            let pct = one_decimal(moisture * 100.0);
            say!("cure-test", lot, stream, pct, drier)
        }
        Change::Loosen { windows } => {
            let windows = windows.iter().map(|(demand, to)| {
                let unit = match demand {
                    Demand::Bound { measure, .. } => measure.unit(),
                    _ => " %",
                };
                let to = format!("{}{unit}", pct(*to));
                say!("cure-loosen-to", demand = demand_words(demand, units), to)
            });
            say!("cure-loosen", windows = listed(windows.collect()))
        }
        Change::FeedLess { groups } => {
            let groups = groups.iter().map(|(group, from, to)| {
                let [from, to] = [from, to].map(|kg| units.dry(*kg));
                say!("cure-feed-to", group, from, to)
            });
            say!("cure-feed-less", groups = listed(groups.collect()))
        }
    }
}

/// More trays with their number, where it is known; two meals where half of it fits.
fn room_words(
    (group, units): (&str, Units),
    (from_l, to_l): (f64, f64),
    trays: Option<i64>,
) -> Said {
    #[expect(
        clippy::cast_precision_loss,
        clippy::cast_possible_truncation,
        reason = "tray counts are small"
    )]
    let more = trays.map_or(0, |trays| {
        (trays as f64 * (to_l / from_l - 1.0)).ceil() as i64
    });
    let [from, to] = [from_l, to_l].map(|litres| units.volume(litres));
    let more_room = say!("cure-room", group, more, to, from);
    if to_l <= 2.0 * from_l {
        say!("cure-room-or-meals", more_room)
    } else {
        more_room
    }
}
