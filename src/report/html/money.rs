//! What it costs: a bar with its range, the lines, the quote.

use maud::{Markup, html};

use super::super::text_buy;
use super::charts;
use super::say::{Say, heads, table};

/// The range as a picture, and what is not in it.
pub(super) fn range(say: &Say<'_>) -> Markup {
    let Some(price) = &say.report.price else {
        return html! { p { "No money: nobody named a price file. Hours and packs stand above." } };
    };
    html! {
        (charts::cost(say, price))
        (say.left_out(&price.excludes))
        @if !price.not_priced.is_empty() {
            h3 { "Not priced, and in no sum" }
            ul.told { @for one in &price.not_priced { li { (say.own(&one.what)) ": " (say.own(&one.why)) } } }
        }
        @if !price.not_counted.is_empty() {
            ul.told { @for one in &price.not_counted { li { "in no sum: " (say.own(one)) } } }
        }
    }
}

/// Every line, then the quote with its limit and its term.
pub(super) fn lines(say: &Say<'_>) -> Markup {
    let Some(price) = &say.report.price else { return html! {} };
    let digits = price.decimals as usize;
    let money = |figure: Option<f64>| {
        figure.map_or_else(|| "not priced".to_owned(), |figure| format!("{figure:.digits$}"))
    };
    let rows: Vec<Vec<Markup>> = price
        .lines
        .iter()
        .map(|one| {
            vec![
                html! { (say.own(&one.what)) },
                html! { (one.group) },
                html! { (money(one.money.low)) },
                html! { (money(one.money.likely)) },
                html! { (money(one.money.high)) },
            ]
        })
        .collect();
    let quote = &price.quote;
    html! {
        (table("Price by line", &heads(&["line", "group", "low", "likely", "high"]), &rows))
        p.quote {
            "Quote on the " (quote.figure) " figure: " (format!("{:.digits$}", quote.work)) " and "
            (format!("{:.digits$}", quote.contingency)) " for what nobody can see, "
            strong { (format!("{:.digits$} {}", quote.gross, price.currency)) } " with tax"
            @if quote.lacks { "; " strong { "NO FIXED PRICE: something is not priced or left out" } }
            ". Stops and calls before " strong { (format!("{:.digits$}", quote.stop_at)) }
            "; holds for " (quote.expires_days) " days."
        }
        @if !price.provisional.is_empty() {
            ul.told { @for one in &price.provisional {
                li { "The shop's own sum for mark " (one.mark) ", in no total: "
                    (format!("{:.digits$} {}", one.money, price.currency)) " (" (say.user(&one.what)) ")" }
            } }
        }
    }
}

/// Repairing against replacing.
pub(super) fn compared(say: &Say<'_>) -> Markup {
    let Some(price) = &say.report.price else { return html! {} };
    if price.compared.is_empty() {
        return html! {};
    }
    html! {
        h3 { "Repair or replace" }
        (say.told(|page, _| for one in &price.compared { text_buy::compared(page, price, one); }))
    }
}
