//! When: the timetable as a picture and a table, cure over the night, the air of the room.

use maud::{Markup, html};

use super::super::model::*;
use super::super::{text_climate, text_hours, text_session, text_shop, text_timetable};
use super::charts;
use super::say::{Say, heads, table};
use crate::quantity::Minutes;

/// The plan in days.
pub(super) fn plan(say: &Say<'_>, in_print: bool) -> Markup {
    let Some(of) = &say.report.timetable else {
        return html! { p { "No timetable: nothing is done here." } };
    };
    html! {
        @if let Some(free) = &of.free { (charts::timetable(say, free, "day", "From the start")) }
        @if let Some(cause) = &of.after_cause {
            (charts::timetable(say, cause, "day X +", "From the day X on which the cause is put right"))
        }
        @if !of.untimed.is_empty() {
            h3 { "Without any time" }
            ul.told { @for one in &of.untimed { li { (one.repair) ": " (say.own(&one.why)) } } }
        }
        (say.left_out(&of.excludes))
        details.aside[!in_print] {
            summary { "Every task in words" }
            (say.told(text_timetable::timetable))
        }
    }
}

/// The shop: which step may be done, and what it would take.
pub(super) fn gates(say: &Say<'_>) -> Markup {
    let rows: Vec<Vec<Markup>> = say
        .report
        .shop
        .gates
        .iter()
        .map(|gate| {
            let word = match gate.state {
                "open" => "in order",
                "warned" => "care",
                _ => "SHUT",
            };
            vec![
                html! { (say.own(&gate.step)) },
                html! { @if gate.state == "open" { (word) } @else { strong { (word) } } },
                html! { (say.own(&gate.why)) },
                html! { (say.own(&gate.way_out)) },
                html! { (say.own(&gate.rules.join(", "))) },
            ]
        })
        .collect();
    let shop = &say.report.shop;
    html! {
        p { "Climate from " (say.user(&shop.from)) "; " (shop.place) "; work by the " (shop.worker) "." }
        (table("Steps in this shop", &heads(&["step", "may it be done", "why", "what would open it", "rules"]), &rows))
        (say.told(|page, report| {
            text_climate::brought_in(page, report.shop.brought_in.as_ref());
            text_climate::warming(page, report.shop.warming.as_ref());
            text_climate::climate(page, report.shop.climate.as_ref());
        }))
    }
}

/// Cure, sittings and air with their pictures.
pub(super) fn cure_and_air(say: &Say<'_>, in_print: bool) -> Markup {
    let report = say.report;
    html! {
        (charts::night(say))
        @if let Some(of) = &report.timetable {
            @for course in [of.free.as_ref(), of.after_cause.as_ref()].into_iter().flatten() {
                @for session in &course.sessions { (charts::air(say, session)) }
            }
        }
        details.aside[!in_print] {
            summary { "Sittings, times and limits in words" }
            (say.told(text_shop::shop))
        }
    }
}

/// A mix card a pot, by session.
pub(super) fn mix_cards(say: &Say<'_>) -> Markup {
    let Some(of) = &say.report.timetable else { return html! {} };
    let courses = [("day ", of.free.as_ref()), ("day X + ", of.after_cause.as_ref())];
    html! {
        p { "Times move with the first pot, minutes do not. " (say.own(text_session::OVER)) "." }
        @for (day, course) in courses {
            @if let Some(course) = course {
                @for session in &course.sessions { (session_cards(say, session, day)) }
            }
        }
    }
}

fn session_cards(say: &Say<'_>, session: &SessionLine, day: &str) -> Markup {
    let rows: Vec<Vec<Markup>> = (1..)
        .zip(&session.mixes)
        .map(|(number, card): (usize, &MixCardLine)| {
            let shares: Vec<String> =
                card.shares.iter().map(|one| format!("{} {:.0} g", one.repair, one.g)).collect();
            vec![
                html! { (number) " of " (session.mixes.len()) },
                html! { (say.own(&format!("{:.0} g of {}", card.resin_g, card.what))) },
                html! {
                    @match (card.catalyst_g, card.catalyst_ml) {
                        (Some(g), Some(ml)) => (say.own(&format!("{g:.1} g = {ml:.1} ml"))),
                        _ => "hardener within this mass as its tin says",
                    }
                },
                html! { (card.mixed_at) },
                html! {
                    @match (card.use_within_min, &card.use_by) {
                        (Some(minutes), Some(by)) => { strong { (by) } (format!(", {:.0} min after stirring in", minutes.floor())) },
                        _ => "within the pot life of its data sheet",
                    }
                },
                html! { (say.own(&shares.join(", "))) },
            ]
        })
        .collect();
    html! {
        div.keep {
            h3 { "Session " (session.session) ", " (day) (session.day) ", from " (session.from) }
            @if rows.is_empty() {
                p { "No pot: the kind of resin is not known, or even the smallest pot gels before it is wetted out." }
            } @else {
                (table(
                    &format!("Mix cards of session {}", session.session),
                    &heads(&["pot", "weigh", "catalyst", "mixed at", "used by", "for"]),
                    &rows,
                ))
            }
            @if let Some(air) = &session.air {
                p { (say.own(&format!(
                    "The room comes to {:.0} ppm, the head over the job to {:.0} ppm; nobody works in it for {} after laying.",
                    air.peak_ppm, air.near_ppm, Minutes(air.clear_after_min).in_words()))) }
            }
        }
    }
}

/// Hands-on hours.
pub(super) fn hours(say: &Say<'_>) -> Markup {
    say.told(text_hours::hours)
}
