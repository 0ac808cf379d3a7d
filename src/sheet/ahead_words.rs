//! The answers of the nights ahead, in words.

use std::collections::BTreeMap;

use crate::harvest::learn::Published;
use crate::outlook::{Advice, Chance, Intake, Trouble};
use crate::stream::{Measure, StreamId};

use super::ahead::{AheadSheet, day_words};
use super::document::Tone;
use super::words::{one_decimal, plural};

/// The two or three things to do, the most pressing first, a sentence each.
pub(super) fn first_things(sheet: &AheadSheet) -> Vec<String> {
    /// So much more than planned is worth putting first (our default).
    const WORTH_GROWING: f64 = 1.1;
    let advice = &sheet.heeded.advice;
    let mut things = Vec::new();
    let buys = advice
        .iter()
        .filter(|one| matches!(one, Advice::Buy { .. }));
    things.extend(buys.map(|one| in_short(sheet, one)));
    if things.is_empty()
        && let Some(trouble) = trouble_words(sheet).into_iter().next()
    {
        things.push(format!("{trouble} Nothing that can be bought mends it."));
    }
    if let Some(growth) = &sheet.growth
        && growth.room.factor >= WORTH_GROWING
    {
        things.push(format!(
            "There is feed for {:.2} times the larvae planned: {:.0} a night instead of {:.0}.",
            growth.room.factor,
            growth.larvae * growth.room.factor,
            growth.larvae
        ));
    }
    things.extend(to_compost(sheet));
    let accepts = advice
        .iter()
        .filter(|one| matches!(one, Advice::Accept { .. }));
    things.extend(accepts.map(|one| in_short(sheet, one)));
    if sheet.plan().is_inside() {
        things.extend(most_intake(sheet).map(|intake| {
            let kg = sheet.weight(intake.kg_per_week);
            format!("You can take in {kg} more {} a week.", intake.stream)
        }));
    }
    if things.is_empty() {
        things.push("Nothing needs doing now.".to_owned());
    }
    things
}

/// The stream of which most more can come.
fn most_intake(sheet: &AheadSheet) -> Option<&Intake> {
    let fits = sheet
        .intakes
        .iter()
        .filter(|intake| intake.kg_per_week >= 1.0 && intake.holds);
    fits.max_by(|a, b| a.kg_per_week.total_cmp(&b.kg_per_week))
}

/// All that can no longer be fed, in one sentence.
fn to_compost(sheet: &AheadSheet) -> Option<String> {
    let mut of: BTreeMap<&StreamId, f64> = BTreeMap::new();
    for one in &sheet.heeded.advice {
        if let Advice::Clear { stream, kg, .. } = one {
            *of.entry(stream).or_default() += kg;
        }
    }
    for (stream, (kg, _)) in &sheet.kept_out {
        *of.entry(stream).or_default() += kg;
    }
    let told: Vec<String> = (of.into_iter())
        .map(|(stream, kg)| format!("{} of {stream}", sheet.weight(kg)))
        .collect();
    (!told.is_empty()).then(|| {
        format!(
            "Compost what can no longer be fed: {} (lots below).",
            told.join(", ")
        )
    })
}

/// Advice without its grounds.
fn in_short(sheet: &AheadSheet, advice: &Advice) -> String {
    match advice {
        Advice::Buy {
            stream,
            grams,
            offer,
            ..
        } => {
            let by = (sheet.offers.get(*offer))
                .map_or_else(String::new, |offer| day_words(offer.order_by));
            format!(
                "Buy {} of {stream}, ordered by {by}.",
                sheet.units.weight(*grams)
            )
        }
        Advice::Accept {
            stream,
            from,
            to,
            at_most_kg,
            ..
        } => {
            let when = span(sheet, *from, *to);
            if *at_most_kg > 0.0 {
                let most = sheet.weight(*at_most_kg);
                format!("Take in at most {most} of {stream} {when}.")
            } else {
                format!("Take in no {stream} {when}.")
            }
        }
        // Told together, in `to_compost`.
        Advice::Clear { .. } => String::new(),
    }
}

fn span(sheet: &AheadSheet, from: usize, to: usize) -> String {
    if from == to {
        format!("on {}", sheet.day(from))
    } else {
        format!("from {} to {}", sheet.day(from), sheet.day(to))
    }
}

