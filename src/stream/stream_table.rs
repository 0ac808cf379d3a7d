use std::collections::BTreeMap;

use toml::Spanned;

use crate::quantity::{Density, ShareAsFed, ShareOfDry};
use crate::table::{Finding, Findings, Row, Table, TomlFile, nearest_told};
use crate::words::{Language, Said, say};

use super::names::{self, Index, Meant, OtherName};
use super::{Analyte, Class, Estimate, Inedible, Labels, OwnStream, Stream, StreamId};

const COLUMNS: [&str; 19] = [
    "stream",
    "name",
    "class",
    "moisture_pct",
    "moisture_sd",
    "protein_dm_pct",
    "protein_dm_sd",
    "fat_dm_pct",
    "fat_dm_sd",
    "fibre_dm_pct",
    "fibre_dm_sd",
    "lignin_dm_pct",
    "ash_dm_pct",
    "bulk_density_kg_m3",
    "inedible_pct",
    "inedible_kind",
    "keeps_days",
    "price_per_kg",
    "source",
];

/// Above this, no dry matter of plants or animals can be carbon; lignin, the
/// richest common part, holds about 63 %, fat about 77 % but never alone here.
/// Our default for the check, on C = (100 − ash)/1.8 giving at most 55.6 %.
const CARBON_DM_PCT_MAX: f64 = 60.0;
/// Rounding in published tables can push a sum of parts a little above the whole (our default).
const SUM_DM_PCT_MAX: f64 = 102.0;
/// Densities of one stream that differ more than this are asked about (our default;
/// published food-waste densities differ 3.8-fold: EPA 2016 against EPA 1997).
const DENSITY_RATIO_ASKED: f64 = 3.0;

#[derive(Debug, Clone, PartialEq, Default)]
pub struct StreamTable {
    streams: BTreeMap<StreamId, Stream>,
    other_names: Vec<OtherName>,
    index: Index,
}

impl StreamTable {
    /// Reads a stream table; the columns are those of `data/README.md`.
    ///
    /// # Errors
    /// All findings: cells, ranges, ids twice, and figures that can't hold
    /// together (parts above the whole, crude fibre above NDF, more carbon
    /// than dry matter can hold).
    pub fn read(file: &str, bytes: &[u8]) -> Result<Self, Findings> {
        let further = |name: &str| {
            let value = name.strip_suffix("_dm_sd");
            let value = value.map_or_else(|| name.to_owned(), |stem| format!("{stem}_dm_pct"));
            name == "carbon_to_nitrogen" || Analyte::from_key(&value).is_some()
        };
        let table = Table::read(file, bytes, &COLUMNS, further)?;
        let header = table.header().iter();
        let analytes: Vec<Analyte> = header.filter_map(|name| Analyte::from_key(name)).collect();
        let mut seen: BTreeMap<StreamId, u64> = BTreeMap::new();
        let rows = table.rows(|row| {
            let stream = read_row(row, &analytes)?;
            let id = stream.id.as_str();
            row.once(&mut seen, stream.id.clone(), ("stream", id));
            Some((stream.id.clone(), stream))
        })?;
        Ok(Self {
            streams: rows.into_iter().collect(),
            ..Self::default()
        })
    }

    /// This table with the rows of `farm` put over it: a row replaces the
    /// whole row of the same id. Also returns what should be looked at.
    pub fn overlaid(mut self, farm: Self) -> (Self, Vec<Said>) {
        let mut cautions = Vec::new();
        self.index = Index::default();
        for (id, row) in farm.streams {
            let known = self.streams.get(&id).and_then(|known| known.bulk_density);
            if let Some((known, own)) = known.zip(row.bulk_density) {
                let (known, own) = (known.kg_per_m3(), own.kg_per_m3());
                let ratio = (known / own).max(own / known);
                if ratio > DENSITY_RATIO_ASKED {
                    let times = format!("{ratio:.1}");
                    cautions.push(say!("caution-density", id, own, known, times));
                }
            }
            self.streams.insert(id, row);
        }
        (self, cautions)
    }

    /// Puts the farm's own streams in, oldest first; what the tables have under
    /// an id stays, and one whose template is gone stays out.
    pub fn put_own(&mut self, own: &[OwnStream]) {
        self.index = Index::default();
        for one in own {
            let known = self.get(&one.stream);
            let free = known.is_none_or(|known| known.like.is_some());
            if let Some(template) = self.get(&one.template).filter(|_| free) {
                let stream = one.like(template);
                self.streams.insert(stream.id.clone(), stream);
            }
        }
    }

    pub fn get(&self, id: &StreamId) -> Option<&Stream> {
        self.streams.get(id)
    }

