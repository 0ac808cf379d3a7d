use jiff::civil::DateTime;

use crate::quantity::{Grams, Units};
use crate::stream::Class;
use crate::trace::{CohortTraced, LotTraced, Origin, SaleTraced, Trace, UseLeft};
use crate::words::{Said, say};

use crate::sheet::document::{Document, Grid, Tone, grid};
use crate::sheet::words::{ended_why, from_to, one_decimal};

#[derive(Debug, Clone, PartialEq)]
pub struct TraceSheet {
    /// What was asked for, such as `ticket 12` or `cohort H1`.
    pub subject: Said,
    /// Whether it runs from lots to buyers; else it runs back to the lots.
    pub onward: bool,
    pub trace: Trace,
    /// Whose larvae, and what they may be used for.
    pub uses: Vec<(Said, UseLeft)>,
    /// Lots of the same suppliers and streams on hand; only looked for in a recall.
    pub alike: Vec<LotTraced>,
    /// Further cohorts that ate of the same lots, when it runs back.
    pub others: Vec<String>,
    /// Sales since then that name no cohort.
    pub of_no_cohort: Vec<SaleTraced>,
    pub notes: Vec<Said>,
    pub issuer: Option<String>,
    pub units: Units,
    /// ISO 4217 code.
    pub currency: String,
    pub at: DateTime,
    pub seal: String,
}

pub(super) struct Page<'a> {
    pub(super) document: Document,
    pub(super) sheet: &'a TraceSheet,
    most: usize,
}

impl<'a> Page<'a> {
    pub(super) fn titled(title: Said, sheet: &'a TraceSheet, most: usize) -> Self {
        let mut document = Document::titled(title);
        let trace = &sheet.trace;
        let on_hand = trace.lots.iter().map(|lot| lot.on_hand).sum();
        let reached = say!(
            "trace-reached",
            lots = trace.lots.len(),
            cohorts = trace.cohorts.len(),
            harvests = trace.harvests.len(),
            sales = trace.sales.len(),
            weight = sheet.units.told(on_hand),
        );
        document.answer(Tone::Plain, reached);
        let issuer = sheet.issuer.as_ref();
        let issuer = issuer.map_or_else(|| say!("trace-the-farm"), Said::from);
        let at = sheet.at.strftime("%Y-%m-%d %H:%M");
        document.line(say!("trace-issued", issuer, at = at.to_string()));
        for note in &sheet.notes {
            document.caution(note);
        }
        Self {
            document,
            sheet,
            most,
        }
    }

    pub(super) fn heading(&mut self, text: Said) {
        self.document.heading(text);
    }

    /// A table's first rows, and how many more there are; or that there is none.
    pub(super) fn table(&mut self, mut grid: Grid, none: Said) {
        if grid.rows.is_empty() {
            self.document.line(none);
            return;
        }
        let more = grid.rows.len().saturating_sub(self.most);
        grid.rows.truncate(self.most);
        self.document.table(grid);
        if more > 0 {
            self.document.next(say!("trace-more-rows", more));
        }
    }

    pub(super) fn weight(&self, grams: Grams) -> String {
        self.sheet.units.told(grams)
    }

    /// A share, which is never told as none.
    fn share(&self, grams: Grams) -> Said {
        match grams {
            Grams::ZERO => say!("trace-under", number = "1 g"),
            grams => self.weight(grams).into(),
        }
    }

    pub(super) fn lots(&mut self) {
        let grid = grid!(for lot in &self.sheet.trace.lots => {
            let left = lot.left.iter().map(|one| one.grams).sum();
            Left say!("stock-lot") => &lot.name,
            Left say!("stream") => &lot.stream,
            Left say!("supplier") => &lot.supplier,
            Left say!("came") => lot.came,
            Left say!("stock-verdict") => lot.verdict.said(),
            Left say!("trace-touched") => classes(&lot.touched),
            Right say!("net") => self.weight(lot.net),
            Right say!("fed") => self.weight(lot.fed),
            Right say!("trace-another-way") => self.weight(left),
            Right say!("stock-on-hand") => self.weight(lot.on_hand),
        });
        self.table(grid, say!("trace-no-ticket"));
    }

