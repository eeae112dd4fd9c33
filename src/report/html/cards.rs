//! Marks, panel by panel: drawings, photographs, and a card a mark.

use std::collections::BTreeMap;

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD as BASE64;
use maud::{Markup, html};

use super::super::build::numbers;
use super::super::maps::{Drawing, Maps, PanelMap};
use super::super::model::*;
use super::super::photos::Photo;
use super::super::text_marks::place_error;
use super::Pictures;
use super::say::{Say, figure, heads, marks, table};
use crate::diagnostic::printable;

/// What a card holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Card {
    /// What it is, how far it goes, what to do and what to look at.
    Told,
    /// What was measured, and nothing judged.
    Measured,
    /// Where it is and what is done.
    Short,
}

/// Views of the whole body with their key, and what holds for the drawings of several panels.
pub(super) fn body(say: &Say<'_>, pictures: &Pictures) -> Markup {
    let maps = &pictures.maps;
    html! {
        div.overview { @for one in &maps.overview { (figure(&one.title, &html! {}, &one.svg)) } }
        p.evidence { "The views are for finding one's way: nothing is measured on them." }
        (figure(&maps.key.title, &html! {}, &maps.key.svg))
        @let common = said_of_several(maps);
        @if !common.is_empty() { ul.told { @for text in &common { li { (say.own(text)) } } } }
        @for photo in pictures.photos.iter().filter(|one| one.mark.is_none()) { (photograph(photo)) }
    }
}

/// What is said of more than one panel: once is enough.
fn said_of_several(maps: &Maps) -> Vec<&str> {
    let mut times: BTreeMap<&str, usize> = BTreeMap::new();
    for text in maps.panels.iter().flat_map(|panel| &panel.says) {
        *times.entry(text).or_default() += 1;
    }
    times.into_iter().filter(|(_, count)| *count > 1).map(|(text, _)| text).collect()
}

/// Every panel that has marks or drawings, with a card for each mark.
pub(super) fn panels(say: &Say<'_>, pictures: &Pictures, card: Card) -> Markup {
    let report = say.report;
    let common = said_of_several(&pictures.maps);
    html! {
        @for panel in &report.panels {
            @let drawn = pictures.maps.panels.iter().find(|one| one.panel == panel.name);
            @let on: Vec<&FindingLine> = report.findings.iter().filter(|one| one.panel == panel.name).collect();
            @if !on.is_empty() || drawn.is_some() {
                div.panel {
                    h3 { (say.user(&panel.name)) }
                    p { (say.own(&format!("{:.2} m² outer side, {}", panel.area_m2, glass(panel)))) }
                    @if let Some(drawn) = drawn {
                        @for one in shown(drawn, card) { (map(say, one)) }
                        @let own: Vec<&String> = drawn.says.iter().filter(|text| !common.contains(&text.as_str())).collect();
                        @if !own.is_empty() { ul.told { @for text in own { li { (say.own(text)) } } } }
                    }
                    @for one in on { (of_mark(say, one, pictures, card)) }
                }
            }
        }
    }
}

/// An owner is shown each panel once; what is laid flat is for whoever measures and cuts.
fn shown(of: &PanelMap, card: Card) -> Vec<&Drawing> {
    let most = if card != Card::Told && of.flat_says_more { 2 } else { 1 };
    of.stood.iter().chain(&of.flat).take(most).collect()
}

fn map(say: &Say<'_>, of: &Drawing) -> Markup {
    // The sentence for whoever cannot see it begins with the title.
    let says = of.says.strip_prefix(&of.title).unwrap_or(&of.says).trim_start_matches(['.', ' ']);
    figure(&of.title, &say.own(says), &of.svg)
}

fn glass(panel: &PanelLine) -> String {
    let how = if panel.glass_measured { "measured" } else { "not measured" };
    format!("{}, glass {:.1} mm ({how})", panel.material, panel.glass_mm)
}

/// What is done about a mark, in words that cannot be misread.
pub(super) fn action(one: &FindingLine) -> Markup {
    html! {
        @match one.action.as_str() {
            "refer" => strong { "goes to a specialist" },
            "held" => { "held until mark " (numbers(&one.held_by)) " is settled" },
            "repair" => { "repair " @if let Some(repair) = &one.repair { a href={ "#repair-" (repair) } { (repair) } } },
            "watch" => "watch it: measure it again at the next survey",
            other => (other),
        }
    }
}

