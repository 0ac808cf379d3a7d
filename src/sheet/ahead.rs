use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;

use crate::harvest::learn::Published;
use crate::outlook::{
    Advice, Chance, Forecast, Foreseen, GroupFed, Heeded, Intake, Offer, Room, fresh_larvae_kg,
};
use crate::quantity::Grams;
use crate::stream::{Measure, StreamId};

use super::ahead_words::{answers, first_things};
use super::document::{Align, Document, Grid, Tone};
use super::words::{Units, one_decimal, plural};

/// The nights ahead with what to do about them.
#[derive(Debug, Clone, PartialEq)]
pub struct AheadSheet {
    /// The plan as it comes, its troubles, the advice and the plan with it.
    pub heeded: Heeded,
    /// What can be bought, by the positions the advice names.
    pub offers: Vec<Offer>,
    /// What is expected to come, and how good that was.
    pub forecast: Forecast,
    /// How much more of each stream could come.
    pub intakes: Vec<Intake>,
    /// Room to grow; `None` for one night.
    pub growth: Option<GrowthCard>,
    /// How often a week runs short.
    pub chance: Option<Chance>,
    /// What to buy against that, and how often then.
    pub reserve: Option<(Vec<Advice>, Chance)>,
    /// The nights the answers besides the plan are of.
    pub near_nights: usize,
    /// What there was no time for.
    pub undone: Vec<String>,
    /// Every stream that is there, comes or can be bought: what the legend is of.
    pub streams: BTreeSet<StreamId>,
    /// What was assumed.
    pub notes: Vec<String>,
    /// By stream, kilograms and names of lots too old already or found unfit.
    pub kept_out: BTreeMap<StreamId, (f64, Vec<String>)>,
    /// How many keeping times a lot may be used on later nights.
    pub usable_keeping_times: f64,
    /// ISO 4217 code.
    pub currency: String,
    /// How weights are said.
    pub units: Units,
    pub seal: String,
}

/// Room to grow with what it is a factor of.
#[derive(Debug, Clone, PartialEq)]
pub struct GrowthCard {
    /// The factor, and what each stream adds to it.
    pub room: Room,
    /// Larvae due on a night, the mean.
    pub larvae: f64,
    /// Dry matter wanted a week, kilograms.
    pub dm_kg_per_week: f64,
    /// What others published of bioconversion, per cent of dry matter fed.
    pub conversion: Option<Published>,
}

impl GrowthCard {
    /// Fresh larvae a week at a factor on all demand, kilograms: at the least and
    /// the greatest published conversion.
    #[must_use]
    pub fn larvae_kg(&self, factor: f64) -> Option<(f64, f64)> {
        let range = self.conversion.as_ref()?;
        let dm_kg = self.dm_kg_per_week * factor;
        Some(fresh_larvae_kg(dm_kg, (range.low, range.high)))
    }
}

impl AheadSheet {
    /// The plan that is shown: with the advice taken.
    #[must_use]
    pub fn plan(&self) -> &Foreseen {
        &self.heeded.with_advice
    }

    pub(super) fn day(&self, night: usize) -> String {
        self.plan()
            .nights
            .get(night)
            .map_or_else(|| "after the plan".to_owned(), |night| day_words(night.day))
    }

    pub(super) fn weight(&self, kg: f64) -> String {
        self.units.weight(Grams::from_kg(kg).unwrap_or(Grams::ZERO))
    }
}

/// `Thu 26 Nov`.
pub(super) fn day_words(day: Date) -> String {
    day.strftime("%a %-d %b").to_string()
}

