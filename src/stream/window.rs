use std::fmt;

use super::Analyte;

/// A figure of a mix that a window can hold.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Measure {
    /// Moisture, of the weight as fed.
    Moisture,
    /// An analyte, of dry matter.
    Analyte(Analyte),
}

impl Measure {
    /// Reads a key such as `moisture_pct` or `protein_dm_pct`.
    #[must_use]
    pub fn from_key(key: &str) -> Option<Self> {
        if key == "moisture_pct" {
            Some(Self::Moisture)
        } else {
            Analyte::from_key(key).map(Self::Analyte)
        }
    }

    /// The key, with unit and basis.
    #[must_use]
    pub fn key(&self) -> String {
        match self {
            Self::Moisture => "moisture_pct".to_owned(),
            Self::Analyte(analyte) => analyte.key(),
        }
    }
}

impl fmt::Display for Measure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Moisture => f.write_str("moisture"),
            Self::Analyte(analyte) => write!(f, "{}", analyte.name().replace('_', " ")),
        }
    }
}

/// Preferred range (`min`, `max`) and hard range (`limit_min`, `limit_max`)
/// of a measure, as shares of 0..=1 in the measure's own basis.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Window {
    /// Preferred at least.
    pub min: Option<f64>,
    /// Preferred at most.
    pub max: Option<f64>,
    /// Never below.
    pub limit_min: Option<f64>,
    /// Never above.
    pub limit_max: Option<f64>,
}

impl Window {
    /// The first pair of bounds that can't hold together, as key of the lower and key of the upper.
    #[must_use]
    pub fn contradiction(&self) -> Option<(&'static str, &'static str)> {
        let lower = [("limit_min", self.limit_min), ("min", self.min)];
        let upper = [("max", self.max), ("limit_max", self.limit_max)];
        lower.into_iter().find_map(|(low_key, low)| {
            upper
                .into_iter()
                .find_map(|(high_key, high)| match (low, high) {
                    (Some(low), Some(high)) if low > high => Some((low_key, high_key)),
                    _ => None,
                })
        })
    }

    /// Whether no bound is set.
    #[must_use]
    pub fn is_open(&self) -> bool {
        self.min.is_none()
            && self.max.is_none()
            && self.limit_min.is_none()
            && self.limit_max.is_none()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn contradictions_name_both_bounds() {
        let window = Window {
            min: Some(0.7),
            max: Some(0.6),
            ..Window::default()
        };
        assert_eq!(window.contradiction(), Some(("min", "max")));
        let window = Window {
            min: Some(0.5),
            limit_max: Some(0.5),
            ..Window::default()
        };
        assert_eq!(window.contradiction(), None);
    }
}
