use serde::Deserialize;

use crate::daybook::Outlet;
use crate::words::{Said, say};

/// How weight left a lot, as the one table of outflows names it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum OutflowKind {
    Fed,
    /// A difference between scale and book; may be below zero.
    Shrink,
    /// Taken out another way.
    #[serde(untagged)]
    To(Outlet),
}

impl OutflowKind {
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Fed => "fed",
            Self::Shrink => "shrink",
            Self::To(Outlet::PickedOut) => "picked_out",
            Self::To(outlet) => outlet.as_str(),
        }
    }

    pub fn said(self) -> Said {
        say!("outflow", way = self.as_str())
    }
}
