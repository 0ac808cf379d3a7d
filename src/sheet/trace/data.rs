use jiff::civil::Date;

use super::page::{TraceSheet, lot_of, origin_name};
use crate::quantity::Grams;
use crate::quantity::wire::{each, view};
use crate::sheet::data::{DataTable, data};
use crate::sheet::harvest::yields::Ended;
use crate::stream::{Class, LarvaeFor, Rule, Ruling, StreamId};
use crate::trace::{
    CohortTraced, Eaten, HarvestTraced, LotTraced, Origin, Portion, SaleTraced, Unplaced, UseLeft,
};
use crate::words::Said;

/// One link of a trace, as a row.
#[derive(Default)]
struct Link<'a> {
    link: &'static str,
    lot: Option<&'a LotTraced>,
    day: Option<Date>,
    group: Option<&'a String>,
    cohort: Option<String>,
    grams: Option<Grams>,
    buyer: Option<&'a String>,
    what: Option<String>,
    record: Option<i64>,
}

impl<'a> Link<'a> {
    fn of_lot(link: &'static str, lot: &'a LotTraced, grams: Grams) -> Self {
        let (lot, grams) = (Some(lot), Some(grams));
        Self {
            link,
            lot,
            grams,
            ..Self::default()
        }
    }

    fn of_sale(link: &'static str, sale: &'a SaleTraced, cohort: Option<String>) -> Self {
        Self {
            link,
            day: Some(sale.day),
            cohort,
            grams: sale.grams,
            buyer: sale.buyer.as_ref(),
            what: Some(sale.product.in_english()),
            record: Some(sale.seq),
            ..Self::default()
        }
    }
}

/// A trace as a table, one row a link; grams.
pub fn trace_table(sheet: &TraceSheet) -> DataTable {
    let record = |seq: Option<i64>| seq.map(|seq| format!("r{seq}"));
    data!("Links", for link in links(sheet) => {
        "link" => link.link,
        "ticket" => link.lot.map(|lot| &lot.name),
        "supplier" => link.lot.map(|lot| &lot.supplier),
        "stream" => link.lot.map(|lot| lot.stream.as_str()),
        "day" => link.day,
        "group" => link.group,
        "cohort" => link.cohort,
        "grams" => link.grams,
        "harvest" => record(link.record.filter(|_| link.link == "harvest")),
        "sale" => record(link.record.filter(|_| link.link.starts_with("sale"))),
        "buyer" => link.buyer,
        "what" => link.what,
        "record" => record(link.record),
    })
}

pub fn trace_tables(sheet: &TraceSheet) -> Vec<DataTable> {
    let about = [
        ("of".to_owned(), sheet.subject.in_english()),
        ("made".to_owned(), sheet.at.to_string()),
        ("book seal".to_owned(), sheet.seal.clone()),
    ];
    let uses = sheet.uses.iter().flat_map(|(whose, left)| {
        left.uses.iter().map(move |(larvae_for, rule)| {
            let ruling = rule
                .as_ref()
                .map_or("not known", |rule| rule.ruling.as_str());
            let whose = whose.in_english();
            (format!("{whose}, for {larvae_for}"), ruling.to_owned())
        })
    });
    let about = data!("About", for (what, value) in about.into_iter().chain(uses) => {
        "what" => what,
        "value" => value,
    });
    vec![trace_table(sheet), about]
}

/// What was fed, what became of the lots, what was taken off, what was sold. A
/// sale of several cohorts has a row for each that is traced.
fn links(sheet: &TraceSheet) -> Vec<Link<'_>> {
    let trace = &sheet.trace;
    let mut links = Vec::new();
    links.extend(trace.portions.iter().map(|portion| Link {
        link: "fed",
        lot: lot_of(trace, &portion.origin),
        day: Some(portion.night),
        group: Some(&portion.group),
        cohort: Some(trace.cohort_name(portion.cohort_seq)),
        grams: Some(portion.grams),
        what: match &portion.origin {
            Origin::Bought(stream) => Some(format!("{}, bought that night", stream.as_str())),
            other if lot_of(trace, other).is_none() => Some(origin_name(trace, other).in_english()),
            _ => None,
        },
        record: Some(portion.fed_seq),
        ..Link::default()
    }));
    links.extend(trace.unplaced.iter().filter_map(|one| {
        let on_trays = one.on_trays.join(", ");
        Some(Link {
            day: Some(one.night),
            group: Some(&one.group),
            what: Some(format!("whose it was is not known; on trays: {on_trays}")),
            record: Some(one.fed_seq),
            ..Link::of_lot("fed-to-unknown", trace.lot(one.lot_seq)?, one.grams)
        })
    }));
    links.extend(trace.lots.iter().flat_map(|lot| {
        lot.left.iter().map(move |one| Link {
            day: Some(one.day),
            what: Some(one.way.in_english()),
            record: Some(one.seq),
            ..Link::of_lot("left", lot, one.grams)
        })
    }));
    let held = trace.lots.iter().filter(|lot| lot.on_hand != Grams::ZERO);
    links.extend(held.map(|lot| Link::of_lot("on-hand", lot, lot.on_hand)));
    let alike = sheet.alike.iter();
    links.extend(alike.map(|lot| Link::of_lot("alike-on-hand", lot, lot.on_hand)));
    let living = trace.cohorts.iter().filter(|one| one.ended.is_none());
    links.extend(living.map(|one| Link {
        link: "on-trays",
        cohort: Some(one.name.clone()),
        record: Some(one.seq),
        ..Link::default()
    }));
    links.extend(trace.harvests.iter().map(|one| Link {
        link: "harvest",
        day: Some(one.day),
        cohort: Some(trace.cohort_name(one.cohort_seq)),
        grams: Some(one.larvae),
        record: Some(one.seq),
        ..Link::default()
    }));
    for sale in &trace.sales {
        let here = |seq: &&i64| trace.cohorts.iter().any(|one| one.seq == **seq);
        let named = sale.cohort_seqs.iter().filter(here);
        let named = named.map(|seq| Some(trace.cohort_name(*seq)));
        links.extend(named.map(|cohort| Link::of_sale("sale", sale, cohort)));
    }
    let loose = sheet.of_no_cohort.iter();
    links.extend(loose.map(|sale| Link::of_sale("sale-of-no-cohort", sale, None)));
    links
}

