//! Tasks with people, waits and opening hours put in order.
//!
//! List scheduling: of the tasks whose forerunners are placed, the one with the longest chain still
//! behind it goes first, to the earliest minute at which everything it needs is there. A few other
//! orders and smaller crews are tried too, tasks are moved to the front one by one, and the shortest
//! plan is kept, the plain one-after-the-other plan among them: so it is never longer than that one,
//! and one more pair of hands never makes it longer. Minutes throughout; the same input gives the same plan.

use std::sync::Arc;

use super::calendar::Calendar;

/// Days looked ahead.
pub const HORIZON_DAYS: i64 = 400;

/// Something to do.
#[derive(Debug, Clone, PartialEq)]
pub struct Task {
    /// Hands-on time of one person, min.
    pub person_min: f64,
    /// How many can share it.
    pub people_most: u32,
    /// The whole crew is at it; its time is then that of the crew, and nothing else is done.
    pub crew: bool,
    /// It is done in one go within one day, with so many minutes of the day left after it.
    pub in_one_go: Option<f64>,
    /// Forerunners, each with the wait after its end, which nobody can shorten.
    pub after: Vec<(usize, f64)>,
    /// Nobody works in the room for so long after its end.
    pub clears_min: f64,
    /// It has to lie within hours that air and panel allow; none, any will do.
    pub within: Option<Within>,
}

/// Hours that air and panel allow.
#[derive(Debug, Clone, PartialEq)]
pub struct Within {
    /// Stretches of the clock, min, in order.
    pub stretches: Arc<[(i64, i64)]>,
    /// They have to go on for so long after the end of the task, min.
    pub rest_min: f64,
}

impl Within {
    /// The first minute at or after a start at which a stretch may hold it; the start itself where
    /// it does. None where none follows.
    fn start(&self, from: i64, to: i64) -> Option<i64> {
        let to = to + self.rest_min.ceil() as i64;
        let holds = |(first, last): &&(i64, i64)| *first <= from && to <= *last;
        if self.stretches.iter().any(|stretch| holds(&stretch)) {
            return Some(from);
        }
        self.stretches.iter().map(|(first, _)| *first).find(|first| *first > from)
    }
}

/// What a task had to wait for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Because {
    /// Nothing: it starts the plan.
    Nothing,
    /// A forerunner, or the wait after it.
    After(usize),
    /// People or the room, taken by another task.
    Taken(usize),
}

/// A task in its place, minutes of the clock.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Placed {
    /// Its start.
    pub start: i64,
    /// Its end.
    pub end: i64,
    /// What it had to wait for.
    pub because: Because,
    /// How many are at it.
    pub people: u32,
}

/// The plan: each task in its place; none where something does not fit within the horizon.
#[must_use]
pub fn schedule(tasks: &[Task], calendar: &Calendar, people: u32) -> Option<Vec<Placed>> {
    // Each crew by itself, smaller ones too: more hands may then not lead to a worse order.
    let by_crew = (1..=people.max(1)).filter_map(|crew| for_crew(tasks, calendar, crew));
    let mut plan = by_crew.min_by_key(|kept| kept.key)?.plan;
    // Whoever stands idle in a smaller crew still lays with the others.
    for (task, one) in tasks.iter().zip(&mut plan) {
        if task.crew {
            one.people = people.max(1);
        }
    }
    Some(plan)
}

fn for_crew(tasks: &[Task], calendar: &Calendar, crew: u32) -> Option<Kept> {
    let mut best: Option<Kept> = None;
    let hands: Vec<f64> = tasks.iter().map(|task| task.person_min).collect();
    let as_named: Vec<f64> = (0..tasks.len()).map(|number| -(number as f64)).collect();
    for (order, alone) in
        [(chains(tasks), false), (hands, false), (as_named.clone(), false), (as_named, true)]
    {
        keep(&mut best, place(tasks, calendar, crew, &order, alone), &order);
    }
    // One task after another is moved to the front of the order; what shortens the plan stays.
    for _ in 0..ROUNDS {
        let before = best.as_ref()?.key;
        for number in 0..tasks.len() {
            let mut moved = best.as_ref()?.order.clone();
            let top = moved.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            if let Some(slot) = moved.get_mut(number) {
                *slot = top + 1.0;
            }
            keep(&mut best, place(tasks, calendar, crew, &moved, false), &moved);
        }
        if best.as_ref()?.key == before {
            break;
        }
    }
    best
}

