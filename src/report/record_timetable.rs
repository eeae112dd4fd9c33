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
    /// Sessions: what is mixed when, and the air.
    pub sessions: Vec<SessionLine>,
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

/// A session.
#[derive(Debug, Clone, Serialize)]
pub struct SessionLine {
    /// Its number.
    pub session: usize,
    /// The day, from 1.
    pub day: i64,
    /// When it begins, setting up first.
    pub from: String,
    /// The pots, in order.
    pub mixes: Vec<MixCardLine>,
    /// The air of the room; nothing outdoors or without styrene.
    pub air: Option<SessionAirLine>,
}

/// A mix card.
#[derive(Debug, Clone, Serialize)]
pub struct MixCardLine {
    /// What is in the pot.
    pub what: String,
    /// Weighed out.
    pub resin_g: f64,
    /// Catalyst; nothing where the tin's own ratio holds.
    pub catalyst_g: Option<f64>,
    /// Catalyst.
    pub catalyst_ml: Option<f64>,
    /// Mixed at, by the plan.
    pub mixed_at: String,
    /// Used within, after stirring in; nothing where only the data sheet knows.
    pub use_within_min: Option<f64>,
    /// Used by, where it is mixed at the time of the plan.
    pub use_by: Option<String>,
    /// What it is for.
    pub shares: Vec<MixShareLine>,
}

/// A share of a pot.
#[derive(Debug, Clone, Serialize)]
pub struct MixShareLine {
    /// The repair.
    pub repair: String,
    /// What it takes.
    pub g: f64,
}

/// The air of the room through a session.
#[derive(Debug, Clone, Serialize)]
pub struct SessionAirLine {
    /// Styrene given off, by the highest of the published forms.
    pub styrene_g: f64,
    /// Laying takes.
    pub laying_min: f64,
    /// The highest level, well mixed.
    pub peak_ppm: f64,
    /// The head over the job meanwhile.
    pub near_ppm: f64,
    /// Levels at moments after laying begins, well mixed.
    pub levels: Vec<AirLevelLine>,
    /// Nobody works in the room for so long after laying, and no other session begins.
    pub clear_after_min: f64,
}

/// A level at a moment.
#[derive(Debug, Clone, Serialize)]
pub struct AirLevelLine {
    /// After laying begins.
    pub after_min: f64,
    /// Well mixed.
    pub ppm: f64,
}
