//! What a mix by our default policy is like: lines, chances, what few lines
//! cost in each goal, and time on the processor. Prints, asserts nothing.

#![expect(clippy::print_stdout, reason = "a bench prints its figures")]

use processor::on_processor_ms;
use trayful::blend::sureness::MeasureSureness;
use trayful::blend::{Few, Mix, Policy, Problem, Wishes, propose_with};

mod processor;
#[path = "../tests/stocked/spread.rs"]
mod spread;
#[path = "../tests/stocked/mod.rs"]
mod stocked;

const NIGHTS: u64 = 36;

fn night(seed: u64, lots: usize, policy: Policy) -> Problem {
    let mut night = stocked::night(seed, lots);
    night.spreads = Some(spread::spreads(&night));
    night.policy = policy;
    let water = (!night.policy.water_last).then_some(night.water_limit);
    night.with_water(water)
}

fn median(mut of: Vec<f64>) -> f64 {
    of.sort_by(f64::total_cmp);
    of[of.len() / 2]
}

struct Lines {
    lines: usize,
    weighed: usize,
    most_lots: usize,
    small: usize,
}

fn lines(night: &Problem, mix: &Mix) -> Lines {
    let few = Few::default();
    let mut found = Lines {
        lines: 0,
        weighed: 0,
        most_lots: 0,
        small: 0,
    };
    for group in &mix.groups {
        found.lines += group.lines();
        found.weighed += group.weighed_lines();
        found.most_lots = found.most_lots.max(group.draws.len());
        let least = few.smallest_draw(night.division, group.figures.wet.kg());
        for draw in &group.draws {
            let left = mix.left.iter().find(|left| left.lot == draw.lot);
            let lot = night.lots.iter().find(|lot| lot.name == draw.lot);
            let kept = lot.map_or(0, |lot| (lot.on_hand - lot.edible).get());
            let rest = left.map_or(0, |left| left.grams.get()) - kept;
            let empties = rest < night.division.grams(1).get();
            found.small += usize::from(draw.grams < least && !empties);
        }
    }
    found
}

/// Mixes and their chances.
fn by_policy(name: &str, lots: usize, policy: &Policy) -> Vec<(Mix, Vec<MeasureSureness>)> {
    let (mut counts, mut weighed, mut most, mut small, mut times, mut chances) = (
        Vec::new(),
        Vec::new(),
        Vec::new(),
        0,
        Vec::new(),
        Vec::new(),
    );
    let mut mixes = Vec::new();
    for seed in 0..NIGHTS {
        let night = night(seed, lots, policy.clone());
        let begun = on_processor_ms();
        let (mix, trust) = propose_with(&night, &Wishes::default());
        times.push(on_processor_ms() - begun);
        let found = lines(&night, &mix);
        counts.push(found.lines as f64);
        weighed.push(found.weighed as f64);
        most.push(found.most_lots as f64);
        small += found.small;
        let measures = trust.sureness.expect("chances").measures;
        chances.push(measures.iter().map(|of| of.chance).fold(1.0, f64::min));
        mixes.push((mix, measures));
    }
    times.sort_by(f64::total_cmp);
    println!(
        "{name}, {lots} lots, {NIGHTS} nights: lines median {:.0}, most {:.0}; to weigh median {:.0}, most {:.0}; lots a group median {:.0}, most {:.0}; {small} lines too small; least chance median {:.2}; ms median {:.1}, most {:.1}",
        median(counts.clone()),
        counts.iter().copied().fold(0.0, f64::max),
        median(weighed.clone()),
        weighed.iter().copied().fold(0.0, f64::max),
        median(most.clone()),
        most.iter().copied().fold(0.0, f64::max),
        median(chances),
        times[times.len() / 2],
        times[times.len() - 1],
    );
    mixes
}

/// What the window that loses most loses of its chance, as far as that is asked for.
fn less_sure(free: &[MeasureSureness], few: &[MeasureSureness]) -> f64 {
    let asked = Policy::ours().sure.expect("a chance");
    let lost = free.iter().zip(few).map(|(free, few)| {
        assert_eq!((&free.group, &free.measure), (&few.group, &few.measure));
        free.chance.min(asked) - few.chance.min(asked)
    });
    lost.fold(0.0, f64::max)
}

fn main() {
    for lots in [40, 60] {
        by_policy("plain", lots, &Policy::default());
        let free = by_policy(
            "ours without few lines",
            lots,
            &Policy {
                few: None,
                one_mix: false,
                ..Policy::ours()
            },
        );
        by_policy("ours", lots, &Policy::ours());
        let apart = Policy {
            one_mix: false,
            ..Policy::ours()
        };
        let few = by_policy("ours, each group apart", lots, &apart);
        let (mut first, mut later) = (0.0_f64, [0.0_f64; 3]);
        let mut above = 0;
        for (seed, (free, few)) in free.iter().zip(&few).enumerate() {
            let less_sure = less_sure(&free.1, &few.1);
            let (Some(free), Some(few)) = (free.0.tiers, few.0.tiers) else {
                continue;
            };
            first = first
                .max(few.short_dm_kg - free.short_dm_kg)
                .max(few.outside - free.outside);
            let cost = [
                less_sure,
                (free.urgent_kg - few.urgent_kg) / free.urgent_kg.max(0.1),
                (few.cost - free.cost) / free.cost.abs().max(0.1),
            ];
            if cost.iter().any(|cost| *cost > 0.01) {
                above += 1;
                println!("  night {seed}: {cost:.4?}");
            }
            for (most, cost) in later.iter_mut().zip(cost) {
                *most = most.max(cost);
            }
        }
        println!(
            "few lines cost at most {first:.1e} of the first goals, of a window's chance below what is asked {:.2} points, of spoilage {:.2} %, money {:.2} %; more than 1 % on {above} nights",
            100.0 * later[0],
            100.0 * later[1],
            100.0 * later[2]
        );
    }
}
