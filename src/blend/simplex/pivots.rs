//! Which entry to eliminate next: the one that makes least new entries, by the
//! product of what else stands in its row and column (Markowitz, Management
//! Science 3, 1957, 255–269, as recalled from memory), among the shortest rows
//! and columns.

use super::factor::Entries;

/// An entry smaller than this against its column's largest is no pivot (our default).
const THRESHOLD: f64 = 0.1;
/// A column whose largest entry is below this has none.
const NOTHING: f64 = 1e-11;
/// So many rows and columns are looked at (our default).
const LOOKED_AT: usize = 4;

/// What is left of a matrix while pivots are taken out of it.
pub(super) struct Active {
    columns: Vec<Entries>,
    rows: Vec<Vec<usize>>,
    is_row_done: Vec<bool>,
    is_column_done: Vec<bool>,
    /// Columns by how many entries they had when noted; stale ones are dropped when met.
    short_columns: Vec<Vec<usize>>,
    short_rows: Vec<Vec<usize>>,
}

/// A pivot, and what is gone with it.
pub(super) struct Taken {
    pub row: usize,
    pub column: usize,
    pub pivot: f64,
    /// Multipliers of the rows below.
    pub below: Entries,
    /// The rest of the pivot's row, by column.
    pub across: Entries,
}

struct Candidate {
    cost: usize,
    size: f64,
    row: usize,
    column: usize,
}

impl Active {
    pub(super) fn new(columns: Vec<Entries>) -> Self {
        let size = columns.len();
        let mut rows = vec![Vec::new(); size];
        for (position, column) in columns.iter().enumerate() {
            for (row, _) in column {
                rows[*row].push(position);
            }
        }
        let mut active = Self {
            columns,
            rows,
            is_row_done: vec![false; size],
            is_column_done: vec![false; size],
            short_columns: vec![Vec::new(); size + 1],
            short_rows: vec![Vec::new(); size + 1],
        };
        for at in (0..size).rev() {
            active.note_column(at);
            active.note_row(at);
        }
        active
    }

    /// Columns and rows that are left.
    pub(super) fn left(&self) -> (Vec<usize>, Vec<usize>) {
        let open = |done: &[bool]| (0..done.len()).filter(|at| !done[*at]).collect();
        (open(&self.is_column_done), open(&self.is_row_done))
    }

    /// Takes the next pivot out; `None` when nothing that is left can be one.
    /// `spread` is room to work in, all zero.
    pub(super) fn take(&mut self, spread: &mut [f64]) -> Option<Taken> {
        let Candidate { row, column, .. } = self.choose()?;
        let entries = std::mem::take(&mut self.columns[column]);
        self.is_column_done[column] = true;
        self.is_row_done[row] = true;
        let (_, pivot) = *entries.iter().find(|(at, _)| *at == row)?;
        let below: Entries = (entries.iter())
            .filter(|(at, _)| *at != row)
            .map(|(at, value)| (*at, value / pivot))
            .collect();
        for (other, _) in &below {
            self.rows[*other].retain(|at| *at != column);
        }
        let mut across = Vec::new();
        for other in std::mem::take(&mut self.rows[row]) {
            let entries = &mut self.columns[other];
            let Some(found) = entries.iter().position(|(at, _)| *at == row) else {
                continue;
            };
            let (_, value) = entries.swap_remove(found);
            across.push((other, value));
            self.eliminate(other, value, &below, spread);
            self.note_column(other);
        }
        below.iter().for_each(|(other, _)| self.note_row(*other));
        Some(Taken {
            row,
            column,
            pivot,
            below,
            across,
        })
    }

    /// Subtracts the pivot's column, times `value`, from another.
    fn eliminate(&mut self, column: usize, value: f64, below: &Entries, spread: &mut [f64]) {
        for (row, by) in below {
            spread[*row] = -by * value;
        }
        for (row, at) in &mut self.columns[column] {
            *at += std::mem::take(&mut spread[*row]);
        }
        for (row, _) in below {
            let new = std::mem::take(&mut spread[*row]);
            if new != 0.0 {
                self.columns[column].push((*row, new));
                self.rows[*row].push(column);
            }
        }
    }

    fn note_column(&mut self, column: usize) {
        self.short_columns[self.columns[column].len()].push(column);
    }

    fn note_row(&mut self, row: usize) {
        self.short_rows[self.rows[row].len()].push(row);
    }

    fn choose(&mut self) -> Option<Candidate> {
        let mut best = None;
        let mut looked = 0;
        for count in 1..=self.columns.len() {
            // No entry of a longer column or row can cost less than these.
            let least = (count - 1) * (count - 1);
            self.look_at_columns(count, &mut looked, &mut best);
            if is_enough(best.as_ref(), least, looked) {
                break;
            }
            self.look_at_rows(count, &mut looked, &mut best);
            if is_enough(best.as_ref(), count * (count - 1), looked) {
                break;
            }
        }
        best
    }

    fn look_at_columns(&mut self, count: usize, looked: &mut usize, best: &mut Option<Candidate>) {
        for at in (0..self.short_columns[count].len()).rev() {
            let column = self.short_columns[count][at];
            let entries = &self.columns[column];
            let largest = largest(entries);
            if self.is_column_done[column] || entries.len() != count || largest < NOTHING {
                self.short_columns[count].swap_remove(at);
                continue;
            }
            for (row, value) in entries {
                if value.abs() >= THRESHOLD * largest {
                    let cost = (self.rows[*row].len() - 1) * (count - 1);
                    better(best, cost, value.abs(), *row, column);
                }
            }
            *looked += 1;
            if is_enough(best.as_ref(), (count - 1) * (count - 1), *looked) {
                return;
            }
        }
    }

    fn look_at_rows(&mut self, count: usize, looked: &mut usize, best: &mut Option<Candidate>) {
        for at in (0..self.short_rows[count].len()).rev() {
            let row = self.short_rows[count][at];
            if self.is_row_done[row] || self.rows[row].len() != count {
                self.short_rows[count].swap_remove(at);
                continue;
            }
            for &column in &self.rows[row] {
                let entries = &self.columns[column];
                let here = entries.iter().find(|(at, _)| *at == row);
                let size = here.map_or(0.0, |(_, value)| value.abs());
                if size >= NOTHING && size >= THRESHOLD * largest(entries) {
                    let cost = (entries.len() - 1) * (count - 1);
                    better(best, cost, size, row, column);
                }
            }
            *looked += 1;
            if is_enough(best.as_ref(), count * (count - 1), *looked) {
                return;
            }
        }
    }
}

fn largest(entries: &Entries) -> f64 {
    (entries.iter()).fold(0.0, |largest, (_, value)| value.abs().max(largest))
}

fn is_enough(best: Option<&Candidate>, least: usize, looked: usize) -> bool {
    best.is_some_and(|best| best.cost <= least || looked >= LOOKED_AT)
}

fn better(best: &mut Option<Candidate>, cost: usize, size: f64, row: usize, column: usize) {
    let is_better = best
        .as_ref()
        .is_none_or(|best| cost < best.cost || (cost == best.cost && size > best.size));
    if is_better {
        *best = Some(Candidate {
            cost,
            size,
            row,
            column,
        });
    }
}
