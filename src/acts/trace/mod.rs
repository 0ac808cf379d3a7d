pub(super) mod asked;
pub(super) mod gather;

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::{Date, DateTime};
use jiff::{Span, Timestamp};

use crate::acts::month::basis::midnight;
use crate::acts::night::local_day;
use crate::acts::trace::asked::{Days, TraceFrom, in_days};
use crate::acts::trace::gather::{
    Shared, Traced, cohorts_traced, eaten_by, harvest_traced, lots_traced, sale_traced, shared_out,
};
use crate::acts::{ActError, Desk, FarmSettings, Result, Tables, find_lot};
use crate::daybook::{Book, CohortLife, Entry, FedLine, Found};
use crate::sheet::TraceSheet;
use crate::stream::LarvaeFor;
use crate::table::same_name;
use crate::trace::{LotTraced, Origin, Trace, Uses};
use crate::words::{Said, say};

/// Where it went, or what went into it; `recall` also looks for lots alike on hand.
pub fn trace(
    (book, farm, tables): Desk<'_>,
    from: &TraceFrom,
    recall: bool,
    now: Timestamp,
) -> Result<TraceSheet> {
    book.at_one_moment(|book| {
        let tracer = Tracer { book, farm, tables };
        let mut sheet = match from {
            TraceFrom::Tickets(names) => tracer.of_tickets(names, recall)?,
            TraceFrom::Supplier(name, days) => tracer.of_supplier(name, *days, recall)?,
            TraceFrom::Cohort(name) => tracer.of_cohort(name)?,
            TraceFrom::Harvest(name) => tracer.of_harvest(name, recall)?,
            TraceFrom::Buyer(name, days) => tracer.of_buyer(name, *days, recall)?,
        };
        if let Some(first) = sheet.trace.first_night() {
            let loose = book.sales_of_no_cohort(midnight(first, farm)?)?.into_iter();
            sheet.of_no_cohort = loose.map(|one| sale_traced(one, &farm.zone)).collect();
        }
        sheet.at = now.to_zoned_datetime(farm.zone.clone()).datetime();
        sheet.seal = book.seal()?.short();
        Ok(sheet)
    })
}

struct Tracer<'a> {
    book: &'a Book,
    farm: &'a FarmSettings,
    tables: &'a Tables,
}

/// Cohorts to trace back: their records, and the last night that counts.
type Back = BTreeMap<i64, Date>;

