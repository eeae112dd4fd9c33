//! The pieces of a scan: the largest is the panel, the rest is told with its area.
#![allow(clippy::indexing_slicing, reason = "numbers come from the lists they index")]

use nalgebra::Point3;

use super::edges::{Edges, NONE};
use super::{area_mm2, middle, said};
use crate::surface::skin::SkinFault;

/// Another piece this large beside the panel is no crumb (choice).
const LARGE_SHARE: f64 = 0.25;

struct Piece {
    area_mm2: f64,
    first: u32,
}

/// Keeps the largest piece; says what was left out.
///
/// # Errors
/// A second piece is nearly as large, so that it is open which one is the panel.
pub(super) fn largest(
    positions: &[Point3<f64>],
    faces: &mut Vec<[u32; 3]>,
    edges: &mut Edges,
    notes: &mut Vec<String>,
) -> Result<(), SkinFault> {
    let mut of = vec![NONE; faces.len()];
    let mut pieces: Vec<Piece> = Vec::new();
    // Faces that meet on an odd edge hang together too.
    let mut beside: Vec<(u32, u32)> = Vec::new();
    for odd in &edges.odd {
        let met: Vec<u32> = odd.halves.iter().map(|half| half / 3).collect();
        for pair in met.windows(2) {
            beside.extend([(pair[0], pair[1]), (pair[1], pair[0])]);
        }
    }
    beside.sort_unstable();
    let mut open: Vec<u32> = Vec::new();
    for first in 0..faces.len() as u32 {
        if of[first as usize] != NONE {
            continue;
        }
        let number = pieces.len() as u32;
        pieces.push(Piece { area_mm2: 0.0, first });
        of[first as usize] = number;
        open.push(first);
        while let Some(face) = open.pop() {
            let start =
                if beside.is_empty() { 0 } else { beside.partition_point(|(f, _)| *f < face) };
            let odd = beside[start..].iter().take_while(|(f, _)| *f == face).map(|(_, g)| *g);
            for next in edges.across[face as usize].into_iter().chain(odd) {
                if next != NONE && of[next as usize] == NONE {
                    of[next as usize] = number;
                    open.push(next);
                }
            }
        }
    }
    if pieces.len() < 2 {
        return Ok(());
    }
    for (face, piece) in faces.iter().zip(&of) {
        pieces[*piece as usize].area_mm2 += area_mm2(positions, *face);
    }
    let mut order: Vec<usize> = (0..pieces.len()).collect();
    order.sort_by(|a, b| pieces[*b].area_mm2.total_cmp(&pieces[*a].area_mm2).then(a.cmp(b)));
    let at = |piece: &Piece| said(middle(positions, faces[piece.first as usize]));
    let (panel, second) = (&pieces[order[0]], &pieces[order[1]]);
    if second.area_mm2 > LARGE_SHARE * panel.area_mm2 {
        return Err(SkinFault::new(
            "surface.part",
            format!(
                "the scan has {} pieces that do not hang together; the two largest measure {:.4} \
                 m² (at {}) and {:.4} m² (at {})",
                pieces.len(),
                panel.area_mm2 * 1e-6,
                at(panel),
                second.area_mm2 * 1e-6,
                at(second)
            ),
            "one piece, or one that is four times as large as any other",
            "name the group or object that is the panel in `part`; cut the rest off; or raise \
             `weld_mm` where one panel came in strips",
        )
        .coded("SCAN-PART"));
    }
    let left: f64 = order[1..].iter().map(|number| pieces[*number].area_mm2).sum();
    let shown: Vec<String> = order[1..]
        .iter()
        .take(5)
        .map(|number| {
            let piece = &pieces[*number];
            format!("{:.1} cm² at {}", piece.area_mm2 * 1e-2, at(piece))
        })
        .collect();
    let more = if order.len() > 6 { " and smaller ones" } else { "" };
    notes.push(format!(
        "scan: largest piece taken as the panel; {} other(s) left out, {:.1} cm² together: {}{more}",
        order.len() - 1,
        left * 1e-2,
        shown.join("; ")
    ));
    let kept = order[0] as u32;
    let mut number = vec![NONE; faces.len()];
    let mut fresh = 0;
    for (face, piece) in of.iter().enumerate() {
        if *piece == kept {
            number[face] = fresh;
            fresh += 1;
        }
    }
    let renumbered = |face: u32| if face == NONE { NONE } else { number[face as usize] };
    let keep = |face: usize| of[face] == kept;
    let mut at = 0;
    faces.retain(|_| {
        at += 1;
        keep(at - 1)
    });
    at = 0;
    edges.across.retain(|_| {
        at += 1;
        keep(at - 1)
    });
    for across in &mut edges.across {
        *across = across.map(renumbered);
    }
    edges.odd.retain(|odd| odd.halves.first().is_some_and(|half| keep((half / 3) as usize)));
    for half in edges.odd.iter_mut().flat_map(|odd| odd.halves.iter_mut()) {
        *half = renumbered(*half / 3) * 3 + *half % 3;
    }
    Ok(())
}
