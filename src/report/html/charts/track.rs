//! One size of a mark through time, with what each survey may be off.

use maud::{Markup, html};

use super::super::super::record_history::{History, SizeReading, SizeSeries};
use super::axis::Scale;
use super::{chart, line, words};

/// Height of the drawing and of its foot.
const HIGH: f64 = 190.0;
const FOOT: f64 = 30.0;

/// A size in every survey that has it; nothing where fewer than two have it.
pub(in super::super) fn track(found: &History, title: &str, of: &SizeSeries) -> Markup {
    if of.readings.len() < 2 {
        return html! {};
    }
    let times: Vec<f64> = (1..=found.surveys.len()).map(|survey| time(found, survey)).collect();
    let (first, last) = (
        times.first().copied().unwrap_or(0.0),
        times.last().copied().unwrap_or(1.0).max(times.first().copied().unwrap_or(0.0) + 1e-6),
    );
    let across = Scale { from: first, to: last, start: 90.0, end: 620.0 };
    let top = of.readings.iter().map(|one| one.size_mm + one.error_mm).fold(1.0, f64::max);
    let up = Scale { from: 0.0, to: top * 1.1, start: HIGH - FOOT, end: 14.0 };
    let drawn = html! {
        @for tick in up.ticks(4.0) {
            (line((80.0, up.at(tick)), (640.0, up.at(tick)), 0.4, "1 3"))
            (words((74.0, up.at(tick) + 4.0), "end", &format!("{tick:.0} mm")))
        }
        (line((80.0, up.at(0.0)), (640.0, up.at(0.0)), 0.8, ""))
        @for (number, day) in days(found, &across) { (words((day, HIGH - 12.0), "middle", &number)) }
        @if let Some((from, to)) = trend(found, of) {
            (line((across.at(from.0), up.at(from.1.max(0.0))), (across.at(to.0), up.at(to.1.max(0.0))), 1.6, "6 4"))
        }
        @for one in &of.readings { (reading(one, across.at(time(found, one.survey)), &up)) }
    };
    let says = html! {
        "full rings were measured, open ones are carried over and count for nothing; the thin lines are what each survey may be off. "
        @if let Some(rate) = &of.rate {
            (format!("The broken line: {:+.0} mm a year, {:+.0} to {:+.0} at 95 %, by surveys of like conditions.", rate.mm_a_year, rate.low_mm_a_year, rate.high_mm_a_year))
        } @else { "No rate: " (of.no_rate) "." }
    };
    chart(title, &says, HIGH, &drawn)
}

fn reading(of: &SizeReading, x: f64, up: &Scale) -> Markup {
    let y = up.at(of.size_mm);
    html! {
        (line((x, up.at(of.size_mm + of.error_mm)), (x, up.at((of.size_mm - of.error_mm).max(0.0))), 1.0, ""))
        circle cx=(format!("{x:.1}")) cy=(format!("{y:.1}")) r="5" fill=(if of.measured { "#111" } else { "#fff" }) stroke="#111" stroke-width="1.5" {}
    }
}

/// Labels of the surveys under the drawing, none of them over another.
fn days(found: &History, across: &Scale) -> Vec<(String, f64)> {
    let mut kept: Vec<(String, f64)> = Vec::new();
    for (number, one) in (1..).zip(&found.surveys) {
        let at = across.at(time(found, number));
        let label = match (&one.on, found.by_day) {
            (Some(on), true) => on.clone(),
            _ => format!("survey {number}"),
        };
        if kept.last().is_none_or(|(_, last)| at - last > 84.0) {
            kept.push((label, at));
        }
    }
    kept
}

/// When a survey was made, in years, or its number where days are not given.
fn time(found: &History, survey: usize) -> f64 {
    let on = survey
        .checked_sub(1)
        .and_then(|number| found.surveys.get(number))
        .and_then(|one| one.on.as_ref())
        .filter(|_| found.by_day);
    let Some(on) = on else { return survey as f64 };
    let mut parts = on.split('-').map(|part| part.parse::<f64>().unwrap_or(1.0));
    let (year, month, day) =
        (parts.next().unwrap_or(0.0), parts.next().unwrap_or(1.0), parts.next().unwrap_or(1.0));
    year + (month - 1.0) / 12.0 + (day - 1.0) / 365.25
}

/// The line of a rate over the surveys it rests on: a line of least squares runs through their middle.
fn trend(found: &History, of: &SizeSeries) -> Option<((f64, f64), (f64, f64))> {
    let rate = of.rate.as_ref()?;
    let used: Vec<(f64, f64)> = of
        .readings
        .iter()
        .filter(|one| one.measured && rate.surveys.contains(&one.survey))
        .map(|one| (time(found, one.survey), one.size_mm))
        .collect();
    let count = used.len() as f64;
    let middle = (
        used.iter().map(|one| one.0).sum::<f64>() / count,
        used.iter().map(|one| one.1).sum::<f64>() / count,
    );
    let at = |time: f64| (time, middle.1 + rate.mm_a_year * (time - middle.0));
    Some((at(used.first()?.0), at(used.last()?.0)))
}
