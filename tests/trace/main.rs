//! Who ate what and who got it: from a ticket onward, and back.

mod cli;
mod graph;
mod support;
