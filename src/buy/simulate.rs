//! How much is really needed? Drawn many times over what nobody knows yet.
//!
//! Every repair comes with a curve worked out before: what it needs (m² of every mat and of
//! tissue) at several sizes of growth. A draw picks growth, tape error, the resin that mat takes
//! and what is lost; the curve is read straight between its points. The same seed gives the same
//! answer, on however many cores: every draw has its own stream.

use rayon::prelude::*;

use super::Exclusion;
use super::random::{Stream, Triangle};
use super::spread::{Distribution, Driver, Factor, NeedSpread, Spread, count};
use super::waste::pots;
use crate::quantity::Cases;
use crate::rules::{Book, id};
use crate::wording::{Fault, above_zero, within};

/// Fewest and most draws.
pub const DRAWS: (u32, u32) = (100, 100_000);

/// Drivers with a smaller share than this are noise of the drawing (choice).
const LEAST_SHARE: f64 = 0.005;

/// A mat that is laid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LaidMat {
    /// Its weight, kg/m².
    pub weight_kg_m2: f64,
    /// Resin over glass by mass, as the stock has it.
    pub resin_ratio: f64,
}

/// What a repair needs, without waste.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct NetNeed {
    /// Every mat, m², in the order of the mats.
    pub mats_m2: Vec<f64>,
    /// Tissue, m².
    pub tissue_m2: f64,
}

/// One repair.
#[derive(Debug, Clone, PartialEq)]
pub struct RepairCurve {
    /// Growth, in whatever measure the curve has.
    pub growth: Triangle,
    /// Needs by growth, growth rising; it covers the whole triangle.
    pub points: Vec<(f64, NetNeed)>,
    /// What a rim one mm farther out adds.
    pub per_mm: NetNeed,
    /// 95 % half-width of the rim's place by tape, mm.
    pub tape_mm: f64,
}

/// What is drawn for the job as a whole.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spreads {
    /// Resin that mat takes, times what the stock says.
    pub resin: Triangle,
    /// Resin lost, times what the rules say.
    pub lost: Triangle,
    /// Mat lost, %.
    pub mat_lost: Triangle,
    /// Chance that all repairs grow alike in a draw.
    pub together: f64,
}

impl Spreads {
    /// The book's: `SPREAD-RESIN`, `SPREAD-WASTE`, `SPREAD-MAT` and `SPREAD-TOGETHER`.
    #[must_use]
    pub fn of_book(book: &Book) -> Self {
        let triangle = |id: &str| {
            let Cases { low, likely, high } = book.cases(id);
            Triangle { low, likely, high }
        };
        Self {
            resin: triangle(id::SPREAD_RESIN),
            lost: triangle(id::SPREAD_WASTE),
            mat_lost: triangle(id::SPREAD_MAT),
            together: book.figure(id::SPREAD_TOGETHER),
        }
    }
}

/// A job to be drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawnJob {
    /// The mats.
    pub mats: Vec<LaidMat>,
    /// Resin in tissue, kg/m².
    pub tissue_resin_kg_m2: f64,
    /// The repairs.
    pub repairs: Vec<RepairCurve>,
    /// What is drawn over.
    pub spreads: Spreads,
    /// Resin that stays in a cup, kg (rule `WASTE-MIX`).
    pub lost_a_mix_kg: f64,
    /// Resin that stays in the tools of a session, kg (rule `WASTE-SESSION`).
    pub lost_a_session_kg: f64,
    /// Resin in the largest pot, kg.
    pub mix_kg: f64,
    /// Resin in the smallest, kg.
    pub least_mix_kg: f64,
    /// Sessions.
    pub sessions: u32,
    /// Marks the job leaves out.
    pub excludes: Vec<Exclusion>,
}

/// What one draw picked.
#[derive(Debug, Clone, PartialEq)]
pub struct Draw {
    /// Growth of every repair, in the measure of its curve.
    pub growth: Vec<f64>,
    /// How far out the tape puts the rim of every repair, mm.
    pub tape_mm: Vec<f64>,
    /// Resin that mat takes, times what the stock says.
    pub resin: f64,
    /// Resin lost, times what the rules say.
    pub lost: f64,
    /// Mat lost, %.
    pub mat_lost: f64,
}

