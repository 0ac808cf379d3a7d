use crate::sheet::{stages_document, stages_json};

use super::error::CliError;
use super::setting::Setting;
use super::{DONE, output};

#[derive(clap::Args)]
pub(super) struct Args {}

pub(super) fn run(setting: &Setting, _: &Args) -> Result<u8, CliError> {
    let tables = setting.load_tables()?;
    if setting.json {
        output::json(stages_json(&tables.stages, &tables.sources));
    } else {
        output::document(&stages_document(&tables.stages, &tables.sources));
    }
    Ok(DONE)
}
