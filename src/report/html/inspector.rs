//! The page for the inspector: what was measured, apart from what is judged; nothing shortened.

use maud::{Markup, html};

use super::super::model::*;
use super::super::{
    lines_classes, text_condition, text_drying, text_grids, text_opened, text_safety,
};
use super::cards::{self, Card};
use super::say::{Say, heads, marks, table};
use super::{Part, Pictures, front, money, repairs, time};

pub(super) fn sections(say: &Say<'_>, pictures: &Pictures) -> Vec<Part> {
    let report = say.report;
    let mut parts = vec![
        Part::new("limits", "What this is, and what it is not", limits(say)),
        Part::new("coverage", "Measured: what was looked at", coverage(say)),
        Part::new("measured", "Measured: the marks", html! {
            p { "Lengths and places over the skin, as taken; nothing on these cards is an opinion. Drawings also show what may be found and what would be worked: those lines are named in the key and are judged." }
            (cards::body(say, pictures))
            (cards::panels(say, pictures, Card::Measured))
        })
        .on_a_new_sheet(),
        Part::new("readings", "Measured: readings, fixings", readings(say)),
        Part::new("entries", "Entries as they were written", html! {
            p { "Word for word from the survey; " (say.own("a later change is an amendment and stands under it.")) }
            (cards::entries(say))
            (amendments(say))
        })
        .on_a_new_sheet(),
        Part::new("judged", "Judged: what the marks are and what follows", html! {
            p { "An opinion from what was recorded, by the rules named; \"consistent with\" is no proof of a cause." }
            (cards::opinions(say))
            h3 { "Worst first" }
            (cards::worst_first(say))
            (notes(say))
            (repairs::put_right(say))
        })
        .on_a_new_sheet(),
    ];
    if report.opened.is_some() {
        parts.push(Part::new("opened", "What opening up found", say.told(text_opened::opened)));
    }
    parts.push(
        Part::new(
            "quantities",
            "Judged: what putting it right takes",
            html! {
                (repairs::overview(say, false))
                (repairs::materials(say))
                (time::hours(say))
            },
        )
        .on_a_new_sheet(),
    );
    parts.push(Part::new(
        "money",
        "Judged: what it may cost",
        html! {
            (money::range(say))
            (money::compared(say))
        },
    ));
    parts.extend(front::before(say));
    parts.push(Part::new(
        "cautions",
        "Cautions for whoever does the work",
        say.told(text_safety::cautions),
    ));
    parts.push(Part::new("signature", "Signature", signature(say)));
    parts
}

fn limits(say: &Say<'_>) -> Markup {
    let survey = &say.report.survey;
    html! {
        ul.told {
            li { "It says what was seen on " (say.user(if survey.date.is_empty() { "a day nobody named" } else { &survey.date })) ", under the light and in the place named above, and nothing about any other day." }
            li { "It is an opinion on marks in the skin. It is no warranty, no structural approval and no roadworthiness test." }
            li { "What was removed, drilled or ground stands under access or in an entry; nothing else is known of. Paint hides how far a mark goes." }
            li { "The interest of the author: " (say.user(if survey.interest.is_empty() { "not stated" } else { &survey.interest })) "." }
            li { "Opening up is advised wherever a depth is called assumed." }
        }
    }
}

/// Every panel and side, sound ones too.
fn coverage(say: &Say<'_>) -> Markup {
    let rows: Vec<Vec<Markup>> = say
        .report
        .condition
        .panels
        .iter()
        .map(|one| {
            vec![
                html! { (say.user(&one.panel)) },
                html! { (one.side) },
                say.own(&format!("{:.2} m²", one.area_m2)),
                say.own(&format!("{:.2} m²", one.looked_at_m2)),
                html! { (say.own(&found(one))) },
                html! { (say.own(&one.how)) },
            ]
        })
        .collect();
    let body = &say.report.condition.body;
    html! {
        p { (say.own(&format!("{:.2} m² of {:.2} m², both sides together, were looked at.", body.looked_at_m2, body.area_m2))) }
        (table("What was looked at", &heads(&["panel", "side", "area", "looked at", "found", "how that is known"]), &rows))
        details { summary { "Quantities by panel and side, in words" } (say.told(text_condition::condition)) }
        (say.left_out(&say.report.condition.excludes))
    }
}

