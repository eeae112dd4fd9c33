//! Every mark through several surveys, as a page: a table and a chart a mark.

use maud::{Markup, html};

use super::charts;
use super::frame::{Frame, foot_of_several};
use super::say::{heads, table};
use crate::diagnostic::printable;
use crate::report::record_history::*;
use crate::report::text::of_marks;

/// The page, whole.
#[must_use]
pub fn history_page(found: &History) -> String {
    let body = if found.body.is_empty() { "one body".to_owned() } else { printable(&found.body) };
    let frame = Frame {
        title: format!("{body}, through {} surveys", found.surveys.len()),
        every: every_page(found, &body),
        foot: foot_of_several(),
        header: html! { header { h1 { "Through time: " (body) } (surveys(found)) } },
        main: html! { (raised(found)) (marks(found)) (last(found)) },
    };
    frame.page()
}

fn every_page(found: &History, body: &str) -> Markup {
    html! {
        p.running { (body) ", " (found.surveys.len()) " surveys" }
        @if found.stops.is_empty() {
            p.running { "The last survey records no stop; that is no roadworthiness test." }
        } @else {
            p.running { b { "STOP: " }
                @for (number, stop) in found.stops.iter().enumerate() {
                    @if number > 0 { "; " } (printable(&stop.text))
                } }
        }
    }
}

fn surveys(found: &History) -> Markup {
    let rows: Vec<Vec<Markup>> = (1..)
        .zip(&found.surveys)
        .map(|(number, one): (usize, _)| {
            let said = |text: &str| {
                if text.trim().is_empty() { "not said".to_owned() } else { printable(text) }
            };
            let when = one.on.clone().unwrap_or_else(|| one.date.clone());
            vec![
                html! { (number) },
                html! { (said(&when)) },
                html! { (said(&one.file)) },
                html! { (said(&one.light)) ", " (one.light_is) },
                html! { (said(&one.cleaning)) },
                html! { (one.people) },
                html! { (format!("{:.0} mm", one.end_error_mm)) },
            ]
        })
        .collect();
    html! {
        (table("The surveys", &heads(&["survey", "when", "file", "light", "cleaning", "people", "ends seen to within"]), &rows))
        @if !found.by_day { p { "In the order typed: not every survey gives its day." } }
    }
}

fn raised(found: &History) -> Markup {
    html! {
        section.stop id="stop" {
            h2 { "Stop, by the last survey" }
            @if found.stops.is_empty() { p { "Nothing recorded calls for a stop; that is no roadworthiness test." } }
            ul { @for stop in &found.stops {
                li { strong { (printable(&stop.text)) } @if !stop.marks.is_empty() { " (" (of_marks(&stop.marks)) ")" } }
            } }
        }
        @if !found.referrals.is_empty() {
            section id="specialist" {
                h2 { "Goes to a specialist, by the last survey" }
                ul.told { @for one in &found.referrals {
                    li { @if let Some(mark) = one.mark { "mark " (mark) ", " } (printable(&one.panel)) ": "
                        (printable(&one.reason)) ". Ask " (printable(&one.who)) "." }
                } }
            }
        }
        section id="not-seen" {
            h2 { "What nobody could see, by the last survey" }
            ul.told { @for text in &found.not_seen { li { (printable(text)) } } }
        }
    }
}

/// A mark by its numbers in the last survey that has it.
fn named(of: &TrackLine) -> String {
    let last = of.seen.iter().rev().find(|seen| !seen.marks.is_empty());
    last.map_or_else(String::new, |last| {
        format!("{} of survey {}", of_marks(&last.marks), last.survey)
    })
}

fn marks(found: &History) -> Markup {
    html! {
        section.sheet id="marks" {
            h2 { "The marks" }
            @for of in &found.marks {
                @let name = named(of);
                article.card {
                    h3 { (name) ", " (printable(&of.panel)) ", " (of.side) }
                    (seen(of, &name))
                    @if !of.ran_into.is_empty() { p { "It ran into " (of_marks(&of.ran_into)) "." } }
                    @for size in &of.sizes { (charts::track(found, &format!("{name}, {}", size.what), size)) }
                }
            }
        }
    }
}

fn seen(of: &TrackLine, name: &str) -> Markup {
    let rows: Vec<Vec<Markup>> = of
        .seen
        .iter()
        .map(|one| {
            let sizes: Vec<String> = of
                .sizes
                .iter()
                .filter_map(|size| {
                    let reading = size.readings.iter().find(|it| it.survey == one.survey)?;
                    let figure = format!("{:.0} ± {:.0} mm", reading.size_mm, reading.error_mm);
                    Some(if reading.measured {
                        format!("{} {figure}", size.what)
                    } else {
                        format!("{} ({figure}, carried over)", size.what)
                    })
                })
                .collect();
            let numbers: Vec<String> = one.marks.iter().map(ToString::to_string).collect();
            vec![
                html! { (one.survey) },
                html! { (numbers.join(" + ")) },
                html! { (one.kinds.join(", ")) },
                html! { (one.state.replace('_', " ")) @if !one.why.is_empty() { ": " (printable(&one.why)) } },
                html! { (sizes.join("; ")) },
            ]
        })
        .collect();
    table(
        &format!("Surveys of {name}"),
        &heads(&["survey", "number there", "what", "how it stood", "sizes"]),
        &rows,
    )
}

fn last(found: &History) -> Markup {
    html! {
        section id="limits" {
            h2 { "What a history cannot tell" }
            ul.told { @for text in &found.limits { li { (text) } } }
            h3 { "Files it was made from" }
            ul.told { @for name in &found.files_read { li { (printable(name)) } } }
        }
    }
}
