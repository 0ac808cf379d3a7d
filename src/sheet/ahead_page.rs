use crate::blend::MeasureFigure;
use crate::outlook::{GroupFed, NightFed};
use crate::quantity::Grams;
use crate::stream::StreamId;
use crate::words::{Said, say};

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
    let days: Vec<Said> = nights.iter().map(|night| day_words(night.day)).collect();
    let series = |name: Said, of: &dyn Fn(&NightFed) -> f64| {
        (name, nights.iter().map(of).collect::<Vec<f64>>())
    };
    let sum = |night: &NightFed, of: &dyn Fn(&GroupFed) -> f64| {
        weight(night.groups.iter().map(of).sum::<f64>())
    };
    let dry = |group: &GroupFed, stream: &StreamId| {
        group.by_stream.get(stream).map_or(0.0, |(_, dry)| *dry)
    };
    // By what is there, not by what is fed: a stream keeps its colour.
    let mut fed: Vec<_> = (sheet.streams.iter())
        .map(|stream| series(stream.into(), &|night| sum(night, &|of| dry(of, stream))))
        .collect();
    let missing = say!("ahead-missing-part");
    fed.push(series(missing, &|night| sum(night, &GroupFed::short_kg)));
    let kept = vec![
        series(say!("ahead-still-good"), &|night| weight(night.stock_kg)),
        series(say!("ahead-spoiled"), &|night| weight(night.spoils_kg)),
    ];
    let (title, told) = (say!("ahead-chart-fed", unit), say!("ahead-chart-fed-told"));
    let mut charts = vec![Chart::new(Form::Bars, title, told, days.clone(), fed)];
    let (title, told) = (
        say!("ahead-chart-stock", unit),
        say!("ahead-chart-stock-told"),
    );
    charts.push(Chart::new(Form::Bars, title, told, days.clone(), kept));
    let mut groups: Vec<&str> = Vec::new();
    for group in nights.iter().flat_map(|night| &night.groups) {
        if !groups.contains(&group.name.as_str()) {
            groups.push(&group.name);
        }
    }
    for name in groups {
        let line = |line: Said, of: fn(&MeasureFigure) -> Option<f64>| {
            series(line, &|night| {
                let group = night.groups.iter().find(|group| group.name == name);
                let figure = group.and_then(GroupFed::of_moisture);
                figure.and_then(of).map_or(f64::NAN, |share| 100.0 * share)
            })
        };
        let lines = vec![
            line(say!("ahead-moisture-line"), |figure| figure.value),
            line(say!("ahead-least"), |figure| figure.window.min),
            line(say!("ahead-most"), |figure| figure.window.max),
        ];
        let (title, told) = (
            say!("ahead-chart-moisture", group = name),
            say!("ahead-chart-moisture-told"),
        );
        charts.push(Chart::new(Form::Lines, title, told, days.clone(), lines));
    }
    charts
}
