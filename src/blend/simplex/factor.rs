//! A square sparse matrix `B` as a product that equations are solved with:
//! `B = L U` when it is factored, and one more factor for each column replaced
//! (the product form of the inverse) and each row added since.

use super::pivots::{Active, Taken};

/// Row, or column, and value.
pub(super) type Entries = Vec<(usize, f64)>;

/// Columns replaced and rows added after which it is factored anew (our default, measured).
const SINCE_MOST: usize = 100;
/// Fewer than this never wear it out, however long.
const SINCE_LEAST: usize = 20;

/// The factors. A column goes by the row it is pivoted on, its *position*.
#[derive(Debug, Clone, Default)]
pub(super) struct Factor {
    size: usize,
    /// Positions in the order of their pivots.
    order: Vec<usize>,
    pivots: Vec<f64>,
    /// Pivot's row and multipliers of the rows below, where there are any.
    lower: Vec<(usize, Entries)>,
    /// U above its diagonal, by column and by row.
    upper_columns: Vec<Entries>,
    upper_rows: Vec<Entries>,
    /// What came since: position, kind, and where its entries end.
    since: Vec<(usize, Since, usize)>,
    since_entries: Entries,
    entries: usize,
}

#[derive(Debug, Clone, Copy)]
enum Since {
    /// A column replaced by one whose solution has this pivot, and the entries beside.
    Column(f64),
    /// A row added, met by its own value; its entries by position.
    Row,
}

/// Columns that depend on others, and the rows left without a pivot.
#[derive(Debug)]
pub(super) struct Singular {
    pub columns: Vec<usize>,
    pub rows: Vec<usize>,
}

impl Factor {
    pub(super) fn size(&self) -> usize {
        self.size
    }

    /// Factors a matrix given by columns; tells which column stands at which position.
    pub(super) fn of(columns: Vec<Entries>) -> Result<(Self, Vec<usize>), Singular> {
        let size = columns.len();
        let mut active = Active::new(columns);
        let mut factor = Self {
            size,
            pivots: vec![0.0; size],
            upper_columns: vec![Vec::new(); size],
            upper_rows: vec![Vec::new(); size],
            ..Self::default()
        };
        let (mut at, mut place) = (vec![0; size], vec![0; size]);
        let mut spread = vec![0.0; size];
        for _ in 0..size {
            let Some(taken) = active.take(&mut spread) else {
                let (columns, rows) = active.left();
                return Err(Singular { columns, rows });
            };
            at[taken.row] = taken.column;
            place[taken.column] = taken.row;
            factor.keep(taken);
        }
        factor.turn(&place);
        Ok((factor, at))
    }

    fn keep(&mut self, taken: Taken) {
        self.order.push(taken.row);
        self.pivots[taken.row] = taken.pivot;
        self.entries += taken.below.len() + taken.across.len();
        self.upper_rows[taken.row] = taken.across;
        if !taken.below.is_empty() {
            self.lower.push((taken.row, taken.below));
        }
    }

    /// U's entries named columns; from here on they go by position, and by column too.
    fn turn(&mut self, place: &[usize]) {
        for (row, entries) in self.upper_rows.iter_mut().enumerate() {
            for (column, value) in entries {
                *column = place[*column];
                self.upper_columns[*column].push((row, *value));
            }
        }
    }

    /// Solves `B x = v`: `v` by row becomes `x` by position.
    pub(super) fn forward(&self, v: &mut [f64]) {
        for (row, below) in &self.lower {
            subtract(v, v[*row], below);
        }
        for &at in self.order.iter().rev() {
            if v[at] != 0.0 {
                v[at] /= self.pivots[at];
                subtract(v, v[at], &self.upper_columns[at]);
            }
        }
        let mut from = 0;
        for &(at, since, to) in &self.since {
            let entries = &self.since_entries[from..to];
            match since {
                Since::Row => v[at] = product(v, entries) - v[at],
                Since::Column(pivot) if v[at] != 0.0 => {
                    v[at] /= pivot;
                    subtract(v, v[at], entries);
                }
                Since::Column(_) => {}
            }
            from = to;
        }
    }

    /// Solves `Bᵀ y = v`: `v` by position becomes `y` by row.
    pub(super) fn backward(&self, v: &mut [f64]) {
        for (number, &(at, since, to)) in self.since.iter().enumerate().rev() {
            let before = number.checked_sub(1).map(|before| self.since[before].2);
            let entries = &self.since_entries[before.unwrap_or(0)..to];
            match since {
                Since::Row => {
                    v[at] = -v[at];
                    subtract(v, v[at], entries);
                }
                Since::Column(pivot) => v[at] = (v[at] - product(v, entries)) / pivot,
            }
        }
        for &at in &self.order {
            if v[at] != 0.0 {
                v[at] /= self.pivots[at];
                subtract(v, v[at], &self.upper_rows[at]);
            }
        }
        for (row, below) in self.lower.iter().rev() {
            v[*row] -= product(v, below);
        }
    }

