use serde_json::{Value, json};

use crate::harvest::{LotTraced, Origin, SaleTraced, UseLeft};
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
#[must_use]
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
#[must_use]
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

/// A trace for other programs: weights in whole grams, records by number.
#[must_use]
pub fn trace(sheet: &TraceSheet) -> Value {
    let trace = &sheet.trace;
    let eaten = trace.eaten();
    let cohorts = trace.cohorts.iter().map(|one| {
        let own = eaten.get(&one.seq);
        json!({
            "record": one.seq, "cohort": one.name, "hatched": one.hatched.to_string(), "trays": one.trays,
            "ended": one.ended.as_ref().map(|(day, why)| json!({"day": day.to_string(), "why": why})),
            "eaten_g": own.map(|own| own.total),
            "nights": own.map(|own| [own.nights.0.to_string(), own.nights.1.to_string()]),
        })
    });
    let portions = trace.portions.iter().map(|one| {
        let (lot, stream) = match &one.origin {
            Origin::Lot(lot) => (Some(*lot), None),
            Origin::Bought(stream) => (None, Some(stream)),
            Origin::Water => (None, None),
        };
        json!({
            "record": one.fed_seq, "night": one.night.to_string(), "group": one.group, "lot": lot,
            "bought": stream, "water": one.origin == Origin::Water, "cohort": one.cohort_seq, "grams": one.grams,
        })
    });
    json!({
        "schema": 1,
        "of": sheet.subject,
        "onward": sheet.onward,
        "lots": trace.lots.iter().map(lot).collect::<Vec<_>>(),
        "cohorts": cohorts.collect::<Vec<_>>(),
        "portions": portions.collect::<Vec<_>>(),
        "not_known_whose": trace.unplaced.iter().map(|one| json!({
            "record": one.fed_seq, "night": one.night.to_string(), "group": one.group, "lot": one.lot_seq,
            "grams": one.grams, "on_trays": one.on_trays,
        })).collect::<Vec<_>>(),
        "harvests": trace.harvests.iter().map(|one| json!({
            "record": one.seq, "cohort": one.cohort_seq, "day": one.day.to_string(), "larvae_g": one.larvae,
            "residue_g": one.residue, "residue_to": one.residue_to,
        })).collect::<Vec<_>>(),
        "sales": trace.sales.iter().map(sale).collect::<Vec<_>>(),
        "sales_of_no_cohort": sheet.of_no_cohort.iter().map(sale).collect::<Vec<_>>(),
        "before": trace.before,
        "uses": sheet.uses.iter().map(|(whose, left)| uses(whose, left)).collect::<Vec<_>>(),
        "alike_on_hand": sheet.alike.iter().map(lot).collect::<Vec<_>>(),
        "other_cohorts": sheet.others,
        "notes": sheet.notes,
        "seal": sheet.seal,
    })
}

fn lot(lot: &LotTraced) -> Value {
    json!({
        "record": lot.seq, "lot": lot.name, "supplier": lot.supplier, "stream": lot.stream,
        "came": lot.came.to_string(), "net_g": lot.net, "verdict": lot.verdict, "touched": lot.touched,
        "fed_g": lot.fed, "on_hand_g": lot.on_hand,
        "left": lot.left.iter().map(|one| json!({
            "record": one.seq, "day": one.day.to_string(), "way": one.way, "grams": one.grams,
        })).collect::<Vec<_>>(),
    })
}

#[expect(
    clippy::cast_precision_loss,
    reason = "money far below 2^53 hundredths"
)]
fn sale(sale: &SaleTraced) -> Value {
    json!({
        "record": sale.seq, "day": sale.day.to_string(), "product": sale.product, "grams": sale.grams,
        "paid": sale.hundredths as f64 / 100.0, "buyer": sale.buyer, "cohorts": sale.cohort_seqs,
    })
}

fn uses(whose: &str, left: &UseLeft) -> Value {
    json!({
        "of": whose, "classes": left.classes, "class_not_known": left.unknown, "decided_by": left.decided_by,
        "uses": left.uses.iter().map(|(larvae_for, rule)| json!({
            "larvae_for": larvae_for,
            "ruling": rule.as_ref().map(|rule| rule.ruling),
            "because_of": rule.as_ref().map(|rule| &rule.applies_to),
            "reason": rule.as_ref().map(|rule| &rule.reason),
            "source": rule.as_ref().map(|rule| &rule.source),
            "source_year": rule.as_ref().map(|rule| &rule.source_year),
            "as_of": rule.as_ref().map(|rule| &rule.as_of),
        })).collect::<Vec<_>>(),
    })
}
