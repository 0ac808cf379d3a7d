//! A month of many farms, from their books' sums wherever these were kept.

use std::collections::BTreeSet;

use jiff::Timestamp;

use super::basis::{Month, figures_of, flow_rows};
use crate::acts::farm::usable;
use crate::acts::{ActError, Rejection, Result};
use crate::daybook::{Farm, Filed, MonthClosed, MonthRow, Seal};
use crate::quantity::{Division, MassUnit, Units};
use crate::report::{DivertedRule, Figures, NightFlow, changes, month_report, together};
use crate::sheet::{SiteTold, SitesSheet};
use crate::table::same_name;
use crate::words::say;

/// A site with all that a month of it stands on.
#[derive(Debug, Clone, PartialEq)]
pub struct SiteMonth {
    pub id: String,
    pub farm: Farm,
    pub seal: Seal,
    /// The versions it was closed as, the first one first.
    pub closed: Vec<Filed<MonthClosed>>,
    /// What its records tell now of the span [`site_bounds`] gives.
    pub rows: Vec<MonthRow>,
    pub nights: NightFlow,
}

/// The instants between which a site's month lies: those it was closed with,
/// else the midnights of its zone.
pub fn site_bounds(
    farm: &Farm,
    closed: &[Filed<MonthClosed>],
    month: Month,
) -> Result<(Timestamp, Timestamp)> {
    match closed.first() {
        Some(first) => Ok((first.entry.from, first.entry.to)),
        None => month.bounds(&usable(farm.clone())?),
    }
}

/// A month of these sites together and of each: of a closed month the newest
/// version, as each book tells it; of one supplier, where one is named.
pub fn sites_month(
    month: Month,
    supplier: Option<&str>,
    sites: Vec<SiteMonth>,
) -> Result<SitesSheet> {
    let name = month.to_string();
    let mut farms = Vec::new();
    for site in &sites {
        farms.push(usable(site.farm.clone())?);
    }
    let rules: BTreeSet<&str> = (farms.iter())
        .map(|farm| farm.said.diverted_rule.as_deref().unwrap_or_default())
        .collect();
    // Sites of different rules have one sum by one rule, ours.
    let rule = match rules.len() {
        1 => rules.first().and_then(|rule| DivertedRule::parse(rule)),
        _ => None,
    };
    let rule = rule.unwrap_or_default();
    let (mut told, mut all) = (Vec::new(), Vec::new());
    for (site, farm) in sites.into_iter().zip(&farms) {
        let now: Figures = (flow_rows(site.rows), site.nights);
        let newest = site.closed.last();
        let mut figures = newest.map_or(now.clone(), |newest| figures_of(&newest.entry));
        let changed_since = newest.is_some() && !changes(&figures, &now).is_empty();
        if let Some(supplier) = supplier {
            figures.0.retain(|(name, ..)| same_name(name, supplier));
            figures.1 = NightFlow::default();
        }
        let version = newest.map(|newest| newest.entry.version);
        let zone = newest.map_or(&farm.zone_name, |newest| &newest.entry.zone);
        told.push(SiteTold {
            id: site.id,
            name: farm.said.name.clone(),
            report: month_report((&name, version), zone, &figures, rule),
            changed_since,
            seal: site.seal.short(),
        });
        all.push(figures);
    }
    let zones: BTreeSet<&str> = told.iter().map(|site| site.report.zone.as_str()).collect();
    let zones = zones.into_iter().collect::<Vec<_>>().join(", ");
    let report = month_report((&name, None), &zones, &together(all), rule);
    if let (Some(supplier), true) = (supplier, report.suppliers.is_empty()) {
        return Err(ActError::NotFound {
            what: "supplier-in-month",
            seen: supplier.to_owned(),
            nearest: Vec::new(),
        });
    }
    let units: Vec<Units> = farms.iter().map(|farm| farm.units).collect();
    let none = || Rejection::new("--sites", "", say!("share-no-sites"));
    let units = shared(&units).ok_or_else(none)?;
    Ok(SitesSheet {
        supplier: supplier.map(str::to_owned),
        report,
        sites: told,
        units,
        not_food: BTreeSet::new(),
    })
}

/// The units all sites have, else kilograms to the tenth; none without a site.
fn shared(units: &[Units]) -> Option<Units> {
    let first = *units.first()?;
    if units.iter().all(|one| one.unit() == first.unit()) {
        return Some(first);
    }
    Division::parse("0.1", MassUnit::Kg).map(Units::of)
}
