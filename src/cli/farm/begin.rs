use jiff::tz::TimeZone;

use super::cohort;
use super::settings::{Place, farm_line, tare};
use crate::acts::{FarmAsked, FarmSaid, FarmSettings, add_container, begin, custom_of, settings};
use crate::cli::ask::{confirmed, read_if_any, until_read};
use crate::cli::target::refuse_new;
use crate::cli::*;
use crate::daybook::{Chosen, Daybook, DaybookError};
use crate::quantity::{DecimalMark, custom_mark};
use crate::stream::{LarvaeFor, Region};

/// Settings of a farm, as arguments.
#[derive(clap::Args)]
pub(crate) struct Args {
    #[command(flatten)]
    place: Place,
    /// What stands before decimals on the scale and in what is typed: point or
    /// comma; the zone's custom if left out
    #[arg(long)]
    decimal_mark: Option<String>,
}

/// One setting: its flag, where it stands, the question, what is accepted, what is proposed.
struct Question {
    flag: &'static str,
    of: fn(&mut FarmAsked) -> &mut String,
    asks: Said,
    accepted: Said,
    proposed: String,
}

/// The questions in order; what is proposed goes by the zone, and the zone by this machine.
fn questions(zone: &str) -> [Question; 6] {
    let custom = custom_of(zone);
    let question = |flag, of, asks, accepted, proposed: &str| Question {
        flag,
        of,
        asks,
        accepted,
        proposed: proposed.to_owned(),
    };
    let words = |accepted: String| Said::from(accepted);
    let currency = custom.currency.unwrap_or_default();
    let (zone_asks, zone_form) = (say!("begin-ask-zone"), say!("begin-ask-zone-form"));
    [
        question("--zone", |to| &mut to.zone, zone_asks, zone_form, zone),
        question(
            "--unit",
            |to| &mut to.unit,
            say!("begin-ask-unit"),
            words("lb, kg".to_owned()),
            custom.unit,
        ),
        question(
            "--division",
            |to| &mut to.division,
            say!("begin-ask-division"),
            say!("begin-ask-division-form"),
            "0.1",
        ),
        question(
            "--currency",
            |to| &mut to.currency,
            say!("begin-ask-currency"),
            say!("begin-ask-currency-form"),
            currency,
        ),
        question(
            "--region",
            |to| &mut to.region,
            say!("begin-ask-region"),
            words(Region::accepted()),
            custom.region,
        ),
        question(
            "--larvae-for",
            |to| &mut to.larvae_for,
            say!("begin-ask-larvae-for"),
            words(LarvaeFor::accepted()),
            "",
        ),
    ]
}

/// Settings of which any could stand, to hold one answer against.
fn blank() -> FarmAsked {
    FarmAsked {
        zone: "Etc/UTC".to_owned(),
        unit: "kg".to_owned(),
        division: "0.1".to_owned(),
        currency: "XXX".to_owned(),
        region: "other".to_owned(),
        larvae_for: "not-feed".to_owned(),
        said: FarmSaid::default(),
        chosen: Chosen::default(),
    }
}

fn mark(text: &str) -> Result<DecimalMark, CliError> {
    let refused = || Rejection::new("--decimal-mark", text, DecimalMark::accepted()).into();
    DecimalMark::parse(text.trim()).ok_or_else(refused)
}

/// As given; what is missing is an error that names it.
fn given(args: &Args) -> Result<FarmAsked, CliError> {
    let mut asked = blank();
    for (question, given) in questions("").into_iter().zip(args.place.each()) {
        let accepted = question.accepted.in_language(output::language());
        let missing = || CliError::missing(question.flag, &accepted);
        *(question.of)(&mut asked) = given.clone().ok_or_else(missing)?;
    }
    asked.chosen.decimal_mark = args.decimal_mark.as_deref().map(mark).transpose()?;
    Ok(asked)
}

