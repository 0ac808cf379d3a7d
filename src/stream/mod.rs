//! Streams: what a bucket can hold, and what that means for larvae.
//!
//! Owns: composition with basis, spread and source; the stream table; whole
//! parts larvae leave; class for use; keeping time; the verdict on a lot
//! before any blend is tried.
//!
//! Must not know: the daybook, the blend, clocks.
//!
//! Invariants: absent is never zero; every row of the shipped table names a
//! source that exists; a share of dry matter is never read as a share as fed.

mod class;
mod composition;
mod id;
mod verdict;

pub use class::Class;
pub use composition::{Analyte, Estimate, Inedible, Stream};
pub use id::StreamId;
pub use verdict::Verdict;
