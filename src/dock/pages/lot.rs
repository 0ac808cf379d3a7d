//! What can be done with one lot: test it, weigh it anew, look at it, send it away.

use super::stock::{Card, card};
use super::*;
use crate::acts::{
    AssayReading, LookAsked, SQUEEZE_GRADES, assay, discard, look, night_of, reweigh, stock_now,
};
use crate::daybook::{OutflowKind, Outlet, SPOILED};
use crate::quantity::Reader;
use crate::sheet::one_decimal;
use crate::words::{Said, say};

/// What is done with a lot, as a form or JSON brings it.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(default)]
#[schemars(extend("required" = ["id", "lot", "act"]))]
pub(crate) struct LotSent {
    #[serde(flatten)]
    pub(super) way: Way,
    lot: String,
    /// `dried`, `squeezed`, `reweigh`, `fit`, `not-fit` or `away`
    act: String,
    /// Grams of the sample before drying, for `dried`
    wet: String,
    /// After drying, and after each drying that followed; the last one counts
    dry: String,
    dry2: String,
    dry3: String,
    dry4: String,
    dry5: String,
    dry6: String,
    /// The dish alone, where each of these weights has it in it
    dish: String,
    /// `oven` or `microwave` (taken where it is blank)
    method: String,
    /// `runs`, `just`, `holds`, `slow` or `fast`, for `squeezed`
    squeeze: String,
    /// What the scale says now, for `reweigh`; how much goes, for `away`, all of it where blank
    weight: String,
    /// Where it goes, for `away`, in the words of a record's outlets
    to: String,
    /// `yes` where it goes because it spoiled
    spoiled: String,
    note: String,
}

#[derive(Serialize, JsonSchema)]
pub(crate) struct LotDone {
    record: i64,
    lot: String,
    act: String,
}

/// What one may send a lot away to, the usual first.
const OUTLETS: [Outlet; 5] = [
    Outlet::Composted,
    Outlet::Returned,
    Outlet::Landfilled,
    Outlet::Liquor,
    Outlet::Digestion,
];

impl LotSent {
    fn lot(&self) -> Result<String> {
        let mut fields = Fields::of(Reader::PLAIN);
        let lot = given(&self.lot);
        let lot = fields.needed("lot", &self.lot, lot, say!("accepted-lot"));
        fields.done(lot)
    }

    /// Weights after the second drying and each that followed, by field.
    fn again(&self) -> [(&'static str, &str); 5] {
        [
            ("dry2", &self.dry2),
            ("dry3", &self.dry3),
            ("dry4", &self.dry4),
            ("dry5", &self.dry5),
            ("dry6", &self.dry6),
        ]
    }

    fn dried(&self, reader: Reader) -> Result<AssayReading> {
        let mut fields = Fields::of(reader);
        let mut grams = |field, text: &str| fields.read(field, text, Reader::grams);
        let (wet, dry) = (grams("wet", &self.wet), grams("dry", &self.dry));
        let dish = grams("dish", &self.dish);
        let again = self.again().map(|(_, text)| grams("dry", text));
        let mut needed =
            |field, text, read| fields.needed(field, text, read, say!("dock-lot-grams"));
        let (wet, dry) = (needed("wet", &self.wet, wet), needed("dry", &self.dry, dry));
        let (wet_g, dry_g) = fields.done(wet.zip(dry))?;
        Ok(AssayReading::Dried {
            dish_g: dish.unwrap_or_default(),
            wet_g,
            dried_g: [dry_g]
                .into_iter()
                .chain(again.into_iter().flatten())
                .collect(),
            method: given(&self.method).unwrap_or_else(|| "microwave".to_owned()),
        })
    }

    fn tested(&self, lot: &str, reading: &AssayReading, to: &mut Writing) -> Result<Told> {
        let tested = assay(to.book, lot, reading, &to.tables.streams, to.asked)?;
        let (lot, stream) = (&tested.lot, &tested.stream);
        let (pct, spread) = (
            one_decimal(tested.moisture_pct),
            one_decimal(tested.moisture_sd),
        );
        let told = Told::of(
            tested.record,
            lot,
            say!("assay-title", lot, stream, pct, spread),
        );
        Ok(match tested.method.as_str() {
            "squeeze" => told.with(say!("assay-squeeze")),
            "microwave" => told.caution(&say!("assay-microwave")),
            _ => told,
        })
    }

    fn looked(&self, lot: String, to: &mut Writing) -> Result<Told> {
        let night = night_of(to.asked.at, None, to.farm);
        let fit = self.act == "fit";
        let note = given(&self.note);
        let wanted = LookAsked { lot, fit, note };
        let (record, lot) = look(to.book, to.farm, to.tables, &wanted, night, to.asked)?;
        let (night, named) = (night.day, &lot);
        let title = if fit {
            say!("look-fit", lot = named, night)
        } else {
            say!("look-not-fit", lot = named, night)
        };
        Ok(Told::of(record, named, title))
    }

    fn weighed(&self, lot: &str, to: &mut Writing) -> Result<Told> {
        let units = to.farm.units;
        let mut fields = Fields::of(units.reader());
        let weight = fields.weight("weight", &self.weight);
        let weight = fields.needed("weight", &self.weight, weight, say!("dock-lot-weight-is"));
        let found = fields.done(weight)?;
        let (record, lot, lost) = reweigh(to.book, lot, &found, to.asked)?;
        let weight = units.told(found.grams());
        let told = Told::of(record, &lot, say!("reweigh-title", lot = &lot, weight));
        Ok(told.with(say!("reweigh-shrink", weight = units.told(lost))))
    }

    fn sent_away(&self, lot: &str, to: &mut Writing) -> Result<Told> {
        let units = to.farm.units;
        let mut fields = Fields::of(units.reader());
        let weight = fields.weight("weight", &self.weight);
        let outlet = fields.choice("to", &self.to, Outlet::parse, say!("dock-lot-where"));
        let outlet = fields.done(outlet)?;
        let spoiled = ticked(&self.spoiled).then(|| SPOILED.to_owned());
        let why: Vec<String> = spoiled.into_iter().chain(given(&self.note)).collect();
        let why = (!why.is_empty()).then(|| why.join(": "));
        let out = discard(
            to.book,
            lot,
            outlet,
            weight.as_ref(),
            why.as_deref(),
            units,
            to.asked,
        )?;
        let (lot, weight) = (&out.lot, units.told(out.grams));
        let to = OutflowKind::To(outlet).said();
        let told = Told::of(out.record, lot, say!("discard-title", lot, weight, to));
        let told = told.with(say!("discard-left", weight = units.told(out.left)));
        Ok(if outlet == Outlet::Liquor {
            told.caution(&say!("discard-liquor"))
        } else {
            told
        })
    }
}

/// What was done, before it is put into words.
struct Told {
    record: i64,
    lot: String,
    title: Said,
    lines: Vec<Said>,
    cautions: Vec<Said>,
}

impl Told {
    fn of(record: i64, lot: &str, title: Said) -> Self {
        Self {
            record,
            lot: lot.to_owned(),
            title,
            lines: Vec::new(),
            cautions: Vec::new(),
        }
    }

