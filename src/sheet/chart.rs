//! Bars and lines as SVG for pages and as plain bars for a terminal.

mod rows;
#[cfg(test)]
mod tests;

use std::fmt::Write;

use crate::words::{Language, Said};

/// A small chart.
#[derive(Debug, Clone, PartialEq)]
pub struct Chart<T = Said> {
    /// What it shows, with the unit.
    pub title: T,
    /// One sentence for those who can't see it.
    pub desc: T,
    /// How it is drawn.
    pub form: Form,
    /// The places along the axis.
    pub labels: Vec<T>,
    /// Named values, one a label.
    pub series: Vec<(T, Vec<f64>)>,
}

/// How a chart is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// Bars, series stacked on each other.
    Bars,
    Lines,
    /// A row a label, with its words in full; one series, which may be below nothing.
    Rows,
}

impl Chart {
    /// Stacked bars.
    pub fn bars<L: Into<Said>, N: Into<Said>>(
        title: impl Into<Said>,
        desc: impl Into<Said>,
        labels: Vec<L>,
        series: Vec<(N, Vec<f64>)>,
    ) -> Self {
        let series = series
            .into_iter()
            .map(|(name, values)| (name.into(), values));
        Self {
            title: title.into(),
            desc: desc.into(),
            form: Form::Bars,
            labels: labels.into_iter().map(Into::into).collect(),
            series: series.collect(),
        }
    }

    pub fn lines<L: Into<Said>, N: Into<Said>>(
        title: impl Into<Said>,
        desc: impl Into<Said>,
        labels: Vec<L>,
        series: Vec<(N, Vec<f64>)>,
    ) -> Self {
        Self {
            form: Form::Lines,
            ..Self::bars(title, desc, labels, series)
        }
    }

    /// Rows of a change, such as of profit.
    pub fn rows<L: Into<Said>>(
        title: impl Into<Said>,
        desc: impl Into<Said>,
        labels: Vec<L>,
        name: impl Into<Said>,
        values: Vec<f64>,
    ) -> Self {
        let series = vec![(name.into(), values)];
        Self {
            form: Form::Rows,
            ..Self::bars(title, desc, labels, series)
        }
    }

    pub fn in_language(&self, language: Language) -> Chart<String> {
        let series =
            (self.series.iter()).map(|(name, values)| (name.in_language(language), values.clone()));
        Chart {
            title: self.title.in_language(language),
            desc: self.desc.in_language(language),
            form: self.form,
            labels: (self.labels.iter())
                .map(|label| label.in_language(language))
                .collect(),
            series: series.collect(),
        }
    }
}

impl Chart<String> {
    fn known(&self, series: usize, label: usize) -> Option<f64> {
        let values = self.series.get(series).map(|(_, values)| values);
        values
            .and_then(|values| values.get(label))
            .copied()
            .filter(|value| value.is_finite())
    }

    fn value(&self, series: usize, label: usize) -> f64 {
        self.known(series, label).unwrap_or(0.0)
    }

    fn total(&self, label: usize) -> f64 {
        (0..self.series.len())
            .map(|series| self.value(series, label).max(0.0))
            .sum()
    }

    fn highest(&self) -> f64 {
        let labels = 0..self.labels.len();
        let each = labels.map(|label| match self.form {
            Form::Bars => self.total(label),
            Form::Lines => (0..self.series.len())
                .map(|series| self.value(series, label))
                .fold(0.0, f64::max),
            Form::Rows => self.value(0, label).abs(),
        });
        each.fold(0.0, f64::max)
    }
}

/// Fill and stroke of every chart, our own choice. A test holds how far apart
/// they are for colour-blind readers.
pub(super) const COLOURS: [&str; 10] = [
    "#05419b", "#cd465f", "#3c2346", "#a56400", "#4b91fa", "#5a0f05", "#8773a5", "#e6cd55",
    "#78ebaf", "#c8cdf0",
];
const DASHES: [&str; 3] = ["none", "5 3", "1.5 2.5"];

const WIDTH: f64 = 360.0;
const HEIGHT: f64 = 150.0;
const LEFT: f64 = 36.0;
const BOTTOM: f64 = 18.0;
const TOP: f64 = 18.0;
const LEGEND_ROW: f64 = 11.0;
/// Width of a letter of a label, about.
const LETTER: f64 = 4.4;

/// The chart as SVG with a title and a description.
pub fn svg(chart: &Chart<String>) -> String {
    match chart.form {
        Form::Bars | Form::Lines => upright(chart),
        Form::Rows => rows::svg(chart),
    }
}

