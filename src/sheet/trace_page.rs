use jiff::civil::DateTime;

use crate::harvest::{CohortTraced, Eaten, LotTraced, Origin, SaleTraced, Trace, UseLeft};
use crate::quantity::{Grams, MassUnit, Money};
use crate::stream::Class;

use super::document::{Document, Grid, Tone, grid};
use super::words::{Units, one_decimal};

/// A trace with what stands around it.
#[derive(Debug, Clone, PartialEq)]
pub struct TraceSheet {
    /// What was asked for, such as `ticket 12` or `cohort H1`.
    pub subject: String,
    /// Whether it runs from lots to buyers; else it runs back to the lots.
    pub onward: bool,
    /// Who ate what and who got it.
    pub trace: Trace,
    /// Whose larvae, and what they may be used for.
    pub uses: Vec<(String, UseLeft)>,
    /// Lots of the same suppliers and streams on hand; only looked for in a recall.
    pub alike: Vec<LotTraced>,
    /// Further cohorts that ate of the same lots, when it runs back.
    pub others: Vec<String>,
    /// Sales since then that name no cohort.
    pub of_no_cohort: Vec<SaleTraced>,
    /// What else a reader must know of what was asked.
    pub notes: Vec<String>,
    /// The farm's name.
    pub issuer: Option<String>,
    /// How weights are said.
    pub units: Units,
    /// ISO 4217 code.
    pub currency: String,
    /// Local time it was made.
    pub at: DateTime,
    /// The seal of the book then.
    pub seal: String,
}

/// A page in the making.
pub(super) struct Page<'a> {
    pub(super) document: Document,
    pub(super) sheet: &'a TraceSheet,
    most: usize,
}

impl<'a> Page<'a> {
    pub(super) fn titled(title: String, sheet: &'a TraceSheet, most: usize) -> Self {
        let mut document = Document::titled(title);
        let issuer = sheet.issuer.as_deref().unwrap_or("the farm");
        document.line(format!(
            "{issuer}, as the book tells it on {}",
            sheet.at.strftime("%Y-%m-%d %H:%M")
        ));
        for note in &sheet.notes {
            document.toned(Tone::Caution, note);
        }
        Self {
            document,
            sheet,
            most,
        }
    }

    pub(super) fn heading(&mut self, text: &str) {
        self.document.heading(text);
    }

    /// A table's first rows, and how many more there are; or that there is none.
    pub(super) fn table(&mut self, mut grid: Grid, none: &str) {
        if grid.rows.is_empty() {
            self.document.line(none);
            return;
        }
        let more = grid.rows.len().saturating_sub(self.most);
        grid.rows.truncate(self.most);
        self.document.table(grid);
        if more > 0 {
            self.document.toned(
                Tone::Next,
                format!("... and {more} more rows; `--csv` lists them all."),
            );
        }
    }

    fn weight(&self, grams: Grams) -> String {
        self.sheet.units.both(grams)
    }

    /// A weight that may be too small for the farm's units.
    pub(super) fn small(&self, grams: Grams) -> String {
        tiny(grams).unwrap_or_else(|| self.weight(grams))
    }

    /// The same in one unit alone, which keeps ten columns on the paper.
    fn short(&self, grams: Grams) -> String {
        tiny(grams).unwrap_or_else(|| self.sheet.units.weight(grams))
    }

    /// A share, which is never told as none.
    fn share(&self, grams: Grams) -> String {
        match grams {
            Grams::ZERO => "under 1 g".to_owned(),
            grams => self.small(grams),
        }
    }

    pub(super) fn lots(&mut self) {
        let grid = grid!(for lot in &self.sheet.trace.lots => {
            let left = lot.left.iter().map(|one| one.grams).sum();
            Left "lot" => &lot.name,
            Left "stream" => &lot.stream,
            Left "supplier" => &lot.supplier,
            Left "came" => lot.came,
            Left "verdict" => lot.verdict,
            Left "touched" => classes(&lot.touched),
            Right "net" => self.short(lot.net),
            Right "fed" => self.short(lot.fed),
            Right "another way" => self.short(left),
            Right "on hand" => self.short(lot.on_hand),
        });
        self.table(grid, "No ticket.");
    }

