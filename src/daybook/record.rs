use jiff::Timestamp;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use crate::daybook::{Adopted, Correction, Farm, Harvest, Look, MonthRow, Payment};
use crate::larvae::Feeding;
use crate::quantity::wire::Text;
use crate::quantity::{Grams, MassUnit, word_enum};
use crate::stream::{Class, Leave, OwnStream, StreamId, Verdict};

/// One thing written into the daybook, as it was asked for.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NewRecord {
    /// Unique id given by the caller or made there; a repeated id is a repeated request.
    pub id: String,
    pub at: Timestamp,
    pub by: String,
    pub entry: Entry,
}

/// A record as it stands in the book.
#[derive(Debug, Clone, PartialEq)]
pub struct Record {
    /// Position in the book, counted from 1 without gaps.
    pub seq: i64,
    pub recorded_at: Timestamp,
    pub content: NewRecord,
    /// SHA-256 over the digest before and this record's content, in hex.
    pub digest: String,
}

/// What a record says: each kind by its word in the book and in JSON, which
/// names its table too.
macro_rules! kinds {
    ($($(#[$doc:meta])* $kind:ident($of:ty) = $word:literal),+ $(,)?) => {
        /// What a record says.
        #[derive(Debug, Clone, PartialEq, Serialize)]
        #[serde(tag = "kind")]
        pub enum Entry {
            $($(#[$doc])* #[serde(rename = $word)] $kind($of)),+
        }

        impl Entry {
            /// The word of every kind.
            pub(super) const KINDS: &'static [&'static str] = &[$($word),+];

            /// The kind as the book and JSON name it, such as `ticket` or `cohort-end`.
            pub const fn kind(&self) -> &'static str {
                match self { $(Self::$kind(_) => $word),+ }
            }
        }

        $(impl TryFrom<Entry> for $of {
            type Error = Entry;

            fn try_from(entry: Entry) -> Result<Self, Entry> {
                match entry {
                    Entry::$kind(of) => Ok(of),
                    other => Err(other),
                }
            }
        })+
    };
}

kinds! {
    /// The farm's settings; the newest one holds.
    Farm(Farm) = "farm",
    /// A named tare; the newest of a name holds.
    Container(Container) = "container",
    Ticket(Ticket) = "ticket",
    Strike(Strike) = "strike",
    Assay(Assay) = "assay",
    Reweigh(Reweigh) = "reweigh",
    Cohort(Cohort) = "cohort",
    CohortEnd(CohortEnd) = "cohort-end",
    /// A sheet that was printed for a night; changes no stock.
    Sheet(Sheet) = "sheet",
    Fed(Fed) = "fed",
    /// What left the stock another way.
    Discard(Discard) = "discard",
    MonthClosed(MonthClosed) = "month-closed",
    Harvest(Harvest) = "harvest",
    Money(Payment) = "money",
    Adopted(Adopted) = "adopted",
    Correction(Correction) = "correction",
    Look(Look) = "look",
    Leave(Leave) = "leave",
    OwnStream(OwnStream) = "own-stream",
}

/// A named tare.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Container {
    pub name: String,
    pub tare_g: Grams,
    pub tare_text: String,
    /// What it holds brim-full, in litres.
    pub volume_l: Option<f64>,
}

/// A bucket weighed in. Net is `gross − tare` in whole grams, or the estimate from a volume.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Ticket {
    pub supplier: String,
    pub stream: StreamId,
    /// Gross weight; `None` when estimated by volume.
    pub gross_g: Option<Grams>,
    pub gross_text: Option<String>,
    pub tare_g: Option<Grams>,
    pub tare_text: Option<String>,
    pub container: Option<String>,
    pub unit: MassUnit,
    /// The scale's division when it was read, such as `0.1 lb`.
    pub division: String,
    /// Net weight, picked-out parts included.
    pub net_g: Grams,
    pub volume_l: Option<f64>,
    pub estimated: bool,
    /// Whether it was bought, and so is no waste kept from disposal.
    pub bought: bool,
    /// Price per kilogram, where it differs from the stream's.
    pub price_per_kg: Option<f64>,
    pub moisture_pct: Option<f64>,
    #[serde(skip_deserializing)]
    pub picked_out: Vec<PickedOut>,
    /// Classes it touched besides its own.
    pub touched: Vec<Class>,
    pub verdict: Verdict,
    pub reason: String,
    pub confirmed: bool,
    pub note: Option<String>,
    /// The scale that sent the gross weight itself; `None`: it was typed in.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub scale: Option<String>,
}

/// A part picked out by hand.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct PickedOut {
    pub kind: String,
    pub grams: Grams,
    pub text: String,
}

