pub(super) mod allow;
pub(super) mod correct;
pub(super) mod strike;
pub(super) mod weigh;
mod wire;
