//! What has to be done: method, removal, plies and reaches, union, coats.
//!
//! Takes the findings; gives every mark its action and every repair its areas in three cases.
//! A mark that is referred, or whose repair would meet a referred mark, gets no repair.

pub mod backing;
pub mod before;
pub mod join;
pub mod laminate;
pub mod laps;
pub mod layout;
pub mod method;
pub mod over_seam;
pub mod paint;
pub mod parent_match;
pub mod plies;
pub mod ply_ground;
pub mod priority;
mod shapes;
pub mod turn;
pub mod work;

use std::collections::BTreeSet;

use rayon::prelude::*;

use crate::damage::Finding;
use crate::damage::referral::{Reason, is_paint_only};
use crate::model::panel::Material;
use crate::model::shop::Habits;
use crate::model::stock::Stock;
use crate::model::survey::{Side, Tried};
use crate::model::words;
use crate::quantity::{Case, Cases};
use crate::read::job::Job;
use crate::rules::{Book, id};
use crate::surface::marks::Form;
use crate::surface::placed::PlacedPanel;
use work::MarkWork;

words! {
/// What is done about a mark.
Action {
    /// Looked at again; nothing is done now.
    Watch => "watch",
    /// Repaired.
    Repair => "repair",
    /// Waits for a referred mark that its repair would meet.
    Held => "held",
    /// Goes to a specialist.
    Refer => "refer",
}}

/// What was decided about a mark.
#[derive(Debug, Clone, PartialEq)]
pub struct Decision {
    /// The action.
    pub action: Action,
    /// Referred marks that hold it.
    pub held_by: Vec<u32>,
}

/// One worked place.
#[derive(Debug, Clone)]
pub struct Repair<'s> {
    /// Its name.
    pub id: String,
    /// Number of its panel in the job.
    pub panel: usize,
    /// Number of the panel whose mesh it is measured on: its own, or one moulded in one with it.
    pub laid_on: usize,
    /// Every panel its marks are on or its work may come on to, its own first.
    pub panels: Vec<usize>,
    /// What they are made of; not known where one of them is not.
    pub material: Material,
    /// The side it is worked from.
    pub side: Side,
    /// Its marks, as numbers into the findings.
    pub findings: Vec<usize>,
    /// Its areas.
    pub areas: Cases<layout::Areas<'s>>,
    /// What its removal is, for export.
    pub shapes: Cases<Vec<layout::RemovalShape>>,
}

/// What this room gives.
#[derive(Debug)]
pub struct Plan<'s> {
    /// One a finding.
    pub decisions: Vec<Decision>,
    /// In order of panel and first mark.
    pub repairs: Vec<Repair<'s>>,
}

/// Decides about every mark and lays out the repairs.
///
/// # Errors
/// In words: a stock that lacks what is needed, or a mesh far too fine.
pub fn plan<'s>(
    job: &'s Job,
    panels: &[PlacedPanel<'_>],
    findings: &mut [Finding<'_>],
) -> Result<Plan<'s>, String> {
    plan_by(&job.book, &job.stock, job.habits(), panels, findings)
}

/// [`plan`] by a book and habits that need not be the job's own.
///
/// # Errors
/// As [`plan`].
pub fn plan_by<'s>(
    book: &Book,
    stock: &'s Stock,
    habits: Habits,
    panels: &[PlacedPanel<'_>],
    findings: &mut [Finding<'_>],
) -> Result<Plan<'s>, String> {
    let close = close_lines(book, panels, findings)?;
    let works: Vec<Option<MarkWork<'_, 's>>> = findings
        .par_iter_mut()
        .enumerate()
        .map(|(number, finding)| {
            let work = work_of((book, habits), stock, panels, finding, close.contains(&number))?;
            work.map(|work| over_seam::on_host(panels, finding, work)).transpose()
        })
        .collect::<Result<_, String>>()?;
    let findings = &*findings;
    let mut decisions: Vec<Decision> = findings
        .iter()
        .map(|finding| Decision {
            action: if !finding.judged.reasons.is_empty() {
                Action::Refer
            } else if finding.mark().watch_only || finding.is_repaired() {
                Action::Watch
            } else {
                Action::Repair
            },
            held_by: Vec::new(),
        })
        .collect();
    let group = join_touching(panels, findings, &works);
    hold(book, panels, findings, &works, &group, &mut decisions)?;
    let members_of = |first: usize| -> Vec<usize> {
        (0..findings.len())
            .filter(|number| {
                group.get(*number) == Some(&first)
                    && decisions.get(*number).is_some_and(|d| d.action == Action::Repair)
            })
            .collect()
    };
    let mut repairs: Vec<Repair<'s>> = (0..findings.len())
        .into_par_iter()
        .filter_map(|first| lay_out(book, panels, findings, &works, &members_of(first)))
        .collect();
    repairs.sort_by_key(|repair| {
        (repair.panel, repair.side, repair.findings.first().copied().unwrap_or(0))
    });
    for (number, repair) in repairs.iter_mut().enumerate() {
        repair.id = format!("R{}", number + 1);
    }
    Ok(Plan { decisions, repairs })
}

