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
mod ahead_json;
mod ahead_page;
mod ahead_words;
mod chart;
mod cohorts;
mod cure_words;
mod data;
mod document;
pub mod json;
mod learn;
mod learn_json;
mod lots;
mod methane;
mod mix;
mod mix_group;
mod mix_json;
mod mix_sheet;
mod mixes;
mod money;
mod money_data;
mod money_json;
mod month;
mod month_data;
mod month_json;
mod month_sheet;
mod owner;
mod page;
mod stages;
mod standard;
mod statement;
mod streams;
mod sure;
mod terminal;
mod ticket;
mod tips;
mod trace;
mod trace_data;
mod trace_json;
mod trace_known;
mod trace_page;
mod why;
mod words;
mod year;
mod yields;
mod yields_json;

pub use ahead::{AheadSheet, GrowthCard};
pub use ahead_csv::ahead_table;
pub use ahead_page::{ahead_document, ahead_page};
pub use chart::{Chart, Form, svg};
pub use cohorts::{CohortNow, cohorts_document};
pub(crate) use data::data;
pub use data::{Cell, DataTable, data_csv, data_xlsx};
pub(crate) use document::grid;
pub use document::{Align, Block, Document, Grid, Tone};
pub use learn::{
    AdoptedLine, BeliefLine, KeepingLine, LearnSheet, Offered, RationLine, RationTotal,
    learn_document, learn_table,
};
pub use lots::{StockView, stock_document};
pub use mix::mix_document;
pub use mix_sheet::{GroupCard, MixSheet, TrayDose};
pub use mixes::{MIX_MEASURES, MixesSheet, TriedMix, mixes_document, mixes_table};
pub use money::{
    CohortCost, Drying, MoneySheet, PaymentLine, Unpriced, money_document, sale_caution,
};
pub use money_data::{money_tables, payments_table};
pub use month::month_document;
pub use month_data::{month_table, month_tables, statement_table, statement_tables};
pub use month_sheet::MonthSheet;
pub use page::html;
pub use stages::{stages_document, stages_json};
pub use statement::{StatementSheet, statement_document};
pub use streams::{StreamLine, streams_document};
pub use terminal::{Look, render};
pub use ticket::{TicketCard, ticket_document};
pub use trace::{recall_document, trace_document};
pub use trace_data::{trace_table, trace_tables};
pub use trace_page::TraceSheet;
pub use words::{Units, csv_text, one_decimal, range};
pub use yields::{
    CohortYield, FeedPart, HarvestPart, YieldSheet, harvest_cautions, yields_document, yields_table,
};
