use jiff::civil::Date;

use crate::quantity::sharing;

use super::{CohortOnTrays, Feeding, Stage, StageTable, meal};

#[derive(Debug, Clone, PartialEq)]
pub struct Due {
    pub cohort: CohortOnTrays,
    pub age_days: i32,
    /// Days with a ration that the meal is for.
    pub days: i32,
    /// Milligrams of dry matter a larva, for all these days.
    pub ration_mg_dm: f64,
    pub dry_matter_kg: f64,
    pub depth_cm: f64,
    /// What its trays can take tonight at the deepest layer, litres: less what
    /// lies there, not below zero.
    pub room_l: f64,
}

/// Trays fed the same mix tonight.
#[must_use]
#[derive(Debug, Clone, PartialEq)]
pub struct FeedGroup<'a> {
    /// The stage, whose name is the group's name.
    pub stage: &'a Stage,
    pub due: Vec<Due>,
}

impl FeedGroup<'_> {
    /// Whether a record's feed group is this, alone or sharing its mix.
    pub fn is_of(&self, group: &str) -> bool {
        sharing(group).any(|part| self.stage.goes_by(part))
    }

    pub fn dry_matter_kg(&self) -> f64 {
        self.due.iter().map(|due| due.dry_matter_kg).sum()
    }

    /// A cohort's share of the group's mix, 0..=1.
    pub fn share(&self, due: &Due) -> f64 {
        due.dry_matter_kg / self.dry_matter_kg()
    }

    /// The most litres of the group's mix: every cohort's share of it must
    /// have room on its own trays, *V = min over cohorts of room / share*.
    pub fn volume_l(&self) -> f64 {
        let most = self.due.iter().map(|due| due.room_l / self.share(due));
        most.fold(f64::INFINITY, f64::min)
    }

    pub fn trays(&self) -> i64 {
        self.due.iter().map(|due| due.cohort.trays).sum()
    }
}

/// Tonight's feed groups, youngest stage first.
///
/// Dry matter (kg) = larvae × rations of the days until the next meal (mg DM
/// per larva) / 10⁶; room (L) = trays × area (m²) × depth (cm) × 10, less what
/// lies there. A cohort is not due on a night without a meal by its plan, or
/// when no stage covers its age.
pub fn demand<'a>(
    cohorts: &[CohortOnTrays],
    night: Date,
    stages: &'a StageTable,
) -> Vec<FeedGroup<'a>> {
    let of_stage = |stage: &'a Stage| {
        let due = cohorts.iter().filter_map(|cohort| {
            let age_days = (night - cohort.hatched).get_days();
            let is_of = (stage.from_day..=stage.to_day).contains(&age_days);
            is_of.then(|| due_tonight(cohort, age_days, stage, stages))?
        });
        let due: Vec<Due> = due.collect();
        (!due.is_empty()).then_some(FeedGroup { stage, due })
    };
    stages.stages.iter().filter_map(of_stage).collect()
}

/// Who ate what was given to a group on a night: those that were due in it,
/// or, where feeding kept to nobody's plan, those of its stage.
pub fn eaters<'a>(
    cohorts: &[CohortOnTrays],
    night: Date,
    group: &str,
    stages: &'a StageTable,
) -> Option<FeedGroup<'a>> {
    let of = |cohorts: &[CohortOnTrays]| {
        let groups = demand(cohorts, night, stages).into_iter();
        groups.filter(|of| of.is_of(group)).reduce(|mut all, more| {
            all.due.extend(more.due);
            all
        })
    };
    of(cohorts).or_else(|| {
        let daily = |cohort: &CohortOnTrays| CohortOnTrays {
            feeding: Some(Feeding::Daily),
            ..cohort.clone()
        };
        of(&cohorts.iter().map(daily).collect::<Vec<_>>())
    })
}

/// Larvae that live on a night of feed given then or before.
pub fn larvae_fed(cohorts: &[CohortOnTrays], night: Date, stages: &StageTable) -> i64 {
    let eats = |cohort: &&CohortOnTrays| {
        let age_days = (night - cohort.hatched).get_days();
        stages.ration_mg(age_days).is_some()
    };
    let fed = cohorts.iter().filter(eats);
    fed.map(|cohort| cohort.larvae).sum()
}

