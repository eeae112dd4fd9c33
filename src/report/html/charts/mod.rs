//! Charts as SVG: black, grey, dashes and hatching, so that they read in print and without colour.
//!
//! Widths are in units of a page 720 wide; letters are 12 to 13 of them, which is 9 point on paper.

mod air;
mod axis;
mod cost;
mod night;
mod order;
mod sizes;
mod timetable;
mod track;

pub(super) use air::air;
pub(super) use cost::cost;
pub(super) use night::night;
pub(super) use order::order;
pub(super) use sizes::sizes;
pub(super) use timetable::timetable;
pub(super) use track::track;

use maud::{Markup, html};

/// Width of every chart.
const WIDE: f64 = 720.0;

/// A chart with its heading and what it shows, for whoever cannot see it.
fn chart(title: &str, says: &Markup, high: f64, drawn: &Markup) -> Markup {
    html! {
        figure.chart {
            div.drawing tabindex="0" role="region" aria-label=(title) {
                svg viewBox=(format!("0 0 {WIDE} {high:.0}")) role="img" aria-label=(title) xmlns="http://www.w3.org/2000/svg" {
                    rect x="0" y="0" width=(WIDE) height=(format!("{high:.0}")) fill="#fff" {}
                    (drawn)
                }
            }
            figcaption { strong { (title) } ": " (says) }
        }
    }
}

fn number(value: f64) -> String {
    format!("{value:.1}")
}

/// A straight line.
fn line(from: (f64, f64), to: (f64, f64), width: f64, dashes: &str) -> Markup {
    html! {
        line x1=(number(from.0)) y1=(number(from.1)) x2=(number(to.0)) y2=(number(to.1))
            stroke="#111" stroke-width=(width) stroke-dasharray=[(!dashes.is_empty()).then_some(dashes)] {}
    }
}

/// A box; filled dark, light or not at all.
fn bar(at: (f64, f64), size: (f64, f64), fill: &str) -> Markup {
    html! {
        rect x=(number(at.0)) y=(number(at.1)) width=(number(size.0.max(0.5))) height=(number(size.1))
            fill=(fill) stroke="#111" stroke-width="1" {}
    }
}

/// A box of slanting lines: what may be, against what is likely.
fn hatched(at: (f64, f64), size: (f64, f64)) -> Markup {
    let (wide, high) = size;
    let mut x = 4.0;
    let mut strokes = Vec::new();
    while x < wide + high {
        let from = ((x).min(wide), (x - wide).max(0.0));
        let to = ((x - high).max(0.0), x.min(high));
        strokes.push((from, to));
        x += 5.0;
    }
    html! {
        (bar(at, size, "#fff"))
        @for (from, to) in strokes {
            line x1=(number(at.0 + from.0)) y1=(number(at.1 + from.1)) x2=(number(at.0 + to.0)) y2=(number(at.1 + to.1))
                stroke="#111" stroke-width="0.7" {}
        }
    }
}

/// Words; `anchor` is start, middle or end.
fn words(at: (f64, f64), anchor: &str, text: &str) -> Markup {
    html! {
        text x=(number(at.0)) y=(number(at.1)) text-anchor=(anchor) font-size="12" fill="#111" { (text) }
    }
}

/// Words on a white ground, so that no line runs through them.
fn words_on_white(at: (f64, f64), anchor: &str, text: &str) -> Markup {
    let wide = 6.6 * text.chars().count() as f64 + 4.0;
    let left = match anchor {
        "end" => at.0 - wide + 2.0,
        "middle" => at.0 - wide / 2.0,
        _ => at.0 - 2.0,
    };
    html! {
        rect x=(number(left)) y=(number(at.1 - 11.0)) width=(number(wide)) height="14" fill="#fff" {}
        (words(at, anchor, text))
    }
}

/// A run of straight lines.
fn path(points: &[(f64, f64)], width: f64, dashes: &str) -> Markup {
    let list: Vec<String> =
        points.iter().map(|(x, y)| format!("{},{}", number(*x), number(*y))).collect();
    html! {
        polyline points=(list.join(" ")) fill="none" stroke="#111" stroke-width=(width)
            stroke-dasharray=[(!dashes.is_empty()).then_some(dashes)] {}
    }
}

/// A label no longer than there is room for; the whole of it stands in the table or text as well.
fn cut_to(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_owned();
    }
    let kept: String = text.chars().take(most.saturating_sub(1)).collect();
    format!("{}…", kept.trim_end())
}
