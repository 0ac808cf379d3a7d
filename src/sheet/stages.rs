use serde_json::{Value, json};

use crate::larvae::{Stage, StageTable, WindowStudy};
use crate::stream::{Measure, SourceTable, Window};

use super::document::{Align, Document, Grid, Tone};
use super::words::one_decimal;

fn evidence<'a>(sources: &'a SourceTable, key: &'a str) -> &'a str {
    let source = sources.get(key);
    source.map_or("farm's own", |source| source.evidence.label())
}

/// The stages with their windows, where each comes from, and what was compared.
#[must_use]
pub fn stages_document(table: &StageTable, sources: &SourceTable) -> Document {
    let mut document = Document::titled("Stages and their windows");
    document.line("Windows are preferred ranges, limits are hard. Nothing seen shows that larvae convert better inside the windows than outside; they keep feed to what larvae were reared on.");
    for stage in &table.stages {
        document.heading(format!(
            "{}, day {} to {}",
            stage.name, stage.from_day, stage.to_day
        ));
        document.table(windows(stage, sources));
    }
    document.heading("What was compared");
    let mut grid = Grid::new(&[
        ("measure", Align::Left),
        ("study", Align::Left),
        ("n", Align::Right),
        ("compared, and what came of it", Align::Left),
    ]);
    for study in &table.window_studies {
        grid.row([
            measure(study),
            study.study.clone(),
            study
                .n
                .map_or_else(|| "not told".to_owned(), |n| n.to_string()),
            format!(
                "{}: {} ({})",
                study.compared,
                study.result,
                evidence(sources, &study.source)
            ),
        ]);
    }
    document.table(grid);
    if table.window_studies.is_empty() {
        document.line("This stage table names no study.");
    }
    let without = without_study(table);
    if !without.is_empty() {
        let told = format!("No study was found for: {}.", without.join(", "));
        document.toned(Tone::Small, told);
    }
    document
}

fn measure(study: &WindowStudy) -> String {
    let all = || "all together".to_owned();
    study.measure.as_ref().map_or_else(all, Measure::to_string)
}

/// Measures with a window that no study bears on.
fn without_study(table: &StageTable) -> Vec<String> {
    let mut found: Vec<&Measure> = (table.stages.iter())
        .flat_map(|stage| stage.windows.keys())
        .filter(|key| {
            let mut studies = table.window_studies.iter();
            !studies.any(|study| study.measure.as_ref() == Some(key))
        })
        .collect();
    found.sort();
    found.dedup();
    found.into_iter().map(Measure::to_string).collect()
}

fn windows(stage: &Stage, sources: &SourceTable) -> Grid {
    let mut grid = Grid::new(&[
        ("measure", Align::Left),
        ("window", Align::Right),
        ("limit", Align::Right),
        ("from", Align::Left),
    ]);
    for (measure, cited) in &stage.windows {
        let Window {
            min,
            max,
            limit_min,
            limit_max,
        } = cited.value;
        let citation = sources.get(&cited.source);
        let citation = citation.map_or(cited.source.as_str(), |source| source.citation.as_str());
        grid.row([
            measure.to_string(),
            range(min, max, measure.unit()),
            range(limit_min, limit_max, measure.unit()),
            format!("{}: {citation}", evidence(sources, &cited.source)),
        ]);
    }
    grid
}

fn range(low: Option<f64>, high: Option<f64>, unit: &str) -> String {
    let told = |share: f64| one_decimal(share * 100.0);
    match (low, high) {
        (Some(low), Some(high)) => format!("{}-{}{unit}", told(low), told(high)),
        (Some(low), None) => format!("from {}{unit}", told(low)),
        (None, Some(high)) => format!("to {}{unit}", told(high)),
        (None, None) => "-".to_owned(),
    }
}

/// The same for other programs; bounds as people write them.
#[must_use]
pub fn stages_json(table: &StageTable, sources: &SourceTable) -> Value {
    let pct = |share: Option<f64>| share.map(|share| share * 100.0);
    let window = |(measure, cited): (&Measure, &crate::larvae::Cited<Window>)| {
        json!({
            "measure": measure.key(),
            "min": pct(cited.value.min), "max": pct(cited.value.max),
            "limit_min": pct(cited.value.limit_min), "limit_max": pct(cited.value.limit_max),
            "source": cited.source, "evidence": evidence(sources, &cited.source),
        })
    };
    json!({
        "schema": 1,
        "stages": table.stages.iter().map(|stage| json!({
            "stage": stage.name, "from_day": stage.from_day, "to_day": stage.to_day,
            "windows": stage.windows.iter().map(window).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
        "studies": table.window_studies.iter().map(|study| json!({
            "measure": study.measure.as_ref().map(Measure::key), "study": study.study, "n": study.n,
            "compared": study.compared, "result": study.result,
            "source": study.source, "evidence": evidence(sources, &study.source),
        })).collect::<Vec<_>>(),
    })
}
