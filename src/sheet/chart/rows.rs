use std::fmt::Write;

use super::{COLOURS, Chart, TOP, count, escaped, line, nice_above, rule, short, text};

const ROW: f64 = 14.0;
const BAR: f64 = 9.0;
const VALUE: f64 = 26.0;
const FOOT: f64 = 14.0;

/// One row a label, what is below nothing to the left and the rest to the right.
pub(super) fn svg(chart: &Chart<String>, width: f64) -> String {
    let values: Vec<f64> = (0..chart.labels.len())
        .map(|at| chart.value(0, at))
        .collect();
    let top = nice_above(chart.highest());
    let below = values.iter().any(|value| *value < 0.0);
    let least = if below { -top } else { 0.0 };
    let only_below = below && values.iter().all(|value| *value <= 0.0);
    let most = if only_below { 0.0 } else { top };
    let names = chart.widest().min(width / 2.0);
    let (left, right) = (names + 4.0 + VALUE, width - VALUE);
    let x = |value: f64| left + (right - left) * (value - least) / (most - least);
    let foot = TOP + ROW * count(chart.labels.len());
    let mut out = chart.begun(width, foot + FOOT);
    for step in 0..=4 {
        let value = least + (most - least) * f64::from(step) / 4.0;
        let at = x(value);
        rule(&mut out, (at, TOP), (at, foot));
        text(&mut out, (at, foot + 10.0), "middle", &short(value));
    }
    for (at, (label, value)) in chart.labels.iter().zip(values).enumerate() {
        let y = TOP + ROW * count(at);
        let base = y + ROW / 2.0 + 2.8;
        text(&mut out, (names, base), "end", label);
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
        let beside = [(to + 2.0, "start"), (from - 2.0, "end")];
        let (beside, anchor) = beside[usize::from(value < 0.0)];
        text(&mut out, (beside, base), anchor, &signed(value));
    }
    line(&mut out, (x(0.0), TOP), (x(0.0), foot), "#000", "none", 0.8);
    out.push_str("</svg>");
    out
}

pub(super) fn signed(value: f64) -> String {
    let sign = if value > 0.0 { "+" } else { "" };
    format!("{sign}{}", short(value))
}
