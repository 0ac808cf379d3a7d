use crate::outlook::{GroupFed, NightFed};
use crate::quantity::Grams;
use crate::stream::{Measure, StreamId};

use super::ahead::{AheadSheet, ahead_document, day_words};
use super::chart::{Chart, Form};
use super::document::{Block, Document};

/// The nights ahead for paper: with pictures before the reasons.
pub fn ahead_page(sheet: &AheadSheet) -> Document {
    let mut page = ahead_document(sheet);
    let is_heading = |block: &Block| matches!(block, Block::Heading(_));
    let before = page.blocks.iter().position(is_heading).unwrap_or_default();
    let charts = charts(sheet).into_iter().map(Block::Chart);
    page.blocks.splice(before..before, charts);
    page
}

fn charts(sheet: &AheadSheet) -> Vec<Chart> {
    let nights = &sheet.plan().nights;
    let unit = sheet.units.unit();
    let weight = |kg: f64| {
        let grams = Grams::from_kg(kg.max(0.0)).unwrap_or(Grams::ZERO);
        sheet.units.amount(grams)
    };
    let days: Vec<String> = nights.iter().map(|night| day_words(night.day)).collect();
    let series = |name: &str, of: &dyn Fn(&NightFed) -> f64| {
        (name.to_owned(), nights.iter().map(of).collect::<Vec<f64>>())
    };
    let sum = |night: &NightFed, of: &dyn Fn(&GroupFed) -> f64| {
        weight(night.groups.iter().map(of).sum::<f64>())
    };
    let dry = |group: &GroupFed, stream: &StreamId| {
        group.by_stream.get(stream).map_or(0.0, |(_, dry)| *dry)
    };
    // By what is there, not by what is fed: a stream keeps its colour.
    let mut fed: Vec<_> = (sheet.streams.iter())
        .map(|stream| series(stream.as_str(), &|night| sum(night, &|of| dry(of, stream))))
        .collect();
    fed.push(series("missing", &|night| sum(night, &GroupFed::short_kg)));
    let kept = [
        series("still good after feeding", &|night| weight(night.stock_kg)),
        series("spoiled by the next night", &|night| {
            weight(night.spoils_kg)
        }),
    ];
    let mut charts = vec![
        Chart::new(
            Form::Bars,
            format!("Dry matter fed by stream and what is missing, {unit}"),
            "A bar for each night, stacked by stream, up to what is wanted; the figures are in the table below",
            days.clone(),
            fed,
        ),
        Chart::new(
            Form::Bars,
            format!("Stock and what spoils, {unit}"),
            "A bar for each night: what still keeps after feeding, and on it what is spoiled by the next night",
            days.clone(),
            kept.into(),
        ),
    ];
    let mut groups: Vec<&str> = Vec::new();
    for group in nights.iter().flat_map(|night| &night.groups) {
        if !groups.contains(&group.name.as_str()) {
            groups.push(&group.name);
        }
    }
    for name in groups {
        let figure = |night: &NightFed| {
            let group = night.groups.iter().find(|group| group.name == name)?;
            let mut figures = group.measures.iter();
            figures.find(|of| of.measure == Measure::Moisture).cloned()
        };
        let pct = |share: Option<f64>| share.map_or(f64::NAN, |share| 100.0 * share);
        let lines = [
            series("moisture", &|night| {
                pct(figure(night).and_then(|of| of.value))
            }),
            series("least", &|night| {
                pct(figure(night).and_then(|of| of.window.min))
            }),
            series("most", &|night| {
                pct(figure(night).and_then(|of| of.window.max))
            }),
        ];
        charts.push(Chart::new(Form::Lines,
            format!("Moisture of {name} in its window, %"),
            "A point for each night and a line for each end of the window; the table below says which are out",
            days.clone(),
            lines.into(),
        ));
    }
    charts
}
