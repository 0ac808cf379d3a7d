use std::fmt::Write as _;

use crate::outlook::GroupFed;
use crate::quantity::Grams;
use crate::stream::{Measure, StreamId};
use crate::words::Language;

use super::ahead::{AheadSheet, ahead_document, day_words, letters};
use super::ahead_svg::{Drawing, escaped, round_up};
use super::chart::{COLOURS, svg};
use super::document::{Align, Block, Document, Grid, Tone};
use super::words::one_decimal;

/// A page of its own: the answers, three pictures, the tables. No script, nothing fetched.
#[must_use]
pub fn ahead_html(sheet: &AheadSheet) -> String {
    let document = ahead_document(sheet).in_language(Language::En);
    let mut page = String::new();
    page.push_str(&format!("<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" content=\"width=device-width\"><title>{}</title>\n<style>{STYLE}</style></head><body>\n<h1>{}</h1>\n", escaped(&document.title), escaped(&document.title)));
    let tables = document
        .blocks
        .iter()
        .position(|block| matches!(block, Block::Heading(_)))
        .unwrap_or(document.blocks.len());
    blocks(&document, 0..tables, &mut page);
    page.push_str("<h2>Feed by stream against what is wanted</h2>\n");
    page.push_str(&fed(sheet));
    page.push_str("<h2>Moisture against its window</h2>\n");
    page.push_str(&moisture(sheet));
    page.push_str("<h2>Stock and what spoils</h2>\n");
    page.push_str(&stock(sheet));
    blocks(&document, tables..document.blocks.len(), &mut page);
    page.push_str("</body></html>\n");
    page
}

const STYLE: &str = "body{font:16px/1.45 sans-serif;max-width:60em;margin:1.5em auto;padding:0 1em;color:#111}table{border-collapse:collapse;margin:.6em 0;font-size:14px}td,th{white-space:nowrap;padding:.15em .6em;border-bottom:1px solid #bbb;text-align:left}.r{text-align:right;font-variant-numeric:tabular-nums}.good{border-left:6px solid #2a6f3c;padding-left:.6em;font-weight:bold}.out{border-left:6px solid #9b1c1c;padding-left:.6em}.next{border-left:6px solid #1f4e8c;padding-left:.6em}.small{font-size:13px;color:#444}svg{width:100%;height:auto;max-width:56em}.bar{font-family:monospace}@media print{h2{break-after:avoid}svg,table{break-inside:avoid}}";

fn blocks(document: &Document<String>, range: std::ops::Range<usize>, page: &mut String) {
    for block in &document.blocks[range] {
        match block {
            Block::Heading(words) => page.push_str(&format!("<h2>{}</h2>\n", escaped(words))),
            Block::Line(tone, words) => {
                let class = match tone {
                    Tone::Plain => "plain",
                    Tone::Good => "good",
                    Tone::Out | Tone::Caution => "out",
                    Tone::Next => "next",
                    Tone::Small => "small",
                };
                page.push_str(&format!("<p class=\"{class}\">{}</p>\n", escaped(words)));
            }
            Block::Table(grid) | Block::List(grid) => table(grid, page),
            Block::Chart(chart) => page.push_str(&svg(chart)),
        }
    }
}

fn table(grid: &Grid<String>, page: &mut String) {
    let class = |align: &Align| match align {
        Align::Left => "",
        Align::Right => " class=\"r\"",
    };
    page.push_str("<table><thead><tr>");
    for (name, align) in &grid.columns {
        // Writing into a string can't fail.
        let _written = write!(
            page,
            "<th scope=\"col\"{}>{}</th>",
            class(align),
            escaped(name)
        );
    }
    page.push_str("</tr></thead><tbody>\n");
    for row in &grid.rows {
        page.push_str("<tr>");
        for (cell, (_, align)) in row.iter().zip(&grid.columns) {
            let _written = write!(page, "<td{}>{}</td>", class(align), escaped(cell));
        }
        page.push_str("</tr>\n");
    }
    page.push_str("</tbody></table>\n");
}

const WIDTH: f64 = 860.0;
const LEFT: f64 = 64.0;
const TOP: f64 = 14.0;
const HEIGHT: f64 = 200.0;

/// A round number of the farm's own unit that is not below so many kilograms, in kilograms.
fn round_weight(sheet: &AheadSheet, kg: f64) -> f64 {
    let (grams, per) = sheet.units.unit().grams_ratio();
    #[expect(clippy::cast_precision_loss, reason = "exact factors far below 2^53")]
    let unit_kg = grams as f64 / per as f64 / 1000.0;
    round_up(kg / unit_kg) * unit_kg
}

