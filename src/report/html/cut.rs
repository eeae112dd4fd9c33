//! The cut list: lengths off each roll, what is over, and the drawings.

use maud::{Markup, html};

use super::super::model::*;
use super::Pictures;
use super::say::{Say, figure, table};

pub(super) fn list(say: &Say<'_>, pictures: &Pictures) -> Markup {
    let Some(order) = &say.report.order else { return html! {} };
    let later = order.buy_only_after.iter();
    let lists = std::iter::once(("now".to_owned(), &order.cut_plan))
        .chain(later.map(|one| (format!("only after: {}", one.after), &one.cut_plan)));
    let mut rows: Vec<Vec<Markup>> = Vec::new();
    for (when, plan) in lists {
        for one in plan.iter().flatten() {
            rows.push(vec![
                html! { (say.own(&one.mat)) },
                html! { (say.own(&when)) },
                say.own(&format!("{:.0} mm", one.roll_width_mm)),
                html! { (one.pieces) },
                say.three(&one.length_m, 2, "m", false),
                say.own(&format!("{:.2} m", one.least_m)),
                html! { (say.own(&over(one))) },
            ]);
        }
    }
    let heads = [
        html! { "mat" },
        html! { "list" },
        html! { "roll" },
        html! { "pieces, likely case" },
        say.why("order.cut_plan", "off the roll, low / likely / high"),
        html! { "no plan under" },
        html! { "over, worth keeping" },
    ];
    html! {
        @if rows.is_empty() { p { "No mat is cut." } } @else { (table("Cut list", &heads, &rows)) }
        @for one in &pictures.cut { (figure(&one.title, &say.own(&one.says), &one.svg)) }
        (say.left_out(&order.excludes))
    }
}

fn over(of: &CutLine) -> String {
    let each: Vec<String> = of
        .offcuts
        .iter()
        .map(|one| format!("{:.0} x {:.0} mm", one.across_mm, one.along_mm))
        .chain(of.not_cut.iter().map(|one| format!("by percentage, not drawn: {one}")))
        .collect();
    each.join("; ")
}
