//! Flags that several commands share: other forms of the page, written to files.

use std::fmt::Display;
use std::io::Write;
use std::path::{Path, PathBuf};

use serde::Serialize;

use crate::quantity::wire::Versioned;
use crate::sheet::{
    self, DataTable, Document, LearnSheet, MixesSheet, MoneySheet, MonthSheet, StatementSheet,
    TraceSheet, YieldSheet, data_csv, data_xlsx, html, json as to_json,
};
use crate::words::say;

use super::error::CliError;
use super::setting::Setting;
use super::{DONE, Done, output};

/// Of a long table so many rows are still read at a terminal; files and JSON list all.
const LISTED_MOST: usize = 200;

/// Other forms of a page.
#[derive(clap::Args)]
pub(super) struct PaperArgs {
    /// Print CSV; weights in whole grams unless the column says kg
    #[arg(long, conflicts_with = "json")]
    csv: bool,
    /// Write a page made for print
    #[arg(long, value_name = "FILE")]
    html: Option<PathBuf>,
    /// Write a workbook
    #[arg(long, value_name = "FILE")]
    xlsx: Option<PathBuf>,
}

/// What other forms a sheet has besides its page.
pub(super) trait Paper {
    type Json: Serialize + for<'a> From<&'a Self>;

    fn table(&self) -> DataTable;

    fn tables(&self) -> Vec<DataTable> {
        vec![self.table()]
    }
}

macro_rules! papers {
    ($($sheet:ty as $json:ident: $table:ident $(, $tables:ident)?;)+) => {$(
        impl Paper for $sheet {
            type Json = to_json::$json;

            fn table(&self) -> DataTable {
                sheet::$table(self)
            }

            $(fn tables(&self) -> Vec<DataTable> {
                sheet::$tables(self)
            })?
        }
    )+};
}

papers! {
    LearnSheet as Learn: learn_table;
    MixesSheet as Mixes: mixes_table;
    MoneySheet as Money: payments_table, money_tables;
    MonthSheet as Month: month_table, month_tables;
    StatementSheet as Statement: statement_table, statement_tables;
    TraceSheet as Trace: trace_table, trace_tables;
    YieldSheet as Yields: yields_table;
}

impl PaperArgs {
    /// Writes the files asked for and prints one form; a page may be told how
    /// many rows of a table are read at most.
    pub(super) fn hand_out<S: Paper>(
        &self,
        setting: &Setting,
        sheet: &S,
        page: impl Fn(&S, usize) -> Document,
    ) -> Done {
        if let Some(path) = &self.html {
            write_page(path, &page(sheet, usize::MAX))?;
        }
        if let Some(path) = &self.xlsx {
            write(path, &made(data_xlsx(&sheet.tables()))?)?;
        }
        if setting.json {
            output::json(Versioned::first(S::Json::from(sheet)));
        } else if self.csv {
            output::text(&made(data_csv(&sheet.table()))?);
        } else if let Some(path) = self.html.as_ref().or(self.xlsx.as_ref()) {
            output::note(say!("written", file = path.display()));
        } else {
            output::document(&page(sheet, LISTED_MOST));
        }
        Ok(DONE)
    }
}

/// Writes a page as HTML.
pub(super) fn write_page(path: &Path, page: &Document) -> Result<(), CliError> {
    let page = made(html(&page.in_language(output::language())))?;
    write(path, page.as_bytes())
}

/// A page or table that could be made, or the one error for those that could not.
fn made<T, E: Display>(made: Result<T, E>) -> Result<T, CliError> {
    made.map_err(|error| CliError::refused(say!("not-made", error = error)))
}

/// Writes a file whole or not at all: beside it first, then renamed.
pub(super) fn write(path: &Path, bytes: &[u8]) -> Result<(), CliError> {
    let shown = path.display();
    let mut name = path.file_name().unwrap_or_default().to_owned();
    if name.is_empty() {
        return Err(CliError::usage(say!("not-a-file-name", name = shown)));
    }
    name.push(format!(".part-{}", std::process::id()));
    let part = path.with_file_name(name);
    let written = std::fs::File::create(&part)
        .and_then(|mut file| file.write_all(bytes).and_then(|()| file.sync_all()))
        .and_then(|()| std::fs::rename(&part, path));
    written.map_err(|error| {
        let _gone = std::fs::remove_file(&part);
        CliError::refused(say!("not-written", name = shown, error = error))
    })
}
