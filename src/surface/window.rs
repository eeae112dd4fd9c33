//! Windows: how distance enters a face through one of its edges.
//!
//! A window is an interval of an edge together with a source laid flat into the plane of the
//! face it enters. Two kinds of source are enough: a point (distance is a base length plus the
//! straight length from the point's image) and a parallel beam off a straight line (distance is
//! linear across the face). In both kinds distance is 1-Lipschitz, which is all that the rules
//! for dropping windows use.
//!
//! Frame of an edge: its first corner at the origin, its second at (length, 0), the face above.
//! Lengths are millimetres. Method: improved Chen-Han exact geodesics (published: Chen and Han
//! 1990; Xin and Wang 2009), with beams added for straight sources.
#![allow(clippy::indexing_slicing, reason = "corner numbers are taken modulo 3")]

use nalgebra::Vector2;

use super::ground::{CellId, Ground, WALL, Walk};
use super::mesh::Frame;

/// What shines through a window.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    /// `x`, `y` are the image of a point (y at most 0), `base` the length before it.
    Point,
    /// `x`, `y` are the unit direction (y above 0), `base` the distance at the frame's origin.
    Beam,
}

/// On which side of the window the rays left the corner of the face they came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Came {
    /// The window was opened by a source in the face before.
    Source,
    /// The corner lies to the left of the rays.
    CornerLeft,
    /// The corner lies to the right of the rays.
    CornerRight,
}

/// One window: see the module's words.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Window {
    pub(crate) from: f64,
    pub(crate) to: f64,
    pub(crate) x: f64,
    pub(crate) y: f64,
    pub(crate) base: f64,
    /// By how much joining windows may have changed the distance so far, mm.
    pub(crate) slack: f32,
    pub(crate) cell: CellId,
    pub(crate) side: u8,
    pub(crate) kind: Kind,
    pub(crate) came: Came,
}

impl Window {
    /// Distance at the place `t` along the edge, taken as if the window reached there.
    pub(crate) fn on_edge(&self, t: f64) -> f64 {
        match self.kind {
            Kind::Point => self.base + length_of(t - self.x, self.y),
            Kind::Beam => self.base + self.x * t,
        }
    }

    /// Where on the edge the ray to a place above it passes, before clamping.
    fn crossing(&self, at: Vector2<f64>) -> f64 {
        let t = match self.kind {
            Kind::Point => self.x + (at.x - self.x) * (-self.y) / (at.y - self.y),
            Kind::Beam => at.x - at.y * self.x / self.y,
        };
        if t.is_nan() { at.x } else { t }
    }

    /// Length of the shortest path through the window to a place in the face, and the direction
    /// (not of unit length) in which it arrives; nothing when it is not shorter than `best`. A
    /// place the rays do not reach is reached round the window's nearer end, so that the length
    /// is always that of a real path.
    pub(crate) fn shorter(&self, at: Vector2<f64>, best: f64) -> Option<(f64, Vector2<f64>)> {
        let source = Vector2::new(self.x, self.y);
        // The straight length comes first: no way through the window is shorter.
        let (length, step, rise, run) = match self.kind {
            Kind::Point => {
                let step = at - source;
                (self.base + length_of(step.x, step.y), step, at.y - self.y, step.x * -self.y)
            }
            Kind::Beam => (
                self.base + source.dot(&at),
                source,
                self.y,
                (at.x - self.x) * self.y - at.y * self.x,
            ),
        };
        if length >= best {
            return None;
        }
        // Where the ray passes the edge, compared without dividing.
        let past = |t: f64| (t - self.x) * rise;
        if past(self.from) <= run && run <= past(self.to) {
            return Some((length, step));
        }
        let t = if past(self.from) > run { self.from } else { self.to };
        let step = at - Vector2::new(t, 0.0);
        let length = self.on_edge(t) + length_of(step.x, step.y);
        (length < best).then_some((length, step))
    }

