use std::collections::{BTreeMap, BTreeSet};

use crate::quantity::Grams;
use crate::report::methane::MethaneTold;
use crate::report::{
    Change, Closing, Destination, DivertedRule, Flow, MonthReport, OfYear, Owner, Weighed,
    covered_and_apart, resolution_kg,
};
use crate::stream::StreamId;

use super::document::{Align, Document, Grid, Tone};
use super::methane::methane;
use super::owner::owner;
use super::standard::{Scope, beside_diverted, both_fine, changed, closing, scope};
use super::words::{Units, plural};
use super::year::{draft_of_year, months};

/// A month's figures, or a year's, with what a page says of them.
#[derive(Debug, Clone, PartialEq)]
pub struct MonthSheet {
    /// The figures.
    pub report: MonthReport,
    /// The twelve months when this is a year; else none.
    pub months: Vec<OfYear>,
    /// How weights are said.
    pub units: Units,
    /// The farm's name.
    pub issuer: Option<String>,
    /// Why its scale counts as verified.
    pub verified_scale: Option<String>,
    /// The closing they come from; `None` while the month is open.
    pub closing: Option<Closing>,
    /// What the book tells otherwise by now; empty when it agrees.
    pub pending: Vec<Change>,
    /// Readings behind the figures.
    pub weighed: Vec<Weighed>,
    /// What was picked out at the dock, by kind.
    pub parts: Vec<(String, Grams)>,
    pub owner: Owner,
    /// Streams the FLW Standard does not cover; see [`Self::apart`].
    pub not_food: BTreeSet<StreamId>,
    /// Avoided methane, only when asked for.
    pub methane: Option<MethaneTold>,
    /// The seal of the book when they were told.
    pub seal: String,
}

impl MonthSheet {
    /// The same with what is no food told apart from the FLW Standard's table.
    #[must_use]
    pub fn apart(mut self, not_food: BTreeSet<StreamId>) -> Self {
        self.not_food = not_food;
        self
    }

    /// What the standard covers, and the streams it does not.
    pub(super) fn covered(&self) -> (Flow, BTreeMap<&StreamId, Flow>) {
        let suppliers = self.report.suppliers.iter();
        covered_and_apart(suppliers.flat_map(|one| &one.streams), &self.not_food)
    }

    /// Whether it tells of a year.
    #[must_use]
    pub fn is_year(&self) -> bool {
        !self.months.is_empty()
    }
}

/// The month, or the year, as a page.
#[must_use]
pub fn month_document(sheet: &MonthSheet) -> Document {
    let (report, units) = (&sheet.report, sheet.units);
    let mut document = Document::titled(title(sheet));
    document.line(format!(
        "{}, {} refused",
        plural(report.total.loads, "load", "loads"),
        report.total.refused_loads
    ));
    document.toned(
        Tone::Good,
        format!(
            "Received {}, diverted {}",
            units.both(report.total.received),
            units.both(report.diverted())
        ),
    );
    document.toned(Tone::Small, report.rule.sentence());
    let suppliers_flows = report.suppliers.iter().map(|one| &one.flow);
    beside_diverted(&mut document, suppliers_flows, report.rule, units);
    let changes = sheet
        .closing
        .as_ref()
        .map_or(&[][..], |closing| &closing.changes);
    if sheet.is_year() {
        draft_of_year(&mut document, sheet);
    } else {
        closing(&mut document, sheet.closing.as_ref(), changes, units);
    }
    for correction in sheet
        .closing
        .iter()
        .flat_map(|closing| &closing.corrections)
    {
        document.line(format!("- {correction}"));
    }
    pending(&mut document, sheet);
    months(&mut document, sheet);
    document.heading("By supplier and stream");
    document.table(suppliers(report, units));
    if report.total.estimated > Grams::ZERO {
        document.toned(
            Tone::Caution,
            format!(
                "Of the received weight {} was estimated by volume, not weighed (marked *).",
                units.both(report.total.estimated)
            ),
        );
    }
    document.heading("Where it went");
    document.table(destinations(report, units));
    document.heading("Destinations of the FLW Standard");
    let (covered, apart) = sheet.covered();
    document.table(standard(&covered, &report.total, units));
    document.heading("Balance");
    balance_section(&mut document, sheet);
    owner(&mut document, sheet);
    if let Some(told) = &sheet.methane {
        methane(&mut document, told);
    }
    document.heading("What these figures are");
    scope(
        &mut document,
        &Scope {
            timeframe: format!(
                "{} local, {}, {}",
                report.month,
                if sheet.is_year() {
                    "1 January 00:00 up to the next 1 January 00:00"
                } else {
                    "first 00:00 up to the next first 00:00"
                },
                report.zone
            ),
            whose: "organic material all suppliers brought to the farm".to_owned(),
            flow: &report.total,
            apart: &apart,
            parts: &sheet.parts,
            weighed: &sheet.weighed,
            units,
            verified_scale: sheet.verified_scale.as_deref(),
        },
    );
    document.toned(Tone::Small, format!("Book seal {}.", sheet.seal));
    document
}

