//! What a trace says besides its tables: what nobody knows, what the rules say.

use crate::stream::Ruling;
use crate::trace::{Origin, UseLeft};
use crate::words::{Said, say};

use super::page::{Page, classes, origin_name};
use crate::sheet::document::{Grid, Tone, grid};

impl Page<'_> {
    /// Where a person has to look because the book says nothing.
    pub(super) fn cannot_tell(&mut self) {
        let told = [
            (say!("trace-whose-unknown"), self.unplaced_grid()),
            (
                say!("trace-no-cohort-sales"),
                self.sales_grid(&self.sheet.of_no_cohort),
            ),
        ];
        for (at, (what, grid)) in (told.into_iter())
            .filter(|(_, grid)| !grid.rows.is_empty())
            .enumerate()
        {
            if at == 0 {
                self.heading(say!("trace-ask"));
            }
            self.document.caution(what);
            self.table(grid, Said::default());
        }
    }

    fn unplaced_grid(&self) -> Grid {
        let trace = &self.sheet.trace;
        grid!(for one in &trace.unplaced => {
            Left say!("night") => one.night,
            Left say!("feed-group") => &one.group,
            Left say!("stock-lot") => origin_name(trace, &Origin::Lot(one.lot_seq)),
            Right say!("weight") => self.small(one.grams),
            Left say!("trace-on-trays-then") => match one.on_trays.as_slice() {
                [] => say!("trace-none-then"),
                names => names.join(", ").into(),
            },
            Left say!("record") => format!("r{}", one.fed_seq),
        })
    }

    pub(super) fn uses(&mut self) {
        self.heading(say!("trace-rules"));
        for (whose, left) in &self.sheet.uses {
            self.use_left(whose, left);
        }
        self.document.small(say!("trace-strictest"));
    }

    fn use_left(&mut self, whose: &Said, left: &UseLeft) {
        self.document.line(say!(
            "trace-classes",
            whose,
            classes = classes(&left.classes)
        ));
        let mut indented =
            |tone, line| (self.document).toned(tone, Said::joined([Said::default(), line], "  "));
        for (at, (larvae_for, rule)) in left.uses.iter().enumerate() {
            let (tone, what) = match rule {
                None => (Tone::Plain, say!("not-known")),
                Some(rule) => (
                    match rule.ruling {
                        Ruling::Allowed => Tone::Plain,
                        Ruling::Ask => Tone::Caution,
                        Ruling::Barred => Tone::Out,
                    },
                    say!(
                        "trace-rule",
                        ruling = rule.ruling.as_str(),
                        of = &rule.applies_to,
                        reason = &rule.reason,
                        source = &rule.source,
                        origin = rule.origin(),
                    ),
                ),
            };
            indented(tone, say!("trace-use", larvae_for, own = at == 0, what));
        }
        if !left.decided_by.is_empty() {
            let by = Said::joined(left.decided_by.iter().cloned(), "; ");
            indented(Tone::Plain, say!("trace-brought-in-by", by));
        }
        if !left.unknown.is_empty() {
            let streams = Said::joined(left.unknown.iter().map(Said::from), ", ");
            indented(Tone::Caution, say!("trace-class-unknown", streams));
        }
    }

    pub(super) fn foot(&mut self) {
        self.document.small(say!("trace-shared-group"));
        self.document.small(say!("trace-whole-weight"));
        self.document.small(say!("month-seal", self.sheet.seal));
    }
}
