//! Where practice disagrees: what would another answer change, in kg and in hours?
//!
//! Takes a job worked out; lays it out again for every other answer in use (`panels/conflicts.ron`)
//! and gives the difference, net, in three cases. Nothing that is referred or held is freed by
//! another answer; what it would refer besides is said.

use rayon::prelude::*;
use serde::Deserialize;

use super::labour;
use crate::damage::Finding;
use crate::damage::depth::Reaches;
use crate::materials::{self, RepairMaterials};
use crate::model::panel::Material;
use crate::model::shop::{BackingHabit, GelCracks, Habits, OnEpoxy, PlyOrder};
use crate::model::survey::MarkKind;
use crate::quantity::Cases;
use crate::read::job::Job;
use crate::repair::work::Method;
use crate::repair::{self, Action, Plan};
use crate::rules::{Book, id};
use crate::source::Evidence;
use crate::surface::placed::PlacedPanel;

const TABLE: &str = include_str!("../../panels/conflicts.ron");

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    format: u32,
    questions: Vec<Question>,
}

/// A question on which practice disagrees.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Question {
    /// Its name.
    pub id: String,
    /// The question.
    pub question: String,
    /// Why it is one.
    pub why: String,
    /// What sets it.
    pub set_by: String,
    /// Answers in use, the default first.
    pub answers: Vec<Answer>,
    /// How it is known.
    pub evidence: Evidence,
    /// Where it comes from.
    pub source: String,
}

/// An answer in use.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Answer {
    /// In words.
    pub words: String,
    /// What it changes.
    pub change: Change,
}

/// What an answer changes.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(rename_all = "PascalCase")]
pub enum Change {
    /// The taper, to 1.
    Taper(f64),
    /// The order of plies.
    PlyOrder(PlyOrder),
    /// Likely depth of gel cracks of unknown depth.
    GelCracks(GelCracks),
    /// Gel cracks of unknown depth stay in the gel coat in every case.
    StayInGel,
    /// What is laid behind.
    Backing(BackingHabit),
    /// What covers epoxy.
    OnEpoxy(OnEpoxy),
}

/// The job by some answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// Glass in mats, kg.
    pub glass_kg: Cases<f64>,
    /// Laminating resin, kg.
    pub resin_kg: Cases<f64>,
    /// Gel or flow coat, kg.
    pub coat_kg: Cases<f64>,
    /// Hands-on hours of a trade: repairs, stripping and painting.
    pub hours: Cases<f64>,
}

/// One answer against the one that the job is worked by.
#[derive(Debug, Clone, PartialEq)]
pub struct Difference {
    /// In words.
    pub words: String,
    /// It is the one the job is worked by.
    pub used: bool,
    /// It is the default.
    pub default: bool,
    /// More than the job as it is worked; nothing for the answer used.
    pub more: Option<Outcome>,
    /// Marks that it would refer or hold besides; they are in no figure of it.
    pub referred_more: Vec<u32>,
}

/// A question that matters to the job.
#[derive(Debug, Clone)]
pub struct Conflict {
    /// The question.
    pub question: Question,
    /// Its answers.
    pub answers: Vec<Difference>,
}

/// The questions.
///
/// # Panics
/// Never in a tested build: the file is part of the program and a test reads it.
#[must_use]
#[allow(clippy::expect_used, reason = "the file is compiled in and a test parses it")]
pub fn questions() -> Vec<Question> {
    let table: Table = ron::from_str(TABLE).expect("the built-in questions are whole");
    debug_assert_eq!(table.format, crate::model::FORMAT);
    table.questions
}

