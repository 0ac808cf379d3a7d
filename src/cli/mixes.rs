use std::path::PathBuf;

use crate::acts::mixes;
use crate::sheet::{data_csv, data_xlsx, html, mixes_document, mixes_json, mixes_table};

use super::error::CliError;
use super::paper::write;
use super::setting::Setting;
use super::{DONE, output};

#[derive(clap::Args)]
pub(super) struct Args {
    /// Print the best and worst as CSV
    #[arg(long, conflicts_with = "json")]
    csv: bool,
    /// Write a page made for print
    #[arg(long, value_name = "FILE")]
    html: Option<PathBuf>,
    /// Write a workbook
    #[arg(long, value_name = "FILE")]
    xlsx: Option<PathBuf>,
}

pub(super) fn run(setting: &Setting, args: &Args) -> Result<u8, CliError> {
    let (book, farm) = setting.open()?;
    let tables = setting.load_tables()?;
    let sheet = mixes(&book, &farm, &tables, setting.now)?;
    let document = mixes_document(&sheet);
    if let Some(path) = &args.html {
        write(path, output::page(html(&document))?.as_bytes())?;
    }
    if let Some(path) = &args.xlsx {
        write(path, &output::page(data_xlsx(&[mixes_table(&sheet)]))?)?;
    }
    if setting.json {
        output::json(&mixes_json(&sheet));
    } else if args.csv {
        output::text(&output::page(data_csv(&mixes_table(&sheet)))?);
    } else if let Some(path) = args.html.as_ref().or(args.xlsx.as_ref()) {
        output::note(&format!("which mixes worked is in {}", path.display()));
    } else {
        output::document(&document);
    }
    Ok(DONE)
}
