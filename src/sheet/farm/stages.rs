use serde_json::{Value, json};

use crate::larvae::{Cited, Stage, StageTable};
use crate::stream::{Evidence, Measure, SourceTable, Window};
use crate::words::{Said, say};

use crate::sheet::document::{Document, Grid, grid};
use crate::sheet::words::range;

fn evidence<'a>(sources: &'a SourceTable, key: &'a str) -> &'a str {
    let source = sources.get(key);
    source.map_or("farm's own", |source| source.evidence.label())
}

pub fn stages_document(table: &StageTable, sources: &SourceTable) -> Document {
    let said = |key: &str| Evidence::said(sources.get(key).map(|source| source.evidence));
    let mut document = Document::titled(say!("stages-title"));
    document.line(say!("stages-windows"));
    for stage in &table.stages {
        let (name, from, to) = (&stage.name, stage.from_day, stage.to_day);
        document.heading(say!("stages-stage", name, from, to));
        document.table(windows(stage, sources));
    }
    document.heading(say!("stages-compared"));
    document.table(grid!(for study in &table.window_studies => {
        let (compared, result) = (&study.compared, &study.result);
        let evidence = said(&study.source);
        Left say!("stages-measure") =>
            study.measure.as_ref().map_or_else(|| say!("stages-all"), Measure::said),
        Left say!("stages-study") => &study.study,
        Right "n" => study.n.map_or_else(|| say!("stages-no-n"), Said::from),
        Left say!("stages-result") => say!("stages-found", compared, result, evidence),
    }));
    if table.window_studies.is_empty() {
        document.line(say!("stages-no-study"));
    }
    let without = without_study(table);
    if !without.is_empty() {
        let measures = Said::joined(without, ", ");
        document.small(say!("stages-none-found", measures));
    }
    document
}

/// Measures with a window that no study bears on.
fn without_study(table: &StageTable) -> Vec<Said> {
    let mut found: Vec<&Measure> = (table.stages.iter())
        .flat_map(|stage| stage.windows.keys())
        .filter(|key| {
            let mut studies = table.window_studies.iter();
            !studies.any(|study| study.measure.as_ref() == Some(key))
        })
        .collect();
    found.sort();
    found.dedup();
    found.into_iter().map(Measure::said).collect()
}

fn windows(stage: &Stage, sources: &SourceTable) -> Grid {
    grid!(for (measure, cited) in &stage.windows => {
        let (window, unit) = (cited.value, measure.unit());
        let source = sources.get(&cited.source);
        let citation = source.map_or(&cited.source, |source| &source.citation);
        let evidence = Evidence::said(source.map(|source| source.evidence));
        Left say!("stages-measure") => measure.said(),
        Right say!("stages-window") => range(window.range(false), unit),
        Right say!("stages-limit") => range(window.range(true), unit),
        Left say!("stages-from") => Said::joined([evidence, citation.into()], ": "),
    })
}

/// The same for other programs; bounds as people write them.
pub fn stages_json(table: &StageTable, sources: &SourceTable) -> Value {
    let window = |(measure, cited): (&Measure, &Cited<Window>)| {
        let mut window = json!(cited.value);
        window["measure"] = measure.key().into();
        window["source"] = cited.source.as_str().into();
        window["evidence"] = evidence(sources, &cited.source).into();
        window
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