    /// Replaces the column at a position by one whose solution, by
    /// [`Self::forward`], is `solution`.
    pub(super) fn replace(&mut self, position: usize, solution: &[(usize, f64)]) {
        let mut pivot = 1.0;
        for (at, value) in solution {
            if *at == position {
                pivot = *value;
            } else {
                self.since_entries.push((*at, *value));
            }
        }
        let end = self.since_entries.len();
        self.since.push((position, Since::Column(pivot), end));
    }

    /// Adds a row, its entries by position, and the column of its own value, `−1` in it.
    pub(super) fn add(&mut self, entries: impl IntoIterator<Item = (usize, f64)>) {
        self.since_entries.extend(entries);
        let end = self.since_entries.len();
        self.since.push((self.size, Since::Row, end));
        self.size += 1;
    }

    /// Whether nothing came since it was factored.
    pub(super) fn is_new(&self) -> bool {
        self.since.is_empty()
    }

    /// Whether factoring anew costs less than going on.
    pub(super) fn is_worn(&self) -> bool {
        let is_long = self.since_entries.len() > 2 * (self.entries + self.order.len());
        self.since.len() >= SINCE_MOST || (self.since.len() >= SINCE_LEAST && is_long)
    }
}

fn subtract(v: &mut [f64], by: f64, entries: &[(usize, f64)]) {
    if by != 0.0 {
        for (at, value) in entries {
            v[*at] -= value * by;
        }
    }
}

fn product(v: &[f64], entries: &[(usize, f64)]) -> f64 {
    entries.iter().map(|(at, value)| value * v[*at]).sum()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// Sparse columns with something on a shuffled diagonal.
    fn matrix(size: usize, shift: usize, extra: &[(usize, usize, f64)]) -> Vec<Entries> {
        let mut columns: Vec<Entries> = (0..size)
            .map(|at| vec![((at + shift) % size, 3.0)])
            .collect();
        for (row, column, value) in extra {
            let column = &mut columns[column % size];
            let row = row % size;
            match column.iter_mut().find(|(at, _)| *at == row) {
                Some((_, at)) => *at += value,
                None => column.push((row, *value)),
            }
        }
        columns
    }

    fn times(columns: &[Entries], at: &[usize], x: &[f64]) -> Vec<f64> {
        let mut v = vec![0.0; x.len()];
        for (column, x) in at.iter().zip(x) {
            subtract(&mut v, -x, &columns[*column]);
        }
        v
    }

    proptest! {
        /// Both solves against the matrix itself, new and with columns replaced and rows added.
        #[test]
        fn equations_are_solved(
            size in 2_usize..30,
            shift in 0_usize..30,
            extra in proptest::collection::vec((0_usize..30, 0_usize..30, -0.3..0.3_f64), 0..60),
            replaced in proptest::collection::vec((0_usize..30, 0_usize..30), 0..6),
        ) {
            let mut columns = matrix(size, shift, &extra);
            let (mut factor, mut at) = Factor::of(columns.clone()).expect("not singular");
            let mut size = size;
            for (number, (position, other)) in replaced.into_iter().enumerate() {
                let position = position % size;
                if number % 2 == 1 {
                    let entries = [(position, 0.5), ((position + 1) % size, -0.2)];
                    for (position, value) in entries {
                        columns[at[position]].push((size, value));
                    }
                    factor.add(entries);
                    at.push(columns.len());
                    columns.push(vec![(size, -1.0)]);
                    size += 1;
                    continue;
                }
                let mut new = columns[at[position]].clone();
                new.iter_mut().for_each(|(_, value)| *value *= 2.0);
                let other = other % size;
                match new.iter_mut().find(|(row, _)| *row == other) {
                    Some((_, value)) => *value += 0.2,
                    None => new.push((other, 0.2)),
                }
                let mut solution = vec![0.0; size];
                subtract(&mut solution, -1.0, &new);
                factor.forward(&mut solution);
                prop_assume!(solution[position].abs() > 0.1);
                let solution: Entries = solution.into_iter().enumerate().filter(|(_, value)| *value != 0.0).collect();
                factor.replace(position, &solution);
                columns[at[position]] = new;
            }
            let wanted: Vec<f64> = (1..=size).map(|at| if at % 3 == 0 { 0.0 } else { 1.0 / f64::from(u8::try_from(at).expect("small")) }).collect();
            let mut x = wanted.clone();
            factor.forward(&mut x);
            for (a, b) in times(&columns, &at, &x).iter().zip(&wanted) {
                prop_assert!((a - b).abs() < 1e-9);
            }
            let mut y = wanted.clone();
            factor.backward(&mut y);
            for (column, b) in at.iter().zip(&wanted) {
                prop_assert!((product(&y, &columns[*column]) - b).abs() < 1e-9);
            }
        }
    }

    #[test]
    fn columns_that_depend_on_others_are_told() {
        let columns = vec![
            vec![(0, 1.0), (1, 2.0)],
            vec![(0, 2.0), (1, 4.0)],
            vec![(2, 1.0)],
        ];
        let Singular { columns, rows } = Factor::of(columns).expect_err("singular");
        assert_eq!((columns.len(), rows.len()), (1, 1));
        assert!(columns[0] < 2 && rows[0] < 2);
    }
}
