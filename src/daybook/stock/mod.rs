pub(super) mod flows;
pub(super) mod lots;
pub(super) mod marks;
