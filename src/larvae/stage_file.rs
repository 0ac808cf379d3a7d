//! The stage table as TOML: shape by serde, ranges and order here.

use std::collections::BTreeMap;

use serde::Deserialize;
use toml::Spanned;

use crate::quantity::ShareAsFed;
use crate::stream::{Assumed, FlagLimits, Measure, StreamId, Window, WindowEntry};
use crate::table::{Findings, TomlFile};
use crate::words::say;

use super::cited_file::{Reader, Value};
use super::limits_file::{AgeEntry, ResidueEntry, shipped};
use super::stage::label_of;
use super::{Cap, Cited, Feeding, RationStudy, Stage, StageTable, WindowStudy};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    flag: Flags,
    age: Option<AgeEntry>,
    residue: Option<ResidueEntry>,
    #[serde(default)]
    ration_study: Vec<RationStudy>,
    #[serde(default)]
    window_study: Vec<WindowStudy>,
    stage: Vec<StageEntry>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Flags {
    lignin_dm_pct: Value,
    carbon_to_nitrogen: Value,
    woody_fibre_dm_pct: Value,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct StageEntry {
    name: Spanned<String>,
    #[serde(default)]
    was: Vec<String>,
    from_day: Spanned<i32>,
    to_day: Spanned<i32>,
    depth_cm: Value,
    feeding: Option<Value<String>>,
    #[serde(default)]
    window: BTreeMap<Spanned<String>, WindowEntry>,
    #[serde(default)]
    cap: BTreeMap<Spanned<String>, CapEntry>,
    #[serde(default)]
    assume: BTreeMap<Spanned<String>, Value>,
    ration: Vec<RationEntry>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct CapEntry {
    pct: Spanned<f64>,
    #[serde(default)]
    also: Vec<Spanned<String>>,
    source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RationEntry {
    day: Spanned<i32>,
    mg_dm: Spanned<f64>,
    source: String,
}

impl StageTable {
    /// Reads the stage table.
    ///
    /// # Errors
    /// All findings: form, ranges, bounds that can't hold together, gaps
    /// between stages, days without a ration.
    pub fn read(file: &str, text: &str) -> Result<Self, Findings> {
        let (parsed, toml): (File, _) = TomlFile::parse(file, text)?;
        let mut reader = Reader {
            toml,
            sources: Vec::new(),
        };
        let flag_limits = reader.flag_limits(&parsed.flag);
        // A farm's own table may be older than these parts.
        let ages = reader.ages(&parsed.age.map_or_else(|| shipped().0, Ok)?);
        let reduction = reader.reduction(&parsed.residue.map_or_else(|| shipped().1, Ok)?);
        reader.studies(&parsed.window_study, &parsed.ration_study);
        let mut stages: Vec<Stage> = parsed
            .stage
            .iter()
            .filter_map(|entry| reader.stage(entry))
            .collect();
        stages.sort_by_key(|stage| stage.from_day);
        for pair in stages.windows(2) {
            if pair[1].from_day != pair[0].to_day + 1 {
                let (first, to_day) = (&pair[0].name, pair[0].to_day);
                let (next, from_day) = (&pair[1].name, pair[1].from_day);
                let seen = say!("seen-stages-apart", first, to_day, next, from_day);
                reader
                    .toml
                    .reject_whole("stage", seen, say!("accepted-stages-in-a-row"));
            }
        }
        if stages.is_empty() {
            reader
                .toml
                .reject_whole("stage", "", say!("accepted-a-stage"));
        }
        reader.toml.finish(Self {
            stages,
            flag_limits,
            ages,
            reduction,
            ration_studies: parsed.ration_study,
            window_studies: parsed.window_study,
            sources: reader.sources,
        })
    }
}

impl Reader<'_> {
    fn flag_limits(&mut self, flags: &Flags) -> FlagLimits {
        let mut value = |key: &str, value: &Value, range| {
            self.value(&format!("flag.{key}"), value, range).value
        };
        let (lignin, fibre) = (&flags.lignin_dm_pct, &flags.woody_fibre_dm_pct);
        let ratio = &flags.carbon_to_nitrogen;
        FlagLimits {
            lignin_dm_pct: value("lignin_dm_pct", lignin, 0.0..=100.0),
            carbon_to_nitrogen: value("carbon_to_nitrogen", ratio, 1.0..=1000.0),
            woody_fibre_dm_pct: value("woody_fibre_dm_pct", fibre, 0.0..=100.0),
            label: label_of(
                [lignin, ratio, fibre]
                    .map(|of| of.source.as_str())
                    .into_iter(),
            ),
        }
    }

    fn stage(&mut self, entry: &StageEntry) -> Option<Stage> {
        let name = entry.name.get_ref().clone();
        if StreamId::parse(&name).is_none() {
            self.toml
                .reject(&entry.name, "stage.name", say!("accepted-id-letters"));
        }
        let (from_day, to_day) = (*entry.from_day.get_ref(), *entry.to_day.get_ref());
        if !(0..=365).contains(&from_day) || !(from_day..=365).contains(&to_day) {
            self.toml
                .reject(&entry.to_day, "stage.to_day", say!("accepted-to-day"));
            return None;
        }
        let field = |key: &str| format!("stage `{name}`.{key}");
        let depth_cm = self.value(&field("depth_cm"), &entry.depth_cm, 0.1..=100.0);
        let feeding = self.feeding(&field("feeding"), entry.feeding.as_ref());
        let windows = entry
            .window
            .iter()
            .filter_map(|(key, window)| self.window(&field("window"), key, window))
            .collect();
        let caps = entry
            .cap
            .iter()
            .filter_map(|(stream, cap)| self.cap(&field("cap"), stream, cap))
            .collect();
        let mut assumed = BTreeMap::new();
        let mut assumed_density = None;
        for (key, value) in &entry.assume {
            let source = self.cite(&value.source);
            match Assumed::read(&mut self.toml, &field("assume"), key, &value.value) {
                Some(Assumed::Density(value)) => {
                    assumed_density = Some(Cited { value, source });
                }
                Some(Assumed::Share(analyte, value)) => {
                    assumed.insert(analyte, Cited { value, source });
                }
                None => {}
            }
        }
        let ration_mg_dm = self.ration(&field("ration"), entry, from_day, to_day);
        Some(Stage {
            name,
            was: entry.was.clone(),
            from_day,
            to_day,
            depth_cm,
            feeding,
            windows,
            caps,
            assumed,
            assumed_density,
            ration_mg_dm,
        })
    }

    fn window(
        &mut self,
        field: &str,
        key: &Spanned<String>,
        entry: &WindowEntry,
    ) -> Option<(Measure, Cited<Window>)> {
        let (measure, value) = entry.read(&mut self.toml, field, key)?;
        let Some(source) = &entry.source else {
            self.toml.reject(key, field, say!("accepted-source-key"));
            return None;
        };
        let source = self.cite(source);
        Some((measure, Cited { value, source }))
    }

    fn feeding(&mut self, field: &str, entry: Option<&Value<String>>) -> Cited<Feeding> {
        let Some(entry) = entry else {
            return Cited {
                value: Feeding::Daily,
                source: "our-default".to_owned(),
            };
        };
        let plan = Feeding::parse(entry.value.get_ref());
        if plan.is_none() {
            self.toml.reject(&entry.value, field, Feeding::accepted());
        }
        Cited {
            value: plan.unwrap_or(Feeding::Daily),
            source: self.cite(&entry.source),
        }
    }

    fn cap(&mut self, field: &str, name: &Spanned<String>, entry: &CapEntry) -> Option<Cap> {
        let of_name = format!("{field}.{}", name.get_ref());
        let pct = self.toml.value(&of_name, &entry.pct, 0.0..=100.0);
        let mut id = |name: &Spanned<String>| {
            let id = StreamId::parse(name.get_ref());
            if id.is_none() {
                self.toml.reject(name, field, StreamId::accepted());
            }
            id
        };
        let (name, also) = (id(name), entry.also.iter().filter_map(id).collect());
        let source = self.cite(&entry.source);
        Some(Cap {
            name: name?,
            also,
            share: Cited {
                value: ShareAsFed::from_pct(pct).ok()?,
                source,
            },
        })
    }

    fn ration(
        &mut self,
        field: &str,
        entry: &StageEntry,
        from_day: i32,
        to_day: i32,
    ) -> BTreeMap<i32, Cited<f64>> {
        let mut ration = BTreeMap::new();
        for point in &entry.ration {
            let day = *point.day.get_ref();
            let mg = (self.toml).value(&format!("{field}.mg_dm"), &point.mg_dm, 0.0..=10_000.0);
            let source = self.cite(&point.source);
            if !(from_day..=to_day).contains(&day)
                || ration.insert(day, Cited { value: mg, source }).is_some()
            {
                self.toml.reject(
                    &point.day,
                    &format!("{field}.day"),
                    say!("accepted-each-day", from_day, to_day),
                );
            }
        }
        let missing: Vec<String> = (from_day..=to_day)
            .filter(|day| !ration.contains_key(day))
            .map(|day| day.to_string())
            .collect();
        if !missing.is_empty() {
            self.toml.reject_whole(
                field,
                say!("seen-no-ration", days = missing.join(", ")),
                say!("accepted-every-ration"),
            );
        }
        ration
    }
}

#[cfg(test)]
mod tests {
    use super::super::SHIPPED_STAGES;
    use super::*;

    fn refused(text: &str) -> String {
        let read = StageTable::read("farm.toml", text);
        read.expect_err("bad stages").to_string()
    }

    #[test]
    fn the_shipped_table_reads() {
        let table = StageTable::read("stages.toml", SHIPPED_STAGES).expect("shipped stages");
        assert_eq!(table.at_age(5).expect("a stage").name, "growing");
        assert!(table.at_age(16).is_none());
        // What a book of an earlier program calls its feed groups.
        let called = |group: &str| {
            let stage = table.stages.iter().find(|stage| stage.goes_by(group));
            stage.map(|stage| stage.name.as_str())
        };
        assert_eq!(called("finisher"), Some("last-feeds"));
        assert!(table.stages[0].goes_by("nursery") && table.stages[0].goes_by("young"));
        assert_eq!(called("own"), None);
    }

    /// Moisture of at least 100 % once was read, left out of the model and
    /// then reported as too low.
    #[test]
    fn moisture_of_at_least_all_is_refused() {
        let text = SHIPPED_STAGES.replacen("min = 60.0, max = 70.0", "min = 100.0, max = 100.0", 1);
        let found = refused(&text);
        let named = found.contains("window.moisture_pct.min") && found.contains("100");
        assert!(named, "{found}");
    }

    /// Nayak et al. 2025, PLOS ONE 20:e0317049 (as quoted): 100 g DM for 250
    /// larvae over 10 days, 400 mg DM per larva. The shape of the curve is our default.
    #[test]
    fn nayak_2025_ration_of_ten_days() {
        let table = StageTable::read("stages.toml", SHIPPED_STAGES).expect("shipped stages");
        let total: f64 = (5..15)
            .map(|day| table.at_age(day).expect("stage").ration_mg_dm[&day].value)
            .sum();
        assert!((total - 400.0).abs() < 1e-9, "{total}");
    }

    #[test]
    fn bad_stages_name_key_and_line() {
        let text = SHIPPED_STAGES
            .replacen("max = 70.0", "max = 50.0", 1)
            .replacen("mg_dm = 0.2", "mg_dm = inf", 1);
        let findings = refused(&text);
        for seen in ["min not above max", "`inf` is not accepted", "row "] {
            assert!(findings.contains(seen), "{findings}");
        }
        assert!(refused("[flag]\nlignin = 3").contains("unknown field"));
    }
}
