use std::path::Path;

use jiff::tz::TimeZone;

use crate::daybook::{Book, Container, Daybook, Entry, Farm, NewRecord};
use crate::quantity::{Decimal, Division, Litres, MassUnit, Reading};
use crate::sheet::Units;
use crate::stream::{LarvaeFor, Region};

use super::error::Rejection;
use super::{ActError, Asked};

/// The farm's settings, ready to reckon with.
#[derive(Debug, Clone, PartialEq)]
pub struct FarmSettings {
    /// Time zone.
    pub zone: TimeZone,
    /// Its IANA name.
    pub zone_name: String,
    /// How weights are read and said.
    pub units: Units,
    /// ISO 4217 code.
    pub currency: String,
    /// Where the farm is.
    pub region: Region,
    /// What its larvae are for.
    pub larvae_for: LarvaeFor,
}

/// Settings as typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FarmAsked {
    /// IANA zone name.
    pub zone: String,
    /// Unit of the scale.
    pub unit: String,
    /// Scale division in that unit.
    pub division: String,
    /// ISO 4217 code.
    pub currency: String,
    /// Where the farm is.
    pub region: String,
    /// What its larvae are for.
    pub larvae_for: String,
}

impl FarmAsked {
    fn checked(&self) -> Result<Farm, Vec<Rejection>> {
        let mut rejections = Vec::new();
        if TimeZone::get(&self.zone).is_err() {
            rejections.push(Rejection::new(
                "--zone",
                &self.zone,
                "an IANA time zone such as America/Denver or Europe/Madrid",
            ));
        }
        let unit = MassUnit::from_word(&self.unit)
            .filter(|unit| matches!(unit, MassUnit::Lb | MassUnit::Kg));
        if unit.is_none() {
            rejections.push(Rejection::new("--unit", &self.unit, "lb or kg"));
        }
        let division = Decimal::parse(&self.division)
            .and_then(|step| Division::new(step, unit.unwrap_or(MassUnit::Kg)));
        if division.is_err() {
            rejections.push(Rejection::new(
                "--division",
                &self.division,
                "the smallest step the scale shows, from 1 g to 10 kg, such as 0.1",
            ));
        }
        let currency = self.currency.trim().to_ascii_uppercase();
        if currency.len() != 3 || !currency.bytes().all(|b| b.is_ascii_uppercase()) {
            rejections.push(Rejection::new(
                "--currency",
                &self.currency,
                "an ISO 4217 code such as USD or EUR",
            ));
        }
        if Region::parse(&self.region).is_none() {
            rejections.push(Rejection::new("--region", &self.region, Region::accepted()));
        }
        if LarvaeFor::parse(&self.larvae_for).is_none() {
            rejections.push(Rejection::new(
                "--larvae-for",
                &self.larvae_for,
                LarvaeFor::accepted(),
            ));
        }
        match (unit, division) {
            (Some(unit), Ok(division)) if rejections.is_empty() => Ok(Farm {
                zone: self.zone.clone(),
                unit,
                division: division.step().to_string(),
                currency,
                region: self.region.clone(),
                larvae_for: self.larvae_for.clone(),
            }),
            _ => Err(rejections),
        }
    }
}

/// Makes a new daybook with these settings.
///
/// # Errors
/// Settings that are not accepted; a file that is there already or can't be made.
pub fn begin(path: &Path, settings: &FarmAsked, asked: &Asked) -> Result<Daybook, ActError> {
    let farm = settings.checked()?;
    let record = NewRecord {
        id: asked.id.clone(),
        at: asked.at,
        by: asked.by.clone(),
        entry: Entry::Farm(farm),
    };
    Ok(Daybook::create(path, &record, asked.now)?)
}

/// Records new settings; the old ones stay in the book.
///
/// # Errors
/// Settings that are not accepted.
pub fn change_farm(
    book: &mut Daybook,
    settings: &FarmAsked,
    asked: &Asked,
) -> Result<(), ActError> {
    let farm = settings.checked()?;
    let record = NewRecord {
        id: asked.id.clone(),
        at: asked.at,
        by: asked.by.clone(),
        entry: Entry::Farm(farm),
    };
    book.append(&[record], asked.now)?;
    Ok(())
}

/// Records a named tare; the newest of a name holds.
///
/// # Errors
/// A name or weight that is not accepted.
pub fn add_container(
    book: &mut Daybook,
    name: &str,
    tare: &Reading,
    volume: Option<Litres>,
    asked: &Asked,
) -> Result<(), ActError> {
    let name = name.trim();
    if name.is_empty() || name.chars().count() > 40 || name.chars().any(char::is_control) {
        return Err(Rejection::new("container", name, "a name of 1 to 40 characters").into());
    }
    let entry = Entry::Container(Container {
        name: name.to_owned(),
        tare_g: tare.grams(),
        tare_text: tare.text().to_owned(),
        volume_l: volume.map(Litres::get),
    });
    book.append(
        &[NewRecord {
            id: asked.id.clone(),
            at: asked.at,
            by: asked.by.clone(),
            entry,
        }],
        asked.now,
    )?;
    Ok(())
}

/// The settings that hold now.
///
/// # Errors
/// When the book can't be read or holds settings this program can't use.
pub fn settings(book: &Book) -> Result<FarmSettings, ActError> {
    let farm = book.farm()?;
    let unusable = |field, seen: &str| {
        ActError::from(Rejection::new(
            field,
            seen,
            "a value this program knows (the daybook may be from another version)",
        ))
    };
    let zone = TimeZone::get(&farm.zone).map_err(|_| unusable("zone", &farm.zone))?;
    let division = Decimal::parse(&farm.division)
        .and_then(|step| Division::new(step, farm.unit))
        .map_err(|_| unusable("division", &farm.division))?;
    Ok(FarmSettings {
        zone,
        units: Units { division },
        currency: farm.currency,
        region: Region::parse(&farm.region).ok_or_else(|| unusable("region", &farm.region))?,
        larvae_for: LarvaeFor::parse(&farm.larvae_for)
            .ok_or_else(|| unusable("larvae_for", &farm.larvae_for))?,
        zone_name: farm.zone,
    })
}
