//! Whoever waits for a mix gets one, however little time there is: what is left
//! out is what makes it easier to weigh or to understand, and it is named. How
//! often the time is asked for is counted; no clock is looked at.

use std::process::Command;
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};

use trayful::blend::explain::WhyAsked;
use trayful::blend::{BucketRule, Mix, Patience, Policy, Wishes, propose_with};

#[allow(dead_code)]
mod stocked;

/// All that can be wished for, while the time was asked for fewer than `most`
/// times; and how often it was.
fn wishes(most: usize) -> (Wishes, Arc<AtomicUsize>) {
    let asked = Arc::new(AtomicUsize::new(0));
    let count = asked.clone();
    let wishes = Wishes {
        why: Some(WhyAsked {
            in_full: true,
            ..WhyAsked::default()
        }),
        buckets: Some(BucketRule::default()),
        patience: Patience::while_it(move || count.fetch_add(1, Ordering::Relaxed) < most),
        ..Wishes::default()
    };
    (wishes, asked)
}

/// What the sheet says was left out.
fn undone(mix: &Mix) -> Option<String> {
    let notes = mix.notes.iter().map(|note| note.in_english());
    notes
        .into_iter()
        .find(|note| note.starts_with("The time was up"))
}

#[test]
fn once_the_time_is_up_nothing_more_is_begun_and_the_mix_stands() {
    for wanted in [1.0, 4.0] {
        let mut night = stocked::night(3, 12);
        night.policy = Policy::ours();
        for group in &mut night.groups {
            group.dry_matter_kg *= wanted;
        }
        let (endless, asked) = wishes(usize::MAX);
        let (whole, trust) = propose_with(&night, &endless);
        let least_short = trust.buckets.expect("a plan").tiers[1].short_dm_kg;
        let needed = asked.load(Ordering::Relaxed);
        assert!(needed > 20 && undone(&whole).is_none());
        for most in [0, 1, 2, 4, needed / 2, needed - 1, needed] {
            let (wishes, asked) = wishes(most);
            let (mix, trust) = propose_with(&night, &wishes);
            assert_eq!(undone(&mix).is_some(), most < needed, "{most} of {needed}");
            // Each part asks once or twice more and ends.
            let more = asked.load(Ordering::Relaxed).saturating_sub(most);
            assert!(more < 25, "{more} more after {most}");
            // Whole buckets may feed less; what they are rounded from may not.
            let linear = trust.buckets.as_ref().map(|buckets| buckets.tiers[1]);
            let short = linear.or(mix.tiers).expect("goals").short_dm_kg;
            assert!((short - least_short).abs() < 1e-3, "{most}: {short}");
            assert!(mix.verdict.is_fed(), "{most}");
            if most == 0 {
                let why = trust.why.expect("as far as it went");
                assert!(trust.buckets.is_none() && why.lots.is_empty() && why.cures.is_empty());
            }
        }
    }
}

#[test]
fn a_mix_asked_for_at_once_says_what_it_lacks() {
    let folder = tempfile::tempdir().expect("a folder");
    for file in ["stock.csv", "targets.toml"] {
        let from = format!("{}/examples/one-night/{file}", env!("CARGO_MANIFEST_DIR"));
        std::fs::copy(from, folder.path().join(file)).expect("copied");
    }
    let told = |seconds: &str| {
        let line = "mix --stock stock.csv --targets targets.toml --why --buckets --seconds";
        let told = Command::new(env!("CARGO_BIN_EXE_trayful"))
            .args(line.split(' ').chain([seconds]))
            .current_dir(folder.path())
            .env_clear()
            .output()
            .expect("runs");
        assert!(matches!(told.status.code(), Some(0 | 3)), "{told:?}");
        String::from_utf8_lossy(&told.stdout).into_owned()
    };
    let at_once = told("0");
    for left_out in [
        "The time was up before: ",
        "few lines",
        "whole buckets",
        "what binds and what it is worth",
        "--seconds gives more time",
    ] {
        assert!(at_once.contains(left_out), "{left_out}: {at_once}");
    }
    assert!(at_once.contains("spent-grain"), "{at_once}");
    assert!(!told("600").contains("The time was up"));
}
