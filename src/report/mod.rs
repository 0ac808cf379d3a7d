//! The month: what came, what became of it, what balances.
//!
//! Owns: plain structs built from the book's sums, in exact grams.
//!
//! Must not know: SQL, clocks, how a report looks.
//!
//! Invariants: the balance closes to the gram, with shrink as a line of its
//! own; a total equals the sum of its rows.

mod month;

pub use month::{
    Balance, DIVERTED_RULE, Destinations, Flow, MonthReport, NightFlow, StreamMonth, SupplierMonth,
    month_report,
};
