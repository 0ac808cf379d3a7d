use crate::acts::mixes;
use crate::sheet::{json as to_json, mixes_document, mixes_table};

use super::error::CliError;
use super::paper::{Paper, PaperArgs};
use super::setting::Setting;

#[derive(clap::Args)]
pub(super) struct Args {
    #[command(flatten)]
    paper: PaperArgs,
}

pub(super) fn run(setting: &Setting, args: &Args) -> Result<u8, CliError> {
    let (book, farm, tables) = setting.open_all()?;
    let sheet = mixes(&book, &farm, &tables, setting.now)?;
    let paper = Paper {
        document: &|_| mixes_document(&sheet),
        table: &|| mixes_table(&sheet),
        tables: &|| vec![mixes_table(&sheet)],
        json: &|| to_json::Mixes::from(&sheet),
    };
    args.paper.hand_out(setting, &paper)
}
