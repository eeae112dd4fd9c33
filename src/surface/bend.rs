//! Where a path bends: vertices on rims and on saddles that shine anew.
//!
//! A path through such a vertex can be straight only where it leaves at least half a turn from
//! the way it came, on both sides; it shines into that wedge and no further. Lengths are
//! millimetres, angles radians.
#![allow(
    clippy::indexing_slicing,
    reason = "cell, vertex and corner numbers come from the ground, which gave them out"
)]

use std::f64::consts::PI;

use nalgebra::Vector2;

use super::front::Front;
use super::ground::{CellId, WALL, split};
use super::window::{Came, Kind, Window};

/// Slack in the angle at which paths may bend, radians.
const BEND: f64 = 1e-7;

/// A cell met turning round a vertex: the angle turned before it and the angle it spans.
struct Slice {
    cell: CellId,
    from: f64,
    span: f64,
}

/// An angle brought to within half a turn of zero.
fn turn_to(angle: f64) -> f64 {
    (angle + PI).rem_euclid(2.0 * PI) - PI
}

impl Front<'_, '_> {
    /// Lets a vertex shine through the far edges of the faces round it, where a shortest path
    /// may bend to: at least half a turn from the way it came, on both sides.
    pub(super) fn shine_from(&mut self, vertex: u32) {
        let arrival = self.arrival.get(vertex as usize).copied().flatten();
        let arrival = arrival.filter(|_| !self.started.contains(&vertex));
        let round = self.cells_round(vertex);
        let Some((cell, back)) = arrival else {
            for cell in round {
                self.shine_into(vertex, cell, [f64::NEG_INFINITY, f64::INFINITY]);
            }
            return;
        };
        let (closed, left) = self.turn(vertex, cell, back, true);
        let turned = |fan: &[Slice]| fan.last().map_or(0.0, |slice| slice.from + slice.span);
        let least = PI - BEND;
        if closed {
            let most = turned(&left) - least;
            for slice in &left {
                self.shine_into(vertex, slice.cell, [least - slice.from, most - slice.from]);
            }
            return;
        }
        let (_, right) = self.turn(vertex, cell, back, false);
        for slice in &left {
            self.shine_into(vertex, slice.cell, [least - slice.from, f64::INFINITY]);
        }
        for slice in &right {
            // Counted clockwise: the same face seen from its other edge.
            let most = slice.from + slice.span - least;
            self.shine_into(vertex, slice.cell, [f64::NEG_INFINITY, most]);
        }
        for other in round {
            // Cells that touch the vertex only, behind a wall.
            if !left.iter().chain(&right).any(|slice| slice.cell == other) {
                self.shine_into(vertex, other, [f64::NEG_INFINITY, f64::INFINITY]);
            }
        }
    }

    /// The cells round a vertex on which one may walk.
    fn cells_round(&mut self, vertex: u32) -> Vec<CellId> {
        let faces = self.ground.mesh.faces_round(self.ground.vertices[vertex as usize]);
        let open = faces.iter().filter(|face| self.walk.passable[**face as usize]);
        open.map(|face| self.ground.enter(*face, &self.walk)).collect()
    }

    /// The cells met turning round a vertex from a direction in one of them, and whether the
    /// turn is a full one. Angles count from that direction.
    fn turn(
        &mut self,
        vertex: u32,
        first: CellId,
        back: Vector2<f64>,
        counter: bool,
    ) -> (bool, Vec<Slice>) {
        let mut fan: Vec<Slice> = Vec::new();
        let mut cell = first;
        loop {
            let here = &self.ground.cells[cell as usize];
            let Some(corner) = here.corners.iter().position(|v| *v == vertex) else {
                return (false, fan);
            };
            let apex = here.frame.apex[corner];
            let span = apex.y.atan2(apex.x);
            let from = match fan.last() {
                Some(slice) => slice.from + slice.span,
                None => {
                    // The direction is written on edge 0 of the face: turn it to this corner.
                    let ahead = here.edge_angle(corner);
                    let angle = turn_to(back.y.atan2(back.x) - ahead).clamp(0.0, span);
                    if counter { -angle } else { angle - span }
                }
            };
            fan.push(Slice { cell, from, span });
            let side = if counter { (corner + 2) % 3 } else { corner };
            let link = self.ground.link(cell, side, &self.walk);
            if link == WALL || fan.len() >= 10_000 {
                return (false, fan);
            }
            match split(link).0 {
                next if next == first => {
                    // What is left of the full turn is the part of the first face before.
                    let (from, ahead) = (from + span, -fan[0].from);
                    fan.push(Slice { cell: first, from, span: ahead });
                    return (true, fan);
                }
                next => cell = next,
            }
        }
    }

    /// Lets a vertex shine through the far edge of one cell, between two angles counted from
    /// the edge that leaves the vertex.
    fn shine_into(&mut self, vertex: u32, cell: CellId, angles: [f64; 2]) {
        let here = &self.ground.cells[cell as usize];
        let (corners, frame) = (here.corners, here.frame);
        let Some(corner) = corners.iter().position(|v| *v == vertex) else { return };
        let base = self.ground.known[vertex as usize];
        let (next, last) = ((corner + 1) % 3, (corner + 2) % 3);
        let apex = frame.apex[corner];
        let span = apex.y.atan2(apex.x);
        let [low, high] = angles;
        if high < 0.0 || low > span || low > high {
            return;
        }
        let at = [Vector2::zeros(), Vector2::new(frame.length[0], 0.0), frame.apex[0]];
        // Paths along the two edges that leave the vertex.
        if low <= 0.0 {
            let length = base + frame.length[corner];
            self.reach_vertex(corners[next], length, cell, at[corner] - at[next]);
        }
        if high >= span {
            let length = base + frame.length[last];
            self.reach_vertex(corners[last], length, cell, at[corner] - at[last]);
        }
        let link = self.ground.link(cell, next, &self.walk);
        if link == WALL {
            return;
        }
        let (beyond, side) = split(link);
        let length = frame.length[next];
        // How far along the far edge, from its start, a ray at an angle meets it.
        let hit = |angle: f64| {
            let ray = Vector2::new(angle.cos(), angle.sin());
            let start = Vector2::new(frame.length[corner], 0.0);
            let along = (apex - start) / length;
            (-start.perp(&ray) / along.perp(&ray)).clamp(0.0, length)
        };
        let from = if low > 0.0 { hit(low) } else { 0.0 };
        let to = if high < span { hit(high) } else { length };
        if to - from > 1e-11 {
            let far = frame.apex[next];
            self.open(Window {
                from: length - to,
                to: length - from,
                x: length - far.x,
                y: -far.y,
                base,
                cell: beyond,
                side,
                slack: 0.0,
                kind: Kind::Point,
                came: Came::Source,
            });
        }
    }
}
