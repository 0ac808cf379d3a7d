use std::collections::BTreeSet;

use axum::Form as SentForm;
use jiff::civil::Date;

use super::super::form::{Answer, go};
use super::super::gauge::{Gauge, Slice, gauges, slices};
use super::super::kept::recorded_at;
use super::fed::{FedSent, otherwise};
use super::records::in_a_line;
use super::*;
use crate::acts::{
    Asked, KeptLine, KeptSheet, Sending, Tonight, night_of, propose_mix, record_sheet, tonight,
};
use crate::sheet::json::Mix;
use crate::sheet::{MixSheet, Tone, day_words, mix_document};
use crate::words::{Said, say};

/// A part of the sheet under one heading, with a group's pictures.
#[derive(Default)]
pub(crate) struct Section {
    /// The feed group it is of, if it is of one.
    group: Option<String>,
    blocks: Vec<Block<String>>,
    gauges: Vec<Gauge>,
    slices: Vec<Slice>,
}

impl Section {
    /// Its heading, and lines of one tone: cautions, or what becomes of the mix.
    fn texts(&self) -> (String, [Vec<String>; 2]) {
        let heading = self.blocks.iter().find_map(|block| match block {
            Block::Heading(text) => Some(text.clone()),
            _ => None,
        });
        let lines = |wanted: Tone| {
            let of_tone = self.blocks.iter().filter_map(move |block| match block {
                Block::Line(tone, text) if *tone == wanted => Some(text.clone()),
                _ => None,
            });
            of_tone.collect()
        };
        let both = [Tone::Caution, Tone::Plain].map(lines);
        (heading.unwrap_or_default(), both)
    }
}

/// A group's lines to tick: what it is, what each line's stream is called, and
/// what becomes of them once they are mixed.
pub(crate) struct ToTick {
    heading: String,
    mind: Vec<String>,
    /// Counted over all groups.
    lines: Vec<(usize, String, KeptLine)>,
    then: Vec<String>,
}

/// A line's field of one kind: `t` says it was fed, `w` what was taken otherwise.
pub(super) fn field(kind: char, line: &KeptLine) -> String {
    format!("{kind}:{}:{}", line.group, line.lot)
}

#[derive(Template)]
#[template(path = "tonight.html", config = "src/askama.toml")]
pub(crate) struct TonightPage {
    frame: Frame,
    entry: Entry<FedSent>,
    title: String,
    /// Which night, and which sheet of it.
    night: String,
    sections: Vec<Section>,
    /// All there is to know of the mix, folded away.
    full: Vec<Block<String>>,
    verdict: Option<(&'static str, String)>,
    /// Record of the night's newest kept sheet.
    sheet: Option<i64>,
    fed: Option<i64>,
    /// Whether that sheet is the one shown.
    kept: bool,
    /// How stock and larvae have changed since it was kept, as long as it is not fed.
    changed: Vec<String>,
    to_tick: Vec<ToTick>,
    /// Lots whose parts are picked out first.
    to_sort: BTreeSet<String>,
    /// What was taken otherwise, once the sheet was fed.
    otherwise: Vec<String>,
    units: Units,
    recent: Vec<Recent>,
}

impl Form for FedSent {
    type Page = TonightPage;
    const AFTER: Option<&'static str> = Some("/tonight");

