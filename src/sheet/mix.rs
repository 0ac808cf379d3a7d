use jiff::civil::Date;

use crate::blend::{GroupMix, Mix, MixVerdict, Standing, Trust};
use crate::quantity::{Grams, MassUnit};
use crate::stream::Measure;

use super::document::{Align, Document, Grid, Tone};
use super::why::{buckets_part, chances_line, conflicts_part, sureness_part, tip_words, why_part};
use super::words::{Units, one_decimal, plural};

/// Tonight's sheet: the mix with what the feeder needs around it.
#[derive(Debug, Clone, PartialEq)]
pub struct MixSheet {
    /// The night, where there is a daybook.
    pub night: Option<Date>,
    /// How the sheet is named in the book.
    pub sheet: Option<String>,
    /// Head of the book when it was printed.
    pub head: Option<String>,
    /// The mix.
    pub mix: Mix,
    /// One for each group of the mix, in its order; empty without a daybook.
    pub cards: Vec<GroupCard>,
    /// Supplier and age of each lot, for finding it on the shelf.
    pub lot_notes: std::collections::BTreeMap<String, String>,
    /// Cautions that apply tonight.
    pub cautions: Vec<String>,
    /// What to do next.
    pub next: Option<String>,
    /// Why, how sure, in buckets: what else was asked for.
    pub trust: Trust,
    /// How weights are said.
    pub units: Units,
}

/// What is known of a group's larvae and trays.
#[derive(Debug, Clone, PartialEq)]
pub struct GroupCard {
    /// Such as `day 8-9`.
    pub ages: String,
    /// Area of all its trays, square metres.
    pub area_m2: f64,
    /// Doses, one a cohort.
    pub trays: Vec<TrayDose>,
}

/// What each tray of a cohort gets.
#[derive(Debug, Clone, PartialEq)]
pub struct TrayDose {
    /// The cohort.
    pub cohort: String,
    /// Days since hatch.
    pub age_days: i32,
    /// Trays.
    pub trays: i64,
    /// The cohort's share of the group's dry matter, 0..=1.
    pub share: f64,
}

/// The sheet as a page.
#[must_use]
pub fn mix_document(sheet: &MixSheet) -> Document {
    let mut document = Document::titled(title(sheet));
    verdict(sheet, &mut document);
    conflicts_part(sheet, &mut document);
    for (position, group) in sheet.mix.groups.iter().enumerate() {
        group_part(sheet, group, sheet.cards.get(position), &mut document);
    }
    buckets_part(sheet, &mut document);
    sureness_part(sheet, &mut document);
    why_part(sheet, &mut document);
    if !sheet.mix.notes.is_empty() || !sheet.cautions.is_empty() {
        document.heading("Tonight, mind");
        for note in &sheet.mix.notes {
            document.line(format!("- {note}"));
        }
        for caution in &sheet.cautions {
            document.toned(Tone::Caution, format!("- {caution}"));
        }
    }
    kept_out(sheet, &mut document);
    stays(sheet, &mut document);
    if let Some(next) = &sheet.next {
        document.toned(Tone::Next, next.clone());
    }
    if let Some(head) = &sheet.head {
        document.toned(
            Tone::Small,
            format!("Book head {head}. Every figure above is reckoned from the printed weights."),
        );
    }
    document
}

fn title(sheet: &MixSheet) -> String {
    let mut title = "Tonight's mix".to_owned();
    if let Some(night) = sheet.night {
        title.push_str(&format!(", night of {night}"));
    }
    if let Some(name) = &sheet.sheet {
        title.push_str(&format!(", sheet {name}"));
    }
    title
}

fn verdict(sheet: &MixSheet, document: &mut Document) {
    let (tone, words) = match &sheet.mix.verdict {
        MixVerdict::Inside => (
            Tone::Good,
            "INSIDE: everyone is fed, inside every window.".to_owned(),
        ),
        MixVerdict::Nearest => (
            Tone::Out,
            "NEAREST: not everything can be met with what is in stock. What is out:".to_owned(),
        ),
        MixVerdict::Nothing { reason } => (
            Tone::Out,
            format!("NONE: nothing can be fed inside the hard limits: {reason}."),
        ),
        MixVerdict::Stopped { reason } => (
            Tone::Out,
            format!("STOPPED: no answer could be verified, so none is printed: {reason}."),
        ),
    };
    document.toned(tone, words);
    if sheet.mix.verdict == MixVerdict::Nearest {
        for line in sheet
            .mix
            .groups
            .iter()
            .flat_map(|group| what_is_out(group, sheet.units))
        {
            document.toned(Tone::Out, format!("- {line}"));
        }
    }
}

