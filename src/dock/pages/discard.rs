use super::*;
use crate::acts::{Tables, discard, find_lot, lot_name, stock_now};
use crate::daybook::{Book, Entry as Written, Outlet};
use crate::quantity::{Reader, Reading};
use crate::stock::StockLot;
use crate::words::say;

/// Parts picked out of a lot as a form or JSON brings them.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(default)]
#[schemars(extend("required" = ["id", "lot", "weight"]))]
pub(crate) struct DiscardSent {
    #[serde(flatten)]
    pub(super) way: Way,
    lot: String,
    weight: String,
    /// What they are, such as bone, shell or pit; blank for the parts the stream table expects
    /// of the lot.
    kind: String,
}

impl DiscardSent {
    /// The lot and the weight of the parts, or every field that is not understood.
    fn asked(&self, reader: Reader) -> Result<(String, Reading)> {
        let mut fields = Fields::of(reader);
        let lot = fields.needed("lot", &self.lot, given(&self.lot), say!("accepted-lot"));
        let weight = fields.weight("weight", &self.weight);
        let weight_is = say!("accepted-parts-weight");
        let weight = fields.needed("weight", &self.weight, weight, weight_is);
        fields.done(lot.zip(weight))
    }
}

/// What was picked out: as typed, or what the stream table expects of the lot.
fn kind(book: &Book, tables: &Tables, lot: &str, typed: &str) -> Result<String> {
    let (found, _) = find_lot(book, lot)?;
    let expected = || {
        let stream = tables.streams.get(&found.ticket()?.stream)?;
        Some(stream.inedible.as_ref()?.kind.clone())
    };
    let nothing = || Rejection::new("kind", "", say!("accepted-kind"));
    let kind = given(typed).map(|kind| kind.to_lowercase());
    Ok(kind.or_else(expected).ok_or_else(nothing)?)
}

#[derive(Serialize, JsonSchema)]
pub(crate) struct PartsOut {
    record: i64,
    lot: String,
    kind: String,
    picked_out_g: Grams,
    /// What the lot holds now.
    on_hand_g: Grams,
    already_there: bool,
}

fn told(frame: &Frame, done: &PartsOut, units: Units) -> Kept {
    let (lot, weight) = (frame.t("dock-discard-lot"), units.told(done.picked_out_g));
    let title = format!("{lot} {}: {}, {weight}", done.lot, done.kind);
    Kept {
        lines: vec![frame.with("dock-discard-left", units.told(done.on_hand_g))],
        ..Kept::of(title, done.record, done.already_there)
    }
}

impl Act for DiscardSent {
    type Done = Shown<PartsOut>;

    fn act(self, to: Writing) -> Result<Self::Done> {
        let units = to.farm.units;
        let (lot, weight) = self.asked(units.reader())?;
        let kind = kind(to.book, to.tables, &lot, &self.kind)?;
        let (way, why) = (Outlet::PickedOut, Some(kind.as_str()));
        let out = discard(to.book, &lot, way, Some(&weight), why, units, to.asked)?;
        let done = PartsOut {
            record: out.record,
            lot: out.lot,
            kind,
            picked_out_g: out.grams,
            on_hand_g: out.left,
            already_there: out.already_there,
        };
        let shown = told(to.frame, &done, units);
        Ok(Shown { done, shown })
    }
}

/// A lot, and the parts the stream table expects: about how much, or how much is out.
type Tile = (String, StockLot, Option<(String, Option<String>)>);

#[derive(Template)]
#[template(path = "discard.html", config = "src/askama.toml")]
pub(crate) struct DiscardPage {
    frame: Frame,
    entry: Entry<DiscardSent>,
    lots: Vec<Tile>,
    recent: Vec<Recent>,
    units: Units,
}

impl Form for DiscardSent {
    type Page = DiscardPage;

    /// Parts to be picked out of a lot: the one named in the address, or a choice.
    fn page(at: &At, frame: Frame, mut entry: Entry<Self>, wanted: Wanted) -> Result<DiscardPage> {
        if !wanted.lot.is_empty() {
            entry.values.lot = wanted.lot;
        }
        Ok(DiscardPage {
            lots: lots(at, &frame, &entry.values.lot)?,
            recent: recent(at)?,
            units: at.farm.units,
            frame,
            entry,
        })
    }
}

fn lots(at: &At, frame: &Frame, named: &str) -> Result<Vec<Tile>> {
    let lots = stock_now((at.book, at.farm, at.tables), at.now)?.lots;
    // More may be found in a lot that was sorted in part.
    let lots = lots.into_iter().filter(|lot| {
        let open = lot.asks_for_sorting() || lot.book.picked_out > Grams::ZERO;
        open || lot.book.name == named
    });
    let with_parts = lots.map(|lot| {
        let stream = at.tables.streams.get(&lot.book.stream);
        let parts = stream.and_then(|stream| {
            let parts = stream.inedible.as_ref()?;
            let weight = |grams| at.farm.units.weight(grams);
            // A lot that was sorted once counts as sorted: all that is left may be fed.
            let about = match lot.book.picked_out {
                Grams::ZERO => (parts.share).map(|_| {
                    let about = weight(stream.parts_in(lot.book.net));
                    frame.with("dock-discard-expect", about)
                }),
                out => Some(frame.with("dock-discard-out", weight(out))),
            };
            Some((parts.kind.clone(), about))
        });
        (frame.called(&lot.book.stream), lot, parts)
    });
    Ok(with_parts.collect())
}

fn recent(at: &At) -> Result<Vec<Recent>> {
    newest(at, |found| {
        let Written::Discard(parts) = &found.record.content.entry else {
            return Ok(None);
        };
        let Some(lot) = at.book.record(parts.lot_seq)? else {
            return Ok(None);
        };
        let name = lot_name(&lot.record.content.id, lot.number.unwrap_or_default());
        let weight = at.farm.units.told(parts.grams);
        let told = vec![weight, parts.why.clone().unwrap_or_default()];
        Ok((parts.to == Outlet::PickedOut).then_some((name, told)))
    })
}
