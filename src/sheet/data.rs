//! Tables for other programs: one model, written as CSV or as a workbook.

use jiff::civil::Date;
use rust_xlsxwriter::{Format, Workbook, XlsxError};

use crate::quantity::{Grams, Money};
use crate::stream::StreamId;
use crate::words::Said;

use super::words::csv_text;

#[must_use]
#[derive(Debug, Clone, PartialEq)]
pub struct DataTable {
    /// Its name, for a workbook's sheet.
    pub name: &'static str,
    pub columns: Vec<&'static str>,
    /// Rows, one cell a column.
    pub rows: Vec<Vec<Cell>>,
}

#[derive(Debug, Clone, PartialEq)]
pub enum Cell {
    /// Words; never a formula, whatever they begin with.
    Text(String),
    /// A whole number, such as grams.
    Whole(i64),
    /// A number with a fraction, in the column's unit.
    Number(f64),
    /// Not known or not meant.
    Empty,
}

/// A data table, each column's name beside its cell, as `grid!` has it for people;
/// `..names => cells` is as many columns as there are names.
macro_rules! data {
    (@head $column:literal) => { vec![$column] };
    (@head .. $names:expr) => { Vec::from_iter($names) };
    (@cells $column:literal => $cell:expr) => { vec![$crate::sheet::Cell::from($cell)] };
    (@cells .. $names:expr => $cells:expr) => {
        Vec::from_iter($cells.into_iter().map($crate::sheet::Cell::from))
    };
    ($name:expr, for $row:pat in $rows:expr => { $($body:tt)+ }) => {
        $crate::sheet::data!(@ ($name, $row, $rows) () $($body)+)
    };
    (@ $each:tt ($($before:tt)*) let $local:pat = $value:expr; $($rest:tt)+) => {
        $crate::sheet::data!(@ $each ($($before)* let $local = $value;) $($rest)+)
    };
    (@ ($name:expr, $row:pat, $rows:expr) ($($before:tt)*)
        $($($column:literal)? $(.. $names:expr)? => $cell:expr),+ $(,)?) => {{
        let mut rows = Vec::new();
        for $row in $rows {
            $($before)*
            rows.push([$($crate::sheet::data!(@cells $($column)? $(.. $names)? => $cell)),+].concat());
        }
        let columns = [$($crate::sheet::data!(@head $($column)? $(.. $names)?)),+].concat();
        $crate::sheet::DataTable { name: $name, columns, rows }
    }};
}
pub(crate) use data;

macro_rules! cells {
    ($($of:ty: |$value:ident| $cell:expr;)+) => {$(
        impl From<$of> for Cell {
            fn from($value: $of) -> Self {
                $cell
            }
        }
    )+};
}

cells! {
    &str: |words| Self::text(words);
    String: |words| Self::Text(words);
    &String: |words| Self::text(words);
    Date: |day| Self::Text(day.to_string());
    &StreamId: |stream| Self::text(stream.as_str());
    &Said: |said| Self::Text(said.in_english());
    Said: |said| Self::Text(said.in_english());
    bool: |yes| Self::text(if yes { "yes" } else { "no" });
    i64: |number| Self::Whole(number);
    u32: |number| Self::Whole(number.into());
    f64: |number| Self::number(Some(number));
    Grams: |grams| Self::Whole(grams.get());
    Money: |money| Self::Number(money.units());
}

/// What is not known is an empty cell.
impl<T: Into<Self>> From<Option<T>> for Cell {
    fn from(known: Option<T>) -> Self {
        known.map_or(Self::Empty, Into::into)
    }
}

impl Cell {
    pub fn text(words: impl Into<String>) -> Self {
        Self::Text(words.into())
    }

    /// A number where it is known and finite.
    pub fn number(value: Option<f64>) -> Self {
        (value.filter(|value| value.is_finite())).map_or(Self::Empty, Self::Number)
    }
}

pub fn data_csv(table: &DataTable) -> Result<String, csv::Error> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(&table.columns)?;
    for row in &table.rows {
        writer.write_record(row.iter().map(|cell| match cell {
            Cell::Text(words) => csv_text(words),
            Cell::Whole(number) => number.to_string(),
            // Six decimals: a milligram of a kilogram, and no digits of the machine's.
            Cell::Number(number) => format!("{}", (number * 1e6).round() / 1e6),
            Cell::Empty => String::new(),
        }))?;
    }
    let bytes = writer
        .into_inner()
        .map_err(|error| csv::Error::from(error.into_error()))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

/// Tables as one workbook, a sheet each: numbers stay numbers, words are
/// written as strings, which no program reads as formulas.
pub fn data_xlsx(tables: &[DataTable]) -> Result<Vec<u8>, XlsxError> {
    let mut book = Workbook::new();
    let head = Format::new().set_bold();
    for table in tables {
        let sheet = book.add_worksheet();
        sheet.set_name(table.name)?;
        sheet.set_freeze_panes(1, 0)?;
        for (column, name) in (0_u16..).zip(&table.columns) {
            sheet.write_string_with_format(0, column, *name, &head)?;
        }
        for (row, cells) in (1_u32..).zip(&table.rows) {
            for (column, cell) in (0_u16..).zip(cells) {
                match cell {
                    Cell::Text(words) => sheet.write_string(row, column, csv_text(words))?,
                    Cell::Whole(number) => sheet.write_number(row, column, *number as f64)?,
                    Cell::Number(number) => sheet.write_number(row, column, *number)?,
                    Cell::Empty => sheet,
                };
            }
        }
        sheet.autofit();
    }
    book.save_to_buffer()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_stay_words_and_numbers_numbers() {
        let table = DataTable {
            name: "T",
            columns: vec!["supplier", "net_g"],
            rows: vec![
                vec![Cell::text("=HYPERLINK(\"x\")"), Cell::Whole(-5)],
                vec![Cell::text("a, b"), Cell::Empty],
            ],
        };
        insta::assert_snapshot!(data_csv(&table).expect("writes"), @r#"
        supplier,net_g
        "'=HYPERLINK(""x"")",-5
        "a, b",
        "#);
    }
}
