use std::collections::BTreeMap;
use std::ops::RangeInclusive;

use serde::Deserialize;
use toml::Spanned;

use crate::quantity::{Grams, Litres, ShareAsFed};
use crate::stream::{Assumed, StreamTable, WindowEntry};
use crate::table::{Findings, TomlFile};
use crate::words::{is_unseen, say};

use super::problem::{Composition, Group, Purchase};

/// What a targets file asks for.
#[derive(Debug, Clone, PartialEq)]
pub struct Targets {
    /// Feed groups, by name.
    pub groups: Vec<Group>,
    /// What may be bought.
    pub purchases: Vec<Purchase>,
    /// The most water that may be added.
    pub water_limit: Grams,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    #[serde(default)]
    group: BTreeMap<Spanned<String>, GroupEntry>,
    #[serde(default)]
    buy: Vec<BuyEntry>,
    water: Option<WaterEntry>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct GroupEntry {
    dry_matter_kg: Option<Spanned<f64>>,
    larvae: Option<Spanned<f64>>,
    ration_mg: Option<Spanned<f64>>,
    volume_l: Option<Spanned<f64>>,
    #[serde(default)]
    window: BTreeMap<Spanned<String>, WindowEntry>,
    #[serde(default)]
    cap: BTreeMap<Spanned<String>, Spanned<f64>>,
    #[serde(default)]
    assume: BTreeMap<Spanned<String>, Spanned<f64>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct BuyEntry {
    stream: Spanned<String>,
    price_per_kg: Spanned<f64>,
    limit_kg: Spanned<f64>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct WaterEntry {
    limit_kg: Spanned<f64>,
}

const PCT: RangeInclusive<f64> = 0.0..=100.0;
/// Feed groups of a night.
const GROUPS_MOST: usize = 60;
/// Windows, caps and assumptions of a group; purchases.
const ENTRIES_MOST: usize = 500;

/// Reads a targets file.
///
/// # Errors
/// All findings: form, ranges, bounds that can't hold together, unknown streams.
pub fn read_targets(file: &str, text: &str, streams: &StreamTable) -> Result<Targets, Findings> {
    let (parsed, toml): (File, _) = TomlFile::parse(file, text)?;
    let mut reader = Reader { toml, streams };
    reader.few("group", parsed.group.len(), GROUPS_MOST);
    reader.few("buy", parsed.buy.len(), ENTRIES_MOST);
    for (name, entry) in &parsed.group {
        let entries = entry.window.len() + entry.cap.len() + entry.assume.len();
        reader.few(name.get_ref(), entries, ENTRIES_MOST);
    }
    if !reader.toml.is_fine() {
        return reader.toml.finish(Targets {
            groups: Vec::new(),
            purchases: Vec::new(),
            water_limit: Grams::ZERO,
        });
    }
    let groups = parsed.group.iter();
    let groups = groups.filter_map(|(name, entry)| reader.group(name, entry));
    let groups: Vec<Group> = groups.collect();
    let purchases = parsed.buy.iter();
    let purchases = purchases.filter_map(|entry| reader.purchase(entry));
    let purchases: Vec<Purchase> = purchases.collect();
    let water_limit = parsed.water.as_ref().map_or(Grams::ZERO, |entry| {
        reader.weight("water.limit_kg", &entry.limit_kg)
    });
    if parsed.group.is_empty() {
        reader
            .toml
            .reject_whole("group", "", say!("accepted-a-group"));
    }
    for (position, entry) in parsed.buy.iter().enumerate() {
        if parsed.buy[..position]
            .iter()
            .any(|earlier| earlier.stream.get_ref() == entry.stream.get_ref())
        {
            reader
                .toml
                .reject(&entry.stream, "buy.stream", say!("accepted-stream-once"));
        }
    }
    reader.toml.finish(Targets {
        groups,
        purchases,
        water_limit,
    })
}

struct Reader<'a> {
    toml: TomlFile<'a>,
    streams: &'a StreamTable,
}

impl Reader<'_> {
    /// More than so many can't be mixed while somebody waits.
    fn few(&mut self, field: &str, seen: usize, most: usize) {
        if seen > most {
            let accepted = say!("accepted-at-most", most);
            self.toml.reject_whole(field, seen, accepted);
        }
    }

    fn weight(&mut self, field: &str, number: &Spanned<f64>) -> Grams {
        self.toml
            .number(field, number, &(0.0..=1e6))
            .and_then(Grams::from_kg)
            .unwrap_or(Grams::ZERO)
    }

    fn group(&mut self, name: &Spanned<String>, entry: &GroupEntry) -> Option<Group> {
        let label = name.get_ref();
        if label.is_empty() || label.len() > 60 || label.chars().any(is_unseen) {
            self.toml
                .reject(name, "group", say!("accepted-name", most = 60));
        }
        let field = |key: &str| format!("group.{label}.{key}");
        let dry_matter_kg = self.dry_matter(name, &field, entry);
        let volume = entry
            .volume_l
            .as_ref()
            .and_then(|litres| self.toml.number(&field("volume_l"), litres, &(0.001..=1e6)))
            .and_then(|litres| Litres::new(litres).ok());
        let windows = (entry.window.iter())
            .filter_map(|(key, window)| window.read(&mut self.toml, &field("window"), key))
            .collect();
        let mut caps = BTreeMap::new();
        for (stream, pct) in &entry.cap {
            let known = self.streams.of_toml(&mut self.toml, &field("cap"), stream);
            let share = self
                .toml
                .number(&format!("{}.{}", field("cap"), stream.get_ref()), pct, &PCT)
                .and_then(|pct| ShareAsFed::from_pct(pct).ok());
            if let Some((stream, share)) = known.zip(share) {
                caps.insert(stream.id.clone(), share);
            }
        }
        let (mut assumed, mut assumed_density) = (BTreeMap::new(), None);
        for (key, value) in &entry.assume {
            match Assumed::read(&mut self.toml, &field("assume"), key, value) {
                Some(Assumed::Density(density)) => assumed_density = Some(density),
                Some(Assumed::Share(analyte, share)) => drop(assumed.insert(analyte, share)),
                None => {}
            }
        }
        Some(Group {
            name: label.clone(),
            dry_matter_kg: dry_matter_kg?,
            volume,
            windows,
            caps,
            assumed,
            assumed_density,
            ..Group::default()
        })
    }

    fn dry_matter(
        &mut self,
        name: &Spanned<String>,
        field: &impl Fn(&str) -> String,
        entry: &GroupEntry,
    ) -> Option<f64> {
        let wanted = &(1e-6..=1e6);
        match (&entry.dry_matter_kg, &entry.larvae, &entry.ration_mg) {
            (Some(kg), None, None) => self.toml.number(&field("dry_matter_kg"), kg, wanted),
            (None, Some(larvae), Some(ration)) => {
                let larvae = self.toml.number(&field("larvae"), larvae, &(1.0..=1e12));
                let ration = self.toml.number(&field("ration_mg"), ration, &(1e-6..=1e5));
                let kg = larvae? * ration? / 1e6;
                if !wanted.contains(&kg) {
                    self.toml
                        .reject(name, &field("larvae"), say!("accepted-larvae-ration"));
                    return None;
                }
                Some(kg)
            }
            _ => {
                self.toml
                    .reject(name, &field("dry_matter_kg"), say!("accepted-one-demand"));
                None
            }
        }
    }

    fn purchase(&mut self, entry: &BuyEntry) -> Option<Purchase> {
        let stream = (self.streams).of_toml(&mut self.toml, "buy.stream", &entry.stream);
        let price_per_kg = self
            .toml
            .number("buy.price_per_kg", &entry.price_per_kg, &(-1e6..=1e6));
        let limit = self.weight("buy.limit_kg", &entry.limit_kg);
        let stream = stream?;
        Some(Purchase {
            stream: stream.id.clone(),
            composition: Composition::of(stream),
            price_per_kg: price_per_kg?,
            limit,
        })
    }
}
