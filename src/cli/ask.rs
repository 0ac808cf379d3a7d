use std::io::{BufRead, Write};

use crate::acts::{ActError, Asked};

use crate::words::{Said, say};

use super::error::CliError;
use super::output;
use super::setting::Setting;

/// The value given, else the answer of a person, else an error that names the flag.
pub(super) fn needed(
    setting: &Setting,
    flag: &str,
    given: &Option<String>,
) -> Result<String, CliError> {
    let accepted = say!("prompt-accepted", flag = flag.trim_start_matches('-'));
    needed_of(setting, flag, given, accepted)
}

/// As [`needed`], where what is accepted depends on the farm.
pub(super) fn needed_of(
    setting: &Setting,
    flag: &str,
    given: &Option<String>,
    accepted: impl Into<Said>,
) -> Result<String, CliError> {
    if let Some(value) = given {
        return Ok(value.clone());
    }
    let question = say!("prompt", flag = flag.trim_start_matches('-'));
    if !setting.may_ask() {
        return Err(CliError::missing(flag, accepted));
    }
    answer_or(question, accepted, "")
}

/// The answer of a person; an empty one is the answer proposed, where one is.
pub(super) fn answer_or(
    question: impl Into<Said>,
    accepted: impl Into<Said>,
    proposed: &str,
) -> Result<String, CliError> {
    let (question, accepted) = (question.into(), accepted.into());
    let prompt = match proposed {
        "" => say!("prompt-line", question, accepted),
        _ => say!("prompt-line-or", question, accepted, proposed),
    };
    loop {
        let answer = line(&format!("{} ", prompt.in_language(output::language())))?;
        match answer.is_empty() {
            true if proposed.is_empty() => {}
            true => return Ok(proposed.to_owned()),
            false => return Ok(answer),
        }
    }
}

/// The value given, read; else the answer of a person, asked for until it can
/// be read; else an error that names the flag.
pub(super) fn needed_read<T>(
    setting: &Setting,
    flag: &str,
    given: Option<&str>,
    (asks, accepted): (Said, Said),
    read: impl Fn(&str) -> Result<T, CliError>,
) -> Result<T, CliError> {
    match given {
        Some(text) => read(text),
        None if setting.may_ask() => until_read(&asks, &accepted, "", read),
        None => {
            let accepted = accepted.in_language(output::language());
            Err(CliError::missing(flag, &accepted))
        }
    }
}

/// As [`needed_read`], of plain words.
pub(super) fn needed_text(
    setting: &Setting,
    flag: &str,
    given: Option<&str>,
    question: (Said, Said),
) -> Result<String, CliError> {
    needed_read(setting, flag, given, question, |text| Ok(text.to_owned()))
}

/// What is wrong with an answer, without the flag that nobody typed.
fn unflagged(error: &CliError) -> String {
    let said = error.message.in_language(output::language());
    let flagged = said
        .strip_prefix("`--")
        .and_then(|rest| rest.split_once("`: "));
    flagged.map_or(said.clone(), |(_, wrong)| wrong.to_owned())
}

/// An answer that can be read: what can't be is told, and asked again.
pub(super) fn until_read<T>(
    asks: &Said,
    accepted: &Said,
    proposed: &str,
    read: impl Fn(&str) -> Result<T, CliError>,
) -> Result<T, CliError> {
    let [asks, accepted] = [asks, accepted].map(|said| said.in_language(output::language()));
    loop {
        match read(&answer_or(&asks, &accepted, proposed)?) {
            Ok(answer) => return Ok(answer),
            Err(error) => output::note(unflagged(&error)),
        }
    }
}

/// As [`until_read`], where an empty answer is none.
pub(super) fn read_if_any<T>(
    asks: &Said,
    accepted: &Said,
    read: impl Fn(&str) -> Result<T, CliError>,
) -> Result<Option<T>, CliError> {
    let prompt = say!("ask-or-enter", asks, accepted).in_language(output::language());
    loop {
        let answer = line(&format!("{prompt} "))?;
        if answer.is_empty() {
            return Ok(None);
        }
        match read(&answer) {
            Ok(answer) => return Ok(Some(answer)),
            Err(error) => output::note(unflagged(&error)),
        }
    }
}

/// Whether a person says yes; anything else is no.
pub(super) fn confirmed(question: &Said) -> Result<bool, CliError> {
    let question = say!("ask-yes-no", question).in_language(output::language());
    let answer = line(&format!("{question} "))?;
    Ok(yes_or_no(&answer).unwrap_or(false))
}

/// A yes or a no in either language.
pub(super) fn yes_or_no(text: &str) -> Option<bool> {
    match text.to_lowercase().as_str() {
        "y" | "yes" | "s" | "si" | "sí" => Some(true),
        "n" | "no" => Some(false),
        _ => None,
    }
}

/// Does an act; where it finds figures unlikely and a person can be asked,
/// asks, and does it again as meant.
pub(super) fn unless_doubted<T>(
    setting: &Setting,
    mut asked: Asked,
    sure: bool,
    mut act: impl FnMut(&Asked) -> Result<T, ActError>,
) -> Result<T, CliError> {
    asked.sure = sure;
    match act(&asked) {
        Err(ActError::Doubtful(doubts)) if setting.may_ask() => {
            for doubt in &doubts {
                output::note(doubt.told());
            }
            if !confirmed(&say!("ask-is-right"))? {
                return Err(CliError::refused(say!("not-confirmed")));
            }
            asked.sure = true;
            Ok(act(&asked)?)
        }
        other => Ok(other?),
    }
}

pub(super) fn line(prompt: &str) -> Result<String, CliError> {
    let mut stderr = anstream::stderr().lock();
    let _closed = write!(stderr, "{prompt}").and_then(|()| stderr.flush());
    let mut answer = String::new();
    let read = std::io::stdin()
        .lock()
        .read_line(&mut answer)
        .map_err(|error| CliError::usage(say!("input-not-read", error = error)))?;
    if read == 0 {
        return Err(CliError::usage(say!("input-ended")));
    }
    Ok(answer.trim().to_owned())
}
