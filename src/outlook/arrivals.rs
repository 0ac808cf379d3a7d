use std::collections::{BTreeMap, BTreeSet};

use jiff::ToSpan;
use jiff::civil::Date;
use schemars::JsonSchema;
use serde::Serialize;

use crate::quantity::sample_quantile;
use crate::stream::StreamId;

/// What came in one load.
#[derive(Debug, Clone, PartialEq)]
pub struct Arrived {
    pub supplier: String,
    pub stream: StreamId,
    pub day: Date,
    /// Kilograms accepted.
    pub kg: f64,
    /// Moisture tested at the dock, per cent wet basis.
    pub moisture_pct: Option<f64>,
}

/// What came over a span of days. Nothing bought, refused or struck is in it.
#[derive(Debug, Clone, PartialEq)]
pub struct History {
    pub from: Date,
    pub until: Date,
    /// Loads, in any order.
    pub arrived: Vec<Arrived>,
    /// Days that are no guide, such as holidays.
    pub holidays: BTreeSet<Date>,
}

/// What is expected of one supplier and stream on one day.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Expected {
    pub supplier: String,
    pub stream: StreamId,
    #[schemars(with = "String")]
    pub day: Date,
    /// Kilograms: the median, or what a file says, where zero is nothing.
    pub kg: f64,
    /// One standard deviation, kilograms; nought where a file has none.
    pub spread_kg: f64,
    /// Moisture, per cent wet basis: where at least three loads were tested, or as a file says.
    pub moisture_pct: Option<f64>,
}

#[must_use]
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Forecast {
    /// By day, supplier and stream; nothing that is below 50 g.
    pub expected: Vec<Expected>,
    /// The error in the past; `None` with less than six weeks of history.
    pub backtest: Option<Backtest>,
}

/// The error on weeks that have passed, each foretold from the days before it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Backtest {
    pub weeks: usize,
    /// Supplier-stream-days compared.
    pub compared: usize,
    /// Mean absolute error, kilograms a day and supplier's stream.
    pub error_kg: f64,
    /// The same for "as on this day a week ago" (the seasonal naive method).
    pub last_week_error_kg: f64,
}

impl Backtest {
    /// By how many per cent the error is smaller than that of "same as last week".
    pub fn better_pct(&self) -> f64 {
        if self.last_week_error_kg > 0.0 {
            100.0 * (1.0 - self.error_kg / self.last_week_error_kg)
        } else {
            0.0
        }
    }
}

/// Same weekdays looked back on (our default).
const WEEKS_BACK: usize = 8;
/// Weeks a trend is read from, and the fewest (our defaults).
const TREND_WEEKS: (usize, usize) = (12, 6);
/// Mann-Kendall score from which a trend is believed: 5 %, two-sided.
const TREND_SCORE: f64 = 1.96;
/// Weeks foretold again to see the error, and weeks needed before them.
const BACKTEST_WEEKS: (usize, usize) = (8, 4);
/// Less than this is nothing.
const NOTHING_KG: f64 = 0.05;
/// Median absolute deviation to standard deviation, for a normal spread.
const MAD_TO_SD: f64 = 1.4826;

/// Expects what comes on `days`, which begin with the day after the history.
///
/// Inputs: loads [kg, accepted] by supplier, stream and day. Result: kg a day,
/// the median of the same weekday over the last 8 weeks without holidays, times
/// a trend; never below zero. Equation: `kg = med(v₁..v_n) · (1 + b/M · ((n+1)/2 + w))`
/// with `b` the Theil-Sen slope of weekly sums [kg/week] (Theil 1950; Sen 1968, J. Am.
/// Stat. Assoc. 63:1379; as documented for `scipy.stats.theilslopes`), used only
/// where the Mann-Kendall score is 1.96 or more, `M` their median, `w` whole weeks ahead;
/// the trend factor is kept in 0.5..=2. Spread: 1.4826 times the median absolute
/// deviation. Weeks looked back on and the bounds are our default.
pub fn forecast(history: &History, days: &[Date]) -> Forecast {
    let series = Series::all(history);
    let mut expected = Vec::new();
    for day in days {
        for one in &series {
            let (kg, spread_kg) = one.at(*day, history.until);
            if kg >= NOTHING_KG {
                expected.push(Expected {
                    supplier: one.supplier.clone(),
                    stream: one.stream.clone(),
                    day: *day,
                    kg,
                    spread_kg,
                    moisture_pct: one.moisture_pct,
                });
            }
        }
    }
    Forecast {
        expected,
        backtest: backtest(history, &series),
    }
}

