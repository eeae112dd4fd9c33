//! The search: a strip that is a little too short is sorted out piece by piece until nothing
//! overlaps; then it is shortened again. Counted in moves, so the machine's speed plays no part.

use nalgebra::Vector2;

use super::random::Random;
use super::shape::{Bounds, Lie, Turned};
use super::sheet::{Pose, Sheet, Task};
use super::turn;

/// Lies tried for a piece in one move, and places tried for each.
const LIES: usize = 8;
const PLACES: usize = 8;
/// How many of the best are refined.
const REFINED: usize = 2;
/// Rounds without getting better before a try is given up.
const PATIENCE: usize = 20;

/// Shares by which the strip is shortened: at first, at least, and from anew after the least.
const FIRST_STEP: f64 = 0.08;
const LEAST_STEP: f64 = 0.0005;
const AGAIN_STEP: f64 = 0.01;

/// A layout without overlaps.
#[derive(Clone, Debug)]
pub(super) struct Found {
    pub(super) poses: Vec<Pose>,
    pub(super) length_mm: f64,
}

/// One search from a start, with random numbers of its own.
#[derive(Debug)]
pub(super) struct Lane<'t> {
    task: &'t Task,
    random: Random,
    moves: u64,
    best: Found,
    spare: Turned,
}

#[derive(Clone, Copy, Debug)]
struct Candidate {
    score: f64,
    pose: Pose,
}

impl<'t> Lane<'t> {
    pub(super) fn new(task: &'t Task, start: &Found, random: Random, moves: u64) -> Self {
        let none = Bounds { low: Vector2::zeros(), high: Vector2::zeros() };
        let spare = Turned { parts: Vec::new(), bounds: none };
        Self { task, random, moves, best: start.clone(), spare }
    }

    /// Searches until the moves are used up. More moves only go on from where fewer end.
    pub(super) fn run(mut self) -> Found {
        let bound_mm = self.task.area_bound_mm();
        let mut share = FIRST_STEP;
        while self.moves > 0 && self.best.length_mm > bound_mm * (1.0 + 1e-9) {
            self.moves -= 1;
            let mut sheet = Sheet::new(self.task, &self.best.poses, self.best.length_mm);
            let cut_mm = self.random.between(0.0, self.best.length_mm);
            sheet.shorten(self.best.length_mm * (1.0 - share), cut_mm);
            let mut done = self.sort_out(&mut sheet);
            if !done && self.moves > 0 {
                self.swap_two(&mut sheet);
                done = self.sort_out(&mut sheet);
            }
            // Smaller steps where a larger one fails, then larger ones again.
            if !(done && self.keep(&sheet)) {
                share *= 0.5;
                if share < LEAST_STEP {
                    share = AGAIN_STEP;
                }
            }
        }
        self.best
    }

    /// Keeps a layout if it is sound when measured exactly, and shorter.
    fn keep(&mut self, sheet: &Sheet<'_>) -> bool {
        let mut poses = sheet.poses();
        let laid = self.task.laid(&poses);
        let start_mm = laid.iter().map(|one| one.bounds.low.x).fold(f64::INFINITY, f64::min);
        poses.iter_mut().for_each(|pose| pose.at.x -= start_mm);
        let length = self.task.length_if_sound_mm(&poses);
        let shorter = length.filter(|length_mm| *length_mm < self.best.length_mm);
        if let Some(length_mm) = shorter {
            self.best = Found { poses, length_mm };
        }
        shorter.is_some()
    }

    /// Moves pieces that overlap until none does; true when that is reached.
    fn sort_out(&mut self, sheet: &mut Sheet<'_>) -> bool {
        sheet.forget();
        let mut least_mm = sheet.total_mm();
        let mut least = sheet.poses();
        let mut waited = 0;
        while least_mm > 0.0 && waited < PATIENCE && self.moves > 0 {
            let mut who: Vec<usize> =
                (0..sheet.copies.len()).filter(|number| sheet.lack_mm(*number) > 0.0).collect();
            self.random.shuffle(&mut who);
            for number in who {
                if self.moves > 0 && sheet.lack_mm(number) > 0.0 {
                    self.moves -= 1;
                    self.relocate(sheet, number);
                }
            }
            let total_mm = sheet.total_mm();
            waited = if total_mm < 0.98 * least_mm { 0 } else { waited + 1 };
            if total_mm < least_mm {
                least_mm = total_mm;
                least = sheet.poses();
            }
            sheet.reweigh();
        }
        sheet.take(&least);
        sheet.total_mm() <= 0.0
    }

