//! Reading a TOML file so that every bad value is named at once, with its line.

use std::fmt::Display;
use std::ops::RangeInclusive;

use serde::de::DeserializeOwned;
use toml::Spanned;

use super::{Finding, Findings, findings_or};
use crate::words::{Said, say};

/// The largest file of ours has a hundredth of that.
const BYTES_MOST: usize = 1 << 20;

/// A TOML file being read, and what was wrong in it so far.
pub(crate) struct TomlFile<'a> {
    file: &'a str,
    text: &'a str,
    findings: Vec<Finding>,
}

impl<'a> TomlFile<'a> {
    /// The file's form, and itself for judging the values; a byte order mark is
    /// passed over.
    pub(crate) fn parse<T: DeserializeOwned>(
        file: &'a str,
        text: &'a str,
    ) -> Result<(T, Self), Findings> {
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        if text.len() > BYTES_MOST {
            let seen = say!("seen-bytes", count = text.len());
            let accepted = say!("accepted-bytes-most", most = BYTES_MOST);
            return Err(Findings(vec![Finding::at(file, None, "", seen, accepted)]));
        }
        let parsed = toml::from_str(text)
            .map_err(|error| Findings(vec![Finding::of_toml(file, text, &error)]))?;
        let findings = Vec::new();
        let toml = Self {
            file,
            text,
            findings,
        };
        Ok((parsed, toml))
    }

    pub(crate) fn reject<T>(&mut self, value: &Spanned<T>, field: &str, accepted: impl Into<Said>) {
        self.findings.push(Finding::of_span(
            self.file, self.text, value, field, accepted,
        ));
    }

    /// A finding that no single line bears.
    pub(crate) fn reject_whole(
        &mut self,
        field: &str,
        seen: impl Into<Said>,
        accepted: impl Into<Said>,
    ) {
        let finding = Finding::at(self.file, None, field, seen, accepted);
        self.findings.push(finding);
    }

    /// The number where it is within the range; else a finding.
    pub(crate) fn number<T: PartialOrd + Copy + Display>(
        &mut self,
        field: &str,
        number: &Spanned<T>,
        range: &RangeInclusive<T>,
    ) -> Option<T> {
        let value = *number.get_ref();
        if range.contains(&value) {
            return Some(value);
        }
        let accepted = say!("accepted-number", low = range.start(), high = range.end());
        self.reject(number, field, accepted);
        None
    }

    /// The same, and the number itself where it is not: it still takes part in
    /// the checks between values.
    pub(crate) fn value<T: PartialOrd + Copy + Display>(
        &mut self,
        field: &str,
        number: &Spanned<T>,
        range: RangeInclusive<T>,
    ) -> T {
        self.number(field, number, &range)
            .unwrap_or(*number.get_ref())
    }

    /// The same of a number that may be left out.
    pub(crate) fn maybe<T: PartialOrd + Copy + Display>(
        &mut self,
        field: &str,
        number: Option<&Spanned<T>>,
        range: RangeInclusive<T>,
    ) -> Option<T> {
        number.map(|number| self.value(field, number, range))
    }

    pub(crate) const fn is_fine(&self) -> bool {
        self.findings.is_empty()
    }

    /// What was read, where nothing was wrong.
    pub(crate) fn finish<T>(self, read: T) -> Result<T, Findings> {
        findings_or(self.findings, read)
    }
}
