use crate::acts::{LeaveText, record_leave};
use crate::cli::ask::needed_text;
use crate::cli::*;

#[derive(clap::Args)]
pub(crate) struct Args {
    /// The stream that is ask first
    stream: Option<String>,
    /// Who gave leave: the authority, the person
    #[arg(long, value_name = "WHO")]
    by_whom: Option<String>,
    /// The day it was given; today if not said
    #[arg(long, value_name = "DAY")]
    on: Option<String>,
    /// What it allows, in the authority's words
    #[arg(long = "for", value_name = "WHAT")]
    what_for: Option<String>,
    /// Only what this supplier brings
    #[arg(long, value_name = "NAME")]
    supplier: Option<String>,
}

pub(crate) fn run(setting: &Setting, args: &Args) -> Done {
    let (mut book, farm, tables) = setting.open_all()?;
    let question = (say!("ask-stream"), say!("ask-stream-form"));
    let stream = needed_text(setting, "STREAM", args.stream.as_deref(), question)?;
    let by_whom = needed(setting, "--by-whom", &args.by_whom)?;
    let what_for = needed(setting, "--for", &args.what_for)?;
    let text = LeaveText {
        stream,
        supplier: args.supplier.clone(),
        by_whom,
        on: args.on.clone(),
        what_for,
    };
    let asked = setting.asked(&farm.zone)?;
    let kept = record_leave(&mut book, &farm, &tables, &text, &asked)?;
    let leave = &kept.leave;
    let whose = (leave.supplier.as_ref()).map_or_else(|| say!("allow-anyone"), Said::from);
    let stream = &leave.stream;
    let mut document = Document::titled(say!("allow-title", stream, whose));
    let (who, day, what) = (&leave.given_by, leave.given_on, &leave.what_for);
    document.line(say!("allow-given", who, day, what));
    let (lots, names) = (kept.freed.len(), kept.freed.join(", "));
    document.line(if lots == 0 {
        say!("allow-none-waited")
    } else {
        let weight = farm.units.told(kept.grams);
        say!("allow-waited", lots, names, weight)
    });
    document.next(say!("allow-kept", seq = kept.record));
    let done = json!({
        "record": kept.record, "stream": leave.stream, "supplier": leave.supplier,
        "by_whom": leave.given_by, "on": leave.given_on.to_string(), "for": leave.what_for,
        "freed": kept.freed, "freed_g": kept.grams, "already_there": kept.already_there,
    });
    setting.answer(done, &document)
}
