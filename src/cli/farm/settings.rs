use super::chosen::ChosenArgs;
use crate::acts::{
    FarmAsked, FarmSaid, FarmSettings, OwnColumns, add_container, change_farm, settings,
};
use crate::cli::*;
use crate::quantity::{Litres, Reading};
use crate::sheet::grid;
use crate::words::say;

#[derive(clap::Args)]
pub(crate) struct Args {
    /// A named tare: NAME=WEIGHT, or NAME=WEIGHT/VOLUME such as pail=1.5lb/5gal
    #[arg(long, value_name = "NAME=TARE", allow_hyphen_values = true)]
    container: Vec<String>,
    /// Which heading of your workbook is what, for `weigh --file`: supplier=Who,stream=What
    #[arg(long, value_name = "COLUMN=HEADING")]
    columns: Option<String>,
    #[command(flatten)]
    words: Words,
    #[command(flatten)]
    chosen: ChosenArgs,
}

/// Where the farm is, how it weighs, what for.
#[derive(clap::Args, PartialEq, Default)]
pub(super) struct Place {
    /// IANA time zone, such as America/Denver
    #[arg(long)]
    pub(super) zone: Option<String>,
    /// Unit the scale shows: lb or kg
    #[arg(long)]
    pub(super) unit: Option<String>,
    /// Smallest step the scale shows, in that unit, such as 0.1
    #[arg(long)]
    pub(super) division: Option<String>,
    /// ISO 4217 code, such as USD
    #[arg(long)]
    pub(super) currency: Option<String>,
    /// Where the farm is, for the rules on use: eu, gb, us, other
    #[arg(long)]
    pub(super) region: Option<String>,
    /// What its larvae are for: poultry-fish-pig, pet, not-feed
    #[arg(long)]
    pub(super) larvae_for: Option<String>,
}

impl Place {
    /// What was given, in the order it is asked for.
    pub(super) fn each(&self) -> [&Option<String>; 6] {
        [
            &self.zone,
            &self.unit,
            &self.division,
            &self.currency,
            &self.region,
            &self.larvae_for,
        ]
    }
}

#[derive(clap::Args, PartialEq, Default)]
struct Words {
    #[command(flatten)]
    place: Place,
    /// The farm's name for statements, or `none`
    #[arg(long)]
    name: Option<String>,
    /// Why the scale counts as verified, such as "class III, sealed 2026-03-01"; or `none`
    #[arg(long, value_name = "WORDS")]
    verified_scale: Option<String>,
    /// The rule for "diverted": default, flw, epa-workgroup; or `none`
    #[arg(long, value_name = "RULE")]
    diverted_rule: Option<String>,
}