pub(super) fn answers(sheet: &AheadSheet) -> Vec<(Tone, String)> {
    let mut lines = Vec::new();
    lines.extend(
        trouble_words(sheet)
            .into_iter()
            .map(|words| (Tone::Out, words)),
    );
    for advice in &sheet.heeded.advice {
        lines.push((Tone::Plain, advice_words(sheet, advice)));
    }
    for (stream, (kg, lots)) in &sheet.kept_out {
        lines.push((Tone::Plain, format!(
            "{stream} in {} {}: {} is too old, or was found unfit. Send it to compost. If one of them is still good: `trayful look LOT --fit`.",
            if lots.len() == 1 { "lot" } else { "lots" },
            some_of(lots),
            sheet.weight(*kg),
        )));
    }
    if let Some(intake) = most_intake(sheet) {
        let others: Vec<String> = sheet
            .intakes
            .iter()
            .filter(|other| {
                other.stream != intake.stream && other.kg_per_week >= 1.0 && other.holds
            })
            .map(|other| format!("or {} of {}", sheet.weight(other.kg_per_week), other.stream))
            .collect();
        let others = if others.is_empty() {
            String::new()
        } else {
            format!(" ({})", others.join(", "))
        };
        lines.push((Tone::Plain, format!(
            "You can take {} more {} a week{others}, fed before it spoils and nothing else spoiling for it (solved again with it).",
            sheet.weight(intake.kg_per_week),
            intake.stream,
        )));
    } else if !sheet.intakes.is_empty() {
        lines.push((Tone::Plain, "No more of any stream could come on every day without something else spoiling for it or leaving a window.".to_owned()));
    }
    lines.extend(growth_words(sheet));
    lines.extend(chance_words(sheet));
    lines
}

/// One sentence for each kind of trouble, with all its nights.
fn trouble_words(sheet: &AheadSheet) -> Vec<String> {
    let mut kinds: Vec<Vec<&Trouble>> = Vec::new();
    for trouble in &sheet.heeded.troubles {
        let same = |kind: &&mut Vec<&Trouble>| {
            (&kind[0].measure, kind[0].above) == (&trouble.measure, trouble.above)
        };
        match kinds.iter_mut().find(same) {
            Some(kind) => kind.push(trouble),
            None => kinds.push(vec![trouble]),
        }
    }
    kinds.iter().map(|kind| kind_words(sheet, kind)).collect()
}

fn kind_words(sheet: &AheadSheet, kind: &[&Trouble]) -> String {
    let spans: Vec<String> = kind
        .iter()
        .map(|trouble| {
            if trouble.from == trouble.to {
                sheet.day(trouble.from)
            } else {
                format!("{} to {}", sheet.day(trouble.from), sheet.day(trouble.to))
            }
        })
        .collect();
    let one = kind.len() == 1 && kind[0].from == kind[0].to;
    let when = format!("{} {}", spans.join(", "), if one { "is" } else { "are" });
    let groups: Vec<&str> = kind
        .iter()
        .flat_map(|trouble| &trouble.groups)
        .map(String::as_str)
        .collect::<std::collections::BTreeSet<_>>()
        .into_iter()
        .collect();
    let groups = groups.join(", ");
    let worst = kind.iter().map(|trouble| trouble.worst).fold(0.0, f64::max);
    let points = one_decimal(100.0 * worst);
    let side = if kind[0].above { "above" } else { "below" };
    match (&kind[0].measure, kind[0].above) {
        (None, _) => format!(
            "{when} short of feed for {groups}: {} of dry matter missing on one night.",
            if worst < sheet.units.division.kg() {
                format!("less than {}", sheet.units.division)
            } else {
                format!("up to {}", sheet.weight(worst))
            }
        ),
        (Some(Measure::Moisture), above) => format!(
            "{when} too {} for {groups}: up to {points} points {side} the window.",
            if above { "wet" } else { "dry" },
        ),
        (Some(measure), above) => format!(
            "{when} too {} in {measure} for {groups}: up to {points} points {side} the window.",
            if above { "high" } else { "low" },
        ),
    }
}

/// What solving again with the advice taken said.
fn proof(holds: bool, good: &str) -> String {
    if holds {
        format!("solved again: {good}")
    } else {
        "solved again: it helps, but less than buying to the gram".to_owned()
    }
}

