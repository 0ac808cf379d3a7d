pub(super) mod ledger;
pub(super) mod payment;
