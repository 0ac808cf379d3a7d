//! Three invented weeks lived on the page alone: what was typed is counted here, and
//! the month's sums must say the same, to the gram.

use std::collections::BTreeMap;

use jiff::civil::{Date, date};
use serde_json::json;
use trayful::daybook::Daybook;
use trayful::quantity::Grams;

use super::IS_DONE;
use super::browser_support::{Browser, within};
use super::day::Hand;
use super::dock_support::{Dock, Farm};

const DAYS: i8 = 21;
const PAIL_G: i64 = 680;

/// What was typed, grams, by what it is; and what was stumbled over.
#[derive(Default)]
struct Counted {
    grams: BTreeMap<&'static str, i64>,
    asked: Vec<String>,
    acts: BTreeMap<&'static str, usize>,
}

impl Counted {
    fn add(&mut self, what: &'static str, grams: i64) {
        *self.grams.entry(what).or_default() += grams;
    }

    fn did(&mut self, what: &'static str) {
        *self.acts.entry(what).or_default() += 1;
    }

    fn of(&self, what: &str) -> i64 {
        self.grams.get(what).copied().unwrap_or_default()
    }
}

/// Numbers that come out the same each time.
struct Dice(u64);

impl Dice {
    fn between(&mut self, least: i64, most: i64) -> i64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1);
        let span = u64::try_from(most - least + 1).expect("a span");
        least + i64::try_from((self.0 >> 33) % span).expect("small")
    }
}

/// Kilograms as a scale of 50 g shows them.
fn kg(grams: i64) -> String {
    format!("{}.{:02} kg", grams / 1000, grams % 1000 / 10)
}

/// Grams of a weight as a page shows it: `4.85 kg` or `850 g`.
fn grams_of(text: &str) -> i64 {
    let (number, unit) = text
        .trim()
        .split_once(' ')
        .unwrap_or_else(|| panic!("{text}"));
    let number: f64 = number
        .replace(',', "")
        .parse()
        .unwrap_or_else(|_| panic!("{text}"));
    let grams = if unit.starts_with("kg") {
        number * 1000.0
    } else {
        number
    };
    #[expect(clippy::cast_possible_truncation, reason = "a few kilograms")]
    let grams = grams.round() as i64;
    grams
}

struct Weeks {
    hand: Hand,
    counted: Counted,
    dice: Dice,
}

impl Weeks {
    /// Presses keep, and says that it is meant where it is asked.
    async fn keep(&mut self, what: &'static str) {
        self.hand.browser.touch("#keep").await;
        let ends = format!("{IS_DONE} || !document.querySelector('#told').hidden");
        self.hand.browser.until(&ends).await;
        let said = self.hand.browser.text("#told").await;
        if !said.trim().is_empty() {
            self.counted.asked.push(format!("{what}: {said}"));
            let sure = "return !document.querySelector('#sure').hidden";
            assert_eq!(
                self.hand.browser.run(sure).await,
                json!(true),
                "{what}: {said}"
            );
            self.hand.browser.touch("#sure button").await;
            self.hand.browser.until(IS_DONE).await;
        }
        self.counted.did(what);
    }

    /// A tile where there is one; else its name is typed.
    async fn chosen(&mut self, set: &str, name: &str, value: &str) {
        let tile = format!("{set} label:has(input[value='{value}'])");
        let there = format!("return Boolean(document.querySelector({tile:?}))");
        if self.hand.browser.run(&there).await == json!(true) {
            self.hand.browser.touch(&tile).await;
            return;
        }
        self.hand
            .browser
            .touch(&format!("{set} label:has(input[value='other'])"))
            .await;
        self.hand.fill(&[(&*format!("{name}_other"), value)]).await;
    }

    async fn bucket(&mut self, supplier: &str, stream: &str, gross_g: i64, refused: bool) {
        self.hand.page("/weigh").await;
        self.hand.browser.run("sessionStorage.clear()").await;
        self.hand.page("/weigh").await;
        self.chosen("#suppliers", "supplier", supplier).await;
        self.chosen("#streams", "stream", stream).await;
        self.hand
            .browser
            .touch(".tares label:has(input[value='pail'])")
            .await;
        self.hand.fill(&[("gross", &kg(gross_g))]).await;
        if refused {
            self.hand
                .browser
                .run("document.querySelector('[name=refuse][value=mouldy]').click()")
                .await;
        }
        self.keep(if refused { "refused" } else { "bucket" }).await;
        self.counted.add(
            if refused { "refused" } else { "received" },
            gross_g - PAIL_G,
        );
    }

