//! A sheet for two hands: few lines, none of them too small to carry.
//!
//! On the linear model: what the goals before sureness reached is held exactly,
//! those from sureness on within [`MAY_COST`] of their value. Among those mixes
//!
//! 1. lots are counted linearly, `min Σ x/(min(x̂, a) + ε)` with `x̂` the draw
//!    before, `a` the lot and `ε` the smallest draw [kg as fed], a few times over:
//!    what is little gets dear and leaves;
//! 2. one line after another, the smallest first, is struck where a mix without
//!    it remains;
//! 3. where a farm says how many lots a group takes from at most, a group with more
//!    is struck further, at the cost of what spoils and of money alone;
//! 4. a draw below the smallest is made as large, or the whole lot, or struck;
//!    where all that costs more than [`MAY_COST`] it may, but nothing of the
//!    goals before sureness: then the line stays;
//! 5. a remainder below the smallest is tipped in where that costs nothing;
//! 6. the goals from sureness on are solved again with those lines alone.
//!
//! How far this is from the fewest: on eight nights of the invented demo farm
//! with three groups, an integer program (HiGHS, a binary a draw) found a median
//! of 11 lines within 0.9 % of the goals from sureness on and 10.5 when these may
//! lose anything; the search above has 11.5. Fewer needs groups to share a mix:
//! see `shared.rs`.

use super::chain::beside;
use super::constraints::Plan;
use super::model::{Goal, Model, Row};
use super::problem::{Few, Problem};
use super::rounding::split_pools;
use super::solve::{Optimum, Unsolved, solve, solve_cutting};
use super::sureness::Margins;
use super::tiers::{GOALS, Run, SURE, held};
use super::tolerance::DUST_KG;

/// What few lines may cost of each goal from sureness on, a share of its value (our default).
const MAY_COST: f64 = 0.009;
/// Standard deviations a window's margin may fall short more for few lines: at
/// a chance of 8 in 10 about one in a hundred (our default).
const SURE_SLACK: f64 = 0.035;
/// Times the lines are counted anew.
const COUNTED: usize = 3;
/// Draws a group chooses few from in a large stock, heaviest first.
const CHOOSES_FROM: usize = 60;
/// A lot is empty within this, kilograms: half the gram weights are kept in.
const EMPTY_KG: f64 = 5e-4;

/// One line of the sheet to be.
#[derive(Debug, Clone, Copy)]
struct Line {
    group: usize,
    column: usize,
    kg: f64,
    /// What is left of the lot after all groups; `None` for what is bought.
    left_kg: Option<f64>,
}

impl Line {
    fn empties(&self) -> bool {
        self.left_kg.is_some_and(|left| left <= EMPTY_KG)
    }
}

struct Search<'a> {
    problem: &'a Problem,
    rule: Few,
    margins: Option<&'a mut Margins>,
    /// Rows with goals held; bounds of columns are tightened on the way.
    model: Model,
    point: Vec<f64>,
}

/// A solved plan narrowed to few lines, its later goals solved again; `None`
/// where no engine can verify one of them.
pub(super) fn few_lines(
    problem: &Problem,
    rule: Few,
    plan: &Plan,
    run: &Run,
    mut margins: Option<&mut Margins>,
) -> Option<(Plan, Run)> {
    let found = margins.as_ref().map_or(0, |margins| margins.found());
    let mut search = Search {
        problem,
        rule,
        margins: margins.as_deref_mut(),
        model: loosened(plan, run),
        point: run.point.clone(),
    };
    search.choose_from(plan);
    search.count_anew(plan);
    search.strike(plan);
    search.keep_to_most_lots(plan);
    search.keep_to_smallest(plan);
    let (bounds, point) = (search.model.columns, search.point);
    let mut narrowed = plan.clone();
    narrowed.model.columns = bounds;
    if let Some(margins) = margins.as_deref() {
        margins.add_to(&mut narrowed, found);
    }
    let mut again = Run {
        holds: run.exact(plan),
        point,
        ..run.clone()
    };
    for position in SURE..=GOALS {
        let found = margins.as_ref().map_or(0, |margins| margins.found());
        let mut solve = |model: &mut Model, goal: &Goal, _: &[f64]| {
            let narrow = solve_narrow(model, goal, margins.as_deref_mut());
            narrow.map(|narrow| beside(model, goal, narrow))
        };
        if position < GOALS {
            again.goals(
                &narrowed,
                position..position + 1,
                &mut |_, _, _| (),
                &mut solve,
            )
        } else {
            again.ties(&narrowed, &mut |_, _, _| (), &mut solve)
        }
        .ok()?;
        if let Some(margins) = margins.as_deref() {
            margins.add_to(&mut narrowed, found);
        }
    }
    Some((narrowed, again))
}

