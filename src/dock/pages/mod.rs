//! One file a form, and a few for what is only read: parse, call an act, render.

pub(super) mod discard;
pub(super) mod fed;
pub(super) mod harvest;
pub(super) mod labels;
pub(super) mod lists;
pub(super) mod money;
pub(super) mod month;
pub(super) mod pin;
pub(super) mod tonight;
pub(super) mod trace;
pub(super) mod undo;
pub(super) mod weigh;
