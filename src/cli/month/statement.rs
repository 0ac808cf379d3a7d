use super::methane::MethaneArgs;
use crate::acts::{Month, statement};
use crate::cli::*;
use crate::report::methane::methane_told;
use crate::sheet::{statement_document, statement_table, statement_tables};

#[derive(clap::Args)]
pub(in crate::cli) struct Args {
    /// The supplier, as on the tickets
    supplier: String,
    /// The month, such as 2026-10; the month before this one if left out
    month: Option<String>,
    /// Of this closed version, as it was; the newest if left out
    #[arg(long, value_name = "N")]
    version: Option<i64>,
    #[command(flatten)]
    paper: PaperArgs,
    #[command(flatten)]
    methane: MethaneArgs,
}

pub(in crate::cli) fn run(setting: &Setting, args: &Args) -> Done {
    let (book, farm) = setting.open()?;
    let wanted = match &args.month {
        Some(text) => Month::parse(text)?,
        None => Month::of(setting.now.to_zoned_datetime(farm.zone.clone()).date()).before(),
    };
    let methane = args.methane.asked()?;
    let mut sheet = statement(&book, &args.supplier, wanted, args.version)?;
    let tables = setting.load_tables()?;
    sheet.around.not_food = tables.not_food();
    if let Some(asked) = methane {
        let told = &sheet.statement;
        let supplier = (told.supplier.as_str(), told.streams.as_slice());
        sheet.around.methane = Some(methane_told(&asked, &tables.streams, [supplier]));
    }
    let paper = Paper {
        document: &|_| statement_document(&sheet),
        table: &|| statement_table(&sheet),
        tables: &|| statement_tables(&sheet),
        json: &|| to_json::Statement::from(&sheet),
    };
    args.paper.hand_out(setting, &paper)
}