impl Tracer<'_> {
    fn of_tickets(&self, names: &[String], recall: bool) -> Result<TraceSheet> {
        let mut lots = BTreeMap::new();
        for name in names {
            let (found, name) = find_lot(self.book, name)?;
            if found.struck_by.is_some() {
                return Err(ActError::not_found("ticket-not-struck", &name, []));
            }
            lots.insert(found.record.seq, name);
        }
        let names: Vec<&str> = lots.values().map(String::as_str).collect();
        let subject = say!(
            "trace-tickets",
            count = lots.len(),
            names = names.join(", ")
        );
        let seqs: Vec<i64> = lots.keys().copied().collect();
        self.onward(subject, &seqs, recall)
    }

    fn of_supplier(&self, name: &str, days: Days, recall: bool) -> Result<TraceSheet> {
        let (from, to) = self.instants(days)?;
        let known = self.book.suppliers()?;
        let known = || known.iter().map(String::as_str);
        let mut seqs = Vec::new();
        for one in spellings(name, known()) {
            seqs.extend(self.book.tickets_of(one, from, to)?);
        }
        if seqs.is_empty() && !known().any(|one| same_name(one, name)) {
            return Err(ActError::not_found("supplier", name, known()));
        }
        let subject = in_days(say!("trace-supplier", name), days);
        self.onward(subject, &seqs, recall)
    }

    fn of_cohort(&self, name: &str) -> Result<TraceSheet> {
        let named = self.book.cohorts_named(name)?;
        let by_record = || -> Result<Option<i64>> {
            let found = self.live_record(name)?;
            let is_cohort = |found: &Found| matches!(found.record.content.entry, Entry::Cohort(_));
            Ok(found.filter(is_cohort).map(|found| found.record.seq))
        };
        let newest = named.last().map(|cohort| cohort.seq);
        let Some(seq) = newest.map_or_else(by_record, |seq| Ok(Some(seq)))? else {
            let lives = self.book.cohort_lives(Timestamp::MAX)?;
            let known = lives.iter().map(|life| life.cohort.entry.name.as_str());
            return Err(ActError::not_found("cohort", name, known));
        };
        let mut sheet = self.back(&Back::from([(seq, Date::MAX)]))?;
        sheet.subject = say!("trace-cohort", cohort = sheet.trace.cohort_name(seq));
        if let [older @ .., _] = named.as_slice()
            && !older.is_empty()
        {
            let older: Vec<String> = older.iter().map(|one| format!("r{}", one.seq)).collect();
            let older = older.join(", ");
            sheet.notes.push(say!("trace-newest-cohort", seq, older));
        }
        Ok(sheet)
    }

    fn of_harvest(&self, name: &str, recall: bool) -> Result<TraceSheet> {
        let found = self.live_record(name)?;
        let harvest = found.and_then(|found| match found.record.content.entry {
            Entry::Harvest(harvest) => Some((found.record.seq, found.record.content.at, harvest)),
            _ => None,
        });
        let Some((seq, at, harvest)) = harvest else {
            let known = self.book.harvests(Timestamp::MAX)?;
            let known: Vec<String> = known.iter().map(|one| format!("r{}", one.seq)).collect();
            return Err(ActError::not_found(
                "harvest",
                name,
                known.iter().map(String::as_str),
            ));
        };
        let mut sheet = self.back(&Back::from([(
            harvest.cohort_seq,
            local_day(at, &self.farm.zone),
        )]))?;
        if !recall {
            sheet.trace.harvests.retain(|one| one.seq == seq);
        }
        let cohort = sheet.trace.cohort_name(harvest.cohort_seq);
        sheet.subject = say!("trace-harvest-of", seq, cohort);
        sheet.notes.push(say!("trace-up-to-harvest"));
        Ok(sheet)
    }

    fn of_buyer(&self, name: &str, days: Days, recall: bool) -> Result<TraceSheet> {
        let (from, to) = self.instants(days)?;
        let known = self.book.buyers()?;
        let known = || known.iter().map(String::as_str);
        let mut sales = Vec::new();
        for one in spellings(name, known()) {
            sales.extend(self.book.sales_to(one, from, to)?);
        }
        if sales.is_empty() && !known().any(|one| same_name(one, name)) {
            return Err(ActError::not_found("buyer", name, known()));
        }
        let mut back = Back::new();
        for sale in &sales {
            let day = local_day(sale.at, &self.farm.zone);
            for cohort in &sale.entry.cohort_seqs {
                let until = back.entry(*cohort).or_insert(day);
                *until = day.max(*until);
            }
        }
        let mut sheet = self.back(&back)?;
        if !recall {
            let own: BTreeSet<i64> = sales.iter().map(|sale| sale.seq).collect();
            sheet.trace.sales.retain(|sale| own.contains(&sale.seq));
            sheet.trace.harvests.retain(|one| {
                back.get(&one.cohort_seq)
                    .is_some_and(|until| one.day <= *until)
            });
        }
        sheet.subject = in_days(say!("trace-of-buyer", name), days);
        let unnamed = sales
            .iter()
            .filter(|sale| sale.entry.cohort_seqs.is_empty());
        let unnamed: Vec<String> = unnamed.map(|sale| format!("r{}", sale.seq)).collect();
        if !unnamed.is_empty() {
            let records = unnamed.join(", ");
            sheet
                .notes
                .push(say!("trace-sales-untraced", name, records));
        }
        Ok(sheet)
    }

    /// From lots to whoever ate of them and whoever bought.
    fn onward(&self, subject: Said, lots: &[i64], recall: bool) -> Result<TraceSheet> {
        let lines = self.book.fed_of_lots(lots)?;
        let shared = shared_out(self.book, (&self.tables.stages, &self.farm.zone), &lines)?;
        let cohorts: BTreeSet<i64> = shared.portions.iter().map(|one| one.cohort_seq).collect();
        let lives = self.book.cohort_lives_of(cohorts)?;
        let mut sheet = self.sheet(lots, &lines, &lives, shared)?;
        sheet.subject = subject;
        sheet.onward = true;
        let left = self.uses()?.of_lots(&sheet.trace.lots);
        sheet.uses = vec![(say!("trace-larvae"), left)];
        if recall {
            sheet.alike = self.alike(&sheet.trace)?;
        }
        Ok(sheet)
    }

    /// From cohorts back to the lots they ate of.
    fn back(&self, back: &Back) -> Result<TraceSheet> {
        let lives = self.book.cohort_lives_of(back.keys().copied())?;
        let eaters: Vec<Traced<'_>> = (lives.iter())
            .map(|life| Traced {
                life,
                until: back.get(&life.cohort.seq).copied().unwrap_or(Date::MAX),
            })
            .collect();
        let shared = eaten_by(self.book, (&self.tables.stages, &self.farm.zone), &eaters)?;
        let eaten = shared.portions.iter().filter_map(|one| match one.origin {
            Origin::Lot(lot) => Some(lot),
            Origin::Bought(_) | Origin::Water => None,
        });
        let not_known = shared.unplaced.iter().map(|one| one.lot_seq);
        let lots: BTreeSet<i64> = eaten.chain(not_known).collect();
        let lots: Vec<i64> = lots.into_iter().collect();
        let lines = self.book.fed_of_lots(&lots)?;
        let beside = shared_out(self.book, (&self.tables.stages, &self.farm.zone), &lines)?;
        let mut sheet = self.sheet(&lots, &lines, &lives, shared)?;
        let own: BTreeSet<i64> = back.keys().copied().collect();
        let others: BTreeSet<i64> = (beside.portions.iter().map(|one| one.cohort_seq))
            .filter(|cohort| !own.contains(cohort))
            .collect();
        let others = self.book.cohort_lives_of(others)?;
        sheet.others = others
            .into_iter()
            .map(|life| life.cohort.entry.name)
            .collect();
        sheet.uses = self.uses()?.of_cohorts(&sheet.trace);
        Ok(sheet)
    }

    fn uses(&self) -> Result<Uses<'_>> {
        let own = self.farm.larvae_for;
        let others = LarvaeFor::ALL.into_iter().filter(|one| *one != own);
        let all = std::iter::once(own).chain(others);
        let rules = all.map(|one| self.tables.rules_for(one, self.farm.region));
        Ok(Uses {
            streams: &self.tables.streams,
            rules: rules.collect::<Result<_, _>>()?,
        })
    }

    fn sheet(
        &self,
        lots: &[i64],
        lines: &[FedLine],
        lives: &[CohortLife],
        shared: Shared,
    ) -> Result<TraceSheet> {
        let seqs = || lives.iter().map(|life| life.cohort.seq);
        let harvests = self.book.harvests_of(seqs())?.into_iter();
        let sales = self.book.sales_of(seqs())?.into_iter();
        let zone = &self.farm.zone;
        let trace = Trace {
            lots: lots_traced(self.book, zone, lots, lines)?,
            cohorts: cohorts_traced(lives, zone),
            portions: shared.portions,
            unplaced: shared.unplaced,
            harvests: harvests.map(|one| harvest_traced(&one, zone)).collect(),
            sales: sales.map(|one| sale_traced(one, zone)).collect(),
            before: Vec::new(),
        };
        Ok(TraceSheet {
            subject: Said::default(),
            onward: false,
            trace: trace.since_they_ate(),
            uses: Vec::new(),
            alike: Vec::new(),
            others: Vec::new(),
            of_no_cohort: Vec::new(),
            notes: Vec::new(),
            issuer: self.farm.said.name.clone(),
            units: self.farm.units,
            currency: self.farm.currency.clone(),
            at: DateTime::MIN,
            seal: String::new(),
        })
    }

    /// What is on hand of the same suppliers and streams.
    fn alike(&self, trace: &Trace) -> Result<Vec<LotTraced>> {
        let kinds: BTreeSet<_> = (trace.lots.iter())
            .map(|lot| (lot.supplier.as_str(), &lot.stream))
            .collect();
        let mut alike = Vec::new();
        for (supplier, stream) in kinds {
            let held = self.book.held_alike(supplier, stream)?;
            alike.extend(held.into_iter().map(|(seq, _)| seq));
        }
        alike.retain(|seq| trace.lot(*seq).is_none());
        alike.sort_unstable();
        let lines = self.book.fed_of_lots(&alike)?;
        lots_traced(self.book, &self.farm.zone, &alike, &lines)
    }

    fn live_record(&self, name: &str) -> Result<Option<Found>> {
        let found = self.book.find_record(name)?;
        Ok(found.filter(|found| found.struck_by.is_none()))
    }

    fn instants(&self, days: Days) -> Result<(Timestamp, Timestamp)> {
        let from = days.0.map(|day| midnight(day, self.farm)).transpose()?;
        let to = days
            .1
            .map(|day| midnight(day.saturating_add(Span::new().days(1)), self.farm));
        let to = to.transpose()?;
        Ok((from.unwrap_or(Timestamp::MIN), to.unwrap_or(Timestamp::MAX)))
    }
}

/// A name as asked for, and every other spelling of it in the book: a recall
/// must not miss a load for a capital letter.
fn spellings<'a>(name: &'a str, known: impl Iterator<Item = &'a str>) -> Vec<&'a str> {
    let others = known.filter(|one| *one != name && same_name(one, name));
    std::iter::once(name).chain(others).collect()
}
