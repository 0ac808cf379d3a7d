//! Names near to one that is not known: for what is accepted, and for what may be a slip.

use crate::words::{Said, say};

/// Names nearest to `name`, best first, at most three.
pub fn nearest_names<'a>(name: &str, known: impl Iterator<Item = &'a str>) -> Vec<String> {
    const ALIKE_ENOUGH: f64 = 0.72;
    let wanted = name.to_lowercase();
    // One letter is near to everything.
    let telling = wanted.chars().count() >= 2;
    let scored = known.filter_map(|candidate| {
        let lower = candidate.to_lowercase();
        let score = strsim::jaro_winkler(&wanted, &lower);
        let is_near = telling && (score >= ALIKE_ENOUGH || lower.contains(&wanted));
        (is_near || same_name(candidate, name)).then_some((score, candidate))
    });
    let mut scored: Vec<(f64, &str)> = scored.collect();
    scored.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(b.1)));
    let best = scored.into_iter().take(3);
    best.map(|(_, candidate)| candidate.to_owned()).collect()
}

/// `; nearest: a, b`, to stand behind what was not found; nothing where no name is near.
pub fn nearest_told(nearest: &[String]) -> Said {
    match nearest {
        [] => Said::default(),
        _ => say!("nearest", names = nearest.join(", ")),
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
        for (name, near) in [
            ("spnt-grain", &known[..2]),
            ("potato", &known[2..]),
            ("zzz", &[]),
            ("s", &[]),
        ] {
            assert_eq!(nearest_names(name, known.into_iter()), near, "{name}");
        }
        assert_eq!(nearest_names("a", ["A", "Ab", "Quay"].into_iter()), ["A"]);
    }

    #[test]
    fn a_hint_names_them_or_says_nothing() {
        let two = ["a".to_owned(), "b".to_owned()];
        assert_eq!(nearest_told(&two).in_english(), "; nearest: a, b");
        assert!(nearest_told(&[]).is_empty());
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
