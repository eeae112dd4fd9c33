//! Steps in time: one implicit step, and runs with steps short where it is lively.

use super::Slab;
use super::reaction::Reaction;
use super::tridiagonal::{Row, solve};
use crate::shop::integrate::crossing;
use crate::wording::{Fault, above_zero, within};

/// Steps after laying that are taken fully implicit, so that a cold ply on a warm one does not
/// ring.
const FIRST_STEPS: u32 = 4;
/// Iterations between heat and reaction in one step at most.
const ITERATIONS: u32 = 12;
/// They end when no temperature moves by more than this, K.
const SETTLED_K: f64 = 1.0e-5;

/// How finely a run is cut in time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fineness {
    /// Longest step while it is warm and reacting, s.
    pub lively_step_s: f64,
    /// Longest step before the gel, s.
    pub liquid_step_s: f64,
    /// Longest step when little moves, s.
    pub quiet_step_s: f64,
    /// Largest growth of conversion aimed at in one step.
    pub growth: f64,
}

impl Fineness {
    /// As used for answers: 5 s near the peak. Halving all four moves the peaks of 3 to 12 mm by
    /// less than 0.1 K (tested).
    pub const USUAL: Self =
        Self { lively_step_s: 5.0, liquid_step_s: 20.0, quiet_step_s: 120.0, growth: 0.004 };

    /// The same step throughout.
    #[must_use]
    pub const fn even(step_s: f64) -> Self {
        Self { lively_step_s: step_s, liquid_step_s: step_s, quiet_step_s: step_s, growth: 1.0 }
    }
}

/// The slab at one time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moment {
    /// Minutes since the first run began.
    pub minute: f64,
    /// Air, °C.
    pub air_c: f64,
    /// Middle of the plies (all that react), °C.
    pub mid_c: f64,
    /// Hottest place, °C.
    pub hottest_c: f64,
    /// Upper face, °C.
    pub surface_c: f64,
    /// Least conversion of the plies, in the middle of a cell: half a cell inside the face, which
    /// is later by a few per cent with 15 cells.
    pub least_conversion: f64,
    /// The plies are gelled everywhere.
    pub gelled: bool,
}

/// What a run shows.
#[derive(Debug, Clone, PartialEq)]
pub struct Trace {
    /// Moments, one a step.
    pub moments: Vec<Moment>,
    /// Hottest of the run, °C.
    pub peak_c: f64,
    /// When, min.
    pub peak_min: f64,
    /// When the last place gelled, min.
    pub gel_min: Option<f64>,
    /// When the least conversion reached 0.75, min.
    pub sandable_min: Option<f64>,
    /// Least conversion at 24 h; none where the run ended before.
    pub conversion_at_24_h: Option<f64>,
}

/// Room for one step's figures, kept between steps.
#[derive(Debug, Clone, Default)]
pub(super) struct Work {
    before_c: Vec<f64>,
    heat_j_m2: Vec<f64>,
    solution: Vec<f64>,
    rows: Vec<Row>,
}

impl<R: Reaction> Slab<R> {
    /// One step of `step_s` seconds with the air at `air_c`. Gives the fastest growth of
    /// conversion in it, 1/s.
    ///
    /// Trapezoidal in the conduction; conversion by the midpoint rule on the temperatures at
    /// both ends; both are repeated until they agree. The heat of the conversion that is
    /// kept is exactly the heat that went into the temperatures.
    pub fn step(&mut self, step_s: f64, air_c: f64) -> f64 {
        let implicit = if self.steps_since_laid < FIRST_STEPS { 1.0 } else { 0.5 };
        let mut work = std::mem::take(&mut self.work);
        work.before_c.clear();
        work.before_c.extend(self.cells.iter().map(|cell| cell.t_c));
        let flows_before = self.flows(&work.before_c, air_c);
        work.solution.clone_from(&work.before_c);
        let mut fastest = 0.0_f64;
        for _ in 0..ITERATIONS {
            fastest = 0.0;
            work.heat_j_m2.clear();
            for (cell, (from, to)) in
                self.cells.iter().zip(work.before_c.iter().zip(&work.solution))
            {
                let growth = if cell.reacts {
                    let (state, _) = self.reaction.advance(cell.state, (*from, *to), step_s / 60.0);
                    state.conversion - cell.state.conversion
                } else {
                    0.0
                };
                fastest = fastest.max(growth / step_s);
                work.heat_j_m2.push(growth * cell.heat_j_m2);
            }
            let last = std::mem::take(&mut work.solution);
            self.fill(&mut work, &flows_before, step_s, air_c, implicit);
            solve(&mut work.rows, &mut work.solution);
            let moved = last
                .iter()
                .zip(&work.solution)
                .map(|(one, other)| (one - other).abs())
                .fold(0.0, f64::max);
            if moved < SETTLED_K {
                break;
            }
        }
        let flows_after = self.flows(&work.solution, air_c);
        let lost = |flows: &[f64]| {
            flows.last().copied().unwrap_or(0.0) - flows.first().copied().unwrap_or(0.0)
        };
        self.lost_j_m2 +=
            step_s * (implicit * lost(&flows_after) + (1.0 - implicit) * lost(&flows_before));
        let (reaction, minute) = (&self.reaction, self.minute);
        for (cell, ((from, to), heat)) in
            self.cells.iter_mut().zip(work.before_c.iter().zip(&work.solution).zip(&work.heat_j_m2))
        {
            cell.t_c = *to;
            if cell.reacts {
                let (state, gel) = reaction.advance(cell.state, (*from, *to), step_s / 60.0);
                if cell.gel_min.is_none() {
                    cell.gel_min = gel.map(|after| minute + after);
                }
                // The conversion whose heat is in the temperatures, not the hair beyond it.
                let conversion = if cell.heat_j_m2 > 0.0 {
                    cell.state.conversion + heat / cell.heat_j_m2
                } else {
                    state.conversion
                };
                cell.state = super::State { conversion, ..state };
                self.released_j_m2 += heat;
            }
        }
        self.work = work;
        self.minute += step_s / 60.0;
        self.steps_since_laid += 1;
        fastest
    }

