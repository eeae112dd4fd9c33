//! Where do readings of a square grid lie on the skin, and which part of it is above a level?
//!
//! Takes a first place, a direction and a pitch in mm; lays points by straight lines over the skin.
//! The rim of what is above a level lies somewhere between the last reading above it and the first
//! below, so there are three answers: through the last above (low), between them (likely), through
//! the first below (high). Nothing tells what lies between two readings: an area smaller than the
//! pitch can be missed altogether.
#![allow(
    clippy::indexing_slicing,
    reason = "rows are all of one length, and cells are counted from them"
)]

use std::collections::BTreeMap;

use nalgebra::Point2;

use super::field::DistanceField;
use super::level;
use super::mesh::{Mesh, MeshPoint};
use super::origin::Origin;
use super::trace::{Direction, Stop, trace};
use crate::quantity::Cases;

/// A point that would lie off the panel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OffPanel {
    /// Its row, from 0.
    pub row: usize,
    /// Its place in the row, from 0.
    pub column: usize,
    /// How far from the first reading of its row the skin ends, mm.
    pub ends_mm: f64,
}

/// Lays the points of a grid, row by row.
///
/// # Errors
/// The first point that would lie off the panel.
pub fn lay(
    mesh: &Mesh,
    filled: &[bool],
    first: MeshPoint,
    angle_deg: f64,
    pitch_mm: f64,
    (rows, columns): (usize, usize),
) -> Result<Vec<Vec<MeshPoint>>, OffPanel> {
    let walk = |from: MeshPoint, degrees: f64, mm: f64| {
        trace(mesh, filled, from, Direction::Degrees(degrees), mm)
    };
    let mut laid = Vec::new();
    for row in 0..rows {
        let up = walk(first, angle_deg + 90.0, pitch_mm * row as f64);
        if up.stopped == Some(Stop::Edge) {
            return Err(OffPanel { row, column: 0, ends_mm: up.length_mm });
        }
        let start = up.path.last().copied().unwrap_or(first);
        let mut points = Vec::new();
        for column in 0..columns {
            let along = walk(start, angle_deg, pitch_mm * column as f64);
            if along.stopped == Some(Stop::Edge) {
                return Err(OffPanel { row, column, ends_mm: along.length_mm });
            }
            points.push(along.path.last().copied().unwrap_or(start));
        }
        laid.push(points);
    }
    Ok(laid)
}

/// The part of a grid above a level.
#[derive(Debug, Clone, PartialEq)]
pub struct Above {
    /// Its area, mm2.
    pub area_mm2: Cases<f64>,
    /// Rims of the likely part on the panel's grid; closed, the first point not written again.
    pub rims: Vec<Vec<Point2<f64>>>,
    /// It reaches the edge of the grid where the panel goes on: there may be more of it beyond.
    pub at_edge: bool,
}

/// What of a grid is above a level. A reading not taken counts as above in the high case only.
///
/// # Errors
/// When the mesh is far too fine.
pub fn above(
    mesh: &Mesh,
    passable: &[bool],
    points: &[Vec<MeshPoint>],
    readings: &[Vec<Option<f64>>],
    level: f64,
) -> Result<Above, String> {
    let net = Net::new(mesh, points, readings, level);
    let (rows, columns) = (readings.len(), readings.first().map_or(0, Vec::len));
    let mut found = Above {
        area_mm2: Cases { low: 0.0, likely: 0.0, high: 0.0 },
        rims: net.rims(),
        at_edge: net.goes_on(mesh),
    };
    let area = |outline: Vec<Point2<f64>>| -> Result<f64, String> {
        if outline.len() < 3 {
            return Ok(0.0);
        }
        let field = DistanceField::spread(mesh, passable, &Origin::patch(mesh, outline), 1.0)
            .map_err(|why| why.to_string())?;
        Ok(level::area_within(&field, 0.0).area_mm2)
    };
    for row in 0..=rows {
        for column in 0..=columns {
            let corners = net.corners(row, column);
            let whole = || corners.iter().map(|corner| corner.place).collect::<Vec<_>>();
            if corners.iter().all(|corner| corner.value > level) {
                let all = area(whole())?;
                found.area_mm2.low += all;
                found.area_mm2.likely += all;
                found.area_mm2.high += all;
                continue;
            }
            if corners.iter().any(|corner| corner.value > level || corner.not_taken) {
                found.area_mm2.high += area(whole())?;
            }
            found.area_mm2.likely += area(net.part_above(row, column))?;
        }
    }
    Ok(found)
}

/// A reading with its place on the panel's grid.
#[derive(Debug, Clone, Copy)]
struct Node {
    place: Point2<f64>,
    value: f64,
    not_taken: bool,
}

/// The readings with a ring of places round them at which nothing was read.
struct Net {
    nodes: Vec<Vec<Node>>,
    level: f64,
}

/// An edge of the net: along a row or across it, from a node.
type EdgeKey = (bool, usize, usize);

