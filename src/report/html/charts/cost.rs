//! What it costs: one bar from low to high, with the quote and its limit on it.

use maud::{Markup, html};

use super::super::super::model::PriceLines;
use super::super::say::Say;
use super::axis::Scale;
use super::{bar, chart, hatched, line, words, words_on_white};

/// The range of the price.
pub(in super::super) fn cost(say: &Say<'_>, price: &PriceLines) -> Markup {
    let digits = price.decimals as usize;
    let (low, likely, high) =
        (price.totals.low.gross, price.totals.likely.gross, price.totals.high.gross);
    let open =
        price.totals.high.at_least || price.totals.likely.at_least || !price.excludes.is_empty();
    let most = high.max(price.quote.stop_at).max(price.quote.gross) * 1.06;
    let scale = Scale { from: 0.0, to: most, start: 20.0, end: 690.0 };
    let (top, tall) = (58.0, 30.0);
    let money = |figure: f64| format!("{figure:.digits$}");
    let drawn = html! {
        (bar((scale.at(0.0), top), (scale.at(low) - scale.at(0.0), tall), "#333"))
        (bar((scale.at(low), top), (scale.at(likely) - scale.at(low), tall), "#bbb"))
        (hatched((scale.at(likely), top), (scale.at(high) - scale.at(likely), tall)))
        @if open {
            // The bar does not end here: something has no price, or is left out.
            (line((scale.at(high) + 2.0, top + tall / 2.0), (scale.at(high) + 26.0, top + tall / 2.0), 2.0, "4 3"))
            (line((scale.at(high) + 26.0, top + tall / 2.0), (scale.at(high) + 19.0, top + tall / 2.0 - 5.0), 2.0, ""))
            (line((scale.at(high) + 26.0, top + tall / 2.0), (scale.at(high) + 19.0, top + tall / 2.0 + 5.0), 2.0, ""))
        }
        (line((scale.at(price.quote.gross), top - 14.0), (scale.at(price.quote.gross), top + tall + 4.0), 3.0, ""))
        (line((scale.at(price.quote.stop_at), top - 34.0), (scale.at(price.quote.stop_at), top + tall + 4.0), 1.5, "5 3"))
        (words_on_white((scale.at(price.quote.gross), top - 18.0), "end", &format!("quote {}", money(price.quote.gross))))
        (words_on_white((scale.at(price.quote.stop_at), top - 38.0), "end", &format!("stops and calls before {}", money(price.quote.stop_at))))
        @for tick in scale.ticks(8.0) {
            (line((scale.at(tick), top + tall + 4.0), (scale.at(tick), top + tall + 9.0), 1.0, ""))
            (words((scale.at(tick), top + tall + 22.0), "middle", &format!("{tick:.0}")))
        }
        (words((690.0, top + tall + 38.0), "end", &price.currency))
    };
    let least = |at_least: bool| if at_least { "at least " } else { "" };
    let says = html! {
        "dark up to the low figure " (least(price.totals.low.at_least)) (money(low))
        ", grey to the likely one " (least(price.totals.likely.at_least)) (money(likely))
        ", hatched to the high one " (least(price.totals.high.at_least)) (money(high))
        " " (price.currency) ", tax in all of them"
        @if open { "; the arrow says that it does not end there" }
        ". Prices from " (say.user(&price.file))
        @if price.priced_on.is_empty() { ", nobody said when they were looked up" } @else { ", " (say.user(&price.priced_on)) }
        ". " (say.why("price", "Rules"))
    };
    chart("What it costs, low, likely, high", &says, 130.0, &drawn)
}
