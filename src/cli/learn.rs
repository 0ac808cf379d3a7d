use std::path::PathBuf;

use serde_json::json;

use crate::acts::{learn, take_over};
use crate::sheet::{
    Document, Tone, data_csv, data_xlsx, html, json as to_json, learn_document, learn_table,
};

use super::error::CliError;
use super::paper::write;
use super::setting::Setting;
use super::{DONE, output};

#[derive(clap::Args)]
pub(super) struct Args {
    /// Take a proposal over, such as keeps-days:spent-grain; what stands now is kept beside it
    #[arg(long, value_name = "PROPOSAL")]
    take: Option<String>,
    /// Print what was learned of suppliers as CSV
    #[arg(long, conflicts_with_all = ["json", "take"])]
    csv: bool,
    /// Write a page made for print
    #[arg(long, conflicts_with = "take", value_name = "FILE")]
    html: Option<PathBuf>,
    /// Write a workbook
    #[arg(long, conflicts_with = "take", value_name = "FILE")]
    xlsx: Option<PathBuf>,
}

pub(super) fn run(setting: &Setting, args: &Args) -> Result<u8, CliError> {
    let (mut book, farm) = setting.open()?;
    let tables = setting.load_tables()?;
    if let Some(key) = &args.take {
        let asked = setting.asked(&farm.zone)?;
        let (record, own) = take_over(&mut book, &farm, &tables, key, &asked)?;
        if setting.json {
            output::json(&json!({
                "schema": 1, "record": record, "what": own.what, "subject": own.subject,
                "value": own.value, "before": own.before, "evidence": own.evidence,
            }));
            return Ok(DONE);
        }
        let mut document = Document::titled(format!("{key}: taken over"));
        document.line(format!("On the evidence: {}.", own.evidence));
        document.toned(
            Tone::Next,
            format!("Stock, mix and nights ahead reckon with it from now on. To go back: trayful strike r{record} --why REASON"),
        );
        output::document(&document);
        return Ok(DONE);
    }
    let sheet = learn(&book, &farm, &tables, setting.now)?;
    let document = learn_document(&sheet);
    if let Some(path) = &args.html {
        write(path, output::page(html(&document))?.as_bytes())?;
    }
    if let Some(path) = &args.xlsx {
        write(path, &output::page(data_xlsx(&[learn_table(&sheet)]))?)?;
    }
    if setting.json {
        output::json(&to_json::learn(&sheet));
    } else if args.csv {
        output::text(&output::page(data_csv(&learn_table(&sheet)))?);
    } else if let Some(path) = args.html.as_ref().or(args.xlsx.as_ref()) {
        output::note(&format!("what was learned is in {}", path.display()));
    } else {
        output::document(&document);
    }
    Ok(DONE)
}
