use std::collections::{BTreeMap, BTreeSet};

use super::cautions::{cautions, foot};
use super::fed::fed_by_group;
use super::trust::{last_fed, last_from_file, offers, spreads_from_files, spreads_in_book};
use crate::acts::error::Rejection;
use crate::acts::farm::tables::utf8;
use crate::acts::harvest::on_trays::{cohorts_with_residue, not_tonight};
use crate::acts::stock::stock_now;
use crate::acts::{ActError, Desk, FarmSettings, Night, Result, TableFile, Tables, TrustAsked};
use crate::blend::{
    Composition, Group, GroupMix, Lot, Mix, Patience, Policy, Problem, Purchase, TrayRoom,
    propose_with, read_stock, read_targets,
};
use crate::daybook::Chosen;
use crate::larvae::{Due, FeedGroup, demand};
use crate::quantity::{Division, Grams, Litres, Units};
use crate::sheet::{GroupCard, MixSheet, TrayDose};
use crate::stock::{StockLot, density_of};
use crate::stream::{Stream, StreamId, StreamTable};
use crate::words::{Said, say};

/// What a mix may use besides the stock.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct MixAsked {
    /// What may be bought: stream, limit, price per kilogram where it differs from the table's.
    pub buy: Vec<(String, Grams, Option<f64>)>,
    pub trust: TrustAsked,
}

impl MixAsked {
    /// Nothing but that somebody waits no longer than this.
    #[must_use]
    pub fn within(patience: Patience) -> Self {
        let trust = TrustAsked {
            patience,
            ..TrustAsked::default()
        };
        Self {
            trust,
            ..Self::default()
        }
    }
}

/// Tonight's mix from the book: lots on hand, cohorts that are due, tables in use.
///
/// # Errors
/// Nothing due; a stream that can't be bought; tables with findings.
pub fn propose_mix(
    (book, farm, tables): Desk<'_>,
    night: Night,
    asked: &MixAsked,
) -> Result<MixSheet> {
    book.at_one_moment(|book| {
        let tables = &*tables.of_farm(book, night.at)?;
        let stock = stock_now((book, farm, tables), night.at)?;
        let cohorts = cohorts_with_residue((book, farm, tables), night)?;
        let due = demand(&cohorts, night.day, &tables.stages);
        let later = not_tonight(&cohorts, &due, night.day, tables);
        // A group has one meal a night: what was fed is no longer due.
        let eaten = fed_by_group(book, night.day)?;
        let (had, due): (Vec<_>, Vec<_>) =
            (due.into_iter()).partition(|due| eaten.keys().any(|group| due.is_of(group)));
        let had: Vec<String> = eaten
            .iter()
            .filter(|(group, _)| had.iter().any(|due| due.is_of(group)))
            .map(|(group, grams)| format!("{group} {}", farm.units.told(*grams)))
            .collect();
        if due.is_empty() {
            return Err(ActError::NothingDue {
                night: night.day.into(),
                had,
                later,
            });
        }
        // A night has one sheet: what spoils is told by the night's end, not by the minute.
        // Added up from its instant it would differ by a hair, and a hair turns a tie.
        let ends = night.ends(farm);
        let aged = |lot: &StockLot| Lot {
            age_days: lot.book.age_at(ends),
            ..blend_lot(lot, &tables.streams)
        };
        let mut lots: Vec<Lot> = stock.lots.iter().map(aged).collect();
        name_apart(&mut lots, &stock.lots);
        let water = asked.trust.water(&farm.chosen, None);
        let problem = Problem {
            spreads: Some(spreads_in_book(&lots, &stock.lots, tables)),
            policy: Policy {
                small_scale: farm.units.small,
                ..asked.trust.policy(&farm.chosen)
            },
            lots,
            purchases: purchases(farm, tables, asked)?,
            water_limit: Grams::ZERO,
            groups: due
                .iter()
                .map(|due| group_of(due, &tables.streams))
                .collect(),
            division: farm.units.division,
        };
        let problem = problem.with_water(water);
        let last = if asked.trust.steady {
            Some(last_fed(book, night.day)?)
        } else {
            None
        };
        let rules = tables.rules(farm)?;
        let wishes = asked
            .trust
            .wishes(offers(tables, Some(&rules), &problem.purchases), last);
        let (mix, trust) = propose_with(&problem, &wishes);
        let mut cautions = cautions(&mix, &stock.lots, farm, tables)?;
        if !had.is_empty() {
            cautions.push(say!("mix-fed-already", groups = had.join(", ")));
        }
        if !later.is_empty() {
            cautions.push(say!("mix-fed-later", cohorts = Said::joined(later, ", ")));
        }
        Ok(MixSheet {
            night: Some(night.day),
            sheet: None,
            seal: Some(book.seal()?.short()),
            cards: cards(&mix, &due),
            lot_notes: stock
                .lots
                .iter()
                .zip(&problem.lots)
                .map(|(lot, named)| (named.name.clone(), lot_note(lot)))
                .collect(),
            to_sort: (stock.lots.iter())
                .filter(|lot| lot.asks_for_sorting())
                .map(|lot| lot.book.name.clone())
                .collect(),
            cautions,
            foot: foot(&mix, &due, &stock.lots, tables),
            next: None,
            trust,
            is_full: false,
            units: farm.units,
            mix,
        })
    })
}

