/// What stands between the names of feed groups that share a mix.
pub const SHARES_WITH: &str = " + ";

/// The feed groups behind a name: several where they share a mix.
pub fn sharing(group: &str) -> impl Iterator<Item = &str> {
    group.split(SHARES_WITH)
}

/// Whether two names have a feed group in common.
pub fn meet(one: &str, other: &str) -> bool {
    sharing(one).any(|part| sharing(other).any(|of| of == part))
}
