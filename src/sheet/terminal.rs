use anstyle::{AnsiColor, Effects, Style};
use comfy_table::{Cell, CellAlignment, ContentArrangement, LineStyle, Table, TableStyle};

use super::chart::plain_bars;
use super::document::{Align, Block, Document, Grid, Tone};

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Look {
    /// Whether escapes for bold and colour may be written.
    pub styled: bool,
    /// Columns to fold at; `None` never folds.
    pub width: Option<u16>,
}

pub fn render(document: &Document<String>, look: Look) -> String {
    let bold = Style::new().effects(Effects::BOLD);
    let mut lines: Vec<String> = Vec::new();
    let (answer, rest) = (document.blocks).split_at(usize::from(document.is_answered));
    lines.extend(answer.iter().flat_map(|block| shown(block, look)));
    if !document.title.is_empty() {
        lines.push(styled(&document.title, bold, look));
    }
    lines.extend(rest.iter().flat_map(|block| shown(block, look)));
    lines.into_iter().map(|line| line + "\n").collect()
}

fn shown(block: &Block<String>, look: Look) -> Vec<String> {
    match block {
        Block::Heading(heading) => {
            let style = Style::new().effects(Effects::BOLD | Effects::UNDERLINE);
            vec![String::new(), styled(heading, style, look)]
        }
        Block::Line(tone, line) => {
            let parts = folded(line, look.width).into_iter();
            parts
                .map(|part| styled(&part, style_of(*tone), look))
                .collect()
        }
        Block::Table(grid) | Block::List(grid) => vec![table(grid, look)],
        Block::Chart(chart) => plain_bars(chart),
    }
}

fn style_of(tone: Tone) -> Style {
    match tone {
        Tone::Plain => Style::new(),
        Tone::Good => AnsiColor::Green.on_default().effects(Effects::BOLD),
        Tone::Out => AnsiColor::Red.on_default().effects(Effects::BOLD),
        Tone::Caution => AnsiColor::Yellow.on_default(),
        Tone::Next => AnsiColor::Cyan.on_default(),
        Tone::Small => Style::new().effects(Effects::DIMMED),
    }
}

fn styled(text: &str, style: Style, look: Look) -> String {
    if look.styled {
        format!("{style}{text}{style:#}")
    } else {
        text.to_owned()
    }
}

fn folded(line: &str, width: Option<u16>) -> Vec<String> {
    let Some(width) = width.map(usize::from).filter(|width| *width >= 20) else {
        return vec![line.to_owned()];
    };
    let indent: String = line.chars().take_while(|c| *c == ' ').collect();
    let mut lines = vec![String::new()];
    for word in line.split_inclusive(' ') {
        let current = lines.last().map_or(0, |last| last.chars().count());
        if current + word.trim_end().chars().count() > width && current > indent.len() {
            lines.push(format!("{indent}  "));
        }
        if let Some(last) = lines.last_mut() {
            last.push_str(word);
        }
    }
    lines
        .iter()
        .map(|line| line.trim_end().to_owned())
        .collect()
}

fn table(grid: &Grid<String>, look: Look) -> String {
    let mut table = Table::new();
    table.load_style(TableStyle::new().header_separator(LineStyle::none().fill('-').junction(' ')));
    if let Some(width) = look.width {
        table
            .set_content_arrangement(ContentArrangement::Dynamic)
            .set_width(width.max(40));
    }
    let side = |align: &Align| match align {
        Align::Left => CellAlignment::Left,
        Align::Right => CellAlignment::Right,
    };
    if grid.has_heads() {
        let heads = grid
            .columns
            .iter()
            .map(|(name, align)| Cell::new(name).set_alignment(side(align)));
        table.set_header(heads);
    }
    for row in &grid.rows {
        table.add_row(
            row.iter()
                .zip(&grid.columns)
                .map(|(cell, (_, align))| Cell::new(cell).set_alignment(side(align))),
        );
    }
    table
        .lines()
        .map(|line| line.trim_end().to_owned())
        .collect::<Vec<_>>()
        .join("\n")
}