    /// The newest lot on the page of a lot, and what it holds by the API of the page.
    async fn lot(&self, stream: &str) -> Option<(String, i64)> {
        let asked =
            "const done = arguments[0]; fetch('/api/stock').then((told) => told.json()).then(done)";
        let lots = self
            .hand
            .browser
            .client
            .execute_async(asked, Vec::new())
            .await
            .expect("lots");
        let lots = lots.as_array().expect("a list").clone();
        let fits = lots
            .iter()
            .rev()
            .find(|lot| lot["stream"] == stream && lot["on_hand_g"].as_i64() > Some(3000));
        fits.map(|lot| {
            (
                lot["lot"].as_str().expect("a name").to_owned(),
                lot["on_hand_g"].as_i64().expect("grams"),
            )
        })
    }

    async fn of_lot(&mut self, lot: &str, act: &str, fields: &[(&str, &str)], what: &'static str) {
        self.hand.page(&format!("/lot?lot={lot}&act={act}")).await;
        self.hand.fill(fields).await;
        if act == "away" {
            self.hand
                .browser
                .touch("label:has([name=to][value=composted])")
                .await;
        }
        self.keep(what).await;
    }

    async fn evening(&mut self, day: i8) {
        self.hand.page("/tonight").await;
        let keep = "return Boolean(document.querySelector(\"form[action='/tonight'] button\"))";
        if self.hand.browser.run(keep).await != json!(true) {
            self.counted.did("night without a sheet");
            return;
        }
        // What is asked for next is of the page that comes, not of this one.
        self.hand.browser.run("window.before = true").await;
        self.hand
            .browser
            .touch("form[action='/tonight'] button")
            .await;
        self.hand
            .browser
            .until("!window.before && document.readyState === 'complete'")
            .await;
        let lines = self.hand.browser.run("return [...document.querySelectorAll('.ticks li:not(.group)')].map((line) => [line.querySelector('strong').textContent, line.querySelector('.otherwise input').dataset.lot])").await;
        let lines = lines.as_array().expect("lines").clone();
        if lines.is_empty() {
            self.counted.did("night without a line");
            return;
        }
        for (at, line) in lines.iter().enumerate() {
            let mut fed = grams_of(line[0].as_str().expect("a weight"));
            let is_water = line[1] == "water";
            if at == 0 && day % 3 == 1 && fed > 1000 {
                fed -= 200;
                self.hand.browser.touch_into(&format!("#w{}", at + 1)).await;
                self.hand.browser.types(&format!("{}\n", kg(fed))).await;
                self.hand
                    .browser
                    .until("document.querySelector('.tick input').checked")
                    .await;
                self.counted.did("line taken otherwise");
            } else {
                let tick = format!("document.querySelectorAll('.tick input')[{at}].click()");
                self.hand.browser.run(&tick).await;
            }
            self.counted
                .add(if is_water { "water" } else { "fed" }, fed);
        }
        self.keep("fed").await;
    }
}

async fn begun(farm: &Farm, now: &str) -> (Dock, Hand) {
    let dock = farm.dock_with(&["--begin", "--now", now]);
    let hand = Hand::at(Browser::open(1024, 768).await, dock.port);
    hand.page("/settings").await;
    hand.fill(&[
        ("name", "Yard 3 larvae"),
        ("unit", "kg"),
        ("division", "0.05"),
        ("larvae_for", "not-feed"),
    ])
    .await;
    hand.keep().await;
    hand.page("/containers").await;
    hand.fill(&[("name", "pail"), ("weight", "0.68 kg"), ("holds", "20 l")])
        .await;
    hand.keep().await;
    (dock, hand)
}

async fn hatched(weeks: &mut Weeks, name: &str, day: Date) {
    weeks.hand.page("/cohorts/add").await;
    let hatched = day.saturating_sub(jiff::Span::new().days(5)).to_string();
    weeks
        .hand
        .fill(&[
            ("name", name),
            ("hatched", &hatched),
            ("larvae", "40000"),
            ("trays", "12"),
            ("tray_area", "60x40cm"),
        ])
        .await;
    weeks.keep("cohort").await;
}

