pub(super) mod lives;
pub(super) mod record;
pub(super) mod rows;
pub(super) mod told;
