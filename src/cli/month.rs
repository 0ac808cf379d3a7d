use crate::acts::{ActError, Month, month};
use crate::sheet::{json as to_json, month_csv, month_document};

use super::error::CliError;
use super::setting::Setting;
use super::{DONE, output};

#[derive(clap::Args)]
pub(super) struct Args {
    /// The month, such as 2026-10; this month if left out
    month: Option<String>,
    /// The month before this one
    #[arg(long, conflicts_with = "month")]
    last: bool,
    /// Print CSV, whole grams
    #[arg(long, conflicts_with = "json")]
    csv: bool,
}

pub(super) fn run(setting: &Setting, args: &Args) -> Result<u8, CliError> {
    let (book, farm) = setting.open()?;
    let this = Month::of(setting.now.to_zoned_datetime(farm.zone.clone()).date());
    let wanted = match &args.month {
        Some(text) => Month::parse(text).map_err(ActError::from)?,
        None if args.last => this.before(),
        None => this,
    };
    let (report, head) = month(&book, &farm, wanted)?;
    if setting.json {
        output::json(&to_json::month(&report));
    } else if args.csv {
        output::text(&month_csv(&report).map_err(|error| {
            CliError::refused(format!("the CSV could not be written: {error}"))
        })?);
    } else {
        output::document(&month_document(&report, farm.units, &head));
    }
    Ok(DONE)
}
