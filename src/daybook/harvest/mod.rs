pub(super) mod lives;
pub(super) mod record;
pub(super) mod told;