/// What a side holds, in words; a side that was looked at and holds nothing says so.
fn found(of: &PanelCondition) -> String {
    let quantities = &of.quantities;
    let mut said = Vec::new();
    let mut area = |m2: f64, what: &str| {
        if m2 > 0.0 {
            said.push(format!("{what} {m2:.3} m²"));
        }
    };
    area(quantities.crazed_m2, "crazed");
    area(quantities.drummy_m2, "dull or let go");
    area(quantities.blistered_m2, "blistered");
    area(quantities.old_repair_m2, "old repair");
    area(quantities.wet_m2, "wet");
    area(quantities.hole_m2, "holes");
    area(quantities.chipped_m2, "chipped");
    area(quantities.other_m2, "other");
    if quantities.cracks_m > 0.0 {
        said.push(format!("cracks {:.2} m", quantities.cracks_m));
    }
    if quantities.traced_m > 0.0 {
        said.push(format!("traced in patches {:.2} m", quantities.traced_m));
    }
    if !said.is_empty() {
        return said.join(", ");
    }
    if of.looked_at_m2 > 0.0 {
        "nothing recorded on what was looked at".to_owned()
    } else {
        "not looked at".to_owned()
    }
}

fn readings(say: &Say<'_>) -> Markup {
    let rows: Vec<Vec<Markup>> = say
        .report
        .findings
        .iter()
        .filter_map(|one| Some((one, one.reading.as_ref()?)))
        .map(|(one, reading)| {
            vec![
                html! { a href={ "#mark-" (one.mark) } { (one.mark) } },
                html! { (say.user(&one.panel)) },
                say.own(reading),
            ]
        })
        .collect();
    html! {
        @if rows.is_empty() { p { "No mark has a moisture reading." } }
        @else { (table("Readings at marks", &heads(&["mark", "panel", "reading and what it is worth"]), &rows)) }
        (say.told(text_grids::grids))
        (say.told(text_drying::drying))
        (say.told(lines_classes::text))
    }
}

/// What was changed in the survey after it was first written.
fn amendments(say: &Say<'_>) -> Markup {
    let rows: Vec<Vec<Markup>> = say
        .report
        .amendments
        .iter()
        .map(|one| {
            vec![
                say.user(&one.date),
                say.user(&one.by),
                html! { @match one.mark { Some(mark) => (marks(&[mark])), None => "none" } },
                say.user(&one.what),
                say.user(&one.was),
                say.user(&one.now),
            ]
        })
        .collect();
    html! {
        h3 { "Amendments" }
        @if rows.is_empty() { p { "None is recorded. Whether the file was changed without saying so, only an earlier copy or its fingerprint can tell." } }
        @else { (table("Amendments", &heads(&["when", "by", "mark", "what", "was", "is now"]), &rows)) }
    }
}

fn notes(say: &Say<'_>) -> Markup {
    html! {
        h3 { "Notes to single marks" }
        ul.told {
            @for one in say.report.findings.iter().filter(|one| !one.notes.is_empty()) {
                @for note in &one.notes {
                    li { a href={ "#mark-" (one.mark) } { "mark " (one.mark) } ": " (say.own(&note.text)) " " (say.own(&note.rule)) }
                }
            }
        }
    }
}

fn signature(say: &Say<'_>) -> Markup {
    html! {
        p { "Stated by signing, to be struck out where it is not so: I do not repair what is listed here, and gain nothing by it beyond the interest named above." }
        p.sign { "Name: ______________________  Date: ______________  Signature: ______________________" }
        p.evidence { "Number of this report: ______________  Pages: ________  " (say.user(super::front::name(say.report))) }
    }
}
