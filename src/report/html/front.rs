//! What comes before anything else, and what stands on every printed page.

use maud::{Markup, html};

use super::super::model::*;
use super::super::text::of_marks;
use super::super::text_safety;
use super::say::{Say, marks};
use super::{Part, Reader};

/// The vehicle, or what there is of it.
pub(super) fn name(report: &Report) -> &str {
    if report.survey.body.is_empty() { "panels of a survey" } else { &report.survey.body }
}

/// Stop lines and exclusions, small, for the head of every printed page.
pub(super) fn every_page(say: &Say<'_>) -> Markup {
    let report = say.report;
    let excludes = &report.materials.high.excludes;
    let marks: Vec<u32> = excludes.iter().filter_map(|one| one.mark).collect();
    html! {
        p.running { (say.user(name(report))) ", surveyed " (say.user(when(report))) }
        @if report.stops.is_empty() {
            p.running { "No stop is recorded; that is no roadworthiness test." }
        } @else {
            p.running {
                b { "STOP: " }
                @for (number, stop) in report.stops.iter().enumerate() {
                    @if number > 0 { "; " }
                    (say.own(&stop.text)) " (" (of(stop)) ")"
                }
            }
        }
        @if !marks.is_empty() {
            p.running { "In no figure: " (of_marks(&marks)) ", referred, held or left." }
        }
    }
}

fn of(stop: &Stop) -> String {
    if stop.marks.is_empty() { "fixing reported failed".to_owned() } else { of_marks(&stop.marks) }
}

fn when(report: &Report) -> &str {
    if report.survey.date.is_empty() { "on no date named" } else { &report.survey.date }
}

/// For whom and for what, in the foot of every printed page.
pub(super) fn foot(say: &Say<'_>) -> Markup {
    let survey = &say.report.survey;
    let client = if survey.client.is_empty() { "nobody named" } else { &survey.client };
    let purpose = if survey.purpose.is_empty() { "no purpose named" } else { &survey.purpose };
    html! {
        p.running {
            "For " (say.user(client)) ", for " (say.user(purpose))
            "; nobody else may rely on it. Not a roadworthiness, structural or insurance approval."
        }
    }
}

/// Title, and who looked when at what for whom.
pub(super) fn head(say: &Say<'_>, reader: Reader) -> Markup {
    let survey = &say.report.survey;
    let facts = [
        ("surveyed", &survey.date),
        ("by", &survey.author),
        ("interest of the author", &survey.interest),
        ("for", &survey.client),
        ("purpose", &survey.purpose),
        ("access allowed", &survey.access),
        ("weather, light, cleaning", &survey.conditions),
        ("readings", &survey.readings),
    ];
    html! {
        header {
            h1 { "Marks and repair: " (say.user(name(say.report))) }
            p.reader { "Page for " (reader.words()) }
            dl.facts {
                @for (word, text) in facts {
                    @if !text.is_empty() { div { dt { (word) } dd { (say.user(text)) } } }
                }
            }
            @if let Some(note) = say.note() { p.evidence { (note) " Drawings are metric." } }
            @if survey.client.is_empty() || survey.purpose.is_empty() {
                p { strong { "Client or purpose not named: nobody may rely on this answer." } }
            }
        }
    }
}

/// Stop lines, referrals, what nobody saw and what is blocked.
pub(super) fn stops(say: &Say<'_>) -> Markup {
    let report = say.report;
    html! {
        section.stop id="stop" aria-labelledby="stop-heading" {
            h2 id="stop-heading" { "Stop" }
            @if report.stops.is_empty() {
                p {
                    "Nothing recorded calls for a stop"
                    @if !report.referrals.is_empty() { " beyond what goes to a specialist below" }
                    "; that is no roadworthiness test."
                }
            } @else {
                ul { @for stop in &report.stops {
                    li { strong { (say.own(&stop.text)) } " (" (of(stop)) ") " (say.own(&stop.rule)) }
                } }
            }
        }
        @if !report.referrals.is_empty() { (referred(say)) }
        section id="not-seen" {
            h2 { "What nobody could see" }
            p { "What was not seen cannot be checked, and no total here speaks for it." }
            (say.told(|page, report| {
                for text in &report.not_seen { page.line(2, text); }
                text_safety::mounts(page, report);
            }))
        }
        @if !report.blocks.is_empty() || report.settings.iter().any(|one| one.weakened) {
            section.blocked id="blocked" {
                h2 { "Blocked, or made less careful" }
                (say.told(text_safety::blocked))
            }
        }
    }
}

/// What comes before any work, as a part; nothing where nothing leads.
pub(super) fn before(say: &Say<'_>) -> Option<Part> {
    let leading: Vec<&Caution> = say.report.cautions.iter().filter(|one| one.leads).collect();
    if leading.is_empty() {
        return None;
    }
    let body = html! {
        ul.told { @for one in leading {
            li { (say.own(&one.text)) " " span.evidence { "(" (one.code) ", " (one.evidence) ")" } }
        } }
    };
    Some(Part::new("before", "Before anything is ground, mixed, warmed or lifted", body))
}

/// Referrals, an entry a mark with all its reasons.
fn referred(say: &Say<'_>) -> Markup {
    let list = super::super::lines_summary::referred(say.report);
    html! {
        section id="specialist" {
            h2 { "Goes to a specialist, never into a do-it-yourself list" }
            ul.told { @for one in &list {
                li {
                    @match one.mark {
                        Some(mark) => { strong { "mark " (marks(&[mark])) } }
                        None => strong { "fixing" },
                    }
                    ", " (say.user(&one.panel)) ": " (say.own(&one.reasons.join("; ")))
                    ". Ask " (say.own(&one.who)) "."
                }
            } }
        }
    }
}

/// Files, version and what this copy is.
pub(super) fn last(say: &Say<'_>, reader: Reader) -> Markup {
    let report = say.report;
    let others = [Reader::Owner, Reader::Inspector, Reader::Shop];
    html! {
        section id="copy" {
            h2 { "This copy" }
            p { "Made by " (report.program.name) " " (report.program.version) ". Only on this page, for " (reader.words()) ": " (reader.only_here()) "." }
            @for other in others.iter().filter(|other| **other != reader) {
                p { "Only on the page for " (other.words()) ": " (other.only_here()) "." }
            }
            h3 { "Not included" }
            ul.told { @for text in &report.not_included { li { (say.own(text)) } } }
            h3 { "Files it was made from" }
            (files(say))
            p.footer {
                "For " (say.user(if report.survey.client.is_empty() { "nobody named" } else { &report.survey.client }))
                ", for " (say.user(if report.survey.purpose.is_empty() { "no purpose named" } else { &report.survey.purpose }))
                "; nobody else may rely on it. Not a roadworthiness, structural or insurance approval. Local law, data sheets and licensed practice come first."
            }
        }
    }
}

fn files(say: &Say<'_>) -> Markup {
    html! {
        ul.told { @for file in &say.report.files {
            li { (say.user(&file.name)) ", SHA-256 " span.hash { (file.sha256) } }
        } }
    }
}
