//! The answers of the nights ahead, in words.

use std::collections::{BTreeMap, BTreeSet};

use crate::learn::Published;
use crate::outlook::{Accept, Advice, Chance, Intake, Trouble, Wrong};
use crate::stream::{Measure, Side, StreamId};
use crate::words::{Said, say};

use super::AheadSheet;
use crate::sheet::document::Tone;
use crate::sheet::words::day_words;
use crate::sheet::words::{from_to, grouped, listed, one_decimal};

const SHOWN: usize = 6;

/// The two or three things to do, the most pressing first, a sentence each.
pub(super) fn first_things(sheet: &AheadSheet) -> Vec<Said> {
    /// So much more than planned is worth putting first (our default).
    const WORTH_GROWING: f64 = 1.1;
    let advice = &sheet.heeded.advice;
    let mut things: Vec<Said> = (advice.iter())
        .filter_map(|one| match one {
            Advice::Buy(of) => {
                let what = of_stream(&sheet.units.weight(of.grams), &of.stream);
                Some(say!("ahead-buy-short", what, by = day_words(of.order_by)))
            }
            _ => None,
        })
        .collect();
    if things.is_empty()
        && let Some(trouble) = trouble_words(sheet).into_iter().next()
    {
        things.push(match sheet.plan().is_inside() {
            true => say!("ahead-mended", trouble),
            false => say!("ahead-no-cure", trouble),
        });
    }
    if let Some(growth) = &sheet.growth
        && growth.room.factor >= WORTH_GROWING
    {
        things.push(say!(
            "ahead-room-short",
            factor = format!("{:.2}", growth.room.factor),
            larvae = whole(growth.larvae * growth.room.factor),
            planned = whole(growth.larvae),
        ));
    }
    things.extend(to_compost(sheet));
    things.extend(advice.iter().filter_map(|one| match one {
        Advice::Accept(of) => {
            let (when, most, stream) = (span(of), sheet.weight(of.at_most_kg), &of.stream);
            Some(match of.at_most_kg > 0.0 {
                true => say!("ahead-take", most, stream, when),
                false => say!("ahead-take-none", stream, when),
            })
        }
        _ => None,
    }));
    if sheet.plan().is_inside() {
        things.extend(more_intake(sheet).first().map(|of| {
            let weight = sheet.weight(of.kg_per_week);
            say!("ahead-intake-short", weight, stream = &of.stream)
        }));
    }
    if things.is_empty() {
        things.push(say!("ahead-nothing-to-do"));
    }
    things
}

fn whole(number: f64) -> String {
    format!("{number:.0}")
}

fn of_stream(weight: &str, stream: &StreamId) -> Said {
    say!("weight-of-stream", weight, stream)
}

/// The streams of which more can come, the most first.
fn more_intake(sheet: &AheadSheet) -> Vec<&Intake> {
    let fits = |intake: &&Intake| intake.kg_per_week >= 1.0 && intake.holds;
    let mut more: Vec<&Intake> = sheet.intakes.iter().filter(fits).collect();
    more.sort_by(|a, b| b.kg_per_week.total_cmp(&a.kg_per_week));
    more
}

/// All that can no longer be fed, in one sentence.
fn to_compost(sheet: &AheadSheet) -> Option<Said> {
    let kept_out = sheet.kept_out.iter().map(|(stream, (kg, _))| (stream, *kg));
    let cleared = sheet.heeded.advice.iter().filter_map(|one| match one {
        Advice::Clear(of) => Some((&of.stream, of.kg)),
        _ => None,
    });
    let mut of: BTreeMap<&StreamId, f64> = BTreeMap::new();
    for (stream, kg) in cleared.chain(kept_out) {
        *of.entry(stream).or_default() += kg;
    }
    let told = of.iter();
    let told = told.map(|(stream, kg)| of_stream(&sheet.weight(*kg), stream));
    let all = Said::joined(told, ", ");
    (!all.is_empty()).then(|| say!("ahead-compost", all))
}

