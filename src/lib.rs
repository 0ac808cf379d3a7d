//! trayful: from the loading dock to the feeding tray of a small black
//! soldier fly larvae farm.
//!
//! The farm's day is the program: a bucket is weighed in ([`acts`]), kept in
//! the [`daybook`], becomes a lot in [`stock`]; at night lots and larvae make
//! a problem for the [`blend`], whose answer is printed as a [`sheet`]; what
//! was fed goes back into the book, and a month is a [`report`] over it.
//!
//! Rooms, each using only those before it: [`quantity`], [`table`], [`scale`],
//! [`stream`], [`larvae`], [`daybook`], [`stock`], [`blend`], [`outlook`],
//! [`harvest`], [`money`], [`learn`], [`trace`], [`report`], [`sheet`],
//! [`acts`], [`dock`], `share`, [`cli`]. `DEVELOPERS.md` has the map and the rules;
//! `tests/tidy.rs` holds them.

// Unit tests read published problems with the reader of `tests/`, which names the crate.
#[cfg(test)]
extern crate self as trayful;

pub mod acts;
pub mod blend;
pub mod cli;
pub mod daybook;
pub mod dock;
pub mod harvest;
pub mod larvae;
pub mod learn;
pub mod money;
pub mod outlook;
pub mod quantity;
pub mod report;
pub mod scale;
#[cfg(feature = "share")]
pub mod share;
pub mod sheet;
pub mod stock;
pub mod stream;
pub mod table;
pub mod trace;
pub mod words;
