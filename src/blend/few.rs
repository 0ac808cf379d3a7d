//! A sheet for two hands: few lines, none of them too small to carry.
//!
//! On the linear model: what the goals before sureness reached is held exactly,
//! those from sureness on within [`MAY_COST`] of their value. Among those mixes
//!
//! 1. lots are counted linearly, `min Σ x/(min(x̂, a) + ε)` with `x̂` the draw
//!    before, `a` the lot and `ε` the smallest draw [kg as fed], a few times over:
//!    what is little gets dear and leaves;
//! 2. a draw below the smallest is made as large, or the whole lot, or struck;
//! 3. one line after another, the smallest first, is struck where a mix without
//!    it remains whose draws can be carried as in 2;
//! 4. where a farm says how many lots a group takes from at most, a group with more
//!    is struck further, at the cost of what spoils and of money alone;
//! 5. where a draw below the smallest remains, what spoils and money may cost what
//!    it must, then sureness as little as can be, but nothing of the goals before:
//!    then the line stays;
//! 6. a lot is taken whole where that leaves fewer lines to weigh: what is
//!    tipped in needs no scale;
//! 7. the goals from sureness on are solved again with those lines alone, none
//!    of them smaller than it may be.
//!
//! What it costs, on 36 invented nights each of 40 and 60 lots
//! (`cargo bench --bench policy`): nothing of the goals before sureness, at most
//! 0.5 points of a window's chance below what is asked, 0.9 % of what spoils and
//! of money. What rounding leaves too small to carry is seen to in `crumbs.rs`:
//! of 3,009 lines of the demo farm's year 4 are below the smallest and leave of
//! their lot what the scale can show, three of them on nights that can't be met,
//! where without them a group would get less or leave a window.

use std::collections::BTreeMap;

use super::chain::Cuts;
use super::constraints::Plan;
use super::goals::{GOALS, SURE};
use super::model::{Goal, Model};
use super::patience::Waiting;
use super::problem::{Few, Problem};
use super::requirement::Requirement;
use super::rounding::split_pools;
use super::sureness::Margins;
use super::tiers::Run;
use super::tolerance::{DUST_KG, ROW_TOLERANCE};
use crate::words::say;

/// What few lines may cost of each goal from sureness on, a share of its value (our default).
const MAY_COST: f64 = 0.009;
/// Standard deviations each window's margin may fall short more for few lines: at
/// a chance of 8 in 10 less than one point in a hundred (our default).
const SURE_SLACK: f64 = 0.028;
/// Times the lines are counted anew.
const COUNTED: usize = 3;
/// Draws a group chooses few from in a large stock, heaviest first.
const CHOOSES_FROM: usize = 60;
/// Mixes tried for each column that is open, the other way round: after so many
/// no more lines are struck. With 120 columns 150 are tried, with 700 some 25.
const TRIED_MOST: usize = 18_000;
/// A lot is empty within this, kilograms: half the gram weights are kept in.
const EMPTY_KG: f64 = 5e-4;

/// One line of the sheet to be.
#[derive(Debug, Clone, Copy)]
struct Line {
    group: usize,
    column: usize,
    /// `None` for what is bought.
    lot: Option<usize>,
    kg: f64,
    /// What is left of the lot after all groups; without end for what is bought.
    left_kg: f64,
    /// No group after this one draws of the lot.
    is_last: bool,
    /// The smallest draw of the group.
    smallest_kg: f64,
    /// What to make a draw that is smaller: a division more, so that rounding
    /// leaves it large enough.
    enough_kg: f64,
}

impl Line {
    fn empties(&self) -> bool {
        self.is_last && self.left_kg <= EMPTY_KG
    }

    fn is_too_small(&self) -> bool {
        self.kg < self.smallest_kg - EMPTY_KG && !self.empties()
    }
}

/// A mix on the way: where it stands, and the bounds of its columns.
struct Step {
    bounds: Vec<(f64, f64)>,
    point: Vec<f64>,
}

struct Search<'a> {
    problem: &'a Problem,
    plan: &'a Plan,
    rule: Few,
    margins: Option<&'a mut Margins>,
    /// Its goals are held loosely; bounds of columns are tightened on the way.
    run: Run,
    tried: usize,
    waiting: &'a Waiting,
}