fn span(of: &Accept) -> Said {
    match (day_words(of.from), day_words(of.to)) {
        (day, _) if of.from == of.to => say!("ahead-on", day),
        (from, to) => say!("ahead-from-to", from, to),
    }
}

pub(super) fn answers(sheet: &AheadSheet) -> Vec<(Tone, Said)> {
    let plain = |said| (Tone::Plain, said);
    let mut lines: Vec<(Tone, Said)> = (trouble_words(sheet).into_iter())
        .map(|words| (Tone::Out, words))
        .collect();
    let advice = sheet.heeded.advice.iter();
    lines.extend(advice.map(|one| plain(advice_words(sheet, one))));
    for (stream, (kg, lots)) in &sheet.kept_out {
        let (count, lots, weight) = (lots.len(), listed(lots, SHOWN), sheet.weight(*kg));
        lines.push(plain(say!("ahead-kept-out", count, stream, lots, weight)));
    }
    let more = more_intake(sheet);
    if !more.is_empty() {
        let told = more.iter();
        let told = told.map(|of| of_stream(&sheet.weight(of.kg_per_week), &of.stream));
        lines.push(plain(say!("ahead-intake", all = Said::joined(told, ", "))));
    } else if !sheet.intakes.is_empty() {
        lines.push(plain(say!("ahead-no-intake")));
    }
    lines.extend(growth_words(sheet).into_iter().map(plain));
    lines.extend(chance_words(sheet));
    lines
}

/// One sentence for each kind of trouble, with all its nights.
fn trouble_words(sheet: &AheadSheet) -> Vec<Said> {
    let troubles = sheet.heeded.troubles.iter();
    let kinds = grouped(troubles.map(|trouble| (&trouble.wrong, trouble)));
    let words = kinds.iter().map(|(_, kind)| kind_words(sheet, kind));
    words.collect()
}

fn kind_words(sheet: &AheadSheet, kind: &[&Trouble]) -> Said {
    let spans = (kind.iter()).map(|of| from_to(day_words(of.from), day_words(of.to)));
    let when = Said::joined(spans, ", ");
    // Nights in a row are many too.
    let count = kind.len() + usize::from(kind[0].from != kind[0].to);
    let groups: BTreeSet<&String> = kind.iter().flat_map(|of| &of.groups).collect();
    let groups = groups
        .into_iter()
        .map(|group| say!("stage-called", what = group));
    let groups = Said::joined(groups, ", ");
    let worst = kind.iter().map(|of| of.worst).fold(0.0, f64::max);
    let how = match &kind[0].wrong {
        Wrong::Short => {
            let worst = match worst < sheet.units.division.kg() {
                true => say!("less-than", number = sheet.units.division),
                false => say!("up-to", what = sheet.weight(worst)),
            };
            return say!("ahead-short", count, when, groups, worst);
        }
        Wrong::Out(Measure::Moisture, Side::Most) => say!("ahead-too-wet"),
        Wrong::Out(Measure::Moisture, Side::Least) => say!("ahead-too-dry"),
        Wrong::Out(measure, Side::Most) => say!("ahead-too-high", measure = measure.said()),
        Wrong::Out(measure, Side::Least) => say!("ahead-too-low", measure = measure.said()),
    };
    let points = one_decimal(100.0 * worst);
    say!("ahead-out", count, when, how, groups, points)
}