/// Draws a job.
///
/// # Errors
/// Figures that cannot be drawn from: fewer or more draws than [`DRAWS`], triangles that fall or
/// are no numbers, a curve without points, out of order, or that its growth leaves, needs of another
/// number of mats, masses or areas below nothing.
pub fn simulate(job: &DrawnJob, seed: u64, draws: u32) -> Result<Spread, Fault> {
    within("number of draws", f64::from(draws), "", f64::from(DRAWS.0), f64::from(DRAWS.1))?;
    job.check()?;
    let drawn = job.all(seed, draws, None);
    let needs = 1 + job.mats.len();
    let distributions: Vec<Distribution> =
        (0..needs).map(|need| Distribution::of(column(&drawn, need))).collect();
    let mut drivers: Vec<Vec<Driver>> = vec![Vec::new(); needs];
    for factor in job.factors() {
        let fixed = job.all(seed, draws, Some(factor));
        for ((need, whole), found) in distributions.iter().enumerate().zip(&mut drivers) {
            let left = Distribution::of(column(&fixed, need)).variance();
            let share = 1.0 - left / whole.variance();
            if share.is_finite() && share >= LEAST_SHARE {
                found.push(Driver { factor, share });
            }
        }
    }
    let mut spreads = distributions.into_iter().zip(drivers).map(|(distribution, mut drivers)| {
        drivers.sort_by(|one, other| other.share.total_cmp(&one.share));
        NeedSpread { distribution, drivers }
    });
    let empty = NeedSpread { distribution: Distribution::of(Vec::new()), drivers: Vec::new() };
    let resin_kg = spreads.next().unwrap_or(empty);
    let mats_m2 = spreads.collect();
    Ok(Spread { seed, resin_kg, mats_m2, excludes: job.excludes.clone(), draws: drawn })
}

fn column(draws: &[Vec<f64>], need: usize) -> Vec<f64> {
    draws.iter().map(|draw| draw.get(need).copied().unwrap_or(0.0)).collect()
}

impl DrawnJob {
    fn factors(&self) -> impl Iterator<Item = Factor> {
        let growths = (0..self.repairs.len()).map(Factor::Growth);
        growths.chain([Factor::Tape, Factor::ResinTaken, Factor::ResinLost, Factor::MatLost])
    }

    /// Needs of every draw, in order; one factor may be held at its likely value.
    fn all(&self, seed: u64, draws: u32, fixed: Option<Factor>) -> Vec<Vec<f64>> {
        let one = |number| {
            let draw = self.picked(Stream::of_draw(seed, u64::from(number)), fixed);
            self.ordered(&self.read(&draw), &draw)
        };
        (0..draws).into_par_iter().map(one).collect()
    }

    /// One of the draws of a seed.
    #[must_use]
    pub fn draw(&self, seed: u64, number: u32) -> Draw {
        self.picked(Stream::of_draw(seed, u64::from(number)), None)
    }

    /// All numbers of the stream are drawn whatever is fixed, so that nothing else changes with it.
    fn picked(&self, mut stream: Stream, fixed: Option<Factor>) -> Draw {
        let held = |factor: Factor, triangle: &Triangle, share: f64| {
            if fixed == Some(factor) { triangle.likely } else { triangle.quantile(share) }
        };
        let spreads = &self.spreads;
        let resin = held(Factor::ResinTaken, &spreads.resin, stream.next_share());
        let lost = held(Factor::ResinLost, &spreads.lost, stream.next_share());
        let mat_lost = held(Factor::MatLost, &spreads.mat_lost, stream.next_share());
        // In a draw in which all grow alike they share one number; each keeps its own
        // distribution, and any two are correlated by the chance of such draws.
        let alike = stream.next_share() < spreads.together;
        let shared = stream.next_share();
        let (mut growth, mut tape_mm) = (Vec::new(), Vec::new());
        for (number, repair) in self.repairs.iter().enumerate() {
            let own = stream.next_share();
            let share = if alike { shared } else { own };
            growth.push(held(Factor::Growth(number), &repair.growth, share));
            let tape = Triangle::of_tolerance(repair.tape_mm);
            tape_mm.push(held(Factor::Tape, &tape, stream.next_share()));
        }
        Draw { growth, tape_mm, resin, lost, mat_lost }
    }

    /// What all repairs need in a draw, by their curves, without waste.
    #[must_use]
    pub fn read(&self, draw: &Draw) -> NetNeed {
        let mut sum = NetNeed { mats_m2: vec![0.0; self.mats.len()], tissue_m2: 0.0 };
        for ((repair, growth), tape_mm) in self.repairs.iter().zip(&draw.growth).zip(&draw.tape_mm)
        {
            let at = |of: &dyn Fn(&NetNeed) -> f64| {
                (repair.read(*growth, of) + of(&repair.per_mm) * tape_mm).max(0.0)
            };
            for (mat, sum) in sum.mats_m2.iter_mut().enumerate() {
                *sum += at(&|need| need.mats_m2.get(mat).copied().unwrap_or(0.0));
            }
            sum.tissue_m2 += at(&|need| need.tissue_m2);
        }
        sum
    }

