//! What a command line that can't be read is told: what was meant, what is
//! accepted, where to look; in the one form every error has.

use std::ffi::OsString;

use clap::error::{ContextKind, ContextValue, ErrorKind};

use crate::words::{Said, say};

use super::error::CliError;
use super::{Done, output};

/// Prints what the parser has to say: help and version as they are, errors in our form.
pub(super) fn told(error: &clap::Error, args: &[OsString]) -> Done {
    match meant(error, args) {
        Some(error) => Err(error),
        None => Ok(output::usage(error)),
    }
}

fn meant(error: &clap::Error, args: &[OsString]) -> Option<CliError> {
    let english = |said: Said| CliError::usage(said.in_english());
    let context = |kind| error.get(kind).map(told_of);
    let help = say!("usage-help", command = command(error, args)).in_english();
    let seen = |kind| context(kind).map(|text| first_word(&text).to_owned());
    let told = match error.kind() {
        ErrorKind::ValueValidation | ErrorKind::InvalidValue => {
            let place = seen(ContextKind::InvalidArg)?;
            let seen = context(ContextKind::InvalidValue).unwrap_or_default();
            if seen.is_empty() {
                let option = context(ContextKind::InvalidArg)?;
                return Some(english(say!("usage-no-value", option)).with_hint(help));
            }
            let own = std::error::Error::source(error).map(ToString::to_string);
            let own = own.and_then(|text| text.strip_prefix("accepted: ").map(ToOwned::to_owned));
            let accepted = own.or_else(|| context(ContextKind::ValidValue))?;
            english(say!("usage-value", place, seen, accepted))
        }
        ErrorKind::UnknownArgument => {
            let unknown = seen(ContextKind::InvalidArg)?;
            let texts = args.iter().filter_map(|arg| arg.to_str());
            let mut below_zero = texts.filter(|arg| is_below_zero(arg));
            if let Some(seen) = below_zero.find(|arg| arg.starts_with(&unknown)) {
                english(say!("usage-below-zero", seen))
            } else {
                let near = context(ContextKind::SuggestedArg);
                english(match near {
                    Some(near) => say!("usage-option-near", unknown, near),
                    None => say!("usage-option", unknown),
                })
            }
        }
        ErrorKind::InvalidSubcommand => {
            let unknown = context(ContextKind::InvalidSubcommand)?;
            english(match context(ContextKind::SuggestedSubcommand) {
                Some(near) => say!("usage-command-near", unknown, near),
                None => say!("usage-command", unknown),
            })
        }
        ErrorKind::ArgumentConflict => {
            let one = seen(ContextKind::InvalidArg)?;
            let other = seen(ContextKind::PriorArg)?;
            english(match one == other {
                true => say!("usage-twice", option = one),
                false => say!("usage-together", one, other),
            })
        }
        ErrorKind::MissingRequiredArgument => {
            let missing = context(ContextKind::InvalidArg)?;
            english(say!("usage-missing", missing))
        }
        _ => return None,
    };
    Some(told.with_hint(help))
}

/// A figure below zero looks like an option.
fn is_below_zero(arg: &str) -> bool {
    let digits = arg.strip_prefix('-');
    digits
        .is_some_and(|rest| rest.starts_with(|first: char| first.is_ascii_digit() || first == '.'))
}

fn told_of(value: &ContextValue) -> String {
    match value {
        ContextValue::String(text) => text.clone(),
        ContextValue::Strings(texts) => texts.join(", "),
        other => other.to_string(),
    }
}

/// `--night` of `--night <DAY>`.
fn first_word(text: &str) -> &str {
    let text = text.trim_matches(['<', '>', '[', ']']);
    text.split([' ', '=']).next().unwrap_or(text)
}

/// The command that was called, as far as its name was read.
fn command(error: &clap::Error, args: &[OsString]) -> String {
    let whole = super::help::command();
    let (mut known, mut named) = (&whole, "trayful".to_owned());
    if error.kind() == ErrorKind::InvalidSubcommand {
        return named;
    }
    for arg in args.iter().skip(1).filter_map(|arg| arg.to_str()) {
        if let Some(below) = known.find_subcommand(arg) {
            known = below;
            named = format!("{named} {arg}");
        }
    }
    named
}
