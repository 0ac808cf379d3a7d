pub(super) mod chosen;
pub(super) mod cohort;
pub(super) mod custom;
pub(super) mod own_stream;
pub(super) mod tables;

use std::path::Path;

use jiff::tz::TimeZone;
use serde::Deserialize;

use crate::acts::error::{Rejection, is_text, is_text_if_any, must, shown};
use crate::acts::{ActError, Asked, Result};
use crate::daybook::{Book, Chosen, Container, Daybook, Entry, Farm, FarmSaid};
use crate::quantity::{
    Decimal, Division, Grams, Litres, MassUnit, NumberForm, Reader, Reading, SmallScale, Units,
    custom_mark,
};
use crate::report::DivertedRule;
use crate::stream::{LarvaeFor, Region};
use crate::words::say;

/// The farm's settings, ready to reckon with.
#[derive(Debug, Clone, PartialEq)]
pub struct FarmSettings {
    pub zone: TimeZone,
    pub zone_name: String,
    pub units: Units,
    pub currency: String,
    pub region: Region,
    pub larvae_for: LarvaeFor,
    /// What a statement prints of the farm.
    pub said: FarmSaid,
    pub chosen: Chosen,
}

/// Settings as typed.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FarmAsked {
    pub zone: String,
    pub unit: String,
    pub division: String,
    pub currency: String,
    pub region: String,
    pub larvae_for: String,
    pub said: FarmSaid,
    pub chosen: Chosen,
}

impl FarmAsked {
    /// Why the answer to one question is not taken, the others aside.
    pub fn rejection_of(&self, field: &str) -> Option<Rejection> {
        let rejections = self.checked().err()?;
        rejections.into_iter().find(|one| one.field == field)
    }

    fn checked(&self) -> Result<Farm, Vec<Rejection>> {
        let unit = MassUnit::from_word(&self.unit)
            .filter(|unit| matches!(unit, MassUnit::Lb | MassUnit::Kg));
        // Either mark: a step is far below a thousand.
        let division = (NumberForm::Unsaid.number(&self.division))
            .and_then(|step| Division::new(step, unit.unwrap_or(MassUnit::Kg)));
        let currency = self.currency.trim().to_ascii_uppercase();
        let FarmSaid {
            name,
            verified_scale,
            diverted_rule,
        } = &self.said;
        let is_rule = |rule: &String| DivertedRule::parse(rule).is_some();
        let rejections = must! {
            TimeZone::get(&self.zone).is_ok() => "--zone", self.zone,
                say!("accepted-zone");
            unit.is_some() => "--unit", self.unit, say!("accepted-scale-unit");
            division.is_ok() => "--division", self.division,
                say!("accepted-division");
            currency.len() == 3 && currency.bytes().all(|b| b.is_ascii_uppercase()) =>
                "--currency", self.currency, say!("accepted-currency");
            Region::parse(&self.region).is_some() => "--region", self.region, Region::accepted();
            LarvaeFor::parse(&self.larvae_for).is_some() =>
                "--larvae-for", self.larvae_for, LarvaeFor::accepted();
            is_text_if_any(name, 120) =>
                "--name", shown(name), say!("accepted-line-or-none", most = 120);
            is_text_if_any(verified_scale, 120) => "--verified-scale", shown(verified_scale),
                say!("accepted-line-or-none", most = 120);
            diverted_rule.as_ref().is_none_or(is_rule) =>
                "--diverted-rule", shown(diverted_rule), DivertedRule::accepted();
        };
        match (unit, division) {
            (Some(unit), Ok(division)) if rejections.is_empty() => Ok(Farm {
                zone: self.zone.clone(),
                unit,
                division: division.step().to_string(),
                currency,
                region: self.region.clone(),
                larvae_for: self.larvae_for.clone(),
                said: self.said.clone(),
                chosen: self.chosen.clone(),
            }),
            _ => Err(rejections),
        }
    }
}

/// Makes a new daybook with these settings; where no decimal mark was chosen,
/// that of the zone's custom.
pub fn begin(path: &Path, settings: &FarmAsked, asked: &Asked) -> Result<Daybook> {
    let mut farm = settings.checked()?;
    let mark = farm.chosen.decimal_mark.or(custom_mark(&farm.zone));
    farm.chosen.decimal_mark = mark;
    let record = asked.record(Entry::Farm(farm));
    Ok(Daybook::create(path, &record, asked.now)?)
}

