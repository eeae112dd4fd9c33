//! The answer of `cure`, from figures to its record.

use super::lines_climate::of_course;
use super::lines_shop::{band, gate_line};
use super::model::{ClimateLines, TimeBand, round6};
use super::record_cure::{CureAnswer, CureStage, HoldLine, PeakLine};
use crate::model::stock::{Resin, ResinFamily};
use crate::rules::Book;
use crate::shop::gate::Gate;
use crate::shop::stages::{Behind, Peak};
use crate::shop::what_if::{Asked, Told};

/// The record.
#[must_use]
pub fn record(stock: &str, resin: &Resin, asked: &Asked, told: &Told, book: &Book) -> CureAnswer {
    let catalysed = resin.family != ResinFamily::Epoxy;
    let times = told.forecast.as_ref();
    let gel_alone = || {
        told.gel_min.map(|[low, likely, high]| TimeBand {
            low: Some(round6(low)),
            likely: Some(round6(likely)),
            high: Some(round6(high)),
            rests_on: "gel time of the stock, by temperature; calibrated, not measured".to_owned(),
        })
    };
    let laid_on = match asked.behind {
        Behind::Air => "nothing: both faces open to the air".to_owned(),
        Behind::Panel { thickness_mm } => {
            format!("the old panel, {thickness_mm} mm of it, air behind")
        }
        Behind::Former => "a former that holds the heat in".to_owned(),
    };
    let face = if asked.keeps_face { ", an outer face stays on behind" } else { "" };
    let mut not_known = Vec::new();
    if asked.humidity_percent.is_none() && asked.course.is_none() {
        not_known.push(
            "humidity: not given, so neither damp air nor a wet surface was judged".to_owned(),
        );
    }
    if !catalysed {
        not_known.push(
            "epoxy: sanding, paint and post-cure go by the data sheet; no milestone is worked out"
                .to_owned(),
        );
    }
    not_known.push(
        "styrene in the air, mixes, and the cautions for peroxide, fire, dust and masks: only an estimate from a survey has them, and they hold here all the same"
            .to_owned(),
    );
    let shut = told.gates.iter().filter_map(|gate| match &gate.gate {
        Gate::Shut { why, .. } => Some(format!("{}: {why}", gate.step)),
        Gate::Open | Gate::Warned { .. } => None,
    });
    CureAnswer {
        schema: "plymend.cure",
        schema_version: 1,
        stock: stock.to_owned(),
        resin: resin.name.clone(),
        family: resin.family.words(),
        catalyst_percent: catalysed.then(|| round6(asked.percent)),
        pour_c: round6(told.pour_c),
        night_c: round6(told.night_c),
        humidity_percent: asked.humidity_percent.map(round6),
        climate: climate(asked, told),
        laid_on: format!("{laid_on}{face}"),
        plies_g_m2: asked.plies.iter().map(|ply| round6(ply.glass_kg_m2 * 1000.0)).collect(),
        gates: told.gates.iter().map(gate_line).collect(),
        gel_min: times.map(|times| band(&times.gel, 1.0)).or_else(gel_alone),
        sandable_h: times.map(|times| band(&times.sandable, 60.0)),
        fairing_h: times.map(|times| band(&times.fairing, 60.0)),
        primer_days: times.map(|times| band(&times.paintable, 1440.0)),
        gloss_days: times.map(|times| band(&times.gloss_or_dark, 1440.0)),
        stages: told
            .stages
            .iter()
            .enumerate()
            .map(|(number, stage)| CureStage {
                stage: number + 1,
                plies: stage.plies.len(),
                glass_kg_m2: round6(stage.glass_kg_m2),
                peak: stage.peak.as_ref().map(peak_line),
                next_stage_min: stage.next_min.map(round6),
            })
            .collect(),
        all_at_once: told.all_at_once.as_ref().map(peak_line),
        softens_after_a_day_c: told.softens_after_a_day_c.map(round6),
        post_cures: told
            .post_cures
            .iter()
            .map(|holds| {
                let line = |hold: &crate::shop::post_cure::Hold| HoldLine {
                    oven_c: round6(hold.oven_c),
                    hours: round6(hold.hours),
                    conversion: round6(hold.conversion),
                    glass_c: round6(hold.glass_c),
                };
                holds.iter().map(line).collect()
            })
            .collect(),
        settings: super::assumed::settings(book, crate::model::shop::Habits::default()),
        not_known,
        needs_a_person: shut.collect(),
    }
}

/// Hours in which resin may be poured; nobody asked about paint.
fn climate(asked: &Asked, told: &Told) -> Option<ClimateLines> {
    let (course, settled) = (asked.course.as_ref()?, told.settled.as_ref()?);
    let mut lines = of_course(course, &settled.hours, settled.stands_still_share);
    lines.steps.truncate(1);
    Some(lines)
}

fn peak_line(peak: &Peak) -> PeakLine {
    PeakLine {
        low_c: round6(peak.low_c),
        high_c: round6(peak.high_c),
        most_c: round6(peak.most_c),
        too_hot: peak.too_hot(),
        high_after_min: round6(peak.high_min),
    }
}
