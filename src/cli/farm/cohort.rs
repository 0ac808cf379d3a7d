use clap::Subcommand;

use crate::acts::{FarmSettings, add_cohort, cohorts_on, end_cohort, micrograms, tray_area};
use crate::cli::ask::{needed_read, needed_text};
use crate::cli::harvest::sample;
use crate::cli::*;
use crate::daybook::{Cohort, Daybook};
use crate::larvae::Feeding;
use crate::quantity::counted;
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

#[derive(clap::Args, Default)]
pub(crate) struct AddArgs {
    /// The name on its trays
    name: Option<String>,
    /// Hatch day, such as 2026-11-12
    #[arg(long, value_name = "DAY")]
    hatched: Option<String>,
    /// How many larvae
    #[arg(long, value_name = "NUMBER", allow_hyphen_values = true)]
    larvae: Option<String>,
    /// How they were counted
    #[arg(long, value_name = "HOW")]
    counted: Option<String>,
    /// How many trays
    #[arg(long, value_name = "NUMBER", allow_hyphen_values = true)]
    trays: Option<String>,
    /// Area of one tray: 0.24 (m2) or 60x40cm
    #[arg(long, value_name = "AREA", allow_hyphen_values = true)]
    tray_area: Option<String>,
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
    name: Option<String>,
    /// Why: harvested, lost ...
    #[arg(long)]
    why: Option<String>,
}

pub(crate) fn run(setting: &Setting, args: &Args) -> Done {
    let (mut book, farm) = setting.open()?;
    let asked = setting.asked(&farm.zone)?;
    match &args.command {
        Some(Command::Add(args)) => {
            let (record, cohort) = add_asked(setting, &mut book, &farm, args)?;
            let (larvae, trays, day) = (counted(cohort.larvae), cohort.trays, cohort.hatched);
            let title = say!("cohort-added", cohort = cohort.name, trays, larvae, day);
            kept(setting, record, title)
        }
        Some(Command::End(args)) => {
            let question = (say!("ask-cohort"), say!("ask-cohort-form"));
            let name = needed_text(setting, "NAME", args.name.as_deref(), question)?;
            let accepted = say!("accepted-why-ended");
            let why = needed_of(setting, "--why", &args.why, accepted)?;
            let record = end_cohort(&mut book, &name, &why, &asked)?;
            let title = say!("cohort-ended", cohort = name, why);
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

/// Puts a cohort on its trays; what was not given is asked for.
pub(crate) fn add_asked(
    setting: &Setting,
    book: &mut Daybook,
    farm: &FarmSettings,
    args: &AddArgs,
) -> Result<(i64, Cohort), CliError> {
    let reader = farm.units.reader();
    let text = |flag, given: &Option<String>, question| {
        needed_text(setting, flag, given.as_deref(), question)
    };
    let count = |flag, given: &Option<String>, question| {
        needed_read(setting, flag, given.as_deref(), question, |text| {
            typed(flag, text, reader, Reader::count)
        })
    };
    let name = (say!("ask-cohort-name"), say!("ask-cohort-name-form"));
    let name = text("NAME", &args.name, name)?;
    let hatched = (say!("ask-hatched"), say!("ask-day-form"));
    let hatched = needed_read(
        setting,
        "--hatched",
        args.hatched.as_deref(),
        hatched,
        |text| day_of("--hatched", text),
    )?;
    let larvae = (say!("ask-larvae"), say!("ask-larvae-form"));
    let larvae = count("--larvae", &args.larvae, larvae)?;
    let trays = (say!("ask-trays"), say!("ask-trays-form"));
    let trays = count("--trays", &args.trays, trays)?;
    let area = (say!("ask-tray-area"), say!("ask-tray-area-form"));
    let tray_area_m2 = needed_read(
        setting,
        "--tray-area",
        args.tray_area.as_deref(),
        area,
        |text| typed("--tray-area", text, reader, tray_area),
    )?;
    let mut cohort = Cohort {
        name,
        hatched,
        larvae,
        counted: args
            .counted
            .clone()
            .unwrap_or_else(|| "not said".to_owned()),
        trays,
        tray_area_m2,
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
    let asked = setting.asked(&farm.zone)?;
    let record = unless_doubted(setting, asked, args.sure, |asked| {
        add_cohort(book, &cohort, asked)
    })?;
    Ok((record, cohort))
}

fn kept(setting: &Setting, record: i64, title: Said) -> Done {
    let mut document = Document::titled(title);
    document.next(output::to_strike(record));
    setting.answer(json!({"record": record}), &document)
}
