//! Repairs: areas and plies as tables, steps as a list to tick.

use maud::{Markup, html};

use super::super::model::*;
use super::super::{text_match, text_work};
use super::say::{Say, cases, heads, marks, table};

/// All repairs in one table; `apart` where each has an article of its own further down.
pub(super) fn overview(say: &Say<'_>, apart: bool) -> Markup {
    let rows: Vec<Vec<Markup>> = say
        .report
        .repairs
        .iter()
        .map(|one| {
            let area =
                |of: fn(&Scenario) -> f64| say.three(&cases(&one.scenarios, of), 4, "m²", false);
            vec![
                html! {
                    @if apart { a href={ "#repair-" (one.id) } { (one.id) } }
                    @else { span id={ "repair-" (one.id) } { (one.id) } }
                    " " (say.user(&one.panel))
                },
                html! { (marks(&one.marks)) },
                method(one),
                area(|case| case.removal_area_m2),
                area(|case| case.ground_area_m2),
                area(|case| case.prepared_area_m2),
            ]
        })
        .collect();
    let heads = [
        html! { "repair" },
        say.why("repairs[].marks", "marks"),
        say.why("repairs[].scenarios.method", "method, low / likely / high"),
        say.why("repairs[].scenarios.removal_area_m2", "taken down"),
        say.why("repairs[].scenarios.ground_area_m2", "ground"),
        say.why("repairs[].scenarios.prepared_area_m2", "prepared"),
    ];
    html! {
        @if rows.is_empty() { p { "No mark is repaired here." } }
        @else { (table("Repairs", &heads, &rows)) }
        (say.left_out(&say.report.materials.high.excludes))
    }
}

fn method(one: &RepairLine) -> Markup {
    let of = &one.scenarios;
    html! {
        @if of.low.method == of.high.method { (of.high.method) }
        @else { (of.low.method) " / " (of.likely.method) " / " (of.high.method) }
    }
}

/// A sheet a repair: what, where, plies and steps.
pub(super) fn each(say: &Say<'_>, with_plies: bool) -> Markup {
    html! {
        @for one in &say.report.repairs {
            article.card.repair id={ "repair-" (one.id) } {
                h3 { "Repair " (one.id) ": " (say.user(&one.panel)) ", " (one.side) ", marks " (marks(&one.marks)) }
                p { (method(one)) }
                @for wait in &one.waits_for { p { strong { "Waits: " } (say.own(wait)) } }
                @if !one.blocked_by.is_empty() {
                    p { strong { "Not to be started until these are lifted: " } (say.own(&one.blocked_by.join(", "))) }
                }
                @if with_plies { (plies(say, one)) }
                (steps(say, one))
                @if !one.when_not_to.is_empty() {
                    p { strong { "Not when: " } (say.own(&one.when_not_to.join("; "))) }
                }
            }
        }
    }
}

/// The plies of each case that is not the same as the one before it.
fn plies(say: &Say<'_>, one: &RepairLine) -> Markup {
    let of = &one.scenarios;
    let each = [("low", &of.low), ("likely", &of.likely), ("high", &of.high)];
    let row = |case: &str, ply: &PlyLine| {
        vec![
            html! { (case) ", " (ply.side) " " (ply.sequence) },
            html! { (say.own(&ply.reinforcement)) },
            html! { (say.own(&format!("{:.0} mm", ply.reach_mm))) },
            html! { (say.own(&format!("{:.4} m²", ply.area_m2))) @if ply.strips > 1 { ", in " (ply.strips) " strips" } },
            html! { (say.own(&format!("{:.3} kg", ply.glass_kg))) },
            html! { (say.own(&format!("{:.3} kg", ply.resin_kg))) },
        ]
    };
    let mut rows: Vec<Vec<Markup>> = Vec::new();
    for (case, scenario) in each {
        rows.extend(scenario.plies.iter().map(|ply| row(case, ply)));
        if scenario.tissue.area_m2 > 0.0 {
            let of = &scenario.tissue;
            rows.push(vec![
                html! { (case) ", tissue" },
                html! { "surface tissue" },
                html! {},
                html! { (say.own(&format!("{:.4} m²", of.area_m2))) },
                html! { (say.own(&format!("{:.3} kg", of.tissue_kg))) },
                html! { (say.own(&format!("{:.3} kg", of.resin_kg))) },
            ]);
        }
        if scenario.gel_coat_area_m2 > 0.0 {
            rows.push(vec![
                html! { (case) ", gel or flow coat" },
                html! { "gel or flow coat" },
                html! {},
                html! { (say.own(&format!("{:.4} m²", scenario.gel_coat_area_m2))) },
                html! {},
                html! { (say.own(&format!("{:.3} kg", scenario.gel_coat_kg))) },
            ]);
        }
    }
    let heads = [
        html! { "case, ply from the floor up" },
        html! { "mat" },
        html! { "beyond what is taken down" },
        say.why("repairs[].scenarios.plies", "area"),
        html! { "glass" },
        say.why("materials.resin_kg", "resin or coat"),
    ];
    html! {
        (table(&format!("Plies of {}", one.id), &heads, &rows))
        (say.told(|page, _| text_match::parent_match(page, one)))
    }
}

