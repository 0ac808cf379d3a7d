//! Larvae: how old they are, what they may eat, and how much of it tonight.
//!
//! Owns: the stage table (windows, limits, caps, ration by age), cohorts and
//! trays, and the way from cohorts on a day to tonight's feed groups.
//!
//! Must not know: stock, the daybook, the solver, clocks. The day is an argument.
//!
//! Invariants: stages follow one another without gap or overlap; every day of
//! a stage has a ration; every value names its source.

mod demand;
mod feeding;
mod stage;
mod stage_file;

pub use demand::{
    CROWDED_PER_CM2, CohortOnTrays, Due, FeedGroup, demand, dry_matter_kg, larvae_per_cm2,
};
pub use feeding::Feeding;
pub use stage::{Cited, Stage, StageTable};

/// The shipped stage table.
pub const SHIPPED_STAGES: &str = include_str!("../../data/stages.toml");
