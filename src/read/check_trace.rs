//! Points traced one after the other, the cracks of a patch, and the gel coat at them.

use super::check_mark::{MARK, TURN, taped};
use super::faults::Faults;
use crate::model::panel::Panel;
use crate::model::survey::{Mark, TracedPoint};

/// Thickness of a gel coat, mm (choice: from a worn film to many times the usual 0.5 mm).
const GEL: std::ops::RangeInclusive<f64> = 0.05..=5.0;

/// Points traced one after the other; `field` is their list.
pub(super) fn traced(
    points: &[TracedPoint],
    closed: bool,
    field: &str,
    panel: Option<&Panel>,
    faults: &mut Faults<'_>,
) {
    let (least, what) = if closed { (3, "closed outline") } else { (2, "line") };
    if points.len() < least {
        faults.add(
            field,
            "READ-TRACE",
            format!("a {what} of {} points", points.len()),
            format!("{least} points or more"),
            "trace it point by point",
        );
    }
    for (number, point) in points.iter().enumerate() {
        let at = format!("{field}[{number}]");
        match point {
            TracedPoint::On(u, v) => faults.grid_place(&at, "point", (*u, *v)),
            TracedPoint::Taped { a, b, side } => {
                taped(&[("a", a), ("b", b)], *side, &at, panel, faults);
            }
            TracedPoint::Step { mm, angle_deg } => {
                faults.range(&format!("{at}.mm"), "step", mm.value(), "mm", MARK);
                let angle = angle_deg.value();
                faults.range(&format!("{at}.angle_deg"), "angle", angle, "degrees", TURN);
                if number == 0 {
                    faults.add(
                        &at,
                        "READ-TRACE",
                        "the first point is a step, and there is nothing to step from",
                        "On(u, v) or Taped(...) as the first point",
                        "measure the first point from the grid or from two landmarks",
                    );
                }
            }
        }
    }
}

/// Cracks traced one by one belong to a patch.
pub(super) fn lines(mark: &Mark, field: &str, panel: Option<&Panel>, faults: &mut Faults<'_>) {
    if !mark.lines.is_empty() && mark.kind.is_line() {
        faults.add(
            &format!("{field}.lines"),
            "READ-CONTRADICTION",
            format!("`lines` on a {}, which is one line by itself", mark.kind.words()),
            "`lines` on crazing, stars, blisters and other patches",
            "record each crack as a mark of its own, or all of them as one patch of crazing",
        );
    }
    for (number, points) in mark.lines.iter().enumerate() {
        traced(points, false, &format!("{field}.lines[{number}]"), panel, faults);
    }
}

/// A gel coat thicker than this was most likely read in thousandths of an inch.
pub(super) fn gel(mark: &Mark, field: &str, faults: &mut Faults<'_>) {
    let read_mm = mark.gel_mm.map(|size| size.value());
    faults.range_if(&format!("{field}.gel_mm"), "gel coat", read_mm, "mm", GEL);
}
