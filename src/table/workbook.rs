//! Sheets of a workbook, each cell as the text a person would type.

use std::collections::BTreeMap;
use std::io::Cursor;

use calamine::{Data, DataRef, Reader as _, Xlsx, XlsxError};

use super::{Finding, Findings};
use crate::words::{Said, say};

/// Columns read of a sheet, and cells read of a book, at most (our default):
/// a cell far out must not cost memory for all between.
const COLUMNS_MOST: u32 = 200;
const CELLS_MOST: usize = 5_000_000;

/// A sheet: its name, and its rows that hold something, by their number from 1.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SheetOfBook {
    pub name: String,
    pub rows: BTreeMap<u32, BTreeMap<u32, String>>,
}

/// A cell's place as people say it, such as `C7`; columns count from 0, rows from 1.
pub fn cell_name(column: u32, row: u32) -> String {
    let mut letters = Vec::new();
    let mut left = column + 1;
    while left > 0 {
        let letter = u8::try_from((left - 1) % 26).unwrap_or_default();
        letters.push(char::from(b'A' + letter));
        left = (left - 1) / 26;
    }
    let letters: String = letters.into_iter().rev().collect();
    format!("{letters}{row}")
}

/// Reads an .xlsx workbook.
pub fn read_workbook(file: &str, bytes: &[u8]) -> Result<Vec<SheetOfBook>, Findings> {
    let whole =
        |seen: Said, accepted: Said| Findings(vec![Finding::at(file, None, "", seen, accepted)]);
    let unreadable = |error: XlsxError| whole(error.to_string().into(), say!("accepted-workbook"));
    let mut book: Xlsx<_> =
        calamine::open_workbook_from_rs(Cursor::new(bytes)).map_err(unreadable)?;
    let mut cells = 0;
    let mut sheets = Vec::new();
    for name in book.sheet_names() {
        let mut rows: BTreeMap<u32, BTreeMap<u32, String>> = BTreeMap::new();
        // A sheet of charts has no cells to read.
        let Ok(mut reader) = book.worksheet_cells_reader(&name) else {
            continue;
        };
        while let Some(cell) = reader.next_cell().map_err(unreadable)? {
            let (row, column) = cell.get_position();
            let text = text(cell.get_value());
            if text.is_empty() || column >= COLUMNS_MOST {
                continue;
            }
            cells += 1;
            if cells > CELLS_MOST {
                let accepted = say!("accepted-workbook-cells", most = CELLS_MOST);
                return Err(whole(say!("seen-more-cells"), accepted));
            }
            rows.entry(row + 1).or_default().insert(column, text);
        }
        sheets.push(SheetOfBook { name, rows });
    }
    Ok(sheets)
}

fn text(cell: &DataRef<'_>) -> String {
    let text = match cell {
        DataRef::DateTime(when) => {
            let (year, month, day, hour, minute, second, _) = when.to_ymd_hms_milli();
            // Excel has a time of day as a date before the first.
            if when.as_f64() < 1.0 {
                format!("{hour:02}:{minute:02}")
            } else {
                format!("{year:04}-{month:02}-{day:02}T{hour:02}:{minute:02}:{second:02}")
            }
        }
        DataRef::Bool(is) => if *is { "yes" } else { "no" }.to_owned(),
        other => Data::from(other.clone()).to_string(),
    };
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_go_by_the_name_people_give_them() {
        for (column, name) in [
            (0, "A1"),
            (25, "Z1"),
            (26, "AA1"),
            (701, "ZZ1"),
            (702, "AAA1"),
        ] {
            assert_eq!(cell_name(column, 1), name);
        }
    }

    #[test]
    fn what_is_no_workbook_is_refused() {
        for bytes in [&b""[..], b"PK\x03\x04", b"supplier,stream\n"] {
            let error = read_workbook("b.xlsx", bytes).expect_err("no workbook");
            assert!(error.to_string().contains("a workbook (.xlsx)"), "{error}");
        }
    }
}