    /// One sheet, and it alone: the kept one with its lines to tick off, or
    /// the mix as it would be proposed now.
    fn page(at: &At, frame: Frame, mut entry: Entry<Self>, wanted: Wanted) -> Result<TonightPage> {
        let anew = wanted.anew == "yes";
        let tonight = tonight((at.book, at.farm, at.tables), at.night(), anew, &at.mix)?;
        let recent = recent(at, &frame, &tonight)?;
        let kept = tonight.kept.as_ref();
        let kept_shown = kept.filter(|_| !anew);
        if let Some(kept) = kept_shown {
            entry
                .values
                .ticked_elsewhere(frame.app.shared.ticked.borrow().of(kept.record));
        }
        let remembered = kept_shown.and_then(|kept| frame.app.remembered(kept.record));
        // Where the kept sheet's figures can't be had again, its lines stand alone.
        let is_it = |sheet: &MixSheet| kept_shown.is_none() || sheet.sheet.is_some();
        let shown = remembered.or_else(|| tonight.sheet.clone().filter(is_it));
        let full = shown.clone().map(|sheet| MixSheet {
            is_full: true,
            ..sheet
        });
        let lines = kept_shown.map_or(&[][..], |kept| &kept.lines);
        let day = tonight.night.day;
        let document = shown.as_ref().map(mix_document);
        let sections: Vec<Section> = (shown.iter().zip(&document))
            .flat_map(|(sheet, of)| sections(&frame, sheet, of))
            .collect();
        Ok(TonightPage {
            title: match (&document, kept_shown) {
                (Some(document), _) => frame.say(&document.title),
                (None, Some(_)) => frame.with("dock-tonight-night", day),
                (None, None) => frame.with("dock-tonight-nothing-due", day),
            },
            night: frame.say(&night_said(day, kept_shown.map(|kept| kept.record))),
            verdict: document.as_ref().and_then(|of| verdict_line(&frame, of)),
            to_tick: to_tick(&frame, lines, &sections),
            to_sort: shown.map_or_else(BTreeSet::new, |sheet| sheet.to_sort),
            sections,
            full: full.map_or_else(Vec::new, |sheet| frame.blocks_here(&mix_document(&sheet))),
            sheet: kept.map(|kept| kept.record),
            fed: kept_shown.and_then(|kept| kept.fed),
            kept: kept_shown.is_some(),
            changed: changed(at, &frame, kept_shown.filter(|kept| kept.fed.is_none()))?,
            otherwise: kept_shown.map_or_else(Vec::new, |kept| {
                otherwise(&frame, &kept.otherwise, at.farm.units)
            }),
            units: at.farm.units,
            recent,
            frame,
            entry,
        })
    }
}

/// What has come about since the sheet was kept, the newest first.
fn changed(at: &At, frame: &Frame, kept: Option<&KeptSheet>) -> Result<Vec<String>> {
    let since = kept.into_iter().flat_map(|kept| &kept.changed);
    let told = since.map(|found| {
        let time = at.local(found.record.recorded_at, "%H:%M");
        Ok(format!("{time} {}", frame.say(&in_a_line(at, found)?)))
    });
    told.collect()
}

fn night_said(day: Date, sheet: Option<i64>) -> Said {
    let day = say!("dock-tonight-of-night", day = day_words(day));
    let sheet = sheet.map(|record| say!("dock-tonight-sheet", record));
    Said::joined(std::iter::once(day).chain(sheet), ", ")
}

/// The lines to tick by group, each with what the sheet says of its trays.
fn to_tick(frame: &Frame, lines: &[KeptLine], sections: &[Section]) -> Vec<ToTick> {
    let groups = lines.chunk_by(|one, next| one.group == next.group);
    let mut counted = 1..;
    let told = groups.map(|lines| {
        let group = &lines[0].group;
        let section = sections.iter().find(|of| of.group.as_ref() == Some(group));
        let texts = section.map(Section::texts);
        let (heading, [mind, then]) = texts.unwrap_or_else(|| {
            let called = frame.with("stage-called", group.as_str());
            (called, Default::default())
        });
        let numbered = counted.by_ref().zip(lines);
        let named = numbered.map(|(number, line)| (number, frame.say(&line.stream), line.clone()));
        ToTick {
            heading,
            mind,
            lines: named.collect(),
            then,
        }
    });
    told.collect()
}

fn lines_of(groups: &[ToTick]) -> usize {
    groups.iter().map(|group| group.lines.len()).sum()
}

/// What of the night may be taken back: what was fed, else the sheet.
fn recent(at: &At, frame: &Frame, tonight: &Tonight) -> Result<Vec<Recent>> {
    let mut recent = Vec::new();
    let mut add = |seq: i64, what: &Said, grams: Grams| -> Result<()> {
        let since = at.local(recorded_at(at, seq)?, "%H:%M");
        let told = [&*since, &frame.say(what), &at.farm.units.told(grams)];
        recent.push(Recent::of(at, format!("r{seq}"), &told, seq)?);
        Ok(())
    };
    for fed in at.book.fed_on(tonight.night.day)?.iter().rev() {
        add(fed.seq, &say!("fed"), fed.entry.grams())?;
    }
    if let Some(kept) = tonight.kept.as_ref().filter(|kept| kept.fed.is_none()) {
        let all = kept.lines.iter().map(|line| line.grams).sum();
        add(kept.record, &say!("sheet"), all)?;
    }
    Ok(recent)
}

/// The sheet's first word, which says how it stands.
fn verdict_line(frame: &Frame, document: &Document) -> Option<(&'static str, String)> {
    match document.blocks.as_slice() {
        [Block::Line(tone, text), ..] => Some((tone.class(), frame.say(text))),
        _ => None,
    }
}

/// The document cut at its headings: one section a group, buckets in front,
/// pictures behind; then the rest.
fn sections(frame: &Frame, sheet: &MixSheet, document: &Document) -> Vec<Section> {
    let mut sections = vec![Section::default()];
    // The verdict stands above already.
    for block in frame.blocks_here(document).into_iter().skip(1) {
        if matches!(block, Block::Heading(_)) {
            sections.push(Section::default());
        }
        if let Some(last) = sections.last_mut() {
            last.blocks.push(block);
        }
    }
    let groups = sheet.mix.groups.iter();
    for (section, group) in sections.iter_mut().skip(1).zip(groups) {
        section.group = Some(group.name.clone());
        if group.figures.wet > Grams::ZERO {
            section.slices = slices(group, sheet.units);
            section.gauges = gauges(sheet, group);
        }
    }
    sections
}

/// That tonight's sheet is to be kept.
#[derive(Deserialize, JsonSchema, Default)]
#[serde(default)]
#[schemars(extend("required" = ["id"]))]
pub(crate) struct SheetSent {
    #[serde(flatten)]
    way: Way,
}

/// Keeps tonight's sheet as it stands now.
pub(crate) async fn keep(
    State(app): State<App>,
    visit: Visiting,
    SentForm(sent): SentForm<SheetSent>,
) -> Answer {
    go(app, visit, sent, "/tonight").await
}

#[derive(Serialize, JsonSchema)]
pub(crate) struct SheetKept {
    sheet: Option<String>,
    #[serde(flatten)]
    mix: Mix,
}

impl Change for SheetSent {
    type Done = SheetKept;