    /// Heat flowing upwards through every face from the bottom up, W/m².
    fn flows(&self, t_c: &[f64], air_c: f64) -> Vec<f64> {
        let through = |h: f64, cell: &super::Cell| h / (1.0 + h * cell.half_resistance);
        let mut flows = Vec::with_capacity(t_c.len() + 1);
        let mut below: Option<(&super::Cell, f64)> = None;
        for (cell, t) in self.cells.iter().zip(t_c) {
            flows.push(match below {
                None => through(self.faces.below_w_m2_k, cell) * (air_c - t),
                Some((under, under_c)) => {
                    (under_c - t) / (under.half_resistance + cell.half_resistance)
                }
            });
            below = Some((cell, *t));
        }
        if let Some((cell, t)) = below {
            flows.push(through(self.faces.above_w_m2_k, cell) * (t - air_c));
        }
        flows
    }

    fn fill(&self, work: &mut Work, flows: &[f64], step_s: f64, air_c: f64, implicit: f64) {
        let through = |h: f64, cell: &super::Cell| h / (1.0 + h * cell.half_resistance);
        work.rows.clear();
        let above = self.cells.iter().skip(1).map(Some).chain([None]);
        let mut under: Option<&super::Cell> = None;
        let known = work.before_c.iter().zip(&work.heat_j_m2).zip(flows.windows(2));
        for ((cell, over), ((before_c, heat), flow)) in self.cells.iter().zip(above).zip(known) {
            let explicit = match flow {
                [into, out] => (1.0 - implicit) * (into - out),
                _ => 0.0,
            };
            let per_s = cell.capacity_j_m2_k / step_s;
            let mut row = Row {
                before: 0.0,
                on: per_s,
                after: 0.0,
                right: per_s * before_c + heat / step_s + explicit,
            };
            match under {
                Some(under) => {
                    let link = implicit / (under.half_resistance + cell.half_resistance);
                    row.before = -link;
                    row.on += link;
                }
                None => {
                    let link = implicit * through(self.faces.below_w_m2_k, cell);
                    row.on += link;
                    row.right += link * air_c;
                }
            }
            match over {
                Some(over) => {
                    let link = implicit / (over.half_resistance + cell.half_resistance);
                    row.after = -link;
                    row.on += link;
                }
                None => {
                    let link = implicit * through(self.faces.above_w_m2_k, cell);
                    row.on += link;
                    row.right += link * air_c;
                }
            }
            work.rows.push(row);
            under = Some(cell);
        }
    }

    /// The slab as it is now.
    #[must_use]
    pub fn moment(&self, air_c: f64) -> Moment {
        let plies = || self.cells.iter().filter(|cell| cell.reacts);
        let count = plies().count();
        // The middle one, or the mean of the middle two.
        let middle: Vec<f64> = plies()
            .skip(count.saturating_sub(1) / 2)
            .take(2 - count % 2)
            .map(|cell| cell.t_c)
            .collect();
        Moment {
            minute: self.minute,
            air_c,
            mid_c: middle.iter().sum::<f64>() / (middle.len().max(1) as f64),
            hottest_c: self.cells.iter().map(|cell| cell.t_c).fold(f64::NEG_INFINITY, f64::max),
            surface_c: self.upper_face_c(air_c),
            least_conversion: plies().map(|cell| cell.state.conversion).fold(1.0, f64::min),
            gelled: plies().all(|cell| self.reaction.gelled(&cell.state)),
        }
    }

