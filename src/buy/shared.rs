//! What shared sessions save of what is used up: brushes, sleeves, cups, gloves, coveralls.
//!
//! Takes the plans of [`crate::shop::timetable::shared`] and the table of what is used up by sessions
//! and pots. Filters go by hours at the work, which sharing does not shorten: they are in no saving.

use super::consumables::{JobSize, used_up};
use super::needs::Scene;
use crate::model::packs::Ware;
use crate::shop::timetable::shared::{Effort, Shared, of_repairs};
use crate::shop::timetable::{self, Timing};

/// A ware used up together and alone, in its own unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UsedBoth {
    /// The ware.
    pub ware: Ware,
    /// Together.
    pub together: f64,
    /// Each alone.
    pub alone: f64,
}

/// What sharing saves in one group of repairs.
#[derive(Debug, Clone, PartialEq)]
pub struct Saving {
    /// Sessions, pots and days.
    pub of: Shared,
    /// Counted from the day a cause is put right.
    pub after_cause: bool,
    /// Wares of which sharing takes less.
    pub wares: Vec<UsedBoth>,
}

/// What sharing saves, by groups that may be timed together.
#[must_use]
pub fn of_job(scene: &Scene<'_, '_>, timing: &[Timing]) -> Vec<Saving> {
    let (calendar, _) = timetable::calendar(scene.job.shop.as_ref().map(|(_, shop)| shop));
    let times = timetable::Scene {
        job: scene.job,
        panels: scene.panels,
        findings: scene.findings,
        plan: scene.plan,
        hours: scene.hours,
    };
    let people = scene.shop.place.people;
    let groups = [(Timing::Free, false), (Timing::AfterCause, true)];
    let group = |(wanted, after_cause): (Timing, bool)| {
        let of: Vec<usize> =
            (0..timing.len()).filter(|n| timing.get(*n) == Some(&wanted)).collect();
        let shared = of_repairs(&times, scene.shop, &of, &calendar, people)?;
        let wares = wares(scene, people, &shared);
        Some(Saving { of: shared, after_cause, wares })
    };
    groups.into_iter().filter_map(group).collect()
}

fn wares(scene: &Scene<'_, '_>, people: u32, of: &Shared) -> Vec<UsedBoth> {
    let used = |effort: &Effort| {
        let size = JobSize {
            sessions: effort.sessions,
            mixes: effort.mixes,
            people,
            ..JobSize::default()
        };
        used_up(scene.consumables, &size)
    };
    let (together, alone) = (used(&of.together), used(&of.alone));
    let saved = alone.iter().filter_map(|one| {
        let same = together.iter().find(|of| (of.ware, of.grade) == (one.ware, one.grade));
        let less = same.map_or(0.0, |of| of.amount);
        (one.amount > less).then_some(UsedBoth {
            ware: one.ware,
            together: less,
            alone: one.amount,
        })
    });
    saved.collect()
}
