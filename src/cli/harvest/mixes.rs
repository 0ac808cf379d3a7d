use crate::acts::mixes;
use crate::cli::*;
use crate::sheet::{mixes_document, mixes_table};

#[derive(clap::Args)]
pub(in crate::cli) struct Args {
    #[command(flatten)]
    paper: PaperArgs,
}

pub(in crate::cli) fn run(setting: &Setting, args: &Args) -> Done {
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
