use std::collections::{BTreeMap, BTreeSet};

use crate::blend::MeasureFigure;
use crate::outlook::{Foreseen, GroupFed, NightFed};
use crate::stream::StreamId;
use crate::words::{Said, say};

use super::AheadSheet;
use super::words::{answers, first_things};
use crate::sheet::chart::{Chart, Form};
use crate::sheet::document::{Block, Document, Tone, grid};
use crate::sheet::words::day_words;
use crate::sheet::words::{one_decimal, range};

/// The nights ahead for paper: with pictures before the reasons.
pub fn ahead_page(sheet: &AheadSheet) -> Document {
    let mut page = ahead_document(sheet);
    let is_heading = |block: &Block| matches!(block, Block::Heading(_));
    let before = page.blocks.iter().position(is_heading).unwrap_or_default();
    let charts = charts(sheet).into_iter().map(Block::Chart);
    page.blocks.splice(before..before, charts);
    page
}

/// The nights ahead as a page: answers first, then the nights, then what they rest on.
pub fn ahead_document(sheet: &AheadSheet) -> Document {
    let nights = &sheet.plan().nights;
    let day = (nights.first()).map_or_else(Said::default, |night| day_words(night.day));
    let mut document = Document::titled(say!("ahead-title", nights = nights.len(), day));
    verdict(sheet, &mut document);
    for (number, thing) in (1..=3).zip(first_things(sheet)) {
        document.line(say!("ahead-thing", number, thing));
    }
    if !sheet.undone.is_empty() {
        let undone = Said::joined(sheet.undone.iter().cloned(), "; ");
        document.caution(say!("ahead-undone", undone));
    }
    document.heading(say!("ahead-why"));
    for (tone, line) in answers(sheet) {
        document.toned(tone, line);
    }
    nights_part(sheet, &mut document);
    arrivals(sheet, &mut document);
    document.heading(say!("ahead-rests-on"));
    let times = sheet.usable_keeping_times;
    let always = [say!("ahead-ages", times), say!("ahead-not-rounded")];
    for note in sheet.notes.iter().chain(&always) {
        document.item(Tone::Plain, note);
    }
    document.small(say!("ahead-nothing-recorded", seal = &sheet.seal));
    document
}

fn verdict(sheet: &AheadSheet, document: &mut Document) {
    let after = sheet.plan();
    let (tone, word) = if sheet.heeded.troubles.is_empty() {
        (Tone::Good, say!("ahead-fits"))
    } else if after.is_inside() {
        (Tone::Good, say!("ahead-fits-with-advice"))
    } else if sheet.heeded.advice.is_empty() {
        (Tone::Out, say!("ahead-does-not-fit"))
    } else {
        (Tone::Out, say!("ahead-still-not"))
    };
    document.answer(tone, word);
    let short = |plan: &Foreseen| -> f64 {
        let groups = plan.nights.iter().flat_map(|night| &night.groups);
        groups.map(GroupFed::short_kg).sum()
    };
    let before = short(&sheet.heeded.as_it_comes);
    if !sheet.heeded.troubles.is_empty() && before > 0.01 {
        let (before, after) = (sheet.weight(before), sheet.weight(short(after)));
        document.line(match before == after {
            true => say!("ahead-missing-all", weight = before),
            false => say!("ahead-missing", before, after),
        });
    }
}

/// A letter for each stream of the plan: the first of its name that is free, by
/// id over all that is there, comes or can be bought. So a stream keeps its
/// letter, and its colour, from run to run.
fn letters(sheet: &AheadSheet) -> Vec<(char, StreamId)> {
    let mut taken: Vec<(char, &StreamId)> = Vec::new();
    for stream in &sheet.streams {
        let own = stream.as_str().chars().filter(char::is_ascii_alphabetic);
        let free = |letter: &char| !taken.iter().any(|(other, _)| other == letter);
        let mut letters = own.chain('a'..='z').chain('A'..='Z');
        taken.push((letters.find(free).unwrap_or('?'), stream));
    }
    let nights = &sheet.plan().nights;
    let mut groups = nights.iter().flat_map(|night| &night.groups);
    let used: BTreeSet<&StreamId> = groups
        .by_ref()
        .flat_map(|group| group.by_stream.keys())
        .collect();
    taken.retain(|(_, stream)| used.contains(stream));
    let named = taken.into_iter();
    named
        .map(|(letter, stream)| (letter, stream.clone()))
        .collect()
}

/// Characters of the widest bar.
const BAR: f64 = 24.0;

