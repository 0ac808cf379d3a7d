use std::path::PathBuf;

use serde_json::json;

use crate::acts::ActError;
use crate::daybook::{Daybook, SealMark};
use crate::sheet::{Document, Tone, plural};

use super::error::CliError;
use super::setting::Setting;
use super::{DONE, REFUSED, output};

#[derive(clap::Args)]
pub(super) struct Args {
    /// A seal as printed on a sheet or statement, such as 57-1a2b3c4d
    #[arg(long, value_name = "SEAL", alias = "head")]
    seal: Option<String>,
}

pub(super) fn run(setting: &Setting, args: &Args) -> Result<u8, CliError> {
    let mark = args
        .seal
        .as_deref()
        .map(str::parse::<SealMark>)
        .transpose()
        .map_err(ActError::from)?;
    let book = Daybook::open(&setting.daybook).map_err(ActError::from)?;
    let report = book.check(mark.as_ref()).map_err(ActError::from)?;
    let tables = setting.load_tables()?;
    let own: Vec<String> = setting
        .table_paths()
        .into_iter()
        .filter_map(|(name, path)| path.map(|path| format!("{name} from {}", path.display())))
        .collect();
    if setting.json {
        output::json(json!({
            "schema": 1, "whole": report.is_whole(), "records": report.records, "tickets": report.tickets, "seal": report.seal.short(),
            "flaws": report.flaws.iter().map(|flaw| json!({"record": flaw.record, "what": flaw.what})).collect::<Vec<_>>(),
            "streams": tables.streams.len(), "own_tables": own, "cautions": tables.cautions,
        }));
    } else {
        let mut document = Document::titled(format!("Check of {}", setting.daybook.display()));
        if report.is_whole() {
            document.toned(
                Tone::Good,
                format!(
                    "The book is whole: {} read back and compared, {} numbered without a gap.",
                    plural(report.records, "record", "records"),
                    plural(report.tickets, "ticket", "tickets")
                ),
            );
        } else {
            document.toned(
                Tone::Out,
                format!(
                    "The book is NOT whole: {}.",
                    plural(
                        i64::try_from(report.flaws.len()).unwrap_or(i64::MAX),
                        "flaw",
                        "flaws"
                    )
                ),
            );
            for flaw in &report.flaws {
                document.toned(Tone::Out, format!("- {flaw}"));
            }
        }
        if mark.is_some() && report.is_whole() {
            document.line("The printed seal is in the book, unchanged.");
        }
        document.line(format!(
            "Tables: {}, {}.",
            plural(
                i64::try_from(tables.streams.len()).unwrap_or(i64::MAX),
                "stream",
                "streams"
            ),
            if own.is_empty() {
                "all as shipped".to_owned()
            } else {
                own.join(", ")
            }
        ));
        for caution in &tables.cautions {
            document.toned(Tone::Caution, caution.clone());
        }
        document.toned(Tone::Small, format!("Book seal {}. A book cut short at its end looks whole by itself: compare the seal with one printed earlier, `trayful check --seal SEAL`.", report.seal.short()));
        output::document(&document);
    }
    Ok(if report.is_whole() { DONE } else { REFUSED })
}

#[derive(clap::Args)]
pub(super) struct KeepArgs {
    /// The copy to write; a file that is not there yet
    target: PathBuf,
}

pub(super) fn keep(setting: &Setting, args: &KeepArgs) -> Result<u8, CliError> {
    let book = Daybook::open(&setting.daybook).map_err(ActError::from)?;
    let seal = book.keep(&args.target).map_err(ActError::from)?;
    if setting.json {
        output::json(json!({"schema": 1, "copy": args.target, "seal": seal.short()}));
        return Ok(DONE);
    }
    let mut document = Document::titled(format!("Copy kept in {}", args.target.display()));
    document.line(format!(
        "Read back whole, seal {}. Keep it on another disk.",
        seal.short()
    ));
    output::document(&document);
    Ok(DONE)
}
