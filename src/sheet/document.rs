use crate::words::{Language, Said};

use super::chart::Chart;

/// A page of sentences and tables, before anyone decides how it is shown, and
/// in which language: [`Document::in_language`] makes it words.
#[must_use]
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Document<T = Said> {
    pub title: T,
    /// Whether the first block answers what was asked: a terminal shows it first of all.
    pub is_answered: bool,
    pub blocks: Vec<Block<T>>,
}

#[derive(Debug, Clone, PartialEq)]
pub enum Block<T = Said> {
    Heading(T),
    Line(Tone, T),
    Table(Grid<T>),
    /// A long table in small print, in columns side by side on paper.
    List(Grid<T>),
    Chart(Chart<T>),
}

/// How a line is meant; a word says it too, never colour alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tone {
    Plain,
    Good,
    Out,
    Caution,
    Next,
    /// A remark in small print.
    Small,
}

impl Tone {
    pub const fn class(self) -> &'static str {
        match self {
            Self::Plain | Self::Next => "plain",
            Self::Good => "good",
            Self::Out => "out",
            Self::Caution => "caution",
            Self::Small => "small",
        }
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Align {
    Left,
    Right,
}

impl Align {
    pub const fn side(self) -> &'static str {
        match self {
            Self::Left => "text",
            Self::Right => "number",
        }
    }

    /// The class of a cell: a day or one short word is read in one piece.
    pub fn side_of(self, cell: &str) -> &'static str {
        let short = cell.len() <= 10 || cell.len() <= 16 && !cell.contains(char::is_whitespace);
        if short && self == Self::Left {
            "text word"
        } else {
            self.side()
        }
    }
}

#[must_use]
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Grid<T = Said> {
    pub columns: Vec<(T, Align)>,
    /// Rows, one cell a column.
    pub rows: Vec<Vec<T>>,
}

/// A table, each column with its side, head and cell beside each other, so that
/// none stands under another's head: `grid!(for lot in lots => { Left "lot" => &lot.name })`.
macro_rules! grid {
    (for $row:pat in $rows:expr => { $($body:tt)+ }) => {
        $crate::sheet::grid!(@ ($row, $rows) () $($body)+)
    };
    (@ $each:tt ($($before:tt)*) let $name:pat = $value:expr; $($rest:tt)+) => {
        $crate::sheet::grid!(@ $each ($($before)* let $name = $value;) $($rest)+)
    };
    (@ ($row:pat, $rows:expr) ($($before:tt)*) $($side:ident $head:expr => $cell:expr),+ $(,)?) => {{
        let mut grid = $crate::sheet::Grid::new(&[
            $(($crate::words::Said::from($head), $crate::sheet::Align::$side)),+
        ]);
        for $row in $rows {
            $($before)*
            grid.row([$($crate::words::Said::from($cell)),+]);
        }
        grid
    }};
}
pub(crate) use grid;

impl Grid {
    pub fn new<H: Clone + Into<Said>>(columns: &[(H, Align)]) -> Self {
        Self {
            columns: (columns.iter().cloned())
                .map(|(name, align)| (name.into(), align))
                .collect(),
            rows: Vec::new(),
        }
    }

    pub fn row<const N: usize>(&mut self, cells: [impl Into<Said>; N]) {
        debug_assert_eq!(N, self.columns.len());
        self.rows.push(cells.into_iter().map(Into::into).collect());
    }

    /// Without the columns that hold nothing but dashes.
    pub(super) fn without_dashes(mut self) -> Self {
        let dash = Said::from("-");
        let says = |column: usize| self.rows.iter().any(|row| row[column] != dash);
        let kept: Vec<bool> = (0..self.columns.len()).map(says).collect();
        let mut keep = kept.iter();
        self.columns.retain(|_| *keep.next().unwrap_or(&true));
        for row in &mut self.rows {
            let mut keep = kept.iter();
            row.retain(|_| *keep.next().unwrap_or(&true));
        }
        self
    }

    pub(super) fn map<T>(&self, say: &impl Fn(&Said) -> T) -> Grid<T> {
        let columns = self.columns.iter();
        let rows = self.rows.iter();
        Grid {
            columns: columns.map(|(name, align)| (say(name), *align)).collect(),
            rows: rows.map(|row| row.iter().map(say).collect()).collect(),
        }
    }

    pub fn in_language(&self, language: Language) -> Grid<String> {
        self.map(&|said: &Said| said.in_language(language))
    }
}

impl Grid<String> {
    pub fn has_heads(&self) -> bool {
        self.columns.iter().any(|(name, _)| !name.trim().is_empty())
    }
}

/// Adds a line, by its tone.
macro_rules! lines {
    ($($name:ident: $tone:ident),+) => {$(
        pub fn $name(&mut self, text: impl Into<Said>) {
            self.toned(Tone::$tone, text);
        }
    )+};
}

impl Document {
    pub fn titled(title: impl Into<Said>) -> Self {
        Self {
            title: title.into(),
            is_answered: false,
            blocks: Vec::new(),
        }
    }

    pub fn heading(&mut self, text: impl Into<Said>) {
        self.blocks.push(Block::Heading(text.into()));
    }

    lines! { line: Plain, good: Good, out: Out, caution: Caution, next: Next, small: Small }

    pub fn toned(&mut self, tone: Tone, text: impl Into<Said>) {
        self.blocks.push(Block::Line(tone, text.into()));
    }

    /// The line that answers what was asked, before all others.
    pub fn answer(&mut self, tone: Tone, text: impl Into<Said>) {
        self.is_answered = true;
        self.blocks.insert(0, Block::Line(tone, text.into()));
    }

    pub fn item(&mut self, tone: Tone, text: impl Into<Said>) {
        self.toned(tone, Said::joined(["- ".into(), text.into()], ""));
    }

    pub fn table(&mut self, grid: Grid) {
        if !grid.rows.is_empty() {
            self.blocks.push(Block::Table(grid));
        }
    }

    /// Adds a table under its heading, unless it has no row; says whether it has.
    pub fn section(&mut self, heading: impl Into<Said>, grid: Grid) -> bool {
        let has_rows = !grid.rows.is_empty();
        if has_rows {
            self.heading(heading);
            self.table(grid);
        }
        has_rows
    }

    pub fn list(&mut self, grid: Grid) {
        if !grid.rows.is_empty() {
            self.blocks.push(Block::List(grid));
        }
    }

    pub fn chart(&mut self, chart: Chart) {
        if !chart.labels.is_empty() && !chart.series.is_empty() {
            self.blocks.push(Block::Chart(chart));
        }
    }

    pub fn in_language(&self, language: Language) -> Document<String> {
        self.map(&|said: &Said| said.in_language(language))
    }

    /// Every sentence of it as `say` has it.
    pub fn map<T>(&self, say: &impl Fn(&Said) -> T) -> Document<T> {
        let blocks = self.blocks.iter().map(|block| match block {
            Block::Heading(text) => Block::Heading(say(text)),
            Block::Line(tone, text) => Block::Line(*tone, say(text)),
            Block::Table(grid) => Block::Table(grid.map(say)),
            Block::List(grid) => Block::List(grid.map(say)),
            Block::Chart(chart) => Block::Chart(chart.map(say)),
        });
        Document {
            title: say(&self.title),
            is_answered: self.is_answered,
            blocks: blocks.collect(),
        }
    }
}
