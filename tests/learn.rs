//! What the farm learns from its own records: tried on the demo farm's year,
//! whose truth stands in `examples/demo-farm.toml`, and taken over by a word.

use jiff::Timestamp;
use trayful::acts::{
    ActError, Asked, FarmSettings, TableFiles, Tables, learn, mixes, play_demo, settings,
    stock_now, strike, take_over,
};
use trayful::daybook::{Adopted, Daybook};
use trayful::sheet::{LearnSheet, mixes_document};

fn now() -> Timestamp {
    "2026-11-25T18:00:00Z".parse().expect("an instant")
}

fn asked(id: &str) -> Asked {
    Asked {
        id: id.into(),
        at: now(),
        by: "OW".into(),
        now: now(),
        sure: false,
    }
}

struct Year {
    _folder: tempfile::TempDir,
    book: Daybook,
    farm: FarmSettings,
    tables: Tables,
}

/// The demo farm after so many days.
fn played(days: u16) -> Year {
    let folder = tempfile::tempdir().expect("a folder");
    let tables = Tables::load(TableFiles::default()).expect("tables");
    let path = folder.path().join("demo.daybook");
    let book = play_demo(&path, &tables, now(), (Some(days), 0), |_, _| ()).expect("plays");
    let farm = settings(&book).expect("settings");
    Year {
        _folder: folder,
        book,
        farm,
        tables,
    }
}

impl Year {
    fn learned(&self) -> LearnSheet {
        learn((&self.book, &self.farm, &self.tables), now()).expect("learns")
    }

    fn take(&mut self, key: &str, id: &str) -> Result<(i64, Adopted), ActError> {
        take_over(&mut self.book, &self.farm, &self.tables, key, &asked(id))
    }
}

/// Truth of the scenario: the lots' own mean and spread, per cent.
const TRUTH: [(&str, f64, f64); 4] = [
    ("carrot-trim", 85.5, 1.5),
    ("bread", 31.0, 2.5),
    ("apple-culls", 82.0, 1.5),
    ("lettuce-trim", 93.0, 1.0),
];

#[test]
fn a_year_with_known_truth_is_learned_and_told_better_than_the_book() {
    let mut year = played(365);
    let sheet = year.learned();
    for (stream, mean, spread) in TRUTH {
        let line = (sheet.moisture.iter())
            .find(|line| line.stream.as_str() == stream)
            .expect("learned");
        let belief = &line.belief;
        let off = (100.0 * belief.mean - mean).abs();
        assert!(
            off < 3.0 * 100.0 * belief.mean_sd,
            "{stream}: {off} points off, {} stated",
            100.0 * belief.mean_sd
        );
        let lots = 100.0 * belief.between_sd;
        assert!((lots - spread).abs() < 1.0, "{stream}: lots ± {lots}");
    }
    let told = sheet.backtest.expect("enough tests");
    assert!(told.told > 250, "{told:?}");
    assert!(told.better_pct() > 20.0, "{told:?}");
    assert!((0.88..=0.92).contains(&told.covered), "{told:?}");
    mixes_are_told_without_cause(&year);
    a_proposal_is_taken_by_a_word_and_given_back(&mut year);
}

fn mixes_are_told_without_cause(year: &Year) {
    let sheet = mixes((&year.book, &year.farm, &year.tables), now()).expect("mixes");
    assert!(sheet.cohorts > 100, "{} cohorts", sheet.cohorts);
    let ridge = sheet.ridge.as_ref().expect("enough cohorts");
    // The scenario draws yields without looking at the mix.
    assert!(ridge.error > 0.95 * ridge.mean_error, "{ridge:?}");
    let places: Vec<usize> = sheet.tried.iter().map(|tried| tried.place).collect();
    assert_eq!(places[..4], [1, 2, 3, 4]);
    assert_eq!(*places.last().expect("a last"), sheet.cohorts);
    assert!(mixes_document(&sheet).blocks.len() > 2);
}

fn a_proposal_is_taken_by_a_word_and_given_back(year: &mut Year) {
    let sheet = year.learned();
    let offer = (sheet.offered.iter())
        .find(|offer| offer.key.starts_with("keeps-days:"))
        .expect("a year of spoiled lots proposes a keeping time")
        .clone();
    let keeps = |year: &Year| {
        let stock = stock_now((&year.book, &year.farm, &year.tables), now()).expect("stock");
        let lots = stock.lots.into_iter();
        lots.filter(|lot| {
            offer
                .key
                .ends_with(&format!(":{}", lot.book.stream.as_str()))
        })
        .map(|lot| lot.keeps_days)
        .next()
    };
    let before = keeps(year);
    assert!(year.take("keeps-days:moon", "n").is_err());
    let (record, own) = year.take(&offer.key, "t").expect("takes it over");
    // The same request again is harmless.
    let again = year.take(&offer.key, "t").expect("harmless");
    assert_eq!(again, (record, own.clone()));
    if before.is_some() {
        assert_eq!(keeps(year), Some(Some(own.value)));
    }
    let after = year.learned();
    assert!(after.offered.iter().all(|other| other.key != offer.key));
    assert_eq!(after.adopted.len(), 1);
    let reference = format!("r{record}");
    strike(&mut year.book, &reference, "back to the table", &asked("s")).expect("strikes");
    assert_eq!(keeps(year), before);
    let offered = year.learned().offered;
    assert!(offered.iter().any(|other| other.key == offer.key));
}
