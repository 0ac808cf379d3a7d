//! The five places of the page, and what the office holds.

use super::super::role::Role;
use super::*;
use crate::words::{Said, say};

/// One of the five, or a page of the office: where, its drawing, what it is called.
pub(crate) struct Place {
    pub(crate) path: &'static str,
    pub(crate) icon: &'static str,
    pub(crate) name: Said,
    /// Pages that belong to it.
    pages: &'static [&'static str],
}

impl Place {
    pub(crate) fn holds(&self, path: &str) -> bool {
        self.pages.iter().any(|page| path.starts_with(page))
    }
}

pub(crate) fn places() -> [Place; 5] {
    let place = |path, icon, name, pages| Place {
        path,
        icon,
        name,
        pages,
    };
    [
        place("/weigh", "weigh", say!("dock-nav-weigh"), &[]),
        place(
            "/stock",
            "stock",
            say!("dock-nav-stock"),
            &["/lot", "/labels", "/discard", "/trace"],
        ),
        place("/tonight", "tonight", say!("dock-nav-tonight"), &["/fed"]),
        place(
            "/cohorts",
            "larvae",
            say!("dock-nav-cohorts"),
            &["/cohort/", "/cohorts/", "/harvest"],
        ),
        place(
            "/office",
            "office",
            say!("dock-nav-office"),
            &[
                "/ahead",
                "/month",
                "/statement",
                "/money",
                "/learn",
                "/mixes",
                "/day",
                "/correct",
                "/containers",
                "/streams",
                "/settings",
                "/check",
            ],
        ),
    ]
}

/// Pages that belong together, each with what it is for.
struct Drawer {
    name: Said,
    pages: Vec<(Place, Said)>,
}

#[derive(Template)]
#[template(path = "office.html", config = "src/askama.toml")]
pub(crate) struct Office {
    frame: Frame,
    drawers: [Drawer; 3],
}

/// Path, drawing, name and what it is for, a row a page.
macro_rules! drawer {
    ($name:expr => $($path:literal, $icon:literal, $called:expr, $what:expr;)+) => {
        Drawer {
            name: $name,
            pages: vec![$((
                Place { path: $path, icon: $icon, name: $called, pages: &[] },
                $what,
            )),+],
        }
    };
}

pub(crate) fn show(_: &At, frame: Frame, (): ()) -> Result<Office> {
    let mut drawers = [
        drawer! { say!("dock-office-figures") =>
            "/month", "month", say!("dock-nav-month"), say!("dock-office-month");
            "/month/close", "close", say!("dock-close-title"), say!("dock-office-close");
            "/statement", "statement", say!("dock-nav-statement"), say!("dock-office-statement");
            "/money", "money", say!("dock-nav-money"), say!("dock-office-money");
            "/trace", "trace", say!("dock-trace-show"), say!("dock-office-trace");
        },
        drawer! { say!("dock-office-look-ahead") =>
            "/ahead", "ahead", say!("dock-nav-ahead"), say!("dock-office-ahead");
            "/learn", "learn", say!("dock-nav-learn"), say!("dock-office-learn");
            "/mixes", "mixes", say!("dock-nav-mixes"), say!("dock-office-mixes");
        },
        drawer! { say!("dock-office-farm") =>
            "/day", "day", say!("dock-day-name"), say!("dock-office-day");
            "/correct", "correct", say!("dock-correct-title"), say!("dock-office-correct");
            "/containers", "containers", say!("dock-containers-title"), say!("dock-office-containers");
            "/streams", "stream", say!("dock-own-title"), say!("dock-office-streams");
            "/settings", "settings", say!("dock-settings-title"), say!("dock-office-settings");
            "/check", "check", say!("dock-check-name"), say!("dock-office-check");
        },
    ];
    let role = frame.visit.role.unwrap_or(Role::Staff);
    for drawer in &mut drawers {
        drawer.pages.retain(|(page, _)| role.may_open(page.path));
    }
    Ok(Office { frame, drawers })
}
