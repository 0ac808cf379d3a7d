//! The daybook: what happened on the farm, in records that are never changed.
mod record;
pub use record::*;
