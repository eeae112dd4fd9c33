//! The answer of `cure` as text.

use super::record_cure::{CureAnswer, PeakLine};
use super::text::Page;
use super::text_climate;
use super::text_shop::{band, gate};
use crate::quantity::Minutes;
use crate::rules::{Book, id};
use crate::wording::plain;

/// The whole answer.
#[must_use]
pub fn full(answer: &CureAnswer, book: &Book) -> String {
    let mut page = Page::of_book(book);
    let dose = answer
        .catalyst_percent
        .map_or_else(|| "mixed as its tin says".to_owned(), |dose| format!("{dose} % catalyst"));
    let weights: Vec<String> = answer.plies_g_m2.iter().map(|one| format!("{one:.0}")).collect();
    page.line(0, &format!("{}, {dose} ({})", answer.resin, answer.stock));
    page.line(
        0,
        &format!(
            "plies of {} g/m² from the floor up, on {}; pour to gel at {} °C, then {} °C",
            weights.join(", "),
            answer.laid_on,
            plain(answer.pour_c, 1),
            plain(answer.night_c, 1)
        ),
    );
    for one in &answer.settings {
        let loud = if one.weakened { "SAFETY RULE WEAKENED: " } else { "setting changed: " };
        page.line(0, &format!("{loud}{}: {}", one.rule, one.text));
    }
    page.heading("MAY IT BE LAID");
    for one in &answer.gates {
        gate(&mut page, one);
    }
    text_climate::climate(&mut page, answer.climate.as_ref());
    if answer.needs_a_person.is_empty() {
        times(&mut page, answer);
    } else {
        page.line(2, "no times while it is refused; fewer plies a stage, as without a peak");
    }
    stages(&mut page, answer);
    later(&mut page, answer);
    page.heading("NOT KNOWN HERE");
    for one in &answer.not_known {
        page.line(2, one);
    }
    page.line(
        0,
        "plymend explain RULE tells what a rule rests on. Local law, data sheets and licensed \
         practice come first.",
    );
    page.finish()
}

fn times(page: &mut Page, answer: &CureAnswer) {
    page.heading("TIMES (early / likely / late)");
    let gel = [id::CURE_MODEL, id::GEL_BAND];
    band(page, "a thin film gels after", answer.gel_min.as_ref(), 1.0, &gel);
    let model = [id::CURE_MODEL, id::CLOCK_STANDS];
    band(page, "may be sanded after", answer.sandable_h.as_ref(), 60.0, &model);
    band(page, "may be faired after", answer.fairing_h.as_ref(), 60.0, &model);
    let primer = [id::PAINT_FLOOR_PRIMER];
    band(page, "primer not before", answer.primer_days.as_ref(), 1440.0, &primer);
    let gloss = [id::PAINT_FLOOR_GLOSS];
    band(page, "gloss or dark colour not before", answer.gloss_days.as_ref(), 1440.0, &gloss);
    if let Some(times) = &answer.sandable_h {
        page.line(5, "sanding: waxed or film-covered resin only; bare it stays tacky");
        page.line(5, &format!("how far to trust these times: {}", times.rests_on));
    }
}

/// Bounds with the upper one rounded up, so that it is never understated.
fn bounds(peak: &PeakLine) -> String {
    format!(
        "peak {:.0} to {:.0} °C, {} {:.0}",
        peak.low_c,
        peak.high_c.ceil(),
        if peak.too_hot { "ABOVE the" } else { "at most" },
        peak.most_c
    )
}

fn stages(page: &mut Page, answer: &CureAnswer) {
    page.heading("STAGES");
    let rules =
        page.rules(&[id::STAGE_CAP, id::STAGE_CAP_BLIND, id::STAGE_PEAK, id::STAGE_PEAK_FACE]);
    page.line(2, &format!("laid one stage at a time, the upper figure decides {rules}:"));
    for one in &answer.stages {
        let plies =
            if one.plies == 1 { "1 ply".to_owned() } else { format!("{} plies", one.plies) };
        let peak = one.peak.as_ref().map_or_else(|| "peak not computed".to_owned(), bounds);
        let next = match (one.stage == answer.stages.len(), one.next_stage_min, &one.peak) {
            (true, _, _) => String::new(),
            (false, Some(minutes), _) => {
                format!("; next stage after {}", Minutes(minutes).in_words())
            }
            (false, None, Some(_)) => "; next stage not within a day".to_owned(),
            (false, None, None) => "; next stage when hard and hand-cool".to_owned(),
        };
        page.line(
            5,
            &format!(
                "stage {}: {plies}, {:.2} kg/m² of glass; {peak}{next}",
                one.stage, one.glass_kg_m2
            ),
        );
    }
    if let Some(peak) = &answer.all_at_once {
        page.line(
            5,
            &format!(
                "all at once: {}, the upper after {}",
                bounds(peak),
                Minutes(peak.high_after_min).in_words()
            ),
        );
    }
    if answer.stages.iter().all(|one| one.peak.is_none()) {
        return;
    }
    page.line(
        5,
        "peaks: from a calibrated model, not measured, and above about 4 mm no prediction. Lay the \
         next stage when it is hard everywhere and hand-cool; grind first when more than a day has \
         gone by.",
    );
}

fn later(page: &mut Page, answer: &CureAnswer) {
    let Some(softens_c) = answer.softens_after_a_day_c else { return };
    page.heading("SUN AND OVEN");
    page.line(
        2,
        &format!(
            "after a day it softens again at about {:.0} °C: keep it out of the sun and lean \
             nothing on it",
            softens_c.floor()
        ),
    );
    let rules = page.rules(&[id::POST_CURE_ABOVE]);
    page.line(2, &format!("hardening on with heat after that day, in steps {rules}:"));
    for holds in &answer.post_cures {
        let steps: Vec<String> = holds
            .iter()
            .map(|hold| format!("{:.0} h at {:.0} °C", hold.hours, hold.oven_c))
            .collect();
        if let Some(last) = holds.last() {
            page.line(
                5,
                &format!(
                    "{}: softens at about {:.0} °C then (conversion {:.2})",
                    steps.join(", "),
                    last.glass_c.floor(),
                    last.conversion
                ),
            );
        }
    }
    page.line(5, crate::wording::HEATER_CAUTION);
}
