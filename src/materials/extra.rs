//! The extra-work note: what opening up changes between the estimate from the survey and the one
//! from the sizes found.
//!
//! Takes findings, plans and masses of both; gives the differences in three cases, what joined or
//! changed its method, and the new referrals, which come first. Masses are kg, areas m2, net and
//! without what either estimate leaves out.

use std::collections::BTreeSet;

use super::{JobMaterials, Totals, job_totals};
use crate::damage::Finding;
use crate::model::stock::Stock;
use crate::quantity::{Case, Cases};
use crate::repair::work::Method;
use crate::repair::{Action, Plan};

/// One estimate, worked out.
#[derive(Debug, Clone, Copy)]
pub struct Estimate<'a, 'j> {
    /// Marks.
    pub findings: &'a [Finding<'j>],
    /// Actions and repairs.
    pub plan: &'a Plan<'j>,
    /// Masses of the repairs.
    pub masses: &'a JobMaterials,
    /// Doses, which bear on catalyst only.
    pub doses: &'a super::Doses,
}

/// A quantity before and after.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Change {
    /// From the survey.
    pub before: Cases<f64>,
    /// From the sizes found.
    pub after: Cases<f64>,
}

impl Change {
    /// After less before, case by case.
    #[must_use]
    pub fn more(&self) -> Cases<f64> {
        Cases::from_fn(|case| self.after.get(case) - self.before.get(case))
    }

    /// The likely figure has passed what was said to be the high one.
    #[must_use]
    pub fn is_beyond(&self) -> bool {
        self.after.likely > self.before.high * (1.0 + 1e-9) + 1e-9
    }
}

/// A mark whose action is more serious than before.
#[derive(Debug, Clone, PartialEq)]
pub struct Raised {
    /// The mark.
    pub mark: u32,
    /// Before.
    pub before: Action,
    /// Now.
    pub now: Action,
    /// Why, one a reason that is new.
    pub reasons: Vec<String>,
}

/// What changes.
#[derive(Debug, Clone, PartialEq)]
pub struct ExtraWork {
    /// New referrals, then what is newly held.
    pub raised: Vec<Raised>,
    /// Repairs of several marks that were apart before, with their marks.
    pub joined: Vec<(String, Vec<u32>)>,
    /// Marks with another method in the likely case: before and now.
    pub methods: Vec<(u32, Method, Method)>,
    /// Plies by number.
    pub plies: Change,
    /// Plies by area, m2.
    pub plies_m2: Change,
    /// Glass in mats, kg.
    pub glass_kg: Change,
    /// Laminating resin, kg.
    pub resin_kg: Change,
    /// Gel and flow coat, kg.
    pub gel_coat_kg: Change,
    /// Prepared surface, both sides, m2.
    pub prepared_m2: Change,
}

/// Compares the estimate from the survey with the one from the sizes found.
#[must_use]
pub fn between(stock: &Stock, before: Estimate<'_, '_>, after: Estimate<'_, '_>) -> ExtraWork {
    let change = |of: &dyn Fn(&Estimate<'_, '_>, Case) -> f64| Change {
        before: Cases::from_fn(|case| of(&before, case)),
        after: Cases::from_fn(|case| of(&after, case)),
    };
    let total = |of: &dyn Fn(&Totals) -> f64| {
        change(&|estimate, case| of(&job_totals(stock, estimate.doses, estimate.masses, case)))
    };
    let plies = |of: &dyn Fn(&super::PlyMass) -> f64| {
        change(&|estimate, case| {
            estimate.masses.iter().flat_map(|repair| &repair.get(case).plies).map(of).sum()
        })
    };
    ExtraWork {
        raised: raised(before, after),
        joined: joined(before, after),
        methods: methods(before, after),
        plies: plies(&|_| 1.0),
        plies_m2: plies(&|ply| ply.area.value()),
        glass_kg: total(&|totals| totals.glass.value()),
        resin_kg: total(&|totals| totals.resin.value()),
        gel_coat_kg: total(&|totals| totals.gel_coat.value()),
        prepared_m2: change(&|estimate, case| {
            let areas = estimate.plan.repairs.iter().map(|repair| repair.areas.get(case));
            areas.map(|areas| (areas.prepared_mm2 + areas.prepared_back_mm2) * 1e-6).sum()
        }),
    }
}

const fn weight(action: Action) -> u8 {
    match action {
        Action::Watch => 0,
        Action::Repair => 1,
        Action::Held => 2,
        Action::Refer => 3,
    }
}

fn raised(before: Estimate<'_, '_>, after: Estimate<'_, '_>) -> Vec<Raised> {
    let mut found = Vec::new();
    for (finding, decision) in after.findings.iter().zip(&after.plan.decisions) {
        let id = finding.mark().id;
        let as_recorded = before.findings.iter().zip(&before.plan.decisions);
        let Some((recorded, was)) =
            as_recorded.into_iter().find(|(recorded, _)| recorded.mark().id == id)
        else {
            continue;
        };
        let known: BTreeSet<_> =
            recorded.judged.reasons.iter().map(|one| (one.rule, one.carries, &one.over)).collect();
        let mut reasons: Vec<String> = finding
            .judged
            .reasons
            .iter()
            .filter(|one| !known.contains(&(one.rule, one.carries, &one.over)))
            .map(|one| one.text.clone())
            .collect();
        if decision.action == Action::Held {
            let by: Vec<String> = decision.held_by.iter().map(ToString::to_string).collect();
            reasons.push(format!("held by referred mark {}", by.join(", ")));
        }
        let more = weight(decision.action) > weight(was.action);
        if more || (decision.action == Action::Refer && !reasons.is_empty()) {
            found.push(Raised { mark: id, before: was.action, now: decision.action, reasons });
        }
    }
    found.sort_by_key(|one| (std::cmp::Reverse(weight(one.now)), one.before == one.now, one.mark));
    found
}

/// Marks of a repair.
fn marks_of(of: Estimate<'_, '_>, repair: &crate::repair::Repair<'_>) -> Vec<u32> {
    let ids = repair.findings.iter().filter_map(|number| of.findings.get(*number));
    ids.map(|finding| finding.mark().id).collect()
}

/// Every mark with work, and its repair: the repair's number and its method in the likely case.
fn repair_of(of: Estimate<'_, '_>) -> Vec<(u32, usize, Method)> {
    let mut found = Vec::new();
    for (number, repair) in of.plan.repairs.iter().enumerate() {
        let method = repair.areas.likely.method;
        found.extend(marks_of(of, repair).into_iter().map(|mark| (mark, number, method)));
    }
    found.sort_unstable_by_key(|(mark, ..)| *mark);
    found
}

fn joined(before: Estimate<'_, '_>, after: Estimate<'_, '_>) -> Vec<(String, Vec<u32>)> {
    let was = repair_of(before);
    let numbers = |marks: &[u32]| -> BTreeSet<usize> {
        was.iter().filter(|(mark, ..)| marks.contains(mark)).map(|(_, number, _)| *number).collect()
    };
    let with_marks =
        after.plan.repairs.iter().map(|repair| (repair.id.clone(), marks_of(after, repair)));
    with_marks.filter(|(_, marks)| numbers(marks).len() > 1).collect()
}

fn methods(before: Estimate<'_, '_>, after: Estimate<'_, '_>) -> Vec<(u32, Method, Method)> {
    let was = repair_of(before);
    repair_of(after)
        .into_iter()
        .filter_map(|(mark, _, now)| {
            let (.., method) = was.iter().find(|(of, ..)| *of == mark)?;
            (*method != now).then_some((mark, *method, now))
        })
        .collect()
}
