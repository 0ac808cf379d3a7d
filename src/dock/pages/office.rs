//! The five places of the page, and what the office holds.

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
        place("/", "weigh", say!("dock-nav-weigh"), &[]),
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
            ],
        ),
    ]
}

#[derive(Template)]
#[template(path = "office.html", config = "src/askama.toml")]
pub(crate) struct Office {
    frame: Frame,
    /// Each page with what it is for.
    pages: [(Place, Said); 7],
}

pub(crate) fn show(_: &At, frame: Frame, (): ()) -> Result<Office> {
    let page = |path, icon, name, what| {
        let place = Place {
            path,
            icon,
            name,
            pages: &[],
        };
        (place, what)
    };
    let pages = [
        page(
            "/ahead",
            "ahead",
            say!("dock-nav-ahead"),
            say!("dock-office-ahead"),
        ),
        page(
            "/month",
            "month",
            say!("dock-nav-month"),
            say!("dock-office-month"),
        ),
        page(
            "/statement",
            "statement",
            say!("dock-nav-statement"),
            say!("dock-office-statement"),
        ),
        page(
            "/money",
            "money",
            say!("dock-nav-money"),
            say!("dock-office-money"),
        ),
        page(
            "/learn",
            "learn",
            say!("dock-nav-learn"),
            say!("dock-office-learn"),
        ),
        page(
            "/mixes",
            "mixes",
            say!("dock-nav-mixes"),
            say!("dock-office-mixes"),
        ),
        page(
            "/trace",
            "trace",
            say!("dock-trace-show"),
            say!("dock-office-trace"),
        ),
    ];
    Ok(Office { frame, pages })
}
