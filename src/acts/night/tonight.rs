use jiff::civil::Date;
use schemars::JsonSchema;
use serde::{Serialize, Serializer};
use std::collections::BTreeSet;

use super::fed::fed_by;
use super::sheet::sheet_entry;
use crate::acts::error::Rejection;
use crate::acts::stock::lot::lot_of;
use crate::acts::{ActError, Change, Desk, MixAsked, Night, Result, propose_mix};
use crate::daybook::{Addition, Book, Draw, Entry, Fed, Filed, Found, Sheet};
use crate::quantity::wire::RecordName;
use crate::quantity::{Grams, Units};
use crate::sheet::MixSheet;
use crate::stream::StreamId;
use crate::words::{Said, say};

/// The night's mix, and the sheet of it that is in the book.
#[derive(Debug, Clone, PartialEq)]
pub struct Tonight {
    pub night: Night,
    /// The kept sheet, or the mix as proposed now; `None` when nothing is due.
    pub sheet: Option<MixSheet>,
    pub kept: Option<KeptSheet>,
}

/// A sheet in the book.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct KeptSheet {
    #[serde(rename = "sheet", with = "RecordName")]
    pub record: i64,
    pub lines: Vec<KeptLine>,
    /// Whether its figures can be had again from the book.
    pub same: bool,
    /// Whether stock or larvae have changed since, by what still stands.
    #[serde(serialize_with = "is_any")]
    #[schemars(with = "bool")]
    pub changed: Vec<Found>,
    /// The record of feeding, once it was fed.
    #[serde(with = "RecordName")]
    pub fed: Option<i64>,
    /// What was taken otherwise than its lines say, once it was fed.
    pub otherwise: Vec<Otherwise>,
}

/// A line that was fed with another weight than stands on the sheet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Otherwise {
    /// As on the sheet; without weight where it does not stand there.
    #[serde(flatten)]
    pub line: KeptLine,
    /// The weight fed; nothing where the line was left out.
    pub fed_g: Grams,
}

/// A line of a sheet in the book.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct KeptLine {
    pub group: String,
    /// The lot, a bought stream, or `water`.
    pub lot: String,
    pub stream: Said,
    /// Its weight.
    pub grams: Grams,
    #[serde(skip)]
    pub is_lot: bool,
}

impl KeptLine {
    /// `growing, Bread, lot 3`.
    #[must_use]
    pub fn said(&self) -> Said {
        let group = say!("stage-called", what = &self.group);
        let lot = (self.is_lot).then(|| say!("lot-named", what = &self.lot));
        let named = [group, self.stream.clone()].into_iter().chain(lot);
        Said::joined(named, ", ")
    }
}

/// The night's mix and what the book holds of it: the newest kept sheet with
/// its figures, as far as they can be had again from the book; else, or when
/// `anew` is asked for, the mix as proposed now. Writes nothing.
pub fn tonight(
    (book, farm, tables): Desk<'_>,
    night: Night,
    anew: bool,
    asked: &MixAsked,
) -> Result<Tonight> {
    book.at_one_moment(|book| {
        let propose = |night: Night| match propose_mix((book, farm, tables), night, asked) {
            Err(ActError::NothingDue { .. }) => Ok(None),
            proposed => proposed.map(Some),
        };
        let Some(filed) = book.newest_sheet(night.day)? else {
            let sheet = propose(night)?;
            return Ok(Tonight {
                night,
                sheet,
                kept: None,
            });
        };
        // Ages move on: the figures of a kept sheet are those of its own instant.
        let then = Night {
            day: night.day,
            at: filed.at,
        };
        let as_kept = propose(then)?;
        let kept = kept(book, &filed, as_kept.as_ref(), then)?;
        let sheet = match as_kept.filter(|_| kept.same && !anew) {
            Some(mut sheet) => {
                sheet.sheet = Some(format!("r{}", kept.record));
                Some(sheet)
            }
            None => propose(night)?,
        };
        Ok(Tonight {
            night,
            sheet,
            kept: Some(kept),
        })
    })
}

fn kept(
    book: &Book,
    filed: &Filed<Sheet>,
    proposed: Option<&MixSheet>,
    night: Night,
) -> Result<KeptSheet> {
    let on_sheet = lines_of_sheet(book, &filed.entry)?;
    let fed = fed_by(book, night.day, filed.seq)?;
    let same = match proposed.filter(|sheet| sheet.mix.verdict.is_fed()) {
        Some(sheet) => sheet_entry(book, sheet, night)? == filed.entry,
        None => false,
    };
    Ok(KeptSheet {
        record: filed.seq,
        same,
        changed: changed_since(book, filed.seq)?,
        otherwise: otherwise(book, &on_sheet, fed.as_ref())?,
        lines: on_sheet,
        fed: fed.map(|fed| fed.seq),
    })
}

fn is_any<S: Serializer>(changed: &[Found], out: S) -> Result<S::Ok, S::Error> {
    out.serialize_bool(!changed.is_empty())
}

/// What the book says otherwise of stock or larvae than when this was recorded, the
/// newest first. What came since and was taken back has changed nothing.
fn changed_since(book: &Book, seq: i64) -> Result<Vec<Found>> {
    /// So many records at least are made of a day's stock and larvae in part.
    const LOOKED_AT: u32 = 200;
    let newest = book.newest_records(LOOKED_AT)?.into_iter();
    let since = newest.take_while(|found| found.record.seq > seq);
    let changes = |found: &Found| match &found.record.content.entry {
        _ if found.struck_by.is_some() => false,
        Entry::Strike(strike) => strike.target_seq < seq,
        Entry::Ticket(_)
        | Entry::Assay(_)
        | Entry::Reweigh(_)
        | Entry::Discard(_)
        | Entry::Look(_)
        | Entry::Leave(_)
        | Entry::Correction(_)
        | Entry::Cohort(_)
        | Entry::CohortEnd(_) => true,
        _ => false,
    };
    Ok(since.filter(changes).collect())
}

