//! What is done when: tasks with hands-on time, waits, people and opening hours.
//!
//! Takes repairs, their hours, the shop's sittings and times; gives a plan in days counted from the
//! start, never dates. Hands-on time is the likely one, waits are those at the late end. Repairs
//! with an open cause have a plan of their own, counted from the day after it is put right; what is
//! blocked, wet, held or referred has none.

pub mod calendar;
pub mod schedule;
pub mod shared;
pub mod tasks;
pub mod warm;

use calendar::Calendar;
use schedule::{Placed, critical, schedule};
use tasks::{Makings, Named, Waits, usual_days};

use super::gel_time::GelClock;
use super::labour::JobHours;
use super::plan::{ShopPlan, clock};
use super::session::{self, MixCard, SessionAir};
use super::sittings::mix_limits;
use crate::damage::Finding;
use crate::model::moment::minutes_of_day;
use crate::model::shop::{CLOSES_MIN, OPENS_MIN, Shop};
use crate::quantity::Case;
use crate::read::job::Job;
use crate::repair::{Plan, Repair, paint};
use crate::rules::id;
use crate::surface::placed::PlacedPanel;

/// What keeps a repair from a plan.
#[derive(Debug, Clone, PartialEq)]
pub enum Timing {
    /// Nothing.
    Free,
    /// An open cause: counted from the day after it is put right.
    AfterCause,
    /// It has no time at all, and why.
    None(String),
}

/// A plan of some repairs.
#[derive(Debug, Clone, PartialEq)]
pub struct Course {
    /// Tasks, by their start.
    pub tasks: Vec<(Named, Placed)>,
    /// Sessions, as they come.
    pub sessions: Vec<Session>,
    /// Tasks that decide when all is done, as numbers into the tasks, first one first.
    pub chain: Vec<usize>,
    /// Hands-on hours of all people together.
    pub hands_on_h: f64,
    /// Days from the first to the last, both counted.
    pub days: i64,
    /// Hours were read, but not for these days, which nobody knows yet.
    pub hours_unread: bool,
    /// Why paint is not in it; none where it is, or where nothing is painted.
    pub no_paint: Option<String>,
}

/// A session of a plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Session {
    /// Its task, as a number into the tasks.
    pub task: usize,
    /// Setting up, before the first pot is mixed, min.
    pub setup_min: f64,
    /// Its pots.
    pub cards: Vec<MixCard>,
    /// The air of the room; none outdoors or without styrene.
    pub air: Option<SessionAir>,
}

/// The timetable of a job.
#[derive(Debug, Clone, PartialEq)]
pub struct Timetable {
    /// Opening hours.
    pub calendar: Calendar,
    /// Nobody gave them.
    pub calendar_assumed: bool,
    /// People.
    pub people: u32,
    /// Repairs that may start.
    pub free: Option<Course>,
    /// Repairs that wait for a cause to be put right.
    pub after_cause: Option<Course>,
    /// Repairs without any time, and why.
    pub untimed: Vec<(usize, String)>,
    /// The free ones at other temperatures, °C, kept all day and night.
    pub warmer: Vec<(f64, Course)>,
    /// Why there is no plan, where there could be one.
    pub wanting: Option<String>,
}

/// Everything the timetable is made from.
#[derive(Debug, Clone, Copy)]
pub struct Scene<'a, 'j> {
    /// The job.
    pub job: &'a Job,
    /// Its panels.
    pub panels: &'a [PlacedPanel<'j>],
    /// Its marks.
    pub findings: &'a [Finding<'j>],
    /// Actions and repairs.
    pub plan: &'a Plan<'j>,
    /// Hours of work.
    pub hours: &'a JobHours,
}

/// Opening hours of a job, and whether nobody gave them.
#[must_use]
pub fn calendar(shop: Option<&Shop>) -> (Calendar, bool) {
    let worker = shop.map(|shop| shop.worker).unwrap_or_default();
    let minutes = |given: Option<&String>, usual: i64| {
        given.and_then(|text| minutes_of_day(text)).unwrap_or(usual)
    };
    let from_min = minutes(shop.and_then(|shop| shop.open_from.as_ref()), OPENS_MIN);
    let to_min = minutes(shop.and_then(|shop| shop.open_to.as_ref()), CLOSES_MIN);
    let named = shop.map(|shop| shop.open_days.clone()).unwrap_or_default();
    let given = shop.is_some_and(|shop| shop.open_from.is_some() && shop.open_to.is_some())
        && !named.is_empty();
    let days = if named.is_empty() { usual_days(worker) } else { named };
    (Calendar { from_min, to_min, days, starts: None }, !given)
}