    /// Resin (kg) and every mat (m²) to order for a net need, with what a draw loses of them.
    #[must_use]
    pub fn ordered(&self, net: &NetNeed, draw: &Draw) -> Vec<f64> {
        let in_mats: f64 = self
            .mats
            .iter()
            .zip(&net.mats_m2)
            .map(|(mat, area)| mat.weight_kg_m2 * mat.resin_ratio * area)
            .sum();
        let poured = in_mats * draw.resin + self.tissue_resin_kg_m2 * net.tissue_m2;
        let mut needs = Vec::with_capacity(1 + net.mats_m2.len());
        needs.push(self.mixed_and_lost_kg(poured, draw.lost));
        needs.extend(net.mats_m2.iter().map(|area| area * (1.0 + draw.mat_lost / 100.0)));
        needs
    }

    /// Resin to order where so much is poured and `lost` times what the rules say is lost, kg.
    fn mixed_and_lost_kg(&self, poured_kg: f64, lost: f64) -> f64 {
        if poured_kg <= 0.0 {
            return 0.0;
        }
        let (pots, mixed_kg) = pots(poured_kg, self.mix_kg, self.least_mix_kg, self.sessions);
        let in_cups_kg = f64::from(pots) * self.lost_a_mix_kg;
        mixed_kg + lost * (in_cups_kg + f64::from(self.sessions) * self.lost_a_session_kg)
    }

    fn check(&self) -> Result<(), Fault> {
        let most = 1.0e6;
        for mat in &self.mats {
            above_zero("weight of a mat", mat.weight_kg_m2, "kg/m²")?;
            above_zero("resin over glass", mat.resin_ratio, "")?;
        }
        within("resin in tissue", self.tissue_resin_kg_m2, "kg/m²", 0.0, most)?;
        within("resin lost a mix", self.lost_a_mix_kg, "kg", 0.0, most)?;
        within("resin lost a session", self.lost_a_session_kg, "kg", 0.0, most)?;
        above_zero("resin in a mix", self.mix_kg, "kg")?;
        within("resin in the smallest mix", self.least_mix_kg, "kg", 0.0, self.mix_kg)?;
        within("chance that all grow alike", self.spreads.together, "", 0.0, 1.0)?;
        triangle("resin that mat takes", &self.spreads.resin, "times")?;
        triangle("resin lost", &self.spreads.lost, "times")?;
        triangle("mat lost", &self.spreads.mat_lost, "%")?;
        for repair in &self.repairs {
            repair.check(self.mats.len())?;
        }
        Ok(())
    }
}

fn triangle(what: &'static str, given: &Triangle, unit: &'static str) -> Result<(), Fault> {
    if given.is_whole() && given.low >= 0.0 {
        return Ok(());
    }
    let wrong = [given.low, given.likely, given.high];
    let value = wrong.into_iter().find(|value| !value.is_finite()).unwrap_or(given.low);
    Err(Fault::new(what, value, unit, "three figures from 0 that do not fall from low to high"))
}

impl RepairCurve {
    /// A need at a growth, straight between the points on either side.
    fn read(&self, growth: f64, of: &dyn Fn(&NetNeed) -> f64) -> f64 {
        let after = self.points.partition_point(|(at, _)| *at < growth);
        let before = after.saturating_sub(1);
        let point = |number: usize| self.points.get(number).map(|(at, need)| (*at, of(need)));
        match (point(before), point(after).or_else(|| point(before))) {
            (Some((from, low)), Some((to, high))) if to > from => {
                low + (high - low) * (growth - from) / (to - from)
            }
            (Some((_, only)), _) => only,
            _ => 0.0,
        }
    }

    fn check(&self, mats: usize) -> Result<(), Fault> {
        triangle("growth", &self.growth, "")?;
        within("tape error", self.tape_mm, "mm", 0.0, 1000.0)?;
        let (Some(first), Some(last)) = (self.points.first(), self.points.last()) else {
            return Err(Fault::new("number of points of a curve", 0.0, "", "one or more"));
        };
        let wrong = |at: f64| {
            let accepted = format!("points in rising order that cover {} to {}", first.0, last.0);
            Fault::new("growth of a curve", at, "", accepted)
        };
        for pair in self.points.windows(2) {
            if let [one, other] = pair
                && one.0.partial_cmp(&other.0) != Some(std::cmp::Ordering::Less)
            {
                return Err(wrong(other.0));
            }
        }
        // What lies a rounding beyond the curve is no growth beyond it.
        let slack = 1e-9 * (1.0 + last.0.abs());
        for end in [self.growth.low, self.growth.high] {
            if !(first.0 - slack..=last.0 + slack).contains(&end) {
                return Err(wrong(end));
            }
        }
        for need in self.points.iter().map(|(_, need)| need).chain([&self.per_mm]) {
            let given = need.mats_m2.len();
            if given != mats {
                let accepted = format!("{mats}, one a mat");
                return Err(Fault::new("number of areas", count(given), "", accepted));
            }
            for area in need.mats_m2.iter().chain([&need.tissue_m2]) {
                within("area", *area, "m²", 0.0, 1.0e6)?;
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests;
