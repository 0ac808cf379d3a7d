use schemars::JsonSchema;
use serde::{Serialize, Serializer};
use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;

use crate::acts::doubts::{self, kept_before};
use crate::acts::error::Rejection;
use crate::acts::stock::lot::{find_lot, lot_of};
use crate::acts::{ActError, Asked, Night, Result};
use crate::daybook::{Addition, Book, Daybook, Draw, Entry, Fed, Filed, Remainder, Sheet};
use crate::quantity::wire::{RecordName, view};
use crate::quantity::{Grams, Reading, Units, meet};
use crate::words::{Said, say};

/// A weight that differs from the sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// The feed group; may be left out where the sheet settles it.
    pub group: Option<String>,
    /// The lot, or `water`.
    pub lot: String,
    /// What was really taken; zero takes the line off.
    pub weight: Reading,
}

/// What to record as fed.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct FedAsked {
    /// The sheet followed; the night's newest when absent.
    pub sheet: Option<String>,
    pub changes: Vec<Change>,
    /// Whether to record the changes alone, without a sheet.
    pub without_sheet: bool,
    /// Whether the night before's sheet is meant where the night has none yet:
    /// in the morning a feeder writes down what was done late.
    pub or_the_night_before: bool,
}

/// What was recorded.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct FedDone {
    /// Position in the book.
    pub record: i64,
    #[schemars(with = "String")]
    pub night: Date,
    #[serde(with = "RecordName")]
    pub sheet: Option<i64>,
    /// Weight fed, water and bought stock in it, by group.
    #[serde(serialize_with = "group_list")]
    #[schemars(with = "Vec<FedGroup>")]
    pub groups: BTreeMap<String, Grams>,
    /// Lots that are used up.
    pub emptied: Vec<String>,
    /// Whether it was in the book before.
    pub already_there: bool,
}

view! {
    FedGroup((group, grams): (&String, &Grams)) {
        group: String = group.clone(),
        fed_g: Grams = *grams,
    }
}

fn group_list<S: Serializer>(groups: &BTreeMap<String, Grams>, to: S) -> Result<S::Ok, S::Error> {
    to.collect_seq(groups.iter().map(FedGroup::from))
}

/// Records what was fed: the sheet as printed, with changes by lot.
pub fn record_fed(
    book: &mut Daybook,
    night: Night,
    fed: &FedAsked,
    units: Units,
    asked: &Asked,
) -> Result<FedDone> {
    book.write(asked.now, |writing| {
        let repeated = kept_before(writing, &asked.id)?.is_some();
        let (sheet_seq, sheet) = sheet_followed(writing, night, fed, repeated)?;
        if let (Some(seq), false) = (sheet_seq, repeated)
            && let Some(fed) = fed_by(writing, sheet.night, seq)?
        {
            return Err(ActError::FedAlready {
                sheet: seq,
                fed: fed.seq,
            });
        }
        asked.doubt(writing, |doubts| {
            // `night` may be another than the one that is now.
            let shifted = night.at.duration_since(asked.at).as_secs_f64() / 86_400.0;
            let days = f64::from((sheet.night - night.day).get_days()) + shifted.round();
            let seen = say!("doubt-night", night = sheet.night);
            doubts.weigh(&doubts::NIGHT, "night", days, seen);
            Ok(())
        })?;
        let (draws, additions) = with_changes(writing, sheet.draws, sheet.additions, &fed.changes)?;
        let eaten = fed_by_group(writing, sheet.night)?;
        asked.doubt(writing, |doubts| {
            let now: BTreeSet<&String> = (draws.iter().map(|draw| &draw.group))
                .chain(additions.iter().map(|addition| &addition.group))
                .collect();
            let again = |group: &str| now.iter().any(|of| meet(of, group));
            for (group, grams) in eaten.iter().filter(|(group, _)| again(group)) {
                let seen = say!("doubt-second-meal", group, weight = units.told(*grams));
                doubts.weigh(&doubts::SECOND_MEAL, "group", 1.0, seen);
            }
            Ok(())
        })?;
        if draws.is_empty() && additions.is_empty() {
            return Err(ActError::NoSheet {
                night: night.day.to_string(),
                before: Said::default(),
            });
        }
        let (remainders, emptied) = if repeated {
            (Vec::new(), Vec::new())
        } else {
            remainders(writing, &draws, units)?
        };
        let mut groups = BTreeMap::new();
        add_up(&mut groups, &draws, &additions);
        let entry = Entry::Fed(Fed {
            night: sheet.night,
            sheet_seq,
            draws,
            additions,
            remainders,
        });
        let appended = writing.append(&asked.record(entry))?;
        Ok(FedDone {
            record: appended.seq,
            night: sheet.night,
            sheet: sheet_seq,
            groups,
            emptied,
            already_there: appended.already_there,
        })
    })
}

