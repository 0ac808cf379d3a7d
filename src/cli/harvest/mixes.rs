use crate::acts::mixes;
use crate::cli::*;
use crate::sheet::mixes_document;

#[derive(clap::Args)]
pub(crate) struct Args {
    #[command(flatten)]
    paper: PaperArgs,
}

pub(crate) fn run(setting: &Setting, args: &Args) -> Done {
    let papers = args.paper.ready(setting)?;
    let (book, farm, tables) = setting.open_all()?;
    let sheet = mixes((&book, &farm, &tables), setting.now)?;
    let page = |sheet: &_, _| mixes_document(sheet);
    papers.hand_out(setting, &sheet, page)
}