pub(crate) fn run(setting: &Setting, args: &Args) -> Done {
    let (mut book, farm) = setting.open()?;
    let reader = farm.units.reader();
    if let Some(text) = &args.columns {
        let own = OwnColumns::read(text)?;
        columns::keep(setting, &own.over(&columns::kept(setting)?))?;
    }
    let tares = args.container.iter().map(|text| tare(text, reader));
    let tares = tares.collect::<Result<Vec<_>, _>>()?;
    let (args, chosen) = (&args.words, &args.chosen);
    if *args != Words::default() || *chosen != ChosenArgs::default() {
        let place = &args.place;
        let or = |new: &Option<String>, old: String| new.clone().unwrap_or(old);
        let asked = FarmAsked {
            zone: or(&place.zone, farm.zone_name.clone()),
            unit: or(&place.unit, farm.units.unit().to_string()),
            division: or(&place.division, farm.units.division.step().to_string()),
            currency: or(&place.currency, farm.currency.clone()),
            region: or(&place.region, farm.region.to_string()),
            larvae_for: or(&place.larvae_for, farm.larvae_for.to_string()),
            said: FarmSaid {
                name: args.name.clone(),
                verified_scale: args.verified_scale.clone(),
                diverted_rule: args.diverted_rule.clone(),
            }
            .put_over(farm.said.clone()),
            chosen: chosen.text().put_over(
                &farm.chosen,
                farm.units.unit(),
                &setting.load_tables()?.stages,
            )?,
        };
        change_farm(&mut book, &asked, &setting.asked(&farm.zone)?)?;
    }
    for (name, tare, volume) in &tares {
        add_container(&mut book, name, tare, *volume, &setting.asked(&farm.zone)?)?;
    }
    let farm = settings(&book)?;
    let containers = book.containers()?;
    let file = setting.daybook.display();
    let mut document = Document::titled(say!("farm-title", file = file));
    document.answer(Tone::Plain, farm_line(&farm));
    let said = &farm.said;
    let name = (said.name.as_ref()).map_or_else(|| say!("farm-no-name"), Said::from);
    let scale = match &said.verified_scale {
        Some(why) => say!("farm-scale-verified", why),
        None => say!("farm-scale-not-verified"),
    };
    let rule = said.diverted_rule.as_deref().unwrap_or("default");
    document.line(say!("farm-statements", name, scale, rule));
    document.line(chosen_words(&farm));
    document.table(grid!(for container in &containers => {
        let litres = container.volume_l.map(|litres| farm.units.volume(litres));
        Left say!("farm-container") => &container.name,
        Right say!("ticket-tare") => farm.units.told(container.tare_g),
        Right say!("farm-holds") => litres.unwrap_or_default(),
    }));
    let done = json!({
        "daybook": setting.daybook, "zone": farm.zone_name, "unit": farm.units.unit(), "division": farm.units.division.step().to_string(),
        "currency": farm.currency, "region": farm.region, "larvae_for": farm.larvae_for,
        "name": farm.said.name, "verified_scale": farm.said.verified_scale, "diverted_rule": farm.said.diverted_rule,
        "decimal_mark": farm.chosen.decimal_mark, "sure_pct": farm.chosen.sure_pct, "smallest_draw_g": farm.chosen.smallest_draw_g,
        "most_lots": farm.chosen.most_lots, "water": farm.chosen.water, "first_stage": farm.chosen.first_stage, "language": farm.chosen.language,
        "small_scale": farm.units.small.map(|scale| json!({"division": scale.division.to_string(), "up_to_g": scale.up_to})),
        "containers": containers.iter().map(|c| json!({"name": c.name, "tare_g": c.tare_g, "volume_l": c.volume_l})).collect::<Vec<_>>(),
    });
    setting.answer(done, &document)
}

/// Where the farm is, how it weighs, what for.
pub(crate) fn farm_line(farm: &FarmSettings) -> Said {
    say!(
        "farm-line",
        zone = &farm.zone_name,
        division = farm.units.division,
        currency = &farm.currency,
        larvae = farm.larvae_for,
        region = farm.region
    )
}

fn chosen_words(farm: &FarmSettings) -> Said {
    let chosen = &farm.chosen;
    let weight = |grams| farm.units.told(grams);
    let said = [
        chosen.decimal_mark.map(|mark| say!("choice-mark", mark)),
        chosen.sure_pct.map(|sure| say!("choice-sure", sure)),
        (chosen.smallest_draw_g).map(|least| say!("choice-smallest", weight = weight(least))),
        chosen.most_lots.map(|most| say!("choice-most-lots", most)),
        chosen.water.map(|water| say!("choice-water", water)),
        farm.units.small.map(|scale| {
            let most = weight(scale.up_to);
            say!("choice-small-scale", division = scale.division, most)
        }),
        (chosen.first_stage.as_ref()).map(|stage| say!("choice-first-stage", stage)),
        (chosen.language).map(|language| say!("choice-language", language = language.as_str())),
    ];
    let mut said = said.into_iter().flatten().peekable();
    if said.peek().is_none() {
        return say!("farm-defaults");
    }
    say!("farm-chosen", chosen = Said::joined(said, "; "))
}

/// A named tare with the volume it holds, where that is said.
pub(super) fn tare(
    text: &str,
    reader: Reader,
) -> Result<(String, Reading, Option<Litres>), CliError> {
    let refused = || {
        let accepted = say!("accepted-name-weight");
        Rejection::new("--container", text, accepted)
    };
    let (name, rest) = text.split_once('=').ok_or_else(refused)?;
    let (tare, volume) = match rest.split_once('/') {
        Some((tare, volume)) => (tare, Some(volume.to_owned())),
        None => (rest, None),
    };
    let volume = if_any("--container", &volume, reader, Reader::litres)?;
    let tare = typed("--container", tare, reader, Reader::weight)?;
    Ok((name.to_owned(), tare, volume))
}
