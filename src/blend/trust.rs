//! A mix with what staff need to trust it: asked for in one place, in an order
//! in which each part builds on the one before.

use super::buckets::{BucketRule, Bucketed, bucket_model, in_buckets};
use super::constraints::{Plan, build};
use super::explain::{Why, WhyAsked, explain};
use super::mps::mps;
use super::problem::Problem;
use super::propose::{Mix, in_order, settle, stopped};
use super::solve::Unsolved;
use super::steady::{LastShares, stay_close};
use super::sureness::{Spreads, Sureness, sure_plan, sureness};
use super::tiers::{Tiers, goals_in_order, goals_shown};

/// What is asked besides the mix.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Wishes {
    /// Why, and what would cure it.
    pub why: Option<WhyAsked>,
    /// Whole buckets.
    pub buckets: Option<BucketRule>,
    /// How sure, with the spreads to reckon with.
    pub spreads: Option<Spreads>,
    /// The chance to be inside each window at, above 0.5 and below 1.
    pub sure: Option<f64>,
    /// The mix to stay close to.
    pub last: Option<LastShares>,
    /// Each goal's problem as free MPS.
    pub models: bool,
}

/// What was found besides the mix.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Trust {
    /// Why.
    pub why: Option<Why>,
    /// How sure.
    pub sureness: Option<Sureness>,
    /// Buckets.
    pub buckets: Option<Bucketed>,
    /// Kilograms off the shares of the mix before, where it was asked to stay close.
    pub change_kg: Option<f64>,
    /// Name and text of each goal's problem.
    pub models: Vec<(String, String)>,
}

/// Proposes a mix as wished. A wish that can't be met never costs the mix.
#[must_use]
pub fn propose_with(problem: &Problem, wishes: &Wishes) -> (Mix, Trust) {
    let problem = in_order(problem);
    let mut trust = Trust::default();
    let mut plan = build(&problem);
    if let Some(last) = &wishes.last {
        stay_close(&problem, &mut plan, last);
    }
    let (solved, outcome) = match held(&problem, &mut plan, wishes) {
        Ok(found) => found,
        Err(unsolved) => return (stopped(&problem, unsolved.to_string(), None), trust),
    };
    let (tiers, point) = solved;
    let mut mix = settle(&problem, &plan, tiers, &point);
    if let Some(rule) = &wishes.buckets {
        if let Some((tipped, bucketed)) = in_buckets(&problem, &plan, (&tiers, &point), rule) {
            mix = tipped;
            trust.buckets = Some(bucketed);
        } else {
            let note = "no plan in whole buckets was found; weights are as without `--buckets`";
            mix.notes.push(note.to_owned());
        }
    }
    if !plan.steady.terms.is_empty() {
        trust.change_kg = Some(plan.steady.value(&point));
    } else if wishes.last.is_some() {
        let note = "no group was fed before that is fed tonight: there is no mix to stay close to";
        mix.notes.push(note.to_owned());
    }
    if let Some(spreads) = &wishes.spreads {
        let mut found = sureness(&problem, spreads, &mix);
        found.asked = wishes.sure;
        match outcome {
            Ok(held_at) => found.held_at = held_at,
            Err(reason) => found.failed = Some(reason),
        }
        trust.sureness = Some(found);
    }
    if let Some(asked) = &wishes.why {
        trust.why = Some(explain(&problem, &plan, &mix, asked));
    }
    if wishes.models {
        trust.models = models(&problem, &plan, wishes.buckets.as_ref());
    }
    (mix, trust)
}

/// What came of the chance asked for: what it is held at, or why it failed.
type Held = Result<Option<f64>, String>;

/// The goals in order, at the chance asked for where one is.
fn held(
    problem: &Problem,
    plan: &mut Plan,
    wishes: &Wishes,
) -> Result<((Tiers, Vec<f64>), Held), Unsolved> {
    if let (Some(chance), Some(spreads)) = (wishes.sure, &wishes.spreads) {
        match sure_plan(problem, plan, spreads, chance) {
            Ok(sure) => {
                *plan = sure.plan;
                return Ok((sure.solved, Ok(sure.held_at)));
            }
            Err(unsolved) => return Ok((goals_in_order(plan)?, Err(unsolved.to_string()))),
        }
    }
    Ok((goals_in_order(plan)?, Ok(None)))
}

/// The exact problem of each goal as it is solved, then that of the buckets.
fn models(problem: &Problem, plan: &Plan, rule: Option<&BucketRule>) -> Vec<(String, String)> {
    let mut written = Vec::new();
    let shown = goals_shown(plan, |name, model, goal| {
        let short = name.trim_start_matches("goal ").to_owned();
        let text = mps(&short, model, goal, &[]);
        written.push((short, text));
    });
    // A goal that can't be solved here is still written for others to try.
    drop(shown);
    if let Some(rule) = rule {
        let (model, goal, integers) = bucket_model(problem, plan, rule);
        let text = mps("buckets", &model, &goal, &integers);
        written.push(("buckets".to_owned(), text));
    }
    written
}
