//! Shop and air as text.

use super::basis;
use super::model::*;
use super::text::Page;
use super::text_climate;
use crate::quantity::Minutes;
use crate::rules::id;

fn time(minutes: Option<f64>) -> String {
    minutes.map_or_else(|| "not within 90 days".to_owned(), |minutes| Minutes(minutes).in_words())
}

pub(crate) fn band(
    page: &mut Page,
    what: &str,
    of: Option<&TimeBand>,
    unit_min: f64,
    rules: &[&str],
) {
    let Some(of) = of else { return };
    let at = |figure: Option<f64>| time(figure.map(|figure| figure * unit_min));
    let rules = page.rules(rules);
    let (low, likely, high) = (at(of.low), at(of.likely), at(of.high));
    let said = if low == likely && likely == high {
        high
    } else {
        let advice = match (of.high, what.contains("gels")) {
            (None, _) => {
                "the last has no end in sight: ask the resin's maker, do not plan on the first"
            }
            (_, true) => "work by the first, wait by the last",
            (_, false) => "plan on the last",
        };
        format!("{low} / {likely} / {high}; {advice}")
    };
    page.line(2, &format!("{what}: {said} {rules}"));
}

/// A step and whether it may be done.
pub(crate) fn gate(page: &mut Page, gate: &GateLine) {
    let ids: Vec<&str> = gate.rules.iter().map(String::as_str).collect();
    let rules = page.rules(&ids);
    match gate.state {
        "open" => page.line(2, &format!("in order: {} {rules}", gate.step)),
        "warned" => page.line(2, &format!("care: {}: {} {rules}", gate.step, gate.why)),
        _ => {
            page.line(2, &format!("SHUT: {}: {}. {} {rules}", gate.step, gate.why, gate.way_out));
        }
    }
}

/// Climate, times, sittings and air.
pub(crate) fn shop(page: &mut Page, report: &Report) {
    let shop = &report.shop;
    page.heading("THE SHOP");
    let c = |figure: Option<f64>| {
        figure.map_or_else(|| "not given".to_owned(), |figure| format!("{figure:.0} °C"))
    };
    page.line(
        2,
        &format!(
            "climate from {}: pour {}, night {}, humidity {}; {}; work by the {}",
            shop.from,
            c(shop.pour_c),
            c(shop.night_c),
            shop.humidity_percent
                .map_or_else(|| "not given".to_owned(), |figure| format!("{figure:.0} %")),
            shop.place,
            shop.worker
        ),
    );
    for one in &shop.gates {
        gate(page, one);
    }
    text_climate::brought_in(page, shop.brought_in.as_ref());
    text_climate::warming(page, shop.warming.as_ref());
    text_climate::climate(page, shop.climate.as_ref());
    for what in &shop.untimed {
        page.line(2, &format!("{what}: no time while it is blocked"));
    }
    if !shop.sittings.is_empty() {
        let at = format!("resin at {} % catalyst gels after", shop.catalyst_percent);
        band(page, &at, shop.gel_min.as_ref(), 1.0, &[id::CURE_MODEL, id::GEL_BAND]);
        let rules = [id::CURE_MODEL, id::CLOCK_STANDS];
        band(page, "may be sanded after", shop.sandable_h.as_ref(), 60.0, &rules);
        let primer = [id::PAINT_FLOOR_PRIMER];
        band(page, "primer not before", shop.primer_days.as_ref(), 1440.0, &primer);
        let gloss = [id::PAINT_FLOOR_GLOSS];
        band(page, "gloss or dark colour not before", shop.gloss_days.as_ref(), 1440.0, &gloss);
        if let Some(softens_c) = shop.softens_after_a_day_c {
            let rules = page.rules(&[id::CURE_MODEL, id::POST_CURE_ABOVE]);
            page.line(
                2,
                &format!(
                    "a day after the pour it softens again at about {:.0} °C: no sun on it, \
                     nothing leant on it, and no oven hotter than its softening point of the day \
                     allows {rules}",
                    softens_c.floor()
                ),
            );
        }
        if let Some(times) = &shop.sandable_h {
            page.line(5, &format!("how far to trust these times: {}", times.rests_on));
        }
    }
    sittings(page, shop);
    air(page, shop);
}

