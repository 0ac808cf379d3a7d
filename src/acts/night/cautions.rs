use std::collections::{BTreeMap, BTreeSet};

use crate::acts::intake::weigh_in::ONE_LIFT;
use crate::acts::{FarmSettings, Result, Tables};
use crate::blend::Mix;
use crate::larvae::FeedGroup;
use crate::stock::StockLot;
use crate::stream::{Evidence, Ruling, StreamId, use_note};
use crate::words::{Said, say};

/// What to mind while mixing: old lots, parts to pick out, conditional use, lifting.
pub(crate) fn cautions(
    mix: &Mix,
    stock: &[StockLot],
    farm: &FarmSettings,
    tables: &Tables,
) -> Result<Vec<Said>> {
    let rules = tables.rules(farm)?;
    let mut cautions = Vec::new();
    let used = used(mix, stock);
    let past: Vec<&str> = used
        .iter()
        .filter(|lot| lot.asks_for_look())
        .map(|lot| lot.book.name.as_str())
        .collect();
    if let Some(one) = past.first() {
        cautions.push(say!("mix-look-first", lots = past.join(", "), one));
    }
    let too_old =
        |lot: &&StockLot| lot.is_feed() && lot.too_old.is_some() && lot.book.look.is_none();
    if let Some(one) = stock.iter().find(too_old) {
        cautions.push(say!("mix-too-old", one = &one.book.name));
    }
    let sorted: Vec<&str> = used
        .iter()
        .filter(|lot| lot.asks_for_sorting())
        .map(|lot| lot.book.name.as_str())
        .collect();
    if !sorted.is_empty() {
        cautions.push(say!("mix-pick-out", lots = sorted.join(", ")));
    }
    for lot in &used {
        let Some(stream) = tables.streams.get(&lot.book.stream) else {
            continue;
        };
        let rule = rules.strictest(stream, &lot.book.touched);
        if let Some(rule) = rule.filter(|rule| rule.ruling == Ruling::Ask) {
            let leave = rules.leave(&stream.id, Some(&lot.book.supplier));
            let note = use_note(rule, leave);
            cautions.push(Said::joined([Said::from(&stream.id), note], ": "));
        }
    }
    if mix.groups.iter().any(|group| group.figures.wet > ONE_LIFT) {
        cautions.push(say!("mix-lift"));
    }
    let mut seen = BTreeSet::new();
    cautions.retain(|caution| seen.insert(caution.in_english()));
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
pub(crate) fn foot(
    mix: &Mix,
    due: &[FeedGroup<'_>],
    stock: &[StockLot],
    tables: &Tables,
) -> Vec<Said> {
    let mut from: BTreeMap<String, (Said, Vec<Said>)> = BTreeMap::new();
    for group in due {
        for (measure, cited) in &group.stage.windows {
            let source = tables.sources.get(&cited.source);
            let label = Evidence::said(source.map(|source| source.evidence));
            let of = from.entry(label.in_english());
            let (_, windows) = of.or_insert_with(|| (label, Vec::new()));
            let stage = say!("stage-called", what = &group.stage.name);
            windows.push(Said::joined([stage, measure.said()], " "));
        }
    }
    let mut lines: Vec<Said> = match <[_; 1]>::try_from(from.into_values().collect::<Vec<_>>()) {
        Ok([(label, _)]) => vec![say!("mix-windows-all", label)],
        Err(several) => (several.into_iter())
            .map(|(label, windows)| {
                let windows = Said::joined(windows, ", ");
                say!("mix-windows", windows, label)
            })
            .collect(),
    };
    let streams: BTreeSet<&StreamId> = (used(mix, stock).into_iter())
        .map(|lot| &lot.book.stream)
        .collect();
    for id in streams {
        let stand_in = tables.streams.get(id);
        if let Some(stand_in) = stand_in.and_then(|stream| stream.labels.stand_in()) {
            lines.push(say!("mix-stand-in", id, stand_in));
        }
    }
    lines
}