/// The nights ahead as a page: answers first, then the nights, then what they rest on.
pub fn ahead_document(sheet: &AheadSheet) -> Document {
    let count = i64::try_from(sheet.plan().nights.len()).unwrap_or(i64::MAX);
    let mut document = Document::titled(format!(
        "The next {}, from {}",
        plural(count, "night", "nights"),
        sheet.day(0)
    ));
    verdict(sheet, &mut document);
    for (position, line) in first_things(sheet).into_iter().take(3).enumerate() {
        document.toned(Tone::Next, format!("{}. {line}", position + 1));
    }
    if !sheet.undone.is_empty() {
        document.toned(
            Tone::Caution,
            format!(
                "The time was up before: {}. --seconds gives more.",
                sheet.undone.join("; ")
            ),
        );
    }
    document.heading("Why, and what else");
    for line in answers(sheet) {
        document.toned(line.0, line.1);
    }
    nights(sheet, &mut document);
    arrivals(sheet, &mut document);
    document.heading("What this rests on");
    for note in &sheet.notes {
        document.line(format!("- {note}"));
    }
    document.line(format!("- a lot past its keeping time wants a look before it is fed; none is counted on beyond {} keeping times, as in `mix` (meat, fish, dairy and egg sooner)", sheet.usable_keeping_times));
    document.line("- later nights are not rounded to the scale; each evening `trayful mix` makes the night's own sheet".to_owned());
    document.toned(
        Tone::Small,
        format!("Nothing was recorded. Book at {}.", sheet.seal),
    );
    document
}

fn verdict(sheet: &AheadSheet, document: &mut Document) {
    let before = &sheet.heeded.as_it_comes;
    if sheet.heeded.troubles.is_empty() {
        document.toned(
            Tone::Good,
            "FITS: every night is fed inside every window with what is there and what is expected.",
        );
        return;
    }
    let after = sheet.plan();
    let word = if after.is_inside() {
        "FITS WITH THE ADVICE TAKEN: solved again with it, every night is fed inside every window."
    } else {
        "DOES NOT FIT: not every night can be fed inside every window, even with the advice taken."
    };
    let tone = if after.is_inside() {
        Tone::Good
    } else {
        Tone::Out
    };
    document.toned(tone, word);
    let short = |plan: &Foreseen| -> f64 {
        let groups = plan.nights.iter().flat_map(|night| &night.groups);
        groups.map(GroupFed::short_kg).sum()
    };
    if short(before) > 0.01 {
        document.line(format!(
            "Dry matter missing over all nights: {} as it comes, {} with the advice taken.",
            sheet.weight(short(before)),
            sheet.weight(short(after)),
        ));
    }
}

/// A letter for each stream of the plan: the first of its name that is free, by
/// id over all that is there, comes or can be bought. So a stream keeps its
/// letter, and its colour, from run to run.
pub(super) fn letters(sheet: &AheadSheet) -> Vec<(char, StreamId)> {
    let mut taken: Vec<(char, &StreamId)> = Vec::new();
    for stream in &sheet.streams {
        let own = stream.as_str().chars().filter(char::is_ascii_alphabetic);
        let free = |letter: &char| !taken.iter().any(|(other, _)| other == letter);
        let mut letters = own.chain('a'..='z').chain('A'..='Z');
        taken.push((letters.find(free).unwrap_or('?'), stream));
    }
    let nights = &sheet.plan().nights;
    let mut groups = nights.iter().flat_map(|night| &night.groups);
    let used: BTreeSet<&StreamId> = groups
        .by_ref()
        .flat_map(|group| group.by_stream.keys())
        .collect();
    taken.retain(|(_, stream)| used.contains(stream));
    let named = taken.into_iter();
    named
        .map(|(letter, stream)| (letter, stream.clone()))
        .collect()
}

/// Characters of the widest bar.
const BAR: f64 = 24.0;

fn nights(sheet: &AheadSheet, document: &mut Document) {
    let plan = sheet.plan();
    document.heading("Night by night, with the advice taken");
    let letters = letters(sheet);
    let most = plan
        .nights
        .iter()
        .map(|night| {
            night
                .groups
                .iter()
                .map(|group| group.wanted_dm_kg)
                .sum::<f64>()
        })
        .fold(1e-9, f64::max);
    let mut grid = Grid::new(&[
        ("night", Align::Left),
        ("dry matter fed, by stream (. is missing)", Align::Left),
        ("fed", Align::Right),
        ("wanted", Align::Right),
        ("moisture % (window)", Align::Left),
        ("stock", Align::Right),
        ("spoils", Align::Right),
    ]);
    for night in &plan.nights {
        let wanted: f64 = night.groups.iter().map(|group| group.wanted_dm_kg).sum();
        let fed: f64 = night.groups.iter().map(|group| group.dm_kg).sum();
        grid.row([
            day_words(night.day),
            bar(&night.groups, &letters, wanted, most),
            sheet.weight(fed),
            sheet.weight(wanted),
            night
                .groups
                .iter()
                .map(moisture)
                .collect::<Vec<_>>()
                .join("; "),
            sheet.weight(night.stock_kg),
            if night.spoils_kg < 0.05 {
                "-".to_owned()
            } else {
                sheet.weight(night.spoils_kg)
            },
        ]);
    }
    document.table(grid);
    let legend: Vec<String> = letters
        .iter()
        .map(|(letter, stream)| format!("{letter} {stream}"))
        .collect();
    document.toned(Tone::Small, legend.join(", "));
}

