//! Poured resin through its first day and night: how warm it lies, how far it has cured.

use maud::{Markup, html};

use super::super::super::model::{NightLine, TimeBand};
use super::super::say::Say;
use super::axis::Scale;
use super::{chart, line, path, words, words_on_white};
use crate::quantity::Minutes;
use crate::shop::plan::SANDABLE;

/// Cure and temperature over the night; nothing where no temperature is known.
pub(in super::super) fn night(say: &Say<'_>) -> Markup {
    let shop = &say.report.shop;
    let night = &shop.night;
    if night.len() < 2 {
        return html! {};
    }
    let across = Scale { from: 0.0, to: 24.0, start: 60.0, end: 660.0 };
    let cured = Scale { from: 0.0, to: 1.0, start: 250.0, end: 110.0 };
    let coldest = night.iter().map(|one| one.at_c).fold(f64::INFINITY, f64::min);
    let warmest = night.iter().map(|one| one.at_c).fold(f64::NEG_INFINITY, f64::max);
    let warm = Scale { from: coldest - 2.0, to: warmest + 2.0, start: 90.0, end: 20.0 };
    let curve = |run: usize| -> Vec<(f64, f64)> {
        let at = |one: &NightLine| {
            (across.at(one.after_h), cured.at(one.conversion.get(run).copied().unwrap_or(0.0)))
        };
        night.iter().map(at).collect()
    };
    let temperature: Vec<(f64, f64)> =
        night.iter().map(|one| (across.at(one.after_h), warm.at(one.at_c))).collect();
    let drawn = html! {
        @for tick in [0.0, 4.0, 8.0, 12.0, 16.0, 20.0, 24.0] {
            (line((across.at(tick), 20.0), (across.at(tick), 250.0), 0.4, "1 3"))
            (words((across.at(tick), 266.0), "middle", &format!("{tick:.0} h")))
        }
        (line((60.0, 90.0), (660.0, 90.0), 0.6, ""))
        (words((54.0, warm.at(warmest) + 4.0), "end", &format!("{warmest:.0} °C")))
        @if warmest - coldest > 1.5 { (words((54.0, warm.at(coldest) + 4.0), "end", &format!("{coldest:.0} °C"))) }
        (path(&temperature, 1.6, ""))
        (line((60.0, 250.0), (660.0, 250.0), 0.6, ""))
        (words((54.0, 254.0), "end", "0 %"))
        (words((54.0, 114.0), "end", "100 %"))
        (line((60.0, cured.at(SANDABLE)), (660.0, cured.at(SANDABLE)), 0.8, "6 4"))
        (path(&curve(0), 1.0, "3 3"))
        (path(&curve(1), 2.4, ""))
        (path(&curve(2), 1.0, "3 3"))
        (words_on_white((656.0, cured.at(SANDABLE) - 5.0), "end", "from here it may be sanded"))
        (words((54.0, 34.0), "end", ""))
    };
    let band = |of: &Option<TimeBand>, unit_min: f64| -> String {
        let at = |figure: Option<f64>| {
            figure.map_or_else(
                || "no end in sight".to_owned(),
                |figure| Minutes(figure * unit_min).in_words(),
            )
        };
        of.as_ref().map_or_else(String::new, |of| {
            format!("{} / {} / {}", at(of.low), at(of.likely), at(of.high))
        })
    };
    let says = html! {
        "above, what the laminate lies in after the pour; below, how far it has cured: the thick line is likely, the dotted ones are the early and the late end of the band. It gels after "
        (say.own(&band(&shop.gel_min, 1.0))) ", may be sanded after " (say.own(&band(&shop.sandable_h, 60.0)))
        "; plan on the last. A calibrated model, not measured: feel the laminate. " (say.why("shop.night", "Rules"))
    };
    chart("Cure through the first day and night", &says, 276.0, &drawn)
}
