//! The turned edge of a moulding: where its faces lie in space and on the grid.
//!
//! From the rim of the face the skin bends by a quarter turn round the given outer radius towards
//! the back and runs on straight. A tape laid over the edge reads the grid distance from the rim.
//! At a sharp outward corner the edge is carried round the corner like the skirt of a cone. mm.
#![allow(
    clippy::indexing_slicing,
    reason = "rim and column numbers are taken modulo the lengths they index"
)]

use std::f64::consts::FRAC_PI_2;

use nalgebra::{Point2, Point3, Vector2, Vector3};

use super::form::Form;
use super::ring;

/// Greatest gap between a face and the bend, mm.
const SAGITTA_MM: f64 = 0.05;
/// Greatest step down the straight part, mm.
const STEP_MM: f64 = 20.0;
/// The rim turns by no more than this between two columns without being carried round, radians.
const SHARP: f64 = 0.35;

/// What is added to the face.
#[derive(Debug, Default)]
pub(crate) struct Edge {
    /// New vertices in space and on the grid; numbered after those of the face.
    pub(crate) positions: Vec<Point3<f64>>,
    /// Their grid places.
    pub(crate) grid: Vec<Point2<f64>>,
    /// New faces with the rim piece each hangs on (from this rim vertex to the next).
    pub(crate) faces: Vec<([u32; 3], usize)>,
}

/// The edge cannot be turned at this grid place.
#[derive(Debug)]
pub(crate) struct Folds(pub(crate) Point2<f64>);

/// One line down the edge.
struct Column {
    rim: usize,
    grid: Point2<f64>,
    /// Outward on the laid-out grid.
    way: Vector2<f64>,
    place: Point3<f64>,
    normal: Vector3<f64>,
    /// Outward in space, in the skin.
    out: Vector3<f64>,
}

fn columns(form: &dyn Form, rim: &[Point2<f64>]) -> Result<Vec<Column>, Folds> {
    let laid: Vec<_> = rim.iter().map(|p| form.laid_out(*p)).collect();
    let count = rim.len();
    let mut columns = Vec::new();
    for i in 0..count {
        let before = (laid[i] - laid[(i + count - 1) % count]).normalize();
        let after = (laid[(i + 1) % count] - laid[i]).normalize();
        let turn = before.perp(&after).atan2(before.dot(&after));
        if turn < -SHARP {
            return Err(Folds(rim[i]));
        }
        let steps = if turn > SHARP { (turn / (0.5 * SHARP)).ceil() as usize } else { 0 };
        let start = if steps == 0 { 0.5 * turn } else { 0.0 };
        let (along, across) = form.tangents(rim[i]);
        let normal = along.cross(&across).normalize();
        for k in 0..=steps {
            let angle = start + turn * k as f64 / steps.max(1) as f64;
            let heading = nalgebra::Rotation2::new(angle) * before;
            let tangent = along * heading.x + across * heading.y;
            columns.push(Column {
                rim: i,
                grid: rim[i],
                way: Vector2::new(heading.y, -heading.x),
                place: form.at(rim[i]),
                normal,
                out: tangent.cross(&normal).normalize(),
            });
        }
    }
    Ok(columns)
}

/// Distances from the rim at which the edge has vertices.
fn levels(depth: f64, radius: f64) -> Vec<f64> {
    let bend = FRAC_PI_2 * radius;
    let mut levels = Vec::new();
    if radius > 0.0 {
        let step = 2.0 * (1.0 - (SAGITTA_MM / radius).min(0.29)).acos();
        let pieces = (FRAC_PI_2 / step).ceil();
        levels.extend((1..=pieces as usize).map(|k| bend * k as f64 / pieces));
    }
    let rest = depth - bend;
    if rest > 1e-6 {
        let pieces = (rest / STEP_MM).ceil();
        levels.extend((1..=pieces as usize).map(|k| bend + rest * k as f64 / pieces));
    }
    levels
}

impl Column {
    fn at(&self, s: f64, radius: f64) -> Point3<f64> {
        let bend = FRAC_PI_2 * radius;
        if s <= bend {
            let (sin, cos) = (s / radius.max(1e-12)).sin_cos();
            return self.place + self.out * (radius * sin) - self.normal * (radius * (1.0 - cos));
        }
        self.place + self.out * radius - self.normal * (radius + s - bend)
    }

    /// Outward direction of the edge at a distance from the rim.
    fn facing(&self, s: f64, radius: f64) -> Vector3<f64> {
        let angle = if radius > 0.0 { (s / radius).min(FRAC_PI_2) } else { FRAC_PI_2 };
        self.normal * angle.cos() + self.out * angle.sin()
    }
}

/// Turns the edge along a rim whose vertices are numbered `numbers`; new vertices are numbered
/// from `first` on.
///
/// # Errors
/// The place where the turned edge would run into itself.
pub(crate) fn turn(
    form: &dyn Form,
    rim: &[Point2<f64>],
    numbers: &[u32],
    first: u32,
    (depth, radius): (f64, f64),
) -> Result<Edge, Folds> {
    let columns = columns(form, rim)?;
    let mut stops = vec![0.0];
    stops.extend(levels(depth, radius));
    let deep = stops.len() - 1;
    let mut edge = Edge::default();
    for column in &columns {
        for s in &stops[1..] {
            edge.positions.push(column.at(*s, radius));
            edge.grid.push(form.on_grid(form.laid_out(column.grid) + column.way * *s));
        }
    }
    let number = |column: usize, level: usize| -> u32 {
        if level == 0 {
            numbers[columns[column].rim]
        } else {
            first + (column * deep + level - 1) as u32
        }
    };
    let corner = |column: usize, level: usize| {
        if level == 0 {
            (columns[column].place, columns[column].grid)
        } else {
            let at = column * deep + level - 1;
            (edge.positions[at], edge.grid[at])
        }
    };
    let mut faces = Vec::new();
    for j in 0..columns.len() {
        let next = (j + 1) % columns.len();
        for k in 0..deep {
            let quad = [(j, k), (j, k + 1), (next, k + 1), (next, k)];
            let same = number(j, k) == number(next, k);
            let halves: &[[usize; 3]] = if same { &[[0, 1, 2]] } else { &[[0, 1, 2], [0, 2, 3]] };
            for half in halves {
                let at = half.map(|c| corner(quad[c].0, quad[c].1));
                let flat = (at[1].1 - at[0].1).perp(&(at[2].1 - at[0].1));
                let turned = (at[1].0 - at[0].0).cross(&(at[2].0 - at[0].0));
                let facing = columns[j].facing(0.5 * (stops[k] + stops[k + 1]), radius);
                if flat <= 1e-9 || turned.dot(&facing) <= 0.0 {
                    return Err(Folds(columns[j].grid));
                }
                let face = half.map(|c| number(quad[c].0, quad[c].1));
                faces.push((face, columns[j].rim));
            }
        }
    }
    edge.faces = faces;
    let lowest: Vec<_> = (0..columns.len()).map(|j| corner(j, deep).1).collect();
    if let Some((_, _, at)) = ring::self_crossing(&lowest) {
        return Err(Folds(at));
    }
    Ok(edge)
}
