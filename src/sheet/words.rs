use jiff::civil::Date;

use crate::words::{Said, say};

/// `Thu 26 Nov`.
pub fn day_words(day: Date) -> Said {
    let weekday = say!("weekday", day = day.weekday().to_monday_zero_offset());
    say!("day-short", weekday, day = day.day(), month = day.month())
}

/// A number with one decimal, without a minus before zero.
pub fn one_decimal(number: f64) -> String {
    figure(Some(number), 1)
}

/// A figure with so many decimals, a dash where it is not known.
pub(super) fn figure(known: Option<f64>, places: usize) -> String {
    let Some(value) = known else {
        return "-".to_owned();
    };
    let text = format!("{value:.places$}");
    match text.strip_prefix('-') {
        Some(zero) if zero.chars().all(|digit| "0.".contains(digit)) => zero.to_owned(),
        _ => text,
    }
}

/// A share in per cent with at most one decimal, without `%`.
pub(super) fn pct(share: f64) -> String {
    let text = one_decimal(share * 100.0);
    text.strip_suffix(".0")
        .map_or_else(|| text.clone(), ToOwned::to_owned)
}

/// A range of shares in per cent with the unit after it; an open end is said.
pub fn range(ends: (Option<f64>, Option<f64>), unit: &str) -> Said {
    let with_unit = |share: f64| format!("{}{unit}", pct(share));
    match ends {
        (Some(low), Some(high)) => format!("{}-{}", pct(low), with_unit(high)).into(),
        (Some(low), None) => say!("range-from", bound = with_unit(low)),
        (None, Some(high)) => say!("range-to", bound = with_unit(high)),
        (None, None) => Said::default(),
    }
}

/// Why a cohort ended: the book's own word, or what somebody wrote.
pub(super) fn ended_why(why: &str) -> Said {
    match why {
        "harvested" => say!("harvested"),
        other => other.into(),
    }
}

/// A few names, and how many more there are.
pub(super) fn listed<T: Into<Said>>(names: impl IntoIterator<Item = T>, most: usize) -> Said {
    let mut names = names.into_iter().map(Into::into);
    let shown = Said::joined(names.by_ref().take(most), ", ");
    match names.count() {
        0 => shown,
        more => say!("stock-listed", names = shown, more),
    }
}

/// From one to another, or the one that both are.
pub(super) fn from_to(low: impl Into<Said>, high: impl Into<Said>) -> Said {
    match (low.into(), high.into()) {
        (low, high) if low == high => low,
        (low, high) => say!("from-to", low, high),
    }
}

/// What belongs to each, in the order they come.
pub(super) fn grouped<K: PartialEq, V>(each: impl Iterator<Item = (K, V)>) -> Vec<(K, Vec<V>)> {
    let mut groups: Vec<(K, Vec<V>)> = Vec::new();
    for (of, value) in each {
        match groups.iter_mut().find(|(known, _)| *known == of) {
            Some((_, values)) => values.push(value),
            None => groups.push((of, vec![value])),
        }
    }
    groups
}

/// Text for a CSV cell that no spreadsheet reads as a formula: a leading
/// `= + - @`, tab or line break gets an apostrophe in front.
///
/// Source: OWASP, CSV Injection (community page).
pub fn csv_text(text: &str) -> String {
    if text.starts_with(['=', '+', '-', '@', '\t', '\r', '\n', '\0']) {
        format!("'{text}")
    } else {
        text.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn formulas_are_disarmed() {
        assert_eq!(csv_text("=1+1"), "'=1+1");
        assert_eq!(csv_text("Quay brewery"), "Quay brewery");
    }
}
