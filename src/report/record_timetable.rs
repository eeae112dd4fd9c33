//! The timetable in the record: days counted from the start, never dates.

use serde::Serialize;

use super::record_work::Exclusion;

/// What is done when.
#[derive(Debug, Clone, Serialize)]
pub struct TimetableLines {
    /// Opening hours and days, in words.
    pub open: String,
    /// Nobody gave them.
    pub open_assumed: bool,
    /// People at work.
    pub people: u32,
    /// Repairs that may start at once.
    pub free: Option<CourseLines>,
    /// Repairs whose cause has to be put right first: day 1 is the day after it is.
    pub after_cause: Option<CourseLines>,
    /// Repairs without any time.
    pub untimed: Vec<UntimedLine>,
    /// Days that the free ones would take with the shop, the panels and the resin kept warmer.
    pub warmer: Vec<WarmerLine>,
    /// Why there is no plan, where there could be one.
    pub wanting: Option<String>,
    /// What is in no time above.
    pub excludes: Vec<Exclusion>,
}

/// A plan of some repairs.
#[derive(Debug, Clone, Serialize)]
pub struct CourseLines {
    /// Days from the first to the last, both counted.
    pub days: i64,
    /// Hands-on hours of all people together, the likely ones.
    pub hands_on_h: f64,
    /// Tasks, by their start.
    pub tasks: Vec<TaskLine>,
    /// Hours of the air were read, but not for these days, which nobody knows yet.
    pub hours_unread: bool,
    /// Why paint is not in it; nothing where it is, or where nothing is painted.
    pub no_paint: Option<String>,
    /// Tasks that decide when all is done, first one first, as numbers into the tasks from 1.
    pub decided_by: Vec<usize>,
}

/// A task.
#[derive(Debug, Clone, Serialize)]
pub struct TaskLine {
    /// What is done.
    pub what: String,
    /// The repairs.
    pub repairs: Vec<String>,
    /// The session in which it pours, from 1.
    pub session: Option<usize>,
    /// The day it starts, from 1.
    pub start_day: i64,
    /// Its weekday.
    pub start_weekday: String,
    /// By the clock.
    pub start_time: String,
    /// The day it ends.
    pub end_day: i64,
    /// By the clock.
    pub end_time: String,
    /// How many are at it.
    pub people: u32,
    /// What comes after it without anybody's hands.
    pub then: String,
}

/// A repair without any time.
#[derive(Debug, Clone, Serialize)]
pub struct UntimedLine {
    /// The repair.
    pub repair: String,
    /// Why.
    pub why: String,
}

/// The same work in a warmer shop.
#[derive(Debug, Clone, Serialize)]
pub struct WarmerLine {
    /// Air, panels and resin, day and night.
    pub air_c: f64,
    /// Days it would take.
    pub days: i64,
    /// Paint is in these days.
    pub with_paint: bool,
    /// The caution that goes with it.
    pub caution: String,
}
