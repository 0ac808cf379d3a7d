use axum::extract::{Query, State};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::acts::{Paid, YieldAsked, money_month, yields};
use crate::quantity::Grams;
use crate::quantity::wire::Versioned;
use crate::sheet::json::{Money, Yields};

use super::super::app::App;
use super::super::pages::month::Wanted;
use super::super::pages::{discard as discards, harvest as harvests, money as moneys};
use super::super::taken::{DiscardSent, HarvestSent, PaymentSent};
use super::super::view::{Frame, Visiting};
use super::{Answer, Shown, answered, body, read, told};

#[derive(Deserialize, JsonSchema, Default)]
#[serde(default)]
pub(super) struct Which {
    /// A cohort by name or record such as r57; all that were harvested or ended when left out
    cohort: String,
}

pub(super) async fn yielded(
    State(app): State<App>,
    visit: Visiting,
    Query(which): Query<Which>,
) -> Answer {
    read(&app, &visit, move |book, farm, tables, now| {
        let only = Some(which.cohort.trim()).filter(|cohort| !cohort.is_empty());
        let sheet = yields(book, farm, tables, only, YieldAsked::default(), now)?;
        Ok(Versioned::first(Yields::from(&sheet)))
    })
    .await
}

pub(super) async fn harvest(
    State(app): State<App>,
    visit: Visiting,
    bytes: axum::body::Bytes,
) -> Answer {
    let sent: HarvestSent = body(&visit, &bytes).await?;
    let kept = harvests::keep_harvest(&app, sent)
        .await
        .map_err(|error| told(&visit, error))?;
    let shown = harvests::told(&Frame::new(&app, &visit), &kept);
    answered(Shown {
        done: kept.0,
        shown,
    })
}

#[derive(Serialize, JsonSchema)]
pub(super) struct PartsOut {
    record: i64,
    lot: String,
    kind: String,
    picked_out_g: Grams,
    /// What the lot holds now.
    on_hand_g: Grams,
    already_there: bool,
}

pub(super) async fn discard(
    State(app): State<App>,
    visit: Visiting,
    bytes: axum::body::Bytes,
) -> Answer {
    let sent: DiscardSent = body(&visit, &bytes).await?;
    let kept = discards::keep_parts(&app, sent)
        .await
        .map_err(|error| told(&visit, error))?;
    let shown = discards::told(&Frame::new(&app, &visit), &kept);
    let (done, kind, _) = kept;
    let done = PartsOut {
        record: done.record,
        lot: done.lot,
        kind,
        picked_out_g: done.grams,
        on_hand_g: done.left,
        already_there: done.already_there,
    };
    answered(Shown { done, shown })
}

pub(super) async fn money(
    State(app): State<App>,
    visit: Visiting,
    Query(wanted): Query<Wanted>,
) -> Answer {
    read(&app, &visit, move |book, farm, tables, now| {
        let month = wanted.or_this(now, farm)?;
        let sheet = money_month(book, farm, tables, month, Default::default())?;
        Ok(Versioned::first(Money::from(&sheet)))
    })
    .await
}

#[derive(Serialize, JsonSchema)]
pub(super) struct PaidFor {
    #[serde(flatten)]
    paid: Paid,
    item: &'static str,
    currency: String,
}

pub(super) async fn payment(
    State(app): State<App>,
    visit: Visiting,
    bytes: axum::body::Bytes,
) -> Answer {
    let sent: PaymentSent = body(&visit, &bytes).await?;
    let kept = moneys::keep_payment(&app, sent)
        .await
        .map_err(|error| told(&visit, error))?;
    let shown = moneys::told(&Frame::new(&app, &visit), &kept);
    let (paid, wanted, currency) = kept;
    let item = wanted.item.as_str();
    answered(Shown {
        done: PaidFor {
            paid,
            item,
            currency,
        },
        shown,
    })
}
