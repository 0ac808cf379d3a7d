use crate::cli::*;
use crate::sheet::{stages_document, stages_json};

#[derive(clap::Args)]
pub(crate) struct Args {}

pub(crate) fn run(setting: &Setting, _: &Args) -> Done {
    let tables = setting.load_tables()?;
    let (stages, sources) = (&tables.stages, &tables.sources);
    let page = stages_document(stages, sources);
    setting.list(stages_json(stages, sources), &page)
}
