//! Published linear problems, read from `tests/data`.

use trayful::blend::model::{Goal, Model};

const FILES: [&str; 3] = [
    include_str!("../data/diets.txt"),
    include_str!("../data/blends.txt"),
    include_str!("../data/netlib.txt"),
];

/// A column of a published problem.
#[derive(Debug, Clone)]
pub(crate) struct Item {
    pub(crate) name: String,
    pub(crate) cost: f64,
    pub(crate) least: f64,
    pub(crate) most: f64,
    /// Row position and coefficient.
    pub(crate) entries: Vec<(usize, f64)>,
}

/// A row of a published problem.
#[derive(Debug, Clone)]
pub(crate) struct Bounds {
    pub(crate) name: String,
    pub(crate) least: f64,
    pub(crate) most: f64,
}

/// A published problem.
#[derive(Debug, Clone)]
pub(crate) struct Case {
    pub(crate) name: String,
    pub(crate) rows: Vec<Bounds>,
    pub(crate) items: Vec<Item>,
    /// The optimum as printed, with one unit of its last digit.
    pub(crate) printed: Option<(f64, f64)>,
    /// The optimum recomputed in fractions.
    pub(crate) exact: f64,
}

impl Case {
    /// As a plain model, in the published units.
    pub(crate) fn model(&self) -> (Model, Goal) {
        let mut model = Model::default();
        let mut terms = vec![Vec::new(); self.rows.len()];
        let mut costs = Vec::new();
        for item in &self.items {
            let column = model.column(item.name.clone(), item.least, item.most);
            costs.push((column, item.cost));
            for (row, coefficient) in &item.entries {
                terms[*row].push((column, *coefficient));
            }
        }
        for (row, terms) in self.rows.iter().zip(terms) {
            model.between(row.name.clone(), terms, row.least, row.most);
        }
        (model, Goal::minimise(costs))
    }
}

/// Every published problem.
pub(crate) fn all() -> Vec<Case> {
    FILES.iter().flat_map(|text| read(text)).collect()
}

fn read(text: &str) -> Vec<Case> {
    let mut cases: Vec<Case> = Vec::new();
    for line in text.lines() {
        let mut words = line.split_whitespace();
        let Some(kind) = words.next().filter(|word| !word.starts_with('#')) else {
            continue;
        };
        let name = words.next().expect("a name").to_owned();
        if kind == "case" {
            assert_eq!(words.next(), Some("min"), "{line}");
            let printed = words.next().filter(|word| *word != "-");
            cases.push(Case {
                name,
                rows: Vec::new(),
                items: Vec::new(),
                printed: printed.map(|text| (number(text), last_digit(text))),
                exact: number(words.next().expect("the exact optimum")),
            });
            continue;
        }
        let case = cases.last_mut().expect("a case before its rows");
        let mut bound = |none: f64| match words.next().expect("a bound") {
            "-" => none,
            text => number(text),
        };
        if kind == "row" {
            let (least, most) = (bound(f64::NEG_INFINITY), bound(f64::INFINITY));
            case.rows.push(Bounds { name, least, most });
            continue;
        }
        assert_eq!(kind, "col", "{line}");
        let (cost, least, most) = (bound(0.0), bound(f64::NEG_INFINITY), bound(f64::INFINITY));
        let entries = words.map(|word| {
            let (row, coefficient) = word.split_once('=').expect("row=coefficient");
            let row = case.rows.iter().position(|bounds| bounds.name == row);
            (row.expect("a row of the case"), number(coefficient))
        });
        let entries = entries.collect();
        case.items.push(Item {
            name,
            cost,
            least,
            most,
            entries,
        });
    }
    cases
}

fn number(text: &str) -> f64 {
    text.parse().expect("a number")
}

/// One unit of the last digit of a printed number.
fn last_digit(text: &str) -> f64 {
    let places = text.split_once('.').map_or(0, |(_, behind)| behind.len());
    10_f64.powi(-i32::try_from(places).expect("few digits"))
}
