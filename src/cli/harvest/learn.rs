use crate::acts::{learn, mixes, take_over};
use crate::cli::*;
use crate::sheet::{learn_document, mixes_document};

#[derive(clap::Args)]
pub(crate) struct Args {
    /// Take a proposal over, such as keeps-days:spent-grain; what stands now is kept beside it
    #[arg(long, conflicts_with_all = ["csv", "html", "xlsx"], value_name = "PROPOSAL")]
    take: Option<String>,
    /// Which mixes went with the best and the worst harvests
    #[arg(long, conflicts_with = "take")]
    mixes: bool,
    #[command(flatten)]
    paper: PaperArgs,
}

/// What `learn --mixes` once was.
#[derive(clap::Args)]
pub(crate) struct FormerMixes {
    #[command(flatten)]
    paper: PaperArgs,
}

pub(crate) fn former_mixes(setting: &Setting, args: &FormerMixes) -> Done {
    output::renamed("mixes", "learn --mixes");
    which_mixes(setting, &args.paper)
}

fn which_mixes(setting: &Setting, paper: &PaperArgs) -> Done {
    let papers = paper.ready(setting)?;
    let (book, farm, tables) = setting.open_all()?;
    let sheet = mixes((&book, &farm, &tables), setting.now)?;
    let page = |sheet: &_, _| mixes_document(sheet);
    papers.hand_out(setting, &sheet, page)
}

pub(crate) fn run(setting: &Setting, args: &Args) -> Done {
    if args.mixes {
        return which_mixes(setting, &args.paper);
    }
    let (mut book, farm, tables) = setting.open_all()?;
    if let Some(key) = &args.take {
        let asked = setting.asked(&farm.zone)?;
        let (record, own) = take_over(&mut book, &farm, &tables, key, &asked)?;
        let mut document = Document::titled(say!("take-title", key));
        document.line(say!("take-evidence", evidence = &own.evidence));
        document.next(say!("take-next", seq = record));
        let done = json!({
            "record": record, "what": own.what, "subject": own.subject,
            "value": own.value, "before": own.before, "evidence": own.evidence,
        });
        return setting.answer(done, &document);
    }
    let papers = args.paper.ready(setting)?;
    let sheet = learn((&book, &farm, &tables), setting.now)?;
    let page = |sheet: &_, _| learn_document(sheet);
    papers.hand_out(setting, &sheet, page)
}
