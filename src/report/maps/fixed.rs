//! Landmarks and fixings of a panel, and the distances round fixings within which marks are referred.

use super::Mapped;
use super::content::Content;
use super::ground::{own, rims};
use super::ink::{Pen, Sign};
use crate::damage::Finding;
use crate::damage::referral::largest_mm;
use crate::model::panel::{FixingState, Fixings, LoadRow};
use crate::surface::mesh::{Mesh, MeshPoint};
use crate::surface::origin::Origin;
use crate::surface::placed::{PlacedFixing, PlacedPanel};

/// A landmark this near to a fixing is the same thing, mm (choice: two bolts never stand so close).
const SAME_MM: f64 = 3.0;
/// A step on the grid is never longer over the skin than this share of it: as the referral takes it.
const GRID_STRETCH: f64 = 1.2;

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
    let error_mm = error_mm(of, number);
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
        if let Some(limit_mm) = limit_mm(of, fixing) {
            if let Some(last) = words.last_mut() {
                last.push_str(&format!(", {limit_mm:.0} mm"));
            }
        }
        found.spot(fixing.at, sign(fixing.of.state), words);
    }
    for (index, (name, at)) in on.landmarks.iter().enumerate() {
        if !named.contains(&index) {
            found.spot(*at, Sign::Landmark, vec![(*name).to_owned()]);
        }
    }
    let over = panel.over.iter().flat_map(|over| {
        over.fixings.iter().map(move |one| (one, Some(over.of.name.as_str())))
    });
    let mut rows = Vec::new();
    for (fixing, neighbour) in panel.fixings.iter().map(|one| (one, None)).chain(over) {
        let Some(limit_mm) = limit_mm(of, fixing) else { continue };
        let out_mm = radius_mm(limit_mm, fixing, error_mm);
        // As the referral walks: over the filled surface.
        let rims = rims(&panel.mesh, &panel.filled, &Origin::point(fixing.at), &[out_mm])?;
        for rim in rims {
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

/// Radius of the line round a fixing over the skin, mm: no mark that the referral may find nearer
/// than its limit is drawn wholly outside it.
pub(super) fn radius_mm(limit_mm: f64, fixing: &PlacedFixing<'_>, error_mm: f64) -> f64 {
    limit_mm + fixing.radius_mm + error_mm
}

/// The largest distance that any kind of mark is referred by at a fixing; none where only touching
/// counts.
pub(super) fn limit_mm(of: &Mapped<'_, '_>, fixing: &PlacedFixing<'_>) -> Option<f64> {
    let carries = fixing.of.carries;
    (carries.row() != LoadRow::Light).then(|| largest_mm(&of.job.book, carries))
}

/// How far off the places of marks may be that could come near to fixings of a panel, whole mm over
/// the skin: the marks on the panel, and on those it is moulded in one with.
pub(super) fn error_mm(of: &Mapped<'_, '_>, number: usize) -> f64 {
    let hangs = |home: usize| {
        let home = of.panels.get(home);
        home.is_some_and(|home| home.over.iter().any(|over| over.piece.panel == number))
    };
    let near = of
        .findings
        .iter()
        .filter(|one| one.placed.panel == number || hangs(one.placed.panel))
        .filter_map(|one| Some((one, of.panels.get(one.placed.panel)?)));
    near.map(|(finding, on)| off_mm(&on.mesh, finding)).fold(0.0, f64::max).ceil()
}

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
        "The long orange dashes run at the distance that refers a mark, named at each fixing and measured over the skin from the rim of its footprint, and {error_mm:.0} mm more for how far off the tapes may be. A mark counts as far as its fine dashes go."
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

fn sign(of: FixingState) -> Sign {
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
