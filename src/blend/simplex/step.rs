use super::factor::Entries;
use super::{KEPT, Place, Simplex};

/// An entry below this is noise of the solves.
const NOISE: f64 = 1e-12;
/// No exchange is made on an entry below this.
const PIVOT_LEAST: f64 = 1e-7;
/// The pivot by its column and by its row may differ by this, relative.
const PIVOT_AGREES: f64 = 1e-6;
/// Weights that grew beyond this begin anew.
const WEIGHTS_MOST: f64 = 1e9;

/// What stops an entering variable.
enum Stop {
    /// Its own other bound.
    OwnBound,
    /// A basic variable that comes to a bound.
    Basic(Leaving),
    Nothing,
}

struct Leaving {
    position: usize,
    pivot: f64,
    /// How far the entering variable goes.
    length: f64,
    place: Place,
}

impl Simplex {
    /// Lets a variable enter: to its other bound, or in exchange for the basic
    /// variable that stops it. `None` when nothing stops it.
    pub(super) fn step(&mut self, entering: usize) -> Option<()> {
        let way = self.toward[entering];
        let solution = self.solution(entering);
        match self.stop(entering, way, &solution) {
            Stop::Nothing => return None,
            Stop::OwnBound => {
                let length = self.upper[entering] - self.lower[entering];
                self.go(way * length, &solution);
                (self.place[entering], self.value[entering]) = if way > 0.0 {
                    (Place::Upper, self.upper[entering])
                } else {
                    (Place::Lower, self.lower[entering])
                };
                self.toward[entering] = -way;
                self.stalled = 0;
                self.next = self.sweep(0.0, 0.0);
            }
            Stop::Basic(leaving) => self.exchange(entering, way, &leaving, &solution)?,
        }
        if self.is_outside {
            self.price();
        }
        Some(())
    }

    /// How the basic variables depend on a variable: by position.
    fn solution(&mut self, variable: usize) -> Entries {
        self.by_row.fill(0.0);
        match self.columns.get(variable) {
            Some(entries) => entries.iter().for_each(|(row, by)| self.by_row[*row] = *by),
            None => self.by_row[variable - self.columns.len()] = -1.0,
        }
        self.factor.forward(&mut self.by_row);
        (self.by_row.iter().copied().enumerate())
            .filter(|(_, by)| by.abs() > NOISE)
            .collect()
    }

    /// The ratio test in two passes: how far it may go if every bound gives way
    /// by a hair, then the largest pivot among those met until there, by Bland's
    /// rule the first variable.
    fn stop(&self, entering: usize, way: f64, solution: &Entries) -> Stop {
        let met = || {
            solution.iter().filter_map(|(position, by)| {
                let place = self.meets(self.basic[*position], -way * by)?;
                let room = self.room(self.basic[*position], place) / by.abs();
                (by.abs() >= PIVOT_LEAST).then_some((*position, *by, room.max(0.0), place))
            })
        };
        let limit = met().fold(f64::INFINITY, |limit, (_, by, room, _)| {
            limit.min(room + KEPT / by.abs())
        });
        let by_bland = self.goes_by_bland();
        let mut leaving: Option<Leaving> = None;
        for (position, pivot, length, place) in met() {
            let is_better = leaving.as_ref().is_none_or(|before| {
                if by_bland {
                    self.basic[position] < self.basic[before.position]
                } else {
                    pivot.abs() > before.pivot.abs()
                }
            });
            if length <= limit && is_better {
                leaving = Some(Leaving {
                    position,
                    pivot,
                    length,
                    place,
                });
            }
        }
        let own = self.upper[entering] - self.lower[entering];
        match leaving {
            Some(leaving) if leaving.length < own => Stop::Basic(leaving),
            _ if own.is_finite() => Stop::OwnBound,
            _ => Stop::Nothing,
        }
    }

    /// The bound a basic variable comes to: the next one, or where it is out, the
    /// one that lets it in.
    fn meets(&self, variable: usize, rate: f64) -> Option<Place> {
        let place = match self.out_by(variable) {
            out if out * rate > 0.0 => return None,
            out if out > 0.0 => Place::Upper,
            out if out < 0.0 => Place::Lower,
            _ if rate > 0.0 => Place::Upper,
            _ => Place::Lower,
        };
        self.room(variable, place).is_finite().then_some(place)
    }

    /// How far a value is from a bound; below zero where it is a hair beyond.
    fn room(&self, variable: usize, place: Place) -> f64 {
        let (value, lower, upper) = (
            self.value[variable],
            self.lower[variable],
            self.upper[variable],
        );
        match (place, self.out_by(variable) != 0.0) {
            (Place::Upper, false) => upper - value,
            (Place::Upper, true) => value - upper,
            (_, false) => value - lower,
            (_, true) => lower - value,
        }
    }

    /// Moves the basic variables as an entering one goes.
    fn go(&mut self, by: f64, solution: &Entries) {
        for (position, entry) in solution {
            self.value[self.basic[*position]] -= by * entry;
        }
    }

    fn exchange(
        &mut self,
        entering: usize,
        way: f64,
        leaving: &Leaving,
        solution: &Entries,
    ) -> Option<()> {
        self.pivot_row(leaving.position);
        let pivot = leaving.pivot;
        let by_row = self.by_variable[entering];
        if (by_row - pivot).abs() > PIVOT_AGREES * (1.0 + pivot.abs()) {
            // The factors have gone stale: nothing has moved yet, so begin anew.
            self.by_variable.fill(0.0);
            let was_new = self.factor.is_new();
            self.refactor()?;
            self.price();
            return (!was_new).then_some(());
        }
        let out = self.basic[leaving.position];
        self.go(way * leaving.length, solution);
        self.value[entering] += way * leaving.length;
        self.value[out] = match leaving.place {
            Place::Upper => self.upper[out],
            _ => self.lower[out],
        };
        self.place[out] = leaving.place;
        self.place[entering] = Place::Basic;
        self.basic[leaving.position] = entering;
        self.factor.replace(leaving.position, solution);

        self.stalled = if leaving.length > KEPT {
            0
        } else {
            self.stalled + 1
        };
        let ratio = self.reduced[entering] / pivot;
        let weight = self.weights[entering].max(1.0) / (pivot * pivot);
        self.toward[entering] = 0.0;
        self.next = self.sweep(ratio, weight);
        self.reduced[entering] = 0.0;
        self.reduced[out] = -ratio;
        self.toward[out] = self.way(out);
        self.weights[out] = weight.max(1.0);
        if weight > WEIGHTS_MOST {
            self.weights.fill(1.0);
        }
        Some(())
    }

    /// The row of `B⁻¹ [A, −I]` at a position, by variable.
    fn pivot_row(&mut self, position: usize) {
        self.by_row.fill(0.0);
        self.by_row[position] = 1.0;
        self.factor.backward(&mut self.by_row);
        let width = self.columns.len();
        for (row, by) in self.by_row.iter().enumerate() {
            if by.abs() <= NOISE {
                continue;
            }
            let entries = self.row_begin[row]..self.row_begin[row + 1];
            let columns = &self.row_columns[entries.clone()];
            for (column, coefficient) in columns.iter().zip(&self.row_coefficients[entries]) {
                self.by_variable[*column] += by * coefficient;
            }
            self.by_variable[width + row] = -by;
        }
    }
}