    pub fn iter(&self) -> impl Iterator<Item = &Stream> {
        self.streams.values()
    }

    /// A stream by id, to put a farm's own figure in.
    pub fn get_mut(&mut self, id: &StreamId) -> Option<&mut Stream> {
        self.streams.get_mut(id)
    }

    pub fn labelled(mut self, mut labels: BTreeMap<StreamId, Labels>) -> Self {
        for (id, stream) in &mut self.streams {
            stream.labels = labels.remove(id).unwrap_or_default();
        }
        self
    }

    /// Puts names over those there are: of one name, the later meaning holds.
    #[must_use]
    pub fn with_names(mut self, names: Vec<OtherName>) -> Self {
        self.other_names
            .retain(|known| !names.iter().any(|name| name.is_said_as(known)));
        self.other_names.extend(names);
        self.index = Index::default();
        self
    }

    /// Names that mean a stream which is not in the table.
    pub fn unknown_names(&self, file: &str, names: &[OtherName]) -> Result<(), Findings> {
        let unknown = names.iter().filter_map(|name| {
            let (row, id) = name.of_stream()?;
            let accepted = self.named(id.as_str()).err()?;
            Some(Finding::at(file, Some(row), "means", id, accepted))
        });
        match unknown.collect::<Vec<_>>() {
            none if none.is_empty() => Ok(()),
            found => Err(Findings(found)),
        }
    }

    /// Everyday words that mean one stream and no other.
    pub fn everyday(&self, language: Language) -> impl Iterator<Item = (&str, &StreamId)> {
        let mut meant: BTreeMap<&str, Option<&StreamId>> = BTreeMap::new();
        for (word, id) in self
            .other_names
            .iter()
            .filter_map(|one| one.in_language(language))
        {
            meant
                .entry(word)
                .and_modify(|before| *before = before.filter(|before| *before == id))
                .or_insert(Some(id));
        }
        meant.into_iter().filter_map(|(word, id)| Some((word, id?)))
    }

    /// What people may mean by a word.
    pub fn meant(&self, word: &str) -> Meant<'_> {
        let word = word.trim();
        if let Some(stream) = StreamId::parse(word).and_then(|id| self.get(&id)) {
            return Meant::Id(stream);
        }
        names::meant(word, &self.streams, &self.other_names, &self.index)
    }

    /// What people call the stream of an id, where it is here.
    pub fn said_of(&self, id: &str) -> Option<Said> {
        self.get(&StreamId::parse(id)?).map(Stream::said)
    }

    /// The stream of an id, or of another name that has one meaning; else what
    /// is accepted, with the nearest streams.
    pub fn called(&self, word: &str) -> Result<&Stream, Said> {
        match self.meant(word) {
            Meant::Id(stream) | Meant::Name(stream) => Ok(stream),
            Meant::Several(_) | Meant::Near(_) => Err(self.accepted(word)),
        }
    }

    /// What a name that is no id may mean, nearest first, at most three, each with its class.
    pub fn nearest(&self, name: &str) -> Vec<String> {
        let near = match self.meant(name) {
            Meant::Id(stream) | Meant::Name(stream) => vec![stream],
            Meant::Several(streams) | Meant::Near(streams) => streams,
        };
        let told = |stream: &&Stream| format!("{} ({})", stream.id.as_str(), stream.class);
        near.iter().take(3).map(told).collect()
    }

    pub fn named(&self, seen: &str) -> Result<&Stream, Said> {
        let found = StreamId::parse(seen).and_then(|id| self.get(&id));
        found.ok_or_else(|| self.accepted(seen))
    }

    /// The stream a row names; one that is not here is noted.
    pub(crate) fn of_row(&self, row: &mut Row<'_>) -> Option<&Stream> {
        let text = row.needed("stream", say!("accepted-stream"))?;
        let found = self.named(&text);
        found
            .map_err(|accepted| row.reject("stream", &text, accepted))
            .ok()
    }

    /// The stream a TOML file names; one that is not here is noted.
    pub(crate) fn of_toml(
        &self,
        toml: &mut TomlFile<'_>,
        field: &str,
        name: &Spanned<String>,
    ) -> Option<&Stream> {
        let found = self.named(name.get_ref());
        found
            .map_err(|accepted| toml.reject(name, field, accepted))
            .ok()
    }

    /// What is accepted where a name was seen that is not here, with the nearest ids.
    pub(crate) fn accepted(&self, seen: &str) -> Said {
        match self.nearest(seen).as_slice() {
            [] => say!("accepted-stream-listed"),
            nearest => Said::joined([say!("accepted-stream"), nearest_told(nearest)], ""),
        }
    }
}

