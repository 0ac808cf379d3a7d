//! Stated chances of 200 random nights against 100,000 draws each, which fails
//! where one is out by more than 2 points besides the draws' own error; then
//! times of explanations, sureness and whole buckets.

#![expect(clippy::print_stdout, reason = "a bench prints its figures")]

use std::hint::black_box;
use std::time::Instant;

use criterion::{Criterion, criterion_group, criterion_main};
use processor::on_processor_ms;
use trayful::blend::explain::WhyAsked;
use trayful::blend::solve_whole::Engine;
use trayful::blend::{BucketRule, Policy, Problem, Wishes, propose, propose_with};

#[path = "../tests/stocked/drawn.rs"]
mod drawn;
mod processor;
#[path = "../tests/stocked/spread.rs"]
mod spread;
#[path = "../tests/stocked/mod.rs"]
mod stocked;

fn chances(_: &mut Criterion) {
    const NIGHTS: u64 = 200;
    let mut all: Vec<drawn::Compared> = (0..NIGHTS).flat_map(drawn::compare).collect();
    all.sort_by(|a, b| a.off().total_cmp(&b.off()));
    let at = |pct: usize| 100.0 * all[pct * (all.len() - 1) / 100].off();
    let out: Vec<&drawn::Compared> = all.iter().filter(|one| one.is_out()).collect();
    println!(
        "{} chances of {NIGHTS} nights against {} draws: off by {:.2} points at the median, {:.2} at 99 in 100, {:.2} at most; {} out",
        all.len(),
        drawn::DRAWS,
        at(50),
        at(99),
        at(100),
        out.len()
    );
    for one in all.iter().rev().take(out.len().max(3)) {
        println!(
            "    {}: stated {:.4}, drawn {:.4}",
            one.what, one.stated, one.drawn
        );
    }
    assert!(out.is_empty(), "chances out by more than 2 points");
}

fn explanations(criterion: &mut Criterion) {
    let night = stocked::night(7, 60);
    let spreads = spread::spreads(&night);
    let mut hungry = night.clone();
    for group in &mut hungry.groups {
        for window in group.windows.values_mut() {
            window.max = window.max.map(|max| max - 0.12);
            window.min = None;
        }
    }
    let why = Wishes {
        why: Some(WhyAsked {
            offers: night.purchases.iter().cloned().map(Into::into).collect(),
            in_full: true,
            ..WhyAsked::default()
        }),
        ..Wishes::default()
    };
    let sure = |chance| {
        let mut night = night.clone();
        night.spreads = Some(spreads.clone());
        night.policy.sure = chance;
        night
    };
    let [told, kept] = [None, Some(0.8)].map(sure);
    println!(
        "60 lots: {}, tight windows: {}",
        propose(&night).verdict.as_str(),
        propose(&hungry).verdict.as_str()
    );
    let mut group = criterion.benchmark_group("60 lots, 2 groups");
    group.sample_size(10);
    group.bench_function("the mix alone", |b| b.iter(|| propose(black_box(&night))));
    group.bench_function("with why", |b| {
        b.iter(|| propose_with(black_box(&night), &why));
    });
    group.bench_function("with why and cures, nothing fits", |b| {
        b.iter(|| propose_with(black_box(&hungry), &why));
    });
    group.bench_function("with chances", |b| {
        b.iter(|| propose_with(black_box(&told), &Wishes::default()));
    });
    group.bench_function("with margins at 0.8", |b| {
        b.iter(|| propose_with(black_box(&kept), &Wishes::default()));
    });
    group.finish();
}

/// What each wish adds to the mix, on the processor, over several nights of 60 lots.
fn added(_: &mut Criterion) {
    const NIGHTS: u64 = 12;
    type Wish = fn(&mut Problem) -> Wishes;
    let wished: [(&str, Wish); 4] = [
        ("--why", |night| Wishes {
            why: Some(WhyAsked {
                offers: night.purchases.iter().cloned().map(Into::into).collect(),
                in_full: true,
                ..WhyAsked::default()
            }),
            ..Wishes::default()
        }),
        ("chances", |night| {
            night.spreads = Some(spread::spreads(night));
            Wishes::default()
        }),
        ("margins at 0.8", |night| {
            night.spreads = Some(spread::spreads(night));
            night.policy.sure = Some(0.8);
            Wishes::default()
        }),
        ("our default policy", |night| {
            night.spreads = Some(spread::spreads(night));
            night.policy = Policy::ours();
            Wishes::default()
        }),
    ];
    for (name, wish) in wished {
        let mut all: Vec<f64> = (0..NIGHTS)
            .map(|seed| {
                let plain = stocked::night(seed, 60);
                let mut night = plain.clone();
                let wishes = wish(&mut night);
                let begun = on_processor_ms();
                black_box(propose(black_box(&plain)));
                let alone = on_processor_ms();
                black_box(propose_with(black_box(&night), &wishes));
                on_processor_ms() - alone - (alone - begun)
            })
            .collect();
        all.sort_by(f64::total_cmp);
        println!(
            "{name} adds on the processor, 60 lots, 2 groups, {NIGHTS} nights: median {:.0} ms, most {:.0} ms",
            all[all.len() / 2],
            all[all.len() - 1]
        );
    }
}

/// One run each over many nights, by every engine that is built in: how long, and how large the proven gap.
fn buckets(_: &mut Criterion) {
    for lots in [12, 20, 40, 80] {
        for engine in Engine::BUILT_IN {
            by_engine(*engine, lots);
        }
    }
}

fn by_engine(engine: Engine, lots: usize) {
    const NIGHTS: u64 = 36;
    let mut found: Vec<(f64, f64)> = (0..NIGHTS)
        .map(|seed| {
            let night = stocked::night(seed, lots);
            let wishes = Wishes {
                buckets: Some(BucketRule {
                    engine,
                    ..BucketRule::default()
                }),
                ..Wishes::default()
            };
            let start = Instant::now();
            let (_, trust) = propose_with(&night, &wishes);
            let seconds = start.elapsed().as_secs_f64();
            (seconds, trust.buckets.expect("a plan").gap)
        })
        .collect();
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    let times: Vec<f64> = found.iter().map(|(seconds, _)| *seconds).collect();
    let mut gaps: Vec<f64> = found.iter().map(|(_, gap)| *gap).collect();
    gaps.sort_by(f64::total_cmp);
    let at = |of: &[f64], share: f64| {
        let wanted = (of.len() - 1) as f64 * share;
        let found = of
            .iter()
            .enumerate()
            .find(|(place, _)| *place as f64 >= wanted);
        found.map_or(0.0, |(_, value)| *value)
    };
    let good = found
        .iter()
        .filter(|(seconds, gap)| *gap <= 0.01 && *seconds < 3.0)
        .count();
    println!(
        "whole buckets by {}, {lots} lots, 2 groups, {NIGHTS} nights: {good} within 1 % under 3 s; seconds median {:.3}, 90 % {:.3}, most {:.3}; gap median {:.2} %, 90 % {:.2} %, most {:.2} %",
        engine.as_str(),
        at(&times, 0.5),
        at(&times, 0.9),
        at(&times, 1.0),
        100.0 * at(&gaps, 0.5),
        100.0 * at(&gaps, 0.9),
        100.0 * at(&gaps, 1.0)
    );
}

criterion_group!(benches, chances, added, explanations, buckets);
criterion_main!(benches);
