//! The month from outside: its bounds, closing and amending, tickets corrected, statements, and
//! its figures recomputed by other programs.

mod bounds;
mod cli;
mod closing;
mod corrected;
mod outside;
mod statement;
mod support;
mod year;