view! {
    /// A trace: weights in whole grams, records by number.
    pub Trace(sheet: &TraceSheet) {
        of: Said = sheet.subject.clone(),
        onward: bool,
        lots: Vec<LotTraced> = sheet.trace.lots.clone(),
        cohorts: Vec<CohortFed> = cohorts(sheet),
        portions: Vec<PortionFed> = each(&sheet.trace.portions),
        not_known_whose: Vec<Unplaced> = sheet.trace.unplaced.clone(),
        harvests: Vec<HarvestTraced> = sheet.trace.harvests.clone(),
        sales: Vec<SaleTraced> = sheet.trace.sales.clone(),
        sales_of_no_cohort: Vec<SaleTraced> = sheet.of_no_cohort.clone(),
        before: Vec<i64> = sheet.trace.before.clone(),
        uses: Vec<Uses> = each(&sheet.uses),
        alike_on_hand: Vec<LotTraced> = sheet.alike.clone(),
        other_cohorts: Vec<String> = sheet.others.clone(),
        notes: Vec<Said>,
        seal: String,
    }

    CohortFed((of, eaten): (&CohortTraced, Option<&Eaten>)) {
        record: i64 = of.seq,
        cohort: String = of.name.clone(),
        hatched: String = of.hatched.to_string(),
        trays: i64 = of.trays,
        ended: Option<Ended> = of.ended.as_ref().map(Ended::from),
        eaten_g: Option<Grams> = eaten.map(|own| own.total),
        /// The first and the last.
        nights: Option<[String; 2]> = eaten.map(|own| [own.nights.0.to_string(), own.nights.1.to_string()]),
    }

    PortionFed(one: &Portion) {
        record: i64 = one.fed_seq,
        night: String = one.night.to_string(),
        group: String,
        lot: Option<i64> = if let Origin::Lot(lot) = one.origin { Some(lot) } else { None },
        bought: Option<StreamId> = if let Origin::Bought(of) = &one.origin { Some(of.clone()) } else { None },
        water: bool = one.origin == Origin::Water,
        cohort: i64 = one.cohort_seq,
        grams: Grams,
    }

    Uses((whose, left): &(Said, UseLeft)) {
        of: Said = whose.clone(),
        classes: Vec<Class> = left.classes.iter().copied().collect(),
        class_not_known: Vec<StreamId> = left.unknown.iter().cloned().collect(),
        decided_by: Vec<Said> = left.decided_by.clone(),
        uses: Vec<Use> = each(&left.uses),
    }

    Use((larvae_for, rule): &(LarvaeFor, Option<Rule>)) {
        larvae_for: LarvaeFor = *larvae_for,
        ruling: Option<Ruling> = rule.as_ref().map(|rule| rule.ruling),
        because_of: Option<String> = rule.as_ref().map(|rule| rule.applies_to.clone()),
        reason: Option<String> = rule.as_ref().map(|rule| rule.reason.clone()),
        source: Option<String> = rule.as_ref().map(|rule| rule.source.clone()),
        source_year: Option<String> = rule.as_ref().map(|rule| rule.source_year.clone()),
        as_of: Option<String> = rule.as_ref().map(|rule| rule.as_of.clone()),
    }
}

fn cohorts(sheet: &TraceSheet) -> Vec<CohortFed> {
    let eaten = sheet.trace.eaten();
    let each = sheet.trace.cohorts.iter();
    each.map(|of| CohortFed::from((of, eaten.get(&of.seq))))
        .collect()
}