/// The plan's rows with the goals held, those from sureness on more loosely.
fn loosened(plan: &Plan, run: &Run) -> Model {
    let mut model = plan.model.clone();
    let goals = plan.goals();
    for row in &run.holds {
        let of = goals.iter().position(|(name, _)| *name == row.name);
        let Some(position) = of.filter(|position| *position >= SURE) else {
            model.rows.push(row.clone());
            continue;
        };
        let (name, goal) = goals[position];
        let value = run.values[position];
        let slack = may_cost(plan, position, value);
        let mut loose = held(name, goal, value, slack);
        (loose.lower, loose.upper) = (loose.lower.min(row.lower), loose.upper.max(row.upper));
        model.rows.push(loose);
    }
    model
}

/// What few lines may cost of a goal, in its own unit.
fn may_cost(plan: &Plan, position: usize, value: f64) -> f64 {
    let share = MAY_COST * value.abs();
    if position != SURE {
        return share;
    }
    #[expect(clippy::cast_precision_loss, reason = "a night has few windows")]
    let windows = plan.goals()[SURE].1.terms.len() as f64;
    share.max(SURE_SLACK * windows)
}

/// Solves a model over the columns that are not shut, with the tangents its points call for.
fn solve_narrow(
    model: &mut Model,
    goal: &Goal,
    margins: Option<&mut Margins>,
) -> Result<Optimum, Unsolved> {
    let mut place = vec![None; model.columns.len()];
    let mut small = Model::default();
    for (at, column) in model.columns.iter().enumerate() {
        if column.upper > 0.0 {
            place[at] = Some(small.column("", column.lower, column.upper));
        }
    }
    let placed = |terms: &[(usize, f64)]| -> Vec<(usize, f64)> {
        let there = terms.iter();
        there
            .filter_map(|(column, by)| Some((place[*column]?, *by)))
            .collect()
    };
    for row in &model.rows {
        small.between("", placed(&row.terms), row.lower, row.upper);
    }
    let small_goal = Goal {
        terms: placed(&goal.terms),
        maximise: goal.maximise,
    };
    let whole = |point: &[f64]| -> Vec<f64> {
        let at = place.iter();
        at.map(|at| at.map_or(0.0, |at| point[at])).collect()
    };
    let optimum = match margins {
        None => solve(&small, &small_goal)?,
        Some(margins) => {
            let mut called = Vec::new();
            let optimum = solve_cutting(&mut small, &small_goal, |point| {
                let rows = margins.called_for(&whole(point));
                let narrow = rows.iter().map(|row| Row {
                    terms: placed(&row.terms),
                    ..row.clone()
                });
                let narrow = narrow.collect();
                called.extend(rows);
                narrow
            });
            model.rows.extend(called);
            optimum?
        }
    };
    Ok(Optimum {
        point: whole(&optimum.point),
        ..optimum
    })
}

