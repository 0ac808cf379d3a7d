use std::collections::BTreeMap;

use jiff::ToSpan;
use jiff::civil::Date;

use super::{CohortOnTrays, Feeding, StageTable};

/// A meal: the rations of the days until the next one.
#[must_use]
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Meal {
    /// Milligrams of dry matter a larva, over all its days.
    pub mg_dm: f64,
    /// Days with a ration that it is for.
    pub days: i32,
}

/// What a larva of a cohort gets so many days after hatch; `None` when it is
/// no night for feeding, or nothing is due until the next one.
pub fn meal(cohort: &CohortOnTrays, age_days: i32, stages: &StageTable) -> Option<Meal> {
    if !is_night(cohort, age_days, stages) {
        return None;
    }
    let last = stages.stages.last()?.to_day;
    let rations: Vec<f64> = (age_days..=last)
        .take_while(|day| *day == age_days || !is_night(cohort, *day, stages))
        .filter_map(|day| stages.ration_mg(day))
        .collect();
    let days = i32::try_from(rations.len()).ok()?;
    (days > 0).then(|| Meal {
        mg_dm: rations.iter().sum(),
        days,
    })
}

/// What a cohort was due in a stage, over its nights on the trays.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Course {
    pub mg_dm: f64,
    /// Days with a ration that this is for.
    pub days: i32,
    pub meals: i32,
}

/// What a cohort was due by stage from its first night up to, not on, `end`.
pub fn course(cohort: &CohortOnTrays, end: Date, stages: &StageTable) -> BTreeMap<String, Course> {
    let mut courses: BTreeMap<String, Course> = BTreeMap::new();
    let came = (cohort.first_night - cohort.hatched).get_days().max(0);
    let last = stages.stages.last().map_or(-1, |stage| stage.to_day);
    for age in came..(end - cohort.hatched).get_days().min(last + 1) {
        if let (Some(stage), Some(meal)) = (stages.at_age(age), meal(cohort, age, stages)) {
            let course = courses.entry(stage.name.clone()).or_default();
            course.mg_dm += meal.mg_dm;
            course.days += meal.days;
            course.meals += 1;
        }
    }
    courses
}

/// The first night after `night` on which a cohort is due; `None` when it is fed no more.
pub fn next_meal(cohort: &CohortOnTrays, night: Date, stages: &StageTable) -> Option<Date> {
    let last = stages.stages.last()?.to_day;
    let after = (night - cohort.hatched).get_days() + 1;
    let age = (after.max(0)..=last).find(|age| meal(cohort, *age, stages).is_some())?;
    cohort.hatched.checked_add(age.days()).ok()
}

/// Whether a cohort's plan has a meal on a day of its life. Its own plan
/// counts from its first night on the trays, a stage's from the stage's first
/// day or, for larvae that came later, from their first night.
fn is_night(cohort: &CohortOnTrays, age_days: i32, stages: &StageTable) -> bool {
    let Some(stage) = stages.at_age(age_days) else {
        return false;
    };
    let came = (cohort.first_night - cohort.hatched).get_days().max(0);
    let (plan, from) = match cohort.feeding {
        Some(plan) => (plan, came),
        None => (stage.feeding.value, came.max(stage.from_day)),
    };
    let since = age_days - from;
    match plan {
        Feeding::Daily => true,
        Feeding::Every(nights) => since >= 0 && since % i32::from(nights) == 0,
        Feeding::Once => since == 0,
    }
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::super::SHIPPED_STAGES;
    use super::*;

    fn cohort(feeding: &str, first_age: i64) -> CohortOnTrays {
        let hatched = date(2026, 3, 1);
        CohortOnTrays {
            name: "H1".into(),
            hatched,
            larvae: 10_000,
            trays: 1,
            tray_area_m2: 0.24,
            depth_cm: None,
            first_night: hatched + first_age.days(),
            feeding: Feeding::parse(feeding),
            lies_l: 0.0,
        }
    }

    fn meals(cohort: &CohortOnTrays, stages: &StageTable) -> Vec<(i32, f64, i32)> {
        (0..20)
            .filter_map(|age| meal(cohort, age, stages).map(|meal| (age, meal.mg_dm, meal.days)))
            .collect()
    }

    /// By hand from the shipped curve: days 5 to 7 ask for 12 + 22 + 34 mg.
    #[test]
    fn a_meal_holds_the_rations_of_the_days_until_the_next_one() {
        let stages = StageTable::read("stages.toml", SHIPPED_STAGES).expect("stages");
        assert_eq!(
            meals(&cohort("every-3", 5), &stages),
            [
                (5, 68.0, 3),
                (8, 162.0, 3),
                (11, 148.0, 3),
                (14, 22.0, 1) // day 15 asks for nothing
            ]
        );
        assert_eq!(meals(&cohort("once", 5), &stages), [(5, 400.0, 10)]);
        let daily = meals(&cohort("daily", 5), &stages);
        assert_eq!((daily.len(), daily[9]), (15, (9, 56.0, 1)));
        // However often larvae are fed, they get the same in all.
        let total = |plan: &str| -> f64 {
            let all = meals(&cohort(plan, 0), &stages);
            all.iter().map(|(_, mg, _)| mg).sum()
        };
        for plan in ["every-2", "every-5", "once"] {
            assert!((total(plan) - total("daily")).abs() < 1e-9, "{plan}");
        }
    }

    #[test]
    fn a_course_counts_meals_and_the_days_they_are_for() {
        let stages = StageTable::read("stages.toml", SHIPPED_STAGES).expect("stages");
        let growing = stages.stages[1].name.as_str();
        let of = |plan: &str, end: Date| course(&cohort(plan, 5), end, &stages)[growing];
        let daily = of("daily", date(2026, 3, 12)); // days 5 to 10
        assert_eq!((daily.days, daily.meals), (6, 6));
        assert!((daily.mg_dm - 230.0).abs() < 1e-9);
        let third = of("every-3", date(2026, 3, 12)); // meals on days 5 and 8
        assert_eq!((third.days, third.meals), (6, 2));
        assert!((third.mg_dm - 230.0).abs() < 1e-9);
        assert!(course(&cohort("once", 5), date(2026, 3, 6), &stages).is_empty());
    }

    #[test]
    fn a_stage_s_plan_counts_from_its_first_day_and_a_cohort_s_own_goes_before_it() {
        let text = SHIPPED_STAGES.replacen(
            "to_day = 11",
            "to_day = 11\nfeeding = { value = \"every-3\", source = \"our-default\" }",
            1,
        );
        let stages = StageTable::read("farm.toml", &text).expect("stages");
        let nights = |cohort: &CohortOnTrays| -> Vec<i32> {
            meals(cohort, &stages)
                .iter()
                .map(|(age, ..)| *age)
                .collect()
        };
        let mut of_stage = cohort("", 0);
        assert_eq!(nights(&of_stage), [0, 1, 2, 3, 4, 5, 8, 11, 12, 13, 14]);
        of_stage.first_night = date(2026, 3, 7); // put on trays on day 6
        assert_eq!(nights(&of_stage)[5..], [6, 9, 12, 13, 14]);
        assert_eq!(nights(&cohort("every-4", 6)), [6, 10, 14]);
        assert_eq!(
            next_meal(&cohort("every-4", 6), date(2026, 3, 8), &stages),
            Some(date(2026, 3, 11))
        );
        assert_eq!(
            next_meal(&cohort("once", 5), date(2026, 3, 6), &stages),
            None
        );
    }
}
