//! What changed between two surveys, as a page: what is new to stop and to refer first.

use maud::{Markup, html};

use super::charts;
use super::frame::{Frame, foot_of_several};
use super::say::{figure, heads, table};
use crate::diagnostic::printable;
use crate::report::maps::Maps;
use crate::report::record_compare::*;
use crate::report::text::of_marks;
use crate::report::text_compare::summary;

/// The page, whole.
#[must_use]
pub fn changes_page(found: &Comparison, maps: &Maps) -> String {
    let body =
        if found.body.is_empty() { "two surveys".to_owned() } else { printable(&found.body) };
    let frame = Frame {
        title: format!("{body}, what changed"),
        every: every_page(found, &body),
        foot: foot_of_several(),
        header: html! { header { h1 { "What changed: " (body) } (two(found)) } },
        main: html! { (stops(found)) (changed(found, maps)) (last(found)) },
    };
    frame.page()
}

fn every_page(found: &Comparison, body: &str) -> Markup {
    html! {
        p.running { (body) ", " (printable(&found.earlier.date)) " and " (printable(&found.later.date)) }
        @if found.stops.is_empty() {
            p.running { "The later survey records no stop; that is no roadworthiness test." }
        } @else {
            p.running { b { "STOP: " }
                @for (number, stop) in found.stops.iter().enumerate() {
                    @if number > 0 { "; " } (printable(&stop.text)) @if stop.new { " (new)" }
                } }
        }
        p.running { "What was seen and not measured again may have grown: nothing is said of it." }
    }
}

/// The two surveys side by side.
fn two(found: &Comparison) -> Markup {
    let (then, now) = (&found.earlier, &found.later);
    let row = |what: &str, before: &str, today: &str| {
        let said = |text: &str| {
            if text.trim().is_empty() { "not said".to_owned() } else { printable(text) }
        };
        vec![html! { (what) }, html! { (said(before)) }, html! { (said(today)) }]
    };
    let error = |of: &ComparedSurvey| format!("{:.0} mm", of.end_error_mm);
    let rows = vec![
        row("file", &then.file, &now.file),
        row("date", &then.date, &now.date),
        row("by", &then.author, &now.author),
        row("people at the tape", &then.people, &now.people),
        row("light", &then.light, &now.light),
        row("how good it was", &then.light_is, &now.light_is),
        row("cleaning", &then.cleaning, &now.cleaning),
        row("weather", &then.weather, &now.weather),
        row("meter", &then.meter, &now.meter),
        row("sees the end of a crack to within", &error(then), &error(now)),
        row("marks", &then.marks.to_string(), &now.marks.to_string()),
    ];
    html! {
        (table("The two surveys", &heads(&["", "earlier", "later"]), &rows))
        @if !found.unlike.is_empty() {
            p { strong { "Not made alike: " } (printable(&found.unlike.join("; "))) }
        }
    }
}

fn stops(found: &Comparison) -> Markup {
    html! {
        section.stop id="stop" {
            h2 { "Stop, by the later survey" }
            @if found.stops.is_empty() { p { "Nothing recorded calls for a stop; that is no roadworthiness test." } }
            ul { @for stop in &found.stops {
                li { @if stop.new { strong { "NEW: " } } (printable(&stop.text))
                    @if !stop.marks.is_empty() { " (" (of_marks(&stop.marks)) ")" } " " span.evidence { (stop.rule) } }
            } }
        }
        @if !found.referrals.is_empty() {
            section id="specialist" {
                h2 { "Goes to a specialist, new and changed first" }
                ul.told { @for one in &found.referrals {
                    li {
                        strong { @match one.standing { "new" => "NEW: ", "changed" => "CHANGED: ", _ => "as before: " } }
                        @if let Some(mark) = one.mark { "mark " (mark) ", " }
                        (printable(&one.panel)) ": " (printable(&one.reason))
                        @if let Some(before) = &one.before { " (before: " (printable(before)) ")" }
                        ". Ask " (printable(&one.who)) ". " span.evidence { (one.rule) }
                    }
                } }
            }
        }
        @if !found.no_longer.is_empty() {
            section id="no-longer" {
                h2 { "Raised by the earlier survey only: that is no clearance" }
                ul.told { @for one in &found.no_longer {
                    li { @if let Some(mark) = one.mark { "earlier mark " (mark) ", " }
                        (printable(&one.panel)) ": " (printable(&one.text)) "; " (printable(&one.because)) }
                } }
            }
        }
        section id="not-seen" {
            h2 { "What nobody could see, by the later survey" }
            ul.told { @for text in &found.not_seen { li { (printable(text)) } } @for text in &found.alone { li { "panel " (printable(text)) } } }
        }
    }
}