/// A solved plan narrowed to few lines, its later goals solved again.
pub(super) fn few_lines(
    problem: &Problem,
    rule: Few,
    plan: &Plan,
    run: &Run,
    mut margins: Option<&mut Margins>,
    waiting: &Waiting,
) -> (Plan, Run) {
    let found = margins.as_ref().map_or(0, |margins| margins.found());
    let mut search = Search {
        problem,
        plan,
        rule,
        margins: margins.as_deref_mut(),
        run: run.moved_to(without_slack_tangents(plan, run), run.walk.point.clone()),
        tried: 0,
        waiting,
    };
    for position in SURE..GOALS {
        search.hold_loosely(position);
    }
    search.keep_as_sure();
    search.choose_from();
    search.count_anew();
    search.carry_all();
    search.strike();
    search.keep_to_most_lots();
    search.tip_in();
    search.carry_at_cost();
    search.keep_as_large();
    let found_so_far = search.run;
    let mut run = found_so_far.clone();
    let mut called_for =
        (margins.as_deref_mut()).map(|margins| move |point: &[f64]| margins.called_for(point));
    let cuts = called_for.as_mut().map(|rows| rows as Cuts);
    if run.goals_from(plan, SURE, cuts).is_err() {
        // The mix stands, to what tangents are kept to; only nothing proves it best.
        run = found_so_far;
        run.valued_where_it_stands(plan);
    }
    let mut narrowed = plan.clone();
    narrowed.model.columns.clone_from(&run.walk.model.columns);
    if let Some(margins) = margins {
        margins.add_to(&mut narrowed, found);
    }
    (narrowed, run)
}

