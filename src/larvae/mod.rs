//! Larvae: how old they are, what they may eat, and how much of it tonight.
//!
//! Owns: the stage table (windows, limits, caps, ration by age, ages), cohorts,
//! trays and feeding plans, and the way from them to a night's feed groups.
//!
//! Must not know: stock, the daybook, the solver, clocks. The day is an argument.
//!
//! Invariants: stages follow one another without gap or overlap; every day of
//! a stage has a ration; every value names its source.

mod cited_file;
mod cohort;
mod demand;
mod feeding;
mod limits_file;
mod meal;
mod stage;
mod stage_file;

pub use cohort::{CROWDED_PER_CM2, CohortOnTrays, larvae_per_cm2};
pub use demand::{Due, FeedGroup, demand, dry_matter_kg, eaters, larvae_fed};
pub use feeding::Feeding;
pub use meal::{Course, Meal, course, meal, next_meal};
pub use stage::{Cap, Cited, RationStudy, Stage, StageTable, WindowStudy};

pub const SHIPPED_STAGES: &str = include_str!("../../data/stages.toml");
