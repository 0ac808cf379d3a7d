//! One night ahead is tonight's mix: same goals, same draws, same figures.

use jiff::civil::date;
use proptest::prelude::*;
use trayful::blend::{Problem, propose};
use trayful::outlook::{Batch, NightAhead, Offer, Outlook, Storage, foresee};

mod nights;

/// Tonight alone, as the mix has it.
fn one_night(problem: &Problem) -> Outlook {
    let day = date(2026, 11, 25);
    let lots = problem.lots.iter().cloned();
    let offers = problem.purchases.iter().map(|purchase| Offer {
        purchase: purchase.clone(),
        first: 0,
        keeps_days: None,
        most_times: f64::INFINITY,
        pack: None,
        order_by: day,
    });
    Outlook {
        nights: vec![NightAhead {
            day,
            groups: problem.groups.clone(),
            larvae: 0,
        }],
        batches: lots.map(|lot| Batch::plain(lot, 0)).collect(),
        offers: offers.collect(),
        water_limit: problem.water_limit,
        division: problem.division,
        cold: None,
        storage: Storage::default(),
        usable_keeping_times: 2.0,
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]
    #[test]
    fn one_night_ahead_is_the_mix(problem in nights::night()) {
        let mix = propose(&problem);
        match foresee(&one_night(&problem)) {
            Ok(foreseen) => prop_assert_eq!(foreseen.tonight, mix),
            Err(unsolved) => prop_assert!(mix.verdict.as_str() == "stopped", "{}", unsolved),
        }
    }
}
