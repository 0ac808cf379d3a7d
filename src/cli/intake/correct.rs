use crate::acts::{CorrectionText, Dock, correct};
use crate::cli::ask::needed_text;
use crate::cli::*;
use crate::sheet::grid;

#[derive(clap::Args)]
pub(crate) struct Args {
    /// The ticket (12, #12 or its own id)
    ticket: Option<String>,
    #[command(flatten)]
    words: Words,
    /// Why
    #[arg(long)]
    why: Option<String>,
    /// Unlikely words are meant
    #[arg(long)]
    sure: bool,
}

#[derive(clap::Args, PartialEq, Default)]
struct Words {
    /// Who brought it
    #[arg(long)]
    supplier: Option<String>,
    /// What it is, by stream id (see `trayful streams`)
    #[arg(long)]
    stream: Option<String>,
    /// A note
    #[arg(long)]
    note: Option<String>,
    /// What one of the farm's unit of weight cost, below zero for a fee taken
    #[arg(long, allow_hyphen_values = true)]
    price: Option<String>,
}

pub(crate) fn run(setting: &Setting, args: &Args) -> Done {
    if args.words == Words::default() {
        return Err(CliError::usage(say!("correct-nothing")));
    }
    let (mut book, farm, tables) = setting.open_all()?;
    let dock = Dock::open(&book, &farm, &tables)?;
    let question = (say!("ask-ticket"), say!("ask-ticket-form"));
    let ticket = needed_text(setting, "TICKET", args.ticket.as_deref(), question)?;
    let text = CorrectionText {
        supplier: args.words.supplier.clone(),
        stream: args.words.stream.clone(),
        note: args.words.note.clone(),
        price_per_kg: None,
        price: args.words.price.clone(),
        why: needed(setting, "--why", &args.why)?,
    };
    let asked = setting.asked(&farm.zone)?;
    let done = unless_doubted(setting, asked, args.sure, |asked| {
        correct(&mut book, &dock, &ticket, &text, asked)
    })?;
    let mut document = Document::titled(say!("correct-title", ticket = &done.ticket));
    document.table(grid!(for word in &done.words => {
        let (field, currency, unit) = (word.field, &farm.currency, farm.units.unit());
        Left "" => say!("correct-word", field, currency, unit),
        Left say!("trace-now") => &word.now,
        Left say!("correct-first") => word.first.as_deref().unwrap_or("\u{2013}"),
    }));
    if done.verdict != done.verdict_before {
        let (now, before) = (done.verdict.sign(), done.verdict_before.sign());
        let reason = &done.reason;
        document.out(say!("correct-verdict", now, before, reason));
    }
    for caution in &done.cautions {
        document.caution(say!("caution", caution));
    }
    document.line(say!("correct-kept"));
    document.next(output::to_strike(done.record));
    setting.answer(done, &document)
}