    pub(super) fn left_another_way(&mut self) {
        let lots = self.sheet.trace.lots.iter();
        let left = lots.flat_map(|lot| lot.left.iter().map(move |one| (lot, one)));
        let grid = grid!(for (lot, one) in left => {
            Left say!("cohort-day") => one.day,
            Left say!("stock-lot") => &lot.name,
            Left say!("trace-way") => &one.way,
            Right say!("weight") => self.weight(one.grams),
            Left say!("record") => record(one.seq),
        });
        self.table(grid, say!("trace-none-left"));
    }

    pub(super) fn cohorts(&mut self, told: impl Fn(&CohortTraced) -> bool) {
        let eaten = self.sheet.trace.eaten();
        let head = match self.sheet.onward {
            true => say!("trace-ate"),
            false => say!("trace-ate-in-all"),
        };
        let grid = grid!(for cohort in self.sheet.trace.cohorts.iter().filter(|one| told(one)) => {
            let own = eaten.get(&cohort.seq);
            Left say!("cohort") => &cohort.name,
            Left say!("record") => record(cohort.seq),
            Left say!("hatched") => cohort.hatched,
            Right head => own.map(|own| self.share(own.total)).unwrap_or_default(),
            Left say!("trace-nights") => own.map(|own| from_to(own.nights.0, own.nights.1)).unwrap_or_default(),
            Left say!("trace-now") => now(cohort),
        });
        self.table(grid, say!("trace-no-cohort"));
    }

    pub(super) fn portions(&mut self) {
        let trace = &self.sheet.trace;
        let grid = grid!(for portion in &trace.portions => {
            Left say!("night") => portion.night,
            Left say!("feed-group") => say!("stage-called", what = &portion.group),
            Left say!("stock-lot") => origin_name(trace, &portion.origin),
            Left say!("cohort") => trace.cohort_name(portion.cohort_seq),
            Right say!("trace-its-share") => self.share(portion.grams),
            Left say!("record") => record(portion.fed_seq),
        });
        if !grid.rows.is_empty() {
            self.heading(say!("trace-by-night"));
            self.table(grid, Said::default());
        }
    }

    pub(super) fn eaten(&mut self) {
        let trace = &self.sheet.trace;
        let eaten = trace.eaten();
        let eaten = (eaten.iter())
            .flat_map(|(cohort, own)| own.of.iter().map(move |of| (*cohort, own, of.0, *of.1)));
        let grid = grid!(for (cohort, own, origin, grams) in eaten => {
            let lot = lot_of(trace, origin);
            let of_lot = |told: fn(&LotTraced) -> Said| lot.map(told).unwrap_or_default();
            Left say!("cohort") => trace.cohort_name(cohort),
            Left say!("stock-lot") => origin_name(trace, origin),
            Left say!("supplier") => of_lot(|lot| Said::from(&lot.supplier)),
            Left say!("stream") => match origin {
                Origin::Bought(stream) => Said::from(stream),
                Origin::Lot(_) | Origin::Water => of_lot(|lot| Said::from(&lot.stream)),
            },
            Left say!("came") => of_lot(|lot| lot.came.into()),
            Left say!("stock-verdict") => of_lot(|lot| lot.verdict.said()),
            Left say!("trace-touched") => of_lot(|lot| classes(&lot.touched)),
            Right say!("weight") => self.share(grams),
            Right say!("trace-share-pct") => own.share_pct(origin).map(share_pct).unwrap_or_default(),
        });
        self.table(grid, say!("trace-none-fed"));
    }

    pub(super) fn others(&mut self) {
        let others = self.sheet.others.join(", ");
        if !others.is_empty() {
            self.document.line(say!("trace-others", cohorts = others));
        }
    }

