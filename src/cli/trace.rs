use super::*;
use crate::acts::{TraceFrom, TraceText, trace};
use crate::sheet::{recall_document, trace_document};

#[derive(clap::Args)]
pub(super) struct Args {
    /// Tickets, by id or number
    tickets: Vec<String>,
    /// A cohort: its name (the newest of it) or its record, such as r57
    #[arg(long, value_name = "NAME")]
    cohort: Option<String>,
    /// A harvest, by its record, such as r57
    #[arg(long, value_name = "rN")]
    harvest: Option<String>,
    /// All tickets of a supplier
    #[arg(long, value_name = "NAME")]
    supplier: Option<String>,
    /// All sales to a buyer
    #[arg(long, value_name = "NAME")]
    buyer: Option<String>,
    /// First day of the supplier's tickets or the buyer's sales
    #[arg(long, value_name = "DAY")]
    from: Option<String>,
    /// Last day of them
    #[arg(long, value_name = "DAY")]
    to: Option<String>,
    #[command(flatten)]
    paper: PaperArgs,
}

pub(super) fn trail(setting: &Setting, args: &Args) -> Done {
    hand_out(setting, args, false)
}

pub(super) fn recall(setting: &Setting, args: &Args) -> Done {
    hand_out(setting, args, true)
}

fn hand_out(setting: &Setting, args: &Args, recall: bool) -> Done {
    let from = TraceFrom::read(&TraceText {
        tickets: args.tickets.clone(),
        cohort: args.cohort.clone(),
        harvest: args.harvest.clone(),
        supplier: args.supplier.clone(),
        buyer: args.buyer.clone(),
        from: args.from.clone(),
        to: args.to.clone(),
    })?;
    let papers = args.paper.ready(setting)?;
    let (book, farm, tables) = setting.open_all()?;
    let sheet = trace((&book, &farm, &tables), &from, recall, setting.now)?;
    let page = if recall {
        recall_document
    } else {
        trace_document
    };
    papers.hand_out(setting, &sheet, page)
}