/// Each shortage and broken window of a group, with how far and how much.
#[must_use]
pub(super) fn what_is_out(group: &GroupMix, units: Units) -> Vec<String> {
    let mut out = Vec::new();
    let short = group.wanted_dm_kg - group.figures.dry_matter_kg;
    // A shortage below what rounding every draw can cost is the scale's, not the stock's.
    #[expect(clippy::cast_precision_loss, reason = "a sheet has few draws")]
    let explained = units.division.kg() * (1 + group.draws.len() + group.bought.len()) as f64 / 2.0;
    if short > explained {
        out.push(format!(
            "{}: short by {short:.2} kg of {:.2} kg dry matter",
            group.name, group.wanted_dm_kg
        ));
    }
    for figure in &group.figures.measures {
        let Some(value) = figure.value else { continue };
        let (beyond, bound, side) = match figure.standing {
            Standing::Above(by) => (by, figure.window.max, "over"),
            Standing::Below(by) => (by, figure.window.min, "under"),
            Standing::BeyondLimit(by) => (
                by,
                if figure.window.limit_max.is_some_and(|limit| value > limit) {
                    figure.window.limit_max
                } else {
                    figure.window.limit_min
                },
                "beyond the limit",
            ),
            Standing::Inside | Standing::WithinDivision | Standing::NoValue => continue,
        };
        let bound = bound.unwrap_or_default();
        let words = match (&figure.measure, side) {
            (Measure::Moisture, "over") => {
                format!("too wet, {}", units.both(excess_water(group, bound)))
                    + " of water too much"
            }
            (Measure::Moisture, "under") => "too dry".to_owned(),
            _ => format!("{side} its window"),
        };
        out.push(format!(
            "{}: {} {} %, {} points {side} {} %: {words}",
            group.name,
            figure.measure,
            one_decimal(value * 100.0),
            one_decimal(beyond * 100.0),
            one_decimal(bound * 100.0)
        ));
    }
    out
}

/// Water above what the window admits for the mix's dry matter: `Q − M/(1−M)·DM`.
fn excess_water(group: &GroupMix, bound: f64) -> Grams {
    let water = group.figures.wet.kg() - group.figures.dry_matter_kg;
    Grams::from_kg((water - bound / (1.0 - bound) * group.figures.dry_matter_kg).max(0.0))
        .unwrap_or(Grams::ZERO)
}

fn group_part(
    sheet: &MixSheet,
    group: &GroupMix,
    card: Option<&GroupCard>,
    document: &mut Document,
) {
    let heading = match card {
        Some(card) => format!(
            "{} ({}, {})",
            group.name,
            card.ages,
            plural(
                card.trays.iter().map(|dose| dose.trays).sum(),
                "tray",
                "trays"
            )
        ),
        None => group.name.clone(),
    };
    document.heading(heading);
    if group.figures.wet == Grams::ZERO {
        document.toned(
            Tone::Out,
            format!(
                "No feed tonight; {:.2} kg dry matter was wanted.",
                group.wanted_dm_kg
            ),
        );
        return;
    }
    document.table(takes(sheet, group));
    document.line(format!(
        "In all {}, dry matter {:.2} kg of {:.2} kg wanted",
        sheet.units.both(group.figures.wet),
        group.figures.dry_matter_kg,
        group.wanted_dm_kg
    ));
    if let Some(card) = card {
        for dose in &card.trays {
            document.line(dose_line(sheet, group, dose));
        }
    }
    document.table(windows(group));
    if let Some(line) = chances_line(sheet, group) {
        document.line(line);
    }
    if let Some(line) = room_line(group, card) {
        document.line(line);
    }
}

fn takes(sheet: &MixSheet, group: &GroupMix) -> Grid {
    let tips = sheet.trust.buckets.as_ref().and_then(|buckets| {
        let position = sheet
            .mix
            .groups
            .iter()
            .position(|of| of.name == group.name)?;
        buckets.tips.get(position)
    });
    // A feeder who tips buckets reads them first.
    let head = match tips {
        Some(_) => [("tip", Align::Left), ("weight", Align::Right)],
        None => [("weight", Align::Right), ("buckets", Align::Right)],
    };
    let mut grid = Grid::new(&[
        ("take", Align::Left),
        ("from lot", Align::Left),
        head[0],
        head[1],
        ("", Align::Left),
    ]);
    let ordered = |weight: String, bucket: String| match tips {
        Some(_) => [bucket, weight],
        None => [weight, bucket],
    };
    for draw in &group.draws {
        let note = sheet.lot_notes.get(&draw.lot).cloned().unwrap_or_default();
        let tip = tips.and_then(|tips| tips.iter().find(|tip| tip.lot == draw.lot));
        let [first, second] = ordered(
            sheet.units.weight(draw.grams),
            tip.map_or_else(|| buckets(draw.buckets), |tip| tip_words(tip, sheet.units)),
        );
        grid.row([
            draw.stream.to_string(),
            draw.lot.clone(),
            first,
            second,
            note,
        ]);
    }
    for (stream, grams) in &group.bought {
        let [first, second] = ordered(sheet.units.weight(*grams), String::new());
        grid.row([
            stream.to_string(),
            "buy".to_owned(),
            first,
            second,
            String::new(),
        ]);
    }
    if group.water > Grams::ZERO {
        let [first, second] = ordered(sheet.units.weight(group.water), String::new());
        grid.row([
            "water".to_owned(),
            "tap".to_owned(),
            first,
            second,
            String::new(),
        ]);
    }
    grid
}

