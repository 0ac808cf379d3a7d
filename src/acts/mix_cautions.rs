use std::collections::{BTreeMap, BTreeSet};

use crate::blend::Mix;
use crate::larvae::FeedGroup;
use crate::quantity::Grams;
use crate::sheet::label;
use crate::stock::StockLot;
use crate::stream::{Ruling, StreamId, Verdict, use_note};

use super::{ActError, FarmSettings, Tables};

/// What to mind while mixing: old lots, parts to pick out, conditional use, lifting.
pub(super) fn cautions(
    mix: &Mix,
    stock: &[StockLot],
    farm: &FarmSettings,
    tables: &Tables,
) -> Result<Vec<String>, ActError> {
    const ONE_LIFT: Grams = Grams::new(23_000);
    let rules = tables.rules(farm)?;
    let mut cautions = Vec::new();
    let used = used(mix, stock);
    let past: Vec<&str> = used
        .iter()
        .filter(|lot| lot.asks_for_look())
        .map(|lot| lot.book.name.as_str())
        .collect();
    if let Some(one) = past.first() {
        cautions.push(format!("look first, past their keeping time: {}. In open air, don't put your nose in the bucket. Good: `trayful look {one} --fit`. Mouldy or foul: `trayful look {one} --not-fit --note WHAT`, then mix anew.", past.join(", ")));
    }
    let too_old =
        |lot: &&StockLot| lot.is_feed() && lot.too_old().is_some() && lot.book.look.is_none();
    if let Some(one) = stock.iter().find(too_old) {
        let name = &one.book.name;
        cautions.push(format!("what is too old is held back (below). If one of them is still good: `trayful look {name} --fit`; else `trayful discard {name} --spoiled`."));
    }
    let sorted: Vec<&str> = used
        .iter()
        .filter(|lot| lot.flag.verdict == Verdict::PickOut)
        .map(|lot| lot.book.name.as_str())
        .collect();
    if !sorted.is_empty() {
        cautions.push(format!("pick the parts out before mixing (weights are without them): {}. Use a tool and cut gloves for bone and shell.", sorted.join(", ")));
    }
    for lot in &used {
        let Some(stream) = tables.streams.get(&lot.book.stream) else {
            continue;
        };
        let rule = rules.strictest(stream, &lot.book.touched);
        if let Some(rule) = rule.filter(|rule| rule.ruling == Ruling::Ask) {
            let leave = rules.leave(&stream.id, Some(&lot.book.supplier));
            cautions.push(format!(
                "{}: {}",
                stream.id,
                use_note(rule, leave).in_english()
            ));
        }
    }
    if mix.groups.iter().any(|group| group.figures.wet > ONE_LIFT) {
        cautions.push("a whole batch is above 23 kg (51 lb), the most for one lift in ideal conditions (NIOSH load constant): mix and carry it in portions.".to_owned());
    }
    let mut seen = BTreeSet::new();
    cautions.retain(|caution| seen.insert(caution.clone()));
    Ok(cautions)
}

/// Lots the mix draws from.
fn used<'a>(mix: &Mix, stock: &'a [StockLot]) -> Vec<&'a StockLot> {
    let draws = mix.groups.iter().flat_map(|group| &group.draws);
    let drawn: BTreeSet<&str> = draws.map(|draw| draw.lot.as_str()).collect();
    let lots = stock.iter();
    lots.filter(|lot| drawn.contains(lot.book.name.as_str()))
        .collect()
}

/// Where the windows come from, so that none of ours reads as published, and
/// which figures are of another part of the plant.
pub(super) fn foot(
    mix: &Mix,
    due: &[FeedGroup<'_>],
    stock: &[StockLot],
    tables: &Tables,
) -> Vec<String> {
    let mut lines = Vec::new();
    for group in due {
        let mut from: BTreeMap<&str, Vec<String>> = BTreeMap::new();
        for (measure, cited) in &group.stage.windows {
            let source = tables.sources.get(&cited.source);
            let told = label(source.map(|source| source.evidence));
            from.entry(told).or_default().push(measure.to_string());
        }
        let told: Vec<String> = (from.into_iter())
            .map(|(label, measures)| format!("{label}: {}", measures.join(", ")))
            .collect();
        lines.push(format!(
            "Windows of {}, {}.",
            group.stage.name,
            told.join("; ")
        ));
    }
    let streams: BTreeSet<&StreamId> = (used(mix, stock).into_iter())
        .map(|lot| &lot.book.stream)
        .collect();
    for id in streams {
        let stand_in = tables.streams.get(id);
        if let Some(told) = stand_in.and_then(|stream| stream.labels.stand_in()) {
            lines.push(format!("{id}: {told}."));
        }
    }
    lines
}