impl Net {
    fn new(
        mesh: &Mesh,
        points: &[Vec<MeshPoint>],
        readings: &[Vec<Option<f64>>],
        level: f64,
    ) -> Self {
        // Below every reading, so that a rim stands half a pitch beyond a last reading above.
        let least = readings.iter().flatten().flatten().copied().fold(level, f64::min);
        let outside =
            2.0 * level - readings.iter().flatten().flatten().copied().fold(level, f64::max);
        let outside = outside.min(least);
        let grid: Vec<Vec<Point2<f64>>> =
            points.iter().map(|row| row.iter().map(|at| mesh.grid(at)).collect()).collect();
        let (rows, columns) = (grid.len(), grid.first().map_or(0, Vec::len));
        // Past the edge places go on as the last two stand; a single row or column has no second.
        let place = |row: isize, column: isize| {
            let inner = |at: isize, count: usize| at.clamp(0, count as isize - 1) as usize;
            let (r, c) = (inner(row, rows), inner(column, columns));
            let mut at = grid[r][c];
            let second = |at: usize, count: usize| if at == 0 { 1.min(count - 1) } else { at - 1 };
            if row != r as isize {
                at += grid[r][c] - grid[second(r, rows)][c];
            }
            if column != c as isize {
                at += grid[r][c] - grid[r][second(c, columns)];
            }
            at
        };
        let nodes = (-1..=rows as isize)
            .map(|row| {
                (-1..=columns as isize)
                    .map(|column| {
                        let inside = usize::try_from(row).ok().zip(usize::try_from(column).ok());
                        let read = inside
                            .and_then(|(row, column)| readings.get(row)?.get(column).copied());
                        Node {
                            place: place(row, column),
                            value: read.flatten().unwrap_or(outside),
                            not_taken: read == Some(None),
                        }
                    })
                    .collect()
            })
            .collect();
        Self { nodes, level }
    }

    /// A last reading above the level has skin beyond it that nobody read.
    fn goes_on(&self, mesh: &Mesh) -> bool {
        let (rows, columns) = (self.nodes.len() - 1, self.nodes[0].len() - 1);
        let ends = (1..rows)
            .flat_map(|row| [((row, 1), (row, 0)), ((row, columns - 1), (row, columns))])
            .chain((1..columns).flat_map(|column| {
                [((1, column), (0, column)), ((rows - 1, column), (rows, column))]
            }));
        let node = |(row, column): (usize, usize)| &self.nodes[row][column];
        ends.into_iter().any(|(last, beyond)| {
            node(last).value > self.level && mesh.locate(node(beyond).place).is_some()
        })
    }

    /// The corners of a cell in order round it.
    fn corners(&self, row: usize, column: usize) -> [Node; 4] {
        [(row, column), (row, column + 1), (row + 1, column + 1), (row + 1, column)]
            .map(|(row, column)| self.nodes[row][column])
    }

    fn keys(row: usize, column: usize) -> [EdgeKey; 4] {
        [
            (true, row, column),
            (false, row, column + 1),
            (true, row + 1, column),
            (false, row, column),
        ]
    }

    fn crossing(&self, one: &Node, other: &Node) -> Option<Point2<f64>> {
        ((one.value > self.level) != (other.value > self.level)).then(|| {
            let share = (self.level - one.value) / (other.value - one.value);
            one.place + (other.place - one.place) * share
        })
    }

    /// The part of a cell above the level. Where only two opposite corners are, they are taken as
    /// joined: the larger of the two ways to read it.
    fn part_above(&self, row: usize, column: usize) -> Vec<Point2<f64>> {
        let corners = self.corners(row, column);
        let mut outline = Vec::new();
        for (number, corner) in corners.iter().enumerate() {
            if corner.value > self.level {
                outline.push(corner.place);
            }
            outline.extend(self.crossing(corner, &corners[(number + 1) % 4]));
        }
        outline
    }

    /// Closed rims of what is above, over all cells.
    fn rims(&self) -> Vec<Vec<Point2<f64>>> {
        let mut next: BTreeMap<EdgeKey, EdgeKey> = BTreeMap::new();
        let mut places: BTreeMap<EdgeKey, Point2<f64>> = BTreeMap::new();
        let (rows, columns) = (self.nodes.len() - 1, self.nodes[0].len() - 1);
        for row in 0..rows {
            for column in 0..columns {
                let (corners, keys) = (self.corners(row, column), Self::keys(row, column));
                for number in 0..4 {
                    let (from, to) = (&corners[number], &corners[(number + 1) % 4]);
                    let Some(place) = self.crossing(from, to) else { continue };
                    places.insert(keys[number], place);
                    if from.value <= self.level {
                        continue;
                    }
                    // The way leaves what is above here; the rim runs to where it comes back.
                    let back = (1..4).map(|step| (number + step) % 4).find(|other| {
                        let (a, b) = (&corners[*other], &corners[(*other + 1) % 4]);
                        a.value <= self.level && b.value > self.level
                    });
                    if let Some(back) = back {
                        next.insert(keys[number], keys[back]);
                    }
                }
            }
        }
        let mut rims = Vec::new();
        while let Some((first, mut at)) = next.pop_first() {
            let mut rim = vec![places[&first]];
            while at != first {
                rim.push(places[&at]);
                let Some(on) = next.remove(&at) else { break };
                at = on;
            }
            rims.push(rim);
        }
        rims
    }
}