fn buckets(count: f64) -> String {
    if count < 0.05 {
        "a little".to_owned()
    } else {
        one_decimal(count)
    }
}

fn dose_line(sheet: &MixSheet, group: &GroupMix, dose: &TrayDose) -> String {
    #[expect(clippy::cast_precision_loss, reason = "tray counts are small")]
    let per_tray = group.figures.wet.kg() * dose.share / dose.trays.max(1) as f64;
    let grams = Grams::from_kg(per_tray).unwrap_or(Grams::ZERO);
    // A dose of a few divisions would round away: then it is told in grams.
    let told = if grams < sheet.units.division.grams(10) {
        grams.in_unit(MassUnit::G)
    } else {
        sheet.units.weight(grams)
    };
    format!(
        "Each of {} of {} (day {}): {told}",
        plural(dose.trays, "tray", "trays"),
        dose.cohort,
        dose.age_days,
    )
}

fn windows(group: &GroupMix) -> Grid {
    let mut grid = Grid::new(&[
        ("measure", Align::Left),
        ("value", Align::Right),
        ("window", Align::Right),
        ("limit", Align::Right),
        ("", Align::Left),
    ]);
    for figure in &group.figures.measures {
        let basis = if figure.measure == Measure::Moisture {
            "%"
        } else {
            "% DM"
        };
        let standing = match figure.standing {
            Standing::Inside => "inside",
            Standing::WithinDivision => "inside, at the edge",
            Standing::Below(_) => "TOO LOW",
            Standing::Above(_) => "TOO HIGH",
            Standing::BeyondLimit(_) => "BEYOND THE LIMIT",
            Standing::NoValue => "",
        };
        grid.row([
            figure.measure.to_string(),
            figure.value.map_or_else(
                || "-".to_owned(),
                |value| format!("{} {basis}", one_decimal(value * 100.0)),
            ),
            range(figure.window.min, figure.window.max),
            range(figure.window.limit_min, figure.window.limit_max),
            standing.to_owned(),
        ]);
    }
    grid
}

fn range(low: Option<f64>, high: Option<f64>) -> String {
    let pct = |share: f64| {
        let text = one_decimal(share * 100.0);
        text.strip_suffix(".0")
            .map_or_else(|| text.clone(), ToOwned::to_owned)
    };
    match (low, high) {
        (Some(low), Some(high)) => format!("{}-{}", pct(low), pct(high)),
        (Some(low), None) => format!("from {}", pct(low)),
        (None, Some(high)) => format!("to {}", pct(high)),
        (None, None) => String::new(),
    }
}

fn room_line(group: &GroupMix, card: Option<&GroupCard>) -> Option<String> {
    let volume = group.figures.volume_l?;
    let mut line = format!("At most {volume:.0} L");
    if let Some(limit) = group.volume_limit_l {
        line.push_str(&format!(" of {limit:.0} L the trays hold"));
    }
    line.push_str(&format!(
        ", density about {:.0} kg/m3",
        group.figures.wet.kg() / volume * 1000.0
    ));
    if let Some(card) = card.filter(|card| card.area_m2 > 0.0) {
        line.push_str(&format!(
            ", layer at most {:.1} cm",
            volume / card.area_m2 / 10.0
        ));
    }
    Some(line + " (added volumes; fines fill voids)")
}

fn kept_out(sheet: &MixSheet, document: &mut Document) {
    if sheet.mix.held_back.is_empty() {
        return;
    }
    document.heading("Held back");
    for held in &sheet.mix.held_back {
        document.line(format!("{}: {}", held.lot, held.reason));
    }
}

fn stays(sheet: &MixSheet, document: &mut Document) {
    const NAMED_MOST: usize = 40;
    // Less than half a division is nothing a scale can show.
    let visible = |grams: Grams| grams.get() * 2 >= sheet.units.division.grams(1).get();
    let left: Vec<_> = sheet
        .mix
        .left
        .iter()
        .filter(|left| visible(left.grams))
        .collect();
    if left.is_empty() {
        return;
    }
    document.heading("Stays on hand");
    let total: Grams = left.iter().map(|left| left.grams).sum();
    let named: Vec<String> = left
        .iter()
        .take(NAMED_MOST)
        .map(|left| format!("{} {}", left.lot, sheet.units.weight(left.grams)))
        .collect();
    let more = left.len().saturating_sub(NAMED_MOST);
    let more = if more > 0 {
        format!(" and {more} more lots")
    } else {
        String::new()
    };
    document.line(format!(
        "{}: {}{more}",
        sheet.units.both(total),
        named.join(", ")
    ));
}
