//! What a trace says besides its tables: what nobody knows, what the rules say.

use crate::harvest::{Origin, UseLeft};
use crate::stream::{Class, Ruling, StreamId};

use super::document::{Grid, Tone, grid};
use super::trace_page::{Page, classes, origin_name};

/// How a shared group is told, on every trace and recall.
const SHARED_GROUP: &str = "A feed group is fed as one: every cohort that was due in a group that got any of it is told, none is left out because its share is small. Weights are by share: the group's weight by the dry matter the stage table asks for each cohort (our rule, as on the night's sheet), to the gram.";

impl Page<'_> {
    /// Where a person has to look because the book says nothing.
    pub(super) fn cannot_tell(&mut self) {
        let sheet = self.sheet;
        if sheet.trace.unplaced.is_empty() && sheet.of_no_cohort.is_empty() {
            return;
        }
        self.heading("What the book can't tell: ask");
        if !sheet.trace.unplaced.is_empty() {
            self.document.toned(
                Tone::Caution,
                "Fed to a group in which no cohort of the book was due, so whose it was is not known; any on trays then may have had it:",
            );
            let grid = self.unplaced_grid();
            self.table(grid, "");
        }
        if !sheet.of_no_cohort.is_empty() {
            self.document.toned(
                Tone::Caution,
                "Sales since the first of these meals that name no cohort; any of them may be of these larvae:",
            );
            let grid = self.sales_grid(&sheet.of_no_cohort);
            self.table(grid, "");
        }
    }

    fn unplaced_grid(&self) -> Grid {
        let trace = &self.sheet.trace;
        grid!(for one in &trace.unplaced => {
            Left "night" => one.night,
            Left "feed group" => &one.group,
            Left "lot" => origin_name(trace, &Origin::Lot(one.lot_seq)),
            Right "weight" => self.small(one.grams),
            Left "on trays then" => match one.on_trays.as_slice() {
                [] => "no cohort".to_owned(),
                names => names.join(", "),
            },
            Left "record" => format!("r{}", one.fed_seq),
        })
    }

    /// What the larvae may be used for, by the rule table.
    pub(super) fn uses(&mut self) {
        self.heading("What the rules on use say now");
        for (whose, left) in &self.sheet.uses {
            self.use_left(whose, left);
        }
        self.document.toned(
            Tone::Small,
            "Larvae keep the strictest class of all they ate for their whole life: what they may be used for goes down, never up. The rules are a dated summary from secondary sources and no legal advice; check with your local authority.",
        );
    }

    fn use_left(&mut self, whose: &str, left: &UseLeft) {
        let own: Vec<Class> = left.classes.iter().copied().collect();
        let document = &mut self.document;
        document.line(format!(
            "For {whose}; classes that went in: {}",
            classes(&own)
        ));
        for (at, (larvae_for, rule)) in left.uses.iter().enumerate() {
            let whose = if at == 0 { " (this farm's use)" } else { "" };
            let Some(rule) = rule else {
                document.line(format!("  {larvae_for}{whose}: not known"));
                continue;
            };
            let tone = match rule.ruling {
                Ruling::Allowed => Tone::Plain,
                Ruling::Ask => Tone::Caution,
                Ruling::Barred => Tone::Out,
            };
            document.toned(
                tone,
                format!(
                    "  {larvae_for}{whose}: {}, for {}: {} [{}, {}]",
                    rule.ruling,
                    rule.applies_to,
                    rule.reason,
                    rule.source,
                    rule.origin()
                ),
            );
        }
        if !left.decided_by.is_empty() {
            document.line(format!("  Brought in by {}", left.decided_by.join("; ")));
        }
        if !left.unknown.is_empty() {
            let names: Vec<&str> = left.unknown.iter().map(StreamId::as_str).collect();
            document.toned(
                Tone::Caution,
                format!(
                    "  Not in the stream table, so what class it is, and what that bars, is not known: {}",
                    names.join(", ")
                ),
            );
        }
    }

    pub(super) fn foot(&mut self) {
        self.document.toned(Tone::Small, SHARED_GROUP);
        self.document.toned(
            Tone::Small,
            "A sale names cohorts and not whose weight was how much, so its whole weight is told.",
        );
        self.document
            .toned(Tone::Small, format!("Book seal {}.", self.sheet.seal));
    }
}
