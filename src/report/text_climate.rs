//! Hours of the air, warming and cold panels as text.

use super::model::*;
use super::text::Page;
use crate::quantity::Minutes;
use crate::rules::id;

fn hours(h: f64) -> String {
    Minutes(h * 60.0).in_words()
}

/// What warming takes, with its caution.
pub(crate) fn warming(page: &mut Page, of: Option<&WarmingLine>) {
    let Some(of) = of else { return };
    let rules = page.rules(&[id::LAYUP_COLD_WARN, id::WARM_OVER, id::PANEL_QUICK, id::PANEL_SLOW]);
    let [quick, slow] = of.before_h.map(hours);
    page.line(
        2,
        &format!(
            "to warm it: air at {:.0} °C from {quick} (a bare skin) to {slow} (the whole vehicle) before the pour, until a thermometer on the panel and one in the closed tin say {:.0} °C {rules}",
            of.air_c, of.to_c
        ),
    );
    if let (Some([least, most]), Some(air_kw)) = (of.walls_kw, of.air_kw) {
        let rules = page.rules(&[id::WALL_LOSS_LEAST, id::WALL_LOSS_MOST]);
        page.line(
            5,
            &format!(
                "power to hold it against {:.0} °C outdoors: {least:.1} kW (insulated) to {most:.1} kW (single skin) through the walls, {air_kw:.1} kW for the air that comes in as the room stands {rules}",
                of.outdoors_c
            ),
        );
    }
    let with = [
        (of.stop_air_kw, "the fresh air that lifts the stop"),
        (of.fresh_air_kw, "the fresh air of the strictest limit held"),
    ];
    for (kw, what) in with {
        if let Some(kw) = kw.filter(|kw| *kw > 0.05) {
            page.line(5, &format!("while resin is laid, {kw:.1} kW more for {what}: one air flow serves heat and styrene alike"));
        }
    }
    page.line(5, &of.caution);
}

/// A panel colder than the air.
pub(crate) fn brought_in(page: &mut Page, of: Option<&BroughtInLine>) {
    let Some(of) = of else { return };
    let rules = page.rules(&[id::PANEL_QUICK, id::PANEL_SLOW]);
    let span = |span: Option<[f64; 2]>| match span {
        Some([_, slow]) if slow <= 0.0 => "at once".to_owned(),
        Some([quick, slow]) => {
            format!("after {} (a bare skin) to {} (the whole vehicle)", hours(quick), hours(slow))
        }
        None => "never in this air".to_owned(),
    };
    page.line(
        2,
        &format!(
            "a panel at {:.0} °C brought into air of {:.0} °C: warm enough to lay on {}; far enough above the dew point {}; a thermometer on the panel decides {rules}",
            of.panel_c,
            of.air_c,
            span(of.lay_up_after_h),
            span(of.above_dew_after_h)
        ),
    );
}

/// Hours read, and the windows in them.
pub(crate) fn climate(page: &mut Page, of: Option<&ClimateLines>) {
    let Some(of) = of else { return };
    let rules = page.rules(&[id::PANEL_QUICK, id::PANEL_SLOW]);
    let [quick, slow] = of.panel_lag_h.map(hours);
    page.line(
        2,
        &format!(
            "hours read from {} to {} ({}); panels lag by {quick} (a bare skin) to {slow} (the whole vehicle), and the worse of the two decides; nothing is opened in hours that nobody read {rules}:",
            of.first, of.last, of.from
        ),
    );
    for step in &of.steps {
        page.line(
            4,
            &format!(
                "{}, {:.1} opening hours read; shut by temperature {:.1} h, by damp {:.1} h, by the dew point {:.1} h; each window leaves {} after its last start:",
                step.step,
                step.open_h,
                step.shut_by_temperature_h,
                step.shut_by_damp_h,
                step.shut_by_dew_h,
                Minutes(step.rest_min).in_words()
            ),
        );
        for one in &step.windows {
            let to = if one.to.get(..10) == one.from.get(..10) {
                one.to.get(11..).unwrap_or_default()
            } else {
                one.to.as_str()
            };
            page.line(
                6,
                &format!(
                    "{} {} to {to}: {:.1} to {:.1} °C, humidity up to {:.0} %, panel at least {:.1} °C above the dew point{}",
                    one.weekday,
                    one.from,
                    one.coldest_c,
                    one.hottest_c,
                    one.most_humidity_percent,
                    one.least_above_dew_k,
                    if one.hardens { "" } else { "; NOT PLANNED: what is laid here has no time in sight for getting hard" }
                ),
            );
        }
        let planned = step.windows.iter().any(|one| one.hardens);
        if !step.windows.is_empty() && !planned {
            page.line(6, "none of them is planned: keep the place warm after the pour, or wait");
        }
        if step.windows.is_empty() {
            page.line(6, "in no hour of these");
        }
    }
    if of.stands_still_percent > 0.0 {
        let rules = page.rules(&[id::CLOCK_STANDS]);
        page.line(
            4,
            &format!(
                "in {:.0} % of all hours read a laminate is too cold to cure at all {rules}",
                of.stands_still_percent
            ),
        );
    }
}
