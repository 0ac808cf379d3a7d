//! Reading delimited text and TOML so that every bad cell is named at once.
//!
//! Owns: the header check, the readers of cells and values, and [`Finding`], the one form in
//! which a bad cell of any file is told. Must not know what a column means.
//!
//! Invariant: a file either yields all its rows or the list of all findings;
//! nothing is read halfway.

use std::collections::BTreeMap;

use crate::quantity::Decimal;
use crate::words::{Said, is_unseen, say};

mod day;
mod nearest;
mod toml_file;
mod workbook;

pub use day::{month_meant, read_day, time_meant};
pub use nearest::{folded, may_be_a_slip, nearest_names, nearest_told, same_name};
pub(crate) use toml_file::TomlFile;
pub use workbook::{SheetOfBook, cell_name, read_workbook};

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    pub file: String,
    /// Line in the file, the header being line 1; `None` for the whole file.
    pub row: Option<u64>,
    /// Where it stands in a file without lines, such as a workbook.
    pub place: Option<Said>,
    /// The earlier line it does not go with, if it is that.
    pub earlier: Option<u64>,
    pub field: String,
    pub seen: Said,
    pub accepted: Said,
}

impl Finding {
    /// What was seen at a line, or of the whole file.
    pub fn at(
        file: &str,
        row: Option<u64>,
        field: &str,
        seen: impl Into<Said>,
        accepted: impl Into<Said>,
    ) -> Self {
        Self {
            file: file.to_owned(),
            row,
            place: None,
            earlier: None,
            field: field.to_owned(),
            seen: seen.into(),
            accepted: accepted.into(),
        }
    }

    /// What is wrong with the form of a TOML file.
    pub fn of_toml(file: &str, text: &str, error: &toml::de::Error) -> Self {
        let row = error.span().map(|span| line_of(text, span.start));
        let line = |row| text.lines().nth(usize::try_from(row).ok()?.checked_sub(1)?);
        let seen = row.and_then(line).unwrap_or_default().trim();
        let accepted = say!("accepted-toml", why = error.message());
        Self::at(file, row, "TOML", seen, accepted)
    }

    /// What is wrong with one value of a TOML file.
    pub fn of_span<T>(
        file: &str,
        text: &str,
        value: &toml::Spanned<T>,
        field: &str,
        accepted: impl Into<Said>,
    ) -> Self {
        let span = value.span();
        let row = Some(line_of(text, span.start));
        let seen = text.get(span).unwrap_or_default().trim_matches('"');
        Self::at(file, row, field, seen, accepted)
    }

    fn said(&self) -> Said {
        let file = format!("`{}`", self.file);
        let mut place = vec![match self.row {
            Some(row) => say!("finding-row", file, row),
            None => file.into(),
        }];
        place.extend(self.place.clone());
        if !self.field.is_empty() {
            place.push(format!("`{}`", self.field).into());
        }
        let place = Said::joined(place, ", ");
        let seen = match &self.seen {
            Said::Text(text) => shortened(text).into(),
            said => said.clone(),
        };
        not_accepted(place, seen, &self.accepted)
    }
}

/// What was seen at a place, where something else is accepted.
pub(crate) fn not_accepted(place: impl Into<Said>, seen: impl Into<Said>, accepted: &Said) -> Said {
    let (place, seen) = (place.into(), seen.into());
    match seen.is_empty() {
        true => say!("is-missing", place, accepted),
        false => say!("not-accepted", place, seen, accepted),
    }
}

fn line_of(text: &str, offset: usize) -> u64 {
    1 + line_ends(&text.as_bytes()[..offset.min(text.len())])
}

fn line_ends(bytes: &[u8]) -> u64 {
    bytes.iter().filter(|&&byte| byte == b'\n').count() as u64
}

#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{}", self.said().in_english())]
pub struct Findings(pub Vec<Finding>);

const SHOWN_MAX: usize = 20;
/// Far more than any table of ours has, and few enough to answer at once.
const COLUMNS_MOST: usize = 200;
const ROWS_MOST: usize = 1_000_000;

