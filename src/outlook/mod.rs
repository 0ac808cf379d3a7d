//! Nights ahead: what arrives, what the larvae want, and whether they fit.
//!
//! Owns: the plan over several nights as plain data and as one linear model,
//! what the daybook's history says of arrivals to come, and the questions asked
//! of the plan (what to buy, accept, clear, how much more would fit).
//!
//! Must not know: the daybook, clocks, files, how a page looks. Days and seeds
//! are arguments.
//!
//! Invariants: within a night the rows are those of tonight's mix, written by
//! the same code, so one night ahead *is* tonight's mix; no lot is drawn before
//! it is there, after it is spoiled or beyond its weight; every piece of advice
//! carries the figures of a solve with the advice taken.
//!
//! Goals as tonight, over all nights. The third weighs a draw by the urgency
//! the lot would have on the *last* night: with tonight's urgency, putting a
//! lot off would count for more than using it. With one night both are the
//! same, and `tests/ahead_one_night.rs` finds the same mix as `--plain` to the
//! gram. The last tie-break prefers older lots. A plan of more than 14 nights
//! is planned for the first 14 first: their advice, room, intake and chance are
//! worked out in full, and as many further nights as the time left allows (time
//! taken to grow with the cube of the nights) are planned after. The clock is
//! handed in (`acts::Pace`).
//!
//! Room to grow: *DM = λ D*, volume *≤ λ V*, nothing short or out, max *λ*.

mod arrivals;
mod arrivals_file;
mod chance;
mod foresee;
mod grow;
mod heed;
mod plan;
mod plan_file;
mod rows;
mod ties;

pub use arrivals::{Arrived, Backtest, Expected, Forecast, History, forecast};
pub use arrivals_file::read_arrivals;
pub use chance::{Chance, Spread, chance_of_short};
pub use foresee::{BatchFate, DrawAhead, Foreseen, GroupFed, NightFed, foresee, goals_met};
pub use grow::{Intake, MoreOf, Raise, Room, fresh_larvae_kg, room_to_grow};
pub use heed::{Accept, Advice, Buy, Checked, Clear, Heeded, Trouble, Wrong, heed, troubles};
pub use plan::{Batch, ColdStore, MORNING_TO_EVENING_DAYS, NightAhead, Offer, Outlook, Storage};
pub use plan_file::{ANY_WEIGHT, BuyRow, HatchRow, Holiday, PlanFile, read_plan};
pub use rows::{Built, Source};
pub use ties::build;
