//! What can't hold together and what would cure it, in the farm's words.

use crate::blend::Side;
use crate::blend::explain::{Change, Conflict, Cure, Demand, PlainReason};
use crate::quantity::Grams;
use crate::stream::Measure;

use super::document::Document;
use super::mix::MixSheet;
use super::words::{Units, one_decimal, pct, plural};

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
        document.line("We found no single fix.");
        return;
    }
    document.line("Any one of these fixes it, cheapest first:");
    for (position, cure) in why.cures.iter().take(CURES_MOST).enumerate() {
        document.line(format!(
            "{}. {}",
            position + 1,
            cure_words(cure, sheet.units, |group| trays_of(sheet, group))
        ));
    }
}

/// A conflict as one or two sentences.
#[must_use]
pub(super) fn conflict_words(conflict: &Conflict, units: Units) -> String {
    match &conflict.plain {
        Some(PlainReason::AllBeyond {
            group,
            measure,
            side,
            bound,
            nearest,
            value,
        }) => {
            let (word, most) = match (measure, side) {
                (Measure::Moisture, Side::Most) => ("wetter", "driest"),
                (Measure::Moisture, Side::Least) => ("drier", "wettest"),
                (_, Side::Most) => ("richer", "lowest"),
                (_, Side::Least) => ("poorer", "best"),
            };
            let of = match measure {
                Measure::Moisture => String::new(),
                _ => format!(" in {measure}"),
            };
            format!(
                "Everything that may be fed to {group} is {word}{of} than {}{unit}. The {most}, {nearest}, has {}{unit}.",
                pct(*bound),
                pct(*value),
                unit = measure.unit()
            )
        }
        Some(PlainReason::TooLittle { group, dm_kg }) => {
            format!("All that may be fed to {group} holds only {dm_kg:.2} kg of dry matter.")
        }
        Some(PlainReason::Nothing { group }) => {
            format!("Nothing in stock may be fed to {group}.")
        }
        None => {
            let told: Vec<String> = conflict
                .demands
                .iter()
                .map(|demand| demand_words(demand, units))
                .collect();
            format!(
                "With this stock you can't have all of these. Give up one: {}.",
                told.join("; ")
            )
        }
    }
}

/// A demand in the farm's words.
#[must_use]
pub(super) fn demand_words(demand: &Demand, units: Units) -> String {
    let weight = |kg: f64| units.weight(Grams::from_kg(kg).unwrap_or(Grams::ZERO));
    match demand {
        Demand::Feed {
            group,
            side: Side::Least,
            dm_kg,
        } => {
            format!("{group} gets all its {dm_kg:.2} kg of dry matter")
        }
        Demand::Feed { group, dm_kg, .. } => {
            format!("{group} gets no more than {dm_kg:.2} kg of dry matter")
        }
        Demand::Bound {
            group,
            measure,
            side,
            share,
            is_hard,
        } => format!(
            "{group} {measure} {} {} %{}",
            side_word(*side),
            pct(*share),
            if *is_hard { " (limit)" } else { "" }
        ),
        Demand::Volume { group, litres } => format!("{group} fits {litres:.0} L of trays"),
        Demand::Cap {
            group,
            stream,
            share,
        } => {
            format!("{group} at most {} % {stream}", pct(*share))
        }
        Demand::Purchase { stream, kg } => format!("at most {} {stream} bought", weight(*kg)),
        Demand::Water { kg } => format!("at most {} water added", weight(*kg)),
    }
}

fn side_word(side: Side) -> &'static str {
    match side {
        Side::Least => "at least",
        Side::Most => "at most",
    }
}

/// The trays of a group, where they are known.
fn trays_of(sheet: &MixSheet, group: &str) -> Option<i64> {
    let position = sheet.mix.groups.iter().position(|of| of.name == group)?;
    let card = sheet.cards.get(position)?;
    Some(card.trays.iter().map(|dose| dose.trays).sum())
}

/// A cure as one sentence.
#[must_use]
pub(super) fn cure_words(cure: &Cure, units: Units, trays: impl Fn(&str) -> Option<i64>) -> String {
    match &cure.what {
        Change::Buy {
            stream,
            grams,
            price_per_kg,
        } => {
            let price = price_per_kg.map_or_else(
                || "price not known".to_owned(),
                |price| format!("{:.2} at {price:.2} a kg", price * grams.kg()),
            );
            format!("buy {} of {stream} ({price})", units.weight(*grams))
        }
        Change::Press { lots, liquor_dry } => {
            let told: Vec<String> = lots
                .iter()
                .map(|(lot, litres, after)| {
                    let weight = units.weight(Grams::from_kg(*litres).unwrap_or(Grams::ZERO));
                    format!("{weight} off lot {lot} (to {} % moisture)", pct(*after))
                })
                .collect();
            format!(
                "drain or press {}; we assume the drained liquid is {} % solids",
                told.join(", "),
                pct(*liquor_dry)
            )
        }
        Change::Water { grams } => format!("add {} of tap water", units.weight(*grams)),
        Change::Room {
            group,
            from_l,
            to_l,
        } => room_words(group, (*from_l, *to_l), trays(group)),
        Change::Test {
            lot,
            stream,
            drier,
            moisture,
        } => format!(
            "test the moisture of lot {lot} ({stream}): at {} % or {} all fits",
            one_decimal(moisture * 100.0),
            if *drier { "less" } else { "more" }
        ),
        Change::Loosen { windows } => {
            let told: Vec<String> = windows
                .iter()
                .map(|(demand, to)| format!("{} to {} %", demand_words(demand, units), pct(*to)))
                .collect();
            format!("loosen {}", told.join(", "))
        }
        Change::FeedLess { groups } => {
            let told: Vec<String> = groups
                .iter()
                .map(|(group, from, to)| {
                    format!("{group} {to:.2} kg of dry matter instead of {from:.2} kg")
                })
                .collect();
            format!("feed less: {}", told.join(", "))
        }
    }
}

/// More trays with their number; two meals where half of it fits.
fn room_words(group: &str, (from_l, to_l): (f64, f64), trays: Option<i64>) -> String {
    let more = trays.map_or_else(String::new, |trays| {
        #[expect(
            clippy::cast_precision_loss,
            clippy::cast_possible_truncation,
            reason = "tray counts are small"
        )]
        let more = (trays as f64 * (to_l / from_l - 1.0)).ceil() as i64;
        format!(" on {}", plural(more, "tray more", "trays more"))
    });
    let meals = if to_l <= 2.0 * from_l {
        ", or feed it in two meals"
    } else {
        ""
    };
    let more = if more.is_empty() {
        " on more trays".to_owned()
    } else {
        more
    };
    format!("put {group}{more} (room for {to_l:.0} L instead of {from_l:.0} L){meals}")
}