    pub(super) fn left_another_way(&mut self) {
        let lots = self.sheet.trace.lots.iter();
        let left = lots.flat_map(|lot| lot.left.iter().map(move |one| (lot, one)));
        let grid = grid!(for (lot, one) in left => {
            Left "day" => one.day,
            Left "lot" => &lot.name,
            Left "way" => one.way,
            Right "weight" => self.small(one.grams),
            Left "record" => format!("r{}", one.seq),
        });
        self.table(grid, "Nothing left another way.");
    }

    pub(super) fn cohorts(&mut self, told: impl Fn(&CohortTraced) -> bool) {
        let eaten = self.sheet.trace.eaten();
        let head = if self.sheet.onward {
            "ate of it"
        } else {
            "ate in all"
        };
        let grid = grid!(for cohort in self.sheet.trace.cohorts.iter().filter(|one| told(one)) => {
            let own = eaten.get(&cohort.seq);
            Left "cohort" => &cohort.name,
            Left "record" => format!("r{}", cohort.seq),
            Left "hatched" => cohort.hatched,
            Right head => own.map(|own| self.share(own.total)).unwrap_or_default(),
            Left "nights" => own.map(nights).unwrap_or_default(),
            Left "now" => now(cohort),
        });
        self.table(grid, "No cohort.");
    }

    pub(super) fn portions(&mut self) {
        let trace = &self.sheet.trace;
        let grid = grid!(for portion in &trace.portions => {
            Left "night" => portion.night,
            Left "feed group" => &portion.group,
            Left "lot" => origin_name(trace, &portion.origin),
            Left "cohort" => trace.cohort_name(portion.cohort_seq),
            Right "its share" => self.share(portion.grams),
            Left "record" => format!("r{}", portion.fed_seq),
        });
        if !grid.rows.is_empty() {
            self.heading("Night by night");
            self.table(grid, "");
        }
    }

    pub(super) fn eaten(&mut self) {
        let trace = &self.sheet.trace;
        let eaten = trace.eaten();
        let eaten = (eaten.iter())
            .flat_map(|(cohort, own)| own.of.iter().map(move |of| (*cohort, own, of.0, *of.1)));
        let grid = grid!(for (cohort, own, origin, grams) in eaten => {
            let lot = lot_of(trace, origin);
            let of_lot = |told: fn(&LotTraced) -> String| lot.map(told).unwrap_or_default();
            Left "cohort" => trace.cohort_name(cohort),
            Left "lot" => origin_name(trace, origin),
            Left "supplier" => of_lot(|lot| lot.supplier.clone()),
            Left "stream" => match origin {
                Origin::Bought(stream) => stream.to_string(),
                Origin::Lot(_) | Origin::Water => of_lot(|lot| lot.stream.to_string()),
            },
            Left "came" => of_lot(|lot| lot.came.to_string()),
            Left "verdict" => of_lot(|lot| lot.verdict.to_string()),
            Left "touched" => of_lot(|lot| classes(&lot.touched)),
            Right "weight" => self.share(grams),
            Right "share %" => own.share_pct(origin).map(share_pct).unwrap_or_default(),
        });
        self.table(grid, "Nothing was fed to it.");
    }

    pub(super) fn others(&mut self) {
        let others = &self.sheet.others;
        if !others.is_empty() {
            self.document.line(format!(
                "Other cohorts that ate of the same lots: {}. Once a lot is suspected: `trayful recall LOT`.",
                others.join(", ")
            ));
        }
    }

