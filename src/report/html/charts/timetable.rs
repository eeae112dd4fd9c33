//! Tasks against days: what is done when, and what decides the end.

use maud::{Markup, html};

use super::super::super::model::{CourseLines, TaskLine};
use super::super::say::Say;
use super::axis::Scale;
use super::{bar, chart, cut_to, line, words};

/// Height of a row.
const ROW: f64 = 20.0;
/// Rows of one drawing: more would not fit on a sheet.
const ROWS: usize = 36;

/// A plan of some repairs; `day` goes before a number of a day.
pub(in super::super) fn timetable(
    say: &Say<'_>,
    of: &CourseLines,
    day: &str,
    title: &str,
) -> Markup {
    let numbered: Vec<(usize, &TaskLine)> = (1..).zip(&of.tasks).collect();
    html! {
        @for (sheet, tasks) in numbered.chunks(ROWS).enumerate() {
            @let title = if sheet == 0 { title.to_owned() } else { format!("{title}, continued") };
            (one(say, of, tasks, day, &title))
        }
    }
}

fn one(
    say: &Say<'_>,
    of: &CourseLines,
    tasks: &[(usize, &TaskLine)],
    day: &str,
    title: &str,
) -> Markup {
    let days = of.days.max(1) as f64;
    let scale = Scale { from: 1.0, to: days + 1.0, start: 270.0, end: 705.0 };
    let top = 30.0;
    let high = top + ROW * tasks.len() as f64 + 8.0;
    let drawn = html! {
        @for tick in scale.ticks(9.0) {
            @if tick >= 1.0 && tick <= days {
                (line((scale.at(tick), 22.0), (scale.at(tick), high - 6.0), 0.4, "1 3"))
                (words((scale.at(tick), 16.0), "middle", &format!("{tick:.0}")))
            }
        }
        (words((260.0, 16.0), "end", day))
        @for (row, (number, task)) in tasks.iter().enumerate() {
            @let y = top + ROW * row as f64;
            @let from = scale.at(moment(task.start_day, &task.start_time));
            @let to = scale.at(moment(task.end_day, &task.end_time)).min(705.0);
            @let decides = of.decided_by.contains(number);
            (words((260.0, y + 13.0), "end", &cut_to(&named(task), 40)))
            (bar((from, y + 3.0), ((to - from).max(3.0), 12.0), if decides { "#222" } else { "#ccc" }))
        }
    };
    let says = html! {
        (of.days) " days, " (format!("{:.1}", of.hands_on_h)) " h hands on; dark bars decide the end, grey ones have some time; gaps are waits for cure, for clean air or for opening hours"
        @if let Some(why) = &of.no_paint { "; paint is not in it: " (say.own(why)) }
        ". " (say.why("timetable", "Rules"))
    };
    chart(title, &says, high, &drawn)
}

fn named(task: &TaskLine) -> String {
    let what = match task.session {
        Some(session) => format!("{session}: {}", task.what),
        None => task.what.clone(),
    };
    format!("{what} ({})", task.repairs.join(" "))
}

/// A day with its clock as one figure; a day runs from midnight to midnight.
fn moment(day: i64, clock: &str) -> f64 {
    let mut parts = clock.split(':').map(|part| part.parse::<f64>().unwrap_or(0.0));
    let (hours, minutes) = (parts.next().unwrap_or(0.0), parts.next().unwrap_or(0.0));
    day as f64 + (hours + minutes / 60.0) / 24.0
}

#[cfg(test)]
mod tests {
    use super::moment;

    #[test]
    fn a_clock_is_a_part_of_its_day() {
        assert!((moment(3, "18:00") - 3.75).abs() < 1e-9);
        assert!((moment(1, "08:30") - (1.0 + 8.5 / 24.0)).abs() < 1e-9);
    }
}
