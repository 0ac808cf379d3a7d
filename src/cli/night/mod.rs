pub(super) mod fed;
pub(super) mod mix;
pub(super) mod today;
mod trust;
