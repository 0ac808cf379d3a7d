//! A document as an HTML page made for print, from a template file; everything
//! from the book is escaped by the template, and a chart escapes its own text.

use askama::Template;

use super::chart::{WIDE, svg};
use super::document::{Block, Document, Grid, Tone};

#[derive(Template)]
#[template(path = "paper.html", config = "src/askama.toml")]
struct Page<'a> {
    title: &'a str,
    parts: Vec<Part<'a>>,
}

enum Part<'a> {
    Heading(&'a str),
    Line(&'static str, String),
    Tables(&'static str, Vec<TablePart<'a>>),
    Charts(Vec<String>),
    /// A lone chart with the section that follows it at its side.
    Beside(String, &'a str, TablePart<'a>),
}

type TablePart<'a> = (&'a Grid<String>, &'a [Vec<String>]);

/// Rows from which a long list stands in two columns side by side.
const COLUMNS_FROM: usize = 12;

pub fn html(document: &Document<String>) -> Result<String, askama::Error> {
    let mut parts = Vec::new();
    let mut blocks = document.blocks.as_slice();
    while let [block, rest @ ..] = blocks {
        blocks = rest;
        match (block, rest) {
            (Block::Chart(chart), [Block::Heading(text), Block::Table(grid), rest @ ..])
                if !matches!(parts.last(), Some(Part::Charts(_))) =>
            {
                parts.push(Part::Beside(svg(chart, WIDE), text, (grid, &*grid.rows)));
                blocks = rest;
                continue;
            }
            _ => {}
        }
        match block {
            Block::Heading(text) => parts.push(Part::Heading(text)),
            // Remarks that follow each other are one paragraph: a page is dear.
            Block::Line(Tone::Small, text) => match parts.last_mut() {
                Some(Part::Line("small", remarks)) => {
                    remarks.push(' ');
                    remarks.push_str(text);
                }
                _ => parts.push(Part::Line("small", text.clone())),
            },
            Block::Line(tone, text) => parts.push(Part::Line(tone.class(), text.clone())),
            Block::Table(grid) => parts.push(Part::Tables("table", vec![(grid, &*grid.rows)])),
            Block::List(grid) => {
                let columns = 1 + usize::from(grid.rows.len() >= COLUMNS_FROM);
                let length = grid.rows.len().div_ceil(columns).max(1);
                let tables = grid.rows.chunks(length).map(|rows| (grid, rows));
                parts.push(Part::Tables("list", tables.collect()));
            }
            // Charts that follow each other stand side by side.
            Block::Chart(chart) => match parts.last_mut() {
                Some(Part::Charts(drawings)) => drawings.push(svg(chart, WIDE)),
                _ => parts.push(Part::Charts(vec![svg(chart, WIDE)])),
            },
        }
    }
    let title = &document.title;
    Page { title, parts }.render()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::super::chart::{Chart, Form};
    use super::super::document::Align;
    use super::*;

    fn page(text: &str) -> String {
        let mut document = Document::titled(text);
        document.heading(text);
        document.line(text);
        let mut grid = Grid::new(&[(text, Align::Left)]);
        grid.row([text.to_owned()]);
        document.list(grid.clone());
        document.table(grid);
        document.chart(Chart::new(
            Form::Bars,
            text,
            text,
            vec![text],
            vec![(text, vec![1.0])],
        ));
        html(&document.in_language(crate::words::Language::En)).expect("renders")
    }

    #[test]
    fn markup_in_a_name_stays_text() {
        let page = page("<script>alert('x')</script> & \"co\"");
        assert!(!page.contains("<script"));
        assert!(page.contains("&#60;script&#62;"));
    }

    proptest! {
        /// Whatever the text, the page has the same tags.
        #[test]
        fn text_makes_no_tags(text in "x[<>&\"'a-z/=! -]{1,40}") {
            let tags = |page: &str| page.matches('<').count();
            prop_assert_eq!(tags(&page(&text)), tags(&page("plain")), "{}", text);
        }
    }
}
