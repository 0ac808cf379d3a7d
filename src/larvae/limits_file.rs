//! The parts of the stage table that hold for all stages: ages of lots, what
//! stays on the trays, what others fed.

use std::collections::BTreeMap;

use serde::Deserialize;
use toml::Spanned;

use crate::stream::{AgeLimits, Class, Measure};
use crate::table::{Findings, TomlFile};

use super::cited_file::{Reader, Value};
use super::stage::label_of;
use super::{Cited, RationStudy, SHIPPED_STAGES, WindowStudy};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct AgeEntry {
    keeping_times: Value,
    #[serde(default)]
    class: BTreeMap<Spanned<String>, Value>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ResidueEntry {
    reduction_pct: Value,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct StudyEntry {
    study: String,
    fed: String,
    mg_dm: [Spanned<f64>; 2],
    days: [Spanned<f64>; 2],
    result: String,
    source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct EvidenceEntry {
    measure: Option<Spanned<String>>,
    study: String,
    n: Option<u32>,
    compared: String,
    result: String,
    source: String,
}

#[derive(Deserialize)]
struct Shipped {
    age: AgeEntry,
    residue: ResidueEntry,
}

/// What holds where a farm's table does not say.
pub(super) fn shipped() -> (Result<AgeEntry, Findings>, Result<ResidueEntry, Findings>) {
    let read = || TomlFile::parse::<Shipped>("data/stages.toml", SHIPPED_STAGES);
    (
        read().map(|(shipped, _)| shipped.age),
        read().map(|(shipped, _)| shipped.residue),
    )
}

impl Reader<'_> {
    pub(super) fn ages(&mut self, entry: &AgeEntry) -> AgeLimits {
        const TIMES: std::ops::RangeInclusive<f64> = 0.5..=100.0;
        let times = self.value("age.keeping_times", &entry.keeping_times, TIMES);
        let mut sources = vec![times.source];
        let mut by_class = BTreeMap::new();
        for (name, value) in &entry.class {
            let times = self.value(&format!("age.class.{}", name.get_ref()), value, TIMES);
            sources.push(times.source);
            if let Some(class) = Class::parse(name.get_ref()) {
                by_class.insert(class, times.value);
            } else {
                let accepted = Class::accepted();
                self.toml.reject(name, "age.class", &accepted);
            }
        }
        AgeLimits {
            times: times.value,
            by_class,
            label: label_of(sources.iter().map(String::as_str)),
        }
    }

    /// As a share, 0..=1.
    pub(super) fn reduction(&mut self, entry: &ResidueEntry) -> Cited<f64> {
        let field = "residue.reduction_pct";
        let pct = self.value(field, &entry.reduction_pct, 0.0..=100.0);
        Cited {
            value: pct.value / 100.0,
            source: pct.source,
        }
    }

    pub(super) fn evidence(&mut self, entries: &[EvidenceEntry]) -> Vec<WindowStudy> {
        let mut all = Vec::new();
        for entry in entries {
            let known = |key: &Spanned<String>| Measure::from_key(key.get_ref());
            let measure = entry.measure.as_ref().and_then(known);
            if let (Some(key), None) = (&entry.measure, &measure) {
                (self.toml).reject(key, "window_study.measure", Measure::ACCEPTED);
            }
            all.push(WindowStudy {
                measure,
                study: entry.study.clone(),
                n: entry.n,
                compared: entry.compared.clone(),
                result: entry.result.clone(),
                source: self.cite(&entry.source),
            });
        }
        all
    }

    pub(super) fn studies(&mut self, entries: &[StudyEntry]) -> Vec<RationStudy> {
        let mut all = Vec::new();
        for entry in entries {
            let mut range = |field: &str, [low, high]: &[Spanned<f64>; 2]| {
                let field = format!("ration_study.{field}");
                let low = self.toml.value(&field, low, 0.1..=10_000.0);
                (low, self.toml.value(&field, high, low..=10_000.0))
            };
            let (mg_dm, days) = (range("mg_dm", &entry.mg_dm), range("days", &entry.days));
            all.push(RationStudy {
                study: entry.study.clone(),
                fed: entry.fed.clone(),
                mg_dm,
                days,
                result: entry.result.clone(),
                source: self.cite(&entry.source),
            });
        }
        all
    }
}
