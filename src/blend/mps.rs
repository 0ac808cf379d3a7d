//! A goal's exact problem as free MPS, the open exchange format that linear
//! and integer solvers read.

use std::fmt::Write as _;

use super::model::{Goal, Model};

/// Writes a problem. Names are those of the model with a running number in
/// front, blanks as underscores. `integers` are columns that take whole numbers.
#[must_use]
pub fn mps(name: &str, model: &Model, goal: &Goal, integers: &[usize]) -> String {
    let mut text = String::new();
    let columns: Vec<String> = named("C", model.columns.iter().map(|column| &column.name));
    let rows: Vec<String> = named("R", model.rows.iter().map(|row| &row.name));
    let mut by_column: Vec<Vec<(&str, f64)>> = vec![Vec::new(); columns.len()];
    for (column, coefficient) in &goal.terms {
        by_column[*column].push(("GOAL", *coefficient));
    }
    let _ = writeln!(text, "NAME {}", plain(name));
    let sense = if goal.maximise { "MAX" } else { "MIN" };
    let _ = writeln!(text, "OBJSENSE\n    {sense}\nROWS\n N GOAL");
    let (mut sides, mut ranges) = (String::new(), String::new());
    for (row, name) in model.rows.iter().zip(&rows) {
        let is_equal = (row.upper - row.lower).abs() == 0.0;
        let (kind, side) = match (row.lower.is_finite(), row.upper.is_finite()) {
            _ if is_equal => ("E", row.upper),
            (_, true) => ("L", row.upper),
            (true, false) => ("G", row.lower),
            (false, false) => ("N", 0.0),
        };
        let _ = writeln!(text, " {kind} {name}");
        if side != 0.0 {
            let _ = writeln!(sides, " RHS {name} {side}");
        }
        if kind == "L" && row.lower.is_finite() {
            let _ = writeln!(ranges, " RANGE {name} {}", row.upper - row.lower);
        }
        for (column, coefficient) in &row.terms {
            by_column[*column].push((name, *coefficient));
        }
    }
    text.push_str("COLUMNS\n");
    for (position, (column, terms)) in columns.iter().zip(&by_column).enumerate() {
        let is_whole = integers.contains(&position);
        if is_whole {
            let _ = writeln!(text, " MARK{position} 'MARKER' 'INTORG'");
        }
        // A column without a term must still be named.
        if terms.is_empty() {
            let _ = writeln!(text, " {column} GOAL 0");
        }
        for (row, coefficient) in terms {
            let _ = writeln!(text, " {column} {row} {coefficient}");
        }
        if is_whole {
            let _ = writeln!(text, " MARK{position} 'MARKER' 'INTEND'");
        }
    }
    let _ = write!(text, "RHS\n{sides}");
    if !ranges.is_empty() {
        let _ = write!(text, "RANGES\n{ranges}");
    }
    text.push_str("BOUNDS\n");
    for (column, name) in model.columns.iter().zip(&columns) {
        let (low, high) = (column.lower, column.upper);
        let _ = match (low.is_finite(), high.is_finite()) {
            (true, true) if (high - low).abs() == 0.0 => writeln!(text, " FX BOUND {name} {low}"),
            (true, true) => writeln!(text, " LO BOUND {name} {low}\n UP BOUND {name} {high}"),
            (true, false) => writeln!(text, " LO BOUND {name} {low}\n PL BOUND {name}"),
            (false, true) => writeln!(text, " MI BOUND {name}\n UP BOUND {name} {high}"),
            (false, false) => writeln!(text, " FR BOUND {name}"),
        };
    }
    text.push_str("ENDATA\n");
    text
}

fn named<'a>(letter: &str, names: impl Iterator<Item = &'a String>) -> Vec<String> {
    names
        .enumerate()
        .map(|(position, name)| format!("{letter}{position}_{}", plain(name)))
        .collect()
}

fn plain(name: &str) -> String {
    name.chars()
        .map(|c| {
            if c.is_ascii_alphanumeric() || matches!(c, '-' | '.' | '#') {
                c
            } else {
                '_'
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_of_row_and_bound_is_written() {
        let mut model = Model::default();
        let x = model.column("draw growing A 1", 0.0, 4.0);
        let y = model.column("free", f64::NEG_INFINITY, f64::INFINITY);
        let n = model.column("whole", 0.0, 3.0);
        model.between("both", vec![(x, 1.0), (y, -2.5)], 1.0, 3.0);
        model.at_least("least", vec![(x, 1.0), (n, 1.0)], 0.5);
        model.between("same", vec![(y, 1.0)], 2.0, 2.0);
        let goal = Goal::maximise(vec![(x, 1.5)]);
        insta::assert_snapshot!(mps("a night", &model, &goal, &[n]), @r#"
    NAME a_night
    OBJSENSE
        MAX
    ROWS
     N GOAL
     L R0_both
     G R1_least
     E R2_same
    COLUMNS
     C0_draw_growing_A_1 GOAL 1.5
     C0_draw_growing_A_1 R0_both 1
     C0_draw_growing_A_1 R1_least 1
     C1_free R0_both -2.5
     C1_free R2_same 1
     MARK2 'MARKER' 'INTORG'
     C2_whole R1_least 1
     MARK2 'MARKER' 'INTEND'
    RHS
     RHS R0_both 3
     RHS R1_least 0.5
     RHS R2_same 2
    RANGES
     RANGE R0_both 2
    BOUNDS
     LO BOUND C0_draw_growing_A_1 0
     UP BOUND C0_draw_growing_A_1 4
     FR BOUND C1_free
     LO BOUND C2_whole 0
     UP BOUND C2_whole 3
    ENDATA
    "#);
    }
}