impl Search<'_> {
    /// Moves to a mix of few lines within bounds, if there is one.
    fn go(&mut self, plan: &Plan) -> bool {
        let goal = self.lines_counted(plan);
        match solve_narrow(&mut self.model, &goal, self.margins.as_deref_mut()) {
            Ok(optimum) => {
                self.point = optimum.point;
                true
            }
            Err(_) => false,
        }
    }

    /// The same with other bounds of a column; they stay where there is one.
    fn go_with(&mut self, plan: &Plan, column: usize, lower: f64, upper: f64) -> bool {
        let before = self.model.columns[column].clone();
        self.model.columns[column].lower = lower;
        self.model.columns[column].upper = upper;
        let went = lower <= upper && self.go(plan);
        if !went {
            self.model.columns[column] = before;
        }
        went
    }

    /// Draw and purchase columns of a group.
    fn columns(plan: &Plan, group: usize) -> impl Iterator<Item = usize> {
        let columns = &plan.groups[group];
        columns
            .draws
            .iter()
            .chain(&columns.bought)
            .map(|(_, column)| *column)
    }

    fn smallest_kg(&self, plan: &Plan, group: usize) -> f64 {
        let fed: f64 = Self::columns(plan, group)
            .map(|column| self.point[column])
            .sum();
        self.rule
            .smallest_draw(self.problem.division_for(fed), fed)
            .kg()
    }

    /// Lines as a linear form: each draw over what it was, at most a lot.
    fn lines_counted(&self, plan: &Plan) -> Goal {
        let mut terms = Vec::new();
        for (group, columns) in plan.groups.iter().enumerate() {
            let smallest = self.smallest_kg(plan, group).max(0.01);
            let draws = columns.draws.iter().map(|(pool, column)| {
                let pool = &plan.pools[*pool];
                #[expect(clippy::cast_precision_loss, reason = "a pool has few lots")]
                (*column, pool.edible_kg / pool.members.len() as f64)
            });
            let bought = columns
                .bought
                .iter()
                .map(|(_, column)| (*column, f64::INFINITY));
            for (column, lot_kg) in draws.chain(bought) {
                let was = self.point[column].min(lot_kg);
                terms.push((column, 1.0 / (was + smallest)));
            }
        }
        Goal::minimise(terms)
    }

    /// In a large stock few lots are chosen from those in use and the heaviest.
    fn choose_from(&mut self, plan: &Plan) {
        for group in 0..plan.groups.len() {
            let mut columns: Vec<usize> = Self::columns(plan, group)
                .filter(|column| self.point[*column] <= DUST_KG)
                .collect();
            let upper = |column: &usize| plan.model.columns[*column].upper;
            columns.sort_by(|a, b| upper(b).total_cmp(&upper(a)));
            for column in columns.into_iter().skip(CHOOSES_FROM) {
                self.model.columns[column].upper = 0.0;
            }
        }
    }

    fn count_anew(&mut self, plan: &Plan) {
        // The first time every lot counts as one, whatever is drawn of it now.
        let used = self.point.clone();
        for group in &plan.groups {
            for (pool, column) in &group.draws {
                self.point[*column] = plan.pools[*pool].edible_kg;
            }
        }
        if !self.go(plan) {
            self.point = used;
        }
        for _ in 1..COUNTED {
            self.go(plan);
        }
    }

    fn lines(&self, plan: &Plan) -> Vec<Line> {
        let (split, left) = split_pools(self.problem, plan, &self.point);
        let mut lines = Vec::new();
        for (group, draws) in split.into_iter().enumerate() {
            lines.extend(draws.into_iter().map(|(column, lot, kg)| Line {
                group,
                column,
                kg,
                left_kg: Some(left[lot]),
            }));
            let bought = plan.groups[group].bought.iter();
            let bought = bought.filter(|(_, column)| self.point[*column] > DUST_KG);
            lines.extend(bought.map(|(_, column)| Line {
                group,
                column: *column,
                kg: self.point[*column],
                left_kg: None,
            }));
        }
        lines.sort_by(|a, b| a.kg.total_cmp(&b.kg));
        lines
    }

    /// Shuts what is not drawn, then one line after another, the smallest first.
    fn strike(&mut self, plan: &Plan) {
        let mut tried = vec![false; self.point.len()];
        loop {
            for group in 0..plan.groups.len() {
                for column in Self::columns(plan, group) {
                    if self.point[column] <= DUST_KG && self.model.columns[column].lower <= 0.0 {
                        self.model.columns[column].upper = 0.0;
                    }
                }
            }
            let lines = self.lines(plan);
            let Some(line) = lines.iter().find(|line| !tried[line.column]) else {
                return;
            };
            tried[line.column] = !self.without(plan, line);
        }
    }

    /// Lots above the number a group takes from are struck even where that costs
    /// more of what spoils and of money, never of sureness or the goals before.
    fn keep_to_most_lots(&mut self, plan: &Plan) {
        let Some(most) = self.rule.most_lots else {
            return;
        };
        let is_over = |search: &Self, group: usize| {
            let lines = search.lines(plan);
            let lots = lines
                .iter()
                .filter(|line| line.group == group && line.left_kg.is_some());
            lots.count() > most
        };
        let over: Vec<usize> = (0..plan.groups.len())
            .filter(|group| is_over(self, *group))
            .collect();
        if over.is_empty() {
            return;
        }
        self.let_go(plan, SURE + 1);
        for group in over {
            let mut tried = vec![false; self.point.len()];
            while is_over(self, group) {
                let lines = self.lines(plan);
                let next = |line: &&Line| line.group == group && !tried[line.column];
                let Some(line) = lines.iter().find(next) else {
                    break;
                };
                tried[line.column] = !self.without(plan, line);
            }
        }
    }

    fn without(&mut self, plan: &Plan, line: &Line) -> bool {
        let upper = (self.point[line.column] - line.kg).max(0.0);
        let upper = if upper <= DUST_KG { 0.0 } else { upper };
        self.go_with(plan, line.column, 0.0, upper)
    }

    /// Bounds that make a draw as large as the smallest, or the whole lot, or strike it.
    fn ways(&self, line: &Line, smallest_kg: f64) -> Vec<(f64, f64)> {
        let drawn = self.point[line.column];
        let upper = self.model.columns[line.column].upper;
        let left = line.left_kg.unwrap_or(f64::INFINITY);
        let less = (drawn - line.kg).max(0.0);
        let ways = [
            (drawn + (smallest_kg - line.kg).min(left), upper),
            (drawn + left, upper),
            (0.0, if less <= DUST_KG { 0.0 } else { less }),
        ];
        let can_be = |(lower, upper): &(f64, f64)| lower.is_finite() && lower <= upper;
        ways.into_iter().filter(can_be).collect()
    }

    fn carried(&mut self, plan: &Plan, line: &Line, smallest_kg: f64) -> bool {
        let ways = self.ways(line, smallest_kg);
        let mut ways = ways.into_iter();
        ways.any(|(lower, upper)| self.go_with(plan, line.column, lower, upper))
    }

    /// Holds the goals from a position on no longer.
    fn let_go(&mut self, plan: &Plan, from: usize) {
        self.model.rows.retain(|row| {
            let mut later = plan.goals().into_iter().skip(from);
            !later.any(|(name, _)| name == row.name)
        });
    }

    /// As [`Self::carried`], but as sure as can be then, which holds from now on.
    fn at_cost(&mut self, plan: &Plan, line: &Line, smallest_kg: f64) -> bool {
        let (name, goal) = plan.goals()[SURE];
        self.let_go(plan, SURE);
        let before = self.model.columns.clone();
        let mut best: Option<(f64, Vec<super::model::Column>)> = None;
        for (lower, upper) in self.ways(line, smallest_kg) {
            self.model.columns[line.column].lower = lower;
            self.model.columns[line.column].upper = upper;
            let solved = solve_narrow(&mut self.model, goal, self.margins.as_deref_mut());
            if let Ok(optimum) = solved
                && best
                    .as_ref()
                    .is_none_or(|(value, _)| optimum.value < *value)
            {
                best = Some((optimum.value, self.model.columns.clone()));
            }
            self.model.columns.clone_from(&before);
        }
        let Some((value, columns)) = best else {
            return false;
        };
        self.model.columns = columns;
        self.model
            .rows
            .push(held(name, goal, value, may_cost(plan, SURE, value)));
        self.go(plan)
    }

    fn keep_to_smallest(&mut self, plan: &Plan) {
        let loose = self.model.rows.clone();
        let mut may_tip = true;
        for _ in 0..4 * plan.groups.len() + 8 {
            let lines = self.lines(plan);
            let small = lines.iter().find_map(|line| {
                let smallest = self.smallest_kg(plan, line.group);
                let is_small = line.kg < smallest - EMPTY_KG && !line.empties();
                is_small.then_some((*line, smallest))
            });
            let Some((line, smallest)) = small else { break };
            if self.carried(plan, &line, smallest) {
                continue;
            }
            // What can't be carried costs of what spoils and of money what it
            // must; only then of sureness, and no more than it must.
            self.let_go(plan, SURE + 1);
            if !self.carried(plan, &line, smallest) && !self.at_cost(plan, &line, smallest) {
                self.model.rows = loose;
                break;
            }
            may_tip = false;
        }
        if !may_tip {
            return;
        }
        for line in self.lines(plan) {
            let rest = line.left_kg.unwrap_or(0.0);
            if rest > EMPTY_KG && rest < self.smallest_kg(plan, line.group) {
                let (drawn, upper) = (
                    self.point[line.column],
                    plan.model.columns[line.column].upper,
                );
                self.go_with(plan, line.column, drawn + rest, upper);
            }
        }
    }
}