/// What every other answer would change; questions that no repair of the job turns on are left out.
///
/// # Errors
/// In words, as [`repair::plan`].
pub fn of_job(
    job: &Job,
    panels: &[PlacedPanel<'_>],
    findings: &[Finding<'_>],
    plan: &Plan<'_>,
    masses: &materials::JobMaterials,
) -> Result<Vec<Conflict>, String> {
    let asked: Vec<Question> =
        questions().into_iter().filter(|one| matters(job, findings, plan, &one.id)).collect();
    let now = outcome(job, panels, findings, plan, masses);
    let of_question = |question: &Question| -> Result<Conflict, String> {
        let answers = question.answers.par_iter().enumerate().map(|(number, answer)| {
            let used = is_used(job, answer.change);
            let (more, referred_more) = if used {
                (None, Vec::new())
            } else {
                let (then, besides) = by(job, panels, findings, plan, answer.change)?;
                (Some(then.less(&now)), besides)
            };
            Ok(Difference {
                words: answer.words.clone(),
                used,
                default: number == 0,
                more,
                referred_more,
            })
        });
        Ok(Conflict {
            question: question.clone(),
            answers: answers.collect::<Result<_, String>>()?,
        })
    };
    asked.par_iter().map(of_question).collect()
}

impl Outcome {
    fn less(&self, other: &Self) -> Self {
        let of = |a: &Cases<f64>, b: &Cases<f64>| Cases::from_fn(|case| a.get(case) - b.get(case));
        Self {
            glass_kg: of(&self.glass_kg, &other.glass_kg),
            resin_kg: of(&self.resin_kg, &other.resin_kg),
            coat_kg: of(&self.coat_kg, &other.coat_kg),
            hours: of(&self.hours, &other.hours),
        }
    }
}

/// Whether any repair of the job turns on a question.
fn matters(job: &Job, findings: &[Finding<'_>], plan: &Plan<'_>, question: &str) -> bool {
    let high = || plan.repairs.iter().map(|repair| (repair, &repair.areas.high));
    let tapered = |plies: &[repair::layout::PlyArea<'_>]| {
        plies.iter().filter(|ply| ply.reach_mm > 0.0).count()
    };
    match question {
        "taper" => high().any(|(_, areas)| tapered(&areas.plies) > 0),
        "ply-order" => high().any(|(repair, areas)| {
            areas.plies.iter().filter(|ply| ply.side == repair.side).count() > 1
        }),
        "gel-cracks" => {
            plan.repairs.iter().flat_map(|repair| &repair.findings).any(|number| {
                findings.get(*number).is_some_and(|finding| is_open_gel_crack(finding))
            })
        }
        "backing" => high().any(|(_, areas)| areas.method == Method::LaminateBacked),
        "on-epoxy" => {
            let coated = high().any(|(repair, areas)| {
                repair.material == Material::Epoxy && areas.prepared_mm2 > 0.0
            });
            coated || job.habits().on_epoxy == OnEpoxy::PaintOnly
        }
        _ => true,
    }
}

fn is_open_gel_crack(finding: &Finding<'_>) -> bool {
    finding.mark().kind == MarkKind::GelCrack && finding.depth.assumed
}

fn is_used(job: &Job, change: Change) -> bool {
    let habits = job.habits();
    match change {
        Change::Taper(taper) => (job.book.figure(id::TAPER) - taper).abs() < 1e-9,
        Change::PlyOrder(order) => habits.ply_order == order,
        Change::GelCracks(answer) => habits.gel_cracks == answer,
        Change::StayInGel => false,
        Change::Backing(habit) => habits.backing == habit,
        Change::OnEpoxy(answer) => habits.on_epoxy == answer,
    }
}

/// The job by another answer, and the marks that it refers or holds besides.
fn by(
    job: &Job,
    panels: &[PlacedPanel<'_>],
    findings: &[Finding<'_>],
    plan: &Plan<'_>,
    change: Change,
) -> Result<(Outcome, Vec<u32>), String> {
    if let Change::PlyOrder(_) = change {
        // The same plies in another order: nothing is laid out anew.
        let masses = weigh(job, job.habits(), plan);
        return Ok((outcome(job, panels, findings, plan, &masses), Vec::new()));
    }
    let mut book = job.book.clone();
    let mut habits = job.habits();
    let mut findings = findings.to_vec();
    for (finding, decision) in findings.iter_mut().zip(&plan.decisions) {
        finding.held_before.extend(&decision.held_by);
    }
    put_in(change, &mut book, &mut habits, &mut findings);
    let then = repair::plan_by(&book, &job.stock, habits, panels, &mut findings)?;
    let masses = weigh(job, habits, &then);
    let besides = plan
        .decisions
        .iter()
        .zip(&then.decisions)
        .zip(&findings)
        .filter(|((before, now), _)| {
            before.action == Action::Repair && now.action != Action::Repair
        })
        .map(|(_, finding)| finding.mark().id)
        .collect();
    Ok((outcome(job, panels, &findings, &then, &masses), besides))
}

fn put_in(change: Change, book: &mut Book, habits: &mut Habits, findings: &mut [Finding<'_>]) {
    match change {
        Change::Taper(taper) => book.suppose(id::TAPER, taper),
        Change::PlyOrder(order) => habits.ply_order = order,
        Change::Backing(habit) => habits.backing = habit,
        Change::OnEpoxy(answer) => habits.on_epoxy = answer,
        Change::GelCracks(_) | Change::StayInGel => {
            for finding in findings.iter_mut().filter(|finding| is_open_gel_crack(finding)) {
                let first = Reaches::Glass(finding.parent.first_glass_mm);
                let (likely, high) = match change {
                    Change::StayInGel => (Reaches::Gel, Reaches::Gel),
                    Change::GelCracks(GelCracks::ReachGlass) => (first, first),
                    _ => (Reaches::Gel, first),
                };
                let set = |finding: &mut Finding<'_>| {
                    finding.depth.cases.likely = likely;
                    finding.depth.cases.high = high;
                };
                set(finding);
                finding.alone.iter_mut().for_each(|alone| set(alone));
            }
        }
    }
}

fn weigh(job: &Job, habits: Habits, plan: &Plan<'_>) -> Vec<Cases<RepairMaterials>> {
    let of = |repair: &repair::Repair<'_>| {
        repair
            .areas
            .map(|areas| materials::of_repair(&job.stock, habits.ply_order, repair.material, areas))
    };
    plan.repairs.iter().map(of).collect()
}

fn outcome(
    job: &Job,
    panels: &[PlacedPanel<'_>],
    findings: &[Finding<'_>],
    plan: &Plan<'_>,
    masses: &materials::JobMaterials,
) -> Outcome {
    let sum = |of: &dyn Fn(&RepairMaterials) -> f64| {
        Cases::from_fn(|case| masses.iter().map(|mass| of(mass.get(case))).sum())
    };
    Outcome {
        glass_kg: sum(&|mass| mass.glass().value()),
        resin_kg: sum(&|mass| mass.resin().value()),
        coat_kg: sum(&|mass| mass.coat.1.value()),
        hours: labour::of_job(job, panels, findings, plan).all,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_questions_are_whole_and_their_first_answer_is_the_default() {
        let book = Book::built_in();
        for question in questions() {
            assert!(question.answers.len() > 1, "{}", question.id);
            let default = match question.answers[0].change {
                Change::Taper(taper) => (taper - book.figure(id::TAPER)).abs() < 1e-9,
                Change::PlyOrder(order) => order == PlyOrder::default(),
                Change::GelCracks(answer) => answer == GelCracks::default(),
                Change::StayInGel => false,
                Change::Backing(habit) => habit == BackingHabit::default(),
                Change::OnEpoxy(answer) => answer == OnEpoxy::default(),
            };
            assert!(default, "{}", question.id);
        }
    }
}
