//! A mix with what staff need to trust it: asked for in one place, in an order
//! in which each part builds on the one before.

use crate::words::{Said, say};

use super::buckets::{BucketRule, Bucketed, bucket_model, in_buckets};
use super::constraints::{Plan, build};
use super::explain::{Why, WhyAsked, explain};
use super::mps::mps;
use super::ordered::Ordered;
use super::patience::{Patience, Waiting};
use super::problem::{Problem, Purchase};
use super::propose::{Mix, in_order, settle, stopped};
use super::shared::shared_where_it_fits;
use super::steady::{LastShares, stay_close};
use super::sureness::{Sureness, helped_by, sureness};
use super::tiers::goals_shown;

/// What is asked besides the mix.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Wishes {
    /// Why, and what would cure it.
    pub why: Option<WhyAsked>,
    pub buckets: Option<BucketRule>,
    /// The mix to stay close to.
    pub last: Option<LastShares>,
    /// Each goal's problem as free MPS.
    pub models: bool,
    /// How long all of it may take.
    pub patience: Patience,
}

/// What was found besides the mix.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Trust {
    pub why: Option<Why>,
    /// How sure.
    pub sureness: Option<Sureness>,
    pub buckets: Option<Bucketed>,
    /// Kilograms off the shares of the mix before, where it was asked to stay close.
    pub change_kg: Option<f64>,
    /// Name and text of each goal's problem.
    pub models: Vec<(String, String)>,
}

/// Proposes a mix as wished. A wish that can't be met, or not in time, never costs the mix.
#[must_use]
pub fn propose_with(problem: &Problem, wishes: &Wishes) -> (Mix, Trust) {
    let waiting = Waiting::with(&wishes.patience);
    let (mut mix, trust) = propose_while(problem, wishes, &waiting);
    let undone = waiting.undone();
    if !undone.is_empty() {
        let undone = Said::joined(undone, ", ");
        mix.notes.push(say!("mix-undone", undone));
    }
    (mix, trust)
}

fn propose_while(problem: &Problem, wishes: &Wishes, waiting: &Waiting) -> (Mix, Trust) {
    let problem = in_order(problem);
    let mut trust = Trust::default();
    let plan = |problem: &Problem| {
        let mut plan = build(problem);
        if let Some(last) = &wishes.last {
            stay_close(problem, &mut plan, last);
        }
        plan
    };
    let (problem, found) = shared_where_it_fits(problem, plan, waiting);
    let found = match found {
        Ok(found) => found,
        Err(unsolved) => return (stopped(&problem, unsolved.said(), None), trust),
    };
    let Ordered {
        open,
        plan,
        tiers,
        point,
    } = found;
    let mut mix = settle(&problem, &plan, tiers, &point);
    if let Some(rule) = &wishes.buckets
        && waiting.goes_on(|| say!("undone-buckets"))
    {
        let linear = (&tiers, &point[..]);
        if let Some((tipped, bucketed)) = in_buckets(&problem, &open, linear, rule, waiting) {
            mix = tipped;
            trust.buckets = Some(bucketed);
        } else {
            mix.notes.push(say!("mix-no-buckets"));
        }
    }
    if !plan.steady.terms.is_empty() {
        trust.change_kg = Some(plan.steady.value(&point));
    } else if wishes.last.is_some() {
        mix.notes.push(say!("mix-none-before"));
    }
    if let Some(spreads) = &problem.spreads {
        let mut found = sureness(&problem, spreads, &mix);
        if let Some(asked) = &wishes.why
            && found.is_below_asked()
            && waiting.goes_on(|| say!("undone-helped-by"))
        {
            let offers: Vec<Purchase> = asked
                .offers
                .iter()
                .map(|offer| offer.purchase.clone())
                .collect();
            found.helped_by = helped_by(&problem, &mix, &found, &offers);
        }
        trust.sureness = Some(found);
    }
    if let Some(asked) = &wishes.why {
        trust.why = Some(explain(&problem, &open, &mix, asked, waiting));
    }
    if wishes.models {
        trust.models = models(&problem, &open, wishes.buckets.as_ref());
    }
    (mix, trust)
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