impl Findings {
    pub fn said(&self) -> Said {
        let mut lines: Vec<Said> = self.0.iter().take(SHOWN_MAX).map(Finding::said).collect();
        if self.0.len() > SHOWN_MAX {
            lines.push(say!("findings-more", count = self.0.len() - SHOWN_MAX));
        }
        Said::joined(lines, "\n")
    }
}

fn shortened(text: &str) -> String {
    const LONGEST: usize = 80;
    let clean = text.replace(is_unseen, "\u{fffd}");
    match clean.char_indices().nth(LONGEST) {
        Some((end, _)) => format!("{}...", &clean[..end]),
        None => clean,
    }
}

/// All cells in one text: a record of its own for each row takes several times
/// what it says.
#[derive(Debug)]
pub struct Table {
    file: String,
    header: Vec<String>,
    /// The line of each row.
    lines: Vec<u64>,
    /// Every cell, trimmed, row by row.
    text: String,
    /// Where each cell ends in it.
    ends: Vec<u32>,
}

impl Table {
    /// Reads UTF-8 text with comma separators and a header; a byte order mark
    /// and CRLF line ends are fine.
    ///
    /// `required` columns must be there; `known` says of any further column
    /// whether it is accepted.
    pub fn read(
        file: &str,
        bytes: &[u8],
        required: &[&str],
        known: impl Fn(&str) -> bool,
    ) -> Result<Self, Findings> {
        let whole =
            |seen: Said, accepted| Findings(vec![Finding::at(file, None, "", seen, accepted)]);
        let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
        let text = std::str::from_utf8(bytes).map_err(|error| {
            let line = 1 + line_ends(&bytes[..error.valid_up_to()]);
            whole(say!("seen-not-utf8-line", line), say!("accepted-utf8-csv"))
        })?;
        if text.trim().is_empty() {
            let accepted = say!("accepted-header-with", columns = required.join(","));
            return Err(whole(say!("seen-empty-file"), accepted));
        }
        if text.contains('\0') {
            return Err(whole(say!("seen-nul"), say!("accepted-utf8")));
        }
        let mut reader = csv::ReaderBuilder::new()
            .flexible(true)
            .from_reader(text.as_bytes());
        let header = reader.headers();
        let header = header.map_err(|error| whole(error.into(), say!("accepted-header")))?;
        let header: Vec<String> = header.iter().map(|name| name.trim().to_owned()).collect();
        if header.len() > COLUMNS_MOST {
            let seen = say!("seen-columns", count = header.len());
            let accepted = say!("accepted-columns-most", most = COLUMNS_MOST);
            return Err(whole(seen, accepted));
        }
        let mut findings = header_findings(file, &header, required, known);
        if !findings.is_empty() {
            return Err(Findings(findings));
        }
        let mut lines = Vec::new();
        let (mut cells, mut ends) = (String::with_capacity(text.len()), Vec::new());
        // Lines as an editor counts them: the reader's own are off after CRLF.
        let (mut line, mut counted_to) = (1, 0);
        let mut record = csv::StringRecord::new();
        while (reader.read_record(&mut record))
            .map_err(|error| whole(error.into(), say!("accepted-rows")))?
        {
            let end = (record.position()).map_or(0, |at| usize::try_from(at.byte()).unwrap_or(0));
            let passed = text.get(counted_to..end).unwrap_or_default();
            let blank = text.get(end..).unwrap_or_default();
            let blank = &blank[..blank.len() - blank.trim_start_matches(['\r', '\n']).len()];
            line += line_ends(passed.as_bytes()) + line_ends(blank.as_bytes());
            counted_to = end + blank.len();
            if lines.len() >= ROWS_MOST {
                let accepted = say!("accepted-rows-most", most = ROWS_MOST);
                return Err(whole(say!("seen-more-rows"), accepted));
            }
            if record.len() == header.len() {
                lines.push(line);
                for cell in &record {
                    cells.push_str(cell.trim());
                    // Far more than any reader of files lets in.
                    let end = u32::try_from(cells.len());
                    ends.push(end.map_err(|_| {
                        let accepted = say!("accepted-rows-most", most = ROWS_MOST);
                        whole(say!("seen-more-rows"), accepted)
                    })?);
                }
            } else {
                let accepted = say!("accepted-cells", count = header.len());
                findings.push(Finding::at(
                    file,
                    Some(line),
                    "cells",
                    record.len(),
                    accepted,
                ));
            }
        }
        let file = file.to_owned();
        ends.shrink_to_fit();
        let read = Self {
            file,
            header,
            lines,
            text: cells,
            ends,
        };
        findings_or(findings, read)
    }

