//! What working several repairs in shared sessions takes, against each by itself.
//!
//! Takes the repairs that may be timed together; gives sessions, setting up, pots, what stays in them
//! and in brushes, and days, once for all together and once added up for each alone. Days are as
//! usual opening days and without paint: a region is painted once, and hours of the air that were read
//! are not looked at, so that both sides compare.

use super::calendar::Calendar;
use super::{Course, Scene, course_of};
use crate::rules::id;
use crate::shop::plan::ShopPlan;
use crate::shop::sittings::GEL_COAT;

/// What some work takes beside the hours at the marks.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Effort {
    /// Sessions.
    pub sessions: u32,
    /// Setting up and clearing away, h, of whoever works.
    pub setup_h: f64,
    /// Pots mixed.
    pub mixes: u32,
    /// Resin that stays in pots and brushes, g (rules `WASTE-MIX` and `WASTE-SESSION`).
    pub left_in_g: f64,
    /// Days from the first to the last, without paint; of several by themselves one after the other.
    pub days: i64,
}

/// Repairs together and each by itself.
#[derive(Debug, Clone, PartialEq)]
pub struct Shared {
    /// The repairs, by number.
    pub repairs: Vec<usize>,
    /// Together.
    pub together: Effort,
    /// Each alone, added up.
    pub alone: Effort,
}

/// Compares repairs that may be timed together; nothing for fewer than two, or where no plan is in
/// sight for all of them both ways.
#[must_use]
pub fn of_repairs(
    scene: &Scene<'_, '_>,
    shop: &ShopPlan,
    repairs: &[usize],
    calendar: &Calendar,
    people: u32,
) -> Option<Shared> {
    if repairs.len() < 2 {
        return None;
    }
    let calendar = Calendar { starts: None, ..calendar.clone() };
    let of = |these: &[usize]| -> Option<Effort> {
        // A region is painted once, with its last repair: paint is in neither.
        let planned = course_of(scene, shop, these, &calendar, (people, false), 0.0).ok()??;
        Some(effort(scene, shop, &planned))
    };
    let together = of(repairs)?;
    let mut alone = Effort::default();
    for repair in repairs {
        let one = of(&[*repair])?;
        alone.sessions += one.sessions;
        alone.setup_h += one.setup_h;
        alone.mixes += one.mixes;
        alone.left_in_g += one.left_in_g;
        alone.days += one.days;
    }
    Some(Shared { repairs: repairs.to_vec(), together, alone })
}

fn effort(scene: &Scene<'_, '_>, shop: &ShopPlan, of: &Course) -> Effort {
    let book = &scene.job.book;
    let sessions = u32::try_from(of.sessions.len()).unwrap_or(u32::MAX);
    let mixes = of.sessions.iter().map(|session| session.cards.len()).sum::<usize>();
    let mixes = u32::try_from(mixes).unwrap_or(u32::MAX);
    // A session with gel coat alone has no laminating brush to clean.
    let lays = |session: &&super::Session| {
        let task = of.tasks.get(session.task);
        let mut sittings = task.iter().flat_map(|(task, _)| &task.sittings);
        sittings.any(|one| shop.sittings.get(*one).is_some_and(|one| one.what != GEL_COAT))
    };
    let brushes = of.sessions.iter().filter(lays).count();
    let brushes = f64::from(u32::try_from(brushes).unwrap_or(u32::MAX));
    Effort {
        sessions,
        setup_h: of.sessions.iter().map(|session| session.setup_min / 60.0).sum(),
        mixes,
        left_in_g: f64::from(mixes) * book.figure(id::WASTE_MIX)
            + brushes * book.figure(id::WASTE_SESSION),
        days: of.days,
    }
}
