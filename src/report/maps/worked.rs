//! Work on a panel: removal, plies and what is keyed, on either side, a neighbour's over a seam too.

use super::Mapped;
use super::content::Content;
use super::ground::{Fields, own};
use super::ink::Pen;
use crate::model::survey::Side;
use crate::quantity::Case;
use crate::repair::Repair;
use crate::repair::layout::PlyGround;
use crate::rules::id;

/// Draws the work of every repair that may come on to a panel.
///
/// # Errors
/// In words, when the mesh is far too fine.
pub(super) fn of_panel(
    of: &Mapped<'_, '_>,
    number: usize,
    found: &mut Content,
) -> Result<(), String> {
    for repair in of.plan.repairs.iter().filter(|one| one.panels.contains(&number)) {
        let before = found.layers.len();
        for side in [Side::Outer, Side::Back] {
            on_side(of, number, repair, side, found)?;
        }
        let marks: Vec<u32> = repair
            .findings
            .iter()
            .filter_map(|one| of.findings.get(*one))
            .map(|finding| finding.mark().id)
            .collect();
        let Some(home) = of.panels.get(repair.panel).filter(|_| repair.panel != number) else {
            continue;
        };
        found.says.push(format!(
            "Work at {} of the {} may come over the seam on to this panel{}.",
            crate::report::text::of_marks(&marks),
            home.of.name,
            if found.layers.len() > before { ": what of it lies here is drawn" } else { "" }
        ));
    }
    Ok(())
}

fn on_side(
    of: &Mapped<'_, '_>,
    number: usize,
    repair: &Repair<'_>,
    side: Side,
    found: &mut Content,
) -> Result<(), String> {
    let way = (repair.laid_on, number);
    // Work on the far side of the skin is seen through it.
    let pen = |front: Pen| if side == Side::Back { Pen::Behind } else { front };
    let behind = if side == Side::Back { " behind" } else { "" };
    let keyed = keyed(of, repair, side);
    let fields = Fields::of(of.panels, of.findings, repair, (side, Case::High), &keyed)?;
    let on = own(of.panels, way, &fields.rim(&keyed));
    found.draw(pen(Pen::Prepared), format!("prepared {}{behind}", repair.id), on);
    let likely = repair.areas.get(Case::Likely);
    let worked = likely.worked.iter().filter(|one| one.side == side);
    let removal: Vec<PlyGround> = worked.flat_map(|one| one.removal.iter().copied()).collect();
    let plies: Vec<_> =
        likely.plies.iter().enumerate().filter(|(_, ply)| ply.side == side).collect();
    let all: Vec<PlyGround> =
        removal.iter().chain(plies.iter().flat_map(|(_, ply)| &ply.grounds)).copied().collect();
    let fields = Fields::of(of.panels, of.findings, repair, (side, Case::Likely), &all)?;
    for (ply, of_ply) in &plies {
        let on = own(of.panels, way, &fields.rim(&of_ply.grounds));
        found.draw(pen(Pen::Ply), format!("ply {}-{}{behind}", repair.id, ply + 1), on);
        if of_ply.grounds.is_empty() && repair.panel == number {
            found.says.push(format!(
                "Repair {} takes a ply on a share of its area only: nobody knows yet where, so it is not drawn.",
                repair.id
            ));
        }
    }
    let on = own(of.panels, way, &fields.rim(&removal));
    found.draw(pen(Pen::Removed), format!("removal {}{behind}", repair.id), on);
    Ok(())
}

/// What is stripped and keyed on a side in the high case.
fn keyed(of: &Mapped<'_, '_>, repair: &Repair<'_>, side: Side) -> Vec<PlyGround> {
    let book = &of.job.book;
    let high = repair.areas.get(Case::High);
    let worked = high.worked.iter().find(|one| one.side == side);
    // What is keyed behind is counted with the ground already where it is only the backing's.
    let beyond_mm = match (side, repair.side) {
        (Side::Outer, _) => book.figure(id::PREPARED),
        (Side::Back, Side::Back) => book.figure(id::BACKING_PREPARED),
        (Side::Back, Side::Outer) => 0.0,
    };
    let mut keyed: Vec<PlyGround> = worked
        .into_iter()
        .flat_map(|one| &one.ground)
        .map(|one| PlyGround { out_mm: one.out_mm + beyond_mm, ..*one })
        .collect();
    // Where only paint is hurt nothing is taken down, yet it is stripped round the mark.
    for (mark, number) in repair.findings.iter().enumerate() {
        let known = keyed.iter().any(|one| one.mark == mark);
        if let (false, true, Some(finding)) = (known, side == repair.side, of.findings.get(*number))
        {
            let out_mm = finding.extents.cases.high.grown_mm + beyond_mm;
            keyed.push(PlyGround { mark, out_mm });
        }
    }
    keyed
}