/// A plot's frame: nights across, an amount from nought to a round number up.
struct Frame {
    step: f64,
    most: f64,
    drawing: Drawing,
}

impl Frame {
    fn new(
        sheet: &AheadSheet,
        least: f64,
        most: f64,
        below: f64,
        label: &dyn Fn(f64) -> String,
    ) -> Self {
        let nights = &sheet.plan().nights;
        #[expect(clippy::cast_precision_loss, reason = "nights are few")]
        let step = (WIDTH - LEFT) / nights.len().max(1) as f64;
        let mut drawing = Drawing::new(WIDTH, TOP + HEIGHT + 36.0 + below);
        for tick in 0..=4 {
            let share = f64::from(tick) / 4.0;
            let y = TOP + HEIGHT * (1.0 - share);
            drawing.line(&[(LEFT, y), (WIDTH, y)], "#ccc", 0.5);
            drawing.text(
                (LEFT - 6.0, y + 4.0),
                "end",
                &label(least + share * (most - least)),
            );
        }
        let every = nights.len().div_ceil(14);
        for (position, night) in nights.iter().enumerate().step_by(every.max(1)) {
            #[expect(clippy::cast_precision_loss, reason = "nights are few")]
            let x = LEFT + step * (position as f64 + 0.5);
            let words = day_words(night.day);
            let (weekday, date) = words.split_once(' ').unwrap_or((words.as_str(), ""));
            drawing.text((x, TOP + HEIGHT + 14.0), "middle", weekday);
            drawing.text((x, TOP + HEIGHT + 27.0), "middle", date);
        }
        Self {
            step,
            most,
            drawing,
        }
    }

    fn x(&self, night: usize) -> f64 {
        #[expect(clippy::cast_precision_loss, reason = "nights are few")]
        let night = night as f64;
        LEFT + self.step * night
    }

    fn height(&self, amount: f64) -> f64 {
        HEIGHT * (amount / self.most).clamp(0.0, 1.0)
    }
}

fn fed(sheet: &AheadSheet) -> String {
    let plan = sheet.plan();
    let letters = letters(sheet);
    // By what is there, not by what is fed: a stream keeps its colour.
    let colour = |stream: &StreamId| {
        let place = sheet.streams.iter().position(|one| one == stream);
        COLOURS[place.unwrap_or_default() % COLOURS.len()]
    };
    let sum =
        |groups: &[GroupFed], of: &dyn Fn(&GroupFed) -> f64| groups.iter().map(of).sum::<f64>();
    let wanted: Vec<f64> = plan
        .nights
        .iter()
        .map(|night| sum(&night.groups, &|group| group.wanted_dm_kg))
        .collect();
    let most = round_weight(sheet, wanted.iter().copied().fold(0.0, f64::max));
    let rows = letters.len().div_ceil(4);
    #[expect(clippy::cast_precision_loss, reason = "streams are few")]
    let below = 16.0 * rows as f64 + 8.0;
    let mut frame = Frame::new(sheet, 0.0, most, below, &|kg| sheet.weight(kg));
    for (night, told) in plan.nights.iter().enumerate() {
        let mut reached = 0.0;
        for (_, stream) in &letters {
            let of = |group: &GroupFed| group.by_stream.get(stream).map_or(0.0, |(_, dry)| *dry);
            let dry = sum(&told.groups, &of);
            if dry < 1e-4 {
                continue;
            }
            reached += dry;
            let at = (
                frame.x(night) + 0.12 * frame.step,
                TOP + HEIGHT - frame.height(reached),
            );
            let size = (0.76 * frame.step, frame.height(dry));
            let words = format!(
                "{}: {} of dry matter from {stream}",
                day_words(told.day),
                sheet.weight(dry)
            );
            frame.drawing.bar(at, size, colour(stream), &words);
        }
        let y = TOP + HEIGHT - frame.height(wanted[night]);
        let line = [(frame.x(night), y), (frame.x(night + 1), y)];
        frame.drawing.line(&line, "#b00020", 2.5);
    }
    for (position, (_, stream)) in letters.iter().enumerate() {
        #[expect(clippy::cast_precision_loss, reason = "streams are few")]
        let at = (
            LEFT + 200.0 * (position % 4) as f64,
            TOP + HEIGHT + 40.0 + 16.0 * (position / 4) as f64,
        );
        frame
            .drawing
            .bar(at, (11.0, 11.0), colour(stream), stream.as_str());
        frame
            .drawing
            .text((at.0 + 16.0, at.1 + 10.0), "start", stream.as_str());
    }
    frame.drawing.finish(
        "Dry matter fed by stream, night by night",
        "Stacked bars: dry matter by stream. Thick line: dry matter wanted.",
    )
}