/// What a sheet says in all, and what was fed of it otherwise.
pub fn fed_of_sheet(book: &Book, night: Date, sheet: i64) -> Result<(Grams, Vec<Otherwise>)> {
    let filed = book.sheet(sheet)?;
    let on_sheet = filed.map(|filed| lines_of_sheet(book, &filed.entry));
    let on_sheet = on_sheet.transpose()?.unwrap_or_default();
    let all = on_sheet.iter().map(|line| line.grams).sum();
    let fed = fed_by(book, night, sheet)?;
    Ok((all, otherwise(book, &on_sheet, fed.as_ref())?))
}

/// Lines whose weight differs, those of the sheet first. A lot may be weighed
/// out for a group in more than one go.
fn otherwise(book: &Book, sheet: &[KeptLine], fed: Option<&Filed<Fed>>) -> Result<Vec<Otherwise>> {
    let Some(fed) = fed else {
        return Ok(Vec::new());
    };
    let fed = lines(book, &fed.entry.draws, &fed.entry.additions)?;
    let of = |lines: &[KeptLine], like: &KeptLine| -> Grams {
        let same = |line: &&KeptLine| line.group == like.group && line.lot == like.lot;
        lines.iter().filter(same).map(|line| line.grams).sum()
    };
    let mut seen = BTreeSet::new();
    let each = sheet.iter().chain(&fed);
    let each = each.filter(|line| seen.insert((&line.group, &line.lot)));
    let both = each.map(|line| Otherwise {
        fed_g: of(&fed, line),
        line: KeptLine {
            grams: of(sheet, line),
            ..line.clone()
        },
    });
    Ok(both.filter(|one| one.fed_g != one.line.grams).collect())
}

fn lines_of_sheet(book: &Book, sheet: &Sheet) -> Result<Vec<KeptLine>> {
    lines(book, &sheet.draws, &sheet.additions)
}

fn lines(book: &Book, draws: &[Draw], additions: &[Addition]) -> Result<Vec<KeptLine>> {
    let mut lines = Vec::new();
    for draw in draws {
        let found = book.record(draw.lot_seq)?;
        let ticket = found.as_ref().and_then(Found::ticket);
        lines.push(KeptLine {
            group: draw.group.clone(),
            lot: found.as_ref().and_then(lot_of).unwrap_or_default(),
            stream: ticket.map(|it| (&it.stream).into()).unwrap_or_default(),
            grams: draw.grams,
            is_lot: true,
        });
    }
    lines.extend(additions.iter().map(|addition| {
        let of = addition.stream.as_ref();
        KeptLine {
            group: addition.group.clone(),
            lot: of.map_or("water", StreamId::as_str).to_owned(),
            stream: of.map_or_else(|| say!("water"), Said::from),
            grams: addition.grams,
            is_lot: false,
        }
    }));
    // A group's lines together, what is heaviest first: it is weighed out in this order.
    let groups: Vec<String> = lines.iter().map(|line| line.group.clone()).collect();
    let place = |line: &KeptLine| groups.iter().position(|group| *group == line.group);
    lines.sort_by_key(|line| (place(line), std::cmp::Reverse(line.grams)));
    Ok(lines)
}

/// What was ticked off of a sheet, line by line.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Ticked {
    /// Group and lot of each ticked line.
    pub lines: BTreeSet<(String, String)>,
    /// Whether the others were fed too; `None` when nobody said so.
    pub others: Option<bool>,
}

/// A kept sheet's record and its lines.
pub fn sheet_lines(book: &Book, sheet: &str) -> Result<(i64, Vec<KeptLine>)> {
    let refused = || ActError::NotASheet {
        seen: sheet.to_owned(),
    };
    let found = book.find_record(sheet)?.ok_or_else(refused)?;
    let filed = book.sheet(found.record.seq)?.ok_or_else(refused)?;
    Ok((filed.seq, lines_of_sheet(book, &filed.entry)?))
}

/// What was done otherwise than on a sheet that was ticked off line by line: a
/// line is fed when it was ticked or weighed, and the others as was said.
pub fn ticked_off(
    book: &Book,
    sheet: &str,
    ticked: &Ticked,
    mut changes: Vec<Change>,
    units: Units,
) -> Result<Vec<Change>> {
    let (_, all) = sheet_lines(book, sheet)?;
    let mut open = all.iter().collect::<Vec<_>>();
    open.retain(|line| {
        let key = (line.group.clone(), line.lot.clone());
        let weighed =
            |change: &Change| change.group.as_ref() == Some(&line.group) && change.lot == line.lot;
        !ticked.lines.contains(&key) && !changes.iter().any(weighed)
    });
    match ticked.others {
        None if !open.is_empty() => {
            let told = open.into_iter().map(|line| {
                let weight = units.weight(line.grams).into();
                Said::joined([line.said(), weight], ": ")
            });
            return Err(ActError::NotTicked(told.collect()));
        }
        Some(false) if open.len() == all.len() => {
            return Err(Rejection::new("ticks", "", say!("accepted-a-line-fed")).into());
        }
        Some(false) => {
            let nothing = units.reader().weight("0");
            let nothing =
                nothing.map_err(|error| Rejection::new("weight", "0", error.accepted()))?;
            changes.extend(open.into_iter().map(|line| Change {
                group: Some(line.group.clone()),
                lot: line.lot.clone(),
                weight: nothing.clone(),
            }));
        }
        Some(true) | None => {}
    }
    Ok(changes)
}
