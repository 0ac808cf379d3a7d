use crate::acts::{ActError, Tables};
use crate::sheet::{Align, Document, Grid, StreamLine, Tone, json as to_json, streams_document};
use crate::stream::{Measure, StreamId, UseRules};

use super::error::CliError;
use super::setting::Setting;
use super::{DONE, output};

#[derive(clap::Args)]
pub(super) struct Args {
    /// One stream, with its source
    stream: Option<String>,
}

pub(super) fn run(setting: &Setting, args: &Args) -> Result<u8, CliError> {
    let tables = setting.load_tables()?;
    let default_book = setting.daybook.as_os_str() == "farm.daybook";
    let (rules, farm) = if default_book && !setting.daybook.exists() {
        (
            None,
            "No daybook here: verdicts by composition alone, no rule on use asked.".to_owned(),
        )
    } else {
        let (_, farm) = setting.open()?;
        let rules = tables.rules(&farm).map_err(ActError::from)?;
        (
            Some(rules),
            format!(
                "For larvae as {} in {}. Rules on use are a dated summary: check with your local authority.",
                farm.larvae_for, farm.region
            ),
        )
    };
    if let Some(name) = &args.stream {
        return one(setting, &tables, rules.as_ref(), name);
    }
    let lines: Vec<StreamLine> = tables
        .streams
        .iter()
        .map(|stream| line(&tables, rules.as_ref(), stream))
        .collect();
    if setting.json {
        output::json(&to_json::streams(&lines));
        return Ok(DONE);
    }
    let mut document = streams_document(&lines, &farm);
    for caution in &tables.cautions {
        document.toned(Tone::Caution, caution.clone());
    }
    output::document(&document);
    Ok(DONE)
}

fn line(tables: &Tables, rules: Option<&UseRules>, stream: &crate::stream::Stream) -> StreamLine {
    StreamLine {
        stream: stream.clone(),
        flag: tables.judge(stream, rules),
        evidence: tables.evidence(stream),
    }
}

fn one(
    setting: &Setting,
    tables: &Tables,
    rules: Option<&UseRules>,
    name: &str,
) -> Result<u8, CliError> {
    let Some(stream) = StreamId::parse(name).and_then(|id| tables.streams.get(&id)) else {
        return Err(ActError::NotFound {
            what: "stream",
            seen: name.to_owned(),
            nearest: tables.streams.nearest(name),
        }
        .into());
    };
    let line = line(tables, rules, stream);
    if setting.json {
        output::json(&to_json::streams(std::slice::from_ref(&line)));
        return Ok(DONE);
    }
    let mut document = Document::titled(format!(
        "{} ({}), class {}",
        stream.name, stream.id, stream.class
    ));
    let mut grid = Grid::new(&[
        ("figure", Align::Left),
        ("value", Align::Right),
        ("± one sd", Align::Right),
    ]);
    let sd = |sd: Option<f64>| {
        sd.map_or_else(|| "unknown".to_owned(), |sd| format!("{:.1}", sd * 100.0))
    };
    if let Some(moisture) = &stream.moisture {
        grid.row([
            "moisture, wet basis".into(),
            format!("{:.1} %", moisture.value.pct()),
            sd(moisture.sd),
        ]);
    }
    for (analyte, estimate) in &stream.analytes {
        grid.row([
            format!("{analyte}, of dry matter"),
            format!("{:.1} %", estimate.value.pct()),
            sd(estimate.sd),
        ]);
    }
    if let Some(share) = stream.reckoned(&Measure::NonFibreCarbohydrate) {
        grid.row([
            "non-fibre carbohydrate, of dry matter".into(),
            format!("{:.1} %", share * 100.0),
            String::new(),
        ]);
    }
    if let Some(ratio) = stream.carbon_to_nitrogen() {
        grid.row([
            "C:N by weight (reckoned unless tested)".into(),
            format!("{ratio:.0}"),
            String::new(),
        ]);
    }
    if let Some(density) = stream.bulk_density {
        grid.row([
            "bulk density".into(),
            format!("{:.0} kg/m3", density.kg_per_m3()),
            String::new(),
        ]);
    }
    if let Some(part) = &stream.inedible {
        grid.row([
            format!("{}, of the weight as fed", part.kind),
            format!("{:.0} %", part.share.pct()),
            String::new(),
        ]);
    }
    if let Some(days) = stream.keeps_days {
        grid.row([
            "keeps, ambient".into(),
            format!("{days} days"),
            String::new(),
        ]);
    }
    document.table(grid);
    document.line(format!(
        "Verdict: {}: {}",
        line.flag.verdict, line.flag.reason
    ));
    if !line.flag.use_note.is_empty() {
        document.line(format!("Use: {}", line.flag.use_note));
    }
    match tables.sources.get(&stream.source) {
        Some(source) => {
            document.line(format!(
                "Source ({}): {}",
                source.evidence.label(),
                source.citation
            ));
            document.toned(Tone::Small, source.note.clone());
        }
        None => document.line(format!("Source: {}", stream.source)),
    }
    output::document(&document);
    Ok(DONE)
}
