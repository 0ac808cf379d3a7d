//! How long plans take: 14 nights × 15 streams, 28 × 50 and 60 × 50, three
//! groups each, all four goals and the tie-break. Where Python with `highspy`
//! is found (`tests/run` makes one), the same goals on the same model
//! are given to HiGHS and the ratio is printed; the largest, on which HiGHS takes many
//! minutes, only when `TRAYFUL_LONG` is set. Asserts nothing.
//!
//!     cargo bench --bench ahead

#![expect(clippy::print_stdout, reason = "a benchmark tells its figures")]

use std::time::Instant;

use processor::on_processor_ms;
use trayful::outlook::{build, foresee};

#[path = "../tests/highs/mod.rs"]
mod highs;
#[path = "../tests/plans/mod.rs"]
mod plans;
mod processor;

fn main() {
    for (nights, streams) in [(14, 15), (28, 50), (60, 50)] {
        let outlook = plans::plan(plans::Size {
            nights,
            streams,
            groups: 3,
            seed: 7,
        });
        let began = Instant::now();
        let built = build(&outlook);
        let building = began.elapsed();
        let nonzeros: usize = built
            .plan
            .model
            .rows
            .iter()
            .map(|row| row.terms.len())
            .sum();
        println!(
            "{nights} nights x {streams} streams x 3 groups: {} columns, {} rows, {nonzeros} coefficients; built in {building:.0?}, memory at most {}",
            built.plan.model.columns.len(),
            built.plan.model.rows.len(),
            peak_memory(),
        );
        let (began, worked) = (Instant::now(), on_processor_ms());
        let foreseen = foresee(&outlook).expect("a plan");
        let (took, worked) = (began.elapsed(), on_processor_ms() - worked);
        println!(
            "    planned in {took:.1?} ({worked:.0} ms on the processor), short {:.3e}, outside {:.3e}, urgent {:.3} kg, cost {:.3}; memory at most {}",
            foreseen.shortage,
            foreseen.tiers.outside,
            foreseen.tiers.urgent_kg,
            foreseen.tiers.cost,
            peak_memory(),
        );
        if nights * streams > 2_000 && std::env::var_os("TRAYFUL_LONG").is_none() {
            continue;
        }
        match highs::goals(&built.plan) {
            Ok(told) => println!(
                "    HiGHS on the same goals: {:.0} ms on the processor; ours takes {:.2} times that; goals {:?}",
                told.milliseconds,
                worked / told.milliseconds,
                told.values
            ),
            Err(why) => println!("    not compared with HiGHS: {why}"),
        }
    }
}

/// The kernel's figure for the most memory this process held, where it tells.
fn peak_memory() -> String {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    status
        .lines()
        .find_map(|line| line.strip_prefix("VmHWM:"))
        .map_or_else(|| "not known".to_owned(), |kb| kb.trim().to_owned())
}
