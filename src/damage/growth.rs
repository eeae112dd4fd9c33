//! How much larger a mark is found than it is seen: the larger of a factor and a least move.

use std::f64::consts::PI;

use crate::model::survey::MarkKind;
use crate::quantity::Cases;
use crate::rules::{Book, id};

/// The two rules of a kind of mark: factor and least move.
#[must_use]
pub const fn rules_of(kind: MarkKind) -> (&'static str, &'static str) {
    match kind {
        MarkKind::Crazing | MarkKind::Star => (id::GROW_CRAZE, id::MOVE_CRAZE),
        MarkKind::GelCrack => (id::GROW_GEL_CRACK, id::MOVE_GEL_CRACK),
        MarkKind::ThroughCrack => (id::GROW_THROUGH, id::MOVE_CRACK),
        MarkKind::CrackAtFixing => (id::GROW_FIXING, id::MOVE_CRACK),
        MarkKind::Hole | MarkKind::Delamination => (id::GROW_HOLE, id::MOVE_HOLE),
        MarkKind::Blisters => (id::GROW_BLISTERS, id::MOVE_BLISTERS),
        MarkKind::Chip => (id::GROW_CHIP, id::MOVE_CHIP),
        MarkKind::OldRepair | MarkKind::Other => (id::GROW_OLD_REPAIR, id::MOVE_HOLE),
    }
}

fn moves_mm(book: &Book, kind: MarkKind, longer_side_mm: f64) -> Cases<f64> {
    let cap = longer_side_mm.max(book.figure(id::MOVE_CAP));
    book.cases(rules_of(kind).1).map(|step| step.min(cap))
}

/// Length of a line in each case, mm, from its seen length.
#[must_use]
pub fn line_mm(book: &Book, kind: MarkKind, seen_mm: f64) -> Cases<f64> {
    let factors = book.cases(rules_of(kind).0);
    let moves = moves_mm(book, kind, seen_mm);
    Cases::from_fn(|case| (seen_mm * factors.get(case)).max(seen_mm + 2.0 * moves.get(case)))
}

/// Outward growth of an area in each case, mm, from its outline as seen and not clipped.
///
/// The factor is one of area: a convex outline of area A and perimeter P grown by o has the
/// area A + P o + pi o2 (Steiner), which is solved for o.
#[must_use]
pub fn outward_mm(
    book: &Book,
    kind: MarkKind,
    area_mm2: f64,
    perimeter_mm: f64,
    longer_side_mm: f64,
) -> Cases<f64> {
    let factors = book.cases(rules_of(kind).0);
    let moves = moves_mm(book, kind, longer_side_mm);
    Cases::from_fn(|case| {
        let more_mm2 = area_mm2 * (factors.get(case) - 1.0);
        let by_factor = (-perimeter_mm
            + perimeter_mm.mul_add(perimeter_mm, 4.0 * PI * more_mm2).sqrt())
            / (2.0 * PI);
        by_factor.max(*moves.get(case))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_crack_grows_by_its_factor_and_a_short_one_by_its_move() {
        let book = Book::built_in();
        let long = line_mm(&book, MarkKind::ThroughCrack, 230.0);
        approx::assert_relative_eq!(long.low, 253.0, epsilon = 1e-9);
        approx::assert_relative_eq!(long.high, 460.0, epsilon = 1e-9);
        let short = line_mm(&book, MarkKind::ThroughCrack, 60.0);
        approx::assert_relative_eq!(short.high, 140.0, epsilon = 1e-9);
    }

    #[test]
    fn the_cap_holds_tiny_marks_small() {
        let book = Book::built_in();
        let tiny = line_mm(&book, MarkKind::GelCrack, 3.0);
        approx::assert_relative_eq!(tiny.high, 13.0, epsilon = 1e-9);
    }

    #[test]
    fn the_outward_move_gives_the_area_of_its_factor() {
        let book = Book::built_in();
        // 600 x 400 crazing, high: 1.6 times by area against a move of 30 mm.
        let (area, perimeter) = (600.0 * 400.0, 2000.0);
        let grown = outward_mm(&book, MarkKind::Crazing, area, perimeter, 600.0).high;
        let back = area + perimeter * grown + PI * grown * grown;
        approx::assert_relative_eq!(back, 1.6 * area, max_relative = 1e-12);
        assert!(grown > 30.0);
    }
}
