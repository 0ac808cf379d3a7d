use crate::stream::{Flag, Stream};

use super::document::{Align, Document, Grid, Tone};

/// A stream with its verdict for this farm and how well its figures are supported.
#[derive(Debug, Clone, PartialEq)]
pub struct StreamLine {
    /// The stream.
    pub stream: Stream,
    /// Its verdict.
    pub flag: Flag,
    /// How well its figures are supported, in words.
    pub evidence: String,
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
        ("figures", Align::Left),
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
            line.evidence.clone(),
        ]);
    }
    document.table(grid);
    document.toned(Tone::Small, "DM: of dry matter; moisture is wet basis; `-` is unknown, not zero. Fibre is what each source measured (total dietary fibre, NDF or crude fibre): see `trayful streams STREAM`.");
    document
}
