//! The demo: an invented farm's last two months, played through the same acts
//! staff use. Nothing here is written into the book by another road.

mod scenario;
mod yields;

use std::path::Path;

use jiff::civil::{Date, Time};
use jiff::tz::TimeZone;
use jiff::{Timestamp, ToSpan};

use crate::daybook::{Cohort, Daybook, Outlet, SPOILED};
use crate::quantity::{Dice, Reader};
use crate::words::say;

use scenario::{Load, Scenario};

use crate::acts::night::night_begun;
use crate::acts::{
    ActError, Asked, AssayReading, Bucket, Dock, FarmSettings, FedAsked, ImportAsked, MADE_HERE,
    MixAsked, Night, PickedText, Result, TableFile, Tables, add_cohort, add_container, assay,
    begin, cohorts_on, discard, import, night_of, propose_mix, record_fed, record_sheet, settings,
    stock_now, weigh_in,
};

const SCENARIO: &str = include_str!("../../../examples/demo-farm.toml");

/// Plays one of the scenario's sites up to `now` into a new daybook: as many
/// days as the scenario says, or so many. Sites are counted from 0; the first
/// is the demo farm itself.
pub fn play_demo(
    path: &Path,
    tables: &Tables,
    now: Timestamp,
    (days, site): (Option<u16>, usize),
    mut step: impl FnMut(u64, u64),
) -> Result<Daybook> {
    let mut scenario: Scenario = toml::from_str(SCENARIO).map_err(unreadable)?;
    scenario.days = days.map_or(scenario.days, i64::from);
    scenario.settle_at(site);
    let zone = TimeZone::get(&scenario.farm.zone).map_err(unreadable)?;
    let mut clock = Clock { made: 0, zone, now };
    let last_day = clock.working_day();
    let first_day = last_day - scenario.days.days();
    let mut book = begin(path, &scenario.farm, &clock.asked(first_day, 6, 0)?)?;
    let farm = settings(&book)?;
    for container in &scenario.container {
        let tare = Reader::PLAIN.weight(&container.tare).map_err(unreadable)?;
        let volume = container.volume.as_deref();
        let volume = volume.map(|text| Reader::PLAIN.litres(text));
        let volume = volume.transpose().map_err(unreadable)?;
        let asked = clock.asked(first_day, 6, 5)?;
        add_container(&mut book, &container.name, &tare, volume, &asked)?;
    }
    let mut player = Player {
        book,
        farm,
        tables,
        dice: Dice::seeded(scenario.seed),
        other_dice: Dice::seeded(scenario.harvest.seed),
        test_dice: Dice::seeded(scenario.harvest.seed + 1),
        scenario,
        clock,
    };
    for offset in 0..=player.scenario.days {
        let day = first_day + offset.days();
        player.day(day, offset, day == last_day)?;
        let told = |days: i64| u64::try_from(days).unwrap_or_default();
        step(told(offset), told(player.scenario.days));
    }
    Ok(player.book)
}

fn unreadable(error: impl std::fmt::Display) -> ActError {
    ActError::Time(say!("refused-demo", error = error))
}

/// Work hours of the demo's staff, never later than `now`.
struct Clock {
    made: u64,
    zone: TimeZone,
    now: Timestamp,
}

impl Clock {
    fn working_day(&self) -> Date {
        night_begun(self.now, &self.zone)
    }

    fn asked(&mut self, day: Date, hour: i8, minute: i8) -> Result<Asked> {
        self.made += 1;
        let time = Time::new(hour, minute, 0, 0).map_err(unreadable)?;
        let planned = day
            .to_datetime(time)
            .to_zoned_datetime(self.zone.clone())
            .map_err(unreadable)?;
        let at = planned.timestamp().min(self.now);
        let by = if hour < 17 { "AB" } else { "NF" }.to_owned();
        Ok(Asked {
            id: format!("{MADE_HERE}demo-{}", self.made),
            at,
            by,
            now: at,
            // What the scenario invents is meant.
            sure: true,
        })
    }
}

struct Player<'a> {
    book: Daybook,
    farm: FarmSettings,
    tables: &'a Tables,
    scenario: Scenario,
    dice: Dice,
    /// Of its own, so that tests and harvests never change what is delivered.
    other_dice: Dice,
    /// Of their own too, so that what is mixed never changes what tests say.
    test_dice: Dice,
    clock: Clock,
}

