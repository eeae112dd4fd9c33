//! Sizes of marks in two surveys, with what both may be off.

use maud::{Markup, html};

use super::super::super::record_compare::Comparison;
use super::axis::Scale;
use super::{bar, chart, cut_to, hatched, line, words};

/// Height of a row.
const ROW: f64 = 26.0;

/// Every length that both surveys measured.
pub(in super::super) fn sizes(found: &Comparison) -> Markup {
    let rows: Vec<_> = found
        .marks
        .iter()
        .flat_map(|mark| mark.lengths.iter().map(move |length| (mark, length)))
        .filter(|(_, length)| length.claim != "not_measured")
        .collect();
    if rows.is_empty() {
        return html! {};
    }
    let most = rows
        .iter()
        .map(|(_, length)| length.before_mm.max(length.now_mm) + length.error_mm)
        .fold(1.0, f64::max);
    let scale = Scale { from: 0.0, to: most, start: 230.0, end: 620.0 };
    let top = 26.0;
    let high = top + ROW * rows.len() as f64 + 6.0;
    let drawn = html! {
        @for tick in scale.ticks(6.0) {
            (line((scale.at(tick), 20.0), (scale.at(tick), high - 4.0), 0.4, "1 3"))
            (words((scale.at(tick), 14.0), "middle", &format!("{tick:.0} mm")))
        }
        @for (row, (mark, length)) in rows.iter().enumerate() {
            @let y = top + ROW * row as f64;
            @let (then, now) = (scale.at(length.before_mm), scale.at(length.now_mm));
            (words((222.0, y + 14.0), "end", &cut_to(&format!("{}, {}", numbers(&mark.later_marks), length.what), 32)))
            (hatched((230.0, y + 2.0), (then - 230.0, 7.0)))
            (bar((230.0, y + 10.0), (now - 230.0, 7.0), "#222"))
            (line((scale.at((length.now_mm - length.error_mm).max(0.0)), y + 13.5), (scale.at(length.now_mm + length.error_mm), y + 13.5), 1.2, ""))
            (line((scale.at(length.now_mm + length.error_mm), y + 10.0), (scale.at(length.now_mm + length.error_mm), y + 17.0), 1.2, ""))
            (words((630.0, y + 14.0), "start", if length.claim == "grown" { "grown" } else if length.claim == "smaller" { "smaller" } else { "within error" }))
        }
    };
    let says = html! {
        "hatched as the earlier survey has it, dark as the later one has it; the thin line is what both may be off together. A change counts only beyond it."
    };
    chart("Sizes, then and now", &says, high, &drawn)
}

fn numbers(marks: &[u32]) -> String {
    let each: Vec<String> = marks.iter().map(ToString::to_string).collect();
    format!("mark {}", each.join(" + "))
}