/// The work at a mark that nothing refers yet; a ply that would reach a fixing refers it here.
/// A mark that is referred already gets that reason too, so that what it stops is not lost.
fn work_of<'p, 's>(
    (book, habits): (&Book, Habits),
    stock: &'s Stock,
    panels: &'p [PlacedPanel<'_>],
    finding: &mut Finding<'_>,
    close_lines: bool,
) -> Result<Option<MarkWork<'p, 's>>, String> {
    let Some(panel) = panels.get(finding.placed.panel) else { return Ok(None) };
    if finding.is_repaired() {
        return Ok(None);
    }
    let referred = !finding.judged.reasons.is_empty();
    if referred {
        let plies_mm = work::plies_reach_mm(book, stock, habits, panel, finding, close_lines);
        if !plies_mm.is_some_and(|plies_mm| join::may_reach_more(panel, finding, plies_mm)) {
            return Ok(None);
        }
    }
    let planned = work::plan(book, stock, habits, panel, finding, close_lines)?;
    let mut reached = join::plies_at_fixings(panel, &planned);
    if let (Some(alone), Some(own)) = (&finding.alone, &panel.alone) {
        let planned = work::plan(book, stock, habits, own, alone, close_lines)?;
        reached.extend(join::plies_at_fixings(own, &planned));
    }
    if !referred {
        reached.extend(over_seam::reasons(book, panel, finding, &planned));
    }
    let loads = |reason: &Reason| (reason.carries, reason.over.clone());
    let known: BTreeSet<_> = finding.judged.reasons.iter().map(loads).collect();
    reached.retain(|reason| reason.carries.is_none() || !known.contains(&loads(reason)));
    if reached.is_empty() {
        return Ok((!referred).then_some(planned));
    }
    finding.judged.reasons.extend(reached);
    Ok(None)
}

