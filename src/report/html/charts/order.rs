//! What is bought against what is needed: each ware against its own packs.

use maud::{Markup, html};

use super::super::super::model::{OrderLines, WareLine};
use super::super::say::Say;
use super::axis::Scale;
use super::{bar, chart, cut_to, hatched, line, words};

/// Height of a row.
const ROW: f64 = 24.0;

/// Order against need.
pub(in super::super) fn order(say: &Say<'_>, order: &OrderLines) -> Markup {
    // What is counted in pieces says nothing as a bar.
    let poured = |one: &&WareLine| {
        !["pieces", "pairs"].contains(&one.unit.as_str())
            && (!one.packs.is_empty() || one.from_shelf > 0.0)
    };
    let rows: Vec<&WareLine> = order.lines.iter().filter(poured).collect();
    if rows.is_empty() {
        return html! {};
    }
    let top = 28.0;
    let high = top + ROW * rows.len() as f64 + 8.0;
    let drawn = html! {
        (words((250.0, 16.0), "start", "nothing"))
        (words((570.0, 16.0), "middle", "all that is there and bought"))
        @for (number, one) in rows.iter().enumerate() { (row(one, top + ROW * number as f64)) }
    };
    let drawn = html! { (drawn) (line((570.0, 22.0), (570.0, high - 6.0), 1.5, "5 3")) };
    let says = html! {
        "each ware against its own packs for the likely need: dark up to the low need, grey to the likely one, hatched to the high one; a bar past the dashed line runs short in the high case. "
        (say.why("order", "Rules"))
    };
    chart("Need against what is bought", &says, high, &drawn)
}

fn row(one: &WareLine, y: f64) -> Markup {
    let bought: f64 =
        one.packs.iter().map(|pack| pack.count as f64 * pack.amount).sum::<f64>() + one.from_shelf;
    // A need far past what is bought ends at the edge of the sheet, with an arrow.
    let scale = Scale { from: 0.0, to: bought.max(f64::MIN_POSITIVE), start: 250.0, end: 570.0 };
    let at = |figure: f64| scale.at(figure).min(700.0);
    let (low, likely, high) = (at(one.need.low), at(one.need.likely), at(one.need.high));
    html! {
        (words((240.0, y + 14.0), "end", &cut_to(&one.what, 36)))
        (bar((250.0, y + 3.0), (low - 250.0, 14.0), "#333"))
        (bar((low, y + 3.0), (likely - low, 14.0), "#bbb"))
        (hatched((likely, y + 3.0), (high - likely, 14.0)))
        @if scale.at(one.need.high) > 700.0 { (words((702.0, y + 14.0), "start", "→")) }
    }
}
