use super::methane::MethaneArgs;
use crate::acts::{Month, statement};
use crate::cli::ask::needed_text;
use crate::cli::*;
use crate::report::methane::methane_told;
use crate::sheet::statement_document;

#[derive(clap::Args)]
pub(crate) struct Args {
    /// The supplier, as on the tickets
    supplier: Option<String>,
    /// The month, such as 2026-10; the month before this one if left out
    month: Option<String>,
    /// Of this closed version, as it was; the newest if left out
    #[arg(long, value_name = "N", value_parser = whole(1_i64..=1_000_000))]
    version: Option<i64>,
    #[command(flatten)]
    paper: PaperArgs,
    #[command(flatten)]
    methane: MethaneArgs,
}

pub(crate) fn run(setting: &Setting, args: &Args) -> Done {
    let papers = args.paper.ready(setting)?;
    let (book, farm) = setting.open()?;
    let question = (say!("ask-supplier"), say!("ask-supplier-form"));
    let supplier = needed_text(setting, "SUPPLIER", args.supplier.as_deref(), question)?;
    let wanted = match &args.month {
        Some(text) => Month::parse(text)?,
        None => Month::at(setting.now, &farm.zone).before(),
    };
    let methane = args.methane.asked()?;
    let mut sheet = statement(&book, &supplier, wanted, args.version)?;
    let tables = setting.tables_of(&book)?;
    sheet.around.not_food = tables.not_food();
    if let Some(asked) = methane {
        let told = &sheet.statement;
        let supplier = (told.supplier.as_str(), told.streams.as_slice());
        sheet.around.methane = Some(methane_told(&asked, &tables.streams, [supplier]));
    }
    let page = |sheet: &_, _| statement_document(sheet);
    papers.hand_out(setting, &sheet, page)
}
