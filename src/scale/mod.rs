//! A scale on a wire: what its lines say, and when a weight may be taken.
//!
//! Owns: the grammar of lines (`line.rs` over `data/scale-lines.csv`), when a
//! weight stands still, is stale or was taken before (`watch.rs`), and the
//! serial port itself (`port.rs`, the one file here that opens anything).
//! Must not know: buckets, records, pages.
//!
//! Invariants: a weight that moves, is below zero, beyond the scale, stale or
//! cut in half is never offered; what was not understood is shown as it came.

mod line;
mod port;
mod watch;

pub use line::{Heard, LineGrammar, Means};
pub use port::{Followed, NotAPort, Port, follow};
pub use watch::{Offer, Seen, Watch};
