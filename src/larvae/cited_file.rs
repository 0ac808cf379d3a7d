//! Reading values that name their source.

use std::ops::RangeInclusive;

use serde::Deserialize;
use toml::Spanned;

use crate::table::TomlFile;
use crate::words::say;

use super::Cited;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Value<T = f64> {
    pub(super) value: Spanned<T>,
    pub(super) source: String,
}

pub(super) struct Reader<'a> {
    pub(super) toml: TomlFile<'a>,
    pub(super) sources: Vec<String>,
}

impl Reader<'_> {
    pub(super) fn cite(&mut self, source: &str) -> String {
        if source.is_empty() {
            self.toml
                .reject_whole("source", "", say!("accepted-source-key"));
        }
        self.sources.push(source.to_owned());
        source.to_owned()
    }

    pub(super) fn value(
        &mut self,
        field: &str,
        value: &Value,
        range: RangeInclusive<f64>,
    ) -> Cited<f64> {
        Cited {
            value: self.toml.value(field, &value.value, range),
            source: self.cite(&value.source),
        }
    }
}