    /// One move: the best place found for a piece, the present one included.
    fn relocate(&mut self, sheet: &mut Sheet<'_>, who: usize) {
        let Some(copy) = sheet.copies.get(who) else { return };
        let (shape, present) = (copy.shape, copy.pose);
        let now = sheet.score(who, &copy.turned, &present.at, f64::INFINITY);
        let mut best = vec![Candidate { score: now, pose: present }];
        let mut turned = std::mem::replace(&mut self.spare, copy.turned.clone());
        for round in 0..LIES {
            let lie = match round % 4 {
                0 => present.lie,
                1 if shape.any_turn => self.near(present.lie, 50_000),
                2 if shape.any_turn => Lie {
                    turn: self.random.below(turn::FULL as usize) as u32,
                    over: shape.either_side && self.random.below(2) == 1,
                },
                _ => self.random.one_of(&shape.likely).unwrap_or(present.lie),
            };
            shape.turn_into(lie, &mut turned);
            let (low, high) = sheet.room(&turned);
            let reach = (high - low) * 0.1;
            for place in 0..PLACES {
                let (from, to) = if place % 2 == 0 {
                    (low, high)
                } else {
                    let here = present.at.sup(&low).inf(&high);
                    ((here - reach).sup(&low), (here + reach).inf(&high))
                };
                let at = Vector2::new(
                    self.random.between(from.x, to.x),
                    self.random.between(from.y, to.y),
                );
                let enough = best.get(REFINED - 1).map_or(f64::INFINITY, |last| last.score);
                let score = sheet.score(who, &turned, &at, enough);
                if score < enough {
                    let place = best.partition_point(|other| other.score <= score);
                    best.insert(place, Candidate { score, pose: Pose { lie, at } });
                    best.truncate(REFINED);
                }
            }
        }
        let mut winner = best.first().copied();
        for candidate in best {
            if winner.is_some_and(|winner| winner.score <= 0.0) {
                break;
            }
            let refined = self.refine(sheet, who, candidate, &mut turned);
            if winner.is_none_or(|winner| refined.score < winner.score) {
                winner = Some(refined);
            }
        }
        self.spare = turned;
        if let Some(winner) = winner.filter(|winner| winner.pose != present) {
            sheet.put(who, winner.pose);
        }
    }

    fn near(&mut self, lie: Lie, within: u32) -> Lie {
        let by = self.random.below(2 * within as usize + 1) as u32;
        Lie { turn: (lie.turn + turn::FULL + by - within) % turn::FULL, ..lie }
    }

    /// Steps along and across the roll, aslant, and in turn, each shorter when it does not help.
    fn refine(
        &mut self,
        sheet: &Sheet<'_>,
        who: usize,
        from: Candidate,
        turned: &mut Turned,
    ) -> Candidate {
        let Some(shape) = sheet.copies.get(who).map(|copy| copy.shape) else { return from };
        let mut best = from;
        shape.turn_into(best.pose.lie, turned);
        let mut step_mm = turned.bounds.size().min() * 0.1;
        let mut step_turn = 20_000_u32;
        let ways = if shape.any_turn { 6 } else { 4 };
        while step_mm > 0.002 && best.score > 0.0 {
            let way = self.random.below(ways);
            let mut better = false;
            for sign in [1.0, -1.0] {
                let mut pose = best.pose;
                let by = step_mm * sign;
                match way {
                    0 => pose.at.x += by,
                    1 => pose.at.y += by,
                    2 => pose.at += Vector2::new(by, by),
                    3 => pose.at += Vector2::new(by, -by),
                    _ => {
                        let turn = if sign > 0.0 { step_turn } else { turn::FULL - step_turn };
                        pose.lie.turn = (pose.lie.turn + turn) % turn::FULL;
                    }
                }
                if way > 3 {
                    shape.turn_into(pose.lie, turned);
                }
                let (low, high) = sheet.room(turned);
                pose.at = pose.at.sup(&low).inf(&high);
                let score = sheet.score(who, turned, &pose.at, best.score);
                if score < best.score {
                    best = Candidate { score, pose };
                    better = true;
                    break;
                }
            }
            if way > 3 {
                if !better {
                    shape.turn_into(best.pose.lie, turned);
                    step_turn = (step_turn / 2).max(1);
                }
            } else {
                step_mm *= if better { 1.1 } else { 0.6 };
            }
        }
        best
    }

    /// Two pieces of different shape change places.
    fn swap_two(&mut self, sheet: &mut Sheet<'_>) {
        let count = sheet.copies.len();
        let (one, other) = (self.random.below(count), self.random.below(count));
        let poses =
            sheet.copies.get(one).map(|c| c.pose).zip(sheet.copies.get(other).map(|c| c.pose));
        let Some((mine, theirs)) = poses.filter(|_| one != other) else { return };
        for (who, pose, at) in [(one, mine, theirs.at), (other, theirs, mine.at)] {
            let Some(copy) = sheet.copies.get(who) else { continue };
            let (low, high) = sheet.room(&copy.turned);
            sheet.put(who, Pose { at: at.sup(&low).inf(&high), ..pose });
        }
    }
}
