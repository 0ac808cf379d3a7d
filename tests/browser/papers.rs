//! The pictures in README, made anew from the demo farm:
//! `cargo test --features browser-tests --test browser pictures -- --ignored`

use std::path::Path;

use super::browser_support::{Browser, in_time};
use super::dock_support::Farm;

/// Half the dots of a screen are enough to know a page by.
const DOTS: f64 = 0.6;

#[test]
#[ignore = "writes examples/pictures"]
fn the_pictures_in_readme() {
    in_time(async {
        let farm = Farm::demo("2026-11-16T16:40:00-05:00");
        let dock = farm.dock();
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/pictures");
        std::fs::create_dir_all(&folder).expect("a folder");
        for (name, path, width, height) in [
            ("today", "/", 1024, 768),
            ("weigh", "/weigh", 1024, 768),
            ("stock", "/stock", 1024, 768),
            ("tonight", "/tonight", 1024, 768),
            ("month", "/month?month=2026-10", 1024, 768),
            ("phone", "/weigh", 390, 768),
        ] {
            let browser = Browser::open_at(width, height, DOTS).await;
            browser
                .goto(&format!("http://localhost:{}{path}", dock.port))
                .await;
            browser.stands_whole().await;
            let bytes = browser.client.screenshot().await.expect("a picture");
            std::fs::write(folder.join(format!("{name}.png")), bytes).expect("written");
            browser.client.clone().close().await.expect("closed");
        }
    });
}