    pub(super) fn harvests(&mut self) {
        let trace = &self.sheet.trace;
        let grid = grid!(for one in &trace.harvests => {
            let residue_to = one.residue_to.map(|to| say!("residue-to", to));
            Left say!("trace-harvest") => record(one.seq),
            Left say!("cohort-day") => one.day,
            Left say!("cohort") => trace.cohort_name(one.cohort_seq),
            Right say!("cohort-larvae") => self.weight(one.larvae),
            Right say!("residue") => one.residue.map(|grams| self.weight(grams)).unwrap_or_default(),
            Left say!("residue-to-head") => residue_to.unwrap_or_else(|| say!("trace-not-said")),
        });
        self.table(grid, say!("trace-none-since"));
    }

    pub(super) fn sales(&mut self) {
        let grid = self.sales_grid(&self.sheet.trace.sales);
        self.table(grid, say!("trace-none-since"));
        let before: Vec<String> = self
            .sheet
            .trace
            .before
            .iter()
            .copied()
            .map(record)
            .collect();
        if !before.is_empty() {
            let before = say!("trace-before", records = before.join(", "));
            self.document.small(before);
        }
    }

    pub(super) fn sales_grid(&self, sales: &[SaleTraced]) -> Grid {
        let not_said = || say!("trace-not-said");
        grid!(for sale in sales => {
            let weight = sale.grams.map(|grams| self.weight(grams).into());
            Left say!("trace-buyer") => sale.buyer.as_ref().map_or_else(not_said, Said::from),
            Left say!("cohort-day") => sale.day,
            Left say!("trace-product") => &sale.product,
            Right say!("weight") => weight.unwrap_or_else(not_said),
            Right say!("trace-paid") => format!("{} {}", sale.paid, self.sheet.currency),
            Left say!("learn-cohorts") => self.of_cohorts(sale),
            Left say!("record") => record(sale.seq),
        })
    }

    fn of_cohorts(&self, sale: &SaleTraced) -> Said {
        let here = |seq: &&i64| self.sheet.trace.cohorts.iter().any(|one| one.seq == **seq);
        let names = sale
            .cohort_seqs
            .iter()
            .filter(here)
            .map(|seq| self.sheet.trace.cohort_name(*seq));
        let names: Vec<String> = names.collect();
        match sale.cohort_seqs.len() - names.len() {
            0 => names.join(", ").into(),
            more => say!("stock-listed", names = names.join(", "), more),
        }
    }
}

fn record(seq: i64) -> String {
    format!("r{seq}")
}

pub(super) fn lot_of<'a>(trace: &'a Trace, origin: &Origin) -> Option<&'a LotTraced> {
    match origin {
        Origin::Lot(lot) => trace.lot(*lot),
        Origin::Bought(_) | Origin::Water => None,
    }
}

pub(super) fn origin_name(trace: &Trace, origin: &Origin) -> Said {
    match origin {
        Origin::Lot(lot) => match trace.lot(*lot) {
            Some(lot) => Said::from(&lot.name),
            None => record(*lot).into(),
        },
        Origin::Bought(_) => say!("trace-bought-that-night"),
        Origin::Water => say!("water"),
    }
}

pub(super) fn classes<'a>(classes: impl IntoIterator<Item = &'a Class>) -> Said {
    let all = Said::joined(classes.into_iter().map(Said::from), ", ");
    if all.is_empty() {
        say!("trace-nothing-else")
    } else {
        all
    }
}

fn share_pct(pct: f64) -> Said {
    if pct < 0.05 {
        say!("trace-under", number = "0.1")
    } else {
        one_decimal(pct).into()
    }
}

fn now(cohort: &CohortTraced) -> Said {
    match &cohort.ended {
        None => say!("trace-on-trays", trays = cohort.trays),
        Some((day, why)) => say!("trace-ended", day, why = ended_why(why)),
    }
}