fn changed(found: &Comparison, maps: &Maps) -> Markup {
    html! {
        section id="marks" {
            h2 { "The marks" }
            p { strong { (summary(&found.counts)) } }
            (charts::sizes(found))
            (marks(found))
        }
        section.sheet id="maps" {
            h2 { "Both surveys on one map" }
            (figure(&maps.key.title, &html! {}, &maps.key.svg))
            @for panel in &maps.panels {
                div.panel {
                    h3 { (printable(&panel.panel)) }
                    @for one in panel.stood.iter().chain(&panel.flat).take(if panel.flat_says_more { 2 } else { 1 }) {
                        (figure(&one.title, &html! { (printable(&one.says)) }, &one.svg))
                    }
                }
            }
        }
        (fixings_and_readings(found))
    }
}

fn marks(found: &Comparison) -> Markup {
    let ids = |list: &[u32]| -> String {
        let each: Vec<String> = list.iter().map(ToString::to_string).collect();
        if each.is_empty() { "none".to_owned() } else { each.join(" + ") }
    };
    let rows: Vec<Vec<Markup>> = found
        .marks
        .iter()
        .map(|one| {
            vec![
                html! { (ids(&one.later_marks)) },
                html! { (ids(&one.earlier_marks)) },
                html! { (printable(&one.panel)) ", " (one.side) },
                html! { (if one.kinds_now.is_empty() { &one.kinds_before } else { &one.kinds_now }.join(", ")) },
                html! { strong { (one.words) } },
                html! {
                    @for length in &one.lengths {
                        @if length.claim == "not_measured" { (length.what) " then " (format!("{:.0} mm", length.before_mm)) ", not measured again; " }
                        @else { (length.what) " " (format!("{:.0} to {:.0} mm, {:+.0} ± {:.0}", length.before_mm, length.now_mm, length.change_mm, length.error_mm)) "; " }
                    }
                    @for area in &one.areas { (area.what) " " (format!("{:.4} to {:.4} m²", area.before_m2, area.now_m2)) "; " }
                },
                html! { (printable(&[one.told.join("; "), one.why.clone()].into_iter().filter(|text| !text.is_empty()).collect::<Vec<_>>().join("; "))) },
            ]
        })
        .collect();
    table(
        "Marks in both surveys",
        &heads(&["later", "earlier", "where", "what", "verdict", "size", "besides"]),
        &rows,
    )
}

fn fixings_and_readings(found: &Comparison) -> Markup {
    let fixings: Vec<Vec<Markup>> = found
        .fixings
        .iter()
        .filter(|one| one.asks || one.before != one.now)
        .map(|one| {
            let said =
                |state: &Option<String>| state.clone().unwrap_or_else(|| "not listed".to_owned());
            vec![
                html! { (printable(&one.fixing)) },
                html! { (printable(&one.panel)) },
                html! { (one.carries) },
                html! { (said(&one.before)) },
                html! { (said(&one.now)) },
                html! { (one.words) },
            ]
        })
        .collect();
    let readings: Vec<Vec<Markup>> = found
        .readings
        .iter()
        .map(|one| {
            let mark = |mark: Option<u32>| mark.map_or_else(|| "none".to_owned(), |mark| mark.to_string());
            let above = |figure: Option<f64>| {
                figure.map_or_else(|| "not read".to_owned(), |figure| format!("{figure:+}"))
            };
            vec![
                html! { (mark(one.later_mark)) },
                html! { (mark(one.earlier_mark)) },
                html! { (above(one.before_above)) },
                html! { (above(one.now_above)) },
                html! { (one.verdict.replace('_', " ")) @if !one.why.is_empty() { ": " (printable(&one.why)) } },
            ]
        })
        .collect();
    html! {
        section id="fixings" {
            h2 { "Fixings and readings" }
            @if fixings.is_empty() { p { "No fixing is recorded otherwise than before." } }
            @else { (table("Fixings", &heads(&["fixing", "panel", "carries", "then", "now", "what may be said"]), &fixings)) }
            @if readings.is_empty() { p { "No mark has a reading in either survey." } }
            @else { (table("Readings above each survey's own dry reference", &heads(&["later mark", "earlier mark", "then", "now", "what may be said"]), &readings)) }
        }
    }
}

fn last(found: &Comparison) -> Markup {
    html! {
        section id="limits" {
            h2 { "What a comparison cannot tell" }
            ul.told { @for text in &found.limits { li { (text) } } }
            @if !found.settings.is_empty() {
                h3 { "Settings changed from the default" }
                ul.told { @for one in &found.settings { li { @if one.weakened { strong { "WEAKENED " } } (one.rule) ": " (printable(&one.text)) } } }
            }
            h3 { "Files it was made from" }
            ul.told { @for name in &found.files_read { li { (printable(name)) } } }
        }
    }
}
