//! The month: what came, what became of it, what balances.
//!
//! Owns: plain structs built from the book's sums, in exact grams; the named
//! rules for "diverted", what a scale's resolution can explain, avoided methane.
//!
//! Must not know: SQL, clocks, how a report looks.
//!
//! Invariants: the balance closes to the gram, with shrink as a line of its
//! own; a total equals the sum of its rows; methane is a range or nothing.

mod changes;
mod diverted;
pub mod methane;
mod month;
mod owner;
mod resolution;
mod statement;

pub use crate::quantity::Flow;
pub use changes::{Change, Closing, changes};
pub use diverted::{Destination, DivertedRule};
pub use month::{
    Figures, FlowRow, MonthReport, NightFlow, OfYear, StreamMonth, SupplierMonth,
    covered_and_apart, joined, month_report, together,
};
pub use owner::{Owner, RefusedLoad, Spoiled, TrendMonth, weekday_index};
pub use resolution::{Weighed, resolution_kg};
pub use statement::{
    Material, NumberIs, Numbers, Statement, StatementTicket, Struck, Week, accounted, material,
};
