use std::path::PathBuf;

use crate::acts::{TraceFrom, TraceText, trace};
use crate::sheet::{
    data_csv, data_xlsx, html, json as to_json, recall_document, trace_document, trace_table,
    trace_tables,
};

use super::error::CliError;
use super::paper::write;
use super::setting::Setting;
use super::{DONE, output};

#[derive(clap::Args)]
pub(super) struct Args {
    /// Tickets, by id or number
    tickets: Vec<String>,
    /// A cohort: its name (the newest of it) or its record, such as r57
    #[arg(long, value_name = "NAME")]
    cohort: Option<String>,
    /// A harvest, by its record, such as r57
    #[arg(long, value_name = "rN")]
    harvest: Option<String>,
    /// All tickets of a supplier
    #[arg(long, value_name = "NAME")]
    supplier: Option<String>,
    /// All sales to a buyer
    #[arg(long, value_name = "NAME")]
    buyer: Option<String>,
    /// First day of the supplier's tickets or the buyer's sales
    #[arg(long, value_name = "DAY")]
    from: Option<String>,
    /// Last day of them
    #[arg(long, value_name = "DAY")]
    to: Option<String>,
    /// Print one row a link as CSV, whole grams
    #[arg(long, conflicts_with = "json")]
    csv: bool,
    /// Write a page made for print
    #[arg(long, value_name = "FILE")]
    html: Option<PathBuf>,
    /// Write a workbook
    #[arg(long, value_name = "FILE")]
    xlsx: Option<PathBuf>,
}

/// Of each table so many rows are still read; files and JSON list all.
const LISTED_MOST: usize = 200;

pub(super) fn run(setting: &Setting, args: Args, recall: bool) -> Result<u8, CliError> {
    let from = TraceFrom::read(&TraceText {
        tickets: args.tickets,
        cohort: args.cohort,
        harvest: args.harvest,
        supplier: args.supplier,
        buyer: args.buyer,
        from: args.from,
        to: args.to,
    })?;
    let (book, farm) = setting.open()?;
    let tables = setting.load_tables()?;
    let sheet = trace(&book, &farm, &tables, &from, recall, setting.now)?;
    let document = if recall {
        recall_document
    } else {
        trace_document
    };
    if let Some(path) = &args.html {
        let page = output::page(html(&document(&sheet, usize::MAX)))?;
        write(path, page.as_bytes())?;
    }
    if let Some(path) = &args.xlsx {
        write(path, &output::page(data_xlsx(&trace_tables(&sheet)))?)?;
    }
    if setting.json {
        output::json(&to_json::trace(&sheet));
    } else if args.csv {
        output::text(&output::page(data_csv(&trace_table(&sheet)))?);
    } else if let Some(path) = args.html.as_ref().or(args.xlsx.as_ref()) {
        output::note(&format!("{} is in {}", sheet.subject, path.display()));
    } else {
        output::document(&document(&sheet, LISTED_MOST));
    }
    Ok(DONE)
}
