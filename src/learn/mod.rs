//! Learning: what the farm's own records say against the book.
//!
//! Owns: learned means against the book's, keeping times, published studies
//! beside the farm's figures, which mixes went with which results.
//!
//! Must not know: SQL, clocks, how a sheet looks, where records come from.
//!
//! Invariant: nothing here changes anything; a change is a [`Proposal`], taken
//! only by the owner's word.
//!
//! `stock_now` puts a learned moisture before the book's and after the lot's
//! own test; untested lots of a learned stream still err together in the
//! sureness, an upper bound. `Tables::of_farm` puts the figures the owner took
//! over into the tables, wherever a book is at hand. `tests/learn.rs` plays the
//! demo farm for a year and holds what is learned to the truth in
//! `examples/demo-farm.toml`.

mod backtest;
mod cholesky;
mod keeping;
mod mean;
mod proposal;
mod published;
mod ridge;

pub use backtest::{Backtest, Case, INTERVAL, backtest};
pub use keeping::{Age, FEWEST_SPOILED, Keeping, Kept, SPOILED_SHARE, Step, keeping};
pub use mean::{Book, DENSITY_SPREAD_SHARE, ENOUGH_TESTS, Learned, Property, Tally};
pub use proposal::{Proposal, Subject, keeping_proposal, ration_proposal};
pub use published::{Beside, Own, Place, Published, PublishedTable, Study, beside};
pub use ridge::{FEWEST_COHORTS, Fate, Ridge, RidgeUntold, Row, ridge, ridge_at};
