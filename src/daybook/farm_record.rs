use rusqlite::{Connection, params};
use serde::Serialize;

use super::get;
use crate::quantity::{DecimalMark, Grams, MassUnit, word_enum};

/// The farm's settings.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Farm {
    /// IANA time zone name.
    pub zone: String,
    /// The unit its scale shows.
    pub unit: MassUnit,
    /// The scale's division in that unit, as typed.
    pub division: String,
    /// ISO 4217 code.
    pub currency: String,
    /// Where the farm is, for the rules on use.
    pub region: String,
    /// What its larvae are for, for the rules on use.
    pub larvae_for: String,
    /// The name printed on statements.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// Why its scale counts as verified, in its own words; `None`: it does not.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub verified_scale: Option<String>,
    /// The rule for "diverted"; `None`: our default.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub diverted_rule: Option<String>,
    /// What it chose where we have a default.
    #[serde(flatten)]
    pub chosen: Chosen,
}

word_enum!(
    /// Whether water may be added to a mix.
    WaterUse {
        /// Only where without it someone goes short or a window breaks.
        LastResort = "last-resort",
        Never = "never",
    }
);

/// What a farm chose where we have a default; `None`: our default.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct Chosen {
    /// How it writes numbers.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub decimal_mark: Option<DecimalMark>,
    /// The chance, per cent, that each window of a mix should hold.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sure_pct: Option<i64>,
    /// The smallest weight worth taking from a lot.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub smallest_draw_g: Option<Grams>,
    /// The most lots for one feed group.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub most_lots: Option<i64>,
    /// Whether water may be added.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub water: Option<WaterUse>,
    /// The division of a second, finer scale, with its unit, as typed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub small_division: Option<String>,
    /// The most that scale carries; there when the division is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub small_up_to_g: Option<Grams>,
    /// The stage fed first when there is not enough.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub first_stage: Option<String>,
}

pub(super) fn put(conn: &Connection, seq: i64, farm: &Farm) -> rusqlite::Result<()> {
    let chosen = &farm.chosen;
    conn.prepare_cached(
        "INSERT INTO farm (seq, zone, unit, division, currency, region, larvae_for, name,
                           verified_scale, diverted_rule, decimal_mark, sure_pct, smallest_draw_g,
                           most_lots, water, small_division, small_up_to_g, first_stage)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16, ?17, ?18)",
    )?
    .execute(params![
        seq,
        farm.zone,
        farm.unit.to_string(),
        farm.division,
        farm.currency,
        farm.region,
        farm.larvae_for,
        farm.name,
        farm.verified_scale,
        farm.diverted_rule,
        chosen.decimal_mark.map(DecimalMark::as_str),
        chosen.sure_pct,
        chosen.smallest_draw_g.map(Grams::get),
        chosen.most_lots,
        chosen.water.map(WaterUse::as_str),
        chosen.small_division,
        chosen.small_up_to_g.map(Grams::get),
        chosen.first_stage
    ])?;
    Ok(())
}

pub(super) fn get(conn: &Connection, seq: i64) -> rusqlite::Result<Farm> {
    let sql = "SELECT zone, unit, division, currency, region, larvae_for, name, verified_scale,
                      diverted_rule, decimal_mark, sure_pct, smallest_draw_g, most_lots, water,
                      small_division, small_up_to_g, first_stage
               FROM farm WHERE seq = ?1";
    get::one(conn, seq, sql, |cells| {
        Ok(Farm {
            zone: cells.cell()?,
            unit: cells.unit()?,
            division: cells.cell()?,
            currency: cells.cell()?,
            region: cells.cell()?,
            larvae_for: cells.cell()?,
            name: cells.cell()?,
            verified_scale: cells.cell()?,
            diverted_rule: cells.cell()?,
            chosen: Chosen {
                decimal_mark: cells.text_if_any(DecimalMark::parse)?,
                sure_pct: cells.cell()?,
                smallest_draw_g: cells.grams_if_any()?,
                most_lots: cells.cell()?,
                water: cells.text_if_any(WaterUse::parse)?,
                small_division: cells.cell()?,
                small_up_to_g: cells.grams_if_any()?,
                first_stage: cells.cell()?,
            },
        })
    })
}