fn sittings(page: &mut Page, shop: &ShopLines) {
    if shop.sittings.is_empty() {
        return;
    }
    let rules = page.rules(basis::SITTINGS);
    page.line(2, &format!("sittings of the high case, one stage at a time {rules}:"));
    for one in &shop.sittings {
        let mixes = match (one.mix_g, one.mix_catalyst_g, one.mix_catalyst_ml, one.use_by_min) {
            (Some(g), Some(cat_g), Some(cat_ml), Some(use_by)) => format!(
                "; {} of {g:.0} g with {cat_g:.1} g = {cat_ml:.1} ml of catalyst, each used within {use_by:.0} min",
                if one.mixes == 1 { "1 mix".to_owned() } else { format!("{} mixes", one.mixes) }
            ),
            _ => format!(
                "; in pots of {:.0} g at most, at {} % catalyst",
                shop.pot_most_g, shop.gel_catalyst_percent
            ),
        };
        let blocked = if one.blocked_by.is_empty() {
            String::new()
        } else {
            format!("; NOT TO BE MIXED: {}", one.blocked_by.join(", "))
        };
        page.line(
            5,
            &format!(
                "{} stage {}, {}{}: {:.3} kg{mixes}; styrene up to {:.0} g{blocked}",
                one.repair,
                one.stage,
                one.what,
                plies(one),
                one.poured_kg,
                one.styrene_g
            ),
        );
    }
    let computed = shop.sittings.iter().any(|one| one.peak_high_c.is_some());
    let blind = shop.sittings.iter().any(|one| one.plies > 0 && one.peak_high_c.is_none());
    if computed {
        page.line(
            5,
            "peaks: from a calibrated model, not measured; the upper figure has chosen the stages. \
             Feel the laminate: lay the next stage when it is hard everywhere and hand-cool, and \
             grind first when more than a day has gone by.",
        );
    }
    if blind {
        page.line(
            5,
            "without peak: temperature or resin is not known or out of range, so fewer plies go \
             on at once; wait until each stage is hard and hand-cool.",
        );
    }
}

/// Plies of a sitting, how hot they may get, and when the next may follow.
fn plies(one: &SittingLine) -> String {
    if one.plies == 0 {
        return String::new();
    }
    let count = if one.plies == 1 { "1 ply".to_owned() } else { format!("{} plies", one.plies) };
    let (Some(low), Some(high), Some(most)) = (one.peak_low_c, one.peak_high_c, one.peak_most_c)
    else {
        return format!(" of {count}");
    };
    // The upper bound is rounded up, so that it is never understated.
    let peak = format!("peak {low:.0} to {:.0} °C, at most {most:.0}", high.ceil());
    let next = one.next_stage_min.map_or_else(
        || "next stage not within a day".to_owned(),
        |minutes| format!("next stage after {}", Minutes(minutes).in_words()),
    );
    format!(" of {count} ({peak}; {next})")
}

fn air(page: &mut Page, shop: &ShopLines) {
    let Some(air) = &shop.air else { return };
    let rules = page.rules(&[id::AIR_EMISSION, id::AIR_SITTING, id::AIR_NEAR]);
    let room = match (air.room_m3, air.air_changes_per_h) {
        (Some(room), Some(changes)) => {
            let assumed = if air.room_assumed { ", assumed" } else { "" };
            format!("{room:.0} m³ with {changes:.1} air changes an hour{assumed}")
        }
        _ => "outdoors".to_owned(),
    };
    let [low, deciding, high] = air.styrene_g;
    page.line(
        2,
        &format!(
            "air, worst sitting {} ({:.2} kg): styrene {low:.0} to {high:.0} g, {deciding:.0} g by the deciding form; {room} {rules}",
            air.worst_sitting, air.poured_kg
        ),
    );
    if let (Some(peak), Some(near), Some(all)) = (air.peak_ppm, air.near_ppm, air.all_at_once_ppm) {
        let rules = page.rules(&[id::AIR_BLOCK, id::AIR_BLOCK_FIRE]);
        page.line(
            5,
            &format!("room {peak:.0} ppm, head over the job {near:.0} ppm; {all:.0} ppm if all {:.0} g were given off at once {rules}", air.all_styrene_g),
        );
    }
    page.line(5, "limits as held; the strictest decides, none of them is there to be chosen:");
    for limit in &air.limits {
        if limit.over == crate::shop::limits::Over::ImmediateDanger.words() {
            page.line(
                5,
                &format!(
                    "{} {} ppm, {}: nobody stays or goes in above it, whatever the mask ({}; {})",
                    limit.set, limit.ppm, limit.over, limit.document, limit.evidence
                ),
            );
            continue;
        }
        let factor = limit.needed_factor.map_or(String::new(), |factor| {
            if factor > 1.0 { format!(", mask factor {:.0}", factor.ceil()) } else { String::new() }
        });
        // Rounded down to 10 g: never more than it takes.
        let least = limit.most_kg.map_or_else(String::new, |kg| {
            format!(", or {:.2} kg in one sitting as the room stands", (kg * 100.0).floor() / 100.0)
        });
        page.line(
            5,
            &format!(
                "{} {} ppm, {}: {:.0} m³/h of fresh air{factor}{least} ({}; {})",
                limit.set,
                limit.ppm,
                limit.over,
                limit.fresh_air_m3_h,
                limit.document,
                limit.evidence
            ),
        );
    }
    if let Some(minutes) = air.purge_min {
        page.line(
            5,
            &format!(
                "down to the strictest limit held: {} after the last pour has gelled",
                Minutes(minutes).in_words()
            ),
        );
    }
}