fn title(sheet: &MonthSheet) -> String {
    let MonthReport {
        month,
        zone,
        version,
        ..
    } = &sheet.report;
    let issuer = sheet.issuer.as_ref();
    let issuer = issuer.map_or_else(String::new, |issuer| format!("{issuer}: "));
    if sheet.is_year() {
        format!("{issuer}Year {month} ({zone})")
    } else {
        let version = match version {
            Some(version) => format!("version {version}"),
            None => "draft".to_owned(),
        };
        format!("{issuer}Month {month} ({zone}), {version}")
    }
}

fn pending(document: &mut Document, sheet: &MonthSheet) {
    if sheet.pending.is_empty() {
        return;
    }
    document.toned(
        Tone::Caution,
        format!(
            "{} changed in the book since this version was closed. To make the next version: trayful month {} --close --why REASON",
            plural(i64::try_from(sheet.pending.len()).unwrap_or(i64::MAX), "figure has", "figures have"),
            sheet.report.month
        ),
    );
    document.table(changed(
        &sheet.pending,
        sheet.report.version.unwrap_or_default() + 1,
        sheet.units,
    ));
}

fn suppliers(report: &MonthReport, units: Units) -> Grid {
    let mut grid = Grid::new(&[
        ("supplier", Align::Left),
        ("stream", Align::Left),
        ("loads", Align::Right),
        ("received", Align::Right),
        ("picked out", Align::Right),
        ("refused", Align::Right),
        ("diverted", Align::Right),
    ]);
    let mut row = |supplier: &str, stream: &str, flow: &Flow| {
        let received = format!(
            "{}{}",
            units.weight(flow.received),
            if flow.estimated > Grams::ZERO {
                " *"
            } else {
                ""
            }
        );
        grid.row([
            supplier.to_owned(),
            stream.to_owned(),
            flow.loads.to_string(),
            received,
            units.weight(flow.picked_out),
            units.weight(flow.refused),
            units.weight(flow.diverted(report.rule)),
        ]);
    };
    for supplier in &report.suppliers {
        row(&supplier.supplier, "all", &supplier.flow);
        for stream in &supplier.streams {
            row("", stream.stream.as_str(), &stream.flow);
        }
    }
    row("All suppliers", "", &report.total);
    grid
}

fn destinations(report: &MonthReport, units: Units) -> Grid {
    let went = report.destinations;
    let mut grid = Grid::new(&[("destination", Align::Left), ("weight", Align::Right)]);
    for (name, grams) in [
        ("fed to larvae", went.fed),
        ("compost", went.composted),
        ("back to the supplier", went.returned),
        ("landfill", went.landfilled),
        ("liquor drained", went.liquor),
        ("parts picked out", went.picked_out),
    ]
    .into_iter()
    .chain(further(&report.total))
    .chain([("turned away at the dock", went.refused)])
    {
        grid.row([name.to_owned(), units.both(grams)]);
    }
    grid
}

/// The further ways out that were taken.
pub(super) fn further(flow: &Flow) -> impl Iterator<Item = (&'static str, Grams)> {
    [
        ("other animals", flow.animals),
        ("made into other goods", flow.processing),
        ("digester", flow.digestion),
        ("burned under control", flow.combustion),
        ("spread on land", flow.land),
        ("dumped or littered", flow.discards),
        ("down the drain", flow.sewer),
    ]
    .into_iter()
    .filter(|(_, grams)| *grams != Grams::ZERO)
}