    pub fn header(&self) -> &[String] {
        &self.header
    }

    pub fn row_count(&self) -> usize {
        self.lines.len()
    }

    /// Every row, from the first.
    pub fn each(&self) -> impl Iterator<Item = Row<'_>> {
        (0..self.lines.len()).map(|nth| Row {
            table: self,
            nth,
            findings: Vec::new(),
        })
    }

    /// Reads every row with `read`; either all rows or all findings come back.
    pub fn rows<T>(
        &self,
        mut read: impl FnMut(&mut Row<'_>) -> Option<T>,
    ) -> Result<Vec<T>, Findings> {
        let mut all = Vec::with_capacity(self.lines.len());
        let mut findings = Vec::new();
        for mut row in self.each() {
            match read(&mut row) {
                Some(value) if row.findings.is_empty() => all.push(value),
                _ => findings.append(&mut row.findings),
            }
        }
        findings_or(findings, all)
    }
}

/// What was read where nothing was wrong.
pub(crate) fn findings_or<T>(findings: Vec<Finding>, read: T) -> Result<T, Findings> {
    match findings.is_empty() {
        true => Ok(read),
        false => Err(Findings(findings)),
    }
}

fn header_findings(
    file: &str,
    header: &[String],
    required: &[&str],
    known: impl Fn(&str) -> bool,
) -> Vec<Finding> {
    let finding =
        |field: &str, seen: Said, accepted| Finding::at(file, Some(1), field, seen, accepted);
    if let [only] = header
        && required.len() > 1
        && let Some(separator) = [';', '\t', '|'].into_iter().find(|&c| only.contains(c))
    {
        let separator = separator.escape_default();
        let accepted = say!("accepted-commas", separator);
        return vec![finding("header", only.into(), accepted)];
    }
    let columns = || say!("accepted-columns", columns = required.join(","));
    let mut findings = Vec::new();
    for (position, name) in header.iter().enumerate() {
        if header[..position].contains(name) {
            let (seen, once) = (say!("seen-column-twice"), say!("accepted-column-once"));
            findings.push(finding(name, seen, once));
        } else if !required.contains(&name.as_str()) && !known(name) {
            findings.push(finding("header", name.into(), columns()));
        }
    }
    let lacking = (required.iter()).filter(|name| !header.iter().any(|seen| seen == *name));
    findings.extend(lacking.map(|name| finding(name, say!("seen-no-column"), columns())));
    findings
}

/// One row while it is read; bad cells are collected, not thrown.
pub struct Row<'a> {
    table: &'a Table,
    /// Which of the table's rows.
    nth: usize,
    findings: Vec<Finding>,
}

