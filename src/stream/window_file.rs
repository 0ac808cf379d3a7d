//! Windows and what is assumed, as targets and stages alike write them.

use serde::Deserialize;
use toml::Spanned;

use crate::quantity::{Density, ShareOfDry};
use crate::table::TomlFile;
use crate::words::say;

use super::window::{Bound, Side};
use super::{Analyte, Measure, Window};

/// Moisture must leave dry matter to reckon with.
const MOISTURE_LEAST_MAX: f64 = 99.0;

/// A window in per cent or in the measure's own unit.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct WindowEntry {
    min: Option<Spanned<f64>>,
    max: Option<Spanned<f64>>,
    limit_min: Option<Spanned<f64>>,
    limit_max: Option<Spanned<f64>>,
    /// Where it comes from: asked for in the stage table.
    pub(crate) source: Option<String>,
}

impl WindowEntry {
    /// The window of one measure; findings are noted in the file.
    pub(crate) fn read(
        &self,
        toml: &mut TomlFile<'_>,
        field: &str,
        key: &Spanned<String>,
    ) -> Option<(Measure, Window)> {
        let Some(measure) = Measure::from_key(key.get_ref()) else {
            toml.reject(key, field, Measure::accepted());
            return None;
        };
        let (mut window, mut is_open) = (Window::default(), true);
        for (side, is_hard, number) in [
            (Side::Least, false, &self.min),
            (Side::Most, false, &self.max),
            (Side::Least, true, &self.limit_min),
            (Side::Most, true, &self.limit_max),
        ] {
            let Some(number) = number else { continue };
            is_open = false;
            // At most 100 % moisture holds of itself; at least 100 % is no feed.
            let most = match (&measure, side) {
                (Measure::Moisture, Side::Least) => MOISTURE_LEAST_MAX,
                _ => measure.bound_max(),
            };
            let name = Bound {
                side,
                share: 0.0,
                is_hard,
            }
            .key();
            let field = format!("{field}.{}.{name}", key.get_ref());
            let number = toml.number(&field, number, &(0.0..=most));
            *window.bound_mut(side, is_hard) = number.map(|number| number / 100.0);
        }
        if is_open {
            toml.reject(key, field, say!("accepted-bounds"));
        }
        if let Some((low, high)) = window.contradiction() {
            let accepted = say!("accepted-low-high", low, high);
            toml.reject(key, &format!("{field}.{low}"), accepted);
        }
        Some((measure, window))
    }
}

/// A value to reckon with where a lot's own is unknown.
pub(crate) enum Assumed {
    Density(Density),
    Share(Analyte, ShareOfDry),
}

impl Assumed {
    /// The value of one key; findings are noted in the file.
    pub(crate) fn read(
        toml: &mut TomlFile<'_>,
        field: &str,
        key: &Spanned<String>,
        value: &Spanned<f64>,
    ) -> Option<Self> {
        if key.get_ref() == "bulk_density_kg_m3" {
            let density = toml.number(field, value, &(1.0..=3000.0))?;
            return Density::new(density).ok().map(Self::Density);
        }
        let Some(analyte) = Analyte::from_key(key.get_ref()) else {
            toml.reject(key, field, say!("accepted-assumed-key"));
            return None;
        };
        let field = format!("{field}.{}", key.get_ref());
        let pct = toml.number(&field, value, &(0.0..=100.0))?;
        Some(Self::Share(analyte, ShareOfDry::from_pct(pct).ok()?))
    }
}