/// Who brought a lot, how old it is, and where its moisture comes from when
/// that is neither its own test nor the stream table.
fn lot_note(lot: &StockLot) -> Said {
    let note = format!("{}, {:.1} d", lot.book.supplier, lot.age_days).into();
    let learned = lot.learned_moisture();
    let learned = learned.map(|of| say!("mix-moisture-from", origin = &of.origin));
    let first = (lot.asks_for_sorting()).then(|| say!("mix-pick-first"));
    Said::joined(first.into_iter().chain([note]).chain(learned), ", ")
}

/// A mix from files alone: no farm, so no rule on use is asked.
///
/// # Errors
/// All findings of the first file that has any.
pub fn mix_from_files(
    stock: &TableFile,
    targets: &TableFile,
    tables: &Tables,
    division: Division,
    asked: &TrustAsked,
) -> Result<MixSheet> {
    let targets = read_targets(&targets.name, utf8(targets)?, &tables.streams)?;
    let mut lots = read_stock(
        &stock.name,
        &stock.bytes,
        &tables.streams,
        &tables.stages.flag_limits,
    )?;
    let ages = &tables.stages.ages;
    for lot in lots.iter_mut().filter(|lot| lot.barred.is_none()) {
        let class = tables.streams.get(&lot.stream).map(|stream| stream.class);
        lot.barred = ages.too_old(lot.age_days, lot.keeps_days, class);
    }
    let lot_notes = lots
        .iter()
        .map(|lot| (lot.name.clone(), format!("{:.1} d", lot.age_days).into()))
        .collect();
    let chosen = Chosen::default();
    let problem = Problem {
        spreads: Some(spreads_from_files(&lots, tables)),
        policy: asked.policy(&chosen),
        lots,
        purchases: targets.purchases,
        water_limit: targets.water_limit,
        groups: targets.groups,
        division,
    };
    let named = Some(problem.water_limit).filter(|limit| *limit > Grams::ZERO);
    let water = asked.water(&chosen, named);
    let problem = problem.with_water(water);
    let last = asked.last.as_ref();
    let last = last
        .map(|file| last_from_file(file, &tables.streams))
        .transpose()?;
    let wishes = asked.wishes(offers(tables, None, &problem.purchases), last);
    let (mix, trust) = propose_with(&problem, &wishes);
    Ok(MixSheet {
        night: None,
        sheet: None,
        seal: None,
        mix,
        cards: Vec::new(),
        lot_notes,
        to_sort: BTreeSet::new(),
        cautions: Vec::new(),
        foot: Vec::new(),
        next: None,
        trust,
        is_full: false,
        units: Units::of(division),
    })
}

pub(crate) fn blend_lot(lot: &StockLot, streams: &StreamTable) -> Lot {
    let stream = streams.get(&lot.book.stream);
    let mut composition = stream.map(Composition::of).unwrap_or_default();
    composition.moisture = lot.moisture;
    composition.density = stream.and_then(|stream| density_of(lot.learned.as_deref(), stream));
    Lot {
        name: lot.book.name.clone(),
        stream: lot.book.stream.clone(),
        on_hand: lot.book.remaining,
        edible: lot.edible,
        composition,
        price_per_kg: lot
            .book
            .price_per_kg
            .or_else(|| stream?.price_per_kg)
            .unwrap_or(0.0),
        age_days: lot.age_days,
        keeps_days: lot.keeps_days,
        // One ticket is one bucket; what is left of it is that part of a bucket.
        buckets: lot.book.remaining.kg() / (lot.book.net - lot.book.picked_out).kg().max(0.001),
        barred: lot.kept_out(),
    }
}

