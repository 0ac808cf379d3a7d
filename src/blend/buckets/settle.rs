//! What is weighed out of an opened bucket, bought or added, rounded to the
//! scale: nearest first, then single steps as long as the assessment gets better.

use crate::quantity::Grams;

use super::super::assess::assess;
use super::super::problem::Problem;
use super::{Settled, Taken, collect};

/// One weight that can move by steps of the scale.
struct Part {
    kg: f64,
    steps: i64,
    least: Grams,
    most: Grams,
}

/// Steps tried at most.
const ROUNDS_MOST: usize = 60;

pub(super) fn settle(
    problem: &Problem,
    taken: &[Taken],
    bought: &[Vec<(usize, f64)>],
    water: &[f64],
    smallest: Grams,
) -> Settled {
    let part = |kg: f64, least: Grams, most: Grams| Part {
        kg,
        steps: if kg > 1e-6 {
            problem.division.steps_nearest(kg)
        } else {
            0
        },
        least,
        most,
    };
    let rests = taken
        .iter()
        .map(|one| part(one.rest_kg, smallest, one.bucket));
    let buys = bought
        .iter()
        .flatten()
        .map(|(item, kg)| part(*kg, Grams::ZERO, problem.purchases[*item].limit));
    let waters = water
        .iter()
        .map(|kg| part(*kg, Grams::ZERO, problem.water_limit));
    let mut parts: Vec<Part> = rests.chain(buys).chain(waters).collect();
    for part in &mut parts {
        let most = problem.division.steps_within(part.most);
        part.steps = part.steps.min(most).max(0);
        if part.kg > 1e-6 && problem.division.grams(part.steps) < part.least {
            part.steps = (part.steps + 1).min(most);
        }
    }
    let mut badness = badness_of(problem, taken, bought, &parts);
    for _ in 0..ROUNDS_MOST {
        let mut best: Option<(f64, usize, i64)> = None;
        for position in 0..parts.len() {
            if parts[position].kg <= 1e-6 {
                continue;
            }
            for by in [-1, 1] {
                parts[position].steps += by;
                let grams = problem.division.grams(parts[position].steps);
                let fits = grams <= parts[position].most
                    && parts[position].steps >= 0
                    && (grams >= parts[position].least || grams == Grams::ZERO);
                if fits {
                    let after = badness_of(problem, taken, bought, &parts);
                    if after < best.map_or(badness, |(least, _, _)| least) - 1e-12 {
                        best = Some((after, position, by));
                    }
                }
                parts[position].steps -= by;
            }
        }
        let Some((after, position, by)) = best else {
            break;
        };
        parts[position].steps += by;
        badness = after;
    }
    settled(problem, taken, bought, &parts)
}

fn settled(
    problem: &Problem,
    taken: &[Taken],
    bought: &[Vec<(usize, f64)>],
    parts: &[Part],
) -> Settled {
    let mut grams = parts.iter().map(|part| problem.division.grams(part.steps));
    let mut next = || grams.next().unwrap_or(Grams::ZERO);
    Settled {
        rests: taken.iter().map(|_| next()).collect(),
        bought: bought
            .iter()
            .map(|of_group| of_group.iter().map(|(item, _)| (*item, next())).collect())
            .collect(),
        water: problem.groups.iter().map(|_| next()).collect(),
    }
}

fn badness_of(
    problem: &Problem,
    taken: &[Taken],
    bought: &[Vec<(usize, f64)>],
    parts: &[Part],
) -> f64 {
    let weighed = collect(problem, taken, &settled(problem, taken, bought, parts));
    assess(problem, &weighed).badness()
}
