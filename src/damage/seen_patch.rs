//! Patches as seen, measured one by one where they lie apart and together where they touch.
//!
//! Areas mm2, by region. One by itself is cut exactly and asks for no distances; only patches that
//! come close are spread out over the skin.

use std::collections::BTreeMap;

use nalgebra::Point2;

use super::Finding;
use crate::model::survey::Side;
use crate::surface::chart::bounds;
use crate::surface::field::DistanceField;
use crate::surface::level;
use crate::surface::marks::Form;
use crate::surface::placed::PlacedPanel;

/// A little beyond a patch, so that its rim is in the field, mm.
const BEYOND_MM: f64 = 2.0;
/// Patches whose rectangles on the grid are farther apart do not touch, mm.
const NEAR_MM: f64 = 10.0;

/// A patch as seen, measured by itself.
pub(super) struct SeenPatch<'a, 'j> {
    pub(super) finding: &'a Finding<'j>,
    pub(super) by_region_mm2: BTreeMap<Option<u16>, f64>,
    corners: (Point2<f64>, Point2<f64>),
}

impl<'a, 'j> SeenPatch<'a, 'j> {
    pub(super) fn of(
        panel: &PlacedPanel<'_>,
        side: Side,
        finding: &&'a Finding<'j>,
    ) -> Option<Self> {
        let Form::Patch(patch) = &finding.placed.form else { return None };
        Some(Self {
            finding,
            by_region_mm2: level::patch_by_region(&panel.mesh, panel.side(side), &patch.outline),
            corners: bounds(patch.outline.iter().copied()),
        })
    }

    pub(super) fn field<'m>(
        &self,
        panel: &'m PlacedPanel<'_>,
        side: Side,
    ) -> Option<DistanceField<'m>> {
        let origin = &self.finding.extents.seen.origin;
        DistanceField::spread(&panel.mesh, panel.side(side), origin, BEYOND_MM).ok()
    }

    /// Whether the rectangles round both on the grid come close.
    fn is_near(&self, other: &Self) -> bool {
        let ((low, high), (least, most)) = (self.corners, other.corners);
        let apart = |a: f64, b: f64| a > b + NEAR_MM;
        !(apart(low.x, most.x)
            || apart(least.x, high.x)
            || apart(low.y, most.y)
            || apart(least.y, high.y))
    }
}

/// Patches that may touch, in groups: only those are worth measuring together.
pub(super) fn near<'a, 'f, 'j>(
    patches: Vec<&'a SeenPatch<'f, 'j>>,
) -> Vec<Vec<&'a SeenPatch<'f, 'j>>> {
    let mut groups: Vec<Vec<&SeenPatch<'_, '_>>> = Vec::new();
    for patch in patches {
        let (mut one, apart): (Vec<_>, Vec<_>) =
            groups.into_iter().partition(|group| group.iter().any(|other| other.is_near(patch)));
        let mut joined: Vec<_> = one.drain(..).flatten().collect();
        joined.push(patch);
        groups = apart;
        groups.push(joined);
    }
    groups
}

/// Patches in groups that touch; one by itself is measured exactly.
pub(super) fn touching<'f, 'm>(
    fields: Vec<&'f DistanceField<'m>>,
) -> Vec<Vec<&'f DistanceField<'m>>> {
    let mut groups: Vec<Vec<&DistanceField<'_>>> = Vec::new();
    for field in fields {
        let touches = |group: &Vec<&DistanceField<'_>>| {
            let half = (field, BEYOND_MM / 2.0);
            group.iter().any(|other| level::meet(half, (other, BEYOND_MM / 2.0), BEYOND_MM / 4.0))
        };
        let (mut one, apart): (Vec<_>, Vec<_>) = groups.into_iter().partition(touches);
        let mut joined: Vec<_> = one.drain(..).flatten().collect();
        joined.push(field);
        groups = apart;
        groups.push(joined);
    }
    groups
}