/// The standard's ten destinations of what it covers, and "diverted" of all by
/// every rule.
fn standard(flow: &Flow, total: &Flow, units: Units) -> Grid {
    let mut grid = Grid::new(&[("destination", Align::Left), ("weight", Align::Right)]);
    for way in Destination::ALL {
        let note = match way {
            Destination::AnimalFeed => " (larvae are animals: our choice)",
            Destination::Discards if flow.picked_out > Grams::ZERO => " (parts picked out in it)",
            Destination::Sewer if flow.liquor > Grams::ZERO => " (liquor in it)",
            _ => "",
        };
        grid.row([
            format!("{}{note}", way.name()),
            units.both(flow.reached(way)),
        ]);
    }
    for rule in DivertedRule::ALL {
        grid.row([
            format!("diverted of all loads by the rule `{}`", rule.as_str()),
            units.both(total.diverted(rule)),
        ]);
    }
    grid
}

fn balance_section(document: &mut Document, sheet: &MonthSheet) {
    let (report, units) = (&sheet.report, sheet.units);
    document.table(balance(report, units));
    let gap = report.balance.gap();
    if gap != Grams::ZERO {
        document.toned(
            Tone::Out,
            format!(
                "The balance does not close: {} g. Run `trayful check`.",
                gap.get()
            ),
        );
        return;
    }
    document.line("Left and right add up without rounding; shrink is what no record explains (scale remainders, drying, drip).");
    let explains = 2.0 * resolution_kg(&sheet.weighed, None);
    let shrink = report.balance.shrink.kg();
    document.line(format!(
        "Scale divisions alone can explain {} either way (2u, rectangular distribution), and shrink is {}: {}.",
        both_fine(explains, units),
        units.both(report.balance.shrink),
        if shrink.abs() <= explains {
            "the scale can explain it"
        } else if shrink > 0.0 {
            "more than the scale explains; think of drying, drip, a way out nobody recorded"
        } else {
            "more was found than the scale explains; think of water taken up, a load not weighed in"
        }
    ));
    document.table(by_stream(sheet));
}

fn balance(report: &MonthReport, units: Units) -> Grid {
    let sum = report.balance;
    let mut grid = Grid::new(&[
        ("comes", Align::Left),
        ("", Align::Right),
        ("goes", Align::Left),
        (" ", Align::Right),
    ]);
    let goes = [
        ("fed", sum.fed),
        ("composted", sum.composted),
        ("returned", sum.returned),
        ("landfilled", sum.landfilled),
        ("picked out", sum.picked_out),
        ("liquor", sum.liquor),
        ("other ways", sum.elsewhere),
        ("closing stock", sum.closing),
        ("shrink", sum.shrink),
    ];
    let comes = [
        ("opening stock", sum.opening),
        ("received", sum.received),
        ("bought", sum.bought),
        ("water", sum.water),
    ];
    for (position, (name, grams)) in goes.into_iter().enumerate() {
        let (left, weight) = comes
            .get(position)
            .map_or((String::new(), String::new()), |(name, grams)| {
                ((*name).to_owned(), units.both(*grams))
            });
        grid.row([left, weight, name.to_owned(), units.both(grams)]);
    }
    grid
}

fn by_stream(sheet: &MonthSheet) -> Grid {
    let units = sheet.units;
    let mut grid = Grid::new(&[
        ("stream", Align::Left),
        ("opening", Align::Right),
        ("came", Align::Right),
        ("fed", Align::Right),
        ("other ways", Align::Right),
        ("closing", Align::Right),
        ("shrink", Align::Right),
        ("scale explains", Align::Right),
    ]);
    for one in &sheet.report.streams {
        let flow = &one.flow;
        let other = flow.picked_out
            + flow.composted
            + flow.returned
            + flow.landfilled
            + flow.liquor
            + flow.elsewhere();
        let explains = 2.0 * resolution_kg(&sheet.weighed, Some(&one.stream));
        let in_unit = Grams::from_kg(explains).unwrap_or_default();
        grid.row([
            one.stream.to_string(),
            units.weight(flow.opening),
            units.weight(flow.received + flow.bought),
            units.weight(flow.fed),
            units.weight(other),
            units.weight(flow.closing),
            units.weight(flow.shrink),
            format!("\u{b1} {}", units.weight(in_unit)),
        ]);
    }
    let nights = sheet.report.nights;
    for (name, grams) in [
        ("bought on the night", nights.bought),
        ("water", nights.water),
    ] {
        if grams != Grams::ZERO {
            let zero = || units.weight(Grams::ZERO);
            grid.row([
                name.to_owned(),
                zero(),
                units.weight(grams),
                units.weight(grams),
                zero(),
                zero(),
                zero(),
                String::new(),
            ]);
        }
    }
    grid
}
