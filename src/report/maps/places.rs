//! Where panels are on their body, as far as the body file says it.
//!
//! The file gives the place of a panel's grid origin (rearwards, outwards to the nearside, up) and its
//! turn about the upright axis, and may say whether it stands or lies: a standing panel has v upwards
//! and its outer side away from the middle of the body, a lying one has its outer side up. The
//! nearside is the left as one sits in the vehicle. Lengths mm.

use nalgebra::{Matrix3, Point3, Vector3};

use super::Mapped;
use crate::model::panel::{MouldingKind, SurfaceForm};
use crate::surface::mesh::MeshPoint;
use crate::surface::placed::PlacedPanel;

/// A lid, roof or flat sheet whose origin is at this share of the body's height or above lies (choice:
/// about where bonnets begin).
const LIES_FROM: f64 = 0.4;

/// A panel on its body.
#[derive(Debug, Clone, Copy)]
pub(super) struct OnBody {
    /// The panel, by number in the job.
    pub(super) panel: usize,
    at: Point3<f64>,
    /// Where its grid begins on its own axes.
    origin: Point3<f64>,
    along: Vector3<f64>,
    up: Vector3<f64>,
    /// The way its outer side looks.
    pub(super) out: Vector3<f64>,
    /// +1 or, on a mirrored panel, -1.
    sense: f64,
    lies: bool,
    /// Nobody has said whether it lies or stands.
    taken: bool,
}

impl OnBody {
    /// A point of its own mesh on the body.
    pub(super) fn place(&self, on: &PlacedPanel<'_>, point: &MeshPoint) -> Point3<f64> {
        let own = on.mesh.position(point) - self.origin;
        self.at + self.along * own.x + self.up * own.y + self.out * (own.z * self.sense)
    }

    /// The panel as its file has it can stand so: it would not have to be turned inside out.
    pub(super) fn fits(&self) -> bool {
        // Rearwards, to the left and up are a left-handed set.
        let hand = Matrix3::from_columns(&[self.along, self.up, self.out]).determinant();
        hand * self.sense < 0.0
    }

    /// It is drawn lying, though nobody has said that it lies.
    pub(super) fn is_taken_to_lie(&self) -> bool {
        self.lies && self.taken
    }
}

/// The panels that the body file places; nothing where it places none.
pub(super) fn of_job(of: &Mapped<'_, '_>) -> Option<Vec<OnBody>> {
    let body = of.job.body.as_ref()?;
    let mut found = Vec::new();
    let mut known = Vec::new();
    for (number, (placed, panel)) in body.panels.iter().zip(of.panels).enumerate() {
        let at = &placed.at_mm;
        let at = Point3::new(at.0.value(), at.1.value(), at.2.value());
        known.push((at, placed.turned_deg.value()));
        // A scan has axes of its own, and nobody has said how they lie on the body.
        if !panel.of.file.ends_with(&placed.file)
            || matches!(panel.of.panel.surface, Some(SurfaceForm::Scan(_)))
        {
            continue;
        }
        let turn = placed.turned_deg.value().to_radians();
        let along = Vector3::new(turn.cos(), turn.sin(), 0.0);
        found.push((number, at, along, placed.lies, panel.by_itself()));
    }
    // Panels that all stand at one place were never placed.
    let first = known.first()?;
    let apart = known.iter().any(|one| (one.0 - first.0).norm() > 1.0);
    if !apart {
        return None;
    }
    let ends = found.iter().flat_map(|(_, at, along, _, on)| [*at, at + along * length_mm(on)]);
    let (low, high) = ends.fold(
        (Point3::new(f64::MAX, f64::MAX, f64::MAX), Point3::new(f64::MIN, f64::MIN, f64::MIN)),
        |(low, high), at| (low.inf(&at), high.sup(&at)),
    );
    let middle = nalgebra::center(&low, &high);
    Some(
        found
            .into_iter()
            .map(|(panel, at, along, said, on)| {
                let own_middle = at + along * (length_mm(on) / 2.0);
                let beside = Vector3::new(-along.y, along.x, 0.0);
                let outwards = if beside.dot(&(own_middle - middle)) < 0.0 { -beside } else { beside };
                let flat = matches!(
                    &on.of.panel.surface,
                    Some(SurfaceForm::Flat(_))
                ) || matches!(&on.of.panel.surface, Some(SurfaceForm::Moulding(of))
                    if matches!(of.kind, MouldingKind::Lid | MouldingKind::Roof | MouldingKind::Sheet));
                let high_up = at.z >= low.z + LIES_FROM * (high.z - low.z);
                let lies = said.unwrap_or(flat && high_up);
                let (up, out) =
                    if lies { (-outwards, Vector3::z()) } else { (Vector3::z(), outwards) };
                let sense = on.mesh.chart_sense();
                let taken = said.is_none();
                OnBody { panel, at, origin: origin(on), along, up, out, sense, lies, taken }
            })
            .collect(),
    )
}

/// How far a panel goes along its own x, mm.
fn length_mm(on: &PlacedPanel<'_>) -> f64 {
    let all = on.mesh.positions.iter().map(|at| at.x);
    all.clone().fold(f64::MIN, f64::max) - all.fold(f64::MAX, f64::min)
}

/// Where the grid begins: its corner may be cut off, so the least x and y of the panel stand for it.
fn origin(on: &PlacedPanel<'_>) -> Point3<f64> {
    let z = on.mesh.position(&on.mesh.nearest(nalgebra::Point2::origin()).0).z;
    let least = |of: &dyn Fn(&Point3<f64>) -> f64| {
        on.mesh.positions.iter().map(of).fold(f64::INFINITY, f64::min)
    };
    Point3::new(least(&|at| at.x), least(&|at| at.y), z)
}