fn of_mark(say: &Say<'_>, one: &FindingLine, pictures: &Pictures, card: Card) -> Markup {
    html! {
        article.card id={ "mark-" (one.mark) } .refer[one.action == "refer"] {
            h4 { "Mark " (one.mark) ": " (one.kind) @if card != Card::Measured { span.action { (action(one)) } } }
            dl.points {
                div { dt { (say.why("findings[].place_mm", "where")) } dd {
                    (say.user(&one.region)) ", " (one.side) ", "
                    (say.own(&format!("u {:.0} mm, v {:.0} mm, {}", one.place_mm.u, one.place_mm.v, place_error(one))))
                } }
                (sizes(say, one, card))
                @if card != Card::Short { (seen(say, one)) }
                @if card == Card::Told { (causes(say, one)) }
            }
            @if card != Card::Measured && !one.notes.is_empty() {
                ul.told { @for note in &one.notes { li { (say.own(&note.text)) " " (say.own(&note.rule)) } } }
            }
            @for photo in pictures.photos.iter().filter(|photo| photo.mark == Some(one.mark)) {
                (photograph(photo))
            }
            @if card != Card::Measured { (entry(say, one)) }
        }
    }
}

/// The entry as it was written: the reading behind every figure of the mark.
fn entry(say: &Say<'_>, one: &FindingLine) -> Markup {
    html! {
        details.aside {
            summary { "The reading behind these figures, as written" }
            // A link to a place inside opens what it lies in.
            div id={ "entry-" (one.mark) } {
                p.evidence { (say.user(&one.written_at)) }
                (say.entry(&one.as_written))
            }
        }
    }
}

/// Every entry, open, word for word.
pub(super) fn entries(say: &Say<'_>) -> Markup {
    html! {
        @for one in &say.report.findings {
            div id={ "entry-" (one.mark) } {
                h4 { "Mark " (marks(&[one.mark])) span.evidence { " " (say.user(&one.written_at)) } }
                (say.entry(&one.as_written))
            }
        }
    }
}

fn sizes(say: &Say<'_>, one: &FindingLine, card: Card) -> Markup {
    let grown_length = one.grown_length_mm.as_ref().filter(|_| card != Card::Measured);
    let grown_area = one.grown_area_m2.as_ref().filter(|_| card != Card::Measured);
    html! {
        @if let Some(seen) = one.length_mm {
            div { dt { "length as seen" } dd { (say.own(&format!("{seen:.0} mm"))) } }
        }
        @if let Some(grown) = grown_length {
            div { dt { (say.why("findings[].grown_length_mm", "after grinding it may be")) }
                dd { (say.three(grown, 0, "mm", false)) } }
        }
        @if let Some(seen) = one.area_m2 {
            div { dt { "area as seen" } dd { (say.own(&format!("{seen:.4} m²"))) } }
        }
        @if let Some(grown) = grown_area {
            div { dt { (say.why("findings[].grown_area_m2", "after grinding it may be")) }
                dd { (say.three(grown, 4, "m²", false)) } }
        }
        @if card != Card::Measured {
            div { dt { (say.why("findings[].depth", "depth")) } dd {
                @if one.depth.low == one.depth.high { (one.depth.high) }
                @else { (one.depth.low) " / " (one.depth.likely) " / " (one.depth.high) }
                @if one.depth_assumed { ", assumed, not opened up" }
            } }
        }
    }
}

fn seen(say: &Say<'_>, one: &FindingLine) -> Markup {
    let mut said = one.seen.clone();
    said.push(format!("lips move: {}", one.lips_move));
    said.extend(one.back_length_mm.map(|length| format!("{length:.0} mm long on the back")));
    said.extend(one.worst_per_dm2.map(|count| format!("worst {count} blisters per dm²")));
    said.extend(one.mean_per_dm2.map(|count| format!("mean {count} blisters per dm²")));
    html! {
        div { dt { "seen" } dd { (say.own(&said.join("; "))) } }
        @if let Some(reading) = &one.reading {
            div { dt { "reading" } dd { (say.own(reading)) } }
        }
        @if !one.as_recorded.is_empty() {
            div { dt { "note" } dd { q { (say.user(&one.as_recorded)) } } }
        }
    }
}

