//! What people read: one document model, then pure renderers.
//!
//! Owns: the words, tables and JSON of every sheet. Must not know: the book,
//! the solver, a terminal's width beyond what it is told.
//!
//! Invariants: all renderers take the same document, so the same figure reads
//! the same everywhere; meaning is never in colour alone; nothing here computes
//! a figure, it only rounds for print.

mod ahead;
mod chart;
mod data;
mod document;
mod farm;
mod harvest;
mod intake;
mod money;
mod month;
mod night;
mod page;
mod stock;
mod terminal;
mod trace;
mod words;

pub use ahead::*;
pub use chart::{Chart, Form, drawings};
pub(crate) use data::data;
pub use data::{Cell, DataTable, data_csv, data_xlsx};
pub(crate) use document::grid;
pub use document::{Align, Block, Document, Grid, Tone};
pub use farm::*;
pub use harvest::*;
pub use intake::*;
pub use money::*;
pub use month::*;
pub use night::*;
pub use page::html;
pub use stock::*;
pub use terminal::{Look, render};
pub use trace::*;
pub use words::{csv_text, day_words, one_decimal, range};

/// JSON for other programs. Keys carry unit and basis; the forms are those of
/// `data/README.md` and change only with a new version there.
pub mod json {
    pub use super::ahead::Ahead;
    pub use super::farm::{Cohort, StreamTold as Stream};
    pub use super::harvest::learn::Learn;
    pub use super::harvest::mixes::Mixes;
    pub use super::harvest::yields::Yields;
    pub use super::intake::Ticket;
    pub use super::money::data::Money;
    pub use super::month::data::{Month, Statement};
    pub use super::month::sites::Sites;
    pub use super::night::json::{Mix, MixAsked};
    pub use super::stock::{LotLine, write_stock};
    pub use super::trace::data::Trace;
    pub use crate::quantity::wire::each;
}
