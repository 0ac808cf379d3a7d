//! One night ahead is tonight's mix: same goals, same draws, same figures.

use jiff::civil::date;
use proptest::prelude::*;
use trayful::blend::propose;
use trayful::outlook::{Outlook, foresee};

mod nights;

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]
    #[test]
    fn one_night_ahead_is_the_mix(problem in nights::night()) {
        let mix = propose(&problem);
        let day = date(2026, 11, 25);
        match foresee(&Outlook::of_one_night(&problem, day)) {
            Ok(foreseen) => prop_assert_eq!(foreseen.tonight, mix),
            Err(unsolved) => prop_assert!(mix.verdict.as_str() == "stopped", "{}", unsolved),
        }
    }
}
