//! Landmarks and fixings of a panel, and the distances round fixings within which marks are referred.

use super::Mapped;
use super::content::Content;
use super::ground::{own, wide_rim};
use super::ink::{Pen, Sign};
use crate::damage::Finding;
use crate::damage::clearance::{self, beyond_mm, is_far};
use crate::damage::referral::{is_paint_only, largest_mm};
use crate::model::panel::{FixingState, Fixings, LoadRow};
use crate::surface::marks::tape_errors;
use crate::surface::mesh::{Mesh, MeshPoint};
use crate::surface::placed::{PlacedFixing, PlacedPanel};

/// A landmark this near to a fixing is the same thing, mm (choice: two bolts never stand so close).
const SAME_MM: f64 = 3.0;
/// A step on the grid is never longer over the skin than this share of it: as the referral takes it.
const GRID_STRETCH: f64 = 1.2;
/// Added to every distance, so that rounding never makes it too small, mm.
const ROUNDING_MM: f64 = 0.5;

/// Draws landmarks, fixings and their distances.
///
/// # Errors
/// In words, when the mesh is far too fine.
pub(super) fn of_panel(
    of: &Mapped<'_, '_>,
    number: usize,
    found: &mut Content,
) -> Result<(), String> {
    let Some(panel) = of.panels.get(number) else { return Ok(()) };
    let on = panel.by_itself();
    let (error_mm, _) = tape_errors(&of.job.book, of.job.survey.people);
    let error_mm = error_mm + ROUNDING_MM;
    let mut named: Vec<usize> = Vec::new();
    for fixing in &on.fixings {
        let mut words = vec![fixing.of.name.clone()];
        let apart = |at: &MeshPoint| (on.mesh.position(at) - on.mesh.position(&fixing.at)).norm();
        for (index, (name, at)) in on.landmarks.iter().enumerate() {
            if apart(at) < SAME_MM {
                named.push(index);
                if *name != fixing.of.name {
                    words.push(format!("= landmark {name}"));
                }
            }
        }
        let carries = fixing.of.carries.words();
        // Many a fixing is called after what it carries.
        words.push(if fixing.of.name.to_lowercase().contains(carries) {
            fixing.of.state.words().to_owned()
        } else {
            format!("{carries}, {}", fixing.of.state.words())
        });
        if let (Some(limit_mm), Some(last)) = (limit_mm(of, fixing), words.last_mut()) {
            last.push_str(&format!(", {limit_mm:.0} mm"));
        }
        found.spot(fixing.at, sign(fixing.of.state), words);
    }
    for (index, (name, at)) in on.landmarks.iter().enumerate() {
        if !named.contains(&index) {
            found.spot(*at, Sign::Landmark, vec![(*name).to_owned()]);
        }
    }
    let over = panel
        .over
        .iter()
        .flat_map(|over| over.fixings.iter().map(move |one| (one, Some(over.of.name.as_str()))));
    let mut rows = Vec::new();
    for (fixing, neighbour) in panel.fixings.iter().map(|one| (one, None)).chain(over) {
        let Some(limit_mm) = limit_mm(of, fixing) else { continue };
        let more = more_mm(of, number, fixing, limit_mm)?;
        if let Some((mark, more_mm)) = more.filter(|(_, mm)| *mm > error_mm) {
            found.says.push(format!(
                "The line round {:?} is drawn {:.0} mm farther out: by its tapes mark {mark} may lie so much nearer than it is drawn.",
                fixing.of.name,
                more_mm.ceil()
            ));
        }
        let more_mm = more.map_or(0.0, |(_, mm)| mm).ceil().max(error_mm);
        let out_mm = limit_mm + fixing.radius_mm + more_mm;
        // As the referral walks: over the filled surface.
        let rim = wide_rim(&panel.mesh, &panel.filled, fixing.at, out_mm)?;
        {
            let on_panel = own(of.panels, (number, number), &rim);
            if let (Some(neighbour), false) = (neighbour, on_panel.lines.is_empty()) {
                found.says.push(format!(
                    "The distance round {:?} of the {neighbour} comes over the seam on to this panel.",
                    fixing.of.name
                ));
            }
            found.draw(Pen::Ring, format!("ring {}", fixing.of.name), on_panel);
        }
        rows.push(fixing.of.carries.row());
    }
    says(of, &rows, error_mm, panel, found);
    Ok(())
}

/// The largest distance that any kind of mark is referred by at a fixing; none where only touching
/// counts.
pub(super) fn limit_mm(of: &Mapped<'_, '_>, fixing: &PlacedFixing<'_>) -> Option<f64> {
    let carries = fixing.of.carries;
    (carries.row() != LoadRow::Light).then(|| largest_mm(&of.job.book, carries))
}

