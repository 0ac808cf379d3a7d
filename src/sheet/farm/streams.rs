use crate::stream::{Evidence, Flag, Stream};
use crate::words::{Said, say};

use crate::sheet::document::{Document, grid};

#[derive(Debug, Clone, PartialEq)]
pub struct StreamLine {
    pub stream: Stream,
    pub flag: Flag,
}

pub fn streams_document(lines: &[StreamLine], farm: &Said) -> Document {
    let mut document = Document::titled(say!("streams-title"));
    document.line(farm);
    let pct = |pct: Option<f64>| pct.map_or_else(|| "-".to_owned(), |pct| format!("{pct:.1}"));
    document.table(grid!(for StreamLine { stream, flag } in lines => {
        let analyte = |name| pct(stream.analyte(name).map(|share| share.pct()));
        let composition = Evidence::said(stream.labels.composition);
        Left say!("stream") => &stream.id,
        Left say!("streams-class") => stream.class,
        Right say!("moisture-pct") => pct(stream.moisture.map(|moisture| moisture.value.pct())),
        Right say!("streams-protein") => analyte("protein"),
        Right say!("streams-fat") => analyte("fat"),
        Right say!("streams-fibre") => analyte("fibre"),
        Right say!("streams-ash") => analyte("ash"),
        Right say!("streams-keeps") => (stream.keeps_days).map_or_else(|| "-".into(), Said::from),
        Left say!("stock-verdict") => flag.verdict.said(),
        Left say!("streams-composition") => match &stream.labels.stands_in {
            Some(_) => say!("streams-stands-in", composition),
            None => composition,
        },
    }));
    document.small(say!("streams-basis"));
    document.small(keeping_and_spread(lines));
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
