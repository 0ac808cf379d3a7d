use crate::acts::stock_now;
use crate::sheet::{json as to_json, stock_document};

use super::error::CliError;
use super::setting::Setting;
use super::{DONE, output};

#[derive(clap::Args)]
pub(super) struct Args {}

pub(super) fn run(setting: &Setting, _args: &Args) -> Result<u8, CliError> {
    let (book, farm) = setting.open()?;
    let tables = setting.load_tables()?;
    let at = setting.asked(&farm.zone)?.at;
    let view = stock_now(&book, &farm, &tables, at)?;
    if setting.json {
        output::json(&to_json::stock(&view.lots));
    } else {
        output::document(&stock_document(&view));
    }
    Ok(DONE)
}
