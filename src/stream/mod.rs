//! Streams: what a bucket can hold, and what that means for larvae.
//!
//! Owns: composition with basis, spread and source; the stream table; whole
//! parts larvae leave; class for use and the rules on it; keeping time; the
//! verdict on a lot before any blend is tried; windows on composition.
//!
//! Must not know: the daybook, the blend, clocks.
//!
//! Invariants: absent is never zero; every row of the shipped table names a
//! source that exists; a share of dry matter is never read as a share as fed.

mod age;
mod analyte;
mod class;
mod composition;
mod flag;
mod id;
mod labels;
mod names;
mod own;
mod rules;
mod source;
mod stream_table;
mod verdict;
mod window;
mod window_file;

pub use age::AgeLimits;
pub use analyte::Analyte;
pub use class::Class;
pub use composition::{Estimate, Inedible, Stream};
pub use flag::{Flag, FlagLimits, Refusal, flag, use_note};
pub use id::StreamId;
pub use labels::{Labels, read_labels};
pub use names::{Meant, OtherName, read_names, unaccented};
pub use own::OwnStream;
pub use rules::{LarvaeFor, Leave, Region, Rule, Ruling, UseRules};
pub use source::{Evidence, Source, SourceTable};
pub use stream_table::StreamTable;
pub use verdict::Verdict;
pub use window::{
    Bound, CARBON_DIVISOR, Linear, Measure, PROTEIN_OF_NITROGEN, Quotient, Side, Window,
};
pub(crate) use window_file::{Assumed, WindowEntry};

pub const SHIPPED_STREAMS: &[u8] = include_bytes!("../../data/streams.csv");
/// How well each figure of the shipped streams is supported.
pub const SHIPPED_LABELS: &[u8] = include_bytes!("../../data/labels.csv");
/// What people call the shipped streams, in English and Spanish.
pub const SHIPPED_NAMES: &[u8] = include_bytes!("../../data/stream-names.csv");
pub const SHIPPED_SOURCES: &[u8] = include_bytes!("../../data/sources.csv");
pub const SHIPPED_USE_RULES: &[u8] = include_bytes!("../../data/use-rules.csv");
