pub(super) mod methane;
mod sites;
pub(super) mod statement;

use crate::acts::{Month, Period, close_month, month, year};
use crate::cli::*;
use crate::report::methane::methane_told;
use crate::sheet::month_document;
use crate::words::say;
use methane::MethaneArgs;

#[derive(clap::Args)]
pub(super) struct Args {
    /// The month, such as 2026-10, or a year, such as 2026; this month if left out
    month: Option<String>,
    /// The month before this one
    #[arg(long, conflicts_with = "month")]
    last: bool,
    /// Freeze it as it is handed out; again after changes makes the next version
    #[arg(long, conflicts_with = "version")]
    close: bool,
    /// Why there is another version of a closed month
    #[arg(long, requires = "close", value_name = "REASON")]
    why: Option<String>,
    /// Print this closed version, as it was; the newest if left out
    #[arg(long, value_name = "N", value_parser = whole(1_i64..=1_000_000))]
    version: Option<i64>,
    #[command(flatten)]
    sites: sites::SitesArgs,
    #[command(flatten)]
    paper: PaperArgs,
    #[command(flatten)]
    methane: MethaneArgs,
}

pub(super) fn run(setting: &Setting, args: &Args) -> Done {
    let papers = args.paper.ready(setting)?;
    if args.sites.from.is_some() {
        return args
            .sites
            .run(setting, (args.month.as_deref(), args.last), &papers);
    }
    let (mut book, farm) = setting.open()?;
    let this = Month::at(setting.now, &farm.zone);
    let wanted = match &args.month {
        Some(text) => Period::parse(text)?,
        None if args.last => Period::Month(this.before()),
        None => Period::Month(this),
    };
    let methane = args.methane.asked()?;
    let mut sheet = match wanted {
        Period::Year(wanted) => {
            if args.close || args.version.is_some() {
                let seen = wanted.to_string();
                let accepted = say!("accepted-month-to-close");
                return Err(Rejection::new("month", &seen, accepted).into());
            }
            year(&book, wanted)?
        }
        Period::Month(wanted) => {
            let version = if args.close {
                let asked = setting.asked(&farm.zone)?;
                Some(close_month(&mut book, wanted, args.why.as_deref(), &asked)?)
            } else {
                args.version
            };
            month(&book, wanted, version)?
        }
    };
    let tables = setting.tables_of(&book)?;
    sheet.around.not_food = tables.not_food();
    if let Some(asked) = methane {
        let suppliers = sheet.report.suppliers.iter();
        let suppliers = suppliers.map(|one| (one.supplier.as_str(), one.streams.as_slice()));
        sheet.around.methane = Some(methane_told(&asked, &tables.streams, suppliers));
    }
    let page = |sheet: &_, _| month_document(sheet);
    papers.hand_out(setting, &sheet, page)
}
