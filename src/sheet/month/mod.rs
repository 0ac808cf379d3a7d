pub(super) mod data;
mod sections;
mod sheet;
pub(super) mod sites;
mod standard;
mod statement;

pub use data::{month_table, month_tables, statement_table, statement_tables};
pub use sheet::{Around, MonthSheet, StatementSheet};
pub use sites::{SiteTold, SitesSheet, sites_document, sites_table, sites_tables};
pub use statement::statement_document;

use crate::quantity::{Grams, Units};
use crate::report::{Destination, DivertedRule, Flow, MonthReport, resolution_kg};
use crate::words::{Said, say};

use super::document::{Document, Grid, Tone, grid};
use sections::{draft_of_year, methane, months, owner};
use standard::{beside_diverted, both_fine, changed, closing, scope};

pub fn month_document(sheet: &MonthSheet) -> Document {
    let (report, units, total) = (&sheet.report, sheet.around.units, &sheet.report.total);
    let mut document = Document::titled(title(sheet));
    let (loads, refused) = (total.loads, total.refused_loads);
    document.line(say!("month-loads", loads, refused));
    let (received, diverted) = (units.both(total.received), units.both(report.diverted()));
    document.answer(Tone::Good, say!("month-received", received, diverted));
    document.small(report.rule.said());
    let suppliers_flows = report.suppliers.iter().map(|one| &one.flow);
    beside_diverted(&mut document, suppliers_flows, report.rule, units);
    let closed = sheet.around.closing.as_ref();
    if sheet.is_year() {
        draft_of_year(&mut document, sheet);
    } else {
        let changes = closed.map_or(&[][..], |closing| &closing.changes);
        closing(&mut document, closed, changes, units);
    }
    for correction in closed.iter().flat_map(|closing| &closing.corrections) {
        document.item(Tone::Plain, correction);
    }
    pending(&mut document, sheet);
    months(&mut document, sheet);
    document.heading(say!("month-by-supplier"));
    document.table(suppliers(report, units));
    if total.estimated > Grams::ZERO {
        let weight = units.both(total.estimated);
        document.caution(say!("month-estimated", weight));
    }
    document.heading(say!("month-where-it-went"));
    document.table(destinations(report, units));
    document.heading(say!("month-flw"));
    let (covered, apart) = sheet.covered();
    document.table(standard(&covered, total, units));
    document.heading(say!("month-balance"));
    balance_section(&mut document, sheet);
    owner(&mut document, sheet);
    if let Some(told) = &sheet.around.methane {
        methane(&mut document, told);
    }
    document.heading(say!("scope-heading"));
    let when = match sheet.is_year() {
        true => say!("scope-year", report.month, report.zone),
        false => say!("scope-month", report.month, report.zone),
    };
    let whose = say!("scope-all-suppliers");
    scope(&mut document, (when, whose), total, &apart, &sheet.around);
    document.small(say!("month-seal", seal = &sheet.around.seal));
    document
}

fn title(sheet: &MonthSheet) -> Said {
    let (month, zone) = (&sheet.report.month, &sheet.report.zone);
    let title = if sheet.is_year() {
        say!("month-title-year", month, zone)
    } else if let Some(version) = sheet.report.version {
        say!("month-title-closed", month, zone, version)
    } else {
        say!("month-title-draft", month, zone)
    };
    match &sheet.around.issuer {
        Some(issuer) => say!("month-issuer", issuer, title),
        None => title,
    }
}

fn pending(document: &mut Document, sheet: &MonthSheet) {
    if sheet.pending.is_empty() {
        return;
    }
    let (figures, month) = (sheet.pending.len(), &sheet.report.month);
    document.caution(say!("month-pending", figures, month));
    let next = sheet.report.version.unwrap_or_default() + 1;
    document.table(changed(&sheet.pending, next, sheet.around.units));
}

fn suppliers(report: &MonthReport, units: Units) -> Grid {
    let each = report.suppliers.iter().flat_map(|one| {
        let all = (Said::from(&one.supplier), say!("all"), &one.flow);
        let streams = one.streams.iter();
        let streams = streams.map(|of| (Said::default(), Said::from(&of.stream), &of.flow));
        std::iter::once(all).chain(streams)
    });
    let all = (say!("all-suppliers"), Said::default(), &report.total);
    grid!(for (supplier, stream, flow) in each.chain([all]) => {
        let mark = if flow.estimated > Grams::ZERO { " *" } else { "" };
        Left say!("supplier") => supplier,
        Left say!("stream") => stream,
        Right say!("loads") => flow.loads,
        Right say!("received") => format!("{}{mark}", units.weight(flow.received)),
        Right say!("picked-out") => units.weight(flow.picked_out),
        Right say!("refused") => units.weight(flow.refused),
        Right say!("diverted") => units.weight(flow.diverted(report.rule)),
    })
}

