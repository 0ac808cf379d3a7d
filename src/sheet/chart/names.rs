use std::fmt::Write;

use super::{
    BOTTOM, COLOURS, Chart, DASHES, Form, HEIGHT, LETTER, TEXT_ROW, TOP, count, line, text,
};

/// A series and its name, in rows of text that find room at the side.
pub(super) type Named = (usize, Vec<String>);

/// A sign in the series' colour, and a gap.
const SIGN: f64 = 13.0;

/// Series that have anything to show, where there are several; a series keeps
/// its colour whether others have anything or not.
pub(super) fn of(chart: &Chart<String>, width: f64) -> Vec<Named> {
    let seen = chart.highest() / 1000.0;
    let shows = |series: &usize| (0..chart.labels.len()).any(|at| chart.value(*series, at) > seen);
    let several = (0..chart.series.len()).filter(|_| chart.series.len() > 1);
    let letters = (width / 3.0 - SIGN) / LETTER;
    let rows = |at: usize| (at, in_rows(&chart.series[at].0, letters));
    several.filter(shows).map(rows).collect()
}

/// Words in rows of at most so many letters; a longer word has its own row.
fn in_rows(name: &str, letters: f64) -> Vec<String> {
    let mut rows: Vec<String> = Vec::new();
    for word in name.split_whitespace() {
        match rows.last_mut() {
            Some(row) if count(row.chars().count() + 1 + word.chars().count()) <= letters => {
                row.push(' ');
                row.push_str(word);
            }
            _ => rows.push(word.to_owned()),
        }
    }
    rows
}

/// What the names take up at the right.
pub(super) fn width(names: &[Named]) -> f64 {
    let rows = names.iter().flat_map(|(_, rows)| rows);
    let longest = rows.map(|row| row.chars().count()).max();
    longest.map_or(0.0, |letters| SIGN + 4.0 + count(letters) * LETTER)
}

/// Each name beside where its series ends, as near as the others let it stand.
pub(super) fn draw(
    out: &mut String,
    chart: &Chart<String>,
    names: Vec<Named>,
    right: f64,
    y: impl Fn(f64) -> f64,
) {
    let mut placed: Vec<(f64, Named)> = (names.into_iter())
        .map(|(at, rows)| (y(ends_at(chart, at)), (at, rows)))
        .collect();
    placed.sort_by(|one, other| one.0.total_cmp(&other.0));
    let tall = |rows: &[String]| count(rows.len()) * TEXT_ROW - 2.0;
    // From above down none begins before the last one ends; what then hangs out
    // below moves the others up.
    let mut free = TOP - TEXT_ROW / 2.0;
    for (middle, (_, rows)) in &mut placed {
        *middle = middle.max(free + tall(rows) / 2.0);
        free = *middle + tall(rows) / 2.0;
    }
    let mut free = HEIGHT - BOTTOM + TEXT_ROW / 2.0;
    for (middle, (_, rows)) in placed.iter_mut().rev() {
        *middle = middle.min(free - tall(rows) / 2.0);
        free = *middle - tall(rows) / 2.0;
    }
    for (middle, (at, rows)) in placed {
        let first = middle - tall(&rows) / 2.0 + 7.0;
        let (x, colour) = (right + 4.0, COLOURS[at % COLOURS.len()]);
        if chart.form == Form::Bars {
            let _ = write!(
                out,
                "<rect x=\"{x:.1}\" y=\"{:.1}\" width=\"8\" height=\"8\" fill=\"{colour}\"/>",
                first - 6.6
            );
        } else {
            let (dash, y) = (DASHES[at % DASHES.len()], first - 2.6);
            line(out, (x, y), (x + 10.0, y), colour, dash, 1.6);
        }
        for (row, words) in rows.iter().enumerate() {
            let base = first + count(row) * (TEXT_ROW - 2.0);
            text(out, (x + SIGN, base), "start", words);
        }
    }
}

/// Where a series stands at the last label that has any of it: the middle of
/// its part of the bar, or its point.
fn ends_at(chart: &Chart<String>, series: usize) -> f64 {
    let shows = |at: &usize| match chart.form {
        Form::Bars => chart.value(series, *at) > 0.0,
        Form::Lines | Form::Rows => chart.known(series, *at).is_some(),
    };
    let Some(last) = (0..chart.labels.len()).rev().find(shows) else {
        return 0.0;
    };
    let own = chart.value(series, last).max(0.0);
    if chart.form != Form::Bars {
        return own;
    }
    let below: f64 = (0..series).map(|one| chart.value(one, last).max(0.0)).sum();
    below + own / 2.0
}
