//! A window as files write it, in targets and stages alike.

use toml::Spanned;

use crate::table::TomlFile;

use super::{Measure, Window};

/// Moisture must leave dry matter to reckon with.
const MOISTURE_LEAST_MAX: f64 = 99.0;

/// Reads `min`, `max`, `limit_min` and `limit_max` of one measure, in per cent
/// or in the measure's own unit; findings are noted in the file.
pub(crate) fn read_window(
    toml: &mut TomlFile<'_>,
    field: &str,
    key: &Spanned<String>,
    bounds: [&Option<Spanned<f64>>; 4],
) -> Option<(Measure, Window)> {
    let Some(measure) = Measure::from_key(key.get_ref()) else {
        toml.reject(key, field, Measure::ACCEPTED);
        return None;
    };
    let mut bound = |name: &str, position: usize| {
        // At most 100 % moisture holds of itself; at least 100 % is no feed.
        let most = match measure {
            Measure::Moisture if name.ends_with("min") => MOISTURE_LEAST_MAX,
            _ => measure.bound_max(),
        };
        let field = format!("{field}.{}.{name}", key.get_ref());
        let number = bounds[position].as_ref()?;
        Some(toml.number(&field, number, &(0.0..=most))? / 100.0)
    };
    let window = Window {
        min: bound("min", 0),
        max: bound("max", 1),
        limit_min: bound("limit_min", 2),
        limit_max: bound("limit_max", 3),
    };
    if bounds.iter().all(|bound| bound.is_none()) {
        toml.reject(key, field, "at least one of min, max, limit_min, limit_max");
    }
    if let Some((low, high)) = window.contradiction() {
        let accepted = format!("{low} not above {high}");
        toml.reject(key, &format!("{field}.{low}"), &accepted);
    }
    Some((measure, window))
}
