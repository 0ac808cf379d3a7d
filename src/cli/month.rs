use std::path::PathBuf;

use crate::acts::{ActError, Month, close_month, month, read_methane};
use crate::report::methane::methane_told;
use crate::sheet::{
    data_csv, data_xlsx, html, json as to_json, month_document, month_table, month_tables,
};

use super::error::CliError;
use super::paper::{MethaneArgs, write};
use super::setting::Setting;
use super::{DONE, output};

#[derive(clap::Args)]
pub(super) struct Args {
    /// The month, such as 2026-10; this month if left out
    month: Option<String>,
    /// The month before this one
    #[arg(long, conflicts_with = "month")]
    last: bool,
    /// Freeze it as it is handed out; again after changes makes the next version
    #[arg(long, conflicts_with = "version")]
    close: bool,
    /// Why there is another version of a closed month
    #[arg(long, requires = "close", value_name = "REASON")]
    why: Option<String>,
    /// Print this closed version, as it was; the newest if left out
    #[arg(long, value_name = "N")]
    version: Option<i64>,
    /// Print CSV, whole grams
    #[arg(long, conflicts_with = "json")]
    csv: bool,
    /// Write a page made for print
    #[arg(long, value_name = "FILE")]
    html: Option<PathBuf>,
    /// Write a workbook
    #[arg(long, value_name = "FILE")]
    xlsx: Option<PathBuf>,
    #[command(flatten)]
    methane: MethaneArgs,
}

pub(super) fn run(setting: &Setting, args: &Args) -> Result<u8, CliError> {
    let (mut book, farm) = setting.open()?;
    let this = Month::of(setting.now.to_zoned_datetime(farm.zone.clone()).date());
    let wanted = match &args.month {
        Some(text) => Month::parse(text).map_err(ActError::from)?,
        None if args.last => this.before(),
        None => this,
    };
    let methane = args
        .methane
        .text()
        .map(|text| read_methane(&text))
        .transpose()?;
    let version = if args.close {
        let asked = setting.asked(&farm.zone)?;
        Some(close_month(&mut book, wanted, args.why.as_deref(), &asked)?)
    } else {
        args.version
    };
    let mut sheet = month(&book, wanted, version)?;
    sheet.methane = methane.map(|asked| {
        let suppliers = sheet.report.suppliers.iter();
        methane_told(
            &asked,
            suppliers.map(|one| (one.supplier.as_str(), &one.flow)),
        )
    });
    let document = month_document(&sheet);
    if let Some(path) = &args.html {
        write(path, output::page(html(&document))?.as_bytes())?;
    }
    if let Some(path) = &args.xlsx {
        write(path, &output::page(data_xlsx(&month_tables(&sheet)))?)?;
    }
    if setting.json {
        output::json(&to_json::month(&sheet));
    } else if args.csv {
        output::text(&output::page(data_csv(&month_table(&sheet)))?);
    } else if let Some(path) = args.html.as_ref().or(args.xlsx.as_ref()) {
        output::note(&format!("{wanted} is in {}", path.display()));
    } else {
        output::document(&document);
    }
    Ok(DONE)
}
