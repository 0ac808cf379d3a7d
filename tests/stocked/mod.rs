//! Invented nights from the shipped stream table, made by number so that a
//! bench and a test see the same ones.

use trayful::blend::{Problem, read_stock, read_targets};
use trayful::larvae::{SHIPPED_STAGES, StageTable};
use trayful::quantity::{Decimal, Division, MassUnit};
use trayful::stream::{SHIPPED_STREAMS, StreamTable};

/// A small generator (xorshift64*): the same numbers on every machine.
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1)
    }

    /// A number in 0..1.
    pub(crate) fn share(&mut self) -> f64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        (self.0.wrapping_mul(0x2545_f491_4f6c_dd1d) >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// A number in a range.
    pub(crate) fn within(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }

    fn of<'a>(&mut self, from: &[&'a str]) -> &'a str {
        let at = self.share() * from.len() as f64;
        let found = from
            .iter()
            .enumerate()
            .find(|(place, _)| (*place + 1) as f64 > at);
        found.map_or(from[0], |(_, name)| name)
    }
}

const WET: [&str; 9] = [
    "spent-grain",
    "carrot-trim",
    "cabbage-trim",
    "lettuce-trim",
    "apple-culls",
    "banana-peel",
    "melon-trim",
    "potato-culls",
    "tomato-culls",
];
const DRY: [&str; 4] = ["bread", "wheat-bran", "barley", "rice-bran"];

pub(crate) fn streams() -> StreamTable {
    StreamTable::read("streams.csv", SHIPPED_STREAMS).expect("streams")
}

/// A night of so many lots and two groups that take about half of the stock's dry matter.
pub(crate) fn night(seed: u64, lots: usize) -> Problem {
    let mut dice = Dice::new(seed + 1);
    let streams = streams();
    let stages = StageTable::read("stages.toml", SHIPPED_STAGES).expect("stages");
    let mut stock = String::from("lot,stream,kg,age_days,moisture_pct,price_per_kg,buckets\n");
    for lot in 0..lots {
        let is_dry = dice.share() < 0.3;
        let stream = dice.of(if is_dry { &DRY } else { &WET });
        let buckets = (1.0 + 3.0 * dice.share()).floor();
        let kg = buckets * dice.within(5.0, 15.0);
        let age = (1.0 + 4.0 * dice.share()).floor();
        let book = streams
            .iter()
            .find(|of| of.id.as_str() == stream)
            .expect("a stream");
        let moisture = if dice.share() < 0.3 {
            let book = book.moisture.expect("moisture").value.pct();
            format!("{:.1}", (book + dice.within(-3.0, 3.0)).clamp(3.0, 96.0))
        } else {
            String::new()
        };
        let price = if is_dry && dice.share() < 0.5 {
            "0.30"
        } else {
            ""
        };
        stock.push_str(&format!(
            "L{lot:02},{stream},{kg:.2},{age},{moisture},{price},{buckets}\n"
        ));
    }
    let dry = lots as f64 * dice.within(0.9, 1.5);
    let targets = format!(
        "[group.growing]\ndry_matter_kg = {:.2}\n[group.growing.window]\nmoisture_pct = {{ min = 65.0, max = 75.0, limit_min = 45.0, limit_max = 82.0 }}\nprotein_dm_pct = {{ min = 12.0, max = 22.0 }}\nfibre_dm_pct = {{ max = 45.0 }}\n\
         [group.last-feeds]\ndry_matter_kg = {:.2}\n[group.last-feeds.window]\nmoisture_pct = {{ min = 60.0, max = 72.0, limit_min = 45.0, limit_max = 82.0 }}\nprotein_dm_pct = {{ min = 10.0, max = 20.0 }}\n\
         [[buy]]\nstream = \"chick-feed\"\nprice_per_kg = 0.6\nlimit_kg = 10.0\n",
        dry * 0.6,
        dry * 0.4
    );
    let targets = read_targets("targets.toml", &targets, &streams).expect("targets");
    Problem {
        lots: read_stock("stock.csv", stock.as_bytes(), &streams, &stages.flag_limits)
            .expect("stock"),
        purchases: targets.purchases,
        water_limit: targets.water_limit,
        groups: targets.groups,
        division: Division::new(Decimal::parse("0.1").expect("number"), MassUnit::Kg)
            .expect("division"),
        spreads: None,
        policy: trayful::blend::Policy::default(),
    }
}
