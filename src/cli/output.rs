use std::io::{self, BufWriter, ErrorKind, IsTerminal, StdoutLock, Write};
use std::sync::OnceLock;

use serde::Serialize;

use crate::sheet::{Document, Look, render};
use crate::stream::StreamTable;
use crate::words::{Language, Said, say};

use super::{DONE, USAGE};

static LANGUAGE: OnceLock<Language> = OnceLock::new();

static STREAMS: OnceLock<StreamTable> = OnceLock::new();

/// Why standard output did not take all of it, if so.
static UNPRINTED: OnceLock<String> = OnceLock::new();

/// Remembers why something could not be printed. A closed pipe (`| head`) is
/// the reader's choice, not an error of ours.
fn printed(done: io::Result<()>) {
    if let Err(error) = done
        && error.kind() != ErrorKind::BrokenPipe
    {
        let _earlier = UNPRINTED.set(error.to_string());
    }
}

/// Why not all could be printed, if so.
pub(super) fn unprinted() -> Option<&'static String> {
    UNPRINTED.get()
}

/// Chooses the language of all that is printed; the first choice holds.
pub(super) fn speak(language: Language) {
    let _already = LANGUAGE.set(language);
}

/// The streams that pages for a browser or paper call by name.
pub(super) fn call(streams: &StreamTable) {
    let _already = STREAMS.set(streams.clone());
}

/// The words of a page for a browser or paper.
pub(super) fn page(page: &Document) -> Document<String> {
    let streams = STREAMS.get();
    let called = |id: &str| streams.and_then(|all| all.said_of(id));
    page.map(&|said: &Said| said.with_names(&called).in_language(language()))
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
    let mut stdout = io::stdout().lock();
    let written = stdout.write_all(text.as_bytes());
    printed(written.and_then(|()| stdout.flush()));
}

/// Standard output with a buffer, for long lists.
pub(super) type Buffered = BufWriter<StdoutLock<'static>>;

/// Prints what `write` writes to standard output, and a line end.
pub(super) fn written<E: Into<io::Error>>(write: impl FnOnce(&mut Buffered) -> Result<(), E>) {
    let mut stdout = BufWriter::with_capacity(1 << 16, io::stdout().lock());
    let written = write(&mut stdout).map_err(Into::into);
    let written = written.and_then(|()| stdout.write_all(b"\n"));
    printed(written.and_then(|()| stdout.flush()));
}

/// Says that a command has a new name; the old one is kept for one version.
pub(super) fn renamed(old: &str, new: &str) {
    note(say!("renamed", old, new));
}

/// Prints a message to standard error.
pub(super) fn note(text: impl Into<Said>) {
    let mut stderr = anstream::stderr().lock();
    let text = text.into().in_language(language());
    let _closed = writeln!(stderr, "{text}");
}

/// Prints what clap has to say: help and version on standard output, errors on standard error.
pub(super) fn usage(error: &clap::Error) -> u8 {
    let shown = error.print();
    if error.use_stderr() {
        return USAGE;
    }
    printed(shown.and_then(|()| io::stdout().flush()));
    DONE
}