impl Player<'_> {
    fn day(&mut self, day: Date, offset: i64, is_last: bool) -> Result<()> {
        self.clear_out(day)?;
        self.cohorts(day, offset)?;
        self.deliveries(day, offset)?;
        if offset % 4 == 1 {
            self.test_moisture(day)?;
        }
        self.bills(day)?;
        if is_last {
            self.stopped(day)
        } else {
            self.feed(day)
        }
    }

    /// The last bucket of all has bone in it.
    fn stopped(&mut self, day: Date) -> Result<()> {
        let wanted = &self.scenario.stopped;
        let bone = PickedText {
            weight: wanted.bone.clone(),
            kind: "bone".to_owned(),
        };
        let bucket = Bucket {
            supplier: wanted.supplier.clone(),
            stream: wanted.stream.clone(),
            container: Some(wanted.container.clone()),
            gross: Some(wanted.gross.clone()),
            picked_out: vec![bone],
            sure: true,
            ..Bucket::default()
        };
        let asked = self.clock.asked(day, 15, 50)?;
        let dock = Dock::open(&self.book, &self.farm, self.tables)?;
        weigh_in(&mut self.book, &dock, &bucket, &asked)?;
        Ok(())
    }

    /// Every morning what is two keeping times old goes to compost, and so does woody stuff.
    fn clear_out(&mut self, day: Date) -> Result<()> {
        let asked = self.clock.asked(day, 7, 0)?;
        let stock = stock_now((&self.book, &self.farm, self.tables), asked.at)?;
        for lot in &stock.lots {
            let keeps = lot.keeps_days.unwrap_or(f64::INFINITY);
            let past = |times: f64| lot.age_days > times * keeps;
            let why = if past(2.0) || (!lot.may_be_fed() && lot.age_days > 6.0) {
                "past its time (demo)"
            } else if past(1.0) && self.other_dice.roll() < SPOILED_SHARE {
                SPOILED
            } else {
                continue;
            };
            let asked = self.clock.asked(day, 7, 5)?;
            let (name, to, units) = (&lot.book.name, Outlet::Composted, self.farm.units);
            discard(&mut self.book, name, to, None, Some(why), units, &asked)?;
        }
        Ok(())
    }

    fn cohorts(&mut self, day: Date, offset: i64) -> Result<()> {
        let asked = self.clock.asked(day, 7, 30)?;
        let night = Night { day, at: asked.at };
        let on_trays = cohorts_on(&self.book, &self.farm, &self.tables.stages, night)?;
        let ends_on_day = self.scenario.cohort.ends_on_day;
        for old in on_trays.iter().filter(|one| one.age_days >= ends_on_day) {
            self.harvest(day, old)?;
        }
        let wanted = &self.scenario.cohort;
        if offset % wanted.every_days == 0 {
            let cohort = Cohort {
                name: format!("H{:02}", offset / wanted.every_days + 1),
                hatched: day,
                larvae: wanted.larvae,
                counted: wanted.counted.clone(),
                trays: wanted.trays,
                tray_area_m2: wanted.tray_area_m2,
                depth_cm: None,
                start_count: None,
                start_ug: None,
                feeding: None,
            };
            add_cohort(&mut self.book, &cohort, &self.clock.asked(day, 7, 40)?)?;
        }
        Ok(())
    }

    /// A day's buckets as the file a scale would write, through the import.
    fn deliveries(&mut self, day: Date, offset: i64) -> Result<()> {
        let mut bytes = format!("{DELIVERY_COLUMNS}\n").into_bytes();
        let mut minute: i8 = 0;
        let weekday = day.weekday().to_monday_one_offset();
        let due = |load: &&Load| {
            load.weekdays.contains(&weekday)
                && load.every_days.is_none_or(|every| offset % every < 7)
        };
        for load in self.scenario.load.iter().filter(due) {
            for _ in 0..load.buckets {
                let at = self.clock.asked(day, 8 + minute / 60, minute % 60)?.at;
                minute = minute.saturating_add(7);
                let tested = squeezed(load, &mut self.test_dice);
                bytes.extend(delivery(load, at, &mut self.dice, tested).into_bytes());
            }
        }
        if minute == 0 {
            return Ok(());
        }
        let dock = Dock::open(&self.book, &self.farm, self.tables)?;
        let now = self.clock.asked(day, 16, 0)?.now;
        let asked = ImportAsked {
            by: "AB".to_owned(),
            sure: true,
            now,
        };
        let file = TableFile {
            name: "demo".to_owned(),
            bytes,
        };
        import(&mut self.book, &dock, file, &asked, |_, _| ())?;
        Ok(())
    }

    fn test_moisture(&mut self, day: Date) -> Result<()> {
        let asked = self.clock.asked(day, 16, 30)?;
        let stock = stock_now((&self.book, &self.farm, self.tables), asked.at)?;
        let lots = stock.lots.iter();
        let grain = lots.filter(|lot| lot.book.stream.as_str() == "spent-grain");
        let Some(lot) = grain.max_by_key(|lot| lot.book.seq) else {
            return Ok(());
        };
        let dry_g = (100.0 - self.dice.around(76.5, 2.0)).round();
        let reading = AssayReading::Dried {
            dish_g: 0.0,
            wet_g: 100.0,
            dried_g: vec![dry_g],
            method: "microwave".to_owned(),
        };
        let streams = &self.tables.streams;
        assay(&mut self.book, &lot.book.name, &reading, streams, &asked)?;
        Ok(())
    }

    fn feed(&mut self, day: Date) -> Result<()> {
        let asked = self.clock.asked(day, 20, 0)?;
        let night = night_of(asked.at, None, &self.farm);
        let nothing_bought = MixAsked::default();
        let sheet = match propose_mix(
            (&self.book, &self.farm, self.tables),
            night,
            &nothing_bought,
        ) {
            Ok(sheet) => sheet,
            Err(ActError::NothingDue { .. }) => return Ok(()),
            Err(error) => return Err(error),
        };
        if record_sheet(&mut self.book, &sheet, night, &asked)?.is_some() {
            let asked = self.clock.asked(day, 21, 0)?;
            let as_printed = FedAsked::default();
            record_fed(&mut self.book, night, &as_printed, self.farm.units, &asked)?;
        }
        Ok(())
    }
}

