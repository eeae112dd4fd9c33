//! What a flat pattern is off the skin by, and where most.

use nalgebra::{Matrix2, Point2};

use crate::surface::flatten::LaidFlat;
use crate::surface::mesh::Mesh;

/// How a flat pattern differs from the skin it is laid on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    /// Least change of a length from the skin to the sheet, %; where it is negative the mat has to
    /// give when it is laid.
    pub least_percent: f64,
    /// Greatest change, %; where it is positive there is mat too much when it is laid.
    pub most_percent: f64,
    /// Root of the mean square of both principal strains over the area, %.
    pub rms_percent: f64,
    /// Integral of the size of Gaussian curvature, from angle defects; a pure number, 0 for whatever
    /// rolls out flat.
    pub curvature: f64,
    /// Place of the greatest change on the sheet, mm.
    pub worst_at_mm: Point2<f64>,
    /// Direction of the greatest change on the sheet, degrees from x counter-clockwise, -90 to 90.
    pub worst_towards_deg: f64,
}

impl Stretch {
    /// The greatest change either way, % with its sign.
    #[must_use]
    pub fn worst_percent(&self) -> f64 {
        if self.most_percent >= -self.least_percent {
            self.most_percent
        } else {
            self.least_percent
        }
    }

    /// Of a sheet. None without a face.
    pub(super) fn of(mesh: &Mesh, sheet: &LaidFlat<'_>) -> Option<Self> {
        let found = sheet.faces.iter().filter_map(|face| {
            let corners = mesh.faces.get(*face as usize)?;
            let [a, b, c] = corners.map(|v| mesh.positions.get(v as usize).copied());
            let (along, up) = (b? - a?, c? - a?);
            let length = along.norm();
            let x = up.dot(&along) / length;
            let laid = Matrix2::new(length, x, 0.0, along.cross(&up).norm() / length);
            let [p, q, r] = sheet.corners(*face);
            let map = Matrix2::from_columns(&[q - p, r - p]) * laid.try_inverse()?;
            // The principal directions on the sheet are those of the map times its transpose.
            let both = (map * map.transpose()).symmetric_eigen();
            let change =
                |n: usize| both.eigenvalues.get(n).map_or(0.0, |square| square.sqrt() - 1.0);
            let worse = usize::from(change(1).abs() > change(0).abs());
            let way = both.eigenvectors.column(worse);
            let way = if way.x < 0.0 { -way } else { way.into_owned() };
            let middle = Point2::from((p.coords + q.coords + r.coords) / 3.0);
            Some((change(worse).abs(), middle, way.y.atan2(way.x).to_degrees()))
        });
        let (_, worst_at_mm, worst_towards_deg) =
            found.reduce(|best, next| if next.0 > best.0 { next } else { best })?;
        let of = sheet.distortion;
        Some(Self {
            least_percent: of.stretch_percent.0,
            most_percent: of.stretch_percent.1,
            rms_percent: of.strain_percent,
            curvature: of.curvature,
            worst_at_mm,
            worst_towards_deg,
        })
    }
}