fn advice_words(sheet: &AheadSheet, advice: &Advice) -> String {
    match advice {
        Advice::Buy {
            stream,
            grams,
            packs,
            night,
            offer,
            cost,
            checked,
        } => {
            let how_much = match packs {
                Some(packs) => format!(
                    "{} of {stream} ({})",
                    plural(*packs, "pack", "packs"),
                    sheet.units.weight(*grams)
                ),
                None => format!("{} of {stream}", sheet.units.weight(*grams)),
            };
            let by = sheet
                .offers
                .get(*offer)
                .map_or_else(String::new, |offer| day_words(offer.order_by));
            format!(
                "Buy {how_much} by {by}, to be there on {} ({cost:.2} {}); {}.",
                sheet.day(*night),
                sheet.currency,
                proof(
                    checked.holds,
                    "no night is worse than with any amount bought"
                )
            )
        }
        Advice::Accept {
            stream,
            from,
            to,
            expected_kg,
            at_most_kg,
            checked,
        } => {
            let when = span(sheet, *from, *to);
            let most = if *at_most_kg > 0.0 {
                format!("at most {}", sheet.weight(*at_most_kg))
            } else {
                "none".to_owned()
            };
            format!(
                "Accept {most} of {stream} {when}, of {} expected: the rest spoils unfed; {}.",
                sheet.weight(*expected_kg),
                proof(checked.holds, "no night is worse without it")
            )
        }
        Advice::Clear {
            stream,
            lots,
            kg,
            by,
            checked,
        } => format!(
            "{stream} in {} {}: {} can't be fed before it is spoiled; send it to compost by {}; {}.",
            if lots.len() == 1 { "lot" } else { "lots" },
            some_of(lots),
            sheet.weight(*kg),
            sheet.day(*by),
            proof(checked.holds, "no night is worse without it")
        ),
    }
}

/// A few names, and how many more there are.
fn some_of(names: &[String]) -> String {
    const SHOWN: usize = 6;
    let shown = names.iter().take(SHOWN).cloned().collect::<Vec<_>>();
    if names.len() > SHOWN {
        format!("{} and {} more", shown.join(", "), names.len() - SHOWN)
    } else {
        shown.join(", ")
    }
}

fn growth_words(sheet: &AheadSheet) -> Vec<(Tone, String)> {
    let Some(growth) = &sheet.growth else {
        return Vec::new();
    };
    let factor = growth.room.factor;
    let weight = |factor: f64| {
        let (low, high) = growth.larvae_kg(factor)?;
        Some(format!("{} to {}", sheet.weight(low), sheet.weight(high)))
    };
    // The least and the greatest by name: the range is wide, and which feed it is says why.
    let ends = growth.conversion.as_ref().and_then(Published::ends);
    let at = weight(factor).zip(ends).map_or_else(String::new, |(larvae, (least, most))| format!(
        "; by published conversion that is {larvae} of fresh larvae a week, from {} % of dry matter ({}, {}) to {} % ({}, {}), larvae 33 % dry (Nayak et al. 2025, second-hand)",
        least.low, least.feed, least.source.short(), most.high, most.feed, most.source.short()
    ));
    let mut lines = vec![(
        Tone::Plain,
        format!(
            "Room to grow: stock, arrivals and what is advised carry {:.0} larvae a night inside every window, {:.2} times the {:.0} planned{at}.",
            growth.larvae * factor,
            factor,
            growth.larvae,
        ),
    )];
    if let Some(best) = growth
        .room
        .raises
        .first()
        .filter(|raise| raise.factor > 1e-6)
    {
        let larvae = weight(best.factor)
            .map_or_else(String::new, |larvae| format!(", {larvae} of larvae a week"));
        lines.push((Tone::Plain, format!(
            "What would raise it most: {}; {} more a week carry {:.0} larvae a night more{larvae} (solved again with it).",
            best.stream,
            sheet.weight(best.kg_per_week),
            growth.larvae * best.factor,
        )));
    }
    lines
}

fn chance_words(sheet: &AheadSheet) -> Vec<(Tone, String)> {
    let Some(chance) = &sheet.chance else {
        return Vec::new();
    };
    let say = |chance: &Chance| {
        format!(
            "{:.0} in 100 (± {:.0}) when each night is mixed from what is there; {:.0} in 100 at best, were all arrivals known and planned for",
            chance.short_pct(),
            chance.short_pct_error(),
            chance.short_at_best_pct(),
        )
    };
    let nights = i64::try_from(chance.nights).unwrap_or_default();
    let mut lines = vec![(
        Tone::Plain,
        format!(
            "Chance that feed runs short within {}: {} ({} played weeks, arrivals drawn around what is expected, tonight as planned).",
            plural(nights, "night", "nights"),
            say(chance),
            chance.weeks,
        ),
    )];
    if let Some((advice, again)) = &sheet.reserve {
        let buys: Vec<String> = advice
            .iter()
            .filter(|advice| matches!(advice, Advice::Buy { .. }))
            .map(|advice| advice_words(sheet, advice))
            .collect();
        if buys.is_empty() || again.short >= chance.short {
            lines.push((
                Tone::Plain,
                "No reserve of what can be bought makes that less likely.".to_owned(),
            ));
        } else {
            lines.push((Tone::Next, format!(
                "With a reserve for arrivals that only one in ten falls below: {}. For it, instead of the purchase above: {}",
                say(again),
                buys.join(" ")
            )));
        }
    }
    lines
}
