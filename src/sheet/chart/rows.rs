use std::fmt::Write;

use super::{COLOURS, Chart, LETTER, TOP, WIDTH, count, escaped, line, nice_above, short, text};

const ROW: f64 = 14.0;
const BAR: f64 = 9.0;
/// Room beside the bars for their values.
const VALUE: f64 = 26.0;
/// Room below them for the axis.
const FOOT: f64 = 14.0;

/// One row a label, what is below nothing to the left and the rest to the right.
pub(super) fn svg(chart: &Chart<String>) -> String {
    let values: Vec<f64> = (0..chart.labels.len())
        .map(|at| chart.value(0, at))
        .collect();
    let top = nice_above(chart.highest());
    let least = if values.iter().any(|value| *value < 0.0) {
        -top
    } else {
        0.0
    };
    let most = if least < 0.0 && values.iter().all(|value| *value <= 0.0) {
        0.0
    } else {
        top
    };
    let longest = chart.labels.iter().map(|label| label.chars().count()).max();
    let names = (count(longest.unwrap_or(0)) * LETTER).min(WIDTH / 2.0);
    let (left, right) = (names + 4.0 + VALUE, WIDTH - VALUE);
    let x = |value: f64| left + (right - left) * (value - least) / (most - least);
    let foot = TOP + ROW * count(chart.labels.len());
    let mut out = format!(
        "<svg viewBox=\"0 0 {WIDTH} {}\" role=\"img\" font-family=\"sans-serif\" font-size=\"8\"><title>{}</title><desc>{}</desc>",
        foot + FOOT,
        escaped(&chart.title),
        escaped(&chart.desc)
    );
    text(&mut out, (0.0, 9.0), "start", &chart.title, true);
    for step in 0..=4 {
        let value = least + (most - least) * f64::from(step) / 4.0;
        let at = x(value);
        line(&mut out, (at, TOP), (at, foot), "#ccc", "none", 0.5);
        text(&mut out, (at, foot + 10.0), "middle", &short(value), false);
    }
    for (at, (label, value)) in chart.labels.iter().zip(values).enumerate() {
        let y = TOP + ROW * count(at);
        let base = y + ROW / 2.0 + 2.8;
        text(&mut out, (names, base), "end", label, false);
        let (from, to) = (x(value.min(0.0)), x(value.max(0.0)));
        let colour = COLOURS[usize::from(value < 0.0)];
        let _ = write!(
            out,
            "<rect x=\"{from:.1}\" y=\"{:.1}\" width=\"{:.1}\" height=\"{BAR}\" fill=\"{colour}\"><title>{}: {}</title></rect>",
            y + (ROW - BAR) / 2.0,
            to - from,
            escaped(label),
            signed(value)
        );
        let (beside, anchor) = if value < 0.0 {
            (from - 2.0, "end")
        } else {
            (to + 2.0, "start")
        };
        text(&mut out, (beside, base), anchor, &signed(value), false);
    }
    line(&mut out, (x(0.0), TOP), (x(0.0), foot), "#000", "none", 0.8);
    out.push_str("</svg>");
    out
}

/// A change with its sign.
pub(super) fn signed(value: f64) -> String {
    let sign = if value > 0.0 { "+" } else { "" };
    format!("{sign}{}", short(value))
}
