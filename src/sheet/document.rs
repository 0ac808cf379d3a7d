use super::chart::Chart;

/// A page of words and tables, before anyone decides how it is shown.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Document {
    pub title: String,
    /// Its parts, in reading order.
    pub blocks: Vec<Block>,
}

/// A part of a document.
#[derive(Debug, Clone, PartialEq)]
pub enum Block {
    /// Begins a section.
    Heading(String),
    /// A sentence or a short fact.
    Line(Tone, String),
    Table(Grid),
    /// A long table in small print, in columns side by side on paper.
    List(Grid),
    Chart(Chart),
}

/// How a line is meant; a word says it too, never colour alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tone {
    /// A fact.
    Plain,
    /// All is well.
    Good,
    Out,
    Caution,
    Next,
    /// A remark in small print.
    Small,
}

/// Which side a column keeps to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Align {
    /// Words.
    Left,
    Right,
}

/// Whether a cell is one short word, such as a day, that is read in one piece.
#[must_use]
pub fn is_one_word(cell: &str) -> bool {
    cell.len() <= 16 && !cell.contains(char::is_whitespace)
}

/// A table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Grid {
    /// Column heads with their side.
    pub columns: Vec<(String, Align)>,
    /// Rows, one cell a column.
    pub rows: Vec<Vec<String>>,
}

impl Grid {
    /// A table with these columns and no row yet.
    #[must_use]
    pub fn new(columns: &[(&str, Align)]) -> Self {
        Self {
            columns: columns
                .iter()
                .map(|(name, align)| ((*name).to_owned(), *align))
                .collect(),
            rows: Vec::new(),
        }
    }

    /// Adds a row.
    pub fn row<const N: usize>(&mut self, cells: [String; N]) {
        debug_assert_eq!(N, self.columns.len());
        self.rows.push(cells.into());
    }
}

impl Document {
    /// A document with a title and nothing under it.
    #[must_use]
    pub fn titled(title: impl Into<String>) -> Self {
        Self {
            title: title.into(),
            blocks: Vec::new(),
        }
    }

    /// Adds a heading.
    pub fn heading(&mut self, text: impl Into<String>) {
        self.blocks.push(Block::Heading(text.into()));
    }

    /// Adds a plain line.
    pub fn line(&mut self, text: impl Into<String>) {
        self.toned(Tone::Plain, text);
    }

    /// Adds a line with a tone.
    pub fn toned(&mut self, tone: Tone, text: impl Into<String>) {
        self.blocks.push(Block::Line(tone, text.into()));
    }

    /// Adds a table, unless it has no row.
    pub fn table(&mut self, grid: Grid) {
        if !grid.rows.is_empty() {
            self.blocks.push(Block::Table(grid));
        }
    }

    /// Adds a long table, unless it has no row.
    pub fn list(&mut self, grid: Grid) {
        if !grid.rows.is_empty() {
            self.blocks.push(Block::List(grid));
        }
    }

    /// Adds a chart, unless it has nothing to show.
    pub fn chart(&mut self, chart: Chart) {
        if !chart.labels.is_empty() && !chart.series.is_empty() {
            self.blocks.push(Block::Chart(chart));
        }
    }
}