/// What it is consistent with and what would settle it: never proof.
fn causes(say: &Say<'_>, one: &FindingLine) -> Markup {
    const SHOWN: usize = 2;
    html! {
        @for cause in &one.causes {
            div { dt { @if cause.open { "cause, still at work" } @else { "cause, closed" } }
                dd { (say.own(&cause.what)) } }
        }
        @if !one.candidates.is_empty() {
            div { dt { (say.why("findings[].candidates", "consistent with")) } dd {
                ol.causes { @for cause in one.candidates.iter().take(SHOWN) {
                    li { (cause.consistent_with)
                        @if !cause.speaks_for.is_empty() { "; for it: " (say.own(&cause.speaks_for.join("; "))) }
                        @if !cause.speaks_against.is_empty() { "; against it: " (say.own(&cause.speaks_against.join("; "))) }
                        br; strong { "Look: " } (say.own(&cause.next_look)) "."
                    }
                } }
                @if one.candidates.len() > SHOWN {
                    details.aside {
                        summary { (one.candidates.len() - SHOWN) " more that it may be" }
                        ul.told { @for cause in one.candidates.iter().skip(SHOWN) {
                            li { (cause.consistent_with) "; look: " (say.own(&cause.next_look)) }
                        } }
                    }
                }
            } }
        }
    }
}

/// What a mark is consistent with, all of it, for the opinion of an inspector.
pub(super) fn opinions(say: &Say<'_>) -> Markup {
    let rows: Vec<Vec<Markup>> = say
        .report
        .findings
        .iter()
        .map(|one| {
            vec![
                html! { (marks(&[one.mark])) " " (one.kind) },
                action(one),
                html! {
                    @if one.depth.low == one.depth.high { (one.depth.high) }
                    @else { (one.depth.low) " to " (one.depth.high) }
                    @if one.depth_assumed { ", assumed" }
                },
                html! {
                    @if let Some(grown) = &one.grown_length_mm { (say.three(grown, 0, "mm", false)) }
                    @if let Some(grown) = &one.grown_area_m2 { (say.three(grown, 4, "m²", false)) }
                },
                html! {
                    @if one.candidates.is_empty() && one.causes.is_empty() { "nothing in the table of causes" }
                    @for cause in &one.causes { (say.own(&cause.what)) @if cause.open { " (recorded, still at work); " } @else { " (recorded, closed); " } }
                    @for (number, cause) in one.candidates.iter().enumerate() {
                        @if number > 0 { "; " } (cause.consistent_with)
                    }
                },
            ]
        })
        .collect();
    let heads = [
        html! { "mark" },
        say.why("findings[].action", "action"),
        say.why("findings[].depth", "depth"),
        say.why("findings[].grown_area_m2", "after grinding it may be"),
        say.why("findings[].candidates", "consistent with, likeliest first"),
    ];
    table("What is judged", &heads, &rows)
}

/// Marks worst first, with the reasons.
pub(super) fn worst_first(say: &Say<'_>) -> Markup {
    let rows: Vec<Vec<Markup>> = say
        .report
        .condition
        .worst_first
        .iter()
        .map(|one| {
            vec![
                html! { (marks(&[one.mark])) },
                html! { (say.user(&one.panel)) },
                html! { (one.kind) },
                html! { (one.band) },
                html! { (say.own(&one.reasons.join("; "))) },
            ]
        })
        .collect();
    table("Marks, worst first", &heads(&["mark", "panel", "kind", "how soon", "why"]), &rows)
}

fn photograph(of: &Photo) -> Markup {
    let copy = BASE64.encode(&of.jpeg);
    html! {
        figure.photo {
            img src={ "data:image/jpeg;base64," (copy) } width=(of.width_px) height=(of.height_px) alt=(printable(&of.what));
            figcaption {
                @if let Some(mark) = of.mark { strong { "mark " (mark) } ": " }
                (printable(&of.what)) ". A copy of " (printable(&of.file)) "; original, untouched, SHA-256 " span.hash { (of.sha256) }
            }
        }
    }
}
