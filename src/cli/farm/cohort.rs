use clap::Subcommand;
use jiff::civil::Date;

use crate::acts::{add_cohort, cohorts_on, end_cohort, micrograms};
use crate::cli::harvest::sample;
use crate::cli::*;
use crate::daybook::Cohort;
use crate::larvae::Feeding;
use crate::quantity::QuantityError;
use crate::sheet::cohorts_document;

#[derive(clap::Args)]
pub(crate) struct Args {
    #[command(subcommand)]
    command: Option<Command>,
}

#[derive(Subcommand)]
enum Command {
    /// Put a cohort on its trays
    Add(AddArgs),
    /// List cohorts on their trays
    List,
    /// End a cohort
    End(EndArgs),
}

#[derive(clap::Args)]
struct AddArgs {
    /// The name on its trays
    name: String,
    /// Hatch day, such as 2026-11-12
    #[arg(long, value_parser = day)]
    hatched: Date,
    /// How many larvae
    #[arg(long, allow_hyphen_values = true)]
    larvae: String,
    /// How they were counted
    #[arg(long, default_value = "not said")]
    counted: String,
    /// How many trays
    #[arg(long, allow_hyphen_values = true)]
    trays: String,
    /// Area of one tray: 0.24 (m2) or 60x40cm
    #[arg(long, allow_hyphen_values = true)]
    tray_area: String,
    /// Deepest feed layer in centimetres; the stage's if left out
    #[arg(long, value_name = "CM", allow_hyphen_values = true)]
    depth: Option<String>,
    /// A sample counted and weighed when they came: so many larvae, so many grams, as 200=0.31
    #[arg(long, value_name = "NUMBER=GRAMS")]
    start_sample: Option<String>,
    /// How often it is fed: daily, every-3 (nights), once; as its stage if left out
    #[arg(long, value_parser = word(Feeding::parse, || Feeding::accepted().in_english()))]
    feeding: Option<Feeding>,
    /// Unlikely figures are meant
    #[arg(long)]
    sure: bool,
}

#[derive(clap::Args)]
struct EndArgs {
    /// The cohort
    name: String,
    /// Why: harvested, lost ...
    #[arg(long)]
    why: Option<String>,
}

/// Square metres such as `0.24`, or sides such as `60x40cm`.
fn tray_area(reader: Reader, text: &str) -> Result<f64, QuantityError> {
    let text = text.trim().to_lowercase();
    if let Some((length, width)) = text.strip_suffix("cm").unwrap_or(&text).split_once('x') {
        return Ok(reader.number(length)? * reader.number(width)? / 10_000.0);
    }
    reader.number(text.strip_suffix("m2").unwrap_or(&text))
}

pub(crate) fn run(setting: &Setting, args: &Args) -> Done {
    let (mut book, farm) = setting.open()?;
    let asked = setting.asked(&farm.zone)?;
    let reader = farm.units.reader();
    match &args.command {
        Some(Command::Add(args)) => {
            let mut cohort = Cohort {
                name: args.name.clone(),
                hatched: args.hatched,
                larvae: typed("--larvae", &args.larvae, reader, Reader::count)?,
                counted: args.counted.clone(),
                trays: typed("--trays", &args.trays, reader, Reader::count)?,
                tray_area_m2: typed("--tray-area", &args.tray_area, reader, tray_area)?,
                depth_cm: if_any("--depth", &args.depth, reader, Reader::number)?,
                start_count: None,
                start_ug: None,
                feeding: args.feeding,
            };
            if let Some(text) = &args.start_sample {
                let (larvae, grams) = sample("--start-sample", text, reader)?;
                cohort.start_count = Some(larvae);
                cohort.start_ug = Some(micrograms(grams));
            }
            let record = unless_doubted(setting, asked, args.sure, |asked| {
                add_cohort(&mut book, &cohort, asked)
            })?;
            let (larvae, trays, day) = (cohort.larvae, cohort.trays, cohort.hatched);
            let title = say!("cohort-added", cohort = cohort.name, trays, larvae, day);
            kept(setting, record, title)
        }
        Some(Command::End(args)) => {
            let accepted = "a reason such as harvested";
            let why = needed_of(setting, "--why", &args.why, accepted)?;
            let record = end_cohort(&mut book, &args.name, &why, &asked)?;
            let title = say!("cohort-ended", cohort = &args.name, why);
            kept(setting, record, title)
        }
        Some(Command::List) | None => {
            let tables = setting.load_tables()?;
            let night = night_of(asked.at, None, &farm);
            let cohorts = cohorts_on(&book, &farm, &tables.stages, night)?;
            let listed = to_json::each::<_, to_json::Cohort>(&cohorts);
            setting.list(listed, &cohorts_document(&cohorts, night.day))
        }
    }
}

fn kept(setting: &Setting, record: i64, title: Said) -> Done {
    let mut document = Document::titled(title);
    document.next(output::to_strike(record));
    setting.answer(json!({"record": record}), &document)
}
