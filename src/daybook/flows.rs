use super::Outlet;

/// How weight left a lot, as the one table of outflows names it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum OutflowKind {
    Fed,
    /// A difference between scale and book; may be below zero.
    Shrink,
    /// Taken out another way.
    To(Outlet),
}

impl OutflowKind {
    /// The name in the table.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Fed => "fed",
            Self::Shrink => "shrink",
            Self::To(Outlet::Composted) => "composted",
            Self::To(Outlet::Returned) => "returned",
            Self::To(Outlet::Landfilled) => "landfilled",
            Self::To(Outlet::Liquor) => "liquor",
            Self::To(Outlet::PickedOut) => "picked_out",
            Self::To(Outlet::Animals) => "animals",
            Self::To(Outlet::Processing) => "processing",
            Self::To(Outlet::Digestion) => "digestion",
            Self::To(Outlet::Combustion) => "combustion",
            Self::To(Outlet::Land) => "land",
            Self::To(Outlet::Discards) => "discards",
            Self::To(Outlet::Sewer) => "sewer",
        }
    }

    pub(super) fn parse(text: &str) -> Option<Self> {
        Some(match text {
            "fed" => Self::Fed,
            "shrink" => Self::Shrink,
            "composted" => Self::To(Outlet::Composted),
            "returned" => Self::To(Outlet::Returned),
            "landfilled" => Self::To(Outlet::Landfilled),
            "liquor" => Self::To(Outlet::Liquor),
            "picked_out" => Self::To(Outlet::PickedOut),
            other => {
                let further = Outlet::FURTHER.into_iter().map(Self::To);
                return further.into_iter().find(|kind| kind.as_str() == other);
            }
        })
    }
}
