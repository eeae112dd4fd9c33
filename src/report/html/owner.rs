//! The page for the owner: three questions, then pictures, then what to do.

use maud::{Markup, html};

use super::super::model::*;
use super::super::{text_drying, text_hours, text_opened, text_safety, text_turns};
use super::cards::{self, Card};
use super::say::{Say, marks};
use super::{Part, Pictures, front, money, order, repairs, time};

pub(super) fn sections(say: &Say<'_>, pictures: &Pictures) -> Vec<Part> {
    let report = say.report;
    let mut parts = vec![
        Part::new("questions", "Three questions first", questions(say)),
        Part::new("short", "In short", in_short(say)),
    ];
    parts.extend(front::before(say));
    parts.extend([
        Part::new(
            "pictures",
            "The marks, in pictures",
            html! {
                (cards::body(say, pictures))
                (cards::panels(say, pictures, Card::Told))
            },
        )
        .on_a_new_sheet(),
        Part::new("worst", "Worst first", cards::worst_first(say)),
    ]);
    if report.opened.is_some() {
        parts.push(Part::new("opened", "What opening up found", say.told(text_opened::opened)));
    }
    if report.drying.is_some() {
        parts.push(Part::new("drying", "Drying", say.told(text_drying::drying)));
    }
    parts.push(Part::new(
        "turns",
        "Now, later, or not at all",
        html! {
            (repairs::put_right(say))
            (say.told(text_turns::turns))
        },
    ));
    parts.push(
        Part::new(
            "list",
            "What to buy",
            html! {
                (repairs::materials(say))
                (order::list(say))
            },
        )
        .on_a_new_sheet(),
    );
    parts.push(
        Part::new(
            "steps",
            "How each is done",
            html! {
                (repairs::overview(say, true))
                (repairs::each(say, false))
            },
        )
        .on_a_new_sheet(),
    );
    parts.push(
        Part::new(
            "time",
            "When",
            html! {
                (time::hours(say))
                (time::plan(say, false))
                (time::cure_and_air(say, false))
                h3 { "Mix cards" }
                (time::mix_cards(say))
            },
        )
        .on_a_new_sheet(),
    );
    parts.push(Part::new(
        "money",
        "What it costs",
        html! {
            (money::range(say))
            (money::lines(say))
            (money::compared(say))
        },
    ));
    parts.push(Part::new("cautions", "Cautions", say.told(text_safety::cautions)).on_a_new_sheet());
    parts.push(Part::new("practice", "Where practice disagrees", say.told(text_hours::conflicts)));
    parts
}

/// May I drive it, can I do it here, what would stop me.
fn questions(say: &Say<'_>) -> Markup {
    let report = say.report;
    let shut: Vec<&GateLine> =
        report.shop.gates.iter().filter(|gate| gate.state == "shut").collect();
    let care: Vec<&GateLine> =
        report.shop.gates.iter().filter(|gate| gate.state == "warned").collect();
    html! {
        div.questions {
            div {
                h3 { "May I drive it?" }
                @if report.stops.is_empty() {
                    p { "No mark recorded here says that it must stand. That is no roadworthiness test, and nobody could see everything." }
                    @if !report.referrals.is_empty() {
                        p { strong { "Some of it goes to a specialist: ask that one before it is driven." } }
                    }
                } @else {
                    p { strong { "Not until this is settled:" } }
                    ul { @for stop in &report.stops {
                        li { (say.own(&stop.text)) @if !stop.marks.is_empty() { " (marks " (marks(&stop.marks)) ")" } }
                    } }
                    p { "Nothing here says that the rest is fit for the road." }
                }
            }
            div {
                h3 { "Can I do it here?" }
                p { (say.user(&report.shop.place)) ", by the " (report.shop.worker) "." }
                @if shut.is_empty() && report.blocks.is_empty() { p { "No step is shut by what was read; what was not read is not judged." } }
                @if !shut.is_empty() {
                    p { strong { "Not as it stands:" } }
                    ul { @for gate in &shut { li { (say.own(&gate.step)) ": " (say.own(&gate.why)) ". " (say.own(&gate.way_out)) } } }
                }
                @if !report.blocks.is_empty() {
                    p { strong { "Blocked: " } @for (number, block) in report.blocks.iter().enumerate() { @if number > 0 { "; " } (say.own(&block.step)) } " (" a href="#blocked" { "why, and the way out" } ")." }
                }
                @if !care.is_empty() {
                    p { "With care: " @for (number, gate) in care.iter().enumerate() { @if number > 0 { "; " } (say.own(&gate.step)) ": " (say.own(&gate.why)) } "." }
                }
            }
            div {
                h3 { "What would stop me?" }
                ul {
                    @if !report.referrals.is_empty() { li { "Marks that go to a specialist: until one has looked, nobody knows what the whole job is." } }
                    @for one in &report.put_right { li { "Cause first: " (say.own(&one.what)) " (marks " (marks(&one.marks)) "; by " (say.own(&one.who)) ")" } }
                    @for one in report.timetable.iter().flat_map(|of| &of.untimed) { li { (one.repair) " has no time: " (say.own(&one.why)) } }
                    @if report.order.as_ref().is_some_and(|order| order.enough.is_some()) { li { "Materials running short: see what is bought, and for which need." } }
                    li { "More than shows, once it is ground: the high figures are an ordinary bad outcome and no limit." }
                }
            }
        }
        details.aside { summary { "Every step in this shop" } (time::gates(say)) }
    }
}

fn in_short(say: &Say<'_>) -> Markup {
    html! {
        (say.told(super::super::text_work::in_short))
    }
}