fn nights_part(sheet: &AheadSheet, document: &mut Document) {
    document.heading(say!("ahead-nights"));
    let letters = letters(sheet);
    let nights = &sheet.plan().nights;
    let sum = |night: &NightFed, of: fn(&GroupFed) -> f64| night.groups.iter().map(of).sum::<f64>();
    let wanted = |night: &NightFed| sum(night, |group| group.wanted_dm_kg);
    let most = nights.iter().map(wanted).fold(1e-9, f64::max);
    document.table(grid!(for night in nights => {
        let moisture = night.groups.iter().map(moisture);
        let spoils = (night.spoils_kg >= 0.05).then(|| sheet.weight(night.spoils_kg));
        Left say!("night") => day_words(night.day),
        Left say!("ahead-bar") => bar(&night.groups, &letters, wanted(night), most),
        Right say!("fed") => sheet.weight(sum(night, |group| group.dm_kg)),
        Right say!("ahead-wanted") => sheet.weight(wanted(night)),
        Left say!("ahead-moisture") => Said::joined(moisture, "; "),
        Right say!("ahead-stock") => sheet.weight(night.stock_kg),
        Right say!("ahead-spoils") => spoils.as_deref().unwrap_or("-"),
    }));
    let legend = letters.iter();
    let legend = legend.map(|(letter, stream)| Said::joined([letter.into(), stream.into()], " "));
    document.small(Said::joined(legend, ", "));
}

fn bar(groups: &[GroupFed], letters: &[(char, StreamId)], wanted: f64, most: f64) -> String {
    let mut text = String::new();
    let mut reached = 0.0;
    let length = |kg: f64| -> usize {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a share of a short bar"
        )]
        let length = (BAR * kg / most).round().clamp(0.0, 2.0 * BAR) as usize;
        length
    };
    for (letter, stream) in letters {
        let dry = groups
            .iter()
            .filter_map(|group| group.by_stream.get(stream))
            .map(|(_, dry)| dry);
        reached += dry.sum::<f64>();
        while text.chars().count() < length(reached) {
            text.push(*letter);
        }
    }
    while text.chars().count() < length(wanted) {
        text.push('.');
    }
    text
}

fn moisture(group: &GroupFed) -> Said {
    let initial = group.name.chars().next().unwrap_or('?');
    let told = |share: Option<f64>| {
        let pct = share.map_or_else(|| "-".to_owned(), |share| one_decimal(100.0 * share));
        format!("{initial} {pct}")
    };
    let Some(figure) = group.of_moisture() else {
        return told(group.moisture).into();
    };
    let (moisture, window) = (told(figure.value), range(figure.window.range(false), ""));
    if figure.standing.is_inside() {
        Said::joined([moisture.into(), " (".into(), window, ")".into()], "")
    } else {
        say!("ahead-moisture-out", moisture, window)
    }
}

fn arrivals(sheet: &AheadSheet, document: &mut Document) {
    if sheet.plan().nights.len() < 2 {
        return;
    }
    document.heading(say!("ahead-arrivals"));
    let mut sums: BTreeMap<(&StreamId, &str), (f64, f64, i64)> = BTreeMap::new();
    for one in &sheet.forecast.expected {
        let sum = sums.entry((&one.stream, &one.supplier)).or_default();
        sum.0 += one.kg;
        sum.1 += one.spread_kg.powi(2);
        sum.2 += 1;
    }
    document.table(
        grid!(for ((stream, supplier), (kg, variance, days)) in sums => {
            Left say!("stream") => stream,
            Left say!("supplier") => supplier,
            Right say!("days") => days,
            Right say!("ahead-expected") => sheet.weight(kg),
            Right say!("ahead-spread") => sheet.weight(variance.sqrt()),
        }),
    );
    document.line(say!("ahead-method"));
    document.line(match &sheet.forecast.backtest {
        None => say!("ahead-no-backtest"),
        Some(test) => say!(
            "ahead-backtest",
            weeks = test.weeks,
            error = sheet.weight(test.error_kg),
            naive = sheet.weight(test.last_week_error_kg),
            pct = format!("{:.0}", test.better_pct().abs()),
            than = if test.better_pct() >= 0.0 {
                "better"
            } else {
                "worse"
            },
        ),
    });
}

fn charts(sheet: &AheadSheet) -> Vec<Chart> {
    let nights = &sheet.plan().nights;
    let unit = sheet.units.unit();
    let weight = |kg: f64| sheet.units.amount_kg(kg.max(0.0));
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
