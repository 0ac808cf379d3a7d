//! Who ate what and who got it: from a ticket onward, and back.

mod cli;
mod dock;
#[path = "../dock_support/mod.rs"]
mod dock_support;
mod graph;
mod support;
