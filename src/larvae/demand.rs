use jiff::civil::Date;

use crate::quantity::Litres;

use super::{Stage, StageTable};

/// Larvae of one hatch on their trays.
#[derive(Debug, Clone, PartialEq)]
pub struct CohortOnTrays {
    /// The name on the trays.
    pub name: String,
    /// Hatch day: day 0.
    pub hatched: Date,
    /// How many larvae.
    pub larvae: i64,
    /// How many trays hold them.
    pub trays: i64,
    /// Area of one tray in square metres.
    pub tray_area_m2: f64,
    /// Deepest feed layer in centimetres; `None` takes the stage's.
    pub depth_cm: Option<f64>,
}

/// Larvae on a square centimetre of tray; above this it is asked about (common
/// practice, no source).
pub const CROWDED_PER_CM2: f64 = 10.0;

/// Larvae on one square centimetre of their trays.
#[must_use]
pub fn larvae_per_cm2(larvae: i64, trays: i64, tray_area_m2: f64) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "counts stay below 2^53")]
    let (larvae, trays) = (larvae as f64, trays as f64);
    larvae / (trays * tray_area_m2 * 10_000.0)
}

/// What one cohort is due on a night.
#[derive(Debug, Clone, PartialEq)]
pub struct Due {
    /// The cohort.
    pub cohort: CohortOnTrays,
    /// Days since hatch.
    pub age_days: i32,
    /// Ration that night, milligrams of dry matter per larva.
    pub ration_mg_dm: f64,
    /// Dry matter wanted, kilograms.
    pub dry_matter_kg: f64,
    /// What its trays hold at the deepest layer.
    pub volume: Litres,
}

/// Trays fed the same mix tonight.
#[derive(Debug, Clone, PartialEq)]
pub struct FeedGroup<'a> {
    /// The stage, whose name is the group's name.
    pub stage: &'a Stage,
    /// The cohorts in it.
    pub due: Vec<Due>,
}

impl FeedGroup<'_> {
    /// Dry matter wanted, kilograms.
    #[must_use]
    pub fn dry_matter_kg(&self) -> f64 {
        self.due.iter().map(|due| due.dry_matter_kg).sum()
    }

    /// What the group's trays hold, litres.
    #[must_use]
    pub fn volume_l(&self) -> f64 {
        self.due.iter().map(|due| due.volume.get()).sum()
    }

    /// How many trays are due.
    #[must_use]
    pub fn trays(&self) -> i64 {
        self.due.iter().map(|due| due.cohort.trays).sum()
    }

    /// Area of all trays, square metres.
    #[must_use]
    pub fn area_m2(&self) -> f64 {
        #[expect(clippy::cast_precision_loss, reason = "tray counts are small")]
        self.due
            .iter()
            .map(|due| due.cohort.trays as f64 * due.cohort.tray_area_m2)
            .sum()
    }
}

/// Tonight's feed groups, youngest stage first.
///
/// Dry matter (kg) = larvae × ration (mg DM per larva and day) / 10⁶; volume
/// (L) = trays × area (m²) × depth (cm) × 10. A cohort whose ration tonight is
/// zero, or whose age no stage covers, is not due.
#[must_use]
pub fn demand<'a>(
    cohorts: &[CohortOnTrays],
    night: Date,
    stages: &'a StageTable,
) -> Vec<FeedGroup<'a>> {
    let mut groups: Vec<FeedGroup<'a>> = stages
        .stages
        .iter()
        .map(|stage| FeedGroup {
            stage,
            due: Vec::new(),
        })
        .collect();
    for cohort in cohorts {
        let age_days = (night - cohort.hatched).get_days();
        let group = groups
            .iter_mut()
            .find(|group| (group.stage.from_day..=group.stage.to_day).contains(&age_days));
        if let Some(group) = group
            && let Some(due) = due_tonight(cohort, age_days, group.stage)
        {
            group.due.push(due);
        }
    }
    groups.retain(|group| !group.due.is_empty());
    groups
}

fn due_tonight(cohort: &CohortOnTrays, age_days: i32, stage: &Stage) -> Option<Due> {
    let ration_mg_dm = stage
        .ration_mg_dm
        .get(&age_days)
        .map(|ration| ration.value)
        .filter(|mg| *mg > 0.0)?;
    #[expect(clippy::cast_precision_loss, reason = "counts stay below 2^53")]
    let (larvae, trays) = (cohort.larvae as f64, cohort.trays as f64);
    let depth_cm = cohort.depth_cm.unwrap_or(stage.depth_cm.value);
    Some(Due {
        cohort: cohort.clone(),
        age_days,
        ration_mg_dm,
        dry_matter_kg: dry_matter_kg(larvae, ration_mg_dm),
        volume: Litres::new(trays * cohort.tray_area_m2 * depth_cm * 10.0).ok()?,
    })
}

/// Dry matter (kg) of `larvae` at `ration_mg_dm` (mg DM per larva).
#[must_use]
pub fn dry_matter_kg(larvae: f64, ration_mg_dm: f64) -> f64 {
    larvae * ration_mg_dm / 1e6
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::super::SHIPPED_STAGES;
    use super::*;

    fn cohort(name: &str, hatched: Date, larvae: i64) -> CohortOnTrays {
        CohortOnTrays {
            name: name.into(),
            hatched,
            larvae,
            trays: 4,
            tray_area_m2: 0.24,
            depth_cm: None,
        }
    }

    #[test]
    fn groups_by_stage_and_leaves_out_who_is_not_fed() {
        let stages = StageTable::read("stages.toml", SHIPPED_STAGES).expect("stages");
        let night = date(2026, 3, 20);
        let cohorts = [
            cohort("a", date(2026, 3, 11), 30_000), // day 9
            cohort("b", date(2026, 3, 12), 10_000), // day 8
            cohort("c", date(2026, 3, 4), 20_000),  // day 16: no stage
            cohort("d", date(2026, 3, 5), 20_000),  // day 15: ration 0
            cohort("e", date(2026, 3, 21), 20_000), // not hatched
        ];
        let groups = demand(&cohorts, night, &stages);
        assert_eq!(groups.len(), 1);
        let group = &groups[0];
        assert_eq!(group.stage.name, "grower");
        assert!((group.dry_matter_kg() - (30_000.0 * 56.0 + 10_000.0 * 46.0) / 1e6).abs() < 1e-12);
        assert!((group.volume_l() - 2.0 * 4.0 * 0.24 * 5.0 * 10.0).abs() < 1e-9);
        assert_eq!(group.trays(), 8);
    }
}
