//! One file a page: parse, call an act, render.

pub(super) mod cohort;
pub(super) mod cohorts;
pub(super) mod discard;
pub(super) mod fed;
pub(super) mod harvest;
pub(super) mod labels;
pub(super) mod learned;
pub(super) mod money;
pub(super) mod month;
pub(super) mod pin;
pub(super) mod statement;
pub(super) mod stock;
pub(super) mod tonight;
pub(super) mod trace;
pub(super) mod undo;
pub(super) mod weigh;