/// The id of settings that nobody has looked at yet.
const BY_CUSTOM: &str = "begun-by-custom";

/// Makes a new daybook by the custom of a zone, its larvae under the strictest
/// rules, until somebody says otherwise.
pub fn begin_by_custom(path: &Path, zone: &str, asked: &Asked) -> Result<Daybook> {
    let custom = custom::custom_of(zone);
    let text = str::to_owned;
    let settings = FarmAsked {
        zone: text(zone),
        unit: text(custom.unit),
        division: text("0.1"),
        // The standard's own word for no currency.
        currency: text(custom.currency.unwrap_or("XXX")),
        region: text(custom.region),
        larvae_for: LarvaeFor::PoultryFishPig.to_string(),
        said: FarmSaid::default(),
        chosen: Chosen::default(),
    };
    let id = text(BY_CUSTOM);
    begin(
        path,
        &settings,
        &Asked {
            id,
            ..asked.clone()
        },
    )
}

/// Whether the settings are still those that were taken by custom.
pub fn nobody_set_it(book: &Book) -> Result<bool> {
    Ok(match book.find_record(BY_CUSTOM)? {
        Some(begun) => book.farm_seq()? == begun.record.seq,
        None => false,
    })
}

/// Records new settings; the old ones stay in the book.
pub fn change_farm(book: &mut Daybook, settings: &FarmAsked, asked: &Asked) -> Result<i64> {
    let farm = settings.checked()?;
    let record = asked.record(Entry::Farm(farm));
    Ok(book.append(&[record], asked.now)?[0].seq)
}

/// Records a named tare; the newest of a name holds.
pub fn add_container(
    book: &mut Daybook,
    name: &str,
    tare: &Reading,
    volume: Option<Litres>,
    asked: &Asked,
) -> Result<i64> {
    let name = name.trim();
    if !is_text(name, 40) {
        return Err(Rejection::new("container", name, say!("accepted-name", most = 40)).into());
    }
    let entry = Entry::Container(Container {
        name: name.to_owned(),
        tare_g: tare.grams(),
        tare_text: tare.text().to_owned(),
        volume_l: volume.map(Litres::get),
    });
    Ok(book.append(&[asked.record(entry)], asked.now)?[0].seq)
}

pub fn settings(book: &Book) -> Result<FarmSettings> {
    usable(book.farm()?)
}

/// Settings as the book holds them, made ready to reckon with.
pub(crate) fn usable(farm: Farm) -> Result<FarmSettings> {
    let unusable = |field, seen: &str| {
        ActError::from(Rejection::new(field, seen, say!("accepted-known-value")))
    };
    let zone = TimeZone::get(&farm.zone).map_err(|_| unusable("zone", &farm.zone))?;
    let division = Decimal::parse(&farm.division)
        .and_then(|step| Division::new(step, farm.unit))
        .map_err(|_| unusable("division", &farm.division))?;
    let small = match (&farm.chosen.small_division, farm.chosen.small_up_to_g) {
        (Some(text), Some(up_to)) => Some(
            small_scale(Reader::PLAIN, text, up_to)
                .ok_or_else(|| unusable("small_division", text))?,
        ),
        _ => None,
    };
    Ok(FarmSettings {
        zone,
        units: Units {
            division,
            form: farm.chosen.decimal_mark.into(),
            small,
        },
        currency: farm.currency,
        region: Region::parse(&farm.region).ok_or_else(|| unusable("region", &farm.region))?,
        larvae_for: LarvaeFor::parse(&farm.larvae_for)
            .ok_or_else(|| unusable("larvae_for", &farm.larvae_for))?,
        zone_name: farm.zone,
        said: farm.said,
        chosen: farm.chosen,
    })
}

/// A second scale from its division as typed, such as `1 g`, and the most it
/// carries: at least ten divisions, at most 1000 kg.
pub(super) fn small_scale(reader: Reader, division: &str, up_to: Grams) -> Option<SmallScale> {
    let digits = division.find(|c: char| c.is_alphabetic())?;
    let (step, unit) = division.split_at(digits);
    let step = reader.form.number(step).ok()?;
    let division = Division::new(step, MassUnit::from_word(unit.trim())?).ok()?;
    let carries = division.grams(10).get()..=1_000_000;
    carries
        .contains(&up_to.get())
        .then_some(SmallScale { division, up_to })
}
