//! One file a form, and a few for what is only read: parse, call an act, render.

pub(super) mod close;
pub(super) mod cohort;
pub(super) mod correct;
pub(super) mod discard;
pub(super) mod document;
pub(super) mod fed;
pub(super) mod harvest;
pub(super) mod home;
pub(super) mod labels;
pub(super) mod learned;
pub(super) mod lot;
pub(super) mod money;
pub(super) mod month;
pub(super) mod office;
pub(super) mod own_stream;
pub(super) mod pin;
pub(super) mod plain;
pub(super) mod records;
pub(super) mod settings;
pub(super) mod stock;
pub(super) mod ticks;
pub(super) mod tonight;
pub(super) mod trace;
pub(super) mod undo;
pub(super) mod weigh;

// What nearly every page names.
use askama::Template;
use axum::extract::{Query, State};
use axum::response::{IntoResponse, Response};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::acts::{ActError, Rejection, Result};
use crate::quantity::{Grams, Units};
use crate::sheet::{Block, Document};

use super::answer::{Taken, page, see};
use super::app::{App, At};
use super::form::{Act, Change, Entry, Form, Sent, Shown, Wanted, Writing};
use super::keeper::Unkept;
use super::kept::{Kept, RECENT_SHOWN, Recent, newest};
use super::shape::{Fields, Way, given, ticked};
use super::view::{Frame, Visiting};

/// Forms bring how they came in a field of this name.
macro_rules! sent {
    ($($of:ty),+) => {$(
        impl Sent for $of {
            fn way(&mut self) -> &mut Way {
                &mut self.way
            }
        }
    )+};
}

sent! {
    close::CloseSent, cohort::CohortSent, correct::CorrectionSent, discard::DiscardSent,
    fed::FedSent, harvest::HarvestSent, learned::TakeSent, lot::LotSent, money::PaymentSent,
    own_stream::OwnStreamSent, settings::ContainerSent, settings::SettingsSent, undo::StrikeSent, weigh::BucketSent
}