impl Row<'_> {
    /// Line in the file; the header is line 1.
    pub fn line(&self) -> u64 {
        self.table.lines[self.nth]
    }

    /// The trimmed text of a column; `None` when empty or when the file has no such column.
    pub fn text(&self, column: &str) -> Option<&str> {
        let header = &self.table.header;
        let position = header.iter().position(|name| name == column)?;
        let (cell, ends) = (self.nth * header.len() + position, &self.table.ends);
        let at = |cell: usize| usize::try_from(ends[cell]).ok();
        let start = cell.checked_sub(1).map_or(Some(0), at)?;
        let text = self.table.text.get(start..at(cell)?)?;
        (!text.is_empty()).then_some(text)
    }

    pub fn reject(&mut self, column: &str, seen: impl Into<Said>, accepted: impl Into<Said>) {
        let row = Some(self.line());
        let finding = Finding::at(&self.table.file, row, column, seen, accepted);
        self.findings.push(finding);
    }

    /// Notes the earlier line that what was rejected last does not go with.
    pub fn is_beside(&mut self, line: u64) {
        if let Some(last) = self.findings.last_mut() {
            last.earlier = Some(line);
        }
    }

    /// Notes a key that an earlier row has; `seen` holds the rows by their keys.
    pub fn once<K: Ord>(
        &mut self,
        seen: &mut BTreeMap<K, u64>,
        key: K,
        (column, text): (&str, &str),
    ) {
        if let Some(row) = seen.insert(key, self.line()) {
            self.reject(column, text, say!("accepted-once", what = column, row));
        }
    }

    /// The text of a column that must not be empty.
    pub fn needed(&mut self, column: &str, accepted: impl Into<Said>) -> Option<String> {
        let text = self.text(column).map(ToOwned::to_owned);
        if text.is_none() {
            self.reject(column, "", accepted);
        }
        text
    }

    /// Reads a cell with `parse`: empty gives `None`, a bad one is noted.
    pub fn parsed<T>(
        &mut self,
        column: &str,
        accepted: impl Into<Said>,
        parse: impl Fn(&str) -> Option<T>,
    ) -> Option<T> {
        let text = self.text(column)?.to_owned();
        let value = parse(&text);
        if value.is_none() {
            self.reject(column, &text, accepted);
        }
        value
    }

    /// The same of a cell that must not be empty.
    pub fn required<T>(
        &mut self,
        column: &str,
        accepted: impl Into<Said>,
        parse: impl Fn(&str) -> Option<T>,
    ) -> Option<T> {
        let accepted = accepted.into();
        self.needed(column, &accepted)?;
        self.parsed(column, accepted, parse)
    }

    /// A finite number within `low..=high`; empty gives `None`.
    pub fn number(&mut self, column: &str, low: f64, high: f64) -> Option<f64> {
        let accepted = say!("accepted-number-cell", low, high);
        self.parsed(column, accepted, |text| {
            let number = Decimal::parse(text).ok()?.to_f64();
            (low..=high).contains(&number).then_some(number)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn message(bytes: &[u8]) -> String {
        Table::read("t.csv", bytes, &["a", "b"], |_| false)
            .expect_err("bad table")
            .to_string()
    }

    #[test]
    fn malformed_files_say_what_and_where() {
        insta::assert_snapshot!(message(b""), @"`t.csv`: `an empty file` is not accepted; accepted: a header row with a,b");
        insta::assert_snapshot!(message(b"a;b\n1;2\n"), @"`t.csv` row 1, `header`: `a;b` is not accepted; accepted: columns separated by commas, not by `;`");
        insta::assert_snapshot!(message(b"a,b,a\n"), @"`t.csv` row 1, `a`: `a column named twice` is not accepted; accepted: each column once");
        insta::assert_snapshot!(message(b"a,b\n1\n1,2,3\n"), @r"
        `t.csv` row 2, `cells`: `1` is not accepted; accepted: 2 cells, as in the header
        `t.csv` row 3, `cells`: `3` is not accepted; accepted: 2 cells, as in the header
        ");
        insta::assert_snapshot!(message(b"a,b\n\xff\xfe,1\n"), @"`t.csv`: `bytes that are not UTF-8 on line 2` is not accepted; accepted: UTF-8 text (save the file as CSV UTF-8)");
    }

    #[test]
    fn byte_order_mark_and_crlf_are_read() {
        let table = Table::read("t.csv", b"\xef\xbb\xbfa,b\r\n1,2\r\n", &["a", "b"], |_| {
            false
        })
        .expect("table");
        let rows = table.rows(|row| row.number("b", 0.0, 5.0)).expect("rows");
        assert_eq!(rows, [2.0]);
    }
}
