pub(super) mod learned;
pub(super) mod record;
