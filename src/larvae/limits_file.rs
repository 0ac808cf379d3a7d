//! The parts of the stage table that hold for all stages: ages of lots, what
//! stays on the trays, what others fed.

use std::collections::BTreeMap;

use serde::Deserialize;
use toml::Spanned;

use crate::stream::{AgeLimits, Class};
use crate::table::{Findings, TomlFile};
use crate::words::say;

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
                self.toml.reject(name, "age.class", accepted);
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

    pub(super) fn studies(&mut self, window: &[WindowStudy], ration: &[RationStudy]) {
        let sources = window.iter().map(|study| &study.source);
        for source in sources.chain(ration.iter().map(|study| &study.source)) {
            self.cite(source);
        }
        for study in ration {
            for (field, (low, high)) in [("mg_dm", study.mg_dm), ("days", study.days)] {
                if !(0.1 <= low && low <= high && high <= 10_000.0) {
                    let (field, seen) = (format!("ration_study.{field}"), format!("{low}, {high}"));
                    let accepted = say!("accepted-two-numbers");
                    self.toml.reject_whole(&field, seen, accepted);
                }
            }
        }
    }
}
