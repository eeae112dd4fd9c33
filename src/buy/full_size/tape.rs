//! Landmarks by their tapes: how far from places on a sheet, and where on the paper.

use nalgebra::{Matrix2, Point2, Vector2};

use crate::surface::field::DistanceField;
use crate::surface::mesh::{Mesh, MeshPoint};
use crate::surface::origin::Origin;
use crate::surface::placed::PlacedPanel;
use crate::surface::tapes::tape_ground;

/// Landmarks a repair is taped from at most, the nearest (choice: two place it, a third checks).
const LANDMARKS: usize = 3;
/// A tape is never this much longer than the straight line to its mark, as a share and mm (choice: a
/// panel that turns a right angle comes to 1.41).
const TAPE_OVER: (f64, f64) = (1.6, 400.0);
/// Steps of the fit at most; it settles in a handful.
const STEPS: usize = 40;

/// A tape from a landmark.
#[derive(Debug, Clone, PartialEq)]
pub struct Tape {
    /// The landmark.
    pub landmark: String,
    /// Over the skin, mm.
    pub mm: f64,
}

/// A landmark drawn on the paper.
#[derive(Debug, Clone, PartialEq)]
pub struct LandmarkOnSheet {
    /// Its name.
    pub name: String,
    /// Where, mm.
    pub at_mm: Point2<f64>,
    /// Greatest difference between distances on the paper and over the skin, mm.
    pub off_mm: f64,
}

/// Distances from one landmark over its panel.
#[derive(Debug)]
pub(super) struct Landmarks<'p> {
    pub(super) name: &'p str,
    pub(super) grid: Point2<f64>,
    field: DistanceField<'p>,
}

impl Landmarks<'_> {
    /// Over the skin, mm; none where no tape leads.
    pub(super) fn to(&self, point: &MeshPoint) -> Option<f64> {
        Some(self.field.at(point)).filter(|mm| mm.is_finite())
    }
}

/// The landmarks of a panel, as far as places near its marks need; the nearest of every mark.
///
/// # Errors
/// In words: a mesh far too fine.
pub(super) fn of_panel<'p>(
    panel: &'p PlacedPanel<'_>,
    marks: &[MeshPoint],
) -> Result<Vec<Landmarks<'p>>, String> {
    let mesh = &panel.mesh;
    let apart =
        |one: &MeshPoint, other: &MeshPoint| (mesh.position(one) - mesh.position(other)).norm();
    let mut wanted = vec![0.0_f64; panel.landmarks.len()];
    for mark in marks {
        let mut near: Vec<(f64, usize)> = panel
            .landmarks
            .iter()
            .enumerate()
            .map(|(number, (_, at))| (apart(at, mark), number))
            .collect();
        near.sort_by(|one, other| one.0.total_cmp(&other.0).then(one.1.cmp(&other.1)));
        for (straight_mm, number) in near.into_iter().take(LANDMARKS) {
            if let Some(most) = wanted.get_mut(number) {
                *most = most.max(TAPE_OVER.0 * straight_mm + TAPE_OVER.1);
            }
        }
    }
    let ground = tape_ground(panel);
    let mut found = Vec::new();
    for ((name, at), limit_mm) in panel.landmarks.iter().zip(wanted) {
        if limit_mm > 0.0 {
            let field = DistanceField::spread(mesh, &ground, &Origin::point(*at), limit_mm);
            let field = field.map_err(|why| why.to_string())?;
            found.push(Landmarks { name, grid: mesh.grid(at), field });
        }
    }
    Ok(found)
}

/// Places on a sheet, each with its place on the skin.
pub(super) type Known = (MeshPoint, Point2<f64>);

/// Where a landmark has to be drawn so that its distances to the known places agree with the tapes as
/// well as can be (least squares), and the worst difference, mm. None where no tape leads to some of
/// them, or to too few.
pub(super) fn fitted(
    from: &Landmarks<'_>,
    known: &[Known],
    start: Point2<f64>,
) -> Option<(Point2<f64>, f64)> {
    let tapes: Vec<(Point2<f64>, f64)> =
        known.iter().map(|(on_skin, at)| Some((*at, from.to(on_skin)?))).collect::<Option<_>>()?;
    if tapes.len() < 3 {
        return None;
    }
    let mut at = start;
    for _ in 0..STEPS {
        let (mut normal, mut right) = (Matrix2::zeros(), Vector2::zeros());
        for (place, tape_mm) in &tapes {
            let way = at - place;
            let length = way.norm();
            if length < 1e-9 {
                continue;
            }
            let unit = way / length;
            normal += unit * unit.transpose();
            right += unit * (tape_mm - length);
        }
        // Places in a line say little about what lies across it: steps there stay small.
        let damped = normal + Matrix2::identity() * (1e-9 * normal.trace());
        let step = damped.try_inverse()? * right;
        at += step;
        if step.norm() < 1e-9 {
            break;
        }
    }
    let off = tapes.iter().map(|(place, tape_mm)| ((at - place).norm() - tape_mm).abs());
    let off_mm = off.fold(0.0, f64::max);
    off_mm.is_finite().then_some((at, off_mm))
}

/// The largest difference between distances on paper and over the skin, of places a few at most.
///
/// # Errors
/// In words: a mesh far too fine.
pub(super) fn worst_between(
    mesh: &Mesh,
    ground: &[bool],
    known: &[Known],
    limit_mm: f64,
) -> Result<f64, String> {
    let mut worst = 0.0_f64;
    for (number, (from, at)) in known.iter().enumerate() {
        let others = known.get(number + 1..).unwrap_or_default();
        if others.is_empty() {
            break;
        }
        let field = DistanceField::spread(mesh, ground, &Origin::point(*from), limit_mm)
            .map_err(|why| why.to_string())?;
        for (to, there) in others {
            let over_mm = field.at(to);
            // Round an opening a tape goes another way than the paper.
            if over_mm.is_finite() {
                worst = worst.max(((at - there).norm() - over_mm).abs());
            }
        }
    }
    Ok(worst)
}