/// The plan's rows without tangents that the point does not touch: a mix that
/// breaks one calls for it again, and until then each is one more row of every basis.
fn without_slack_tangents(plan: &Plan, run: &Run) -> Model {
    let mut model = plan.model.clone();
    let mut requirements = plan.requirements.iter();
    model.rows.retain(|row| {
        let is_tangent = matches!(requirements.next(), Some(Requirement::Margin { .. }));
        !is_tangent || -row.above(&run.walk.point) < ROW_TOLERANCE
    });
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

impl Search<'_> {
    /// Moves to a mix of few lines within bounds, if there is one.
    fn go(&mut self) -> bool {
        let goal = self.lines_counted();
        self.go_by(&goal)
    }

    fn go_by(&mut self, goal: &Goal) -> bool {
        self.tried += 1;
        let margins = &mut self.margins;
        self.run.walk.go(goal, &mut |point| {
            margins
                .as_mut()
                .map_or_else(Vec::new, |margins| margins.called_for(point))
        })
    }

    /// The same with other bounds of a column; they stay where there is one.
    fn go_with(&mut self, column: usize, lower: f64, upper: f64) -> bool {
        let of = &self.run.walk.model.columns[column];
        let before = (of.lower, of.upper);
        if lower > upper {
            return false;
        }
        self.run.walk.bound(column, lower, upper);
        let went = self.go();
        if !went {
            self.run.walk.bound(column, before.0, before.1);
        }
        went
    }

    fn drawn(&self, column: usize) -> f64 {
        self.run.walk.point[column]
    }

    fn upper(&self, column: usize) -> f64 {
        self.run.walk.model.columns[column].upper
    }

    fn step(&self) -> Step {
        let columns = &self.run.walk.model.columns;
        Step {
            bounds: columns.iter().map(|of| (of.lower, of.upper)).collect(),
            point: self.run.walk.point.clone(),
        }
    }

    fn back_to(&mut self, step: Step) {
        for (column, (lower, upper)) in step.bounds.into_iter().enumerate() {
            let of = &self.run.walk.model.columns[column];
            if (of.lower, of.upper) != (lower, upper) {
                self.run.walk.bound(column, lower, upper);
            }
        }
        self.run.walk.point = step.point;
    }

    /// Lets no window be less sure than it is by more than the slack.
    fn keep_as_sure(&mut self) {
        for (short, _) in &self.plan.sure.terms {
            let most = self.run.walk.point[*short] + SURE_SLACK;
            self.run.walk.bound(*short, 0.0, most);
        }
    }

    /// Draw and purchase columns of a group.
    fn columns(&self, group: usize) -> impl Iterator<Item = usize> {
        let columns = &self.plan.groups[group];
        let all = columns.draws.iter().chain(&columns.bought);
        all.map(|(_, column)| *column)
    }

    /// Those of all groups.
    fn all_columns(&self) -> Vec<usize> {
        let groups = 0..self.plan.groups.len();
        groups.flat_map(|group| self.columns(group)).collect()
    }

    /// The smallest draw of a group, and one with a division more.
    fn smallest_kg(&self, group: usize) -> (f64, f64) {
        let fed: f64 = self.columns(group).map(|column| self.drawn(column)).sum();
        let division = self.problem.division_for(fed);
        let smallest = self.rule.smallest_draw(division, fed).kg();
        (smallest, smallest + division.kg())
    }

    /// Lines as a linear form: each draw over what it was, at most a lot.
    fn lines_counted(&self) -> Goal {
        let mut terms = Vec::new();
        for (group, columns) in self.plan.groups.iter().enumerate() {
            let smallest = self.smallest_kg(group).0.max(0.01);
            let draws = columns.draws.iter().map(|(pool, column)| {
                let pool = &self.plan.pools[*pool];
                #[expect(clippy::cast_precision_loss, reason = "a pool has few lots")]
                (*column, pool.edible_kg / pool.members.len() as f64)
            });
            let bought = columns.bought.iter();
            let bought = bought.map(|(_, column)| (*column, f64::INFINITY));
            for (column, lot_kg) in draws.chain(bought) {
                let was = self.drawn(column).min(lot_kg);
                terms.push((column, 1.0 / (was + smallest)));
            }
        }
        Goal::minimise(terms)
    }

    /// In a large stock few lots are chosen from those in use and the heaviest.
    fn choose_from(&mut self) {
        for group in 0..self.plan.groups.len() {
            let unused = |column: &usize| self.drawn(*column) <= DUST_KG;
            let mut columns: Vec<usize> = self.columns(group).filter(unused).collect();
            columns.sort_by(|a, b| self.upper(*b).total_cmp(&self.upper(*a)));
            for column in columns.into_iter().skip(CHOOSES_FROM) {
                self.run.walk.bound(column, 0.0, 0.0);
            }
        }
    }

    fn count_anew(&mut self) {
        // The first time every lot counts as one, whatever is drawn of it now.
        let used = self.run.walk.point.clone();
        for group in &self.plan.groups {
            for (pool, column) in &group.draws {
                self.run.walk.point[*column] = self.plan.pools[*pool].edible_kg;
            }
        }
        let goal = self.lines_counted();
        self.run.walk.point = used;
        self.go_by(&goal);
        for _ in 1..COUNTED {
            self.go();
        }
    }

    /// The lines of the mix, the smallest first.
    fn lines(&self) -> Vec<Line> {
        let (split, left) = split_pools(self.problem, self.plan, &self.run.walk.point);
        let mut last = BTreeMap::new();
        for (group, draws) in split.iter().enumerate() {
            last.extend(draws.iter().map(|(_, lot, _)| (*lot, group)));
        }
        let mut lines = Vec::new();
        for (group, draws) in split.into_iter().enumerate() {
            let (smallest_kg, enough_kg) = self.smallest_kg(group);
            let line = |column: usize, lot: Option<usize>, kg: f64| Line {
                group,
                column,
                lot,
                kg,
                left_kg: lot.map_or(f64::INFINITY, |lot| left[lot]),
                is_last: lot.is_none_or(|lot| last[&lot] == group),
                smallest_kg,
                enough_kg,
            };
            let draws = draws.into_iter();
            lines.extend(draws.map(|(column, lot, kg)| line(column, Some(lot), kg)));
            let bought = self.plan.groups[group].bought.iter();
            let bought = bought.map(|(_, column)| line(*column, None, self.drawn(*column)));
            lines.extend(bought.filter(|line| line.kg > DUST_KG));
        }
        lines.sort_by(|a, b| a.kg.total_cmp(&b.kg));
        lines
    }

    fn too_small(&self) -> Vec<Line> {
        let lines = self.lines().into_iter();
        lines.filter(Line::is_too_small).collect()
    }

    /// Makes draws below the smallest such as can be carried, within what few
    /// lines may cost. How many remain below it.
    fn carry_all(&mut self) -> usize {
        for _ in 0..4 * self.plan.groups.len() + 8 {
            let small = self.too_small();
            if !small.iter().any(|line| self.carried(line)) {
                return small.len();
            }
        }
        self.too_small().len()
    }

    /// Bounds that make a draw as large as the smallest, or the whole lot, or strike it.
    fn ways(&self, line: &Line) -> Vec<(f64, f64)> {
        let (drawn, upper) = (self.drawn(line.column), self.upper(line.column));
        let less = (drawn - line.kg).max(0.0);
        // What another group draws of the lot can be taken from it.
        let more = if line.is_last {
            line.left_kg
        } else {
            f64::INFINITY
        };
        let ways = [
            (drawn + (line.enough_kg - line.kg).min(more), upper),
            (drawn + line.left_kg, upper),
            (0.0, if less <= DUST_KG { 0.0 } else { less }),
        ];
        let can_be = |(lower, upper): &(f64, f64)| lower.is_finite() && lower <= upper;
        ways.into_iter().filter(can_be).collect()
    }

    fn carried(&mut self, line: &Line) -> bool {
        let mut ways = self.ways(line).into_iter();
        ways.any(|(lower, upper)| self.go_with(line.column, lower, upper))
    }

    /// How far from what is wanted: lines too small, lines to weigh, all lines.
    fn score(&self) -> (usize, usize, usize) {
        let lines = self.lines();
        let count = |of: fn(&Line) -> bool| lines.iter().filter(|line| of(line)).count();
        (
            count(Line::is_too_small),
            count(|line| !line.empties()),
            lines.len(),
        )
    }

    /// Keeps a step where it leads nearer to what is wanted, once what became too
    /// small is carried.
    fn kept(&mut self, mut step: impl FnMut(&mut Self) -> bool) -> bool {
        let (before, score) = (self.step(), self.score());
        let is_nearer = step(self) && {
            self.carry_all();
            self.score() < score
        };
        if !is_nearer {
            self.back_to(before);
        }
        is_nearer
    }

    /// Shuts what is not drawn, then one line after another: those to weigh
    /// first, the smallest first.
    fn strike(&mut self) {
        let mut tried = vec![false; self.run.walk.point.len()];
        while self.may_try() {
            for column in self.all_columns() {
                let of = &self.run.walk.model.columns[column];
                if self.drawn(column) <= DUST_KG && of.lower <= 0.0 && of.upper > 0.0 {
                    self.run.walk.bound(column, 0.0, 0.0);
                }
            }
            let mut lines = self.lines();
            lines.sort_by_key(Line::empties);
            let Some(line) = lines.iter().find(|line| !tried[line.column]) else {
                return;
            };
            if self.kept(|search| search.without(line)) {
                tried.fill(false);
            } else {
                tried[line.column] = true;
            }
        }
    }

    /// Whether the search has not yet taken too long.
    fn may_try(&self) -> bool {
        let columns = self.run.walk.model.columns.iter();
        let open = columns.filter(|of| of.upper > 0.0).count();
        self.tried * open < TRIED_MOST && self.waiting.goes_on(|| say!("undone-few-lines"))
    }

    fn without(&mut self, line: &Line) -> bool {
        let upper = (self.drawn(line.column) - line.kg).max(0.0);
        let upper = if upper <= DUST_KG { 0.0 } else { upper };
        self.go_with(line.column, 0.0, upper)
    }

    /// Lots above the number a group takes from are struck even where that costs
    /// more of what spoils and of money, never of sureness or the goals before.
    fn keep_to_most_lots(&mut self) {
        let Some(most) = self.rule.most_lots else {
            return;
        };
        let is_over = |search: &Self, group: usize| {
            let lines = search.lines();
            let lots = lines
                .iter()
                .filter(|line| line.group == group && line.lot.is_some());
            lots.count() > most
        };
        let over: Vec<usize> = (0..self.plan.groups.len())
            .filter(|group| is_over(self, *group))
            .collect();
        if over.is_empty() {
            return;
        }
        self.let_go(SURE + 1);
        for group in over {
            let mut tried = vec![false; self.run.walk.point.len()];
            while is_over(self, group) {
                let lines = self.lines();
                let next = |line: &&Line| line.group == group && !tried[line.column];
                let Some(line) = lines.iter().find(next) else {
                    break;
                };
                tried[line.column] = !self.without(line);
            }
        }
    }

    /// Lets in all that was struck.
    fn open_again(&mut self) {
        for column in self.all_columns() {
            let upper = self.plan.model.columns[column].upper;
            let of = &self.run.walk.model.columns[column];
            if of.upper < upper {
                let lower = of.lower;
                self.run.walk.bound(column, lower, upper);
            }
        }
    }

    /// Holds a goal within what few lines may cost of it.
    fn hold_loosely(&mut self, position: usize) {
        let may_cost = may_cost(self.plan, position, self.run.values[position]);
        self.run.loosen(self.plan, position, may_cost);
    }

    /// Holds the goals from a position on no longer.
    fn let_go(&mut self, from: usize) {
        for position in from..GOALS {
            self.run.loosen(self.plan, position, f64::INFINITY);
        }
    }

    /// What can't be carried costs of what spoils and of money what it must; only
    /// then of sureness, and no more than it must.
    fn carry_at_cost(&mut self) {
        for round in 0..4 * self.plan.groups.len() + 8 {
            if self.carry_all() == 0 {
                return;
            }
            if round == 0 {
                self.open_again();
                continue;
            }
            self.let_go(SURE + 1);
            let small = self.too_small();
            let done = self.carry_all() == 0 || small.iter().any(|line| self.carried_unsure(line));
            if !done {
                return;
            }
        }
    }

    /// As [`Self::carried`], but as sure as can be then, which holds from now on.
    fn carried_unsure(&mut self, line: &Line) -> bool {
        let goal = &self.plan.sure;
        let before = self.step();
        self.run.loosen(self.plan, SURE, f64::INFINITY);
        for (short, _) in &goal.terms {
            self.run.walk.bound(*short, 0.0, f64::INFINITY);
        }
        let mut best: Option<(f64, Step)> = None;
        for (lower, upper) in self.ways(line) {
            let of = &self.run.walk.model.columns[line.column];
            let bounds = (of.lower, of.upper);
            self.run.walk.bound(line.column, lower, upper);
            if self.go_by(goal) {
                let value = goal.value(&self.run.walk.point);
                if best.as_ref().is_none_or(|(least, _)| value < *least) {
                    best = Some((value, self.step()));
                }
            }
            self.run.walk.bound(line.column, bounds.0, bounds.1);
        }
        let Some((value, step)) = best else {
            self.back_to(before);
            self.hold_loosely(SURE);
            return false;
        };
        self.back_to(step);
        self.keep_as_sure();
        self.run.values[SURE] = value;
        self.hold_loosely(SURE);
        self.go()
    }

    /// Takes all of a lot, least of it left first: then nothing is to be weighed.
    fn tip_in(&mut self) {
        let mut lines = self.lines();
        lines.retain(|line| !line.empties() && line.left_kg.is_finite());
        lines.sort_by(|a, b| a.left_kg.total_cmp(&b.left_kg));
        for line in lines {
            if self.may_try() {
                self.kept(|search| {
                    let all = search.drawn(line.column) + line.left_kg;
                    let upper = search.plan.model.columns[line.column].upper;
                    search.go_with(line.column, all, upper)
                });
            }
        }
    }

    /// Keeps each line at least at the smallest, and what empties a lot below it as it is.
    fn keep_as_large(&mut self) {
        let lines = self.lines();
        let whole = lines
            .iter()
            .filter(|line| line.kg < line.smallest_kg - EMPTY_KG && line.empties())
            .filter_map(|line| line.lot);
        let whole: Vec<usize> = whole.collect();
        let mut least: BTreeMap<usize, f64> = BTreeMap::new();
        for line in &lines {
            let is_whole = line.lot.is_some_and(|lot| whole.contains(&lot));
            let kg = if is_whole {
                line.kg
            } else {
                line.kg.min(line.enough_kg)
            };
            *least.entry(line.column).or_default() += kg;
        }
        for (column, kg) in least {
            let of = &self.run.walk.model.columns[column];
            let upper = of.upper;
            self.run
                .walk
                .bound(column, kg.min(upper).max(of.lower), upper);
        }
    }
}