/// Asks for what was not given or can't be taken; each answer is checked at once.
fn answered(args: &Args) -> Result<FarmAsked, CliError> {
    let mut asked = blank();
    let machine = TimeZone::system();
    let mut zone = machine.iana_name().unwrap_or_default().to_owned();
    for (nth, given) in args.place.each().into_iter().enumerate() {
        let question = &questions(&zone)[nth];
        let taken = |text: &str| -> Result<FarmAsked, CliError> {
            let mut tried = asked.clone();
            text.trim().clone_into((question.of)(&mut tried));
            match tried.rejection_of(question.flag) {
                Some(rejection) => Err(rejection.into()),
                None => Ok(tried),
            }
        };
        let from_flag = given.as_deref().map(&taken);
        let known = match from_flag {
            Some(Ok(known)) => known,
            other => {
                if let Some(Err(error)) = other {
                    output::note(error.message);
                }
                let (asks, accepted) = (&question.asks, &question.accepted);
                until_read(asks, accepted, &question.proposed, taken)?
            }
        };
        asked = known;
        zone.clone_from(&asked.zone);
    }
    let custom = custom_mark(&zone).map_or("", DecimalMark::as_str);
    let chosen = match &args.decimal_mark {
        Some(text) => mark(text)?,
        None => until_read(
            &say!("begin-ask-mark"),
            &DecimalMark::accepted().into(),
            custom,
            mark,
        )?,
    };
    asked.chosen.decimal_mark = Some(chosen);
    Ok(asked)
}

/// The first containers and the first cohort; each is kept as soon as it is
/// answered, so a person may stop anywhere.
fn first_things(
    setting: &Setting,
    book: &mut Daybook,
    farm: &FarmSettings,
) -> Result<bool, CliError> {
    let reader = farm.units.reader();
    let (asks, form) = (
        say!("begin-ask-container"),
        say!("begin-ask-container-form"),
    );
    while let Some((name, weight, volume)) = read_if_any(&asks, &form, |text| tare(text, reader))? {
        add_container(book, &name, &weight, volume, &setting.asked(&farm.zone)?)?;
    }
    if !confirmed(&say!("begin-ask-cohort"))? {
        return Ok(false);
    }
    cohort::add_asked(setting, book, farm, &cohort::AddArgs::default())?;
    Ok(true)
}

pub(crate) fn run(setting: &Setting, args: &Args) -> Done {
    let asks = setting.may_ask() && args.place.each().iter().any(|given| given.is_none());
    if asks && setting.daybook.exists() {
        let path = setting.daybook.clone();
        return Err(DaybookError::Exists { path }.into());
    }
    let asked = if asks { answered(args)? } else { given(args)? };
    let zone = TimeZone::get(&asked.zone).unwrap_or(TimeZone::UTC);
    refuse_new(setting, &setting.daybook)?;
    let mut book = begin(&setting.daybook, &asked, &setting.asked(&zone)?)?;
    let farm = settings(&book)?;
    let file = setting.daybook.display();
    let mut document = Document::titled(say!("begin-title", file = &file));
    let mut larvae = false;
    if asks {
        output::note(say!("begin-title", file = &file));
        larvae = first_things(setting, &mut book, &farm).unwrap_or_else(|error| {
            output::note(error.message);
            false
        });
    }
    document.line(farm_line(&farm));
    if let Some(mark) = farm.chosen.decimal_mark {
        document.line(say!("begin-mark", mark));
    }
    document.caution(say!("begin-rules"));
    if asks {
        document.line(say!("begin-tomorrow"));
        document.line(if larvae {
            say!("begin-evening")
        } else {
            say!("begin-evening-cohort")
        });
    }
    document.next(say!("next", command = "trayful weigh"));
    let seal = book.seal()?.short();
    document.small(say!("begin-seal", seal));
    setting.answer(json!({"daybook": setting.daybook, "seal": seal}), &document)
}