/// What each feed group got in a night by the book.
pub(crate) fn fed_by_group(book: &Book, night: Date) -> Result<BTreeMap<String, Grams>> {
    let mut groups = BTreeMap::new();
    for meal in book.fed_on(night)? {
        add_up(&mut groups, &meal.entry.draws, &meal.entry.additions);
    }
    Ok(groups)
}

fn add_up(groups: &mut BTreeMap<String, Grams>, draws: &[Draw], additions: &[Addition]) {
    let draws = draws.iter().map(|draw| (&draw.group, draw.grams));
    for (group, grams) in draws.chain(additions.iter().map(|one| (&one.group, one.grams))) {
        *groups.entry(group.clone()).or_default() += grams;
    }
}

/// The record that fed a night's sheet.
pub(crate) fn fed_by(book: &Book, night: Date, sheet: i64) -> Result<Option<Filed<Fed>>> {
    let mut fed = book.fed_on(night)?.into_iter();
    Ok(fed.find(|fed| fed.entry.sheet_seq == Some(sheet)))
}

fn sheet_followed(
    book: &Book,
    night: Night,
    fed: &FedAsked,
    repeated: bool,
) -> Result<(Option<i64>, Sheet)> {
    let empty = || Sheet {
        night: night.day,
        verdict: String::new(),
        draws: Vec::new(),
        additions: Vec::new(),
    };
    if fed.without_sheet {
        return Ok((None, empty()));
    }
    let filed = match &fed.sheet {
        Some(reference) => {
            let refused = || ActError::NotASheet {
                seen: reference.clone(),
            };
            let seq = book.find_record(reference)?.ok_or_else(refused)?.record.seq;
            book.sheet(seq)?.ok_or_else(refused)?
        }
        None => match book.newest_sheet(night.day)? {
            Some(filed) => filed,
            None => before(book, night.day, fed.or_the_night_before, repeated)?,
        },
    };
    Ok((Some(filed.seq), filed.entry))
}

/// The newest sheet of the night before, if it was not fed; else an error that
/// says what became of it, so that nobody proposes and feeds a second time.
fn before(book: &Book, day: Date, is_meant: bool, even_fed: bool) -> Result<Filed<Sheet>> {
    let unfed = |before: Said| ActError::NoSheet {
        night: day.to_string(),
        before,
    };
    let Some(SheetBefore { filed, fed }) = sheet_before(book, day)?.filter(|_| is_meant) else {
        return Err(unfed(Said::default()));
    };
    match fed {
        Some(fed) if !even_fed => Err(unfed(say!("refused-fed-before", filed.seq, fed))),
        _ => Ok(filed),
    }
}

pub(crate) struct SheetBefore {
    pub(crate) filed: Filed<Sheet>,
    pub(crate) fed: Option<i64>,
}

/// The newest sheet of the night before a day, and whether it was fed.
pub(crate) fn sheet_before(book: &Book, day: Date) -> Result<Option<SheetBefore>> {
    let Ok(eve) = day.yesterday() else {
        return Ok(None);
    };
    let Some(filed) = book.newest_sheet(eve)? else {
        return Ok(None);
    };
    let fed = fed_by(book, eve, filed.seq)?.map(|fed| fed.seq);
    Ok(Some(SheetBefore { filed, fed }))
}

