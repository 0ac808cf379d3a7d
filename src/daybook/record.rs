use jiff::Timestamp;
use jiff::civil::Date;
use serde::Serialize;

use super::{Adopted, Correction, Farm, Harvest, Look, MonthRow, Payment};
use crate::larvae::Feeding;
use crate::quantity::{Grams, MassUnit};
use crate::stream::{Class, Leave, StreamId, Verdict};

/// One thing written into the daybook, as it was asked for.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NewRecord {
    /// Unique id given by the caller or made there; a repeated id is a repeated request.
    pub id: String,
    /// When it happened.
    pub at: Timestamp,
    /// Who did it: initials or a name.
    pub by: String,
    /// What happened.
    pub entry: Entry,
}

/// A record as it stands in the book.
#[derive(Debug, Clone, PartialEq)]
pub struct Record {
    /// Position in the book, counted from 1 without gaps.
    pub seq: i64,
    /// When it was written.
    pub recorded_at: Timestamp,
    /// What was asked for.
    pub content: NewRecord,
    /// SHA-256 over the digest before and this record's content, in hex.
    pub digest: String,
}

/// What a record says.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum Entry {
    /// The farm's settings; the newest one holds.
    Farm(Farm),
    /// A named tare; the newest of a name holds.
    Container(Container),
    /// A bucket weighed in.
    Ticket(Ticket),
    /// Voids another record.
    Strike(Strike),
    /// A moisture test of a lot.
    Assay(Assay),
    /// A lot found to weigh more or less than the book says.
    Reweigh(Reweigh),
    /// Larvae of one hatch.
    Cohort(Cohort),
    CohortEnd(CohortEnd),
    /// A sheet that was printed for a night; changes no stock.
    Sheet(Sheet),
    Fed(Fed),
    /// What left the stock another way.
    Discard(Discard),
    /// A month's figures as they were handed out.
    MonthClosed(MonthClosed),
    /// Larvae and residue taken from a cohort.
    Harvest(Harvest),
    /// Money earned or spent.
    Money(Payment),
    /// A figure of the tables replaced by the farm's own.
    Adopted(Adopted),
    /// What a ticket should have said.
    Correction(Correction),
    /// A lot looked at before it is fed.
    Look(Look),
    /// Leave to feed a stream that is "ask first".
    Leave(Leave),
}

impl Entry {
    /// The kind as the book and JSON name it, such as `ticket` or `cohort-end`.
    #[must_use]
    pub const fn kind(&self) -> &'static str {
        match self {
            Self::Farm(_) => "farm",
            Self::Container(_) => "container",
            Self::Ticket(_) => "ticket",
            Self::Strike(_) => "strike",
            Self::Assay(_) => "assay",
            Self::Reweigh(_) => "reweigh",
            Self::Cohort(_) => "cohort",
            Self::CohortEnd(_) => "cohort-end",
            Self::Sheet(_) => "sheet",
            Self::Fed(_) => "fed",
            Self::Discard(_) => "discard",
            Self::MonthClosed(_) => "month-closed",
            Self::Harvest(_) => "harvest",
            Self::Money(_) => "money",
            Self::Adopted(_) => "adopted",
            Self::Correction(_) => "correction",
            Self::Look(_) => "look",
            Self::Leave(_) => "leave",
        }
    }
}

/// A named tare.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Container {
    /// Its name, such as `pail`.
    pub name: String,
    /// Its weight.
    pub tare_g: Grams,
    /// The weight as entered.
    pub tare_text: String,
    /// What it holds brim-full, in litres.
    pub volume_l: Option<f64>,
}

/// A bucket weighed in. Net is `gross − tare` in whole grams, or the estimate from a volume.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Ticket {
    /// Who brought it.
    pub supplier: String,
    pub stream: StreamId,
    /// Gross weight; `None` when estimated by volume.
    pub gross_g: Option<Grams>,
    /// Gross as entered.
    pub gross_text: Option<String>,
    /// Tare weight; `None` when estimated by volume.
    pub tare_g: Option<Grams>,
    /// Tare as entered.
    pub tare_text: Option<String>,
    pub container: Option<String>,
    /// The unit of the reading.
    pub unit: MassUnit,
    /// The scale's division when it was read, such as `0.1 lb`.
    pub division: String,
    /// Net weight, picked-out parts included.
    pub net_g: Grams,
    /// Volume in litres, where it was given.
    pub volume_l: Option<f64>,
    /// Whether the weight is an estimate from the volume.
    pub estimated: bool,
    /// Whether it was bought, and so is no waste kept from disposal.
    pub bought: bool,
    /// Price per kilogram, where it differs from the stream's.
    pub price_per_kg: Option<f64>,
    /// Moisture tested at the dock, per cent wet basis.
    pub moisture_pct: Option<f64>,
    /// What was picked out by hand at the dock.
    pub picked_out: Vec<PickedOut>,
    /// Classes it touched besides its own.
    pub touched: Vec<Class>,
    /// What staff were told to do.
    pub verdict: Verdict,
    /// Why.
    pub reason: String,
    /// Whether someone confirmed an unlikely figure.
    pub confirmed: bool,
    /// Free text.
    pub note: Option<String>,
}