fn upright(chart: &Chart<String>) -> String {
    let legend = legend(chart).len().div_ceil(3);
    let slot = (WIDTH - LEFT) / count(chart.labels.len().max(1));
    let longest = chart.labels.iter().map(|label| label.chars().count()).max();
    // Labels too long for their slot stand in two rows, one up, one down.
    let wide = count(longest.unwrap_or(0)) * LETTER;
    let crowded = wide > slot;
    // Where two rows are still too few, some labels are left out.
    let every = (1..).find(|every| wide <= 2.0 * slot * count(*every));
    let foot = HEIGHT + if crowded { LEGEND_ROW } else { 0.0 };
    let height = foot + count(legend) * LEGEND_ROW;
    let top = nice_above(chart.highest());
    let y = |value: f64| HEIGHT - BOTTOM - (HEIGHT - BOTTOM - TOP) * value / top;
    let mut out = format!(
        "<svg viewBox=\"0 0 {WIDTH} {height}\" role=\"img\" font-family=\"sans-serif\" font-size=\"8\"><title>{}</title><desc>{}</desc>",
        escaped(&chart.title),
        escaped(&chart.desc)
    );
    text(&mut out, (0.0, 9.0), "start", &chart.title, true);
    for step in 0..=4 {
        let value = top * f64::from(step) / 4.0;
        line(
            &mut out,
            (LEFT, y(value)),
            (WIDTH, y(value)),
            "#ccc",
            "none",
            0.5,
        );
        text(
            &mut out,
            (LEFT - 4.0, y(value) + 2.5),
            "end",
            &short(value),
            false,
        );
    }
    let shown = chart.labels.iter().enumerate();
    for (row, (at, label)) in shown.step_by(every.unwrap_or(1)).enumerate() {
        // The last label would stick out of the picture.
        let half = count(label.chars().count()) * LETTER / 2.0;
        let middle = (LEFT + slot * (count(at) + 0.5)).min(WIDTH - half);
        let down = if crowded && row % 2 == 1 {
            LEGEND_ROW
        } else {
            0.0
        };
        text(
            &mut out,
            (middle, HEIGHT - BOTTOM + 10.0 + down),
            "middle",
            label,
            false,
        );
    }
    if chart.form == Form::Bars {
        bars(&mut out, chart, slot, y);
    } else {
        lines(&mut out, chart, slot, y);
    }
    if legend > 0 {
        legend_rows(&mut out, chart, foot);
    }
    out.push_str("</svg>");
    out
}

fn bars(out: &mut String, chart: &Chart<String>, slot: f64, y: impl Fn(f64) -> f64) {
    let has_room = count(short(chart.highest()).len()) * LETTER <= slot;
    for (at, label) in chart.labels.iter().enumerate() {
        let mut base = 0.0;
        for (series, (name, _)) in chart.series.iter().enumerate() {
            let value = chart.value(series, at).max(0.0);
            if value <= 0.0 {
                continue;
            }
            let _ = write!(
                out,
                "<rect x=\"{:.1}\" y=\"{:.1}\" width=\"{:.1}\" height=\"{:.1}\" fill=\"{}\" stroke=\"#fff\" stroke-width=\"0.6\"><title>{}, {}: {}</title></rect>",
                LEFT + slot * (count(at) + 0.15),
                y(base + value),
                slot * 0.7,
                y(base) - y(base + value),
                COLOURS[series % COLOURS.len()],
                escaped(label),
                escaped(name),
                short(value)
            );
            base += value;
        }
        if base > 0.0 && has_room {
            let middle = LEFT + slot * (count(at) + 0.5);
            text(out, (middle, y(base) - 2.0), "middle", &short(base), false);
        }
    }
}

fn lines(out: &mut String, chart: &Chart<String>, slot: f64, y: impl Fn(f64) -> f64) {
    // The first lies on top.
    for (series, (name, _)) in chart.series.iter().enumerate().rev() {
        let colour = COLOURS[series % COLOURS.len()];
        let dash = DASHES[series % DASHES.len()];
        let mut before = None;
        for (at, label) in chart.labels.iter().enumerate() {
            // What is not known is a gap in the line.
            let Some(value) = chart.known(series, at) else {
                before = None;
                continue;
            };
            let (x, y) = (LEFT + slot * (count(at) + 0.5), y(value.max(0.0)));
            if let Some(before) = before.replace((x, y)) {
                line(out, before, (x, y), colour, dash, 1.6);
            }
            let _ = write!(
                out,
                "<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"2\" fill=\"{colour}\"><title>{}, {}: {}</title></circle>",
                escaped(label),
                escaped(name),
                short(value)
            );
        }
    }
}

