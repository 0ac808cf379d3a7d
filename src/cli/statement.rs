use std::path::PathBuf;

use crate::acts::{ActError, Month, read_methane, statement};
use crate::report::methane::methane_told;
use crate::sheet::{
    data_csv, data_xlsx, html, json as to_json, statement_document, statement_table,
    statement_tables,
};

use super::error::CliError;
use super::paper::{MethaneArgs, write};
use super::setting::Setting;
use super::{DONE, output};

#[derive(clap::Args)]
pub(super) struct Args {
    /// The supplier, as on the tickets
    supplier: String,
    /// The month, such as 2026-10; the month before this one if left out
    month: Option<String>,
    /// Of this closed version, as it was; the newest if left out
    #[arg(long, value_name = "N")]
    version: Option<i64>,
    /// Print the ticket list as CSV, whole grams
    #[arg(long, conflicts_with = "json")]
    csv: bool,
    /// Write one page made for print
    #[arg(long, value_name = "FILE")]
    html: Option<PathBuf>,
    /// Write a workbook
    #[arg(long, value_name = "FILE")]
    xlsx: Option<PathBuf>,
    #[command(flatten)]
    methane: MethaneArgs,
}

pub(super) fn run(setting: &Setting, args: &Args) -> Result<u8, CliError> {
    let (book, farm) = setting.open()?;
    let wanted = match &args.month {
        Some(text) => Month::parse(text).map_err(ActError::from)?,
        None => Month::of(setting.now.to_zoned_datetime(farm.zone.clone()).date()).before(),
    };
    let methane = args
        .methane
        .text()
        .map(|text| read_methane(&text))
        .transpose()?;
    let mut sheet = statement(&book, &args.supplier, wanted, args.version)?;
    sheet.methane = methane.map(|asked| {
        let told = &sheet.statement;
        methane_told(&asked, [(told.supplier.as_str(), &told.flow)])
    });
    let document = statement_document(&sheet);
    if let Some(path) = &args.html {
        write(path, output::page(html(&document))?.as_bytes())?;
    }
    if let Some(path) = &args.xlsx {
        write(path, &output::page(data_xlsx(&statement_tables(&sheet)))?)?;
    }
    if setting.json {
        output::json(&to_json::statement(&sheet));
    } else if args.csv {
        output::text(&output::page(data_csv(&statement_table(&sheet)))?);
    } else if let Some(path) = args.html.as_ref().or(args.xlsx.as_ref()) {
        output::note(&format!(
            "the statement for {}, {wanted}, is in {}",
            sheet.statement.supplier,
            path.display()
        ));
    } else {
        output::document(&document);
    }
    Ok(DONE)
}