/// A part picked out by hand.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct PickedOut {
    /// What it is, such as `bone`.
    pub kind: String,
    /// Its weight.
    pub grams: Grams,
    /// The weight as entered.
    pub text: String,
}

/// Voids another record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Strike {
    /// Position of the voided record in the book.
    pub target_seq: i64,
    pub why: String,
}

/// A moisture test.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Assay {
    /// Position of the lot's ticket in the book.
    pub lot_seq: i64,
    /// How: `oven`, `microwave` or `squeeze`.
    pub method: String,
    /// Sample before drying.
    pub wet_g: Option<f64>,
    /// Sample after drying.
    pub dry_g: Option<f64>,
    /// Moisture found, per cent wet basis.
    pub moisture_pct: f64,
    /// One standard deviation, percentage points.
    pub moisture_sd: f64,
}

/// A lot put on the scale again.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Reweigh {
    /// Position of the lot's ticket in the book.
    pub lot_seq: i64,
    /// What the scale says now.
    pub found_g: Grams,
    /// What the book said: found and lost make it up.
    pub book_g: Grams,
    /// The reading as entered.
    pub text: String,
}

/// Larvae of one hatch.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Cohort {
    pub name: String,
    /// Hatch day.
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

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct CohortEnd {
    pub name: String,
    /// Why: harvested, lost ...
    pub why: String,
}

/// A sheet printed for a night.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Sheet {
    pub night: Date,
    pub verdict: String,
    /// What it asks to take from each lot.
    pub draws: Vec<Draw>,
    /// What it asks to buy or add.
    pub additions: Vec<Addition>,
}

/// Weight taken from a lot for a feed group.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Draw {
    pub group: String,
    /// Position of the lot's ticket in the book.
    pub lot_seq: i64,
    /// Weight taken.
    pub grams: Grams,
}

/// Weight added to a feed group that was not in stock.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Addition {
    pub group: String,
    /// The stream bought, or `None` for water.
    pub stream: Option<StreamId>,
    /// Weight added.
    pub grams: Grams,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Fed {
    pub night: Date,
    /// Position of the sheet it follows, if any.
    pub sheet_seq: Option<i64>,
    /// What was taken from each lot.
    pub draws: Vec<Draw>,
    /// What was bought or added that night.
    pub additions: Vec<Addition>,
    /// What was left in a lot below half a scale division, booked as shrink.
    pub remainders: Vec<Remainder>,
}

/// A rest too small for the scale.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Remainder {
    /// Position of the lot's ticket in the book.
    pub lot_seq: i64,
    /// Its weight; may be below zero.
    pub grams: Grams,
}

/// Weight that left the stock without being fed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Discard {
    /// Position of the lot's ticket in the book.
    pub lot_seq: i64,
    /// Where it went.
    pub to: Outlet,
    /// Weight.
    pub grams: Grams,
    pub why: Option<String>,
}

/// The reason of a discard that says the lot was found spoiled; more words may follow a colon.
pub const SPOILED: &str = "spoiled";

/// Where weight goes that is not fed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Outlet {
    Composted,
    /// Back to the supplier.
    Returned,
    Landfilled,
    /// Drained off as liquor.
    Liquor,
    /// Parts picked out by hand after intake.
    PickedOut,
    /// To animals other than the larvae.
    Animals,
    /// To a maker of fats, fibres or other goods.
    Processing,
    /// To a digester.
    Digestion,
    /// Burned under control.
    Combustion,
    Land,
    /// Dumped, littered or burned in the open.
    Discards,
    /// Down the drain.
    Sewer,
}

impl Outlet {
    /// The outlets schema 2 added, in the order of their columns and sums.
    pub const FURTHER: [Self; 7] = [
        Self::Animals,
        Self::Processing,
        Self::Digestion,
        Self::Combustion,
        Self::Land,
        Self::Discards,
        Self::Sewer,
    ];
}

/// A month's figures, frozen.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct MonthClosed {
    /// Such as `2026-10`.
    pub month: String,
    /// Counted from 1 without gaps.
    pub version: i64,
    /// IANA time zone whose midnights bound it.
    pub zone: String,
    /// Its first instant.
    pub from: Timestamp,
    /// The first instant after it.
    pub to: Timestamp,
    /// Bought and fed the same night.
    pub night_bought_g: Grams,
    pub night_water_g: Grams,
    /// Why there is another version; the first needs no reason.
    pub why: Option<String>,
    /// Its figures by supplier, stream and whether bought.
    pub rows: Vec<MonthRow>,
}
