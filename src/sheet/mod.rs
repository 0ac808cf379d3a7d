//! What people read: one document model, then pure renderers.
//!
//! Owns: the words, tables and JSON of every sheet. Must not know: the book,
//! the solver, a terminal's width beyond what it is told.
//!
//! Invariants: all renderers take the same document, so the same figure reads
//! the same everywhere; meaning is never in colour alone; nothing here computes
//! a figure, it only rounds for print.

mod ahead;
mod ahead_csv;
mod ahead_html;
mod ahead_json;
mod ahead_svg;
mod ahead_words;
mod document;
pub mod json;
mod lots;
mod mix;
mod month;
mod streams;
mod terminal;
mod ticket;
mod words;

pub use ahead::{AheadSheet, GrowthCard, ahead_document};
pub use ahead_csv::ahead_csv;
pub use ahead_html::ahead_html;
pub use document::{Align, Block, Document, Grid, Tone};
pub use lots::{StockView, stock_document};
pub use mix::{GroupCard, MixSheet, TrayDose, mix_document};
pub use month::{month_csv, month_document};
pub use streams::{StreamLine, streams_document};
pub use terminal::{Look, render};
pub use ticket::{TicketCard, ticket_document};
pub use words::{Units, csv_text, one_decimal, plural};