/// The timetable. `timing` has one entry a repair; `at` works the shop out anew at a temperature.
///
/// # Errors
/// In words, as the shop's own plan.
pub fn of_job(
    scene: &Scene<'_, '_>,
    shop: &ShopPlan,
    timing: &[Timing],
    at: &dyn Fn(f64) -> Result<ShopPlan, String>,
) -> Result<Timetable, String> {
    let (mut calendar, calendar_assumed) =
        self::calendar(scene.job.shop.as_ref().map(|(_, shop)| shop));
    // Where hours were read, day 1 is the day of the first reading.
    calendar.starts = shop.place.course.as_ref().and_then(|course| course.open.starts);
    let of = |wanted: &Timing| -> Vec<usize> {
        (0..scene.plan.repairs.len()).filter(|n| timing.get(*n) == Some(wanted)).collect()
    };
    let untimed = timing.iter().enumerate().filter_map(|(number, one)| match one {
        Timing::None(why) => Some((number, why.clone())),
        _ => None,
    });
    let (free, waiting) = (of(&Timing::Free), of(&Timing::AfterCause));
    let people = shop.place.people;
    let mut found = Timetable {
        people,
        free: None,
        after_cause: None,
        untimed: untimed.collect(),
        warmer: Vec::new(),
        wanting: None,
        calendar_assumed,
        calendar,
    };
    // Nobody knows on which days a cause is put right: no hours that were read are theirs.
    let undated = Calendar { starts: None, ..found.calendar.clone() };
    let first = course(scene, shop, &free, &found.calendar, people, true);
    match (first, course(scene, shop, &waiting, &undated, people, false)) {
        (Ok(one), Ok(other)) => (found.free, found.after_cause) = (one, other),
        (Err(why), _) | (_, Err(why)) => found.wanting = Some(why),
    }
    if let Some(now) = &found.free {
        for warm_c in [20.0, 25.0] {
            if shop.place.pour.is_none_or(|pour| pour.coldest().1 >= warm_c) {
                continue;
            }
            let warmer = at(warm_c)?;
            if let Ok(Some(then)) = course(scene, &warmer, &free, &found.calendar, people, false)
                && (then.days < now.days || (now.no_paint.is_some() && then.no_paint.is_none()))
            {
                found.warmer.push((warm_c, then));
            }
        }
    }
    Ok(found)
}

fn course(
    scene: &Scene<'_, '_>,
    shop: &ShopPlan,
    repairs: &[usize],
    calendar: &Calendar,
    people: u32,
    dated: bool,
) -> Result<Option<Course>, String> {
    course_of(scene, shop, repairs, calendar, (people, dated), paint_m2(scene, repairs))
}

