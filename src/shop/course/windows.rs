//! In which hours may a step be done?
//!
//! A stretch is judged sample by sample; it holds where no sample of it shuts the step, so an edge
//! between two samples counts as shut. A window is the part of a stretch in which one may start,
//! the time that the step needs afterwards taken off its end.

use super::{Course, Sample};
use crate::dew_point::dew_point_c;
use crate::shop::climate::{
    DewPointLimits, LayUpLimits, PaintLimits, lay_up_humidity, lay_up_temperature, paint,
    surface_above_dew_point,
};
use crate::shop::steps::StepLimits;

/// A step that air and panel decide on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Judged {
    /// Resin and gel coat, from the pour to the gel.
    LayUp,
    /// Paint, until the film is dry.
    Paint,
}

/// What shuts a step at one moment.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Shut {
    /// Air, panel or resin too cold or too hot.
    pub temperature: bool,
    /// Air too damp.
    pub damp: bool,
    /// Surface too near the dew point.
    pub dew: bool,
}

impl Shut {
    /// Anything at all.
    #[must_use]
    pub const fn any(self) -> bool {
        self.temperature || self.damp || self.dew
    }
}

/// Hours in which one may start.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window {
    /// From, min of the clock.
    pub from_min: i64,
    /// The last moment to start, min of the clock.
    pub to_min: i64,
    /// Coldest of air, panel and resin until the step is over, °C.
    pub coldest_c: f64,
    /// Hottest of them, °C.
    pub hottest_c: f64,
    /// Dampest air, %.
    pub most_humidity_percent: f64,
    /// Smallest distance of the colder panel from the dew point, K.
    pub least_margin_k: f64,
    /// What is laid in it can be sanded some time, even by the late end of the band; always so
    /// for paint, which is not judged by it.
    pub hardens: bool,
}

/// A step through the hours of a course.
#[derive(Debug, Clone, PartialEq)]
pub struct StepHours {
    /// The step.
    pub step: Judged,
    /// Time it needs after the last work at it, min: until the gel, until the film is dry.
    pub rest_min: f64,
    /// Stretches that hold, min of the clock, opening hours or not.
    pub stretches: Vec<(i64, i64)>,
    /// Windows within the opening hours.
    pub windows: Vec<Window>,
    /// Opening hours looked at, h.
    pub open_h: f64,
    /// Of these, hours shut by temperature, by damp, by the dew point, h.
    pub shut_h: [f64; 3],
}

impl StepHours {
    /// Windows in which the step may be planned.
    pub fn usable(&self) -> impl Iterator<Item = &Window> {
        self.windows.iter().filter(|window| window.hardens)
    }

    /// From each such window's start to the end of the rest after its last start, min of the clock.
    #[must_use]
    pub fn spans(&self) -> Vec<(i64, i64)> {
        let rest = self.rest_min.ceil() as i64;
        self.usable().map(|window| (window.from_min, window.to_min + rest)).collect()
    }
}

/// What shuts a step at one moment; a reading that makes no sense shuts it.
#[must_use]
pub fn shut(step: Judged, at: &Sample, limits: &StepLimits) -> Shut {
    match step {
        Judged::LayUp => lay_up_shut(at, &limits.lay_up, limits),
        Judged::Paint => paint_shut(at, &limits.paint),
    }
}

fn lay_up_shut(at: &Sample, warm: &LayUpLimits, limits: &StepLimits) -> Shut {
    let cold = lay_up_temperature(&at.cold(), warm, 0.0).is_shut();
    let hot = lay_up_temperature(&at.hot(), warm, 0.0).is_shut();
    Shut {
        temperature: cold || hot,
        damp: lay_up_humidity(at.humidity_percent, &limits.damp).is_shut(),
        dew: near_dew(at, &limits.dew),
    }
}

fn paint_shut(at: &Sample, limits: &PaintLimits) -> Shut {
    let all = paint(at.air_c, at.humidity_percent, at.cold_panel_c(), limits).is_shut();
    let (damp, dew) =
        (at.humidity_percent > limits.refuse_above_rh_percent, near_dew(at, &limits.dew_point));
    let cold = at.curing_c() < limits.refuse_below_c;
    Shut { temperature: cold || (all && !damp && !dew), damp, dew }
}

fn near_dew(at: &Sample, limits: &DewPointLimits) -> bool {
    surface_above_dew_point(at.air_c, at.humidity_percent, at.cold_panel_c(), limits).is_shut()
}

/// Stretches and windows of a step.
#[must_use]
pub fn of_step(course: &Course, step: Judged, limits: &StepLimits, rest_min: f64) -> StepHours {
    let judged: Vec<Shut> =
        course.samples.iter().map(|sample| shut(step, sample, limits)).collect();
    let stretches = stretches(course, &judged);
    let windows =
        stretches.iter().flat_map(|stretch| windows_of(course, step, *stretch, rest_min)).collect();
    let hours = |of: &dyn Fn(&Shut) -> bool| {
        let open = |one: &Sample| course.open.is_open_at(one.at_min);
        let both = course.samples.iter().zip(&judged);
        let count = both.filter(|(sample, shut)| open(sample) && of(shut)).count();
        count as f64 * super::STEP_MIN as f64 / 60.0
    };
    StepHours {
        step,
        rest_min,
        stretches,
        windows,
        open_h: hours(&|_| true),
        shut_h: [
            hours(&|shut| shut.temperature),
            hours(&|shut| shut.damp),
            hours(&|shut| shut.dew),
        ],
    }
}

fn stretches(course: &Course, judged: &[Shut]) -> Vec<(i64, i64)> {
    let mut found: Vec<(i64, i64)> = Vec::new();
    let mut open_since: Option<(i64, i64)> = None;
    for (sample, shut) in course.samples.iter().zip(judged) {
        open_since = match (open_since, shut.any()) {
            (None, false) => Some((sample.at_min, sample.at_min)),
            (Some((from, _)), false) => Some((from, sample.at_min)),
            (stretch, true) => {
                found.extend(stretch);
                None
            }
        };
    }
    found.extend(open_since);
    found.retain(|(from, to)| to > from);
    found
}

/// The parts of a stretch in which one may start within the opening hours.
fn windows_of(course: &Course, step: Judged, (from, to): (i64, i64), rest_min: f64) -> Vec<Window> {
    let rest = rest_min.ceil() as i64;
    let mut found = Vec::new();
    for (opens, closes) in course.open.openings(from, to) {
        let first = from.max(opens);
        // Whoever pours something that gels has to be there until it has; paint dries alone.
        let last = match step {
            Judged::LayUp => (to - rest).min(closes - rest),
            Judged::Paint => (to - rest).min(closes),
        };
        if last < first {
            continue;
        }
        let during = || {
            let inside = |one: &&Sample| (first..=last + rest).contains(&one.at_min);
            course.samples.iter().filter(inside)
        };
        let least = |of: &dyn Fn(&Sample) -> f64| during().map(of).fold(f64::INFINITY, f64::min);
        let margin = |one: &Sample| {
            dew_point_c(one.air_c, one.humidity_percent)
                .map_or(f64::NAN, |dew_c| one.cold_panel_c() - dew_c)
        };
        found.push(Window {
            from_min: first,
            to_min: last,
            coldest_c: least(&|one| one.cold().coldest().1),
            hottest_c: -least(&|one| -one.hot().hottest().1),
            most_humidity_percent: -least(&|one| -one.humidity_percent),
            least_margin_k: least(&margin),
            hardens: true,
        });
    }
    found
}