fn ways(ways: impl IntoIterator<Item = (Said, Grams)>, units: Units) -> Grid {
    grid!(for (way, grams) in ways => {
        Left say!("destination") => way,
        Right say!("weight") => units.both(grams),
    })
}

fn destinations(report: &MonthReport, units: Units) -> Grid {
    let flow = &report.total;
    let taken = flow.named()[Flow::FURTHER].to_vec();
    let taken = taken.into_iter().filter(|way| way.1 != Grams::ZERO);
    let always = [
        ("fed", flow.fed),
        ("composted", flow.composted),
        ("returned", flow.returned),
        ("landfilled", flow.landfilled),
        ("liquor", flow.liquor),
        ("picked-out", flow.picked_out),
    ];
    let all = always.into_iter().chain(taken);
    let all = all.chain([("refused", flow.refused)]);
    ways(
        all.map(|(way, grams)| (say!("month-way", way), grams)),
        units,
    )
}

/// The standard's ten destinations of what it covers, and "diverted" of all by
/// every rule.
fn standard(flow: &Flow, total: &Flow, units: Units) -> Grid {
    let reached = Destination::ALL.into_iter().map(|to| {
        let way = to.said();
        let name = match to {
            Destination::AnimalFeed => say!("flw-larvae-are-animals", way),
            Destination::Discards if flow.picked_out > Grams::ZERO => say!("flw-parts-in-it", way),
            Destination::Sewer if flow.liquor > Grams::ZERO => say!("flw-liquor-in-it", way),
            _ => way,
        };
        (name, flow.reached(to))
    });
    let diverted = DivertedRule::ALL.map(|rule| {
        let name = say!("flw-diverted-by-rule", rule = rule.as_str());
        (name, total.diverted(rule))
    });
    ways(reached.chain(diverted), units)
}

fn balance_section(document: &mut Document, sheet: &MonthSheet) {
    let (report, units) = (&sheet.report, sheet.around.units);
    document.table(balance(report, units));
    let gap = report.gap();
    if gap != Grams::ZERO {
        document.out(say!("balance-open", grams = gap.get()));
        return;
    }
    document.line(say!("balance-closes"));
    let explains = 2.0 * resolution_kg(&sheet.around.weighed, None);
    let shrink = report.balance.shrink.kg();
    document.line(say!(
        "balance-shrink",
        explains = both_fine(explains, units),
        shrink = units.both(report.balance.shrink),
        verdict = if shrink.abs() <= explains {
            say!("balance-by-scale")
        } else if shrink > 0.0 {
            say!("balance-lost")
        } else {
            say!("balance-found")
        },
    ));
    document.table(by_stream(sheet));
}

fn balance(report: &MonthReport, units: Units) -> Grid {
    let (comes, goes) = report.balance_lines();
    let side = |line: &(&str, Grams)| {
        let (line, grams) = line;
        [say!("balance-line", line), units.both(*grams).into()]
    };
    grid!(for (at, line) in goes.iter().enumerate() => {
        let [left, came] = comes.get(at).map(side).unwrap_or_default();
        let [right, went] = side(line);
        Left say!("money-in") => left,
        Right "" => came,
        Left say!("money-out") => right,
        Right "" => went,
    })
}

fn by_stream(sheet: &MonthSheet) -> Grid {
    let streams = sheet.report.streams.iter().map(|one| {
        let explains = 2.0 * resolution_kg(&sheet.around.weighed, Some(&one.stream));
        let explains = Grams::from_kg(explains).unwrap_or_default();
        (Said::from(&one.stream), one.flow.clone(), Some(explains))
    });
    let nights = sheet.report.nights;
    let added = [
        (say!("bought-on-the-night"), nights.bought),
        (say!("water"), nights.water),
    ];
    let added = added.into_iter().filter(|(_, grams)| *grams != Grams::ZERO);
    let added = added.map(|(name, grams)| {
        let flow = Flow {
            bought: grams,
            fed: grams,
            ..Flow::default()
        };
        (name, flow, None)
    });
    let weight = |grams| sheet.around.units.weight(grams);
    grid!(for (name, flow, explains) in streams.chain(added) => {
        let explains = explains.map(|grams| format!("\u{b1} {}", weight(grams)));
        Left say!("stream") => name,
        Right say!("opening") => weight(flow.opening),
        Right say!("came") => weight(flow.received + flow.bought),
        Right say!("fed") => weight(flow.fed),
        Right say!("other-ways") => weight(flow.other_ways()),
        Right say!("closing") => weight(flow.closing),
        Right say!("shrink") => weight(flow.shrink),
        Right say!("scale-explains") => explains.unwrap_or_default(),
    })
}
