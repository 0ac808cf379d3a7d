use std::path::PathBuf;

use crate::cli::ask::needed_text;
use crate::cli::target::refuse_new;
use crate::cli::*;
use crate::daybook::{Daybook, DaybookError, SealMark};

#[derive(clap::Args)]
pub(crate) struct Args {
    /// A seal as printed on a sheet or statement, such as 57-1a2b-3c4d-5e6f-7a8b
    #[arg(long, value_name = "SEAL", alias = "head")]
    seal: Option<String>,
}

pub(crate) fn run(setting: &Setting, args: &Args) -> Done {
    let mark = args.seal.as_deref().map(str::parse::<SealMark>);
    let mark = mark.transpose()?;
    let book = Daybook::open(&setting.daybook).map_err(unreadable)?;
    let report = book.check(mark.as_ref()).map_err(unreadable)?;
    let tables = setting.load_tables()?;
    let own = (setting.table_paths().into_iter())
        .filter_map(|(name, path)| {
            path.map(|path| say!("check-table-from", name, path = path.display()))
        })
        .collect::<Vec<Said>>();
    let file = setting.daybook.display();
    let mut document = Document::titled(say!("check-title", file = file));
    if report.is_whole() {
        let (records, tickets) = (report.records, report.tickets);
        document.good(say!("check-whole", records, tickets));
    } else {
        let flaws = report.flaws.len();
        document.out(say!("check-not-whole", flaws));
        for flaw in &report.flaws {
            document.item(Tone::Out, &flaw.what);
        }
    }
    if mark.is_some() && report.is_whole() {
        document.line(say!("check-seal-there"));
    }
    let streams = tables.streams.iter().count();
    document.line(if own.is_empty() {
        say!("check-tables-shipped", streams)
    } else {
        say!(
            "check-tables",
            streams,
            own = Said::joined(own.iter().cloned(), ", ")
        )
    });
    for caution in &tables.cautions {
        document.caution(caution.clone());
    }
    let seal = report.seal.short();
    document.small(say!("check-seal", seal));
    let done = json!({
        "whole": report.is_whole(), "records": report.records, "tickets": report.tickets, "seal": report.seal.short(),
        "flaws": report.flaws.iter().map(|flaw| json!({"record": flaw.record, "what": flaw.what})).collect::<Vec<_>>(),
        "streams": tables.streams.iter().count(), "own_tables": own, "cautions": tables.cautions,
    });
    setting.answer(done, &document)?;
    Ok(if report.is_whole() { DONE } else { REFUSED })
}

/// Whoever checks need not be told to check.
fn unreadable(error: DaybookError) -> CliError {
    let damaged = matches!(error, DaybookError::Damaged { .. });
    let error = CliError::from(error);
    if damaged {
        return error.with_hint(say!("check-unreadable"));
    }
    error
}

#[derive(clap::Args)]
pub(crate) struct KeepArgs {
    /// The copy to write; a file that is not there yet
    #[arg(value_name = "FILE")]
    target: Option<PathBuf>,
}

pub(crate) fn keep(setting: &Setting, args: &KeepArgs) -> Done {
    let book = Daybook::open(&setting.daybook)?;
    let target = match &args.target {
        Some(target) => target.clone(),
        None => {
            let question = (say!("ask-copy"), say!("ask-copy-form"));
            PathBuf::from(needed_text(setting, "FILE", None, question)?)
        }
    };
    refuse_new(setting, &target)?;
    let kept = book.keep(&target).map_err(|error| {
        let is_there = matches!(error, DaybookError::Exists { .. });
        let error = CliError::from(error);
        match is_there {
            true => error.with_hint(say!("hint-new-name")),
            false => error,
        }
    });
    let seal = kept?.short();
    let mut document = Document::titled(say!("keep-title", file = target.display()));
    document.line(say!("keep-whole", seal));
    setting.answer(json!({"copy": target, "seal": seal}), &document)
}
