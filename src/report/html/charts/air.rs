//! The air of the room through a session, against the limits that are held.

use maud::{Markup, html};

use super::super::super::model::{LimitLine, SessionLine};
use super::super::say::Say;
use super::axis::Scale;
use super::{chart, line, path, words, words_on_white};
use crate::quantity::Minutes;

/// Lines of limits closer than this would carry labels over one another.
const APART: f64 = 15.0;

/// Concentration over time; nothing outdoors.
pub(in super::super) fn air(say: &Say<'_>, session: &SessionLine) -> Markup {
    let (Some(air), Some(room)) = (&session.air, &say.report.shop.air) else { return html! {} };
    let Some(end) = air.levels.last().map(|level| level.after_min / 60.0) else {
        return html! {};
    };
    let most = air.near_ppm.max(air.peak_ppm);
    // Even steps for even factors: limits lie from tens to hundreds of ppm.
    let high = most.max(20.0).log10() + 0.15;
    let up = Scale { from: 0.0, to: high, start: 190.0, end: 14.0 };
    let across = Scale { from: 0.0, to: end.max(0.1), start: 60.0, end: 500.0 };
    let level = |ppm: f64| up.at(ppm.max(1.0).log10());
    let mut points = vec![(across.at(0.0), level(1.0))];
    points.extend(air.levels.iter().map(|one| (across.at(one.after_min / 60.0), level(one.ppm))));
    let limits = apart(&room.limits, &level, high);
    let drawn = html! {
        @for tick in across.ticks(8.0) {
            (line((across.at(tick), 190.0), (across.at(tick), 195.0), 1.0, ""))
            (words((across.at(tick), 208.0), "middle", &format!("{tick} h")))
        }
        @for ppm in [1.0_f64, 10.0, 100.0, 1000.0] {
            @if ppm.log10() <= high { (words((54.0, level(ppm) + 4.0), "end", &format!("{ppm:.0} ppm"))) }
        }
        (line((60.0, 190.0), (500.0, 190.0), 0.8, ""))
        (line((60.0, 190.0), (60.0, 14.0), 0.8, ""))
        @for (limit, at, label_at) in &limits {
            (line((60.0, *at), (500.0, *at), 0.8, "6 4"))
            (line((500.0, *at), (510.0, *label_at), 0.5, ""))
            (words((512.0, label_at + 4.0), "start", limit))
        }
        (path(&points, 2.4, ""))
        (line((across.at(air.laying_min / 60.0), level(air.near_ppm)), (across.at(air.laying_min / 60.0) + 14.0, level(air.near_ppm)), 2.4, ""))
        (words_on_white((across.at(air.laying_min / 60.0) + 18.0, level(air.near_ppm) + 4.0), "start", "head over the job while laying"))
    };
    let says = html! {
        (format!("{:.0} g of styrene; the room comes to {:.0} ppm, the head over the job to {:.0} ppm. ", air.styrene_g, air.peak_ppm, air.near_ppm))
        "Nobody works in the room for " (Minutes(air.clear_after_min).in_words())
        " after laying. Each step up is ten times as much; the strictest limit decides, none is there to be chosen. "
        (say.why("shop.air", "Rules"))
    };
    let title = format!("Air of the room, session {}", session.session);
    chart(&title, &says, 216.0, &drawn)
}

/// Limits in the drawing with places for their labels, those of one figure together.
fn apart(limits: &[LimitLine], level: &dyn Fn(f64) -> f64, high: f64) -> Vec<(String, f64, f64)> {
    let mut by_ppm: Vec<(f64, Vec<String>)> = Vec::new();
    for limit in limits.iter().filter(|one| one.ppm >= 1.0 && one.ppm.log10() <= high) {
        // The table of limits has the whole of it; here there is room for thirty letters.
        let over =
            limit.over.replace("average over ", "").replace("immediately dangerous", "danger");
        let said = format!("{} {over}", limit.set);
        match by_ppm.iter_mut().find(|(ppm, _)| (ppm - limit.ppm).abs() < 0.5) {
            Some((_, names)) => names.push(said),
            None => by_ppm.push((limit.ppm, vec![said])),
        }
    }
    by_ppm.sort_by(|one, other| other.0.total_cmp(&one.0));
    let mut lowest = f64::NEG_INFINITY;
    by_ppm
        .into_iter()
        .map(|(ppm, names)| {
            let at = level(ppm);
            let label_at = at.max(lowest + APART);
            lowest = label_at;
            let more = names.len().saturating_sub(1);
            let first = names.first().cloned().unwrap_or_default();
            let more = if more > 0 { format!(" +{more}") } else { String::new() };
            (format!("{ppm:.0}: {first}{more}"), at, label_at)
        })
        .collect()
}