/// Lines in the gel coat that may come closer to each other than the rule allows.
fn close_lines(
    book: &Book,
    panels: &[PlacedPanel<'_>],
    findings: &[Finding<'_>],
) -> Result<BTreeSet<usize>, String> {
    let half_mm = book.figure(id::CRACK_SPACING) / 2.0;
    let lines: Vec<usize> = findings
        .iter()
        .enumerate()
        .filter(|(_, finding)| {
            matches!(finding.placed.form, Form::Line(_))
                && !finding.depth.cases.low.in_glass()
                && !is_paint_only(&finding.depth)
        })
        .map(|(number, _)| number)
        .collect();
    let mut close = BTreeSet::new();
    for (position, one) in lines.iter().enumerate() {
        for other in lines.iter().skip(position + 1) {
            let (Some(a), Some(b)) = (findings.get(*one), findings.get(*other)) else { continue };
            let host = over_seam::host(panels, a);
            if host != over_seam::host(panels, b) || a.mark().side != b.mark().side {
                continue;
            }
            let Some(panel) = panels.get(host) else { continue };
            let ground = |finding: &Finding<'_>| {
                let way = (finding.placed.panel, host);
                let origin = &finding.extents.cases.high.origin;
                crate::surface::field::DistanceField::spread(
                    &panel.mesh,
                    panel.side(finding.mark().side),
                    &over_seam::carried(panels, way, origin)?,
                    half_mm,
                )
                .map(|reach| {
                    vec![join::Ground { reach: std::sync::Arc::new(reach), out_mm: half_mm - 0.5 }]
                })
                .map_err(|why| why.to_string())
            };
            if join::meet(&ground(a)?, &ground(b)?) {
                close.extend([*one, *other]);
            }
        }
    }
    Ok(close)
}

fn join_touching(
    panels: &[PlacedPanel<'_>],
    findings: &[Finding<'_>],
    works: &[Option<MarkWork<'_, '_>>],
) -> Vec<usize> {
    let outermost: Vec<_> = works
        .iter()
        .map(|work| work.as_ref().map(|work| join::outermost(work, Case::High)))
        .collect();
    join::groups(findings.len(), &|one, other| {
        let (Some(a), Some(b)) = (findings.get(one), findings.get(other)) else { return false };
        let hosts = [a, b].map(|finding| over_seam::host(panels, finding));
        if hosts[0] != hosts[1] || a.mark().side != b.mark().side {
            return false;
        }
        if a.mark().watch_only || b.mark().watch_only {
            return false;
        }
        match (outermost.get(one), outermost.get(other)) {
            (Some(Some((front, back))), Some(Some((other_front, other_back)))) => {
                join::meet(front, other_front) || join::meet(back, other_back)
            }
            _ => false,
        }
    })
}

/// Holds every repair whose worked ground may meet a referred mark.
fn hold(
    book: &Book,
    panels: &[PlacedPanel<'_>],
    findings: &[Finding<'_>],
    works: &[Option<MarkWork<'_, '_>>],
    group: &[usize],
    decisions: &mut [Decision],
) -> Result<(), String> {
    let mut held: Vec<(usize, u32)> = Vec::new();
    for (number, finding) in findings.iter().enumerate() {
        let own = group.get(number).copied().unwrap_or(number);
        held.extend(finding.held_before.iter().map(|by| (own, *by)));
        if decisions.get(number).is_none_or(|d| d.action != Action::Refer) {
            continue;
        }
        let host = over_seam::host(panels, finding);
        let referred = join::extent_ground(panels, host, finding)?;
        for (other, work) in works.iter().enumerate() {
            let Some(work) = work else { continue };
            let Some(theirs) = findings.get(other) else { continue };
            let repaired = decisions.get(other).is_some_and(|d| d.action == Action::Repair);
            if over_seam::host(panels, theirs) != host || !repaired {
                continue;
            }
            // Either side counts: what is doubtful here is doubtful through and through.
            let prepared = join::prepared(book, work, theirs.mark().side);
            if join::meet(&prepared, &referred) {
                held.push((group.get(other).copied().unwrap_or(other), finding.mark().id));
            }
        }
    }
    for (number, decision) in decisions.iter_mut().enumerate() {
        let own = group.get(number).copied().unwrap_or(number);
        let by: BTreeSet<u32> =
            held.iter().filter(|(of, _)| *of == own).map(|(_, mark)| *mark).collect();
        if decision.action == Action::Repair && !by.is_empty() {
            decision.action = Action::Held;
            decision.held_by = by.into_iter().collect();
        }
    }
    Ok(())
}

fn lay_out<'s>(
    book: &Book,
    panels: &[PlacedPanel<'_>],
    findings: &[Finding<'_>],
    works: &[Option<MarkWork<'_, 's>>],
    members: &[usize],
) -> Option<Repair<'s>> {
    let first = findings.get(*members.first()?)?;
    let side = first.mark().side;
    let of: Vec<&MarkWork<'_, 's>> =
        members.iter().filter_map(|number| works.get(*number)?.as_ref()).collect();
    let laid_on = over_seam::host(panels, first);
    let shapes = Cases::from_fn(|case| {
        members
            .iter()
            .filter_map(|number| Some((findings.get(*number)?, works.get(*number)?.as_ref()?)))
            .flat_map(|(finding, work)| shapes::of_removal(panels, laid_on, finding, work, case))
            .collect()
    });
    let mut on = vec![first.placed.panel];
    for number in members {
        let (Some(finding), Some(work)) = (findings.get(*number), works.get(*number)?) else {
            continue;
        };
        let own = panels.get(finding.placed.panel)?;
        let beyond_mm = over_seam::beyond_mm(book, work);
        on.extend(
            finding
                .panels(own, beyond_mm)
                .into_iter()
                .filter(|one| !on.contains(one))
                .collect::<Vec<_>>(),
        );
    }
    let mut measured = layout::Measured::default();
    Some(Repair {
        id: String::new(),
        panel: first.placed.panel,
        laid_on,
        material: over_seam::material(panels, &on),
        panels: on,
        side,
        findings: members.to_vec(),
        areas: Cases::from_fn(|case| layout::areas(book, side, &of, case, &mut measured)),
        shapes,
    })
}

/// A crack that goes through and may reach two edges of its panel.
#[must_use]
pub fn may_part(finding: &Finding<'_>) -> bool {
    let ends = |extent: &crate::damage::extent::Extent| extent.ends_on_edge >= 2;
    let through = finding.depth.through || finding.mark().edges_move == Tried::Yes;
    through
        && !finding.is_repaired()
        && (ends(&finding.extents.cases.high)
            || finding.extents.back.as_ref().is_some_and(|back| ends(&back.high)))
}
