//! What the user answered that lifts a block or keeps it up, word for word, so that whoever relies
//! on the answer can see on whose word it stands.

use super::Scene;
use crate::model::body::Presence;
use crate::model::panel::Material;
use crate::model::survey::{HazardTest, MarkKind, SeenNow, Topcoat};
use crate::rules::id;

/// An answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    /// The rule whose question it answers.
    pub rule: &'static str,
    /// The question.
    pub question: String,
    /// The answer.
    pub answer: String,
}

/// Every answer of a job that bears on a block.
#[must_use]
pub fn answers(scene: &Scene<'_>) -> Vec<Answer> {
    let mut found = Vec::new();
    let mut add = |rule: &'static str, question: String, answer: String| {
        found.push(Answer { rule, question, answer });
    };
    let survey = &scene.job.survey;
    if survey.old_paint != HazardTest::Untested {
        add(
            id::PAINT_TEST,
            "lead or chromate in the old paint".to_owned(),
            survey.old_paint.words(),
        );
    }
    if survey.underseal != HazardTest::Untested {
        add(
            id::FILLER_TEST,
            "asbestos in underseal, sealer or damping".to_owned(),
            survey.underseal.words(),
        );
    }
    for finding in scene.findings {
        let mark = finding.mark();
        if mark.kind == MarkKind::OldRepair && mark.old_filler != HazardTest::Untested {
            add(
                id::FILLER_TEST,
                format!("asbestos in the old filler of mark {}", mark.id),
                mark.old_filler.words(),
            );
        }
        if mark.kind == MarkKind::OldRepair
            && let Some(year) = mark.year
        {
            add(
                id::FILLER_TEST,
                format!("year of the old filler of mark {}", mark.id),
                year.to_string(),
            );
        }
        if let SeenNow::Repaired { by, date } = &mark.now {
            add(
                id::SEEN_NOW,
                format!("mark {} since", mark.id),
                format!("repaired by {by}, {date}"),
            );
        }
    }
    if survey.topcoat != Topcoat::Unnamed {
        add(id::ISOCYANATE, "topcoat".to_owned(), survey.topcoat.words().to_owned());
    }
    let energy = scene.energy;
    if energy.traction_battery != Presence::Unknown {
        let words = energy.traction_battery.words().to_owned();
        add(id::BATTERY_HEAT, "traction battery".to_owned(), words);
    }
    if let Some(limit) = energy.battery_heat_limit_c {
        add(id::BATTERY_HEAT, "heat the battery's maker allows".to_owned(), limit.to_string());
    }
    if scene.job.shop.is_some() {
        add(id::AIR_BLOCK, "place of work".to_owned(), scene.shop.place.place.words().to_owned());
    }
    materials(scene, &mut add);
    found
}

/// What the panels with marks are said to be made of.
fn materials(scene: &Scene<'_>, add: &mut dyn FnMut(&'static str, String, String)) {
    let mut said: Vec<(Material, Vec<&str>)> = Vec::new();
    for panel in scene.panels {
        let material = panel.of.panel.material;
        let marked = scene.marks_on(&panel.of.name).next().is_some();
        if !marked || material == Material::Unknown {
            continue;
        }
        match said.iter_mut().find(|(known, _)| *known == material) {
            Some((_, names)) => names.push(&panel.of.name),
            None => said.push((material, vec![&panel.of.name])),
        }
    }
    for (material, names) in said {
        add(
            id::MATERIAL_UNKNOWN,
            format!("material of {}", names.join("; ")),
            material.words().to_owned(),
        );
    }
}