fn with_changes(
    book: &Book,
    mut draws: Vec<Draw>,
    mut additions: Vec<Addition>,
    changes: &[Change],
) -> Result<(Vec<Draw>, Vec<Addition>)> {
    for change in changes {
        let grams = change.weight.grams();
        if change.lot == "water" {
            let water = additions.iter().filter(|line| line.stream.is_none());
            let group = group_meant(change, water.map(|line| &line.group))?;
            additions.retain(|line| line.stream.is_some() || line.group != group);
            if grams > Grams::ZERO {
                additions.push(Addition {
                    group,
                    stream: None,
                    grams,
                });
            }
            continue;
        }
        let is_it = |line: &Addition| {
            (line.stream.as_ref()).is_some_and(|stream| stream.as_str() == change.lot)
        };
        if additions.iter().any(is_it) {
            let bought = additions.iter().filter(|line| is_it(line));
            let group = group_meant(change, bought.map(|line| &line.group))?;
            for line in additions.iter_mut().filter(|line| line.group == group) {
                if is_it(line) {
                    line.grams = grams;
                }
            }
            additions.retain(|line| line.grams > Grams::ZERO);
            continue;
        }
        let lot_seq = find_lot(book, &change.lot)?.0.record.seq;
        let drawn = draws.iter().filter(|draw| draw.lot_seq == lot_seq);
        let group = group_meant(change, drawn.map(|draw| &draw.group))?;
        draws.retain(|draw| draw.lot_seq != lot_seq || draw.group != group);
        if grams > Grams::ZERO {
            draws.push(Draw {
                group,
                lot_seq,
                grams,
            });
        }
    }
    Ok((draws, additions))
}

fn group_meant<'a>(change: &Change, lines: impl Iterator<Item = &'a String>) -> Result<String> {
    if let Some(group) = &change.group {
        return Ok(group.clone());
    }
    let (lot, weight) = (&change.lot, change.weight.text());
    let lines: Vec<&str> = lines.map(String::as_str).collect();
    let accepted = match lines.as_slice() {
        [only] => return Ok((*only).to_owned()),
        [] => say!("accepted-group-new", lot, weight),
        [first, ..] => {
            let groups = lines.join(", ");
            say!("accepted-group-of", known = groups, first, lot, weight)
        }
    };
    Err(Rejection::new("change", format!("{lot}={weight}"), accepted).into())
}

/// What is left below half a scale division in a lot that was drawn from: the
/// scale can't show it, so it is booked as shrink. Also the lots used up.
fn remainders(book: &Book, draws: &[Draw], units: Units) -> Result<(Vec<Remainder>, Vec<String>)> {
    let mut by_lot: BTreeMap<i64, Grams> = BTreeMap::new();
    for draw in draws {
        *by_lot.entry(draw.lot_seq).or_default() += draw.grams;
    }
    let division_g = units.division.grams(1).get();
    let (mut remainders, mut emptied) = (Vec::new(), Vec::new());
    for (lot_seq, drawn) in by_lot {
        let held = book.remaining_of(lot_seq)?.unwrap_or(Grams::ZERO);
        let rest = held - drawn;
        let name = || -> Result<String> {
            let name = book.record(lot_seq)?.and_then(|found| lot_of(&found));
            Ok(name.unwrap_or_else(|| format!("r{lot_seq}")))
        };
        if rest.get() * 2 <= -division_g || (rest < Grams::ZERO && held == Grams::ZERO) {
            return Err(ActError::TooMuch {
                lot: name()?,
                held: units.told(held),
                asked: units.told(drawn),
            });
        }
        if rest.get().abs() * 2 < division_g {
            emptied.push(name()?);
            if rest != Grams::ZERO {
                remainders.push(Remainder {
                    lot_seq,
                    grams: rest,
                });
            }
        }
    }
    Ok((remainders, emptied))
}
