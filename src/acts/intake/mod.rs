pub(super) mod bucket;
pub(super) mod correct;
pub(super) mod import;
pub(super) mod sent;
pub(super) mod weigh_in;
pub(super) mod workbook;
