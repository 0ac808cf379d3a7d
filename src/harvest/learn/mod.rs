//! What the farm's own records say against the book. Nothing here changes
//! anything: a change is a [`Proposal`], taken only by the owner's word.

mod backtest;
mod keeping;
mod mean;
mod proposal;
mod published;

pub use backtest::{Backtest, Case, INTERVAL, backtest};
pub use keeping::{
    Age, FEWEST_SPOILED, Keeping, KeepingUntold, Kept, SPOILED_SHARE, Step, keeping,
};
pub use mean::{Book, DENSITY_SPREAD_SHARE, ENOUGH_TESTS, Learned, Property, Tally};
pub use proposal::{Proposal, Subject, keeping_proposal, mean_proposal, ration_proposal};
pub use published::{Beside, Own, Place, Published, PublishedTable, Study, beside};
