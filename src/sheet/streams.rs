use crate::stream::{Evidence, Flag, Stream};
use crate::words::{Said, say};

use super::document::{Align, Document, Grid, Tone};

/// A stream with its verdict for this farm.
#[derive(Debug, Clone, PartialEq)]
pub struct StreamLine {
    pub stream: Stream,
    /// Its verdict.
    pub flag: Flag,
}

/// The stream table as a page.
#[must_use]
pub fn streams_document(lines: &[StreamLine], farm: &Said) -> Document {
    let mut document = Document::titled(say!("streams-title"));
    document.line(farm);
    let mut grid = Grid::new(&[
        (say!("stock-stream"), Align::Left),
        (say!("streams-class"), Align::Left),
        (say!("stock-moisture"), Align::Right),
        (say!("streams-protein"), Align::Right),
        (say!("streams-fat"), Align::Right),
        (say!("streams-fibre"), Align::Right),
        (say!("streams-ash"), Align::Right),
        (say!("streams-keeps"), Align::Right),
        (say!("stock-verdict"), Align::Left),
        (say!("streams-composition"), Align::Left),
    ]);
    for line in lines {
        let stream = &line.stream;
        let pct = |pct: Option<f64>| {
            Said::from(pct.map_or_else(|| "-".to_owned(), |pct| format!("{pct:.1}")))
        };
        let analyte = |name| pct(stream.analyte(name).map(|share| share.pct()));
        let composition = Evidence::said(stream.labels.composition);
        grid.row([
            Said::from(&stream.id),
            stream.class.into(),
            pct(stream.moisture.map(|moisture| moisture.value.pct())),
            analyte("protein"),
            analyte("fat"),
            analyte("fibre"),
            analyte("ash"),
            (stream.keeps_days).map_or_else(|| Said::from("-"), Said::from),
            line.flag.verdict.said(),
            match &stream.labels.stands_in {
                Some(_) => say!("streams-stands-in", composition),
                None => composition,
            },
        ]);
    }
    document.table(grid);
    document.toned(Tone::Small, say!("streams-basis"));
    document.toned(Tone::Small, keeping_and_spread(lines));
    document
}

/// The list has a column for the label of the composition only.
fn keeping_and_spread(lines: &[StreamLine]) -> Said {
    let labels = || lines.iter().map(|line| &line.stream.labels);
    let keeping = |wanted| labels().filter(|own| own.keeping == Some(wanted)).count();
    let spread = |wanted| labels().filter(|own| own.spread == Some(wanted)).count();
    say!(
        "streams-labels",
        all = lines.len(),
        keeping = keeping(Evidence::OurDefault),
        derived = spread(Evidence::Derived),
        ours = spread(Evidence::OurDefault)
    )
}