fn read_row(row: &mut Row<'_>, analytes: &[Analyte]) -> Option<Stream> {
    let id = row.required("stream", StreamId::accepted(), StreamId::parse);
    let name = row.needed("name", say!("accepted-a-name"));
    let class = row.required("class", Class::accepted(), Class::parse);
    let moisture = estimate(row, "moisture_pct", "moisture_sd", |pct| {
        ShareAsFed::from_pct(pct).ok()
    });
    let analytes = analytes
        .iter()
        .filter_map(|analyte| {
            let sd = format!("{}_dm_sd", analyte.name());
            let share = |pct| ShareOfDry::from_pct(pct).ok();
            Some((analyte.clone(), estimate(row, &analyte.key(), &sd, share)?))
        })
        .collect();
    let bulk_density = row
        .number("bulk_density_kg_m3", 1.0, 3000.0)
        .and_then(|d| Density::new(d).ok());
    let inedible = inedible(row, class);
    let keeps_days = row.number("keeps_days", 0.01, 3650.0);
    let price_per_kg = row.number("price_per_kg", -1e6, 1e6);
    let carbon_to_nitrogen_tested = row.number("carbon_to_nitrogen", 0.1, 10_000.0);
    let source = row.needed("source", say!("accepted-figures-from"));
    let stream = Stream {
        id: id?,
        name: name?,
        class: class?,
        moisture,
        analytes,
        bulk_density,
        inedible,
        keeps_days,
        price_per_kg,
        carbon_to_nitrogen_tested,
        like: None,
        at_least: None,
        source: source?,
        labels: Labels::default(),
    };
    reject_impossible(row, &stream);
    Some(stream)
}

/// `0` is none; a kind without a share, or a kitchen's load of which nothing is
/// said, may hold such parts and nobody knows how many.
fn inedible(row: &mut Row<'_>, class: Option<Class>) -> Option<Inedible> {
    const OF_A_KITCHEN: &str = "bone, shell and pits";
    let said = row.text("inedible_pct").is_some();
    let pct = row.number("inedible_pct", 0.0, 100.0);
    if said {
        let pct = pct.filter(|pct| *pct > 0.0)?;
        let accepted = say!("accepted-inedible-kind");
        return Some(Inedible {
            kind: row.needed("inedible_kind", accepted)?,
            share: Some(ShareAsFed::from_pct(pct).ok()?),
        });
    }
    let kind = row.text("inedible_kind");
    let kind = kind.or((class == Some(Class::Kitchen)).then_some(OF_A_KITCHEN));
    kind.map(|kind| Inedible {
        kind: kind.to_owned(),
        share: None,
    })
}

fn estimate<S>(
    row: &mut Row<'_>,
    value: &str,
    sd: &str,
    share: impl Fn(f64) -> Option<S>,
) -> Option<Estimate<S>> {
    let sd = row.number(sd, 0.0, 100.0).map(|points| points / 100.0);
    let value = row.number(value, 0.0, 100.0).and_then(share)?;
    Some(Estimate { value, sd })
}