/// A caller's id can read like another ticket's number; then the number is told with `#`.
pub(crate) fn name_apart(lots: &mut [Lot], stock: &[StockLot]) {
    let mut seen = BTreeSet::new();
    let twice: BTreeSet<String> = lots
        .iter()
        .filter(|lot| !seen.insert(lot.name.clone()))
        .map(|lot| lot.name.clone())
        .collect();
    for (lot, in_stock) in lots
        .iter_mut()
        .zip(stock)
        .filter(|(lot, _)| twice.contains(&lot.name))
    {
        lot.name = format!("#{}", in_stock.book.number);
    }
}

pub(crate) fn group_of(due: &FeedGroup<'_>, streams: &StreamTable) -> Group {
    let stage = due.stage;
    let kind = |stream: &Stream| Some((stream.id.clone(), stage.cap_of(stream)?.name.clone()));
    Group {
        name: stage.name.clone(),
        dry_matter_kg: due.dry_matter_kg(),
        volume: Litres::new(due.volume_l()).ok(),
        windows: stage
            .windows
            .iter()
            .map(|(measure, cited)| (measure.clone(), cited.value))
            .collect(),
        caps: stage
            .caps
            .iter()
            .map(|cap| (cap.name.clone(), cap.share.value))
            .collect(),
        kinds: streams.iter().filter_map(kind).collect(),
        assumed: stage
            .assumed
            .iter()
            .map(|(analyte, cited)| (analyte.clone(), cited.value))
            .collect(),
        assumed_density: stage.assumed_density.as_ref().map(|cited| cited.value),
        trays: due.due.iter().map(|one| room_of(due, one)).collect(),
        others: 0,
    }
}

fn room_of(group: &FeedGroup<'_>, due: &Due) -> TrayRoom {
    TrayRoom {
        cohort: due.cohort.name.clone(),
        trays: due.cohort.trays,
        tray_l: due.cohort.tray_area_m2 * due.depth_cm * 10.0,
        lies_l: due.cohort.lies_l,
        share: group.share(due),
    }
}

/// The larvae behind each group of the mix, which may be several stages'.
fn cards(mix: &Mix, due: &[FeedGroup<'_>]) -> Vec<GroupCard> {
    let card = |group: &GroupMix| {
        let stages = due.iter().filter(|due| due.is_of(&group.name));
        let trays = stages.flat_map(|stage| &stage.due).map(|one| TrayDose {
            cohort: one.cohort.name.clone(),
            age_days: one.age_days,
            days: one.days,
            trays: one.cohort.trays,
            area_m2: one.cohort.area_m2(),
            lies_l: one.cohort.lies_l,
            depth_cm: one.depth_cm,
            share: one.dry_matter_kg / group.wanted_dm_kg,
        });
        let trays: Vec<TrayDose> = trays.collect();
        let ages = || trays.iter().map(|dose| dose.age_days);
        let (youngest, oldest) = (ages().min(), ages().max());
        let (youngest, oldest) = (youngest.unwrap_or_default(), oldest.unwrap_or_default());
        GroupCard {
            ages: if youngest == oldest {
                youngest.to_string()
            } else {
                format!("{youngest}-{oldest}")
            },
            trays,
        }
    };
    mix.groups.iter().map(card).collect()
}

fn purchases(farm: &FarmSettings, tables: &Tables, asked: &MixAsked) -> Result<Vec<Purchase>> {
    let rules = tables.rules(farm)?;
    let mut purchases: BTreeMap<StreamId, Purchase> = BTreeMap::new();
    for (name, limit, price) in &asked.buy {
        let stream = (tables.streams.named(name))
            .map_err(|accepted| Rejection::new("--buy", name, accepted))?;
        let flag = tables.judge(stream, Some(&rules), None);
        if !flag.verdict.may_be_bought() {
            let accepted = say!("accepted-feed-stream", why = flag.said());
            return Err(Rejection::new("--buy", name, accepted).into());
        }
        let Some(price_per_kg) = price.or(stream.price_per_kg) else {
            let accepted = say!("accepted-price", name, kg = limit.kg());
            return Err(Rejection::new("--buy", name, accepted).into());
        };
        let purchase = Purchase {
            stream: stream.id.clone(),
            composition: Composition::of(stream),
            price_per_kg,
            limit: *limit,
        };
        if purchases.insert(stream.id.clone(), purchase).is_some() {
            return Err(Rejection::new("--buy", name, say!("accepted-stream-once")).into());
        }
    }
    Ok(purchases.into_values().collect())
}
