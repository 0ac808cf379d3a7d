use crate::quantity::ShareOfDry;
use crate::words::{Said, say};

use super::NitrogenFactor;

/// What becomes of the weight larvae had when they were put on trays. Where it
/// is subtracted, it is so for each larva put on trays: the code of Gold et al.
/// 2020 and of Fuhrmann et al. 2024 does; no source was read that takes the
/// larvae that lived.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum StartWeight {
    /// Subtracted, a figure somebody gave.
    Subtracted { mg_dry: f64 },
    /// Subtracted, from a counted sample of the cohort weighed fresh.
    Measured { mg_fresh: f64 },
    /// Subtracted, what the book takes of a cohort nobody weighed.
    #[default]
    Usual,
    /// Left in: the figure is that of all larvae harvested, as in Gold et al. 2022.
    LeftOut,
}

/// Milligrams of dry matter a larva that nobody weighed began with (Gold et al.
/// 2020, Frontiers in Microbiology, code and notes of the data set, seen).
const USUAL_MG_DRY: f64 = 0.5;

/// Dry share of young larvae: the mean of three runs, 24.8 to 29.1 % (Fuhrmann et
/// al. 2024, data file of the chamber system, derived from means fresh and dry).
const YOUNG_DRY_SHARE: f64 = 0.27;

impl StartWeight {
    /// What is subtracted for each larva put on trays \[mg dry matter\]; `None` where nothing is.
    pub fn mg_dry(self) -> Option<f64> {
        match self {
            Self::Subtracted { mg_dry } => Some(mg_dry),
            Self::Measured { mg_fresh } => Some(mg_fresh * YOUNG_DRY_SHARE),
            Self::Usual => Some(USUAL_MG_DRY),
            Self::LeftOut => None,
        }
    }

    pub fn said(self) -> Said {
        let two = |mg: f64| format!("{mg:.2}");
        match self {
            Self::Subtracted { mg_dry } => say!("start-subtracted", mg_dry),
            Self::Measured { mg_fresh } => say!(
                "start-measured",
                dry = two(mg_fresh * YOUNG_DRY_SHARE),
                fresh = two(mg_fresh),
                pct = format!("{:.0}", 100.0 * YOUNG_DRY_SHARE),
            ),
            Self::Usual => say!("start-usual", mg_dry = USUAL_MG_DRY),
            Self::LeftOut => say!("start-left-out"),
        }
    }
}

#[must_use]
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Yield {
    pub fed_kg: f64,
    pub fed_dry_kg: Option<f64>,
    pub fed_protein_kg: Option<f64>,
    pub larvae_kg: f64,
    pub larvae_dry_kg: Option<f64>,
    /// Their nitrogen, of dry matter.
    pub larvae_nitrogen: Option<ShareOfDry>,
    pub factor: NitrogenFactor,
    pub began: Option<i64>,
    pub start: StartWeight,
    /// Larvae harvested; not whole when reckoned from a sample.
    pub ended: Option<f64>,
    pub deaths_seen: i64,
    /// Residue \[kg as found\].
    pub residue_kg: Option<f64>,
    pub residue_dry_kg: Option<f64>,
    /// Days from the first feeding to the last harvest.
    pub days: Option<f64>,
}
