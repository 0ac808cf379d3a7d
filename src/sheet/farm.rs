use crate::quantity::counted;
use crate::quantity::wire::view;
use crate::stream::{Class, StreamId};
use jiff::civil::Date;
use serde_json::{Value, json};
use std::collections::BTreeMap;

use crate::larvae::{Cited, CohortOnTrays, Feeding, Stage, StageTable};
use crate::sheet::document::{Document, Grid, Tone, grid};
use crate::sheet::words::{figure, range};
use crate::stream::{Evidence, Flag, Measure, SourceTable, Stream, Window};
use crate::words::{Said, say};

#[derive(Debug, Clone, PartialEq)]
pub struct CohortNow {
    pub record: i64,
    pub cohort: CohortOnTrays,
    pub counted: String,
    pub age_days: i32,
    /// Its stage; `None` when no stage covers its age.
    pub stage: Option<String>,
    pub feeding: Option<Feeding>,
    pub due: bool,
    pub next: Option<Date>,
}

/// How often, and when next.
fn fed(now: &CohortNow) -> Said {
    let plan = match now.feeding {
        None => Said::default(),
        Some(Feeding::Daily) => say!("cohort-daily"),
        Some(Feeding::Once) => say!("cohort-once"),
        Some(Feeding::Every(nights)) => say!("cohort-every", nights),
    };
    match (now.due, now.next) {
        (true, _) => say!("cohort-tonight", plan),
        (false, Some(night)) => say!("cohort-next-night", plan, night),
        (false, None) => say!("cohort-no-more"),
    }
}

/// Whether a book is whole, and each flaw where it is not.
pub fn check_document<'a>(
    title: Said,
    (records, tickets): (i64, i64),
    flaws: impl ExactSizeIterator<Item = &'a Said>,
) -> Document {
    let mut document = Document::titled(title);
    if flaws.len() == 0 {
        document.answer(Tone::Good, say!("check-whole", records, tickets));
        return document;
    }
    document.answer(Tone::Out, say!("check-not-whole", flaws = flaws.len()));
    for flaw in flaws {
        document.item(Tone::Out, flaw);
    }
    document
}

pub fn cohorts_document(cohorts: &[CohortNow], night: Date) -> Document {
    let mut document = Document::titled(say!("cohorts-title", night));
    let trays = cohorts.iter().map(|now| now.cohort.trays).sum::<i64>();
    if !cohorts.is_empty() {
        let count = say!("cohorts-count", cohorts = cohorts.len(), trays);
        document.answer(Tone::Plain, count);
    } else {
        document.line(say!("cohorts-none"));
        document.next(say!("cohorts-next"));
    }
    document.table(grid!(for now in cohorts => {
        Left say!("cohort") => &now.cohort.name,
        Left say!("hatched") => now.cohort.hatched,
        Right say!("cohort-day") => now.age_days,
        Left say!("cohort-stage") =>
            now.stage.as_ref().map_or_else(|| say!("cohort-not-fed"), |stage| say!("stage-called", what = stage)),
        Right say!("cohort-larvae") => counted(now.cohort.larvae),
        Right say!("cohort-trays") => now.cohort.trays,
        Right say!("cohort-per-cm2") => format!("{:.1}", now.cohort.per_cm2()),
        Left say!("cohort-fed") => fed(now),
    }));
    document
}

#[derive(Debug, Clone, PartialEq)]
pub struct StreamLine {
    pub stream: Stream,
    pub flag: Flag,
}

pub fn streams_document(lines: &[StreamLine], farm: &Said) -> Document {
    let mut document = Document::titled(say!("streams-title"));
    let fed = lines.iter().filter(|line| line.flag.verdict.may_be_fed());
    let count = say!("streams-count", fed = fed.count(), all = lines.len());
    document.answer(Tone::Plain, count);
    document.line(farm);
    document.table(grid!(for StreamLine { stream, flag } in lines => {
        let analyte = |name| figure(stream.analyte(name).map(|share| share.pct()), 1);
        let composition = Evidence::said(stream.labels.composition);
        Left say!("stream") => &stream.id,
        Left say!("streams-class") => stream.class,
        Right say!("moisture-pct") => figure(stream.moisture.map(|moisture| moisture.value.pct()), 1),
        Right say!("streams-protein") => analyte("protein"),
        Right say!("streams-fat") => analyte("fat"),
        Right say!("streams-fibre") => analyte("fibre"),
        Right say!("streams-ash") => analyte("ash"),
        Right say!("streams-keeps") => (stream.keeps_days).map_or_else(|| "-".into(), Said::from),
        Left say!("stock-verdict") => flag.verdict.said(),
        Left say!("streams-composition") => match &stream.labels.stands_in {
            Some(_) => say!("streams-stands-in", composition),
            None => composition,
        },
    }));
    document.small(say!("streams-basis"));
    document.small(keeping_and_spread(lines));
    document
}

