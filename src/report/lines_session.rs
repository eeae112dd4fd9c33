//! Sessions as lines of the report: mix cards and the air.

use super::lines_timetable::clock;
use super::model::*;
use crate::shop::session::MixCard;
use crate::shop::timetable::calendar::DAY_MIN;
use crate::shop::timetable::{Course, Session};

/// Sessions of a plan; `near` is the head over the job against the room.
pub(super) fn sessions(
    of: &Course,
    near: f64,
    name: &dyn Fn(&usize) -> String,
) -> Vec<SessionLine> {
    of.sessions.iter().filter_map(|session| line(of, session, near, name)).collect()
}

fn line(
    of: &Course,
    session: &Session,
    near: f64,
    name: &dyn Fn(&usize) -> String,
) -> Option<SessionLine> {
    let (task, at) = of.tasks.get(session.task)?;
    let laying_from = at.start as f64 + session.setup_min;
    Some(SessionLine {
        session: task.session?,
        day: at.start.div_euclid(DAY_MIN) + 1,
        from: clock(at.start.rem_euclid(DAY_MIN)),
        mixes: session.cards.iter().map(|card| card_line(card, laying_from, name)).collect(),
        air: session.air.as_ref().map(|air| SessionAirLine {
            styrene_g: round6(air.styrene_g),
            laying_min: round6(air.laying_min),
            peak_ppm: round6(air.peak_ppm),
            near_ppm: round6(air.peak_ppm * near),
            levels: air
                .levels
                .iter()
                .map(|(after_min, ppm)| AirLevelLine {
                    after_min: round6(*after_min),
                    ppm: round6(*ppm),
                })
                .collect(),
            clear_after_min: round6(task.task.clears_min),
        }),
    })
}

fn card_line(card: &MixCard, laying_from: f64, name: &dyn Fn(&usize) -> String) -> MixCardLine {
    // The moment of mixing is rounded down, and so is the end: never later than it is.
    let at_min = (laying_from + card.from_min).floor();
    let by_the_clock = |minute: f64| clock((minute as i64).rem_euclid(DAY_MIN));
    MixCardLine {
        what: card.what.to_owned(),
        resin_g: round6(card.resin_g),
        catalyst_g: card.catalyst_g.map(round6),
        catalyst_ml: card.catalyst_ml.map(round6),
        mixed_at: by_the_clock(at_min),
        use_within_min: card.use_by_min.map(round6),
        use_by: card.use_by_min.map(|minutes| by_the_clock((at_min + minutes).floor())),
        shares: card
            .repairs
            .iter()
            .map(|(repair, g)| MixShareLine { repair: name(repair), g: round6(*g) })
            .collect(),
    }
}