    /// Direction of the ray through the place `t` along the edge.
    fn ray(&self, t: f64, outward: f64) -> Vector2<f64> {
        match self.kind {
            Kind::Beam => Vector2::new(self.x, self.y),
            Kind::Point => {
                let ray = Vector2::new(t - self.x, -self.y);
                if ray.norm_squared() > 0.0 { ray } else { Vector2::new(outward, 0.0) }
            }
        }
    }

    /// The same source seen from the frame with this origin and unit x-direction.
    fn seen_from(&self, origin: Vector2<f64>, along: Vector2<f64>) -> (f64, f64, f64) {
        let up = Vector2::new(-along.y, along.x);
        let source = Vector2::new(self.x, self.y);
        match self.kind {
            Kind::Point => {
                ((source - origin).dot(&along), (source - origin).dot(&up).min(0.0), self.base)
            }
            Kind::Beam => (source.dot(&along), source.dot(&up), self.base + source.dot(&origin)),
        }
    }

    /// Where on the edge the ray to the third corner of the face passes, and that place in the
    /// window if the corner is lit, or nearly so.
    pub(crate) fn apex_ray(&self, frame: &Frame) -> (f64, Option<f64>) {
        let t = self.crossing(frame.apex[self.side as usize]);
        // Joined windows may gape a little beside their neighbours: no corner may fall between.
        // The way to it is then bent at the window's end, and real all the same.
        let share = if self.slack > 0.0 { 0.02 } else { 1e-9 };
        let spare = share * frame.length[self.side as usize];
        let lit = t >= self.from - spare && t <= self.to + spare;
        (t, lit.then_some(t.clamp(self.from, self.to)))
    }

    /// Length and direction of the path to a place through the place `t` on the edge, where the
    /// ray to it passes there or a hair beside.
    pub(crate) fn through(&self, t: f64, split: f64, at: Vector2<f64>) -> (f64, Vector2<f64>) {
        if (t - split).abs() > 0.0 {
            let step = at - Vector2::new(t, 0.0);
            return (self.on_edge(t) + step.norm(), step);
        }
        let source = Vector2::new(self.x, self.y);
        match self.kind {
            Kind::Point => (self.base + (at - source).norm(), at - source),
            Kind::Beam => (self.base + source.dot(&at), source),
        }
    }

    /// The parts of the window that leave through the left (corner 2 to corner 0 of the frame)
    /// and the right edge. `split` is where the ray to the third corner passes, `best` where on the edge the way that serves the third corner best
    /// passes, when that is not a way through this window.
    pub(crate) fn children(
        &self,
        ground: &mut Ground<'_>,
        walk: &Walk<'_>,
        split: f64,
        best: Option<f64>,
    ) -> [Option<Self>; 2] {
        let side = self.side as usize;
        let (left_side, right_side) = ((side + 2) % 3, (side + 1) % 3);
        let frame = &ground.cells[self.cell as usize].frame;
        let apex = frame.apex[side];
        let lengths = [frame.length[side], frame.length[left_side], frame.length[right_side]];
        // Rays that cross the path which serves the third corner best cannot be shortest beyond.
        let (left_to, right_from) = best.map_or((split, split), |t| (split.min(t), split.max(t)));
        let mut out = [None, None];
        if self.from < left_to {
            let end = self.to.min(left_to);
            let (ends, meets) = ([self.from, end], [false, end >= split]);
            out[0] = self.child(Vector2::zeros(), apex, lengths[1], ends, meets);
        }
        if self.to > right_from {
            let along = Vector2::new(lengths[0], 0.0) - apex;
            let start = self.from.max(right_from);
            let (ends, meets) = ([start, self.to], [start <= split, false]);
            out[1] = self.child(apex, along, lengths[2], ends, meets);
        }
        let ways = [(left_side, Came::CornerRight), (right_side, Came::CornerLeft)];
        for (child, (through, came)) in out.iter_mut().zip(ways) {
            let Some(window) = child else { continue };
            let link = ground.link(self.cell, through, walk);
            if link == WALL {
                *child = None;
            } else {
                (window.cell, window.side) = super::ground::split(link);
                window.came = came;
            }
        }
        out
    }