/// The list has a column for the label of the composition only.
fn keeping_and_spread(lines: &[StreamLine]) -> Said {
    let labels = || lines.iter().map(|line| &line.stream.labels);
    let keeping = |wanted| labels().filter(|own| own.keeping == Some(wanted)).count();
    let spread = |wanted| labels().filter(|own| own.spread == Some(wanted)).count();
    say!(
        "streams-labels",
        all = lines.len(),
        keeping = keeping(Evidence::OurDefault),
        derived = spread(Evidence::Derived),
        ours = spread(Evidence::OurDefault)
    )
}

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

view! {
    /// A cohort on its trays.
    pub Cohort(now: &CohortNow) {
        cohort: String = now.cohort.name.clone(),
        record: i64 = now.record,
        hatched: String = now.cohort.hatched.to_string(),
        age_days: i32 = now.age_days,
        stage: Option<String> = now.stage.clone(),
        larvae: i64 = now.cohort.larvae,
        counted: String = now.counted.clone(),
        trays: i64 = now.cohort.trays,
        tray_area_m2: f64 = now.cohort.tray_area_m2,
        depth_cm: Option<f64> = now.cohort.depth_cm,
        larvae_per_cm2: f64 = now.cohort.per_cm2(),
        feeding: Option<Feeding> = now.feeding,
        due: bool = now.due,
        next: Option<String> = now.next.map(|next| next.to_string()),
    }
}

view! {
    /// A stream of the table with its verdict for this farm; its analytes besides.
    pub StreamTold(line: &StreamLine) {
        stream: StreamId = line.stream.id.clone(),
        name: String = line.stream.name.clone(),
        class: Class = line.stream.class,
        #[serde(flatten)]
        flag: Flag = line.flag.clone(),
        moisture_pct: Option<f64> = line.stream.moisture.map(|moisture| moisture.value.pct()),
        moisture_sd: Option<f64> = line.stream.moisture.and_then(|moisture| Some(moisture.sd? * 100.0)),
        nfc_dm_pct: Option<f64> = line.stream.reckoned(&Measure::NonFibreCarbohydrate).map(|share| share * 100.0),
        carbon_to_nitrogen: Option<f64> = line.stream.carbon_to_nitrogen(),
        bulk_density_kg_m3: Option<f64> = line.stream.bulk_density.map(|density| density.kg_per_m3()),
        inedible_pct: Option<f64> = line.stream.inedible.as_ref().and_then(|part| Some(part.share?.pct())),
        inedible_kind: Option<String> = line.stream.inedible.as_ref().map(|part| part.kind.clone()),
        keeps_days: Option<f64> = line.stream.keeps_days,
        price_per_kg: Option<f64> = line.stream.price_per_kg,
        source: String = line.stream.source.clone(),
        labels: StreamLabels = StreamLabels::from(&line.stream),
        stands_in: Option<Said> = line.stream.labels.stand_in(),
        #[serde(flatten)]
        analytes: BTreeMap<String, Option<f64>> = analytes(&line.stream),
    }

    StreamLabels(of: &crate::stream::Stream) {
        composition: Said = Evidence::said(of.labels.composition),
        spread: Said = Evidence::said(of.labels.spread),
        density: Option<Said> = of.bulk_density.map(|_| Evidence::said(of.labels.density)),
        inedible: Option<Said> = of.inedible.as_ref().and_then(|part| part.share).map(|_| Evidence::said(of.labels.inedible)),
        keeping: Option<Said> = of.keeps_days.map(|_| Evidence::said(of.labels.keeping)),
    }
}

fn analytes(stream: &crate::stream::Stream) -> BTreeMap<String, Option<f64>> {
    let each = stream.analytes.iter().flat_map(|(analyte, estimate)| {
        let sd = estimate.sd.map(|sd| sd * 100.0);
        let sd_key = format!("{}_dm_sd", analyte.name());
        [(analyte.key(), Some(estimate.value.pct())), (sd_key, sd)]
    });
    each.collect()
}
