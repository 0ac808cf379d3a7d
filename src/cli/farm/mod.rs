pub(super) mod begin;
pub(super) mod check;
mod chosen;
pub(super) mod cohort;
pub(super) mod demo;
pub(super) mod papers;
pub(super) mod settings;
pub(super) mod stages;
pub(super) mod streams;