    /// When the last place gelled, min; none while some place is liquid.
    #[must_use]
    pub fn gel_min(&self) -> Option<f64> {
        self.cells
            .iter()
            .filter(|cell| cell.reacts)
            .try_fold(0.0_f64, |latest, cell| Some(latest.max(cell.gel_min?)))
    }

    /// Runs to `end_min` or until `go_on` says no; `air_c` is the air by the minute.
    ///
    /// # Errors
    /// An end outside 0 to 60 days, steps that are not above zero.
    pub fn run(
        &mut self,
        air_c: &impl Fn(f64) -> f64,
        end_min: f64,
        fineness: &Fineness,
        mut go_on: impl FnMut(&Moment) -> bool,
    ) -> Result<(), Fault> {
        within("end of the run", end_min, "min", 0.0, 86_400.0)?;
        for step in [fineness.lively_step_s, fineness.liquid_step_s, fineness.quiet_step_s] {
            above_zero("step", step, "s")?;
        }
        let growth = above_zero("growth in one step", fineness.growth, "")?;
        let shortest_s =
            fineness.lively_step_s.min(fineness.liquid_step_s).min(fineness.quiet_step_s);
        let (mut last_s, mut fastest) = (shortest_s, 0.0_f64);
        let mut now = self.moment(air_c(self.minute));
        while self.minute < end_min - 1.0e-9 {
            let lively = fastest > 2.0e-5 && now.hottest_c - now.air_c > 2.0;
            let longest_s = match (lively, now.gelled) {
                (true, _) => fineness.lively_step_s,
                (false, false) => fineness.liquid_step_s,
                (false, true) => fineness.quiet_step_s,
            };
            let by_growth_s = if fastest > 0.0 { growth / fastest } else { longest_s };
            let left_s = (end_min - self.minute) * 60.0;
            let step_s =
                longest_s.min(by_growth_s.max(shortest_s / 16.0)).min(last_s * 1.5).min(left_s);
            // The last bit of a run must not leave the next one with tiny steps.
            last_s = if step_s < left_s { step_s } else { step_s.max(last_s) };
            fastest = self.step(step_s, air_c(self.minute + step_s / 120.0));
            now = self.moment(air_c(self.minute));
            if !go_on(&now) {
                break;
            }
        }
        Ok(())
    }

    /// Runs to `end_min` and keeps what it shows.
    ///
    /// # Errors
    /// As [`Slab::run`].
    pub fn trace(
        &mut self,
        air_c: &impl Fn(f64) -> f64,
        end_min: f64,
        fineness: &Fineness,
    ) -> Result<Trace, Fault> {
        let start = self.moment(air_c(self.minute));
        let mut moments = vec![start];
        self.run(air_c, end_min, fineness, |now| {
            moments.push(*now);
            true
        })?;
        let hottest = moments.iter().max_by(|one, other| one.hottest_c.total_cmp(&other.hottest_c));
        let (peak_c, peak_min) =
            hottest.map_or((start.hottest_c, 0.0), |now| (now.hottest_c, now.minute));
        Ok(Trace {
            peak_c,
            peak_min,
            gel_min: self.gel_min(),
            sandable_min: reached(&moments, 0.75),
            conversion_at_24_h: conversion_at(&moments, 1440.0),
            moments,
        })
    }
}

/// When the least conversion of a trace reached a target, min.
#[must_use]
pub fn reached(moments: &[Moment], target: f64) -> Option<f64> {
    moments.windows(2).find_map(|pair| match pair {
        [from, to] if to.least_conversion >= target && from.least_conversion < target => {
            Some(crossing(
                (from.minute, from.least_conversion),
                (to.minute, to.least_conversion),
                target,
            ))
        }
        _ => None,
    })
}

fn conversion_at(moments: &[Moment], minute: f64) -> Option<f64> {
    moments.windows(2).find_map(|pair| match pair {
        [from, to] if to.minute >= minute - 1.0e-6 && from.minute < minute => {
            let share = ((minute - from.minute) / (to.minute - from.minute)).clamp(0.0, 1.0);
            Some(from.least_conversion + (to.least_conversion - from.least_conversion) * share)
        }
        _ => None,
    })
}