fn course_of(
    scene: &Scene<'_, '_>,
    shop: &ShopPlan,
    repairs: &[usize],
    calendar: &Calendar,
    (people, dated): (u32, bool),
    paint_m2: f64,
) -> Result<Option<Course>, String> {
    if repairs.is_empty() {
        return Ok(None);
    }
    let waits = Waits::of(shop).ok_or(
        "no time for gel or sanding is in sight at the shop's temperatures, or nobody gave them",
    )?;
    let makings = Makings {
        book: &scene.job.book,
        labour: &scene.job.labour,
        shop,
        hours: scene.hours,
        paint_m2,
        waits,
        dated,
    };
    let painted_in_all = scene.hours.paint.likely > 0.0;
    let mut no_paint = match (waits.paint_min, makings.paint_m2 > 0.0) {
        (_, false) if painted_in_all => {
            Some("every region to paint has a repair in it that has no time yet".to_owned())
        }
        (None, true) => Some(
            "at the shop's temperatures the late end of the wait for paint is not in sight"
                .to_owned(),
        ),
        _ => None,
    };
    let plan = |makings: &Makings<'_>| -> Result<_, String> {
        let tasks = tasks::of_repairs(makings, repairs)?;
        let bare: Vec<_> = tasks.iter().map(|one| one.task.clone()).collect();
        Ok(schedule(&bare, calendar, people).map(|placed| (tasks, placed)))
    };
    let mut planned = plan(&makings)?;
    if planned.is_none() && shop.hours.is_some() && dated && no_paint.is_none() {
        // Hours that were read end some time; the work before the paint may still fit.
        let bare = Waits { paint_min: None, ..waits };
        planned = plan(&Makings { waits: bare, ..makings })?;
        no_paint =
            Some("no hours that were read are fit for paint and late enough: read on".to_owned());
    }
    let (tasks, placed) = planned.ok_or_else(|| does_not_fit(shop))?;
    let chain = critical(&placed);
    let hands_on_h = tasks
        .iter()
        .zip(&placed)
        .map(|(one, at)| {
            let crew = if one.task.crew { f64::from(at.people) } else { 1.0 };
            one.task.person_min * crew / 60.0
        })
        .sum();
    let last = placed.iter().map(|one| one.end).max().unwrap_or(0);
    let mut order: Vec<usize> = (0..placed.len()).collect();
    order.sort_by_key(|number| placed.get(*number).map(|one| (one.start, *number)));
    let place_of = |number: &usize| order.iter().position(|one| one == number);
    let chain = chain.iter().filter_map(place_of).collect();
    let both = |number: &usize| Some((tasks.get(*number)?.clone(), *placed.get(*number)?));
    let mut in_order: Vec<(Named, Placed)> = order.iter().filter_map(both).collect();
    // Sessions are numbered as they come.
    let poured = in_order.iter_mut().filter_map(|(task, _)| task.session.as_mut());
    (1..).zip(poured).for_each(|(number, session)| *session = number);
    Ok(Some(Course {
        sessions: sessions(scene, shop, &in_order)?,
        tasks: in_order,
        chain,
        hands_on_h,
        days: (last - 1).div_euclid(calendar::DAY_MIN) + 1,
        hours_unread: shop.hours.is_some() && !dated,
        no_paint,
    }))
}

/// Mix cards and air of every session.
fn sessions(
    scene: &Scene<'_, '_>,
    shop: &ShopPlan,
    tasks: &[(Named, Placed)],
) -> Result<Vec<Session>, String> {
    let words = |fault: crate::wording::Fault| fault.to_string();
    let (book, worker) = (&scene.job.book, shop.place.worker);
    let limits = mix_limits(book, worker);
    let clock = clock(&scene.job.stock).unwrap_or(GelClock::GENERAL_PURPOSE);
    let pouring = tasks.iter().enumerate().filter(|(_, (task, _))| task.session.is_some());
    pouring
        .map(|(number, (task, _))| {
            let sittings: Vec<_> =
                task.sittings.iter().filter_map(|one| shop.sittings.get(*one)).collect();
            let air = match &shop.place.room {
                Some(room) => session::air(room, &sittings, task.task.clears_min),
                None => Ok(None),
            };
            Ok(Session {
                task: number,
                setup_min: tasks::setup_min(book, worker),
                cards: session::cards(shop, &clock, &limits, &sittings).map_err(words)?,
                air: air.map_err(words)?,
            })
        })
        .collect()
}

fn does_not_fit(shop: &ShopPlan) -> String {
    let hours = match &shop.place.course {
        Some(course) => format!(", and all within the hours that {} tells", course.from),
        None => format!(", and all within {} days", schedule::HORIZON_DAYS),
    };
    format!(
        "something does not fit: a session has to be laid and to gel within one day of the shop{hours}"
    )
}

/// Area of the regions that may be painted with these repairs, m2: a region that another repair is
/// still to be made in waits.
fn paint_m2(scene: &Scene<'_, '_>, repairs: &[usize]) -> f64 {
    let of = |these: bool| -> Vec<Repair<'_>> {
        let all = scene.plan.repairs.iter().enumerate();
        all.filter(|(number, _)| repairs.contains(number) == these)
            .map(|(_, repair)| repair.clone())
            .collect()
    };
    let met = |repairs: &[Repair<'_>]| {
        let topcoat = scene.job.survey.topcoat;
        paint::plan(topcoat, scene.panels, scene.findings, &scene.plan.decisions, repairs)
            .cases
            .get(Case::High)
            .clone()
    };
    let others = met(&of(false));
    let own = met(&of(true)).into_iter().filter(|key| !others.contains(key));
    own.map(|key| paint::region_mm2(scene.panels, key)).sum::<f64>() * 1e-6
}

/// Rules that times rest on.
pub const RULES: [&str; 5] =
    [id::TIME_BEFORE, id::SESSION_LONGEST, id::PRIMER_DRY, id::LABOUR_SETUP, id::LABOUR_OWNER];
