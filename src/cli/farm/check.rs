use std::path::{Path, PathBuf};

use jiff::tz::TimeZone;

use crate::cli::ask::needed_text;
use crate::cli::target::refuse_new;
use crate::cli::*;
use crate::daybook::{Carried, Daybook, DaybookError, Entry, SealMark, rescue};
use crate::sheet::check_document;

#[derive(clap::Args)]
pub(crate) struct Args {
    /// A seal as printed on a sheet or statement, such as 57-1a2b-3c4d-5e6f-7a8b
    #[arg(long, value_name = "SEAL", alias = "head")]
    seal: Option<String>,
    /// Write what can be read of a damaged book into a new one; the old one stays as it is
    #[arg(long, value_name = "NEW", conflicts_with = "seal")]
    rescue: Option<PathBuf>,
    /// A book to take the farm's settings from, where the damaged one has lost them
    #[arg(long, value_name = "BOOK", requires = "rescue")]
    settings: Option<PathBuf>,
}

pub(crate) fn run(setting: &Setting, args: &Args) -> Done {
    if let Some(target) = &args.rescue {
        return rescue_into(setting, target, args.settings.as_deref());
    }
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
    let mut document = check_document(
        say!("check-title", file = file),
        (report.records, report.tickets),
        report.flaws.iter().map(|flaw| &flaw.what),
    );
    if !report.is_whole() {
        document.next(say!("next", command = "trayful check --rescue NEW"));
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
    document.small(say!("check-seal", seal = report.seal.short()));
    let done = json!({
        "whole": report.is_whole(), "records": report.records, "tickets": report.tickets, "seal": report.seal.short(),
        "flaws": report.flaws.iter().map(|flaw| json!({"record": flaw.record, "what": flaw.what})).collect::<Vec<_>>(),
        "streams": tables.streams.iter().count(), "own_tables": own, "cautions": tables.cautions,
    });
    setting.answer(done, &document)?;
    Ok(if report.is_whole() { DONE } else { REFUSED })
}

/// What can be read of the damaged book goes into a new one.
fn rescue_into(setting: &Setting, target: &Path, settings: Option<&Path>) -> Done {
    refuse_new(setting, target)?;
    let settings = match settings {
        Some(book) => {
            let farm = Daybook::open(book)?.farm()?;
            Some(setting.asked(&TimeZone::UTC)?.record(Entry::Farm(farm)))
        }
        None => None,
    };
    let damaged = &setting.daybook;
    let rescued = rescue(damaged, target, settings.as_ref(), setting.now).map_err(|error| {
        let hint = match error {
            DaybookError::Exists { .. } => say!("hint-new-name"),
            DaybookError::SettingsLost { .. } => say!("rescue-settings"),
            DaybookError::NothingLeft { .. } => say!("rescue-nothing"),
            other => return other.into(),
        };
        CliError::from(error).with_hint(hint)
    })?;
    let (kept, lost) = (&rescued.kept, &rescued.lost);
    let (file, new) = (damaged.display().to_string(), target.display().to_string());
    let mut document = Document::titled(say!("rescue-title", file = &file, new = &new));
    let gone: i64 = lost.iter().map(|run| run.last - run.first + 1).sum();
    let told = say!("rescue-told", kept = kept.len(), gone);
    if lost.is_empty() {
        document.good(told);
    } else {
        document.out(told);
    }
    for run in lost {
        let what = match &run.what {
            Some(what) => what.clone(),
            None if run.first == run.last => say!("lost-one", seq = run.first),
            None => say!("lost-some", first = run.first, last = run.last),
        };
        document.item(Tone::Out, say!("lost", what, why = run.why.clone()));
    }
    if !lost.is_empty() {
        document.caution(say!("rescue-strikes"));
    }
    if rescued.settings_given {
        document.line(say!("rescue-settings-given"));
    }
    for (from, to, now) in renumbered(kept) {
        document.caution(match from == to {
            true => say!("rescue-renumbered-one", from, now),
            false => say!("rescue-renumbered", from, to, now, last = now + to - from),
        });
    }
    let seal = rescued.seal.short();
    if let Some(last) = kept.last() {
        let old = last.old.short();
        document.line(say!("rescue-seals", old, seal = &seal, file));
    }
    document.next(say!(
        "next",
        command = format!("trayful check --daybook {new}")
    ));
    let seals = kept.iter().map(|it| {
        json!({"old_seal": it.old.short(), "record": it.seq,
            "ticket_was": it.numbers.map(|(was, _)| was), "ticket": it.numbers.map(|(_, is)| is)})
    });
    let lost = lost.iter().map(|run| {
        json!({"first": run.first, "last": run.last, "what": run.what, "why": run.why, "seen": run.seen})
    });
    let done = json!({
        "rescued": target, "seal": seal, "settings_given": rescued.settings_given,
        "kept": seals.collect::<Vec<_>>(), "lost": lost.collect::<Vec<_>>(),
    });
    setting.answer(done, &document)
}

/// Runs of tickets that have other numbers now: the first and last as they were, and the first as it is.
fn renumbered(kept: &[Carried]) -> Vec<(i64, i64, i64)> {
    let mut runs: Vec<(i64, i64, i64)> = Vec::new();
    for (was, is) in kept.iter().filter_map(|it| it.numbers) {
        match runs.last_mut() {
            Some((from, to, now)) if was - *from == is - *now => *to = was.max(*to),
            _ => runs.push((was, was, is)),
        }
    }
    runs.retain(|(from, _, now)| from != now);
    runs
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
