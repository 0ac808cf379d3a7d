//! Small drawings as SVG text: bars, lines, bands. Every text is escaped; every
//! drawing has a title and says in words what it shows.

use std::fmt::Write as _;

/// A drawing being made, in its own units from the upper left.
pub(super) struct Drawing {
    width: f64,
    height: f64,
    body: String,
}

/// Text that is safe to stand in HTML and SVG, in attributes too.
#[must_use]
pub(super) fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            c => safe.push(c),
        }
    }
    safe
}

impl Drawing {
    pub(super) fn new(width: f64, height: f64) -> Self {
        Self {
            width,
            height,
            body: String::new(),
        }
    }

    fn put(&mut self, arguments: std::fmt::Arguments<'_>) {
        // Writing into a string can't fail.
        let _written = self.body.write_fmt(arguments);
        self.body.push('\n');
    }

    /// A filled bar with a word that shows when pointed at.
    pub(super) fn bar(&mut self, at: (f64, f64), size: (f64, f64), fill: &str, told: &str) {
        let ((x, y), (w, h), told) = (at, size, escaped(told));
        self.put(format_args!("<rect x=\"{x:.1}\" y=\"{y:.1}\" width=\"{w:.1}\" height=\"{:.1}\" fill=\"{fill}\" stroke=\"#222\" stroke-width=\"0.5\"><title>{told}</title></rect>", h.max(0.0)));
    }

    /// A pale band.
    pub(super) fn band(&mut self, at: (f64, f64), size: (f64, f64), told: &str) {
        let ((x, y), (w, h), told) = (at, size, escaped(told));
        self.put(format_args!("<rect x=\"{x:.1}\" y=\"{y:.1}\" width=\"{w:.1}\" height=\"{:.1}\" fill=\"#dfeadf\" stroke=\"none\"><title>{told}</title></rect>", h.max(0.0)));
    }

    /// A line through points.
    pub(super) fn line(&mut self, points: &[(f64, f64)], stroke: &str, width: f64) {
        let points: Vec<String> = points
            .iter()
            .map(|(x, y)| format!("{x:.1},{y:.1}"))
            .collect();
        self.put(format_args!(
            "<polyline points=\"{}\" fill=\"none\" stroke=\"{stroke}\" stroke-width=\"{width}\"/>",
            points.join(" ")
        ));
    }

    /// A dot with a word.
    pub(super) fn dot(&mut self, (x, y): (f64, f64), fill: &str, told: &str) {
        let told = escaped(told);
        self.put(format_args!("<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"3\" fill=\"{fill}\" stroke=\"#222\"><title>{told}</title></circle>"));
    }

    /// Words; `anchor` is `start`, `middle` or `end`.
    pub(super) fn text(&mut self, (x, y): (f64, f64), anchor: &str, words: &str) {
        let words = escaped(words);
        self.put(format_args!(
            "<text x=\"{x:.1}\" y=\"{y:.1}\" text-anchor=\"{anchor}\">{words}</text>"
        ));
    }

    /// The drawing with its title and what it says in words.
    pub(super) fn finish(self, title: &str, told: &str) -> String {
        let (title, told) = (escaped(title), escaped(told));
        format!(
            "<svg viewBox=\"0 0 {} {}\" role=\"img\" aria-label=\"{title}\" xmlns=\"http://www.w3.org/2000/svg\" font-family=\"sans-serif\" font-size=\"11\">\n<title>{title}</title><desc>{told}</desc>\n{}</svg>\n",
            self.width, self.height, self.body
        )
    }
}

/// The least of 1, 2, 4, 6, 8 times a power of ten that is not below a number.
#[must_use]
pub(super) fn round_up(number: f64) -> f64 {
    let number = number.max(1e-3);
    let ten = 10_f64.powf(number.log10().floor());
    [1.0, 2.0, 4.0, 6.0, 8.0, 10.0]
        .into_iter()
        .map(|step| step * ten)
        .find(|step| *step >= number)
        .unwrap_or(10.0 * ten)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_never_break_out() {
        let mut drawing = Drawing::new(10.0, 10.0);
        drawing.text((1.0, 1.0), "start", "<script>alert('x') & \"y\"</script>");
        drawing.bar((0.0, 0.0), (1.0, -1.0), "#fff", "</title><b>");
        let svg = drawing.finish("a<b", "c>d");
        assert!(!svg.contains("<script") && !svg.contains("<b>"), "{svg}");
        assert!(svg.contains("height=\"0.0\"") && svg.contains("a&lt;b"));
    }

    #[test]
    fn scales_end_on_round_numbers() {
        assert!((round_up(37.0) - 40.0).abs() < 1e-9);
        assert!((round_up(6.0) - 6.0).abs() < 1e-9);
        assert!((round_up(0.0) - 0.001).abs() < 1e-9);
    }
}
