//! The dock page in a real browser. Needs Debian's `chromium` and
//! `chromium-driver`, and axe-core under `target/browser` (`tests/run` brings
//! them); built only with the feature `browser-tests`.

#[path = "../browser_support/mod.rs"]
mod browser_support;
#[path = "../dock_support/mod.rs"]
mod dock_support;
#[path = "../scale_support/mod.rs"]
mod scale_support;

mod clear;
mod day;
mod night;
mod papers;
mod reading;
mod taps;
mod tiles;
mod tls;
mod trays;
mod waiting;
mod weeks;
mod weigh;
mod wire;

use dock_support::Farm;

/// A farm with a few tickets, so that there are tiles.
fn used_farm() -> Farm {
    let farm = Farm::new();
    for (no, supplier, stream) in [
        (1, "Corner grocer", "plum-culls"),
        (2, "Quay brewery", "spent-grain"),
        (3, "Hearth bakery", "bread"),
    ] {
        let ticket = format!("auto-seed{no}");
        farm.run(&[
            "weigh",
            "--ticket",
            &ticket,
            "--supplier",
            supplier,
            "--stream",
            stream,
            "--gross",
            "30lb",
            "--container",
            "pail",
        ]);
    }
    farm.cohort("H1");
    farm
}

const BREWERY: &str = "#suppliers label:has(input[value='Quay brewery'])";
const BAKERY: &str = "#suppliers label:has(input[value='Hearth bakery'])";
const BREAD: &str = "#streams label:has(input[value='bread'])";
const GRAIN: &str = "#streams label:has(input[value='spent-grain'])";
const IS_DONE: &str = "!document.querySelector('#done').hidden";

/// The brewery's grain, and what the scale types of it.
async fn weighs_grain(browser: &browser_support::Browser, typed: &str) {
    browser.touch(BREWERY).await;
    browser.touch(GRAIN).await;
    browser.types(typed).await;
}