/// Notes figures that are fine alone and can't be true together.
fn reject_impossible(row: &mut Row<'_>, stream: &Stream) {
    let pct = |name| stream.analyte(name).map(ShareOfDry::pct);
    let parts = ["protein", "fat", "fibre", "ash"].map(pct);
    let sum: f64 = parts.iter().flatten().sum();
    if sum > SUM_DM_PCT_MAX {
        let columns = "protein_dm_pct+fat_dm_pct+fibre_dm_pct+ash_dm_pct";
        let accepted = say!("accepted-parts-of-dry");
        row.reject(columns, format!("{sum:.1}"), accepted);
    }
    for (part, whole) in [
        ("lignin", "fibre"),
        ("crude_fibre", "ndf"),
        ("adf", "ndf"),
        ("lignin", "ndf"),
        ("lignin", "adf"),
    ] {
        if let Some((part_pct, whole_pct)) = pct(part).zip(pct(whole))
            && part_pct > whole_pct
        {
            let accepted = say!("accepted-part-of", whole, pct = whole_pct);
            row.reject(&format!("{part}_dm_pct"), part_pct, accepted);
        }
    }
    let nitrogen = pct("nitrogen").or_else(|| pct("protein").map(|protein| protein / 6.25));
    if let (Some(nitrogen), Some(ratio)) = (nitrogen, stream.carbon_to_nitrogen_tested) {
        let carbon = nitrogen * ratio;
        if carbon > CARBON_DM_PCT_MAX {
            let [nitrogen, carbon] = [format!("{nitrogen:.2}"), format!("{carbon:.1}")];
            let accepted = say!("accepted-carbon-to-nitrogen", nitrogen, carbon);
            row.reject("carbon_to_nitrogen", ratio, accepted);
        }
    }
    if let Some(carbon) = pct("carbon").filter(|carbon| *carbon > CARBON_DM_PCT_MAX) {
        let accepted = say!("accepted-carbon");
        row.reject("carbon_dm_pct", carbon, accepted);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(cells: &str) -> String {
        format!("{}\n{cells}\n", COLUMNS.join(","))
    }

    fn refused(text: &str) -> String {
        StreamTable::read("farm.csv", text.as_bytes())
            .expect_err("bad table")
            .to_string()
    }

    #[test]
    fn bad_cells_are_all_named() {
        let text = row("Spent Grain,,grains,NaN,,24,,,,,,,,,20,,0,1e308,");
        insta::assert_snapshot!(refused(&text), @r"
        `farm.csv` row 2, `stream`: `Spent Grain` is not accepted; accepted: a stream id of lower-case letters, digits and hyphens, at most 60
        `farm.csv` row 2, `name` is missing; accepted: a name
        `farm.csv` row 2, `class`: `grains` is not accepted; accepted: grain, produce, bakery, kitchen, dairy-egg, meat-fish, manure, woody, mineral, other
        `farm.csv` row 2, `moisture_pct`: `NaN` is not accepted; accepted: a number from 0 to 100, or empty
        `farm.csv` row 2, `inedible_kind` is missing; accepted: what the inedible part is, such as bone, shell or pit
        `farm.csv` row 2, `keeps_days`: `0` is not accepted; accepted: a number from 0.01 to 3650, or empty
        `farm.csv` row 2, `price_per_kg`: `1e308` is not accepted; accepted: a number from -1000000 to 1000000, or empty
        `farm.csv` row 2, `source` is missing; accepted: where the figures come from
        ");
    }

    /// Golueke 1972 (in Polprasert, Table 3.1): poultry manure N 6.3 %, C/N 15, together 94.5 % carbon.
    #[test]
    fn golueke_1972_poultry_manure_is_impossible() {
        let header = format!("{},nitrogen_dm_pct,carbon_to_nitrogen", COLUMNS.join(","));
        let text = format!("{header}\nlitter,Litter,manure,30,,,,,,,,,,,,,30,,own,6.3,15\n");
        insta::assert_snapshot!(refused(&text), @"`farm.csv` row 2, `carbon_to_nitrogen`: `15` is not accepted; accepted: a C:N that leaves at most 60 % carbon; with 6.30 % nitrogen this is 94.5 % carbon");
    }

    #[test]
    fn parts_above_the_whole_are_refused() {
        insta::assert_snapshot!(refused(&row("a,A,grain,50,,40,,30,,30,,,5,,,,2,,own")), @"`farm.csv` row 2, `protein_dm_pct+fat_dm_pct+fibre_dm_pct+ash_dm_pct`: `105.0` is not accepted; accepted: parts of dry matter that sum to at most 102 %");
        insta::assert_snapshot!(refused(&row("a,A,grain,50,,10,,3,,8,,12,5,,,,2,,own")), @"`farm.csv` row 2, `lignin_dm_pct`: `12` is not accepted; accepted: at most the fibre_dm_pct of 8, which holds it");
        let header = format!("{},crude_fibre_dm_pct,ndf_dm_pct", COLUMNS.join(","));
        let text = format!("{header}\na,A,grain,50,,10,,3,,,,,5,,,,2,,own,30,20\n");
        insta::assert_snapshot!(refused(&text), @"`farm.csv` row 2, `crude_fibre_dm_pct`: `30` is not accepted; accepted: at most the ndf_dm_pct of 20, which holds it");
    }

    #[test]
    fn unknown_stays_unknown_and_a_farm_row_wins_whole() {
        let shipped = StreamTable::read(
            "s.csv",
            row("mix,Mix,kitchen,75,,20,,,,,,,,897,,,1,,x").as_bytes(),
        )
        .expect("table");
        let own = StreamTable::read(
            "f.csv",
            row("mix,Our mix,kitchen,70,,,,,,,,,,235,,,1,,y").as_bytes(),
        )
        .expect("table");
        let (table, cautions) = shipped.overlaid(own);
        let mix = table
            .get(&StreamId::parse("mix").expect("id"))
            .expect("stream");
        assert_eq!(mix.analyte("protein"), None);
        assert_eq!(mix.name, "Our mix");
        insta::assert_snapshot!(cautions[0].in_english(), @"`mix`: bulk density 235 kg/m3 in the farm's table against 897 in the shipped one, 3.8-fold; weigh one full bucket of known volume");
    }
}
