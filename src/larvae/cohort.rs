use jiff::civil::Date;

use super::Feeding;

/// Larvae of one hatch on their trays.
#[derive(Debug, Clone, PartialEq)]
pub struct CohortOnTrays {
    pub name: String,
    pub hatched: Date,
    pub larvae: i64,
    pub trays: i64,
    pub tray_area_m2: f64,
    /// Deepest feed layer in centimetres; `None` takes the stage's.
    pub depth_cm: Option<f64>,
    pub first_night: Date,
    /// How often it is fed; `None` takes the stage's plan.
    pub feeding: Option<Feeding>,
    /// Litres of earlier feed that still lie on all its trays.
    pub lies_l: f64,
}

impl CohortOnTrays {
    pub fn area_m2(&self) -> f64 {
        self.trays as f64 * self.tray_area_m2
    }

    pub fn per_cm2(&self) -> f64 {
        larvae_per_cm2(self.larvae, self.trays, self.tray_area_m2)
    }
}

/// Larvae on a square centimetre of tray; above this it is asked about (common
/// practice, no source).
pub const CROWDED_PER_CM2: f64 = 10.0;

pub fn larvae_per_cm2(larvae: i64, trays: i64, tray_area_m2: f64) -> f64 {
    larvae as f64 / (trays as f64 * tray_area_m2 * 10_000.0)
}
