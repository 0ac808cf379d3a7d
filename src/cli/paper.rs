//! Flags that several commands share: other forms of the page, written to files.

use std::fmt::Display;
use std::path::PathBuf;

use serde::Serialize;

use crate::quantity::wire::Versioned;
use crate::sheet::{
    self, DataTable, Document, LearnSheet, MixesSheet, MoneySheet, MonthSheet, SitesSheet,
    StatementSheet, TraceSheet, YieldSheet, data_csv, data_xlsx, html, json as to_json,
};
use crate::words::say;

use super::error::CliError;
use super::setting::Setting;
use super::target::{Over, Target};
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
    #[command(flatten)]
    over: Over,
}

/// The same, with places that may be written to.
pub(super) struct Papers {
    csv: bool,
    html: Option<Target>,
    xlsx: Option<Target>,
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
    SitesSheet as Sites: sites_table, sites_tables;
    StatementSheet as Statement: statement_table, statement_tables;
    TraceSheet as Trace: trace_table, trace_tables;
    YieldSheet as Yields: yields_table;
}

impl PaperArgs {
    /// Looks at the files asked for before anything is done.
    pub(super) fn ready(&self, setting: &Setting) -> Result<Papers, CliError> {
        let named = self.html.iter().chain(&self.xlsx);
        let mut targets = self
            .over
            .targets(setting, named.map(PathBuf::as_path))?
            .into_iter();
        Ok(Papers {
            csv: self.csv,
            html: self.html.as_ref().and_then(|_| targets.next()),
            xlsx: self.xlsx.as_ref().and_then(|_| targets.next()),
        })
    }
}

impl Papers {
    /// Writes the files asked for and prints one form; a page may be told how
    /// many rows of a table are read at most.
    pub(super) fn hand_out<S: Paper>(
        &self,
        setting: &Setting,
        sheet: &S,
        page: impl Fn(&S, usize) -> Document,
    ) -> Done {
        if let Some(target) = &self.html {
            write_page(target, &page(sheet, usize::MAX))?;
        }
        if let Some(target) = &self.xlsx {
            target.write(&made(data_xlsx(&sheet.tables()))?)?;
        }
        if setting.json {
            output::json(Versioned::first(S::Json::from(sheet)));
        } else if self.csv {
            output::text(&made(data_csv(&sheet.table()))?);
        } else if let Some(target) = self.html.as_ref().or(self.xlsx.as_ref()) {
            output::note(say!("written", file = target.named().display()));
        } else {
            output::document(&page(sheet, LISTED_MOST));
        }
        Ok(DONE)
    }
}

/// Writes a page as HTML.
pub(super) fn write_page(target: &Target, page: &Document) -> Result<(), CliError> {
    let page = made(html(&output::page(page)))?;
    target.write(page.as_bytes())
}

/// A page or table that could be made, or the one error for those that could not.
fn made<T, E: Display>(made: Result<T, E>) -> Result<T, CliError> {
    made.map_err(|error| CliError::refused(say!("not-made", error = error)))
}
