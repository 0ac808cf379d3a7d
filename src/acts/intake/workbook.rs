//! A workbook of tickets: which column says what, and where each row stands.

use std::collections::BTreeMap;

use super::bucket::Dock;
use super::import::{ImportAsked, Imported, import};
use crate::acts::error::Rejection;
use crate::acts::{ActError, Result, TableFile};
use crate::daybook::Daybook;
use crate::quantity::MassUnit;
use crate::table::{Finding, Findings, SheetOfBook, Table, cell_name, folded, read_workbook};
use crate::words::{Said, say};

const HEADINGS: &[u8] = include_bytes!("../../../data/ticket-headings.csv");
/// Rows of a sheet in which its headings are looked for (our default).
const HEADINGS_WITHIN: usize = 20;

/// What a column of a workbook may say: those of a ticket file, and two more
/// that these have another way.
const COLUMNS: [&str; 17] = [
    "weighed_at",
    "time",
    "ticket",
    "supplier",
    "stream",
    "gross",
    "net",
    "tare",
    "unit",
    "container",
    "moisture_pct",
    "verdict",
    "by",
    "note",
    "volume",
    "bought",
    "price_per_kg",
];

/// A farm's own word on its workbook's columns: by column, the heading.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct OwnColumns(BTreeMap<&'static str, String>);

impl OwnColumns {
    /// Reads `supplier=Who,stream=What`.
    pub fn read(text: &str) -> Result<Self, Rejection> {
        let mut own = BTreeMap::new();
        for pair in text.split(',').filter(|pair| !pair.trim().is_empty()) {
            let read = pair.split_once('=').and_then(|(column, heading)| {
                let column = COLUMNS.iter().find(|known| **known == column.trim())?;
                let heading = heading.trim();
                (!heading.is_empty()).then(|| (*column, heading.to_owned()))
            });
            let (column, heading) = read.ok_or_else(|| {
                let accepted = say!("accepted-columns-headings", columns = COLUMNS.join(", "));
                Rejection::new("--columns", pair.trim(), accepted)
            })?;
            own.insert(column, heading);
        }
        Ok(Self(own))
    }

    /// Reads what was kept: `column,heading`.
    pub fn of_file(file: &TableFile) -> Result<Self, Findings> {
        let table = Table::read(&file.name, &file.bytes, &["column", "heading"], |_| false)?;
        let rows = table.rows(|row| {
            let heading = row.needed("heading", say!("accepted-heading"))?;
            let column = row.required("column", COLUMNS.join(", "), |text| {
                COLUMNS.iter().find(|known| **known == text).copied()
            })?;
            Some((column, heading))
        })?;
        Ok(Self(rows.into_iter().collect()))
    }

    /// As it is kept.
    #[must_use]
    pub fn file(&self) -> String {
        let mut writer = csv::Writer::from_writer(Vec::new());
        // Written to memory, which does not fail.
        let _written = writer.write_record(["column", "heading"]);
        for (column, heading) in &self.0 {
            let _written = writer.write_record([column, heading.as_str()]);
        }
        let bytes = writer.into_inner().unwrap_or_default();
        String::from_utf8(bytes).unwrap_or_default()
    }

    /// These put over those before.
    #[must_use]
    pub fn over(&self, before: &Self) -> Self {
        let mut columns = before.0.clone();
        columns.extend(self.0.clone());
        Self(columns)
    }

    /// As it is read.
    #[must_use]
    pub fn text(&self) -> String {
        let pairs = self
            .0
            .iter()
            .map(|(column, heading)| format!("{column}={heading}"));
        pairs.collect::<Vec<_>>().join(",")
    }
}

/// One column as it is taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ColumnTaken {
    pub column: &'static str,
    pub heading: String,
    /// Its first cell, such as `C1`.
    pub cell: String,
    /// Whether the farm said so, or the heading is the column's own name.
    pub said: bool,
    at: u32,
    unit: Option<MassUnit>,
}

/// One sheet that has tickets.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SheetTaken {
    pub sheet: String,
    pub columns: Vec<ColumnTaken>,
    heading_row: u32,
    rows: BTreeMap<u32, BTreeMap<u32, String>>,
}

/// A workbook with what is taken of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BookTaken {
    pub file: String,
    pub sheets: Vec<SheetTaken>,
    /// Sheets without such headings.
    pub left_out: Vec<String>,
}

