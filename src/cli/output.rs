use std::io::{BufWriter, IsTerminal, StdoutLock, Write};
use std::process::ExitCode;
use std::sync::OnceLock;

use serde::Serialize;

use crate::sheet::{Document, Look, render};
use crate::words::{Language, Said, say};

use super::USAGE;

static LANGUAGE: OnceLock<Language> = OnceLock::new();

/// Chooses the language of all that is printed, once.
pub(super) fn speak(language: Language) {
    let _already = LANGUAGE.set(language);
}

pub(super) fn language() -> Language {
    LANGUAGE.get().copied().unwrap_or_default()
}

/// Prints a document to standard output, styled where the terminal wants it.
pub(super) fn document(document: &Document) {
    let stdout = std::io::stdout();
    let styled = anstream::AutoStream::choice(&stdout) != anstream::ColorChoice::Never;
    let width = if stdout.is_terminal() {
        terminal_size::terminal_size().map(|(width, _)| width.0)
    } else {
        None
    };
    text(&render(
        &document.in_language(language()),
        Look { styled, width },
    ));
}

/// How the record just made is taken back.
pub(super) fn to_strike(seq: i64) -> Said {
    say!("to-strike", record = format!("r{seq}"))
}

/// What now holds, and how the record just made is taken back.
pub(super) fn and_to_strike(before: Said, seq: i64) -> Said {
    Said::joined([before, to_strike(seq)], " ")
}

/// Prints JSON to standard output.
pub(super) fn json(of: impl Serialize) {
    // Every key is text, so there is nothing that could fail.
    let value = serde_json::to_value(of).unwrap_or_default();
    text(&format!("{value:#}\n"));
}

/// Prints text to standard output. A reader that has gone away ends it quietly.
pub(super) fn text(text: &str) {
    let mut stdout = std::io::stdout().lock();
    // A closed pipe (`| head`) is the reader's choice, not an error of ours.
    let _closed = stdout
        .write_all(text.as_bytes())
        .and_then(|()| stdout.flush());
}

/// Standard output with a buffer, for long lists.
pub(super) type Buffered = BufWriter<StdoutLock<'static>>;

/// Prints what `write` writes to standard output, and a line end.
pub(super) fn written<E>(write: impl FnOnce(&mut Buffered) -> Result<(), E>) {
    let mut stdout = BufWriter::with_capacity(1 << 16, std::io::stdout().lock());
    // As in `text`: a reader that has gone away is no error of ours.
    let _closed = write(&mut stdout).is_ok()
        && stdout
            .write_all(b"\n")
            .and_then(|()| stdout.flush())
            .is_ok();
}

/// Prints a message to standard error.
pub(super) fn note(text: impl Into<Said>) {
    let mut stderr = anstream::stderr().lock();
    let text = text.into().in_language(language());
    let _closed = writeln!(stderr, "{text}");
}

/// Prints what clap has to say: help and version on standard output, errors on standard error.
pub(super) fn usage(error: &clap::Error) -> ExitCode {
    let _closed = error.print();
    if error.use_stderr() {
        ExitCode::from(USAGE)
    } else {
        ExitCode::SUCCESS
    }
}
