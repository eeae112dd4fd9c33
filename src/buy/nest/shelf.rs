//! The plain way to lay pieces out, for comparison and to start from: the upright rectangle round
//! each piece, longest first, in rows across the roll.

use nalgebra::Vector2;

use super::shape::{Bounds, Lie};
use super::sheet::{Pose, ROLL_SLACK_MM, Task};

/// A layout in rows with its length: each piece lies so that the rectangle round it is smallest,
/// rectangles are taken from the longest along the roll down, and each goes into the first row with
/// room (E. Coffman, M. Garey, D. Johnson and R. Tarjan, 1980: first fit by decreasing height).
/// Once with the shorter sides along the roll and once with the longer ones, where the width lets
/// them; the shorter layout is given. `None` where a piece fits no way.
pub(super) fn rows(task: &Task) -> Option<(Vec<Pose>, f64)> {
    let (short, long) = (rows_with(task, false)?, rows_with(task, true)?);
    Some(if long.1 < short.1 { long } else { short })
}

fn rows_with(task: &Task, long_sides_along: bool) -> Option<(Vec<Pose>, f64)> {
    let mut boxes = Vec::with_capacity(task.copies.len());
    let smallest: Vec<Option<(Lie, Bounds)>> = task
        .shapes
        .iter()
        .map(|shape| {
            let all = shape.likely.iter().map(|lie| (*lie, shape.bounds(*lie)));
            let fitting = all.filter(|(_, b)| b.size().y <= task.width_mm + ROLL_SLACK_MM);
            fitting.reduce(|best, next| {
                let (least, this) = (best.1.size(), next.1.size());
                // Rectangles of one size to a thousandth count as the same.
                let smaller = this.x * this.y < least.x * least.y * (1.0 - 1e-6);
                let same = this.x * this.y < least.x * least.y * (1.0 + 1e-6);
                let by = if long_sides_along { this.x - least.x } else { least.x - this.x };
                if smaller || (same && by > 1e-3) { next } else { best }
            })
        })
        .collect();
    for (number, shape) in task.copies.iter().enumerate() {
        let (lie, bounds) = (*smallest.get(*shape)?)?;
        boxes.push((number, lie, bounds));
    }
    boxes.sort_by(|one, other| {
        other.2.size().x.total_cmp(&one.2.size().x).then(one.0.cmp(&other.0))
    });
    // Rows: where each starts along the roll, and how far it is filled across.
    let mut rows: Vec<(f64, f64)> = Vec::new();
    let mut length_mm: f64 = 0.0;
    let mut poses = vec![None; boxes.len()];
    for (number, lie, bounds) in boxes {
        let size = bounds.size();
        let limit = task.width_mm + ROLL_SLACK_MM;
        let room = rows.iter_mut().find(|(_, filled)| filled.max(0.0) + size.y <= limit);
        let corner = if let Some((start, filled)) = room {
            let corner = Vector2::new(*start, *filled);
            *filled += size.y + task.gap_mm;
            corner
        } else {
            let start = if rows.is_empty() { 0.0 } else { length_mm + task.gap_mm };
            rows.push((start, size.y + task.gap_mm));
            length_mm = start + size.x;
            Vector2::new(start, 0.0)
        };
        *poses.get_mut(number)? = Some(Pose { lie, at: corner - bounds.low });
    }
    Some((poses.into_iter().collect::<Option<_>>()?, length_mm))
}
