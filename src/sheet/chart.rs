//! Bars and lines as SVG for pages and as plain bars for a terminal.

mod rows;

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
    #[must_use]
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

    #[must_use]
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
    #[must_use]
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

    #[must_use]
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
    fn value(&self, series: usize, label: usize) -> f64 {
        let values = self.series.get(series).map(|(_, values)| values);
        values
            .and_then(|values| values.get(label))
            .copied()
            .filter(|value| value.is_finite())
            .unwrap_or(0.0)
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
#[must_use]
pub fn svg(chart: &Chart<String>) -> String {
    match chart.form {
        Form::Bars | Form::Lines => upright(chart),
        Form::Rows => rows::svg(chart),
    }
}

fn upright(chart: &Chart<String>) -> String {
    let legend = if chart.series.len() > 1 {
        chart.series.len().div_ceil(3)
    } else {
        0
    };
    let slot = (WIDTH - LEFT) / count(chart.labels.len().max(1));
    let longest = chart.labels.iter().map(|label| label.chars().count()).max();
    // Labels too long for their slot stand in two rows, one up, one down.
    let crowded = count(longest.unwrap_or(0)) * LETTER > slot;
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
    for (at, label) in chart.labels.iter().enumerate() {
        // The last label would stick out of the picture.
        let half = count(label.chars().count()) * LETTER / 2.0;
        let middle = (LEFT + slot * (count(at) + 0.5)).min(WIDTH - half);
        let down = if crowded && at % 2 == 1 {
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
        if base > 0.0 {
            let middle = LEFT + slot * (count(at) + 0.5);
            text(out, (middle, y(base) - 2.0), "middle", &short(base), false);
        }
    }
}

fn lines(out: &mut String, chart: &Chart<String>, slot: f64, y: impl Fn(f64) -> f64) {
    for (series, (name, _)) in chart.series.iter().enumerate() {
        let colour = COLOURS[series % COLOURS.len()];
        let points: Vec<(f64, f64)> = (0..chart.labels.len())
            .map(|at| {
                (
                    LEFT + slot * (count(at) + 0.5),
                    y(chart.value(series, at).max(0.0)),
                )
            })
            .collect();
        for pair in points.windows(2) {
            line(
                out,
                pair[0],
                pair[1],
                colour,
                DASHES[series % DASHES.len()],
                1.6,
            );
        }
        for (at, (x, y)) in points.iter().enumerate() {
            let label = chart.labels.get(at).map_or("", String::as_str);
            let _ = write!(
                out,
                "<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"2\" fill=\"{colour}\"><title>{}, {}: {}</title></circle>",
                escaped(label),
                escaped(name),
                short(chart.value(series, at))
            );
        }
    }
}

fn legend_rows(out: &mut String, chart: &Chart<String>, foot: f64) {
    for (at, (name, _)) in chart.series.iter().enumerate() {
        let x = LEFT + count(at % 3) * (WIDTH - LEFT) / 3.0;
        let y = foot + count(at / 3) * LEGEND_ROW + 4.0;
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

#[expect(clippy::cast_precision_loss, reason = "a handful of labels")]
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
#[must_use]
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

#[cfg(test)]
mod tests {
    use super::*;

    /// Simulated by the matrices of Machado, Oliveira and Fernandes 2009 (IEEE
    /// Transactions on Visualization and Computer Graphics 15(6), severity 1.0,
    /// applied to linear RGB); the distance is CIE 1976 in L*a*b*, where 2.3 is
    /// just noticeable. At least 20 of it for every reader is our default.
    #[test]
    fn colours_are_apart_for_every_reader() {
        const SIGHTS: [(&str, [[f64; 3]; 3]); 4] = [
            ("full", [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]),
            (
                "protan",
                [
                    [0.152_286, 1.052_583, -0.204_868],
                    [0.114_503, 0.786_281, 0.099_216],
                    [-0.003_882, -0.048_116, 1.051_998],
                ],
            ),
            (
                "deutan",
                [
                    [0.367_322, 0.860_646, -0.227_968],
                    [0.280_085, 0.672_501, 0.047_413],
                    [-0.011_820, 0.042_940, 0.968_881],
                ],
            ),
            (
                "tritan",
                [
                    [1.255_528, -0.076_749, -0.178_779],
                    [-0.078_411, 0.930_809, 0.147_602],
                    [0.004_733, 0.691_367, 0.303_900],
                ],
            ),
        ];
        for (sight, matrix) in SIGHTS {
            let seen = COLOURS.map(|colour| lab(times(&matrix, linear(colour))));
            for (at, one) in seen.iter().enumerate() {
                for (other, two) in seen.iter().enumerate().skip(at + 1) {
                    let apart = one
                        .iter()
                        .zip(two)
                        .map(|(a, b)| (a - b).powi(2))
                        .sum::<f64>();
                    let (one, two) = (COLOURS[at], COLOURS[other]);
                    assert!(
                        apart.sqrt() >= 20.0,
                        "{sight}: {one} {two} {:.1}",
                        apart.sqrt()
                    );
                }
            }
        }
        // The scale itself: white is L* 100, and red and green of one lightness
        // come near each other for deutans only.
        assert!((lab(linear("#ffffff"))[0] - 100.0).abs() < 0.01);
    }

    fn linear(colour: &str) -> [f64; 3] {
        [1, 3, 5].map(|at| {
            let part = u8::from_str_radix(&colour[at..at + 2], 16).expect("a colour");
            let part = f64::from(part) / 255.0;
            if part <= 0.04045 {
                part / 12.92
            } else {
                ((part + 0.055) / 1.055).powf(2.4)
            }
        })
    }

    fn times(matrix: &[[f64; 3]; 3], rgb: [f64; 3]) -> [f64; 3] {
        matrix.map(|row| {
            row.iter()
                .zip(rgb)
                .map(|(a, b)| a * b)
                .sum::<f64>()
                .clamp(0.0, 1.0)
        })
    }

    /// CIE L*a*b* of linear sRGB under D65.
    fn lab(rgb: [f64; 3]) -> [f64; 3] {
        const TO_XYZ: [[f64; 3]; 3] = [
            [0.433_891, 0.376_235, 0.189_906],
            [0.212_673, 0.715_152, 0.072_175],
            [0.017_752, 0.109_442, 0.872_756],
        ];
        let root = |share: f64| {
            if share > 216.0 / 24389.0 {
                share.cbrt()
            } else {
                (24389.0 / 27.0 * share + 16.0) / 116.0
            }
        };
        let [x, y, z] = TO_XYZ.map(|row| root(row.iter().zip(rgb).map(|(a, b)| a * b).sum()));
        [116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)]
    }

    fn chart(form: Form) -> Chart<String> {
        let series = vec![("bread", vec![10.0, 20.0]), ("plum", vec![30.0, 20.0])];
        let bars = Chart::bars("kg by week", "two weeks", vec!["1-7", "8-14"], series);
        Chart { form, ..bars }.in_language(Language::En)
    }

    #[test]
    fn heights_are_in_proportion() {
        let drawn = svg(&chart(Form::Bars));
        let heights: Vec<f64> = drawn
            .split("<rect ")
            .skip(1)
            .filter(|rect| rect.contains("stroke=\"#fff\""))
            .filter_map(|rect| {
                let height = rect.split("height=\"").nth(1)?.split('"').next()?;
                height.parse().ok()
            })
            .collect();
        assert_eq!(heights.len(), 4);
        assert!((heights[1] / heights[0] - 3.0).abs() < 0.02, "{heights:?}");
        assert!((heights[2] / heights[0] - 2.0).abs() < 0.02, "{heights:?}");
        assert!(drawn.contains("<title>kg by week</title><desc>two weeks</desc>"));
    }

    #[test]
    fn plain_bars_have_no_colour_and_name_their_values() {
        insta::assert_snapshot!(plain_bars(&chart(Form::Bars)).join("\n"), @"
        kg by week
          1-7   ######################################## 40
          8-14  ######################################## 40
        ");
        insta::assert_snapshot!(plain_bars(&chart(Form::Lines)).join("\n"), @"
        kg by week
          1-7 bread   ############# 10.0
          1-7 plum    ######################################## 30
          8-14 bread  ########################### 20
          8-14 plum   ########################### 20
        ");
    }

    #[test]
    fn rows_stand_on_either_side_of_nothing() {
        let words = vec!["price of live larvae", "wages <paid>"];
        let chart = Chart::rows("profit", "d", words, "change", vec![20.0, -5.0]);
        let chart = chart.in_language(Language::En);
        let drawn = svg(&chart);
        let number = |rect: &str, name: &str| -> f64 {
            let rest = rect.split(&format!("{name}=\"")).nth(1).expect("a number");
            rest.split('"')
                .next()
                .expect("its end")
                .parse()
                .expect(name)
        };
        let rects: Vec<&str> = drawn.split("<rect ").skip(1).collect();
        let [up, down] = rects.as_slice() else {
            panic!("{drawn}");
        };
        let nothing = number(up, "x");
        assert!((number(down, "x") + number(down, "width") - nothing).abs() < 0.11);
        assert!((number(up, "width") / number(down, "width") - 4.0).abs() < 0.02);
        assert!(drawn.contains(">+20</text>") && drawn.contains(">-5.0</text>"));
        assert!(drawn.contains("wages &lt;paid&gt;"), "{drawn}");
        insta::assert_snapshot!(plain_bars(&chart).join("\n"), @"
        profit
          price of live larvae  ######################################## +20
          wages <paid>          ########## -5.0
        ");
    }

    #[test]
    fn empty_and_odd_values_draw_something_finite() {
        for values in [vec![], vec![0.0], vec![-5.0], vec![f64::NAN]] {
            let odd = Chart::bars("t", "d", vec!["a"], vec![("s", values)]);
            let odd = odd.in_language(Language::En);
            for form in [Form::Bars, Form::Lines, Form::Rows] {
                let drawn = svg(&Chart {
                    form,
                    ..odd.clone()
                });
                assert!(!drawn.contains("NaN") && !drawn.contains("inf"), "{drawn}");
            }
        }
    }
}
