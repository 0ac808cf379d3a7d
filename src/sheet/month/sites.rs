//! A month of many sites: together, and each.

use std::collections::{BTreeMap, BTreeSet};

use super::data::{BalanceTold, Sums, SupplierSums, Went, destinations as destinations_data};
use super::{balance, destinations, standard, suppliers};
use crate::quantity::wire::{each, view};
use crate::quantity::{Flow, Grams, Units};
use crate::report::{Destination, DivertedRule, MonthReport, covered_and_apart};
use crate::sheet::data::{DataTable, data};
use crate::sheet::document::{Document, Grid, Tone, grid};
use crate::stream::StreamId;
use crate::words::{Said, say};

#[derive(Debug, Clone, PartialEq)]
pub struct SitesSheet {
    /// The one supplier it is of; `None`: all of them.
    pub supplier: Option<String>,
    /// All sites together.
    pub report: MonthReport,
    pub sites: Vec<SiteTold>,
    pub units: Units,
    /// Streams the FLW Standard does not cover.
    pub not_food: BTreeSet<StreamId>,
}

#[derive(Debug, Clone, PartialEq)]
pub struct SiteTold {
    pub id: String,
    pub name: Option<String>,
    pub report: MonthReport,
    /// Whether its records tell otherwise than the version it was closed as.
    pub changed_since: bool,
    pub seal: String,
}

impl SitesSheet {
    /// What the standard covers, of all sites.
    fn covered(&self) -> Flow {
        let streams = self.report.suppliers.iter().flat_map(|one| &one.streams);
        covered_and_apart(streams, &self.not_food).0
    }

    fn reached(&self) -> BTreeMap<String, Grams> {
        let covered = self.covered();
        let each = Destination::ALL.into_iter();
        each.map(|way| (way.said().in_english(), covered.reached(way)))
            .collect()
    }
}

pub fn sites_document(sheet: &SitesSheet) -> Document {
    let (report, units, total) = (&sheet.report, sheet.units, &sheet.report.total);
    let (month, sites) = (&report.month, sheet.sites.len());
    let mut document = Document::titled(match (&sheet.supplier, &sheet.sites[..]) {
        (Some(supplier), _) => say!("sites-title-supplier", supplier, month, sites),
        (None, [one]) => say!("sites-title-one", site = &one.id, month),
        (None, _) => say!("sites-title", month, sites),
    });
    let (loads, refused) = (total.loads, total.refused_loads);
    document.line(say!("month-loads", loads, refused));
    let (received, diverted) = (units.both(total.received), units.both(report.diverted()));
    document.answer(Tone::Good, say!("month-received", received, diverted));
    document.small(report.rule.said());
    document.heading(say!("sites-by-site"));
    document.table(by_site(sheet));
    document.heading(say!("month-by-supplier"));
    document.table(suppliers(report, units));
    document.heading(say!("month-where-it-went"));
    document.table(destinations(report, units));
    document.heading(say!("month-flw"));
    document.table(standard(&sheet.covered(), total, units));
    if sheet.supplier.is_none() {
        document.heading(say!("month-balance"));
        document.table(balance(report, units));
        match report.gap() {
            Grams::ZERO => document.line(say!("balance-closes")),
            gap => document.out(say!("balance-open", grams = gap.get())),
        }
    }
    document.small(say!("sites-bounds", zones = &report.zone));
    document.small(say!("sites-left-out"));
    document
}

fn by_site(sheet: &SitesSheet) -> Grid {
    let units = sheet.units;
    grid!(for site in &sheet.sites => {
        let (total, rule) = (&site.report.total, site.report.rule);
        let state = match (site.report.version, site.changed_since) {
            (None, _) => say!("sites-draft"),
            (Some(version), false) => say!("version", version),
            (Some(version), true) => say!("sites-changed", version),
        };
        Left say!("site") => &site.id,
        Left say!("sites-name") => site.name.clone().unwrap_or_default(),
        Left say!("sites-state") => state,
        Right say!("loads") => total.loads,
        Right say!("received") => units.weight(total.received),
        Right say!("picked-out") => units.weight(total.picked_out),
        Right say!("refused") => units.weight(total.refused),
        Right say!("diverted") => units.weight(total.diverted(rule)),
        Left say!("sites-seal") => &site.seal,
    })
}

/// Whole grams, one row a site, supplier and stream.
pub fn sites_table(sheet: &SitesSheet) -> DataTable {
    let sources = sheet.sites.iter().flat_map(|site| {
        let suppliers = site.report.suppliers.iter();
        suppliers.flat_map(move |one| one.streams.iter().map(move |of| (site, one, of)))
    });
    data!("Sites", for (site, supplier, one) in sources => {
        "site" => &site.id,
        "name" => site.name.as_ref(),
        "month" => &site.report.month,
        "zone" => &site.report.zone,
        "version" => site.report.version,
        "supplier" => &supplier.supplier,
        "stream" => &one.stream,
        "loads" => one.flow.loads,
        "refused_loads" => one.flow.refused_loads,
        ..Flow::default().columns().map(|(column, _)| column) =>
            one.flow.columns().map(|(_, grams)| grams),
        "diverted_g" => one.flow.diverted(site.report.rule),
        "book_seal" => &site.seal,
    })
}

pub fn sites_tables(sheet: &SitesSheet) -> Vec<DataTable> {
    vec![
        sites_table(sheet),
        destinations_data(&sheet.covered(), &sheet.report.total),
    ]
}

view! {
    /// A month of many sites, all weights in whole grams.
    pub Sites(sheet: &SitesSheet) {
        #[serde(flatten)]
        total: Sums = Sums::from((&sheet.report.total, sheet.report.rule)),
        month: String = sheet.report.month.clone(),
        supplier: Option<String>,
        sites: Vec<SiteSums> = each(&sheet.sites),
        suppliers: Vec<SupplierSums> =
            sheet.report.suppliers.iter().map(|one| SupplierSums::from((one, sheet.report.rule))).collect(),
        destinations: Went = Went::from(&sheet.report.total),
        flw_destinations_g: BTreeMap<String, Grams> = sheet.reached(),
        balance: BalanceTold = BalanceTold::from(&sheet.report),
        diverted_by_rule_g: BTreeMap<&'static str, Grams> =
            DivertedRule::ALL.iter().map(|rule| (rule.as_str(), sheet.report.total.diverted(*rule))).collect(),
        diverted_rule: Said = sheet.report.rule.said(),
    }

    SiteSums(site: &SiteTold) {
        #[serde(flatten)]
        total: Sums = Sums::from((&site.report.total, site.report.rule)),
        site: String = site.id.clone(),
        name: Option<String>,
        zone: String = site.report.zone.clone(),
        version: Option<i64> = site.report.version,
        changed_since: bool = site.changed_since,
        balance: BalanceTold = BalanceTold::from(&site.report),
        seal: String,
    }
}
