use crate::acts::{ActError, Tables};
use crate::sheet::{
    Align, Document, Grid, StreamLine, Tone, json as to_json, label, streams_document,
};
use crate::stream::{Measure, Stream, StreamId, UseRules};
use crate::words::say;

use super::error::CliError;
use super::setting::Setting;
use super::{DONE, output};

#[derive(clap::Args)]
pub(super) struct Args {
    /// One stream, with its source
    stream: Option<String>,
}

pub(super) fn run(setting: &Setting, args: &Args) -> Result<u8, CliError> {
    let mut tables = setting.load_tables()?;
    let default_book = setting.daybook.as_os_str() == "farm.daybook";
    let (rules, farm) = if default_book && !setting.daybook.exists() {
        (
            None,
            "No daybook here: verdicts by composition alone, no rule on use asked.".to_owned(),
        )
    } else {
        let (book, farm) = setting.open()?;
        tables = tables.of_farm(&book, setting.now)?.into_owned();
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
        output::json(to_json::each::<_, to_json::Stream>(&lines));
        return Ok(DONE);
    }
    let mut document = streams_document(&lines, &farm);
    for caution in &tables.cautions {
        document.toned(Tone::Caution, caution.clone());
    }
    output::document(&document);
    Ok(DONE)
}

fn line(tables: &Tables, rules: Option<&UseRules>, stream: &Stream) -> StreamLine {
    StreamLine {
        stream: stream.clone(),
        flag: tables.judge(stream, rules, None),
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
        output::json([to_json::Stream::from(&line)]);
        return Ok(DONE);
    }
    let mut document = Document::titled(format!(
        "{} ({}), class {}",
        stream.name, stream.id, stream.class
    ));
    document.table(figures(stream));
    if let Some(stand_in) = stream.labels.stand_in() {
        document.toned(Tone::Caution, format!("Stands in: {stand_in}."));
    }
    document.line(say!("stream-verdict", flag = line.flag.said()));
    if !line.flag.use_note.is_empty() {
        document.line(say!("ticket-use", note = &line.flag.use_note));
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

/// Every figure of a stream with its spread and how well it is supported.
fn figures(stream: &Stream) -> Grid {
    let labels = &stream.labels;
    let mut grid = Grid::new(&[
        ("figure", Align::Left),
        ("value", Align::Right),
        ("\u{b1} one sd", Align::Right),
        ("figure is", Align::Left),
        ("spread is", Align::Left),
    ]);
    let sd = |sd: Option<f64>| {
        sd.map_or_else(|| "unknown".to_owned(), |sd| format!("{:.1}", sd * 100.0))
    };
    let spread_is = |sd: Option<f64>| sd.map_or("", |_| label(labels.spread));
    let shares = (stream.moisture.iter())
        .map(|moisture| {
            (
                "moisture, wet basis".to_owned(),
                moisture.value.pct(),
                moisture.sd,
            )
        })
        .chain(stream.analytes.iter().map(|(analyte, share)| {
            let name = format!("{analyte}, of dry matter");
            (name, share.value.pct(), share.sd)
        }));
    for (name, pct, spread) in shares {
        grid.row([
            name,
            format!("{pct:.1} %"),
            sd(spread),
            label(labels.composition).to_owned(),
            spread_is(spread).to_owned(),
        ]);
    }
    let mut row = |name: String, value: String, label: &str| {
        grid.row([name, value, String::new(), label.to_owned(), String::new()]);
    };
    if let Some(share) = stream.reckoned(&Measure::NonFibreCarbohydrate) {
        let name = "non-fibre carbohydrate, of dry matter".to_owned();
        row(name, format!("{:.1} %", share * 100.0), "reckoned");
    }
    if let Some(ratio) = stream.carbon_to_nitrogen() {
        let reckoned = stream
            .carbon_to_nitrogen_tested
            .map_or("reckoned", |_| "tested");
        row("C:N by weight".to_owned(), format!("{ratio:.0}"), reckoned);
    }
    if let Some(density) = stream.bulk_density {
        let kg = format!("{:.0} kg/m3", density.kg_per_m3());
        row("bulk density".to_owned(), kg, label(labels.density));
    }
    if let Some(part) = &stream.inedible {
        let share = part.share.map_or_else(
            || "unknown".to_owned(),
            |share| format!("{:.0} %", share.pct()),
        );
        let is = part.share.map_or("", |_| label(labels.inedible));
        row(format!("{}, of the weight as fed", part.kind), share, is);
    }
    if let Some(days) = stream.keeps_days {
        row(
            "keeps, ambient".to_owned(),
            format!("{days} days"),
            label(labels.keeping),
        );
    }
    let price = stream.price_per_kg.map_or_else(
        || ("unknown".to_owned(), ""),
        |price| (format!("{price:.2}"), "the farm's own"),
    );
    row("price a kg".to_owned(), price.0, price.1);
    grid
}
