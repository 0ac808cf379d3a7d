//! What people do: one file for each act. The only place where the rooms
//! meet; every way in (terminal, page) calls these and nothing below.
//!
//! Owns: the order of steps of an act, its checks across rooms, and the errors
//! people see. Must not know: arguments, terminals, HTML, SQL, the clock; `now`,
//! ids and file contents are handed in.
//!
//! Invariant: an act changes the book in one transaction or not at all.

mod ahead;
mod ahead_arrivals;
mod ahead_gather;
mod assay;
mod bucket;
mod cohort;
mod cohort_feed;
mod correct;
mod demo;
mod discard;
mod doubts;
mod error;
mod farm;
mod fed;
mod harvest;
mod import;
mod learn;
mod learned;
mod leave;
mod ledger;
mod look;
mod lot;
mod meals;
mod mix;
mod mix_cautions;
mod mixes;
mod month;
mod month_basis;
mod night;
mod on_trays;
mod owner;
mod payment;
mod sent;
mod sheet_record;
mod statement;
mod stock;
mod strike;
mod tables;
mod today;
mod tonight;
mod trace;
mod trace_asked;
mod trace_gather;
mod trace_use;
mod trust;
mod weigh_in;
mod year;
mod yields;

pub use ahead::{AheadAsked, MOST_NIGHTS, Pace, ahead};
pub use assay::{AssayReading, SQUEEZE_GRADES, Tested, assay, reweigh};
pub use bucket::{Bucket, Dock, PickedText};
pub use cohort::{add_cohort, cohorts_on, end_cohort, find_cohort, micrograms};
pub use cohort_feed::{CohortFeed, Given, Known, StageFeed, cohort_feed};
pub use correct::{Corrected, CorrectionText, WordSaid, correct};
pub use demo::play_demo;
pub use discard::{Discarded, discard};
pub use doubts::{UNLIKELY, Unlikely};
pub use error::{ActError, Doubt, Rejection};
pub(crate) use error::{all_taken, must, shown};
pub use farm::{
    FarmAsked, FarmSaid, FarmSettings, add_container, begin, change_farm, settings, small_scale,
};
pub use fed::{Change, FedAsked, FedDone, record_fed};
pub use harvest::{HarvestAsked, Harvested, LarvaeCount, ended_with, record_harvest};
pub(crate) use import::read_instant;
pub use import::{ImportAsked, Imported, import};
pub use learn::{learn, take_over};
pub use leave::{LeaveKept, LeaveText, record_leave};
pub use ledger::{MoneyAsked, money_month};
pub use look::{LookAsked, look};
pub use lot::{find_lot, lot_name};
pub use mix::{MixAsked, mix_from_files, propose_mix};
pub use mixes::mixes;
pub use month::{close_month, month};
pub use month_basis::Month;
pub use night::{Night, night_of};
pub use payment::{Paid, PaymentAsked, record_payment};
pub use sent::{ClockOff, Sending, Sent, Welcomed, weigh_in_sent};
pub use sheet_record::record_sheet;
pub use statement::statement;
pub use stock::stock_now;
pub use strike::{Struck, UNDO_WITHIN, record_name, strike, undo};
pub use tables::{TableFile, TableFiles, Tables};
pub use today::{Today, today};
pub use tonight::{KeptLine, KeptSheet, Ticked, Tonight, ticked_off, tonight};
pub use trace::trace;
pub use trace_asked::{Days, TraceFrom, TraceText};
pub use trust::{TrustAsked, WaterAsked};
pub use weigh_in::weigh_in;
pub use year::{Period, Year, year};
pub use yields::{YieldAsked, yields};

use jiff::Timestamp;

use crate::daybook::{Entry, NewRecord};

/// Who asks for an act, when it happened, and under which id.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Asked {
    /// Unique id: the caller's own, or one made for this request.
    pub id: String,
    /// When it happened.
    pub at: Timestamp,
    /// Who did it.
    pub by: String,
    /// The present instant.
    pub now: Timestamp,
    /// Whether figures that are unlikely are meant.
    pub sure: bool,
}

impl Asked {
    /// What was asked for, as the book takes it.
    pub(crate) fn record(&self, entry: Entry) -> NewRecord {
        NewRecord {
            id: self.id.clone(),
            at: self.at,
            by: self.by.clone(),
            entry,
        }
    }
}

/// Ids made here, not by a caller, begin so; such a ticket goes by its number.
pub const MADE_HERE: &str = "auto-";