    /// Proposes and keeps; the sheet is remembered with its figures.
    async fn keep(self, frame: &Frame) -> Result<SheetKept, Unkept> {
        let app = &frame.app;
        let Sending { id, by, .. } = self.way.sending(&app.shared.by).map_err(ActError::from)?;
        // The book keeps whole seconds: the figures must be had again from its instant.
        let now = app.shared.clock.now();
        let now = jiff::Timestamp::from_second(now.as_second()).unwrap_or(now);
        // Solving may take a while: it is done beside the writing thread, and the
        // book refuses nothing that a later weighing could change here.
        let (mut sheet, night) = app
            .read(move |at| {
                let night = night_of(now, None, at.farm);
                let sheet = propose_mix((at.book, at.farm, at.tables), night, &at.mix)?;
                Ok((sheet, night))
            })
            .await?;
        let to_keep = sheet.clone();
        let (record, seal) = app
            .keeper
            .act(move |book, _, _| {
                let asked = Asked {
                    id,
                    at: now,
                    by,
                    now,
                    sure: false,
                };
                let record = record_sheet(book, &to_keep, night, &asked)?;
                Ok((record, book.seal().map_err(ActError::from)?.short()))
            })
            .await?;
        if let Some(record) = record {
            sheet.sheet = Some(format!("r{record}"));
            sheet.seal = Some(seal);
            app.remember(record, sheet.clone());
        }
        let mix = Mix::from(&sheet);
        let sheet = sheet.sheet;
        Ok(SheetKept { sheet, mix })
    }
}
