//! Bars and lines as SVG for pages and as plain bars for a terminal.

mod names;
mod rows;
#[cfg(test)]
mod tests;

use std::fmt::Write;

use crate::words::Said;

#[derive(Debug, Clone, PartialEq)]
pub struct Chart<T = Said> {
    pub title: T,
    /// One sentence for those who can't see it.
    pub desc: T,
    pub form: Form,
    pub labels: Vec<T>,
    pub series: Vec<(T, Vec<f64>)>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// Bars, series stacked on each other.
    Bars,
    Lines,
    /// A row a label, with its words in full; one series, which may be below nothing.
    Rows,
}

impl Chart {
    pub fn new<L: Into<Said>, N: Into<Said>>(
        form: Form,
        title: impl Into<Said>,
        desc: impl Into<Said>,
        labels: Vec<L>,
        series: Vec<(N, Vec<f64>)>,
    ) -> Self {
        let named = |(name, values): (N, _)| (name.into(), values);
        Self {
            title: title.into(),
            desc: desc.into(),
            form,
            labels: labels.into_iter().map(Into::into).collect(),
            series: series.into_iter().map(named).collect(),
        }
    }

    pub(super) fn map<T>(&self, say: &impl Fn(&Said) -> T) -> Chart<T> {
        let series = self.series.iter();
        Chart {
            title: say(&self.title),
            desc: say(&self.desc),
            form: self.form,
            labels: self.labels.iter().map(say).collect(),
            series: series
                .map(|(name, values)| (say(name), values.clone()))
                .collect(),
        }
    }
}

impl Chart<String> {
    fn known(&self, series: usize, label: usize) -> Option<f64> {
        let value = *self.series.get(series)?.1.get(label)?;
        Some(value).filter(|value| value.is_finite())
    }

    fn value(&self, series: usize, label: usize) -> f64 {
        self.known(series, label).unwrap_or(0.0)
    }

    fn total(&self, label: usize) -> f64 {
        let series = 0..self.series.len();
        series.map(|one| self.value(one, label).max(0.0)).sum()
    }

    /// The longest label, about.
    fn widest(&self) -> f64 {
        let letters = self.labels.iter().map(|label| label.chars().count());
        count(letters.max().unwrap_or(0)) * LETTER
    }

    /// A drawing begun: what it shows, in words too.
    fn begun(&self, width: f64, height: f64) -> String {
        let (title, desc) = (escaped(&self.title), escaped(&self.desc));
        format!(
            "<svg viewBox=\"0 0 {width} {height}\" role=\"img\" font-family=\"sans-serif\" font-size=\"8\"><title>{title}</title><desc>{desc}</desc><text x=\"0.0\" y=\"9.0\" text-anchor=\"start\" font-weight=\"bold\">{title}</text>"
        )
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

/// Widths to draw to: paper and a desk, and a phone held upright, where the same
/// letters fill more of the drawing.
pub(super) const WIDE: f64 = 360.0;
const NARROW: f64 = 190.0;
const HEIGHT: f64 = 150.0;
const LEFT: f64 = 36.0;
const BOTTOM: f64 = 18.0;
const TOP: f64 = 18.0;
const TEXT_ROW: f64 = 11.0;
/// Width of a letter of a label, about.
const LETTER: f64 = 4.4;

/// For a page that is as wide as whoever looks at it holds it: a class, and the drawing.
pub fn drawings(chart: &Chart<String>) -> [(&'static str, String); 2] {
    [("drawn-wide", WIDE), ("drawn-narrow", NARROW)]
        .map(|(class, width)| (class, svg(chart, width)))
}

pub(super) fn svg(chart: &Chart<String>, width: f64) -> String {
    match chart.form {
        Form::Bars | Form::Lines => upright(chart, width),
        Form::Rows => rows::svg(chart, width),
    }
}

fn upright(chart: &Chart<String>, width: f64) -> String {
    let names = names::of(chart, width);
    let right = width - names::width(&names);
    let slot = (right - LEFT) / count(chart.labels.len().max(1));
    // Labels too long for their slot stand in two rows, one up, one down.
    let wide = chart.widest();
    let crowded = wide > slot;
    // Where two rows are still too few, some labels are left out.
    let every = (1..).find(|every| wide <= 2.0 * slot * count(*every));
    let height = HEIGHT + if crowded { TEXT_ROW } else { 0.0 };
    let top = nice_above(chart.highest());
    let y = |value: f64| HEIGHT - BOTTOM - (HEIGHT - BOTTOM - TOP) * value / top;
    let mut out = chart.begun(width, height);
    for step in 0..=4 {
        let value = top * f64::from(step) / 4.0;
        let at = y(value);
        rule(&mut out, (LEFT, at), (right, at));
        text(&mut out, (LEFT - 4.0, at + 2.5), "end", &short(value));
    }
    let shown = chart.labels.iter().enumerate();
    for (row, (at, label)) in shown.step_by(every.unwrap_or(1)).enumerate() {
        // The last label would stick out of the picture.
        let half = count(label.chars().count()) * LETTER / 2.0;
        let middle = (LEFT + slot * (count(at) + 0.5)).min(width - half);
        let down = count(row % 2 * usize::from(crowded)) * TEXT_ROW;
        let base = HEIGHT - BOTTOM + 10.0 + down;
        text(&mut out, (middle, base), "middle", label);
    }
    if chart.form == Form::Bars {
        bars(&mut out, chart, slot, y);
    } else {
        lines(&mut out, chart, slot, y);
    }
    names::draw(&mut out, chart, names, right, y);
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
            text(out, (middle, y(base) - 2.0), "middle", &short(base));
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

fn line(out: &mut String, a: (f64, f64), b: (f64, f64), colour: &str, dash: &str, width: f64) {
    let _ = write!(
        out,
        "<line x1=\"{:.1}\" y1=\"{:.1}\" x2=\"{:.1}\" y2=\"{:.1}\" stroke=\"{colour}\" stroke-width=\"{width}\" stroke-dasharray=\"{dash}\"/>",
        a.0, a.1, b.0, b.1
    );
}

fn rule(out: &mut String, a: (f64, f64), b: (f64, f64)) {
    line(out, a, b, "#ccc", "none", 0.5);
}

fn text(out: &mut String, (x, y): (f64, f64), anchor: &str, words: &str) {
    let words = escaped(words);
    let _ = write!(
        out,
        "<text x=\"{x:.1}\" y=\"{y:.1}\" text-anchor=\"{anchor}\">{words}</text>"
    );
}

fn escaped(words: &str) -> String {
    let entities = [
        ("&", "&amp;"),
        ("<", "&lt;"),
        (">", "&gt;"),
        ("\"", "&quot;"),
        ("'", "&#39;"),
    ];
    (entities.into_iter()).fold(words.to_owned(), |text, (mark, word)| {
        text.replace(mark, word)
    })
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
            Form::Lines => rows.extend(
                (chart.series.iter().enumerate()).map(|(series, (name, _))| {
                    (format!("{label} {name}"), chart.value(series, at))
                }),
            ),
        }
    }
    let told = match chart.form {
        Form::Bars | Form::Lines => short,
        Form::Rows => rows::signed,
    };
    let width = rows.iter().map(|(label, _)| label.chars().count()).max();
    let width = width.unwrap_or(0);
    let bar = |(label, value): (String, f64)| {
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
        format!("  {label:width$}  {} {}", "#".repeat(length), told(value))
    };
    let title = std::iter::once(chart.title.clone());
    title.chain(rows.into_iter().map(bar)).collect()
}
