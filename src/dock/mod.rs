//! The dock page: a local web page for the tablet beside the scale.
//!
//! Owns: the router, its pages, templates, style and script (all
//! embedded), the JSON API with its OpenAPI file, who may come in, and
//! everything asynchronous. Must not know: SQL, arguments, how a figure is
//! reckoned; a handler parses, calls an act, renders.
//!
//! Invariants:
//! - An answer that says "kept" is sent after the record is on the disk.
//! - One thread writes (`keeper`); a slow page can't hold up a weighing.
//! - Nothing changes without a token bound to the session, and only by POST.
//! - No request reaches a handler under a host name that is not ours.
//! - No inline script or style, no asset from elsewhere, no file name from a
//!   request.

mod answer;
mod api;
mod app;
mod clock;
mod form;
mod gauge;
mod guard;
mod keeper;
mod kept;
mod live;
mod pages;
mod role;
mod router;
mod scales;
mod serve;
mod session;
mod shape;
mod ticks;
mod tls;
mod view;

pub use clock::{Clock, MIX_SECONDS, patience};
pub use serve::{DockAsked, DockError, serve};
pub use session::{Pin, Pins};
pub use tls::{Made, Tls, certificate_for};