    pub(super) fn harvests(&mut self) {
        let trace = &self.sheet.trace;
        let grid = grid!(for one in &trace.harvests => {
            Left "harvest" => format!("r{}", one.seq),
            Left "day" => one.day,
            Left "cohort" => trace.cohort_name(one.cohort_seq),
            Right "larvae" => self.weight(one.larvae),
            Right "residue" => one.residue.map(|grams| self.weight(grams)).unwrap_or_default(),
            Left "residue to" => one.residue_to.unwrap_or("not said"),
        });
        self.table(grid, "None on record since they ate of it.");
    }

    pub(super) fn sales(&mut self) {
        let grid = self.sales_grid(&self.sheet.trace.sales);
        self.table(grid, "None on record since they ate of it.");
        if !self.sheet.trace.before.is_empty() {
            self.document.toned(
                Tone::Small,
                format!(
                    "Left out, since they were before the day any of these cohorts first ate of it: {}.",
                    records(&self.sheet.trace.before)
                ),
            );
        }
    }

    pub(super) fn sales_grid(&self, sales: &[SaleTraced]) -> Grid {
        grid!(for sale in sales => {
            let weight = sale.grams.map(|grams| self.weight(grams));
            Left "buyer" => sale.buyer.as_deref().unwrap_or("not said"),
            Left "day" => sale.day,
            Left "product" => sale.product,
            Right "weight" => weight.as_deref().unwrap_or("not said"),
            Right "paid" => format!("{} {}", Money::new(sale.hundredths), self.sheet.currency),
            Left "cohorts" => self.of_cohorts(sale),
            Left "record" => format!("r{}", sale.seq),
        })
    }

    fn of_cohorts(&self, sale: &SaleTraced) -> String {
        let here = |seq: &&i64| self.sheet.trace.cohorts.iter().any(|one| one.seq == **seq);
        let names = sale.cohort_seqs.iter().filter(here);
        let names: Vec<String> = names
            .map(|seq| self.sheet.trace.cohort_name(*seq))
            .collect();
        match sale.cohort_seqs.len() - names.len() {
            0 => names.join(", "),
            more => format!("{} and {more} more", names.join(", ")),
        }
    }
}

pub(super) fn lot_of<'a>(trace: &'a Trace, origin: &Origin) -> Option<&'a LotTraced> {
    match origin {
        Origin::Lot(lot) => trace.lot(*lot),
        Origin::Bought(_) | Origin::Water => None,
    }
}

pub(super) fn origin_name(trace: &Trace, origin: &Origin) -> String {
    match origin {
        Origin::Lot(lot) => trace
            .lot(*lot)
            .map_or_else(|| format!("r{lot}"), |lot| lot.name.clone()),
        Origin::Bought(_) => "bought that night".to_owned(),
        Origin::Water => "water".to_owned(),
    }
}

pub(super) fn classes(classes: &[Class]) -> String {
    match classes {
        [] => "nothing else".to_owned(),
        some => {
            let words: Vec<&str> = some.iter().map(|class| class.as_str()).collect();
            words.join(", ")
        }
    }
}

fn share_pct(pct: f64) -> String {
    if pct < 0.05 {
        "under 0.1".to_owned()
    } else {
        one_decimal(pct)
    }
}

fn nights(own: &Eaten) -> String {
    let (first, last) = own.nights;
    if first == last {
        first.to_string()
    } else {
        format!("{first} to {last}")
    }
}

fn now(cohort: &CohortTraced) -> String {
    match &cohort.ended {
        None => format!("on {} trays", cohort.trays),
        Some((day, why)) => format!("ended {day}: {why}"),
    }
}

fn records(seqs: &[i64]) -> String {
    let words: Vec<String> = seqs.iter().map(|seq| format!("r{seq}")).collect();
    words.join(", ")
}

/// Grams, where a weight is too small for a farm's units.
fn tiny(grams: Grams) -> Option<String> {
    const TINY: Grams = Grams::new(50);
    (-TINY < grams && grams < TINY).then(|| grams.in_unit(MassUnit::G))
}
