use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::outlook::{
    Advice, Chance, Forecast, Foreseen, GroupFed, Heeded, Intake, Offer, Room, Trouble,
    fresh_larvae_kg,
};
use crate::quantity::Grams;
use crate::stream::{Measure, StreamId};

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
    /// What was assumed.
    pub notes: Vec<String>,
    /// How many keeping times a lot may be used on later nights.
    pub usable_keeping_times: f64,
    /// ISO 4217 code.
    pub currency: String,
    /// How weights are said.
    pub units: Units,
    /// Head of the book.
    pub head: String,
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
#[must_use]
pub fn ahead_document(sheet: &AheadSheet) -> Document {
    let count = i64::try_from(sheet.plan().nights.len()).unwrap_or(i64::MAX);
    let mut document = Document::titled(format!(
        "The next {}, from {}",
        plural(count, "night", "nights"),
        sheet.day(0)
    ));
    verdict(sheet, &mut document);
    for line in answers(sheet) {
        document.toned(line.0, line.1);
    }
    nights(sheet, &mut document);
    arrivals(sheet, &mut document);
    document.heading("What this rests on");
    for note in &sheet.notes {
        document.line(format!("- {note}"));
    }
    document.line(format!("- tonight a lot past its keeping time may be used, as `mix` does: look at it; later nights count on none beyond {} keeping times (our default)", sheet.usable_keeping_times));
    document.line("- later nights are not rounded to the scale; each evening `trayful mix` makes the night's own sheet".to_owned());
    document.toned(
        Tone::Small,
        format!("Nothing was recorded. Book at {}.", sheet.head),
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

/// Answers in words, each with its tone.
pub(super) fn answers(sheet: &AheadSheet) -> Vec<(Tone, String)> {
    let mut lines = Vec::new();
    lines.extend(
        trouble_words(sheet)
            .into_iter()
            .map(|words| (Tone::Out, words)),
    );
    for advice in &sheet.heeded.advice {
        lines.push((Tone::Next, advice_words(sheet, advice)));
    }
    if let Some(intake) = sheet
        .intakes
        .iter()
        .filter(|intake| intake.kg_per_week >= 1.0 && intake.holds)
        .max_by(|a, b| a.kg_per_week.total_cmp(&b.kg_per_week))
    {
        let others: Vec<String> = sheet
            .intakes
            .iter()
            .filter(|other| {
                other.stream != intake.stream && other.kg_per_week >= 1.0 && other.holds
            })
            .map(|other| format!("or {} of {}", sheet.weight(other.kg_per_week), other.stream))
            .collect();
        let others = if others.is_empty() {
            String::new()
        } else {
            format!(" ({})", others.join(", "))
        };
        lines.push((Tone::Plain, format!(
            "You can take {} more {} a week{others}, fed before it spoils and nothing else spoiling for it (solved again with it).",
            sheet.weight(intake.kg_per_week),
            intake.stream,
        )));
    } else if !sheet.intakes.is_empty() {
        lines.push((Tone::Plain, "No more of any stream could come on every day without something else spoiling for it or leaving a window.".to_owned()));
    }
    lines.extend(growth_words(sheet));
    lines.extend(chance_words(sheet));
    lines
}

/// One sentence for each kind of trouble, with all its nights.
fn trouble_words(sheet: &AheadSheet) -> Vec<String> {
    let mut kinds: Vec<Vec<&Trouble>> = Vec::new();
    for trouble in &sheet.heeded.troubles {
        let same = |kind: &&mut Vec<&Trouble>| {
            (&kind[0].measure, kind[0].above) == (&trouble.measure, trouble.above)
        };
        match kinds.iter_mut().find(same) {
            Some(kind) => kind.push(trouble),
            None => kinds.push(vec![trouble]),
        }
    }
    kinds.iter().map(|kind| kind_words(sheet, kind)).collect()
}

fn kind_words(sheet: &AheadSheet, kind: &[&Trouble]) -> String {
    let spans: Vec<String> = kind
        .iter()
        .map(|trouble| {
            if trouble.from == trouble.to {
                sheet.day(trouble.from)
            } else {
                format!("{} to {}", sheet.day(trouble.from), sheet.day(trouble.to))
            }
        })
        .collect();
    let one = kind.len() == 1 && kind[0].from == kind[0].to;
    let when = format!("{} {}", spans.join(", "), if one { "is" } else { "are" });
    let groups: Vec<&str> = kind
        .iter()
        .flat_map(|trouble| &trouble.groups)
        .map(String::as_str)
        .collect::<std::collections::BTreeSet<_>>()
        .into_iter()
        .collect();
    let groups = groups.join(", ");
    let worst = kind.iter().map(|trouble| trouble.worst).fold(0.0, f64::max);
    let points = one_decimal(100.0 * worst);
    let side = if kind[0].above { "above" } else { "below" };
    match (&kind[0].measure, kind[0].above) {
        (None, _) => format!(
            "{when} short of feed for {groups}: up to {} of dry matter missing on one night.",
            sheet.weight(worst)
        ),
        (Some(Measure::Moisture), above) => format!(
            "{when} too {} for {groups}: up to {points} points {side} the window.",
            if above { "wet" } else { "dry" },
        ),
        (Some(measure), above) => format!(
            "{when} too {} in {measure} for {groups}: up to {points} points {side} the window.",
            if above { "high" } else { "low" },
        ),
    }
}

fn advice_words(sheet: &AheadSheet, advice: &Advice) -> String {
    let proof = |holds: bool, good: &str| {
        if holds {
            format!("solved again: {good}")
        } else {
            "solved again: it helps, but less than buying to the gram".to_owned()
        }
    };
    match advice {
        Advice::Buy {
            stream,
            grams,
            packs,
            night,
            offer,
            cost,
            checked,
        } => {
            let how_much = match packs {
                Some(packs) => format!(
                    "{} of {stream} ({})",
                    plural(*packs, "pack", "packs"),
                    sheet.units.weight(*grams)
                ),
                None => format!("{} of {stream}", sheet.units.weight(*grams)),
            };
            let by = sheet
                .offers
                .get(*offer)
                .map_or_else(String::new, |offer| day_words(offer.order_by));
            format!(
                "Buy {how_much} by {by}, to be there on {} ({cost:.2} {}); {}.",
                sheet.day(*night),
                sheet.currency,
                proof(
                    checked.holds,
                    "no night is worse than with any amount bought"
                )
            )
        }
        Advice::Accept {
            stream,
            from,
            to,
            expected_kg,
            at_most_kg,
            checked,
        } => {
            let when = if from == to {
                format!("on {}", sheet.day(*from))
            } else {
                format!("from {} to {}", sheet.day(*from), sheet.day(*to))
            };
            format!(
                "Accept at most {} of {stream} {when}, of {} expected: the rest spoils unfed; {}.",
                sheet.weight(*at_most_kg),
                sheet.weight(*expected_kg),
                proof(checked.holds, "no night is worse without it")
            )
        }
        Advice::Clear {
            stream,
            lots,
            kg,
            by,
            checked,
        } => format!(
            "{stream} in {} {}: {} can't be fed before it is spoiled; send it to compost by {}; {}.",
            if lots.len() == 1 { "lot" } else { "lots" },
            lots.join(", "),
            sheet.weight(*kg),
            sheet.day(*by),
            proof(checked.holds, "no night is worse without it")
        ),
    }
}

fn growth_words(sheet: &AheadSheet) -> Vec<(Tone, String)> {
    let Some(growth) = &sheet.growth else {
        return Vec::new();
    };
    let factor = growth.room.factor;
    let (low, high) = fresh_larvae_kg(growth.dm_kg_per_week * factor);
    let mut lines = vec![(
        Tone::Plain,
        format!(
            "Room to grow: stock, arrivals and what is advised carry {:.0} larvae a night inside every window, {:.2} times the {:.0} planned; at published conversion that is {} to {} of fresh larvae a week (13.2-21.6 % of dry matter, Gold et al. 2020 data file; larvae 33 % dry, Nayak et al. 2025, second-hand).",
            growth.larvae * factor,
            factor,
            growth.larvae,
            sheet.weight(low),
            sheet.weight(high),
        ),
    )];
    if let Some(best) = growth
        .room
        .raises
        .first()
        .filter(|raise| raise.factor > 1e-6)
    {
        let (low, high) = fresh_larvae_kg(growth.dm_kg_per_week * best.factor);
        lines.push((Tone::Plain, format!(
            "What would raise it most: {}; {} more a week carry {:.0} larvae a night more, {} to {} of larvae a week (solved again with it).",
            best.stream,
            sheet.weight(best.kg_per_week),
            growth.larvae * best.factor,
            sheet.weight(low),
            sheet.weight(high),
        )));
    }
    lines
}

fn chance_words(sheet: &AheadSheet) -> Vec<(Tone, String)> {
    let Some(chance) = &sheet.chance else {
        return Vec::new();
    };
    let say = |chance: &Chance| {
        format!(
            "{:.0} in 100 (± {:.0}) when each night is mixed from what is there; {:.0} in 100 at best, were all arrivals known and planned for",
            chance.short_pct(),
            chance.short_pct_error(),
            chance.short_at_best_pct(),
        )
    };
    let nights = i64::try_from(chance.nights).unwrap_or_default();
    let mut lines = vec![(
        Tone::Plain,
        format!(
            "Chance that feed runs short within {}: {} ({} played weeks, arrivals drawn around what is expected, tonight as planned).",
            plural(nights, "night", "nights"),
            say(chance),
            chance.weeks,
        ),
    )];
    if let Some((advice, again)) = &sheet.reserve {
        let buys: Vec<String> = advice
            .iter()
            .filter(|advice| matches!(advice, Advice::Buy { .. }))
            .map(|advice| advice_words(sheet, advice))
            .collect();
        if buys.is_empty() || again.short >= chance.short {
            lines.push((
                Tone::Plain,
                "No reserve of what can be bought makes that less likely.".to_owned(),
            ));
        } else {
            lines.push((Tone::Next, format!(
                "With a reserve for arrivals that only one in ten falls below: {}. For it, instead of the purchase above: {}",
                say(again),
                buys.join(" ")
            )));
        }
    }
    lines
}

/// Letters for streams, the heaviest first.
pub(super) fn letters(plan: &Foreseen) -> Vec<(char, StreamId)> {
    let mut kg: BTreeMap<&StreamId, f64> = BTreeMap::new();
    for group in plan.nights.iter().flat_map(|night| &night.groups) {
        for (stream, (_, dry)) in &group.by_stream {
            *kg.entry(stream).or_default() += dry;
        }
    }
    let mut by_weight: Vec<(&StreamId, f64)> = kg.into_iter().collect();
    by_weight.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(b.0)));
    let letter = |position: usize| char::from(b'a' + u8::try_from(position.min(25)).unwrap_or(25));
    by_weight
        .into_iter()
        .enumerate()
        .map(|(position, (stream, _))| (letter(position), stream.clone()))
        .collect()
}

/// Characters of the widest bar.
const BAR: f64 = 24.0;

fn nights(sheet: &AheadSheet, document: &mut Document) {
    let plan = sheet.plan();
    document.heading("Night by night, with the advice taken");
    let letters = letters(plan);
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
