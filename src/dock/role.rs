//! What a PIN opens where there are two: the daily work, or all of it.

/// Pages and paths of the API that are the daily work; what is not named here
/// is the owner's, so that nothing new is open by being forgotten.
const DAILY: &[&str] = &[
    "/",
    "/ahead",
    "/cohort",
    "/cohorts",
    "/cohorts/add",
    "/correct",
    "/day",
    "/discard",
    "/events",
    "/fed",
    "/harvest",
    "/harvests",
    "/labels",
    "/lot",
    "/mixes",
    "/month",
    "/month.csv",
    "/month.xlsx",
    "/office",
    "/openapi.json",
    "/pin",
    "/reading",
    "/session",
    "/sheet",
    "/statement",
    "/statement.csv",
    "/statement.xlsx",
    "/stock",
    "/strike",
    "/ticks",
    "/tonight",
    "/trace",
    "/undo",
    "/weigh",
];

/// Kinds of record that only the owner takes back.
const OWNERS_RECORDS: [&str; 6] = [
    "adopted",
    "container",
    "farm",
    "money",
    "month-closed",
    "own-stream",
];

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Role {
    Staff,
    Owner,
}

impl Role {
    pub(super) fn may_open(self, path: &str) -> bool {
        let page = path.strip_prefix("/api").unwrap_or(path);
        self == Self::Owner || DAILY.contains(&page) || page.starts_with("/cohort/")
    }

    /// Whether it may take back a record of this kind.
    pub(super) fn may_strike(self, kind: &str) -> bool {
        self == Self::Owner || !OWNERS_RECORDS.contains(&kind)
    }
}