fn steps(say: &Say<'_>, one: &RepairLine) -> Markup {
    html! {
        ol.steps {
            @for step in &one.steps {
                li {
                    span.tick aria-hidden="true" {}
                    @if !step.blocked_by.is_empty() { strong { "BLOCKED (" (say.own(&step.blocked_by.join(", "))) "): " } }
                    @if step.only_if_deeper { em { "if it goes deeper: " } }
                    @if step.side != one.side { em { (step.side) ": " } }
                    (say.own(&step.text))
                    " " span.check { "Then look: " (say.own(&step.check)) "." }
                }
            }
        }
        @if !one.steps.is_empty() {
            p.evidence { "Steps: " (evidence(one)) }
        }
    }
}

/// Where the steps of a repair come from, each source once.
fn evidence(one: &RepairLine) -> String {
    let mut known: Vec<String> =
        one.steps.iter().map(|step| format!("{} ({})", step.source, step.evidence)).collect();
    known.sort();
    known.dedup();
    known.join("; ")
}

/// Materials of everything together.
pub(super) fn materials(say: &Say<'_>) -> Markup {
    let of = &say.report.materials;
    let open = !of.high.excludes.is_empty();
    let row = |name: Markup, take: fn(&Materials) -> f64, decimals: usize, unit: &str| {
        vec![name, say.three(&cases(of, take), decimals, unit, open)]
    };
    let mut rows = vec![
        row(html! { "glass mat" }, |case| case.glass_kg, 2, "kg"),
        row(html! { "surface tissue" }, |case| case.tissue_m2, 2, "m²"),
        row(say.why("materials.resin_kg", "laminating resin"), |case| case.resin_kg, 2, "kg"),
        row(html! { "gel or flow coat" }, |case| case.gel_coat_kg, 2, "kg"),
    ];
    if of.high.catalyst_g.is_some() {
        let grams = |case: &Materials| case.catalyst_g.unwrap_or(0.0);
        rows.push(row(
            say.why("materials.catalyst_g", "catalyst, laminating resin only"),
            grams,
            0,
            "g",
        ));
    }
    html! {
        @if say.report.repairs.is_empty() { p { "No quantities: no mark is repaired here." } }
        @else {
            (table("Materials", &[html! { "net as poured, no waste" }, html! { "low / likely / high" }], &rows))
            (say.left_out(&of.high.excludes))
            (say.told(text_work::paint))
        }
    }
}

/// The same as a list of heads, for whoever only reads.
pub(super) fn put_right(say: &Say<'_>) -> Markup {
    let rows: Vec<Vec<Markup>> = say
        .report
        .put_right
        .iter()
        .map(|one| {
            vec![
                html! { (marks(&one.marks)) },
                html! { (say.own(&one.what)) },
                html! { (say.own(&one.who)) },
                html! { (one.repairs.join(", ")) },
            ]
        })
        .collect();
    html! {
        @if !rows.is_empty() {
            p { "Or it comes back; buy materials for these only after. " (say.own("CAUSE-FIRST")) }
            (table("Put right first", &heads(&["marks", "what", "by", "repairs that wait"]), &rows))
        }
    }
}
