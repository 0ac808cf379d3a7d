use crate::harvest::{LotTraced, Origin, SaleTraced};
use crate::quantity::Grams;

use super::data::{Cell, DataTable};
use super::trace::TraceSheet;
use super::trace_page::origin_name;

/// One link of a trace, as a row.
#[derive(Default)]
struct Link {
    link: &'static str,
    lot: Option<(String, String, String)>,
    day: String,
    group: String,
    cohort: String,
    grams: Option<Grams>,
    harvest: Option<i64>,
    sale: Option<i64>,
    buyer: String,
    what: String,
    record: Option<i64>,
}

impl Link {
    fn of_lot(link: &'static str, lot: &LotTraced, grams: Grams) -> Self {
        let (name, supplier) = (lot.name.clone(), lot.supplier.clone());
        Self {
            link,
            lot: Some((name, supplier, lot.stream.to_string())),
            grams: Some(grams),
            ..Self::default()
        }
    }

    fn cells(self) -> Vec<Cell> {
        let (ticket, supplier, stream) = self.lot.unwrap_or_default();
        let text = |words: String| match words.as_str() {
            "" => Cell::Empty,
            _ => Cell::Text(words),
        };
        let record =
            |seq: Option<i64>| seq.map_or(Cell::Empty, |seq| Cell::text(format!("r{seq}")));
        vec![
            Cell::text(self.link),
            text(ticket),
            text(supplier),
            text(stream),
            text(self.day),
            text(self.group),
            text(self.cohort),
            self.grams
                .map_or(Cell::Empty, |grams| Cell::Whole(grams.get())),
            record(self.harvest),
            record(self.sale),
            text(self.buyer),
            text(self.what),
            record(self.record),
        ]
    }
}

/// A trace as a table, one row a link; grams.
pub fn trace_table(sheet: &TraceSheet) -> DataTable {
    let links = fed(sheet)
        .chain(of_lots(sheet))
        .chain(taken(sheet))
        .chain(sold(sheet));
    DataTable {
        name: "Links",
        columns: vec![
            "link", "ticket", "supplier", "stream", "day", "group", "cohort", "grams", "harvest",
            "sale", "buyer", "what", "record",
        ],
        rows: links.map(Link::cells).collect(),
    }
}

/// A trace as the sheets of a workbook.
pub fn trace_tables(sheet: &TraceSheet) -> Vec<DataTable> {
    let mut about = vec![
        vec![Cell::text("of"), Cell::text(&sheet.subject)],
        vec![Cell::text("made"), Cell::text(sheet.at.to_string())],
        vec![Cell::text("book seal"), Cell::text(&sheet.seal)],
    ];
    for (whose, left) in &sheet.uses {
        for (larvae_for, rule) in &left.uses {
            let ruling = rule
                .as_ref()
                .map_or("not known", |rule| rule.ruling.as_str());
            about.push(vec![
                Cell::text(format!("{whose}, for {larvae_for}")),
                Cell::text(ruling),
            ]);
        }
    }
    let about = DataTable {
        name: "About",
        columns: vec!["what", "value"],
        rows: about,
    };
    vec![trace_table(sheet), about]
}

fn fed(sheet: &TraceSheet) -> impl Iterator<Item = Link> {
    let trace = &sheet.trace;
    let portions = trace.portions.iter().map(|portion| {
        let lot = match &portion.origin {
            Origin::Lot(lot) => trace.lot(*lot),
            Origin::Bought(_) | Origin::Water => None,
        };
        let link = match lot {
            Some(lot) => Link::of_lot("fed", lot, portion.grams),
            None => Link {
                link: "fed",
                grams: Some(portion.grams),
                what: match &portion.origin {
                    Origin::Bought(stream) => format!("{stream}, bought that night"),
                    other => origin_name(trace, other),
                },
                ..Link::default()
            },
        };
        Link {
            day: portion.night.to_string(),
            group: portion.group.clone(),
            cohort: trace.cohort_name(portion.cohort_seq),
            record: Some(portion.fed_seq),
            ..link
        }
    });
    let unplaced = trace.unplaced.iter().filter_map(|one| {
        let lot = trace.lot(one.lot_seq)?;
        Some(Link {
            day: one.night.to_string(),
            group: one.group.clone(),
            what: format!(
                "whose it was is not known; on trays: {}",
                one.on_trays.join(", ")
            ),
            record: Some(one.fed_seq),
            ..Link::of_lot("fed-to-unknown", lot, one.grams)
        })
    });
    portions.chain(unplaced)
}

fn of_lots(sheet: &TraceSheet) -> impl Iterator<Item = Link> {
    let lots = sheet.trace.lots.iter();
    let left = lots.clone().flat_map(|lot| {
        lot.left.iter().map(|one| Link {
            day: one.day.to_string(),
            what: one.way.to_owned(),
            record: Some(one.seq),
            ..Link::of_lot("left", lot, one.grams)
        })
    });
    let held = lots.filter(|lot| lot.on_hand != Grams::ZERO);
    let held = held.map(|lot| Link::of_lot("on-hand", lot, lot.on_hand));
    let alike = sheet.alike.iter();
    let alike = alike.map(|lot| Link::of_lot("alike-on-hand", lot, lot.on_hand));
    left.chain(held).chain(alike)
}

fn taken(sheet: &TraceSheet) -> impl Iterator<Item = Link> {
    let trace = &sheet.trace;
    let on_trays = trace.cohorts.iter().filter(|one| one.ended.is_none());
    let on_trays = on_trays.map(|one| Link {
        link: "on-trays",
        cohort: one.name.clone(),
        record: Some(one.seq),
        ..Link::default()
    });
    let harvests = trace.harvests.iter().map(|one| Link {
        link: "harvest",
        day: one.day.to_string(),
        cohort: trace.cohort_name(one.cohort_seq),
        grams: Some(one.larvae),
        harvest: Some(one.seq),
        record: Some(one.seq),
        ..Link::default()
    });
    on_trays.chain(harvests)
}

/// A sale of several cohorts has a row for each that is traced.
fn sold(sheet: &TraceSheet) -> impl Iterator<Item = Link> {
    let trace = &sheet.trace;
    let of = |link: &'static str, sale: &SaleTraced, cohort: String| Link {
        link,
        day: sale.day.to_string(),
        cohort,
        grams: sale.grams,
        sale: Some(sale.seq),
        buyer: sale.buyer.clone().unwrap_or_default(),
        what: sale.product.to_owned(),
        record: Some(sale.seq),
        ..Link::default()
    };
    let here = |seq: i64| trace.cohorts.iter().any(|one| one.seq == seq);
    let sales = trace.sales.iter().flat_map(move |sale| {
        let cohorts = sale.cohort_seqs.iter().filter(move |seq| here(**seq));
        cohorts.map(move |seq| of("sale", sale, trace.cohort_name(*seq)))
    });
    let loose = sheet.of_no_cohort.iter();
    sales.chain(loose.map(move |sale| of("sale-of-no-cohort", sale, String::new())))
}