const DELIVERY_COLUMNS: &str = "weighed_at,ticket,supplier,stream,gross,tare,unit,container,moisture_pct,picked_out,picked_out_kind,verdict,by,note,bought,price_per_kg";
/// Share of lots past their keeping time that are found spoiled on a morning.
const SPOILED_SHARE: f64 = 0.12;
/// Share of loads the demo's staff turn away.
const PUTRID_SHARE: f64 = 0.012;
/// Error of a test at the dock, percentage points, one standard deviation.
const DOCK_TEST_ERROR: f64 = 2.0;
/// Share of loads tested at the dock where the supplier's moisture is given.
const TESTED_SHARE: f64 = 0.3;

/// What the dock's test says of a load, where its truth is in the scenario: the
/// lot's own moisture and the error of the test.
fn squeezed(load: &Load, dice: &mut Dice) -> Option<f64> {
    let [mean, spread] = load.true_moisture_pct?;
    (dice.roll() < TESTED_SHARE)
        .then(|| dice.around(mean, spread) + dice.around(0.0, DOCK_TEST_ERROR))
}

fn delivery(load: &Load, at: Timestamp, dice: &mut Dice, tested: Option<f64>) -> String {
    let gross = dice.around(load.gross_lb, load.spread_lb);
    let moisture = match (load.moisture_pct, load.moisture_spread) {
        (Some(mean), Some(spread)) if dice.roll() < TESTED_SHARE => {
            format!("{:.1}", dice.around(mean, spread))
        }
        _ => tested.map_or_else(String::new, |pct| format!("{:.1}", pct.clamp(0.0, 99.0))),
    };
    let putrid = !load.bought && dice.roll() < PUTRID_SHARE;
    let (verdict, note) = if putrid {
        ("refuse", "putrid")
    } else {
        ("", "")
    };
    let bought = if load.bought { "yes" } else { "" };
    let price = load.price_per_kg;
    let price = price.map_or_else(String::new, |price| price.to_string());
    format!(
        "{at},,{},{},{gross:.1},,lb,{},{moisture},,,{verdict},AB,{note},{bought},{price}\n",
        load.supplier, load.stream, load.container
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_scenario_reads_and_its_tares_are_weights() {
        let scenario: Scenario = toml::from_str(SCENARIO).expect("scenario");
        for container in &scenario.container {
            Reader::PLAIN.weight(&container.tare).expect("tare");
        }
        assert!(scenario.days >= 62, "last month must be whole");
    }
}
