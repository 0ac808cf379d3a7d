//! Today: what came in, what to use, what is due, and the likely next thing as
//! one large button.

use super::stock::{Card, card};
use super::*;
use crate::acts::{Today, nobody_set_it, today};
use crate::sheet::day_words;
use crate::words::{Said, say};

/// Until this hour buckets are expected rather than the evening's mix (our default).
const EVENING: i8 = 15;
/// Lots shown to use first; the others are on the stock page.
const FIRST: usize = 6;

/// Where the large button leads, and what it says.
struct Likely {
    path: &'static str,
    icon: &'static str,
    said: Said,
}

impl Likely {
    fn of(today: &Today, is_evening: bool) -> Self {
        let to = |path, icon, said| Self { path, icon, said };
        match today.sheet {
            Some((_, false)) => to("/tonight", "tonight", say!("dock-home-tick")),
            None if is_evening && !today.due.is_empty() => {
                to("/tonight", "tonight", say!("dock-home-sheet"))
            }
            _ => to("/weigh", "weigh", say!("dock-home-weigh")),
        }
    }
}

#[derive(Template)]
#[template(path = "home.html", config = "src/askama.toml")]
pub(crate) struct HomePage {
    frame: Frame,
    title: Said,
    likely: Likely,
    came_in: Said,
    on_hand: Said,
    due: Vec<Said>,
    sheet: Option<Said>,
    /// Lots past their time, and lots to use tonight.
    past: Vec<Card>,
    tonight: Vec<Card>,
    /// How many more there are.
    more: usize,
    /// What a new farm still lacks, in the order it is asked for.
    steps: Vec<(&'static str, Said, bool)>,
}

/// What must be said before the first sheet, and whether it was; none once all is.
fn steps(at: &At) -> Result<Vec<(&'static str, Said, bool)>> {
    let set = !nobody_set_it(at.book)?;
    let named = !at.book.containers()?.is_empty();
    let larvae = !at.book.cohorts(at.now)?.is_empty();
    if set && named && larvae {
        return Ok(Vec::new());
    }
    Ok(vec![
        ("/settings", say!("dock-home-settings"), set),
        ("/containers", say!("dock-containers-title"), named),
        ("/cohorts/add", say!("dock-cohort-title"), larvae),
    ])
}

pub(crate) fn show(at: &At, frame: Frame, (): ()) -> Result<HomePage> {
    let day = today((at.book, at.farm, at.tables), at.now, at.night())?;
    let units = at.farm.units;
    let local = at.now.to_zoned_datetime(at.farm.zone.clone());
    // After midnight it is still the night before.
    let is_evening = local.hour() >= EVENING || local.date() > day.night.day;
    let time = at.local(at.now, "%H:%M");
    let came_in = day.came_in_said(|grams| units.told(grams));
    let (lots, weight) = (day.on_hand.0, units.told(day.on_hand.1));
    let is_past = |left: Option<f64>| left.is_some_and(|left| left < 0.0);
    // What is most first: a rest in a bucket's corner is no news.
    let mut spoiling: Vec<_> = day.spoiling.iter().collect();
    spoiling.sort_by_key(|lot| std::cmp::Reverse(lot.book.remaining));
    let first = spoiling.into_iter().take(FIRST);
    let cards = |past: bool| {
        let those = first.clone().filter(|lot| is_past(lot.days_left()) == past);
        those.map(|lot| card(at, &frame, lot)).collect()
    };
    let due = (day.due.iter()).map(|(group, trays, _)| say!("dock-home-due", group, trays));
    Ok(HomePage {
        title: say!("today-title", day = day_words(local.date()), time),
        likely: Likely::of(&day, is_evening),
        came_in,
        on_hand: say!("today-on-hand", lots, weight),
        due: due.collect(),
        // A sheet that is not fed yet is what the large button says.
        sheet: (day.sheet.filter(|(_, fed)| *fed)).map(|_| say!("dock-home-fed")),
        past: cards(true),
        tonight: cards(false),
        more: day.spoiling.len().saturating_sub(FIRST),
        steps: steps(at)?,
        frame,
    })
}