fn moisture_dot(drawing: &mut Drawing, at: (f64, f64), inside: bool, words: &str) {
    if inside {
        drawing.dot(at, "#fff", words);
    } else {
        drawing.dot(at, "#b00020", &format!("{words}, outside its window"));
        drawing.text((at.0, at.1 - 6.0), "middle", "out");
    }
}

fn moisture(sheet: &AheadSheet) -> String {
    let (least, most) = (0.40, 0.90);
    let mut frame = Frame::new(sheet, least, most, 22.0, &|share| {
        format!("{:.0} %", 100.0 * share)
    });
    frame.most = most - least;
    let mut names: Vec<&str> = Vec::new();
    let plan = sheet.plan();
    for group in plan.nights.iter().flat_map(|night| &night.groups) {
        if !names.contains(&group.name.as_str()) {
            names.push(&group.name);
        }
    }
    for (night, told) in plan.nights.iter().enumerate() {
        #[expect(clippy::cast_precision_loss, reason = "groups are few")]
        let part = frame.step / names.len().max(1) as f64;
        for group in &told.groups {
            let Some(position) = names.iter().position(|name| *name == group.name) else {
                continue;
            };
            let Some(figure) = group
                .measures
                .iter()
                .find(|figure| figure.measure == Measure::Moisture)
            else {
                continue;
            };
            #[expect(clippy::cast_precision_loss, reason = "groups are few")]
            let x = frame.x(night) + part * position as f64;
            let y = |share: f64| {
                TOP + HEIGHT - HEIGHT * ((share - least) / (most - least)).clamp(0.0, 1.0)
            };
            let (min, max) = (
                figure.window.min.unwrap_or(least),
                figure.window.max.unwrap_or(most),
            );
            let window = format!(
                "{}: window {:.0}-{:.0} %",
                group.name,
                100.0 * min,
                100.0 * max
            );
            frame.drawing.band(
                (x + 0.05 * part, y(max)),
                (0.9 * part, y(min) - y(max)),
                &window,
            );
            if let Some(value) = figure.value {
                let words = format!(
                    "{}, {}: {} %",
                    day_words(told.day),
                    group.name,
                    one_decimal(100.0 * value)
                );
                let at = (x + 0.5 * part, y(value));
                moisture_dot(&mut frame.drawing, at, figure.standing.is_inside(), &words);
            }
        }
    }
    let words = format!(
        "In each night, from the left: {}. Band: window. Dot: moisture; filled and marked when out.",
        names.join(", ")
    );
    frame
        .drawing
        .text((LEFT, TOP + HEIGHT + 48.0), "start", &words);
    frame
        .drawing
        .finish("Moisture of each group against its window", &words)
}

fn stock(sheet: &AheadSheet) -> String {
    let plan = sheet.plan();
    let most = plan
        .nights
        .iter()
        .map(|night| night.stock_kg.max(night.spoils_kg))
        .fold(0.0, f64::max);
    let most = round_weight(sheet, most);
    let weight = |kg: f64| {
        sheet
            .units
            .weight(Grams::from_kg(kg).unwrap_or(Grams::ZERO))
    };
    let mut frame = Frame::new(sheet, 0.0, most, 22.0, &weight);
    for (night, told) in plan.nights.iter().enumerate() {
        let bars = [
            (0.10, told.stock_kg, COLOURS[9], "still good after feeding"),
            (
                0.55,
                told.spoils_kg,
                COLOURS[1],
                "spoiled by the next night",
            ),
        ];
        for (from, kg, fill, words) in bars {
            let at = (
                frame.x(night) + from * frame.step,
                TOP + HEIGHT - frame.height(kg),
            );
            let words = format!("{}: {} {words}", day_words(told.day), weight(kg));
            let size = (0.38 * frame.step, frame.height(kg));
            frame.drawing.bar(at, size, fill, &words);
        }
    }
    let words = "Pale: stock that still keeps after the night's feeding. Dark: what is spoiled by the next night.";
    frame
        .drawing
        .text((LEFT, TOP + HEIGHT + 48.0), "start", words);
    frame
        .drawing
        .finish("Stock and what spoils, night by night", words)
}