/// How often the order is gone through for something better.
const ROUNDS: usize = 6;

/// The best plan so far, with the order it came from.
#[derive(Debug, Clone)]
struct Kept {
    key: (i64, i64),
    plan: Vec<Placed>,
    order: Vec<f64>,
}

fn keep(best: &mut Option<Kept>, plan: Option<Vec<Placed>>, order: &[f64]) {
    let Some(plan) = plan else { return };
    let end = plan.iter().map(|one| one.end).max().unwrap_or(0);
    let key = (end, plan.iter().map(|one| one.start).sum());
    if best.as_ref().is_none_or(|known| key < known.key) {
        *best = Some(Kept { key, plan, order: order.to_vec() });
    }
}

/// The longest chain of hands-on time and waits from each task to the end.
fn chains(tasks: &[Task]) -> Vec<f64> {
    let mut chain: Vec<f64> = tasks.iter().map(|task| task.person_min).collect();
    // As often as there are tasks: forerunners may be named in any order.
    for _ in 0..tasks.len() {
        let mut changed = false;
        for (number, task) in tasks.iter().enumerate() {
            let own = chain.get(number).copied().unwrap_or(0.0);
            for (before, wait) in &task.after {
                let hands = tasks.get(*before).map_or(0.0, |task| task.person_min);
                if let Some(slot) = chain.get_mut(*before)
                    && hands + wait + own > *slot + 1e-9
                {
                    *slot = hands + wait + own;
                    changed = true;
                }
            }
        }
        if !changed {
            break;
        }
    }
    chain
}

/// Who is at work in each minute of work.
struct Board<'c> {
    calendar: &'c Calendar,
    people: u32,
    used: Vec<u32>,
    by: Vec<usize>,
}

impl Board<'_> {
    fn free(&self, work: i64) -> u32 {
        let used = usize::try_from(work).ok().and_then(|work| self.used.get(work)).copied();
        self.people.saturating_sub(used.unwrap_or(0))
    }

    fn holder(&self, work: i64) -> Option<usize> {
        usize::try_from(work).ok().and_then(|work| self.by.get(work)).copied()
    }

    fn take(&mut self, from: i64, to: i64, people: u32, by: usize) {
        let (Ok(from), Ok(to)) = (usize::try_from(from), usize::try_from(to)) else { return };
        if self.used.len() < to {
            self.used.resize(to, 0);
            self.by.resize(to, by);
        }
        for (used, holder) in self.used.iter_mut().zip(&mut self.by).take(to).skip(from) {
            *used += people;
            *holder = by;
        }
    }

    /// The earliest start at or after a minute of work, with what it had to wait for besides.
    fn find(
        &self,
        task: &Task,
        ready: i64,
        length: i64,
        people: u32,
    ) -> Option<(i64, Option<usize>)> {
        let mut start = ready;
        let mut waited = None;
        let horizon = HORIZON_DAYS * self.calendar.day_min();
        while start < horizon {
            if let Some(rest) = task.in_one_go {
                let wanted = length + rest.ceil() as i64;
                if wanted > self.calendar.day_min() {
                    return None;
                }
                if wanted > self.calendar.left_today(start) {
                    start += self.calendar.left_today(start);
                    continue;
                }
            }
            if let Some(within) = &task.within {
                let (from, last) =
                    (self.calendar.clock_at(start), self.calendar.clock_at(start + length - 1));
                let allowed = within.start(from, last + 1)?;
                if allowed != from {
                    // Hours may open while the shop is closed: the next minute of work then.
                    start = self.calendar.work_at(allowed).max(start + 1);
                    continue;
                }
            }
            let taken = (start..start + length).find(|work| self.free(*work) < people);
            if let Some(taken) = taken {
                waited = self.holder(taken).or(waited);
                start = taken + 1;
                continue;
            }
            let mut clearing = start + length..self.cleared(task, start + length);
            if let Some(taken) = clearing.find(|work| self.free(*work) < self.people) {
                waited = self.holder(taken).or(waited);
                start += 1;
                continue;
            }
            return Some((start, waited));
        }
        None
    }

    /// The first minute of work after the room has cleared.
    fn cleared(&self, task: &Task, end_work: i64) -> i64 {
        if task.clears_min <= 0.0 {
            return end_work;
        }
        let end = self.calendar.clock_at(end_work - 1) + 1;
        self.calendar.work_at(end + task.clears_min.ceil() as i64).max(end_work)
    }
}

