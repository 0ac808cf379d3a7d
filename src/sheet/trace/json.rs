use crate::quantity::wire::{each, view};
use crate::quantity::{Grams, Money};
use crate::stream::{Class, LarvaeFor, Rule, Ruling, StreamId, Verdict};
use crate::trace::{
    CohortTraced, Eaten, HarvestTraced, LeftAnotherWay, LotTraced, Origin, Portion, SaleTraced,
    Unplaced, UseLeft,
};
use crate::words::Said;

use super::page::TraceSheet;
use crate::sheet::harvest::yields_json::Ended;

view! {
    /// A trace: weights in whole grams, records by number.
    pub Trace(sheet: &TraceSheet) {
        of: Said = sheet.subject.clone(),
        onward: bool,
        lots: Vec<Lot> = each(&sheet.trace.lots),
        cohorts: Vec<CohortFed> = cohorts(sheet),
        portions: Vec<PortionFed> = each(&sheet.trace.portions),
        not_known_whose: Vec<NotKnownWhose> = each(&sheet.trace.unplaced),
        harvests: Vec<Harvest> = each(&sheet.trace.harvests),
        sales: Vec<Sale> = each(&sheet.trace.sales),
        sales_of_no_cohort: Vec<Sale> = each(&sheet.of_no_cohort),
        before: Vec<i64> = sheet.trace.before.clone(),
        uses: Vec<Uses> = each(&sheet.uses),
        alike_on_hand: Vec<Lot> = each(&sheet.alike),
        other_cohorts: Vec<String> = sheet.others.clone(),
        notes: Vec<Said>,
        seal: String,
    }

    Lot(lot: &LotTraced) {
        record: i64 = lot.seq,
        lot: String = lot.name.clone(),
        supplier: String, stream: StreamId,
        came: String = lot.came.to_string(),
        net_g: Grams = lot.net,
        verdict: Verdict, touched: Vec<Class>,
        fed_g: Grams = lot.fed,
        on_hand_g: Grams = lot.on_hand,
        left: Vec<Left> = each(&lot.left),
    }

    Left(one: &LeftAnotherWay) {
        record: i64 = one.seq,
        day: String = one.day.to_string(),
        way: Said, grams: Grams,
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

    NotKnownWhose(one: &Unplaced) {
        record: i64 = one.fed_seq,
        night: String = one.night.to_string(),
        group: String,
        lot: i64 = one.lot_seq,
        grams: Grams, on_trays: Vec<String>,
    }

    Harvest(one: &HarvestTraced) {
        record: i64 = one.seq,
        cohort: i64 = one.cohort_seq,
        day: String = one.day.to_string(),
        larvae_g: Grams = one.larvae,
        residue_g: Option<Grams> = one.residue,
        residue_to: Option<&'static str>,
    }

    Sale(sale: &SaleTraced) {
        record: i64 = sale.seq,
        day: String = sale.day.to_string(),
        product: Said, grams: Option<Grams>,
        paid: f64 = Money::new(sale.hundredths).units(),
        buyer: Option<String>,
        cohorts: Vec<i64> = sale.cohort_seqs.clone(),
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
