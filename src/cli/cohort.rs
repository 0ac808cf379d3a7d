use clap::Subcommand;
use jiff::civil::Date;
use serde_json::json;

use crate::acts::{CohortAsked, add_cohort, cohorts_on, end_cohort, night_of};
use crate::quantity::Decimal;
use crate::sheet::{CohortNow, Document, Tone, cohorts_document, json as to_json};

use super::ask::needed;
use super::error::CliError;
use super::setting::Setting;
use super::{DONE, output};

#[derive(clap::Args)]
pub(super) struct Args {
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
    #[arg(long)]
    hatched: Date,
    /// How many larvae
    #[arg(long)]
    larvae: i64,
    /// How they were counted
    #[arg(long, default_value = "not said")]
    counted: String,
    /// How many trays
    #[arg(long)]
    trays: i64,
    /// Area of one tray: 0.24 (m2) or 60x40cm
    #[arg(long, value_parser = tray_area)]
    tray_area: f64,
    /// Deepest feed layer in centimetres; the stage's if left out
    #[arg(long, value_name = "CM")]
    depth: Option<f64>,
}

#[derive(clap::Args)]
struct EndArgs {
    /// The cohort
    name: String,
    /// Why: harvested, lost ...
    #[arg(long)]
    why: Option<String>,
}

fn tray_area(text: &str) -> Result<f64, String> {
    let accepted = || "accepted: square metres such as 0.24, or sides such as 60x40cm".to_owned();
    let number = |text: &str| {
        Decimal::parse(text)
            .map(Decimal::to_f64)
            .map_err(|_| accepted())
    };
    let text = text.trim().to_lowercase();
    if let Some((length, width)) = text.strip_suffix("cm").unwrap_or(&text).split_once('x') {
        return Ok(number(length)? * number(width)? / 10_000.0);
    }
    number(text.strip_suffix("m2").unwrap_or(&text))
}

pub(super) fn run(setting: &Setting, args: Args) -> Result<u8, CliError> {
    let (mut book, farm) = setting.open()?;
    let asked = setting.asked(&farm.zone)?;
    match args.command {
        Some(Command::Add(args)) => {
            let cohort = CohortAsked {
                name: args.name,
                hatched: args.hatched,
                larvae: args.larvae,
                counted: args.counted,
                trays: args.trays,
                tray_area_m2: args.tray_area,
                depth_cm: args.depth,
            };
            let record = add_cohort(&mut book, &cohort, &asked)?;
            said(
                setting,
                record,
                &format!(
                    "Cohort {} on {} trays: {} larvae, hatched {}",
                    cohort.name, cohort.trays, cohort.larvae, cohort.hatched
                ),
            );
        }
        Some(Command::End(args)) => {
            let why = needed(
                setting,
                args.why,
                "--why",
                "Why",
                "a reason such as harvested",
            )?;
            let record = end_cohort(&mut book, &args.name, &why, &asked)?;
            said(
                setting,
                record,
                &format!("Cohort {} ended: {why}", args.name),
            );
        }
        Some(Command::List) | None => {
            let tables = setting.load_tables()?;
            let night = night_of(asked.at, None, &farm);
            let cohorts = cohorts_on(&book, night.day, asked.at, &tables.stages)?;
            list(setting, &cohorts, night.day);
        }
    }
    Ok(DONE)
}

fn said(setting: &Setting, record: i64, title: &str) {
    if setting.json {
        output::json(&json!({"schema": 1, "record": record}));
        return;
    }
    let mut document = Document::titled(title);
    document.toned(
        Tone::Next,
        format!("To strike it: trayful strike r{record} --why REASON"),
    );
    output::document(&document);
}

fn list(setting: &Setting, cohorts: &[CohortNow], night: Date) {
    if setting.json {
        output::json(&to_json::cohorts(cohorts));
    } else {
        output::document(&cohorts_document(cohorts, night));
    }
}
