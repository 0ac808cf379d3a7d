use crate::stream::{Evidence, Flag, Stream};

use super::document::{Align, Document, Grid, Tone};

/// A stream with its verdict for this farm.
#[derive(Debug, Clone, PartialEq)]
pub struct StreamLine {
    pub stream: Stream,
    /// Its verdict.
    pub flag: Flag,
}

/// How well a figure is supported, in words; without a label it is the farm's own.
#[must_use]
pub fn label(evidence: Option<Evidence>) -> &'static str {
    evidence.map_or("farm's own", Evidence::label)
}

/// The stream table as a page.
#[must_use]
pub fn streams_document(lines: &[StreamLine], farm: &str) -> Document {
    let mut document = Document::titled("Streams");
    document.line(farm.to_owned());
    let mut grid = Grid::new(&[
        ("stream", Align::Left),
        ("class", Align::Left),
        ("moisture %", Align::Right),
        ("protein % DM", Align::Right),
        ("fat % DM", Align::Right),
        ("fibre % DM", Align::Right),
        ("ash % DM", Align::Right),
        ("keeps, days", Align::Right),
        ("verdict", Align::Left),
        ("composition", Align::Left),
    ]);
    for line in lines {
        let stream = &line.stream;
        let analyte = |name| {
            stream
                .analyte(name)
                .map_or_else(|| "-".to_owned(), |share| format!("{:.1}", share.pct()))
        };
        grid.row([
            stream.id.to_string(),
            stream.class.to_string(),
            stream.moisture.map_or_else(
                || "-".to_owned(),
                |moisture| format!("{:.1}", moisture.value.pct()),
            ),
            analyte("protein"),
            analyte("fat"),
            analyte("fibre"),
            analyte("ash"),
            stream
                .keeps_days
                .map_or_else(|| "-".to_owned(), |days| days.to_string()),
            line.flag.verdict.to_string(),
            format!(
                "{}{}",
                label(stream.labels.composition),
                stream
                    .labels
                    .stands_in
                    .as_ref()
                    .map_or("", |_| ", stands in"),
            ),
        ]);
    }
    document.table(grid);
    document.toned(Tone::Small, "DM: of dry matter; moisture is wet basis; `-` is unknown, not zero. Fibre is what each source measured (total dietary fibre, NDF or crude fibre): see `trayful streams STREAM`. The windows they are held to, and what these are drawn from: `trayful stages`.");
    document.toned(Tone::Small, keeping_and_spread(lines));
    document
}

/// The list has a column for the label of the composition only.
fn keeping_and_spread(lines: &[StreamLine]) -> String {
    let all = lines.len();
    let labels = || lines.iter().map(|line| &line.stream.labels);
    let keeping = |wanted| labels().filter(|own| own.keeping == Some(wanted)).count();
    let spread = |wanted| labels().filter(|own| own.spread == Some(wanted)).count();
    format!(
        "The label is of the composition, the weakest of its figures. Of {all} keeping times {} are our default; of the spreads {} are derived and {} our default. \"Stands in\": the figures are of another part or kind. `trayful streams STREAM` labels each figure.",
        keeping(Evidence::OurDefault),
        spread(Evidence::Derived),
        spread(Evidence::OurDefault),
    )
}
