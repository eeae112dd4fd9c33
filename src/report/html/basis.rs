//! Where every figure comes from: assumptions together, then path, rule, source and reading.

use std::collections::BTreeSet;

use maud::{Markup, html};

use super::super::model::*;
use super::say::{Say, anchor};

/// Assumptions on a sheet of their own, then the rules.
pub(super) fn sections(say: &Say<'_>) -> Markup {
    html! {
        section.sheet id="assumed" {
            h2 { "What was assumed" }
            p { "Each holds until somebody measures or says. A figure that rests on one is no better than it." }
            (assumed(say.report, say))
            h3 { "Settings changed from the default" }
            @if say.report.settings.is_empty() { p { "None." } }
            ul.told { @for one in &say.report.settings {
                li { @if one.weakened { strong { "WEAKENED " } } (say.own(&one.rule)) ": " (say.own(&one.text)) }
            } }
            h3 { "Answered by the user, and relied on" }
            @if say.report.answers_given.is_empty() { p { "Nothing." } }
            ul.told { @for one in &say.report.answers_given {
                li { (say.own(&one.question)) ": " strong { (say.user(&one.answer)) } " " (say.own(&one.rule)) }
            } }
        }
        section.sheet id="from" {
            h2 { "Where the figures come from" }
            p { "A name of a figure that is underlined leads here; a rule leads on to its figure and its source; the reading stands with the mark, as it was written." }
            (paths(say))
            h3 { "Rules" }
            (rules(say))
        }
    }
}

fn assumed(report: &Report, say: &Say<'_>) -> Markup {
    html! {
        @if report.assumptions.is_empty() { p { "Nothing." } }
        ul.told { @for one in &report.assumptions {
            li { (say.own(&one.text)) " " (say.own(&one.rule)) }
        } }
    }
}

fn paths(say: &Say<'_>) -> Markup {
    let report = say.report;
    html! {
        dl.paths {
            @for (path, rules) in &report.basis {
                div id=(anchor(path)) {
                    dt { code { (path) } }
                    dd {
                        @for (number, rule) in rules.iter().enumerate() {
                            @if number > 0 { ", " } (say.own(rule))
                        }
                        (readings(path, report))
                    }
                }
            }
        }
    }
}

/// Which readings a path rests on: the entries of marks, or the shop's.
fn readings(path: &str, report: &Report) -> Markup {
    let marks: Vec<u32> = report.findings.iter().map(|one| one.mark).collect();
    html! {
        @if path.starts_with("findings") || path.starts_with("repairs") {
            ". Readings: entries of "
            @for (number, mark) in marks.iter().enumerate() {
                @if number > 0 { ", " } a href={ "#entry-" (mark) } { "mark " (mark) }
            }
        } @else if path.starts_with("shop") || path.starts_with("timetable") {
            ". Readings: climate from " (report.shop.from) "; " (report.shop.place)
        }
    }
}

fn rules(say: &Say<'_>) -> Markup {
    // A rule is a target of links, so it stands once.
    let mut seen = BTreeSet::new();
    let list: Vec<&RuleLine> =
        say.report.rules.iter().filter(|rule| seen.insert(rule.id.as_str())).collect();
    html! {
        ul.rules { @for rule in &list {
            li id={ "rule-" (rule.id) } {
                strong { (rule.id) } " " (rule.title)
                @if !rule.figure.is_empty() { ": " b { (say.own(&rule.figure)) } }
                "; " (rule.evidence) "; " (rule.source)
            }
        } }
    }
}
