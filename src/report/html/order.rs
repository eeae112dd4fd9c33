//! What to buy, as a table and against the packs.

use maud::{Markup, html};

use super::super::model::*;
use super::charts;
use super::say::{Say, table};

/// A figure without noughts that say nothing.
fn plain(value: f64) -> String {
    if value >= 100.0 {
        return format!("{value:.0}");
    }
    format!("{value:.2}").trim_end_matches('0').trim_end_matches('.').to_owned()
}

fn packs(list: &[PackCount], unit: &str) -> String {
    let each: Vec<String> =
        list.iter().map(|one| format!("{} x {} {unit}", one.count, plain(one.amount))).collect();
    if each.is_empty() { "none".to_owned() } else { each.join(" + ") }
}

fn wares(say: &Say<'_>, label: &str, list: &[WareLine], open: bool) -> Markup {
    let rows: Vec<Vec<Markup>> = list
        .iter()
        .map(|one| {
            let need = format!(
                "{} / {} / {}{} {}",
                plain(one.need.low),
                plain(one.need.likely),
                if open { "at least " } else { "" },
                plain(one.need.high),
                one.unit
            );
            let mut notes = one.too_old.clone();
            if one.from_shelf > 0.0 {
                notes.insert(0, format!("{} {} of it is there", plain(one.from_shelf), one.unit));
            }
            if one.try_first {
                notes.push("what is there is of unknown age: try a sample first".to_owned());
            }
            if one.left_over > 0.0 && !one.packs.is_empty() {
                let keeps = one.opened_keeps_days.map_or_else(String::new, |days| {
                    format!(", keeps about {days:.0} days once opened")
                });
                notes.push(format!("leaves {} {}{keeps}", plain(one.left_over), one.unit));
            }
            vec![
                html! { (say.own(&one.what)) },
                say.own(&need),
                say.own(&packs(&one.packs, &one.unit)),
                say.own(&packs(&one.packs_high, &one.unit)),
                say.own(&notes.join("; ")),
            ]
        })
        .collect();
    let heads = [
        html! { "ware" },
        say.why("order", "need, low / likely / high"),
        html! { "packs for the likely need" },
        html! { "packs for the high need" },
        html! { "note" },
    ];
    table(label, &heads, &rows)
}

/// The list for now, what waits, what is not bought.
pub(super) fn list(say: &Say<'_>) -> Markup {
    let Some(order) = &say.report.order else { return html! {} };
    let open = !order.excludes.is_empty();
    html! {
        @if order.lines.is_empty() { p { strong { "Buy nothing now: everything waits for something below." } } }
        @else {
            h3 { "Now, waste included" }
            (charts::order(say, order))
            (wares(say, "Shopping list", &order.lines, open))
        }
        (say.left_out(&order.excludes))
        @if let Some(of) = &order.enough {
            p { "Resin and mat together, by " (of.draws) " draws: packs for the likely need "
                strong { (of.likely) } "; for the high need " strong { (of.high) }
                "; what decides: " (of.drivers.join(", ")) ". " (say.why("order.enough", "Why")) "." }
        }
        @for later in &order.buy_only_after {
            h3 { "Only after: " (say.own(&later.after)) " (" (later.repairs.join(", ")) ")" }
            p { "Packs are chosen then; what is left of the first list may do." }
            p { (say.own(&later_needs(later))) }
        }
        @if !order.not_here.is_empty() {
            h3 { "Not bought" }
            ul.told { @for one in &order.not_here { li { (say.own(&one.what)) ": " (say.own(&one.why)) } } }
        }
        @if !order.at_hand.is_empty() {
            h3 { "Within reach before a tin is opened" }
            ul.told { @for one in &order.at_hand { li { (say.own(&one.what)) ": " (say.own(&one.why)) } } }
        }
        @if !order.waste.is_empty() {
            h3 { (say.why("order.waste", "Waste to hand over")) }
            ul.told { @for one in &order.waste {
                li { (say.own(&one.class)) ": " (say.three(&one.mass_kg, 2, "kg", open)) " (" (say.own(&one.from.join("; "))) "); " (say.own(&one.caution)) }
            } }
        }
    }
}

/// What later repairs need, but for what is counted in pieces.
fn later_needs(of: &BuyAfterLine) -> String {
    let poured = |one: &&WareLine| !["pieces", "pairs"].contains(&one.unit.as_str());
    let each: Vec<String> = of
        .lines
        .iter()
        .filter(poured)
        .map(|one| {
            let need = [one.need.low, one.need.likely, one.need.high].map(plain).join(" / ");
            format!("{} {need} {}", one.what, one.unit)
        })
        .collect();
    each.join("; ")
}
