//! Names near to one that is not known: for what is accepted, and for what may be a slip.

/// Names nearest to `name`, best first, at most three.
pub fn nearest_names<'a>(name: &str, known: impl Iterator<Item = &'a str>) -> Vec<String> {
    const ALIKE_ENOUGH: f64 = 0.72;
    let wanted = name.to_lowercase();
    // One letter is near to everything.
    let telling = wanted.chars().count() >= 2;
    let mut scored: Vec<(f64, &str)> = known
        .map(|candidate| {
            (
                strsim::jaro_winkler(&wanted, &candidate.to_lowercase()),
                candidate,
            )
        })
        .filter(|(score, candidate)| {
            telling && (*score >= ALIKE_ENOUGH || candidate.to_lowercase().contains(&wanted))
                || same_name(candidate, name)
        })
        .collect();
    scored.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(b.1)));
    scored
        .into_iter()
        .take(3)
        .map(|(_, candidate)| candidate.to_owned())
        .collect()
}

/// `; nearest: a, b`, to stand behind what was not found; with no name near, `otherwise`.
pub fn nearest_hint(nearest: &[String], otherwise: &str) -> String {
    if nearest.is_empty() {
        otherwise.to_owned()
    } else {
        format!("; nearest: {}", nearest.join(", "))
    }
}

/// A name without regard to case and blanks.
pub fn folded(name: &str) -> String {
    let letters = name.chars().filter(|c| !c.is_whitespace());
    letters.flat_map(char::to_lowercase).collect()
}

/// Whether two names are one, without regard to case and blanks.
pub fn same_name(one: &str, other: &str) -> bool {
    folded(one) == folded(other)
}

/// Whether two different names are so alike that one may be a slip of the other:
/// a letter in four, at most two, added, left out, changed or swapped (our
/// default). Names that differ in their digits alone are counted, not mistyped.
pub fn may_be_a_slip(one: &str, other: &str) -> bool {
    let (one, other) = (folded(one), folded(other));
    let letters = one.chars().count().min(other.chars().count());
    let undigited = |name: &str| name.replace(|c: char| c.is_ascii_digit(), "");
    one != other
        && undigited(&one) != undigited(&other)
        && strsim::damerau_levenshtein(&one, &other) <= (letters / 4).min(2)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn near_names_come_best_first() {
        let known = ["spent-grain", "spinach-trim", "potato-peel"];
        assert_eq!(
            nearest_names("spnt-grain", known.into_iter()),
            ["spent-grain", "spinach-trim"]
        );
        assert_eq!(nearest_names("potato", known.into_iter()), ["potato-peel"]);
        assert!(nearest_names("zzz", known.into_iter()).is_empty());
        assert!(nearest_names("s", known.into_iter()).is_empty());
        assert_eq!(nearest_names("a", ["A", "Ab", "Quay"].into_iter()), ["A"]);
    }

    #[test]
    fn a_hint_names_them_or_says_something_else() {
        let two = ["a".to_owned(), "b".to_owned()];
        assert_eq!(nearest_hint(&two, "; none"), "; nearest: a, b");
        assert_eq!(nearest_hint(&[], "; none"), "; none");
    }

    #[test]
    fn two_letters_may_be_a_slip() {
        assert!(may_be_a_slip("Quay brewery", "Quya brewrey"));
        assert!(!may_be_a_slip("Quay brewery", "Quay brewery"));
        assert!(!may_be_a_slip("Quay brewery", "Hearth bakery"));
        assert!(!may_be_a_slip("quay  Brewery", "Quay brewery"));
        assert!(!may_be_a_slip("A", "B") && !may_be_a_slip("Farm 1", "Farm 2"));
    }
}