/// Voids another record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Strike {
    pub target_seq: i64,
    pub why: String,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Assay {
    pub lot_seq: i64,
    /// How: `oven`, `microwave` or `squeeze`.
    pub method: String,
    pub wet_g: Option<f64>,
    pub dry_g: Option<f64>,
    pub moisture_pct: f64,
    pub moisture_sd: f64,
}

/// A lot put on the scale again.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Reweigh {
    pub lot_seq: i64,
    pub found_g: Grams,
    /// What the book said: found and lost make it up.
    #[serde(skip_deserializing)]
    pub book_g: Grams,
    pub text: String,
}

/// Larvae of one hatch.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Cohort {
    pub name: String,
    #[serde(with = "Text")]
    pub hatched: Date,
    pub larvae: i64,
    pub counted: String,
    pub trays: i64,
    /// Area of one tray in square metres.
    pub tray_area_m2: f64,
    /// Deepest feed layer, in centimetres; `None` takes the stage's.
    pub depth_cm: Option<f64>,
    /// How many larvae of a sample were counted at the start.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub start_count: Option<i64>,
    /// What that sample weighed, fresh, in micrograms; there when the count is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub start_ug: Option<i64>,
    /// On which nights it is fed; `None`: as its stage is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub feeding: Option<Feeding>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct CohortEnd {
    pub name: String,
    /// Why: harvested, lost ...
    pub why: String,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Sheet {
    #[serde(with = "Text")]
    pub night: Date,
    pub verdict: String,
    #[serde(skip_deserializing)]
    pub draws: Vec<Draw>,
    #[serde(skip_deserializing)]
    pub additions: Vec<Addition>,
}

/// Weight taken from a lot for a feed group.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Draw {
    #[serde(alias = "group_name")]
    pub group: String,
    pub lot_seq: i64,
    pub grams: Grams,
}

/// Weight added to a feed group that was not in stock.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Addition {
    #[serde(alias = "group_name")]
    pub group: String,
    pub stream: Option<StreamId>,
    pub grams: Grams,
}

impl Addition {
    /// As the book's tables name it.
    pub(super) const fn kind(&self) -> &'static str {
        match self.stream {
            Some(_) => "bought",
            None => "water",
        }
    }
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Fed {
    #[serde(with = "Text")]
    pub night: Date,
    /// Position of the sheet it follows, if any.
    pub sheet_seq: Option<i64>,
    #[serde(skip_deserializing)]
    pub draws: Vec<Draw>,
    #[serde(skip_deserializing)]
    pub additions: Vec<Addition>,
    /// What was left in a lot below half a scale division, booked as shrink.
    #[serde(skip_deserializing)]
    pub remainders: Vec<Remainder>,
}

impl Fed {
    /// All that went to the larvae, water too.
    pub fn grams(&self) -> Grams {
        let draws = self.draws.iter().map(|draw| draw.grams);
        let additions = self.additions.iter().map(|addition| addition.grams);
        draws.chain(additions).sum()
    }
}

/// A rest too small for the scale.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Remainder {
    pub lot_seq: i64,
    /// Its weight; may be below zero.
    pub grams: Grams,
}

/// Weight that left the stock without being fed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Discard {
    pub lot_seq: i64,
    pub to: Outlet,
    pub grams: Grams,
    pub why: Option<String>,
}

/// The reason of a discard that says the lot was found spoiled; more words may follow a colon.
pub const SPOILED: &str = "spoiled";

word_enum!(
    /// Where weight goes that is not fed.
    Outlet {
        Composted = "composted",
        Returned = "returned",
        Landfilled = "landfilled",
        /// Drained off as liquor.
        Liquor = "liquor",
        /// Parts picked out by hand after intake.
        #[serde(alias = "picked_out")]
        PickedOut = "picked-out",
        /// To animals other than the larvae.
        Animals = "animals",
        /// To a maker of fats, fibres or other goods.
        Processing = "processing",
        /// To a digester.
        Digestion = "digestion",
        Combustion = "combustion",
        Land = "land",
        /// Dumped, littered or burned in the open.
        Discards = "discards",
        Sewer = "sewer",
    }
);

/// A month's figures, frozen.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct MonthClosed {
    pub month: String,
    pub version: i64,
    /// IANA time zone whose midnights bound it.
    pub zone: String,
    #[serde(with = "Text", alias = "from_utc")]
    pub from: Timestamp,
    #[serde(with = "Text", alias = "to_utc")]
    pub to: Timestamp,
    /// Bought and fed the same night.
    pub night_bought_g: Grams,
    pub night_water_g: Grams,
    /// Why there is another version; the first needs no reason.
    pub why: Option<String>,
    /// Its figures by supplier, stream and whether bought.
    #[serde(skip_deserializing)]
    pub rows: Vec<MonthRow>,
}
