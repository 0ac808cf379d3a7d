//! The words of an explanation: sentences first, a table after them.

use crate::blend::explain::{
    Binding, Demand, Effect, FARTHEST_POINTS, GoalKind, Interval, LotWorth, Near, Room, Step, Used,
    Why,
};

use super::cure_words::demand_words;
use super::document::{Align, Document, Grid, Tone};
use super::mix::MixSheet;
use super::words::{Units, pct};

/// The whole explanation.
pub(super) fn why_part(sheet: &MixSheet, document: &mut Document) {
    let Some(why) = &sheet.trust.why else { return };
    if why.bindings.is_empty() && why.lots.is_empty() && why.unexplained.is_none() {
        return;
    }
    document.heading("Why this mix");
    if sheet.trust.buckets.is_some() {
        document.line("Of the mix before it was put into whole buckets:");
    }
    if let Some(reason) = &why.unexplained {
        document.toned(
            Tone::Caution,
            format!("Not all could be explained: {reason}."),
        );
    }
    if why.bindings.is_empty() {
        document.line("Only the stock on hand limits this mix.");
    }
    for binding in &why.bindings {
        document.line(format!("- {}", binding_words(binding, sheet.units)));
    }
    for near in &why.near {
        document.line(format!("- {}", near_words(near)));
    }
    document.table(lots_table(why));
    document.table(rooms_table(&why.rooms));
}

fn binding_words(binding: &Binding, units: Units) -> String {
    let more = match &binding.demand {
        Demand::Feed { .. } => "one more kg of dry matter",
        Demand::Bound { .. } | Demand::Cap { .. } => "one point looser",
        Demand::Volume { .. } => "one more litre",
        Demand::Purchase { .. } | Demand::Water { .. } => "one more kg",
    };
    format!(
        "{}: {more} {}",
        demand_words(&binding.demand, units),
        effects_words(&binding.effects)
    )
}

fn effects_words(effects: &[Effect]) -> String {
    let told: Vec<String> = effects.iter().map(effect_words).collect();
    told.join(", ")
}

/// One figure as "uses 2.50 kg more of what will spoil"; an interval with both its ends.
fn effect_words(effect: &Effect) -> String {
    if let (GoalKind::Spoil, Some(low), Some(high)) =
        (effect.goal, effect.change.low, effect.change.high)
        && high < 0.0
        && high - low < 5e-4
    {
        return format!("leaves {} kg more to spoil", plain(-low));
    }
    let (verb, unit, of) = match effect.goal {
        GoalKind::Feed => ("leaves", " points", " of what is wanted not fed"),
        GoalKind::Inside => ("puts the mix", "", " outside its windows"),
        GoalKind::Water => ("adds", " kg", " of water"),
        GoalKind::Sure => ("leaves", " standard deviations", " short of the margins"),
        GoalKind::Spoil => ("uses", " kg", " of what spoils soon"),
        GoalKind::Money => ("costs", "", ""),
        GoalKind::Steady => ("moves", " kg", " away from the mix before"),
    };
    let factor = if effect.goal == GoalKind::Feed {
        100.0
    } else {
        1.0
    };
    let change = effect.change.scaled(factor);
    if let (Some(low), Some(high)) = (change.low, change.high)
        && (high - low).abs() < 5e-4
    {
        let more = if low >= 0.0 { "more" } else { "less" };
        return format!("{verb} {}{unit} {more}{of}", plain(low.abs()));
    }
    format!("{verb} {}{unit} more{of}", interval_words(change))
}

fn plain(number: f64) -> String {
    if number < 0.1 {
        format!("{number:.3}")
    } else {
        format!("{number:.2}")
    }
}

fn signed(number: f64) -> String {
    let text = if number.abs() < 0.1 {
        format!("{number:+.3}")
    } else {
        format!("{number:+.2}")
    };
    if text
        .trim_start_matches(['+', '-'])
        .trim_matches(['0', '.'])
        .is_empty()
    {
        "0".to_owned()
    } else {
        text
    }
}

fn interval_words(interval: Interval) -> String {
    match (interval.low, interval.high) {
        (Some(low), Some(high)) if signed(low) == signed(high) => signed(low),
        (Some(low), Some(high)) => format!("{} to {}", signed(low), signed(high)),
        (Some(low), None) => format!("{} or more (without end one way)", signed(low)),
        (None, Some(high)) => format!("{} or less (without end one way)", signed(high)),
        (None, None) => "any amount".to_owned(),
    }
}

fn near_words(near: &Near) -> String {
    let lots = near.lots.join(", ");
    let price = near
        .price_per_kg
        .map(|price| format!("at a price under {price:.2} a kg"));
    let moisture = near
        .moisture
        .map(|share| format!("at {} % moisture", pct(share)));
    let ways: Vec<String> = price.into_iter().chain(moisture).collect();
    if ways.is_empty() {
        return format!(
            "lot {lots} is not used; neither its price nor its moisture (within {FARTHEST_POINTS} points) would change that"
        );
    }
    format!("lot {lots} is not used; it would be {}", ways.join(", or "))
}

/// Of many lots only those with something to tell.
fn lots_table(why: &Why) -> Grid {
    const LOTS_MOST: usize = 12;
    let mut grid = Grid::new(&[
        ("lot", Align::Left),
        ("is", Align::Left),
        ("one more kg", Align::Left),
    ]);
    let telling = |worth: &&LotWorth| !worth.effects.is_empty();
    for worth in why.lots.iter().filter(telling).take(LOTS_MOST) {
        let used = match worth.used {
            Used::Up => "used up",
            Used::Partly => "used in part",
            Used::Not => "not used",
        };
        grid.row([
            worth.lots.join(", "),
            used.to_owned(),
            effects_words(&worth.effects),
        ]);
    }
    grid
}

fn rooms_table(rooms: &[Room]) -> Grid {
    let mut grid = Grid::new(&[
        ("lot in use", Align::Left),
        ("stays best at a price per kg", Align::Left),
        ("same lots when drier by", Align::Left),
        ("same lots when wetter by", Align::Left),
    ]);
    for room in rooms {
        grid.row([
            room.lots.join(", "),
            room.price_per_kg
                .map_or("price makes no difference".to_owned(), price_words),
            step_words(room.moisture_points[0]),
            step_words(room.moisture_points[1]),
        ]);
    }
    grid
}

fn price_words(range: Interval) -> String {
    match (range.low, range.high) {
        (Some(low), Some(high)) => format!("{low:.2} to {high:.2}"),
        (Some(low), None) => format!("from {low:.2}"),
        (None, Some(high)) => format!("to {high:.2}"),
        (None, None) => "any".to_owned(),
    }
}

fn step_words(step: Step) -> String {
    match step.changes_at {
        Some(changes) if step.same_at > 0.0 => {
            format!("{:.0}, not {changes:.0} points", step.same_at)
        }
        Some(changes) => format!("less than {changes:.0} point"),
        None => format!("{:.0} points and more", step.same_at),
    }
}