    fn with(mut self, line: Said) -> Self {
        self.lines.push(line);
        self
    }

    fn caution(mut self, caution: &Said) -> Self {
        self.cautions.push(say!("caution", caution));
        self
    }
}

impl Act for LotSent {
    type Done = Shown<LotDone>;

    fn act(self, mut to: Writing) -> Result<Self::Done> {
        let lot = self.lot()?;
        let told = match self.act.as_str() {
            "dried" => {
                let reading = self.dried(to.farm.units.reader())?;
                self.tested(&lot, &reading, &mut to)
            }
            "squeezed" => {
                let grade = self.squeeze.clone();
                self.tested(&lot, &AssayReading::Squeezed { grade }, &mut to)
            }
            "fit" | "not-fit" => self.looked(lot, &mut to),
            "reweigh" => self.weighed(&lot, &mut to),
            "away" => self.sent_away(&lot, &mut to),
            other => return Err(Rejection::new("act", other, say!("dock-lot-what-is")).into()),
        }?;
        let say = |said: &Said| to.frame.say(said);
        let shown = Kept {
            lines: told.lines.iter().map(say).collect(),
            cautions: told.cautions.iter().map(say).collect(),
            ..Kept::of(say(&told.title), told.record, to.already)
        };
        let done = LotDone {
            record: told.record,
            lot: told.lot,
            act: self.act,
        };
        Ok(Shown { done, shown })
    }
}

#[derive(Template)]
#[template(path = "lot.html", config = "src/askama.toml")]
pub(crate) struct LotPage {
    frame: Frame,
    entry: Entry<LotSent>,
    /// Lots on hand: as people call them, by the name of their stream.
    lots: Vec<(String, String)>,
    /// The lot it was opened for: how much of what, whose, and how long it keeps.
    now: Option<Card>,
    outlets: Vec<(&'static str, Said)>,
    unit: String,
}

impl Form for LotSent {
    type Page = LotPage;

    fn page(at: &At, frame: Frame, mut entry: Entry<Self>, wanted: Wanted) -> Result<LotPage> {
        if !wanted.lot.is_empty() {
            entry.values.lot = wanted.lot;
        }
        if !wanted.act.is_empty() {
            entry.values.act = wanted.act;
        }
        let lots = stock_now((at.book, at.farm, at.tables), at.now)?.lots;
        let chosen = lots.iter().find(|lot| lot.book.name == entry.values.lot);
        let now = chosen.map(|lot| card(at, &frame, lot));
        let named = (lots.into_iter()).map(|lot| {
            let name = frame.called(&lot.book.stream);
            (lot.book.name, name)
        });
        Ok(LotPage {
            now,
            lots: named.collect(),
            outlets: OUTLETS
                .map(|outlet| (outlet.as_str(), OutflowKind::To(outlet).said()))
                .to_vec(),
            unit: at.farm.units.unit().to_string(),
            frame,
            entry,
        })
    }
}

impl LotPage {
    fn while_drying(&self) -> Said {
        say!("caution", caution = say!("assay-microwave"))
    }

    /// The grades of the hand squeeze.
    fn grades(&self) -> impl Iterator<Item = &'static str> {
        SQUEEZE_GRADES.map(|grade| grade.word).into_iter()
    }
}
