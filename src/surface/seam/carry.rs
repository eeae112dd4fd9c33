//! From the mesh of one panel to that of another that it is moulded in one with.

use crate::surface::mesh::MeshPoint;
use crate::surface::origin::{Origin, Piece as OriginPiece};
use crate::surface::placed::PlacedPanel;

/// The same place on the mesh of another panel that this one is moulded in one with.
#[must_use]
pub fn carry_point(
    panels: &[PlacedPanel<'_>],
    (from, to): (usize, usize),
    at: &MeshPoint,
) -> Option<MeshPoint> {
    let over = panels.get(from)?.over_face(at.face);
    let (panel, face) = match over {
        Some(over) => (over.piece.panel, at.face - over.piece.first_face),
        None => (from, at.face),
    };
    if panel == to {
        return Some(MeshPoint { face, ..*at });
    }
    let there = panels.get(to)?.over.iter().find(|over| over.piece.panel == panel)?;
    Some(MeshPoint { face: face + there.piece.first_face, ..*at })
}

/// The same origin on the mesh of another panel that this one is moulded in one with.
#[must_use]
pub fn carry(panels: &[PlacedPanel<'_>], way: (usize, usize), origin: &Origin) -> Option<Origin> {
    if way.0 == way.1 {
        return Some(origin.clone());
    }
    let (here, there) = (panels.get(way.0)?, panels.get(way.1)?);
    let pieces = origin
        .pieces
        .iter()
        .map(|piece| {
            Some(match *piece {
                OriginPiece::Point(at) => OriginPiece::Point(carry_point(panels, way, &at)?),
                OriginPiece::Segment { face, from, to } => {
                    let moved = carry_point(panels, way, &MeshPoint { face, weights: from })?;
                    OriginPiece::Segment { face: moved.face, from, to }
                }
            })
        })
        .collect::<Option<Vec<_>>>()?;
    let laid = there.over.iter().find(|over| over.piece.panel == way.0)?;
    let filled = match &origin.filled {
        None => None,
        Some(outline) => {
            let corner = |place| match here.mesh.locate(place) {
                Some(at) => Some(there.mesh.grid(&carry_point(panels, way, &at)?)),
                // Over an edge of everything: as the panel's own grid goes on there.
                None => Some(laid.piece.on_chart(place)),
            };
            Some(outline.iter().map(|place| corner(*place)).collect::<Option<Vec<_>>>()?)
        }
    };
    Some(Origin { pieces, filled })
}