fn due_tonight(
    cohort: &CohortOnTrays,
    age_days: i32,
    stage: &Stage,
    stages: &StageTable,
) -> Option<Due> {
    let meal = meal(cohort, age_days, stages)?;
    let depth_cm = cohort.depth_cm.unwrap_or(stage.depth_cm.value);
    Some(Due {
        cohort: cohort.clone(),
        age_days,
        days: meal.days,
        ration_mg_dm: meal.mg_dm,
        dry_matter_kg: dry_matter_kg(cohort.larvae as f64, meal.mg_dm),
        depth_cm,
        room_l: (cohort.area_m2() * depth_cm * 10.0 - cohort.lies_l).max(0.0),
    })
}

pub fn dry_matter_kg(larvae: f64, ration_mg_dm: f64) -> f64 {
    larvae * ration_mg_dm / 1e6
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::super::SHIPPED_STAGES;
    use super::*;
    use crate::quantity::SHARES_WITH;

    fn cohort(name: &str, hatched: Date, larvae: i64) -> CohortOnTrays {
        CohortOnTrays {
            name: name.into(),
            hatched,
            larvae,
            trays: 4,
            tray_area_m2: 0.24,
            depth_cm: None,
            first_night: hatched,
            feeding: None,
            lies_l: 0.0,
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
        assert_eq!(group.stage.name, stages.stages[1].name);
        let [a, b] = [30_000.0 * 56.0 / 1e6, 10_000.0 * 46.0 / 1e6];
        assert!((group.dry_matter_kg() - (a + b)).abs() < 1e-12);
        // Each has 4 trays of 24 dm2, 5 cm deep; the one with most of the mix binds.
        assert!((group.volume_l() - 48.0 / (a / (a + b))).abs() < 1e-9);
        assert_eq!(group.trays(), 8);
        assert_eq!(larvae_fed(&cohorts, night, &stages), 40_000);
    }

    /// 150,000 larvae on 2 trays beside 20,000 on 30: spread over all 32 trays
    /// the mix would lie thin, on the two it would not.
    #[test]
    fn each_cohort_has_room_only_on_its_own_trays() {
        let stages = StageTable::read("stages.toml", SHIPPED_STAGES).expect("stages");
        let night = date(2026, 3, 20);
        let mut crowded = cohort("crowded", date(2026, 3, 11), 150_000);
        let mut roomy = cohort("roomy", date(2026, 3, 11), 20_000);
        (crowded.trays, roomy.trays) = (2, 30);
        let most = |cohorts: &[CohortOnTrays]| demand(cohorts, night, &stages)[0].volume_l();
        let all = 2.0 * 0.24 * 50.0 / (15.0 / 17.0);
        assert!((most(&[crowded.clone(), roomy.clone()]) - all).abs() < 1e-9);
        crowded.lies_l = 12.0; // half of what they hold
        assert!((most(&[crowded.clone(), roomy.clone()]) - all / 2.0).abs() < 1e-9);
        crowded.lies_l = 30.0;
        assert!(most(&[crowded, roomy]).abs() < 1e-12);
    }

    #[test]
    fn what_was_fed_off_plan_was_eaten_by_the_stage() {
        let stages = StageTable::read("stages.toml", SHIPPED_STAGES).expect("stages");
        let mut third = cohort("third", date(2026, 3, 11), 30_000);
        third.feeding = Some(Feeding::Every(3)); // days 0, 3, 6, 9
        let growing = stages.stages[1].name.as_str();
        let ate = |day: i8, cohorts: &[CohortOnTrays]| -> Vec<String> {
            let group = eaters(cohorts, date(2026, 3, day), growing, &stages);
            let due = group.map(|group| group.due).unwrap_or_default();
            due.into_iter().map(|due| due.cohort.name).collect()
        };
        let daily = cohort("daily", date(2026, 3, 11), 30_000);
        assert_eq!(ate(20, &[third.clone(), daily.clone()]), ["third", "daily"]);
        assert_eq!(ate(21, &[third.clone(), daily]), ["daily"]);
        assert_eq!(ate(21, &[third]), ["third"]);

        let young = cohort("young", date(2026, 3, 17), 30_000);
        let both = [young, cohort("growing", date(2026, 3, 11), 10_000)];
        let shared = format!("{}{SHARES_WITH}{growing}", stages.stages[0].name);
        let group = eaters(&both, date(2026, 3, 20), &shared, &stages).expect("eaters");
        let shares: f64 = group.due.iter().map(|due| group.share(due)).sum();
        assert_eq!((group.due.len(), shares), (2, 1.0));
    }
}
