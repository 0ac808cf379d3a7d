use crate::acts::strike;
use crate::cli::ask::needed_text;
use crate::cli::*;

#[derive(clap::Args)]
pub(crate) struct Args {
    /// A ticket (12, #12, its own id) or any record (r57)
    ticket: Option<String>,
    /// Why
    #[arg(long)]
    why: Option<String>,
}

pub(crate) fn run(setting: &Setting, args: &Args) -> Done {
    let (mut book, farm) = setting.open()?;
    let question = (say!("ask-ticket"), say!("ask-ticket-form"));
    let ticket = needed_text(setting, "TICKET", args.ticket.as_deref(), question)?;
    let why = needed(setting, "--why", &args.why)?;
    let struck = strike(&mut book, &ticket, &why, &setting.asked(&farm.zone)?)?;
    let mut document = Document::titled(say!("strike-title", what = &struck.what));
    let (record, target) = (struck.record, struck.target);
    document.line(say!("strike-voids", record, target));
    document.next(say!("strike-stands"));
    setting.answer(struck, &document)
}