/// The mark that the referral takes the farthest beyond where it is drawn to refer it at a fixing, and
/// how much farther out the line has to be for it, mm: a mark that is not referred, or is drawn within
/// the distance already, asks for nothing.
fn more_mm(
    of: &Mapped<'_, '_>,
    number: usize,
    fixing: &PlacedFixing<'_>,
    limit_mm: f64,
) -> Result<Option<(u32, f64)>, String> {
    let mut most: Option<(u32, f64)> = None;
    for finding in of.findings.iter().filter(|one| !is_paint_only(&one.depth)) {
        let home = finding.placed.panel;
        let Some(from) = of.panels.get(home) else { continue };
        if home != number && !from.over.iter().any(|over| over.piece.panel == number) {
            continue;
        }
        // The same fixing on the mesh that the mark is judged on, and on its panel by itself.
        let over = from.over.iter().flat_map(|over| &over.fixings);
        let known = from.fixings.iter().chain(over);
        let joined = known.map(|one| (from, finding, one));
        let alone = from.alone.as_deref().zip(finding.alone.as_deref());
        let alone = alone
            .iter()
            .flat_map(|(on, finding)| on.fixings.iter().map(|one| (*on, *finding, one)));
        for (on, finding, one) in joined.chain(alone) {
            if !std::ptr::eq(one.of, fixing.of) {
                continue;
            }
            let (placed, extents) = (&finding.placed, &finding.extents);
            if is_far(on, placed, extents, one, limit_mm) {
                continue;
            }
            let beyond_mm = beyond_mm(&of.job.book, on, placed, extents);
            let reach_mm = limit_mm + off_mm(&on.mesh, finding) + beyond_mm + 1.0;
            let reach = clearance::field(on, one, reach_mm)?;
            let found = clearance::of_mark(&of.job.book, on, placed, extents, one, &reach);
            let more = found.solved_mm.min(reach_mm) - limit_mm;
            if found.high_mm <= limit_mm && more > most.map_or(0.0, |(_, mm)| mm) {
                most = Some((finding.mark().id, more + ROUNDING_MM));
            }
        }
    }
    Ok(most)
}

/// How far over the skin the readings allow a mark to be from its place, mm.
fn off_mm(mesh: &Mesh, finding: &Finding<'_>) -> f64 {
    let middle = mesh.grid(&finding.placed.at);
    let off = finding.placed.allowed.iter().map(|at| (mesh.grid(at) - middle).norm());
    off.fold(0.0, f64::max) * GRID_STRETCH
}

fn says(
    of: &Mapped<'_, '_>,
    rows: &[LoadRow],
    error_mm: f64,
    panel: &PlacedPanel<'_>,
    found: &mut Content,
) {
    if matches!(panel.of.panel.fixings, Fixings::Unknown) {
        found.says.push(
            "Nobody has said what is fixed to this panel: there is no line that a mark is safe outside of, and every mark below paint is referred."
                .to_owned(),
        );
    }
    if rows.is_empty() {
        return;
    }
    found.says.push(format!(
        "The long heavy dashes round fixings run at the distance that refers a mark, named at each fixing and measured over the skin from the rim of its footprint, and {:.0} mm more for how far off the tapes may be. A mark counts as far as its fine dashes go.",
        error_mm.ceil()
    ));
    if rows.contains(&LoadRow::BodyMount) {
        let book = &of.job.book;
        found.says.push(format!(
            "Round a body mount the larger distance is drawn; for a mark in the gel coat alone it is {:.0} mm.",
            book.figure(crate::rules::id::REFER_BODY_MOUNT_GEL)
        ));
    }
    if rows.contains(&LoadRow::Bracket) {
        found.says.push(
            "Round brackets and the like: find the cause first; a mark inside that goes through or moves, or a fixing that has failed, refers it."
                .to_owned(),
        );
    }
    found.says.push(
        "Outside these lines a mark may still be referred for another reason; the list of marks decides."
            .to_owned(),
    );
}

pub(super) fn sign(of: FixingState) -> Sign {
    match of {
        FixingState::Sound => Sign::Sound,
        FixingState::NotSeen => Sign::NotSeen,
        FixingState::Seized => Sign::Seized,
        FixingState::Corroded => Sign::Corroded,
        FixingState::Loose
        | FixingState::Cracked
        | FixingState::CorrodedThrough
        | FixingState::TornOut => Sign::Failed,
    }
}