/// One supplier's stream, day by day.
struct Series<'a> {
    supplier: String,
    stream: StreamId,
    /// Kilograms by day; a day that is not here brought nothing.
    by_day: BTreeMap<Date, f64>,
    first: Date,
    moisture_pct: Option<f64>,
    holidays: &'a BTreeSet<Date>,
}

impl<'a> Series<'a> {
    fn all(history: &'a History) -> Vec<Self> {
        let mut by_source: BTreeMap<(&str, &StreamId), Vec<&Arrived>> = BTreeMap::new();
        for load in &history.arrived {
            if (history.from..history.until).contains(&load.day) {
                let source = (load.supplier.as_str(), &load.stream);
                by_source.entry(source).or_default().push(load);
            }
        }
        by_source
            .into_iter()
            .map(|((supplier, stream), loads)| {
                let mut by_day: BTreeMap<Date, f64> = BTreeMap::new();
                for load in &loads {
                    *by_day.entry(load.day).or_default() += load.kg;
                }
                let mut tested: Vec<f64> =
                    loads.iter().filter_map(|load| load.moisture_pct).collect();
                Self {
                    supplier: supplier.to_owned(),
                    stream: stream.clone(),
                    first: by_day.keys().next().copied().unwrap_or(history.from),
                    by_day,
                    moisture_pct: (tested.len() >= 3).then(|| median(&mut tested)),
                    holidays: &history.holidays,
                }
            })
            .collect()
    }

    fn on(&self, day: Date) -> f64 {
        self.by_day.get(&day).copied().unwrap_or_default()
    }

    /// Median and spread expected on a day, from what came before `origin`.
    fn at(&self, day: Date, origin: Date) -> (f64, f64) {
        let mut values = Vec::new();
        let mut back = day;
        while values.len() < WEEKS_BACK {
            let Ok(earlier) = back.checked_sub(1.week()) else {
                break;
            };
            back = earlier;
            if back < self.first.max(origin - (2 * 7 * 8).days()) {
                break;
            }
            if back < origin && !self.holidays.contains(&back) {
                values.push(self.on(back));
            }
        }
        if values.is_empty() {
            return (0.0, 0.0);
        }
        let middle = median(&mut values.clone());
        let mut off: Vec<f64> = values.iter().map(|value| (value - middle).abs()).collect();
        let mean_off = off.iter().sum::<f64>() / off.len() as f64;
        // With most values equal the median deviation is nought though some differ.
        let spread = (MAD_TO_SD * median(&mut off)).max(mean_off);
        let weeks_ahead = f64::from((day - origin).get_days().max(0)) / 7.0;
        let factor = self.trend(
            origin,
            (values.len() as f64 + 1.0) / 2.0 + weeks_ahead.floor(),
        );
        (middle * factor, spread * factor)
    }

    /// The trend factor so many weeks from the middle of what was looked back on.
    fn trend(&self, origin: Date, weeks: f64) -> f64 {
        let mut sums = Vec::new();
        let mut end = origin;
        while sums.len() < TREND_WEEKS.0 {
            let begin = end - 7.days();
            if begin < self.first {
                break;
            }
            let is_guide = !self.holidays.iter().any(|day| (begin..end).contains(day));
            if is_guide {
                sums.push(self.by_day.range(begin..end).map(|(_, kg)| kg).sum());
            }
            end = begin;
        }
        sums.reverse();
        if sums.len() < TREND_WEEKS.1 {
            return 1.0;
        }
        let (slope, score) = theil_sen(&sums);
        let middle = median(&mut sums);
        if score.abs() < TREND_SCORE || middle <= 0.0 {
            return 1.0;
        }
        (1.0 + slope / middle * weeks).clamp(0.5, 2.0)
    }
}

/// The Theil-Sen slope per step and the Mann-Kendall score without ties' correction:
/// `(S ∓ 1) / √(n (n−1) (2n+5) / 18)` (Mann 1945; Kendall 1975; from memory, unverified).
fn theil_sen(values: &[f64]) -> (f64, f64) {
    let mut slopes = Vec::new();
    let mut rises = 0.0;
    for (i, a) in values.iter().enumerate() {
        for (j, b) in values.iter().enumerate().skip(i + 1) {
            slopes.push((b - a) / (j - i) as f64);
            rises += sign(b - a);
        }
    }
    let n = values.len() as f64;
    let spread = (n * (n - 1.0) * (2.0 * n + 5.0) / 18.0).sqrt();
    (median(&mut slopes), (rises - sign(rises)) / spread)
}

fn sign(number: f64) -> f64 {
    f64::from(i8::from(number > 0.0) - i8::from(number < 0.0))
}