fn place(
    tasks: &[Task],
    calendar: &Calendar,
    people: u32,
    priority: &[f64],
    one_after_the_other: bool,
) -> Option<Vec<Placed>> {
    let mut board = Board { calendar, people, used: Vec::new(), by: Vec::new() };
    let mut placed: Vec<Option<Placed>> = vec![None; tasks.len()];
    let mut last_end = calendar.clock_at(0);
    for _ in 0..tasks.len() {
        let is_ready = |task: &Task| {
            task.after.iter().all(|(before, _)| placed.get(*before).is_some_and(Option::is_some))
        };
        let (number, task) = tasks
            .iter()
            .enumerate()
            .filter(|(number, task)| {
                placed.get(*number).is_some_and(Option::is_none) && is_ready(task)
            })
            .max_by(|(one, _), (other, _)| {
                let of = |number: &usize| priority.get(*number).copied().unwrap_or(0.0);
                of(one).total_cmp(&of(other)).then(other.cmp(one))
            })?;
        let mut because = Because::Nothing;
        let mut ready = calendar.clock_at(0);
        for (before, wait) in &task.after {
            let end = placed.get(*before).copied().flatten()?.end + wait.ceil() as i64;
            if end >= ready {
                ready = end;
                because = Because::After(*before);
            }
        }
        if one_after_the_other {
            ready = ready.max(last_end);
        }
        let crew = if task.crew { people } else { task.people_most.clamp(1, people) };
        let length = if task.crew {
            task.person_min.ceil() as i64
        } else {
            (task.person_min / f64::from(crew)).ceil() as i64
        };
        let length = length.max(1);
        let (start, waited) = board.find(task, calendar.work_at(ready), length, crew)?;
        if let Some(by) = waited {
            because = Because::Taken(by);
        }
        board.take(start, start + length, crew, number);
        let clear = board.cleared(task, start + length);
        board.take(start + length, clear, people, number);
        let end = calendar.clock_at(start + length - 1) + 1;
        last_end = last_end.max(end);
        let one = Placed { start: calendar.clock_at(start), end, because, people: crew };
        if let Some(slot) = placed.get_mut(number) {
            *slot = Some(one);
        }
    }
    placed.into_iter().collect()
}

/// The chain that decides when all is done, first task first.
#[must_use]
pub fn critical(plan: &[Placed]) -> Vec<usize> {
    let last = plan.iter().enumerate().max_by_key(|(number, one)| (one.end, usize::MAX - number));
    let mut chain = Vec::new();
    let mut at = last.map(|(number, _)| number);
    while let Some(number) = at {
        if chain.contains(&number) {
            break;
        }
        chain.push(number);
        at = match plan.get(number).map(|one| one.because) {
            Some(Because::After(before) | Because::Taken(before)) => Some(before),
            _ => None,
        };
    }
    chain.reverse();
    chain
}

#[cfg(test)]
#[path = "schedule_tests.rs"]
mod tests;