fn bar(groups: &[GroupFed], letters: &[(char, StreamId)], wanted: f64, most: f64) -> String {
    let mut text = String::new();
    let mut reached = 0.0;
    let length = |kg: f64| -> usize {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a share of a short bar"
        )]
        let length = (BAR * kg / most).round().clamp(0.0, 2.0 * BAR) as usize;
        length
    };
    for (letter, stream) in letters {
        let dry = groups
            .iter()
            .filter_map(|group| group.by_stream.get(stream))
            .map(|(_, dry)| dry);
        reached += dry.sum::<f64>();
        while text.chars().count() < length(reached) {
            text.push(*letter);
        }
    }
    while text.chars().count() < length(wanted) {
        text.push('.');
    }
    text
}

fn moisture(group: &GroupFed) -> String {
    let figure = group
        .measures
        .iter()
        .find(|figure| figure.measure == Measure::Moisture);
    let pct = |share: Option<f64>| {
        share.map_or_else(|| "-".to_owned(), |share| one_decimal(100.0 * share))
    };
    let whole = |share: Option<f64>| {
        share.map_or_else(|| "-".to_owned(), |share| format!("{:.0}", 100.0 * share))
    };
    let initial = group.name.chars().next().unwrap_or('?');
    match figure {
        None => format!("{initial} {}", pct(group.moisture)),
        Some(figure) => format!(
            "{initial} {}{} ({}-{})",
            pct(figure.value),
            if figure.standing.is_inside() {
                ""
            } else {
                " OUT"
            },
            whole(figure.window.min),
            whole(figure.window.max)
        ),
    }
}

fn arrivals(sheet: &AheadSheet, document: &mut Document) {
    if sheet.plan().nights.len() < 2 {
        return;
    }
    document.heading("Arrivals expected");
    let mut sums: BTreeMap<(&StreamId, &str), (f64, f64, i64)> = BTreeMap::new();
    for one in &sheet.forecast.expected {
        let sum = sums.entry((&one.stream, &one.supplier)).or_default();
        sum.0 += one.kg;
        sum.1 += one.spread_kg.powi(2);
        sum.2 += 1;
    }
    let mut grid = Grid::new(&[
        ("stream", Align::Left),
        ("supplier", Align::Left),
        ("days", Align::Right),
        ("expected in all", Align::Right),
        ("spread (1 sd)", Align::Right),
    ]);
    for ((stream, supplier), (kg, variance, days)) in sums {
        grid.row([
            stream.to_string(),
            supplier.to_owned(),
            days.to_string(),
            sheet.weight(kg),
            sheet.weight(variance.sqrt()),
        ]);
    }
    document.table(grid);
    document.line("Method: median of the same weekday over the last 8 weeks, with a Theil-Sen trend (Theil 1950; Sen 1968) where a Mann-Kendall test finds one; weeks and bounds are our default.");
    match &sheet.forecast.backtest {
        None => document.line("Not enough history for a backtest: six weeks are needed."),
        Some(test) => document.line(format!(
            "Backtest: {} foretold from the days before each: mean error {} a supplier's stream and day, against {} for \"same as last week\": {:.0} % {}.",
            plural(i64::try_from(test.weeks).unwrap_or_default(), "week", "weeks"),
            sheet.weight(test.error_kg),
            sheet.weight(test.last_week_error_kg),
            test.better_pct().abs(),
            if test.better_pct() >= 0.0 { "better" } else { "worse" },
        )),
    }
}