#[test]
#[ignore = "three weeks take a quarter of an hour"]
#[expect(clippy::print_stdout, reason = "counts are what it is run for")]
fn three_weeks_are_lived_on_the_page_and_add_up_to_the_gram() {
    within(40, async {
        let farm = Farm::empty();
        let first = date(2026, 10, 1);
        let at = |day: Date, hour: &str| format!("{day}T{hour}:00:00-06:00");
        let (dock, hand) = begun(&farm, &at(first, "07")).await;
        let port = dock.port.to_string();
        drop(dock);
        let mut weeks = Weeks {
            hand,
            counted: Counted::default(),
            dice: Dice(7),
        };
        for nth in 0..DAYS {
            let day = first.saturating_add(jiff::Span::new().days(nth));
            let dock = farm.dock_with(&["--port", &port, "--now", &at(day, "08")]);
            if nth % 7 == 0 {
                hatched(&mut weeks, &format!("H{}", nth / 7 + 1), day).await;
            }
            for (supplier, stream, least) in [
                ("Quay brewery", "spent-grain", 9_000),
                ("Hearth bakery", "bread", 5_000),
                ("Corner grocer", "lettuce-trim", 7_000),
            ] {
                let gross = weeks.dice.between(least / 50, least / 50 + 80) * 50;
                weeks.bucket(supplier, stream, gross, false).await;
            }
            if nth % 5 == 2 {
                weeks
                    .bucket("Corner grocer", "plum-culls", 6_350, true)
                    .await;
            }
            if let (0, Some((lot, _))) = (nth % 4, weeks.lot("spent-grain").await) {
                let log = [
                    ("dish", "40"),
                    ("wet", "140"),
                    ("dry", "70"),
                    ("dry2", "64.5"),
                    ("dry3", "64.0"),
                ];
                weeks.of_lot(&lot, "dried", &log, "moisture test").await;
            }
            if let (3, Some((lot, _))) = (nth % 6, weeks.lot("lettuce-trim").await) {
                weeks
                    .of_lot(&lot, "away", &[("weight", "1.25 kg")], "sent away")
                    .await;
                weeks.counted.add("composted", 1_250);
            }
            if let (5, Some((lot, on_hand))) = (nth % 7, weeks.lot("bread").await) {
                let found = on_hand / 50 * 50 - 100;
                weeks
                    .of_lot(&lot, "reweigh", &[("weight", &kg(found))], "weighed anew")
                    .await;
                weeks.counted.add("shrink", on_hand - found);
            }
            drop(dock);
            let dock = farm.dock_with(&["--port", &port, "--now", &at(day, "20")]);
            weeks.evening(nth).await;
            if nth % 7 == 6 {
                weeks.hand.page("/money").await;
                weeks
                    .hand
                    .fill(&[("item", "energy"), ("amount", "31.50")])
                    .await;
                weeks.keep("money").await;
            }
            if nth == 12 || nth == 19 {
                let cohort = if nth == 12 { "H1" } else { "H2" };
                weeks.hand.page("/harvest").await;
                weeks
                    .hand
                    .browser
                    .touch(&format!("label:has([name=cohort][value='{cohort}'])"))
                    .await;
                let fields = [
                    ("larvae", "5.20 kg"),
                    ("sample_count", "100"),
                    ("sample_g", "14.6"),
                    ("residue", "4.10 kg"),
                    ("residue_to", "composted"),
                ];
                weeks.hand.fill(&fields).await;
                weeks
                    .hand
                    .browser
                    .run("document.querySelector('[name=last]').click()")
                    .await;
                weeks.keep("harvest").await;
            }
            drop(dock);
        }
        let dock = farm.dock_with(&["--port", &port, "--now", "2026-11-01T09:00:00-06:00"]);
        weeks.hand.page("/month/close?month=2026-10").await;
        weeks.keep("month closed").await;
        weeks.hand.page("/month?month=2026-10").await;
        weeks.hand.browser.picture("weeks-month-1024").await;
        weeks.hand.page("/check").await;
        assert_eq!(
            weeks
                .hand
                .browser
                .run("return document.querySelectorAll('main .good').length")
                .await,
            json!(1)
        );
        let told = dock.tablet().get(&dock, "/api/month?month=2026-10").json();
        for (what, count) in &weeks.counted.acts {
            println!("{count:>4} {what}");
        }
        println!("typed, g: {:?}", weeks.counted.grams);
        println!("asked {} times:", weeks.counted.asked.len());
        for asked in &weeks.counted.asked {
            println!("  {}", asked.replace('\n', " "));
        }
        let balance = &told["balance"];
        println!("the month says: {balance}");
        let typed = |what| weeks.counted.of(what);
        for (what, said, grams) in [
            ("received", &balance["received_g"], typed("received")),
            ("refused", &told["refused_g"], typed("refused")),
            ("fed", &balance["fed_g"], typed("fed") + typed("water")),
            ("composted", &balance["composted_g"], typed("composted")),
        ] {
            assert_eq!(*said, json!(grams), "{what}: {balance}");
        }
        let here = farm.lots();
        let here = here.iter().filter_map(|lot| lot["on_hand_g"].as_i64());
        let here = here.sum::<i64>();
        let shrink = balance["shrink_g"].as_i64().expect("grams");
        let left = typed("received") - typed("fed") - typed("composted") - shrink;
        assert_eq!((here, &balance["closing_g"]), (left, &json!(left)));
        // What was not typed is rests too small for the scale, each with its record.
        let book = Daybook::open(&farm.path("farm.daybook")).expect("the book");
        let nights = (1..=DAYS).map(|day| date(2026, 10, day));
        let fed = nights.flat_map(|night| book.fed_on(night).expect("read"));
        let rests = fed.flat_map(|fed| fed.entry.remainders);
        let rests: Grams = rests.map(|rest| rest.grams).sum();
        assert_eq!(json!(shrink - typed("shrink")), json!(rests), "{balance}");
        println!("on hand {here} g, shrink {shrink} g, of it rests {rests:?}");
        weeks
            .hand
            .browser
            .client
            .clone()
            .close()
            .await
            .expect("closed");
    });
}