fn advice_words(sheet: &AheadSheet, advice: &Advice) -> Said {
    // What solving again with the advice taken said.
    let proof = |holds: bool, good: Said| {
        if holds {
            good
        } else {
            say!("ahead-proof-less")
        }
    };
    match advice {
        Advice::Buy(of) => {
            let (stream, weight) = (&of.stream, sheet.units.weight(of.grams));
            let what = match of.packs {
                Some(packs) => say!("ahead-packs", packs, stream, weight),
                None => of_stream(&weight, stream),
            };
            say!(
                "ahead-buy",
                what,
                by = day_words(of.order_by),
                day = day_words(of.there_on),
                cost = format!("{:.2}", of.cost),
                currency = &sheet.currency,
                proof = proof(of.checked.holds, say!("ahead-proof-amount")),
            )
        }
        Advice::Accept(of) => {
            let (stream, when, most) = (&of.stream, span(of), sheet.weight(of.at_most_kg));
            let expected = sheet.weight(of.expected_kg);
            let proof = proof(of.checked.holds, say!("ahead-proof-without"));
            match of.at_most_kg > 0.0 {
                true => say!("ahead-accept", most, stream, when, expected, proof),
                false => say!("ahead-accept-none", stream, when, expected, proof),
            }
        }
        Advice::Clear(of) => {
            let (count, lots, weight) =
                (of.lots.len(), listed(&of.lots, SHOWN), sheet.weight(of.kg));
            let (stream, by) = (&of.stream, day_words(of.by));
            let proof = proof(of.checked.holds, say!("ahead-proof-without"));
            say!("ahead-clear", count, stream, lots, weight, by, proof)
        }
    }
}

fn growth_words(sheet: &AheadSheet) -> Vec<Said> {
    let Some(growth) = &sheet.growth else {
        return Vec::new();
    };
    let factor = growth.room.factor;
    let larvae_kg = |factor: f64| {
        let (low, high) = growth.larvae_kg(factor)?;
        Some((sheet.weight(low), sheet.weight(high)))
    };
    let mut words = vec![say!(
        "ahead-room",
        larvae = whole(growth.larvae * factor),
        factor = format!("{factor:.2}"),
        planned = whole(growth.larvae),
    )];
    // The least and the greatest by name: the range is wide, and which feed it is says why.
    let ends = growth.conversion.as_ref().and_then(Published::ends);
    if let Some(((low, high), (least, most))) = larvae_kg(factor).zip(ends) {
        words.push(say!(
            "ahead-room-larvae",
            low,
            high,
            least = least.low,
            least_feed = &least.feed,
            least_source = least.source.short(),
            most = most.high,
            most_feed = &most.feed,
            most_source = most.source.short(),
        ));
    }
    let mut lines = vec![Said::joined(words, " ")];
    let best = growth.room.raises.first();
    if let Some(best) = best.filter(|raise| raise.factor > 1e-6) {
        let (stream, weight) = (&best.stream, sheet.weight(best.kg_per_week));
        let larvae = whole(growth.larvae * best.factor);
        lines.push(match larvae_kg(best.factor) {
            None => say!("ahead-raise", stream, weight, larvae),
            Some((low, high)) => {
                say!("ahead-raise-larvae", stream, weight, larvae, low, high)
            }
        });
    }
    lines
}

fn chance_words(sheet: &AheadSheet) -> Vec<(Tone, Said)> {
    let Some(of) = &sheet.chance else {
        return Vec::new();
    };
    let in_100 = |chance: &Chance| {
        say!(
            "ahead-in-100",
            short = whole(chance.short_pct()),
            error = whole(chance.short_pct_error()),
            best = whole(chance.short_at_best_pct()),
        )
    };
    let chance = in_100(of);
    let told = say!(
        "ahead-chance-short",
        nights = of.nights,
        chance,
        weeks = of.weeks
    );
    let mut lines = vec![(Tone::Plain, told)];
    if let Some((advice, again)) = &sheet.reserve {
        let buys = advice.iter().filter(|one| matches!(one, Advice::Buy(_)));
        let buys = Said::joined(buys.map(|one| advice_words(sheet, one)), " ");
        lines.push(if buys.is_empty() || again.short >= of.short {
            (Tone::Plain, say!("ahead-no-reserve"))
        } else {
            let chance = in_100(again);
            (Tone::Next, say!("ahead-with-reserve", chance, buys))
        });
    }
    lines
}
