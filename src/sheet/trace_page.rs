use crate::harvest::{CohortTraced, Eaten, LotTraced, Origin, SaleTraced, Trace};
use crate::quantity::{Grams, MassUnit};
use crate::stream::Class;

use super::document::{Align, Document, Grid, Tone};
use super::trace::TraceSheet;
use super::words::one_decimal;

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
        let mut grid = Grid::new(&[
            ("lot", Align::Left),
            ("stream", Align::Left),
            ("supplier", Align::Left),
            ("came", Align::Left),
            ("verdict", Align::Left),
            ("touched", Align::Left),
            ("net", Align::Right),
            ("fed", Align::Right),
            ("another way", Align::Right),
            ("on hand", Align::Right),
        ]);
        for lot in &self.sheet.trace.lots {
            let left: Grams = lot.left.iter().map(|one| one.grams).sum();
            grid.row([
                lot.name.clone(),
                lot.stream.to_string(),
                lot.supplier.clone(),
                lot.came.to_string(),
                lot.verdict.to_string(),
                classes(&lot.touched),
                self.short(lot.net),
                self.short(lot.fed),
                self.short(left),
                self.short(lot.on_hand),
            ]);
        }
        self.table(grid, "No ticket.");
    }

    pub(super) fn left_another_way(&mut self) {
        let mut grid = Grid::new(&[
            ("day", Align::Left),
            ("lot", Align::Left),
            ("way", Align::Left),
            ("weight", Align::Right),
            ("record", Align::Left),
        ]);
        for lot in &self.sheet.trace.lots {
            for one in &lot.left {
                grid.row([
                    one.day.to_string(),
                    lot.name.clone(),
                    one.way.to_owned(),
                    self.small(one.grams),
                    format!("r{}", one.seq),
                ]);
            }
        }
        self.table(grid, "Nothing left another way.");
    }

    pub(super) fn cohorts(&mut self, told: impl Fn(&CohortTraced) -> bool) {
        let eaten = self.sheet.trace.eaten();
        let head = if self.sheet.onward {
            "ate of it"
        } else {
            "ate in all"
        };
        let mut grid = Grid::new(&[
            ("cohort", Align::Left),
            ("record", Align::Left),
            ("hatched", Align::Left),
            (head, Align::Right),
            ("nights", Align::Left),
            ("now", Align::Left),
        ]);
        for cohort in self.sheet.trace.cohorts.iter().filter(|one| told(one)) {
            let own = eaten.get(&cohort.seq);
            grid.row([
                cohort.name.clone(),
                format!("r{}", cohort.seq),
                cohort.hatched.to_string(),
                own.map(|own| self.share(own.total)).unwrap_or_default(),
                own.map(nights).unwrap_or_default(),
                now(cohort),
            ]);
        }
        self.table(grid, "No cohort.");
    }

    pub(super) fn portions(&mut self) {
        let trace = &self.sheet.trace;
        let mut grid = Grid::new(&[
            ("night", Align::Left),
            ("feed group", Align::Left),
            ("lot", Align::Left),
            ("cohort", Align::Left),
            ("its share", Align::Right),
            ("record", Align::Left),
        ]);
        for portion in &trace.portions {
            grid.row([
                portion.night.to_string(),
                portion.group.clone(),
                origin_name(trace, &portion.origin),
                trace.cohort_name(portion.cohort_seq),
                self.share(portion.grams),
                format!("r{}", portion.fed_seq),
            ]);
        }
        if !grid.rows.is_empty() {
            self.heading("Night by night");
            self.table(grid, "");
        }
    }

    pub(super) fn eaten(&mut self) {
        let trace = &self.sheet.trace;
        let mut grid = Grid::new(&[
            ("cohort", Align::Left),
            ("lot", Align::Left),
            ("supplier", Align::Left),
            ("stream", Align::Left),
            ("came", Align::Left),
            ("verdict", Align::Left),
            ("touched", Align::Left),
            ("weight", Align::Right),
            ("share %", Align::Right),
        ]);
        for (cohort, own) in trace.eaten() {
            for (origin, grams) in &own.of {
                let lot = match origin {
                    Origin::Lot(lot) => trace.lot(*lot),
                    Origin::Bought(_) | Origin::Water => None,
                };
                let of_lot = |told: fn(&LotTraced) -> String| lot.map(told).unwrap_or_default();
                grid.row([
                    trace.cohort_name(cohort),
                    origin_name(trace, origin),
                    of_lot(|lot| lot.supplier.clone()),
                    match origin {
                        Origin::Bought(stream) => stream.to_string(),
                        Origin::Lot(_) | Origin::Water => of_lot(|lot| lot.stream.to_string()),
                    },
                    of_lot(|lot| lot.came.to_string()),
                    of_lot(|lot| lot.verdict.to_string()),
                    of_lot(|lot| classes(&lot.touched)),
                    self.share(*grams),
                    own.share_pct(origin).map(share_pct).unwrap_or_default(),
                ]);
            }
        }
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
        let mut grid = Grid::new(&[
            ("harvest", Align::Left),
            ("day", Align::Left),
            ("cohort", Align::Left),
            ("larvae", Align::Right),
            ("residue", Align::Right),
            ("residue to", Align::Left),
        ]);
        for one in &trace.harvests {
            grid.row([
                format!("r{}", one.seq),
                one.day.to_string(),
                trace.cohort_name(one.cohort_seq),
                self.weight(one.larvae),
                one.residue
                    .map(|grams| self.weight(grams))
                    .unwrap_or_default(),
                one.residue_to.unwrap_or("not said").to_owned(),
            ]);
        }
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
        let mut grid = Grid::new(&[
            ("buyer", Align::Left),
            ("day", Align::Left),
            ("product", Align::Left),
            ("weight", Align::Right),
            ("paid", Align::Right),
            ("cohorts", Align::Left),
            ("record", Align::Left),
        ]);
        for sale in sales {
            let (whole, rest) = (sale.hundredths / 100, sale.hundredths % 100);
            let weight = sale.grams.map(|grams| self.weight(grams));
            grid.row([
                sale.buyer.clone().unwrap_or_else(|| "not said".to_owned()),
                sale.day.to_string(),
                sale.product.to_owned(),
                weight.unwrap_or_else(|| "not said".to_owned()),
                format!("{whole}.{rest:02} {}", self.sheet.currency),
                self.of_cohorts(sale),
                format!("r{}", sale.seq),
            ]);
        }
        grid
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
