use crate::cli::*;
use crate::sheet::{stages_document, stages_json};

#[derive(clap::Args)]
pub(crate) struct Args {}

pub(crate) fn run(setting: &Setting, _: &Args) -> Done {
    let tables = setting.load_tables()?;
    if setting.json {
        output::json(stages_json(&tables.stages, &tables.sources));
    } else {
        output::document(&stages_document(&tables.stages, &tables.sources));
    }
    Ok(DONE)
}
