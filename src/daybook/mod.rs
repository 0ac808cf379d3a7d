//! The daybook: what happened on the farm, in records that are never changed.
//!
//! Owns: the record types, the SQLite file that keeps them, its schema and
//! migrations, and every line of SQL. Tables are typed and readable with any
//! SQLite tool; `store/schema.sql` documents them.
//!
//! Must not know: the blend, sheets, people's words for things, the clock or
//! where ids come from (`now` and ids are arguments).
//!
//! Invariants:
//! - Records are numbered from 1 without gaps, tickets too, in the order of
//!   writing. Nothing is updated, deleted or replaced; triggers see to it.
//! - A record's digest covers the digest before it and its own content as the
//!   typed tables give it back, so a changed cell or a missing record shows.
//! - A transaction is kept whole or not at all, and what was written is read
//!   back before it is kept. A repeated id with the same content is harmless.
//! - Instants are whole UTC seconds; a fraction is dropped when a record comes in.
//! - No weight leaves a lot that is struck, was refused or had not come in
//!   yet, and a ticket whose lot weight has left can't be struck.
//! - Nothing struck enters a sum. A strike itself stands.
//! - Reading never changes the file. An older one is brought up at the first
//!   writing, after a verified copy of it as it was.
//!
//! Whether a lot holds enough, or a figure is plausible, is for the caller to
//! judge inside [`Daybook::write`], where no other program can write between.

mod error;
mod farm;
#[cfg(test)]
mod fixture;
#[cfg(test)]
mod happenings;
mod harvest;
mod intake;
mod lookup;
mod month;
mod night;
mod record;
mod stock;
mod store;
mod trace;

use std::path::{Path, PathBuf};
use std::sync::Arc;

use rusqlite::Connection;

pub use store::bring_up::BroughtUp;
pub use store::chain::{Seal, SealMark, SealedRecord};
pub use store::check::{CheckReport, Flaw};
pub(crate) use store::fresh::Unfinished;
pub(crate) use store::kin::{is_of_book, is_of_database, is_same_file};
pub(crate) use store::place::Place;

pub use error::{DaybookError, Result};
pub use farm::learned::{DensityTold, LotFate, MoistureTold};
pub use farm::record::{Chosen, Farm, FarmSaid, WaterUse};
pub use harvest::lives::CohortLife;
pub use harvest::record::{Adopted, Harvest, MoneyItem, OwnFigure, Payment, ResidueTo};
pub use harvest::told::{FedLine, LotFacts, PricedLoads};
pub use intake::record::{Correction, Look};
pub use intake::told::{AsOf, LateRecord, Listed, NumberTold, Span, TicketTold, Weighings};
pub use lookup::{Filed, Found, LoadAlike, TicketFiled, UsualLoad};
pub use month::InflowRow;
pub use month::record::MonthRow;
pub use record::*;
pub use stock::flows::OutflowKind;
pub use stock::lots::{AssayOfLot, LotRow, OnLot};
pub use store::rescue::{Carried, Lost, Rescued, rescue};
pub use store::unsealed::{unsealed_farm, unsealed_month};
pub use store::write::{Appended, Writing};
pub use trace::LeftLine;

/// The book as it can be read.
#[derive(Debug)]
pub struct Book {
    conn: Connection,
    path: PathBuf,
    place: Arc<Place>,
    read_only: bool,
    /// The file itself while it has an older schema; `conn` is then a copy of
    /// it brought up for reading, so that reading changes nothing.
    old: Option<Connection>,
}

/// An open daybook. Everything a [`Book`] tells, and writing besides.
#[derive(Debug)]
pub struct Daybook {
    book: Book,
    /// Is told when a first writing brings an old file up.
    tell: fn(&BroughtUp),
}

impl std::ops::Deref for Daybook {
    type Target = Book;

    fn deref(&self) -> &Book {
        &self.book
    }
}

impl Book {
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Where its file lay when it was opened.
    pub(crate) fn place(&self) -> &Arc<Place> {
        &self.place
    }

    /// Refuses where the path leads to the open file no longer.
    pub(crate) fn held(&self) -> Result<(), DaybookError> {
        self.place.held(&self.path)
    }

    pub fn is_read_only(&self) -> bool {
        self.read_only
    }

    /// The connection to the file, whatever its schema.
    fn file(&self) -> &Connection {
        self.old.as_ref().unwrap_or(&self.conn)
    }

    pub fn seal(&self) -> Result<Seal, DaybookError> {
        self.read(Seal::of)
    }

    /// Several reads of one moment, whatever other programs write meanwhile.
    pub fn at_one_moment<T, E: From<DaybookError>>(
        &self,
        f: impl FnOnce(&Self) -> Result<T, E>,
    ) -> Result<T, E> {
        if !self.conn.is_autocommit() {
            return f(self);
        }
        let moment = self
            .conn
            .unchecked_transaction()
            .map_err(|error| self.fault(error))?;
        let told = f(self);
        // Nothing was written, so ending the moment either way loses nothing.
        drop(moment);
        told
    }

    /// Runs SQL that reads, all of it at one moment.
    fn read<T>(
        &self,
        f: impl FnOnce(&Connection) -> rusqlite::Result<T>,
    ) -> Result<T, DaybookError> {
        self.at_one_moment(|book| f(&book.conn).map_err(|error| book.fault(error)))
    }

    fn fault(&self, error: rusqlite::Error) -> DaybookError {
        DaybookError::from_sqlite(&self.path, error)
    }
}