    /// The part [from, to] of the window carried through an edge of the same face that starts
    /// at `origin` and runs along `edge`. `meets` says which end's ray meets the face's third
    /// corner exactly. The face beyond is for the caller to write.
    fn child(
        &self,
        origin: Vector2<f64>,
        edge: Vector2<f64>,
        length: f64,
        ends: [f64; 2],
        meets: [bool; 2],
    ) -> Option<Self> {
        let along = edge / length;
        let hit = |t: f64, outward: f64| {
            let ray = self.ray(t, outward);
            let reach = (Vector2::new(t, 0.0) - origin).perp(&ray) / along.perp(&ray);
            if reach.is_nan() { 0.0 } else { reach.clamp(0.0, length) }
        };
        let from = if meets[0] { 0.0 } else { hit(ends[0], -1.0) };
        let to = if meets[1] { length } else { hit(ends[1], 1.0) };
        if to - from <= 1e-11 {
            return None;
        }
        let (x, y, base) = self.seen_from(origin, along);
        Some(Self { from, to, x, y, base, ..*self })
    }

    /// One window for two on the same edge that touch or overlap, where both tell the same
    /// distance to within `share` of that distance, what was joined before included.
    pub(crate) fn joined(&self, other: &Self, share: f64) -> Option<Self> {
        let touch = 1e-9;
        let apart = self.from > other.to + touch || other.from > self.to + touch;
        if apart || self.kind != other.kind {
            return None;
        }
        let (from, to) = (self.from.min(other.from), self.to.max(other.to));
        let wider = if self.to - self.from >= other.to - other.from { self } else { other };
        // Between and beyond the ends the two distances differ no more than at them: they come
        // from images next to each other, seen under an angle that does not grow.
        let off = [from, f64::midpoint(from, to), to]
            .into_iter()
            .map(|t| (self.on_edge(t) - other.on_edge(t)).abs())
            .fold(0.0, f64::max);
        let slack = f64::from(self.slack.max(other.slack)) + off;
        if slack > share * wider.on_edge(from) + EXACT {
            return None;
        }
        let came = if self.came == other.came { self.came } else { Came::Source };
        Some(Self { from, to, came, slack: slack as f32, ..*wider })
    }

    /// Distance at both ends, and the least in the window.
    pub(crate) fn span(&self) -> (f64, f64, f64) {
        let (first, last) = (self.on_edge(self.from), self.on_edge(self.to));
        let over = self.kind == Kind::Point && self.x > self.from && self.x < self.to;
        (first, last, if over { self.base - self.y } else { first.min(last) })
    }

    /// Whether some corner already offers a shorter way to everything the window lights, which
    /// is at these distances at its ends.
    pub(crate) fn is_beaten(&self, ground: &Ground<'_>, first: f64, last: f64) -> bool {
        let cell = &ground.cells[self.cell as usize];
        let side = self.side as usize;
        let length = cell.frame.length[side];
        let known = |corner: usize| ground.known[cell.corners[corner] as usize];
        let (at_from, at_to) = (first - SPARE, last - SPARE);
        if known(side) + self.to < at_to || known((side + 1) % 3) + length - self.from < at_from {
            return true;
        }
        if self.came == Came::Source {
            return false;
        }
        // The corner of the face before, which the rays passed on one known side.
        let Some((before, twin)) = ground.known_link(self.cell, side) else { return false };
        let (before, twin) = (&ground.cells[before as usize], twin as usize);
        let apex = before.frame.apex[twin];
        let (t, value) = match self.came {
            Came::CornerLeft => (self.to, at_to),
            _ => (self.from, at_from),
        };
        let there = ground.known[before.corners[(twin + 2) % 3] as usize];
        there < value && there + length_of(length - apex.x - t, apex.y) < value
    }
}

/// Windows that differ by less than this, mm, are the same but for rounding.
const EXACT: f64 = 1e-10;

/// A window must be beaten by more than this, mm, so that no path beats itself by rounding.
const SPARE: f64 = 1e-9;

/// Plain root of the sum of squares: `hypot` guards against overflow, which millimetres never
/// come near, and costs most of the time here.
fn length_of(x: f64, y: f64) -> f64 {
    (x * x + y * y).sqrt()
}
