//! Flags that several commands share: other forms of the page, written to files.

use std::fmt::Display;
use std::io::Write;
use std::path::{Path, PathBuf};

use serde::Serialize;

use crate::quantity::wire::Versioned;
use crate::sheet::{DataTable, Document, data_csv, data_xlsx, html};

use crate::words::say;

use super::error::CliError;
use super::setting::Setting;
use super::{DONE, output};

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

/// A page in every form there may be asked for.
pub(super) struct Paper<'a, J> {
    /// With at most so many rows in a table.
    pub(super) document: &'a dyn Fn(usize) -> Document,
    pub(super) table: &'a dyn Fn() -> DataTable,
    pub(super) tables: &'a dyn Fn() -> Vec<DataTable>,
    pub(super) json: &'a dyn Fn() -> J,
}

impl PaperArgs {
    /// Writes the files asked for and prints one form.
    pub(super) fn hand_out<J: Serialize>(
        &self,
        setting: &Setting,
        paper: &Paper<'_, J>,
    ) -> Result<u8, CliError> {
        if let Some(path) = &self.html {
            write_page(path, &(paper.document)(usize::MAX))?;
        }
        if let Some(path) = &self.xlsx {
            write(path, &made(data_xlsx(&(paper.tables)()))?)?;
        }
        if setting.json {
            output::json(Versioned::first((paper.json)()));
        } else if self.csv {
            output::text(&made(data_csv(&(paper.table)()))?);
        } else if let Some(path) = self.html.as_ref().or(self.xlsx.as_ref()) {
            output::note(say!("written", file = path.display()));
        } else {
            output::document(&(paper.document)(LISTED_MOST));
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
    made.map_err(|error| CliError::refused(format!("the page could not be made: {error}")))
}

/// Writes a file whole or not at all: beside it first, then renamed.
pub(super) fn write(path: &Path, bytes: &[u8]) -> Result<(), CliError> {
    let shown = path.display();
    let mut name = path.file_name().unwrap_or_default().to_owned();
    if name.is_empty() {
        let said = format!("`{shown}` is not accepted; accepted: the name of a file");
        return Err(CliError::usage(said));
    }
    name.push(format!(".part-{}", std::process::id()));
    let part = path.with_file_name(name);
    let written = std::fs::File::create(&part)
        .and_then(|mut file| file.write_all(bytes).and_then(|()| file.sync_all()))
        .and_then(|()| std::fs::rename(&part, path));
    written.map_err(|error| {
        let _gone = std::fs::remove_file(&part);
        CliError::refused(format!("`{shown}` could not be written: {error}"))
    })
}
