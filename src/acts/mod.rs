//! What people do: one file for each act. The only place where the rooms
//! meet; every way in (terminal, page) calls these and nothing below.
//!
//! Owns: the order of steps of an act, its checks across rooms, and the errors
//! people see. Must not know: arguments, terminals, HTML, SQL, the clock; `now`,
//! ids and file contents are handed in.
//!
//! Invariant: an act changes the book in one transaction or not at all.

mod ahead;
mod demo;
mod doubts;
mod error;
mod farm;
mod harvest;
mod intake;
mod money;
mod month;
mod night;
mod stock;
mod strike;
mod trace;

pub use crate::daybook::FarmSaid;
pub use ahead::{AheadAsked, MOST_NIGHTS, Pace, ahead};
pub use demo::play_demo;
pub use doubts::{UNLIKELY, Unlikely, kept_before};
pub use error::{ActError, Doubt, Rejection, Result};
pub(crate) use error::{all_taken, must, shown};
pub use farm::chosen::ChosenText;
pub use farm::cohort::{add_cohort, cohorts_on, end_cohort, find_cohort, micrograms, tray_area};
pub use farm::custom::custom_of;
pub use farm::own_stream::{OWN_VERDICTS, OwnStreamText, add_own_stream};
pub use farm::tables::{TableFile, TableFiles, Tables};
pub use farm::{
    FarmAsked, FarmSettings, add_container, begin, begin_by_custom, change_farm, nobody_set_it,
    settings,
};
pub use harvest::cohort_feed::{CohortFeed, Given, Known, StageFeed, cohort_feed};
pub use harvest::learn::{learn, take_over};
pub use harvest::mixes::mixes;
pub use harvest::yields::{YieldAsked, yields};
pub use harvest::{HarvestAsked, Harvested, ended_with, record_harvest};
pub use intake::bucket::{Bucket, Dock, PickedText};
pub use intake::correct::{Corrected, CorrectionText, WordSaid, correct};
pub(crate) use intake::import::read_instant;
pub use intake::import::{ImportAsked, Imported, import};
pub use intake::sent::{ClockOff, Sending, Sent, Welcomed, weigh_in_sent};
pub use intake::weigh_in::weigh_in;
pub use intake::workbook::{BookTaken, OwnColumns, import_book};
pub use money::ledger::{MoneyAsked, money_month};
pub use money::payment::{Paid, PaymentAsked, record_payment};
pub use month::basis::Month;
pub(crate) use month::basis::midnight;
pub use month::sites::{SiteMonth, site_bounds, sites_month};
pub use month::statement::statement;
pub use month::year::{Period, Year, year};
pub use month::{close_month, month};
pub use night::fed::{Change, FedAsked, FedDone, record_fed};
pub use night::mix::{MixAsked, mix_from_files, propose_mix};
pub use night::sheet::record_sheet;
pub use night::today::{Today, brought_today, today};
pub use night::tonight::{
    KeptLine, KeptSheet, Otherwise, Ticked, Tonight, fed_of_sheet, sheet_lines, ticked_off, tonight,
};
pub use night::trust::{TrustAsked, WaterAsked};
pub use night::{Night, night_of};
pub use stock::assay::{AssayReading, SQUEEZE_GRADES, Tested, assay, reweigh};
pub use stock::discard::{Discarded, discard};
pub use stock::leave::{LeaveKept, LeaveText, record_leave};
pub use stock::look::{LookAsked, look};
pub use stock::lot::{find_lot, lot_name};
pub use stock::stock_now;
pub use strike::{Struck, UNDO_WITHIN, named_record, strike, undo, what_record};
pub use trace::asked::{Days, TraceFrom, TraceText};
pub use trace::trace;

use jiff::Timestamp;

use crate::daybook::{Book, Entry, NewRecord};

/// What an act reads by: the book, its farm's settings, the tables in use.
pub type Desk<'a> = (&'a Book, &'a FarmSettings, &'a Tables);

/// Who asks for an act, when it happened, and under which id.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Asked {
    /// Unique id: the caller's own, or one made for this request.
    pub id: String,
    pub at: Timestamp,
    pub by: String,
    pub now: Timestamp,
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
