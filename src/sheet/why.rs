//! The words of an explanation: sentences first, a table after them.

use crate::blend::explain::{
    Binding, Change, Conflict, Cure, Demand, Effect, FARTHEST_POINTS, GoalKind, Interval, LotWorth,
    Near, PlainReason, Room, Step, Used, Why,
};
use crate::blend::{BucketTip, GroupMix, Side};
use crate::quantity::Grams;
use crate::stream::Measure;

use super::document::{Align, Document, Grid, Tone};
use super::mix::MixSheet;
use super::words::{Units, one_decimal};

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
        document.line("No single change that was tried would bring everything inside.");
        return;
    }
    document.line("What would cure it, each reckoned through, cheapest first:");
    for (position, cure) in why.cures.iter().take(CURES_MOST).enumerate() {
        document.line(format!(
            "{}. {}",
            position + 1,
            cure_words(cure, sheet.units)
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
            let (word, under) = match (measure, side) {
                (Measure::Moisture, Side::Most) => ("wetter", "under"),
                (Measure::Moisture, Side::Least) => ("drier", "over"),
                (_, Side::Most) => ("richer", "under"),
                (_, Side::Least) => ("poorer", "over"),
            };
            let of = match measure {
                Measure::Moisture => String::new(),
                Measure::Analyte(_) => format!(" in {measure}"),
            };
            format!(
                "Everything that may be fed to {group} is {word}{of} than {} %: no mix can come {under} {} %, what {nearest} has.",
                pct(*bound),
                pct(*value)
            )
        }
        Some(PlainReason::TooLittle { group, dm_kg }) => format!(
            "All that may be fed to {group} together holds {dm_kg:.2} kg of dry matter: {}.",
            demand_words(&conflict.demands[0], units)
        ),
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
                "These can't hold together with what is in stock; without any one of them the rest can: {}.",
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
            format!("{group} gets {dm_kg:.2} kg of dry matter")
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

fn pct(share: f64) -> String {
    let text = one_decimal(share * 100.0);
    text.strip_suffix(".0")
        .map_or(text.clone(), ToOwned::to_owned)
}

/// A cure as one sentence.
#[must_use]
pub(super) fn cure_words(cure: &Cure, units: Units) -> String {
    match &cure.what {
        Change::Buy {
            stream,
            grams,
            price_per_kg,
        } => format!(
            "buy {} of {stream} ({:.2} at {price_per_kg:.2} a kg)",
            units.weight(*grams),
            cure.money.unwrap_or_default()
        ),
        Change::Press { lots, liquor_dry } => {
            let told: Vec<String> = lots
                .iter()
                .map(|(lot, litres, after)| {
                    format!(
                        "{litres:.1} L from lot {lot} (to {} % moisture)",
                        pct(*after)
                    )
                })
                .collect();
            format!(
                "drain or press {}; liquor reckoned with {} % dry matter",
                told.join(", "),
                pct(*liquor_dry)
            )
        }
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

/// The whole explanation.
pub(super) fn why_part(sheet: &MixSheet, document: &mut Document) {
    let Some(why) = &sheet.trust.why else { return };
    if why.bindings.is_empty() && why.lots.is_empty() && why.unexplained.is_none() {
        return;
    }
    document.heading("Why this mix");
    if let Some(reason) = &why.unexplained {
        document.toned(
            Tone::Caution,
            format!("Not all could be explained: {reason}."),
        );
    }
    if why.bindings.is_empty() {
        document.line("No requirement holds the mix back: the stock itself does.");
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
    let (verb, unit, of) = match effect.goal {
        GoalKind::Feed => ("leaves", " points", " of what is wanted not fed"),
        GoalKind::Inside => ("puts the mix", "", " outside its windows"),
        GoalKind::Spoil => ("uses", " kg", " of what will spoil (weighted)"),
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
            "lot {lots} is not used but near; no price, and no moisture within {FARTHEST_POINTS} points, would bring it in"
        );
    }
    format!(
        "lot {lots} is not used but near; it would come in {}",
        ways.join(", or ")
    )
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
                .map_or("any: nothing is at stake".to_owned(), price_words),
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

/// One line of chances for a group, and what to test first.
pub(super) fn chances_line(sheet: &MixSheet, group: &GroupMix) -> Option<String> {
    let sureness = sheet.trust.sureness.as_ref()?;
    let told: Vec<String> = sureness
        .measures
        .iter()
        .filter(|measure| measure.group == group.name)
        .map(|measure| {
            format!(
                "{} {:.0} % (± {})",
                measure.measure,
                measure.chance * 100.0,
                one_decimal(measure.sd * 100.0)
            )
        })
        .collect();
    (!told.is_empty()).then(|| {
        format!(
            "Chance of being inside its window (± one standard deviation in points): {}",
            told.join(", ")
        )
    })
}

/// What raises the chances, and what they leave out.
pub(super) fn sureness_part(sheet: &MixSheet, document: &mut Document) {
    let Some(sureness) = &sheet.trust.sureness else {
        return;
    };
    if let Some(reason) = &sureness.failed {
        document.toned(
            Tone::Caution,
            format!("The chance asked for could not be held: {reason}. The mix is the plain one."),
        );
    } else if let Some(asked) = sureness.asked {
        document.line(match sureness.held_at {
            Some(held) if held >= asked => {
                format!("Held inside each window at a chance of {} % before rounding, as asked.", pct(asked))
            }
            Some(held) => format!(
                "No mix is inside at {} %: this is the surest there is, held at {} % before rounding.",
                pct(asked),
                pct(held)
            ),
            None => format!("No mix is inside at {} %: not even one that takes every lot at its book value.", pct(asked)),
        });
    }
    if let Some(test) = &sureness.test_first {
        document.toned(
            Tone::Next,
            if test.to > test.from + 0.005 {
                format!(
                    "Test the moisture of lot {} ({}) first: if it is as in the table, the least sure figure rises from {:.0} % to {:.0} %.",
                    test.lot, test.stream, test.from * 100.0, test.to * 100.0
                )
            } else {
                format!("Test the moisture of lot {} ({}) first: it raises the chances most.", test.lot, test.stream)
            },
        );
    }
    if sureness.asked.is_some() && !sureness.without_spread.is_empty() {
        document.toned(
            Tone::Small,
            format!(
                "Spread not known, so left out: {}.",
                sureness.without_spread.join(", ")
            ),
        );
    }
}

/// `3 buckets + 4.2 kg of the fourth`.
#[must_use]
pub(super) fn tip_words(tip: &BucketTip, units: Units) -> String {
    let whole = match tip.whole {
        0 => String::new(),
        1 => "1 bucket".to_owned(),
        many => format!("{many} buckets"),
    };
    if tip.rest == Grams::ZERO {
        return whole;
    }
    let rest = units.weight(tip.rest);
    match tip.whole {
        0 if tip.of <= 1 => format!("{rest} of its bucket"),
        0 => format!("{rest} of one bucket"),
        whole_ones => format!("{whole} + {rest} of the {}", ordinal(whole_ones + 1)),
    }
}

fn ordinal(number: i64) -> String {
    const WORDS: [&str; 10] = [
        "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth",
        "tenth",
    ];
    usize::try_from(number - 1)
        .ok()
        .and_then(|position| WORDS.get(position))
        .map_or_else(|| format!("{number}th"), |word| (*word).to_owned())
}

/// What is proved of a bucket plan.
pub(super) fn buckets_part(sheet: &MixSheet, document: &mut Document) {
    let Some(buckets) = &sheet.trust.buckets else {
        return;
    };
    let [plan, linear, _] = &buckets.tiers;
    document.toned(
        Tone::Small,
        format!(
            "In whole buckets, at most one opened per stream: within {:.1} % of the best there is (proved). Of what will spoil {:.1} kg (weighted) is used, {:.1} kg if buckets could be split freely.",
            (buckets.gap * 1000.0).ceil() / 10.0,
            plan.urgent_kg,
            linear.urgent_kg
        ),
    );
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Decimal, Division, MassUnit};

    #[test]
    fn buckets_are_told_as_a_feeder_would() {
        let units = Units {
            division: Division::new(Decimal::parse("0.1").expect("number"), MassUnit::Kg)
                .expect("division"),
        };
        let tip = |whole, rest, of| BucketTip {
            lot: "1".to_owned(),
            whole,
            rest: Grams::new(rest),
            of,
        };
        let told = [
            tip(3, 4_200, 6),
            tip(1, 0, 1),
            tip(0, 700, 1),
            tip(0, 700, 3),
        ]
        .map(|tip| tip_words(&tip, units));
        assert_eq!(
            told,
            [
                "3 buckets + 4.2 kg of the fourth",
                "1 bucket",
                "0.7 kg of its bucket",
                "0.7 kg of one bucket"
            ]
        );
    }
}