impl BookTaken {
    /// Reads a workbook and says which of its columns is taken as what.
    pub fn read(file: &TableFile, own: &OwnColumns) -> Result<Self, Findings> {
        let known = headings()?;
        let (mut sheets, mut left_out) = (Vec::new(), Vec::new());
        let book = read_workbook(&file.name, &file.bytes)?;
        for sheet in &book {
            match taken(sheet, own, &known) {
                Some(sheet) => sheets.push(sheet),
                None => left_out.push(sheet.name.clone()),
            }
        }
        if sheets.is_empty() {
            let accepted = say!("accepted-sheet");
            let seen = seen(&book);
            return Err(Findings(vec![Finding::at(
                &file.name, None, "headings", &seen, accepted,
            )]));
        }
        Ok(Self {
            file: file.name.clone(),
            sheets,
            left_out,
        })
    }

    /// Whether nothing about the columns is our guess.
    #[must_use]
    pub fn is_said(&self) -> bool {
        let mut columns = self.sheets.iter().flat_map(|sheet| &sheet.columns);
        columns.all(|column| column.said)
    }

    /// The farm's word that would say all of this.
    #[must_use]
    pub fn as_own(&self) -> OwnColumns {
        let columns = self.sheets.iter().flat_map(|sheet| &sheet.columns);
        OwnColumns(
            columns
                .map(|taken| (taken.column, taken.heading.clone()))
                .collect(),
        )
    }

    /// The tickets as a file of tickets has them, with the sheet and row of each line.
    fn tickets(&self) -> (Vec<u8>, Vec<(&SheetTaken, u32)>) {
        const WRITTEN: [&str; 15] = [
            "weighed_at",
            "ticket",
            "supplier",
            "stream",
            "gross",
            "tare",
            "unit",
            "container",
            "moisture_pct",
            "verdict",
            "by",
            "note",
            "volume",
            "bought",
            "price_per_kg",
        ];
        let mut writer = csv::Writer::from_writer(Vec::new());
        let mut places = Vec::new();
        // Written to memory, which does not fail.
        let _written = writer.write_record(WRITTEN);
        for sheet in &self.sheets {
            for (row, cells) in sheet.rows.range(sheet.heading_row + 1..) {
                let line = WRITTEN.map(|column| sheet.cell(cells, column));
                if line.iter().all(String::is_empty) {
                    continue;
                }
                let _written = writer.write_record(&line);
                places.push((sheet, *row));
            }
        }
        (writer.into_inner().unwrap_or_default(), places)
    }
}

impl SheetTaken {
    fn column(&self, column: &str) -> Option<&ColumnTaken> {
        self.columns.iter().find(|taken| taken.column == column)
    }

    fn cell(&self, cells: &BTreeMap<u32, String>, column: &str) -> String {
        let text = |column: &str| {
            let taken = self.column(column);
            taken
                .and_then(|taken| cells.get(&taken.at))
                .cloned()
                .unwrap_or_default()
        };
        let own = text(column);
        match column {
            "weighed_at" => match text("time") {
                time if time.is_empty() => own,
                time => {
                    let day = own.split('T').next().unwrap_or_default();
                    format!("{day}T{time}")
                }
            },
            // What is weighed without its container has none to take off.
            "gross" if self.column("gross").is_none() => text("net"),
            "tare" if self.column("gross").is_none() && !text("net").is_empty() => "0".to_owned(),
            "unit" if own.is_empty() => {
                let weight = self.column("gross").or(self.column("net"));
                let unit = weight.and_then(|taken| taken.unit);
                unit.map(|unit| unit.to_string()).unwrap_or_default()
            }
            _ => own,
        }
    }

    /// Where a column of the ticket stands in the sheet.
    fn place(&self, column: &str, row: u32) -> Said {
        let instead = match column {
            "gross" | "tare" => self.column("net"),
            _ => None,
        };
        let sheet = &self.sheet;
        match self.column(column).or(instead) {
            Some(taken) => say!("place-cell", sheet, cell = cell_name(taken.at, row)),
            None => say!("place-sheet-row", sheet, row),
        }
    }
}

/// What headings mean, folded, by column.
fn headings() -> Result<BTreeMap<String, &'static str>, Findings> {
    let table = Table::read(
        "data/ticket-headings.csv",
        HEADINGS,
        &["heading", "language", "column"],
        |_| false,
    )?;
    let rows = table.rows(|row| {
        let heading = row.needed("heading", say!("accepted-heading"))?;
        let column = row.required("column", COLUMNS.join(", "), |text| {
            COLUMNS.iter().find(|known| **known == text).copied()
        })?;
        Some((folded(&heading), column))
    })?;
    Ok(rows.into_iter().collect())
}