/// Series that have anything to show, where there are several; a series keeps
/// its colour whether others have anything or not.
fn legend(chart: &Chart<String>) -> Vec<usize> {
    let seen = chart.highest() / 1000.0;
    let shows = |series: &usize| (0..chart.labels.len()).any(|at| chart.value(*series, at) > seen);
    let several = (0..chart.series.len()).filter(|_| chart.series.len() > 1);
    several.filter(shows).collect()
}

fn legend_rows(out: &mut String, chart: &Chart<String>, foot: f64) {
    for (place, at) in legend(chart).into_iter().enumerate() {
        let name = &chart.series[at].0;
        let x = LEFT + count(place % 3) * (WIDTH - LEFT) / 3.0;
        let y = foot + count(place / 3) * LEGEND_ROW + 4.0;
        let colour = COLOURS[at % COLOURS.len()];
        if chart.form == Form::Bars {
            let _ = write!(
                out,
                "<rect x=\"{x:.1}\" y=\"{:.1}\" width=\"8\" height=\"8\" fill=\"{colour}\"/>",
                y - 6.0
            );
        } else {
            let dash = DASHES[at % DASHES.len()];
            line(out, (x, y - 2.5), (x + 12.0, y - 2.5), colour, dash, 1.6);
        }
        text(out, (x + 15.0, y), "start", name, false);
    }
}

fn line(out: &mut String, a: (f64, f64), b: (f64, f64), colour: &str, dash: &str, width: f64) {
    let _ = write!(
        out,
        "<line x1=\"{:.1}\" y1=\"{:.1}\" x2=\"{:.1}\" y2=\"{:.1}\" stroke=\"{colour}\" stroke-width=\"{width}\" stroke-dasharray=\"{dash}\"/>",
        a.0, a.1, b.0, b.1
    );
}

fn text(out: &mut String, at: (f64, f64), anchor: &str, words: &str, bold: bool) {
    let weight = if bold { " font-weight=\"bold\"" } else { "" };
    let _ = write!(
        out,
        "<text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"{anchor}\"{weight}>{}</text>",
        at.0,
        at.1,
        escaped(words)
    );
}

fn escaped(words: &str) -> String {
    let mut out = String::with_capacity(words.len());
    for c in words.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c => out.push(c),
        }
    }
    out
}

fn count(number: usize) -> f64 {
    number as f64
}

/// The next of 1, 2, 4, 5, 8 or 10 times a power of ten, for an axis of four steps.
fn nice_above(highest: f64) -> f64 {
    if !highest.is_finite() || highest <= 0.0 {
        return 1.0;
    }
    let power = 10.0_f64.powf(highest.log10().floor());
    [1.0, 2.0, 4.0, 5.0, 8.0, 10.0]
        .into_iter()
        .map(|factor| factor * power)
        .find(|nice| *nice >= highest * 1.04)
        .unwrap_or(20.0 * power)
}

fn short(value: f64) -> String {
    if value.abs() >= 20.0 || value.abs() < 0.05 {
        format!("{value:.0}")
    } else {
        format!("{value:.1}")
    }
}

/// The chart as lines of text, a bar of `#` each.
pub(super) fn plain_bars(chart: &Chart<String>) -> Vec<String> {
    const WIDEST: f64 = 40.0;
    let highest = chart.highest();
    let mut rows: Vec<(String, f64)> = Vec::new();
    for (at, label) in chart.labels.iter().enumerate() {
        match chart.form {
            Form::Bars => rows.push((label.clone(), chart.total(at))),
            Form::Rows => rows.push((label.clone(), chart.value(0, at))),
            Form::Lines => {
                for (series, (name, _)) in chart.series.iter().enumerate() {
                    rows.push((format!("{label} {name}"), chart.value(series, at)));
                }
            }
        }
    }
    let told = match chart.form {
        Form::Bars | Form::Lines => short,
        Form::Rows => rows::signed,
    };
    let widest = rows.iter().map(|(label, _)| label.chars().count()).max();
    let mut lines = vec![chart.title.clone()];
    for (label, value) in rows {
        let share = if highest > 0.0 {
            value.abs() / highest
        } else {
            0.0
        };
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "between 0 and 40"
        )]
        let length = (share.clamp(0.0, 1.0) * WIDEST).round() as usize;
        let width = widest.unwrap_or(0);
        lines.push(format!(
            "  {label:width$}  {} {}",
            "#".repeat(length),
            told(value)
        ));
    }
    lines
}