fn backtest(history: &History, series: &[Series<'_>]) -> Option<Backtest> {
    let (most, before) = BACKTEST_WEEKS;
    let (mut weeks, mut compared) = (0, 0);
    let (mut ours, mut last_week) = (0.0, 0.0);
    let mut origin = history.until - 7.days();
    while weeks < most && (origin - history.from).get_days() >= 7 * i32::try_from(before).ok()? {
        for one in series {
            for ahead in 0..7_i32 {
                let day = origin + ahead.days();
                if history.holidays.contains(&day) {
                    continue;
                }
                let (foretold, _) = one.at(day, origin);
                let (came, naive) = (one.on(day), one.on(day - 7.days()));
                if foretold.max(came).max(naive) < NOTHING_KG {
                    continue;
                }
                compared += 1;
                ours += (foretold - came).abs();
                last_week += (naive - came).abs();
            }
        }
        weeks += 1;
        origin -= 7.days();
    }
    (compared > 0 && weeks >= 2).then(|| Backtest {
        weeks,
        compared,
        error_kg: ours / compared as f64,
        last_week_error_kg: last_week / compared as f64,
    })
}

/// The middle value; 0 of none.
fn median(values: &mut [f64]) -> f64 {
    values.sort_by(f64::total_cmp);
    sample_quantile(values, 0.5).unwrap_or(0.0)
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::*;
    use crate::quantity::Dice;

    /// Known parameters: Mondays and Thursdays around 30 kg with a spread of 4,
    /// growing 1 kg a week for the second half when asked.
    fn year(seed: u64, growth: f64) -> History {
        let mut dice = Dice::seeded(seed);
        let from = date(2025, 1, 6);
        let mut arrived = Vec::new();
        for week in 0..52_i32 {
            for (weekday, mean) in [(0, 30.0), (3, 24.0), (5, 12.0)] {
                let mean = mean + growth * f64::from(week);
                arrived.push(Arrived {
                    supplier: "an invented brewery".into(),
                    stream: StreamId::parse("spent-grain").expect("id"),
                    day: from + (7 * week + weekday).days(),
                    kg: dice.around(mean, 4.0).max(0.0),
                    moisture_pct: (week % 9 == 0).then_some(77.0),
                });
            }
        }
        History {
            from,
            until: from + (7 * 52).days(),
            arrived,
            holidays: BTreeSet::new(),
        }
    }

    #[test]
    fn a_year_of_known_parameters_is_found_again() {
        let history = year(3, 0.0);
        let days: Vec<Date> = (0..7).map(|ahead| history.until + ahead.days()).collect();
        let told = forecast(&history, &days);
        let kg: Vec<f64> = told.expected.iter().map(|expected| expected.kg).collect();
        assert_eq!(told.expected.len(), 3, "{told:?}");
        for (kg, mean) in kg.iter().zip([30.0, 24.0, 12.0]) {
            assert!((kg - mean).abs() < 4.0, "{kg} against {mean}");
        }
        assert_eq!(told.expected[0].moisture_pct, Some(77.0));
        let spread = told.expected.iter().map(|one| one.spread_kg).sum::<f64>() / 3.0;
        assert!((1.5..8.0).contains(&spread), "{spread}");
    }

    /// Around a fixed mean, last week's value errs by √2 σ, a median of eight by
    /// about √(1 + π/16) σ: some 23 % less for a normal spread.
    #[test]
    fn medians_err_less_than_last_week() {
        let better: f64 = (0..20)
            .filter_map(|seed| {
                let history = year(seed, 0.0);
                forecast(&history, &[history.until]).backtest
            })
            .map(|backtest| backtest.better_pct())
            .sum::<f64>()
            / 20.0;
        assert!((15.0..30.0).contains(&better), "{better:.1} % better");
    }

    #[test]
    fn a_trend_is_followed() {
        let history = year(5, 1.0);
        let told = forecast(&history, &[history.until]);
        let without = 30.0 + 47.5; // the median of weeks 44..51
        assert!(told.expected[0].kg > without + 1.0, "{told:?}");
        let (slope, score) = theil_sen(&[1.0, 2.0, 4.0, 3.0, 5.0, 6.0]);
        assert!(
            (slope - 1.0).abs() < 0.21 && score > 1.96,
            "{slope} {score}"
        );
    }

    #[test]
    fn holidays_are_no_guide() {
        let mut history = year(8, 0.0);
        let mondays: Vec<Date> = (1..=8)
            .map(|back| history.until - (7 * back).days())
            .collect();
        for monday in &mondays[..5] {
            history.arrived.retain(|load| load.day != *monday);
        }
        let blind = forecast(&history, &[history.until]).expected;
        assert!(blind.iter().all(|one| one.kg < 1.0), "{blind:?}");
        history.holidays = mondays[..5].iter().copied().collect();
        assert!(forecast(&history, &[history.until]).expected[0].kg > 20.0);
    }
}