/// A heading without its unit, and the unit: `Gross (lb)`.
fn without_unit(heading: &str) -> (String, Option<MassUnit>) {
    let plain = heading.replace(['(', ')', '[', ']', ':', '.', '#', ',', '/', '_'], " ");
    let plain = plain.replace('%', " pct ");
    let mut words: Vec<&str> = plain.split_whitespace().collect();
    let unit = words
        .last()
        .and_then(|last| MassUnit::from_word(&last.to_lowercase()));
    let is_price = words
        .iter()
        .any(|word| folded(word) == "per" || folded(word) == "price");
    match unit.filter(|_| words.len() > 1 && !is_price) {
        Some(unit) => {
            words.pop();
            (folded(&words.concat()), Some(unit))
        }
        None => (folded(&words.concat()), None),
    }
}

/// What a sheet's columns are taken as, where it has tickets.
fn taken(
    sheet: &SheetOfBook,
    own: &OwnColumns,
    known: &BTreeMap<String, &'static str>,
) -> Option<SheetTaken> {
    let read = |(row, cells): (&u32, &BTreeMap<u32, String>)| {
        let mut columns: Vec<ColumnTaken> = Vec::new();
        for (at, heading) in cells {
            let is_own = |(_, own): &(&&'static str, &String)| folded(own) == folded(heading);
            let said = own.0.iter().find(is_own).map(|(column, _)| *column);
            let (plain, unit) = without_unit(heading);
            let named = COLUMNS
                .iter()
                .find(|column| **column == heading.as_str())
                .copied();
            let proposed = known
                .get(&plain)
                .copied()
                .filter(|column| !own.0.contains_key(column));
            let Some(column) = said.or(named).or(proposed) else {
                continue;
            };
            // The first of two that could be it; the farm's own word before any.
            let before = columns.iter().position(|taken| taken.column == column);
            if let Some(before) = before {
                if said.is_none() {
                    continue;
                }
                columns.remove(before);
            }
            columns.push(ColumnTaken {
                column,
                heading: heading.clone(),
                cell: cell_name(*at, *row),
                said: said.is_some() || named.is_some(),
                at: *at,
                unit,
            });
        }
        let has = |wanted: &str| columns.iter().any(|taken| taken.column == wanted);
        let weighed = has("gross") || has("net");
        let enough = has("weighed_at") && has("supplier") && has("stream") && weighed;
        enough.then(|| SheetTaken {
            sheet: sheet.name.clone(),
            columns,
            heading_row: *row,
            rows: sheet.rows.clone(),
        })
    };
    sheet.rows.iter().take(HEADINGS_WITHIN).find_map(read)
}

/// The first row of each sheet, for who must say which heading is which.
fn seen(book: &[SheetOfBook]) -> String {
    let first = |sheet: &SheetOfBook| {
        let cells = sheet
            .rows
            .values()
            .next()
            .map(|cells| cells.values().cloned().collect());
        let cells: Vec<String> = cells.unwrap_or_default();
        format!("{}: {}", sheet.name, cells.join(", "))
    };
    book.iter().map(first).collect::<Vec<_>>().join("; ")
}

/// Writes a workbook's tickets, all of them or nothing; a cell that can't be
/// read is named by its sheet and its place in it.
pub fn import_book(
    book: &mut Daybook,
    dock: &Dock<'_>,
    taken: &BookTaken,
    asked: &ImportAsked,
    step: impl FnMut(u64, u64),
) -> Result<Imported> {
    let (bytes, places) = taken.tickets();
    let file = TableFile {
        name: taken.file.clone(),
        bytes,
    };
    import(book, dock, file, asked, step).map_err(|error| match error {
        ActError::Findings(findings) => Findings(
            findings
                .0
                .into_iter()
                .map(|finding| placed(finding, &places))
                .collect(),
        )
        .into(),
        other => other,
    })
}

fn placed(mut finding: Finding, places: &[(&SheetTaken, u32)]) -> Finding {
    let of = |line: Option<u64>| {
        let (sheet, row) = places.get(usize::try_from(line?.checked_sub(2)?).ok()?)?;
        Some(sheet.place(&finding.field, *row))
    };
    let (place, earlier) = (of(finding.row), of(finding.earlier));
    if let Some(at) = earlier {
        finding.accepted = say!("accepted-own-id", at);
    }
    if place.is_some() {
        (finding.place, finding.row) = (place, None);
    }
    finding
}
