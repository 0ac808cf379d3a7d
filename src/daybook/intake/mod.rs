pub(super) mod record;
pub(super) mod said;
pub(super) mod told;
