//! A ply wider than the roll: in how many strips does it come, and how much lies double?
//!
//! Takes the places of a ply on the panel's grid, which a tape over the skin lays out, and the
//! width of the roll; gives strips and the area of their laps. Lengths mm, areas mm2. The ply
//! counts as its hull: an outline bent inwards has somewhat less to lap.

use nalgebra::{Point2, Vector2};

use crate::model::stock::{Mat, Reinforcement};
use crate::rules::{Book, id};

/// How a ply is lapped.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Laps {
    /// Strips it is cut in.
    pub strips: usize,
    /// Length of all laps together, mm.
    pub length_mm: f64,
    /// Area that lies double, mm2.
    pub area_mm2: f64,
}

/// Widths that laps are worked out with, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LapRule {
    /// Width of the roll.
    pub roll_mm: f64,
    /// Width of a lap.
    pub lap_mm: f64,
    /// How far the laps of one ply lie beside those of the next.
    pub stagger_mm: f64,
}

impl LapRule {
    /// By the book and the roll that a mat comes on.
    #[must_use]
    pub fn of(book: &Book, mat: &Mat) -> Self {
        Self {
            roll_mm: mat
                .roll_width_mm
                .map_or_else(|| book.figure(id::ROLL_WIDTH), |width| width.value()),
            lap_mm: book.figure(id::LAP),
            stagger_mm: book.figure(id::LAP_STAGGER),
        }
    }
}

/// Where a ply is cut into strips.
#[derive(Debug, Clone, PartialEq)]
pub struct Strips {
    /// Unit direction across the strips.
    pub across: Vector2<f64>,
    /// From where to where each strip goes, heights along `across`, mm; neighbours overlap by a lap.
    pub spans_mm: Vec<(f64, f64)>,
}

/// The strips of a ply; none where it comes off the roll in one piece. `number` counts plies of a
/// side from 0: every other one starts with a narrower strip, so that laps do not lie over laps.
#[must_use]
pub fn strips(
    places: &[Point2<f64>],
    kind: Reinforcement,
    number: usize,
    rule: &LapRule,
) -> Option<Strips> {
    strips_of(&hull(places), kind, number, rule)
}

fn strips_of(
    hull: &[Point2<f64>],
    kind: Reinforcement,
    number: usize,
    rule: &LapRule,
) -> Option<Strips> {
    let across = match kind {
        // Mat may be turned any way: the narrowest way across, which is square to some side.
        Reinforcement::Mat => {
            let sides = hull.iter().zip(hull.iter().cycle().skip(1));
            let ways = sides.filter_map(|(a, b)| (b - a).try_normalize(1e-9));
            ways.map(|along| Vector2::new(-along.y, along.x))
                .min_by(|one, other| width(hull, one).total_cmp(&width(hull, other)))?
        }
        Reinforcement::Woven => [Vector2::x(), Vector2::y()]
            .into_iter()
            .min_by(|one, other| width(hull, one).total_cmp(&width(hull, other)))?,
    };
    let whole_mm = width(hull, &across);
    // A thousandth of a millimetre is the arithmetic's, not the ply's.
    let wide_mm = whole_mm - 1e-3;
    if wide_mm <= rule.roll_mm || rule.lap_mm >= rule.roll_mm {
        return None;
    }
    let start_mm = low(hull, &across);
    let pitch_mm = rule.roll_mm - rule.lap_mm;
    let shift_mm = if number % 2 == 1 { rule.stagger_mm.min(pitch_mm / 2.0) } else { 0.0 };
    let mut spans_mm = Vec::new();
    let (mut begin_mm, mut from_mm) = (0.0, pitch_mm - shift_mm);
    // A strip ends where the lap to the next one does.
    while from_mm + rule.lap_mm < wide_mm {
        spans_mm.push((start_mm + begin_mm, start_mm + (from_mm + rule.lap_mm)));
        begin_mm = from_mm;
        from_mm += pitch_mm;
    }
    spans_mm.push((start_mm + begin_mm, start_mm + whole_mm));
    (spans_mm.len() > 1).then_some(Strips { across, spans_mm })
}

/// The laps of a ply; none where it comes off the roll in one piece. `number` as for [`strips`].
#[must_use]
pub fn of(
    places: &[Point2<f64>],
    kind: Reinforcement,
    number: usize,
    rule: &LapRule,
) -> Option<Laps> {
    let hull = hull(places);
    let cut = strips_of(&hull, kind, number, rule)?;
    let mut laps = Laps { strips: cut.spans_mm.len(), length_mm: 0.0, area_mm2: 0.0 };
    for ((_, to_mm), (from_mm, _)) in cut.spans_mm.iter().zip(cut.spans_mm.iter().skip(1)) {
        let chord = |at_mm: f64| chord_mm(&hull, &cut.across, at_mm);
        let (a, middle, b) =
            (chord(*from_mm), chord(f64::midpoint(*from_mm, *to_mm)), chord(*to_mm));
        laps.length_mm += middle;
        // Simpson's rule over the width of the lap.
        laps.area_mm2 += rule.lap_mm * (a + 4.0 * middle + b) / 6.0;
    }
    Some(laps)
}

fn low(hull: &[Point2<f64>], across: &Vector2<f64>) -> f64 {
    hull.iter().map(|place| place.coords.dot(across)).fold(f64::INFINITY, f64::min)
}

fn width(hull: &[Point2<f64>], across: &Vector2<f64>) -> f64 {
    let high = hull.iter().map(|place| place.coords.dot(across)).fold(f64::NEG_INFINITY, f64::max);
    high - low(hull, across)
}

/// Length of the hull along a straight cut at a height across.
fn chord_mm(hull: &[Point2<f64>], across: &Vector2<f64>, at_mm: f64) -> f64 {
    let along = Vector2::new(across.y, -across.x);
    let mut ends = (f64::INFINITY, f64::NEG_INFINITY);
    for (a, b) in hull.iter().zip(hull.iter().cycle().skip(1)) {
        let (from, to) = (a.coords.dot(across) - at_mm, b.coords.dot(across) - at_mm);
        if (from <= 0.0) == (to <= 0.0) {
            continue;
        }
        let place = a + (b - a) * (from / (from - to));
        let along_mm = place.coords.dot(&along);
        ends = (ends.0.min(along_mm), ends.1.max(along_mm));
    }
    (ends.1 - ends.0).max(0.0)
}

/// The convex hull, anticlockwise (Andrew's monotone chain; textbook).
fn hull(places: &[Point2<f64>]) -> Vec<Point2<f64>> {
    let mut sorted: Vec<Point2<f64>> =
        places.iter().copied().filter(|place| place.coords.norm().is_finite()).collect();
    sorted.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    sorted.dedup();
    let half = |places: &mut dyn Iterator<Item = Point2<f64>>| {
        let mut chain: Vec<Point2<f64>> = Vec::new();
        for place in places {
            while let [.., a, b] = chain[..] {
                if (b - a).perp(&(place - b)) > 0.0 {
                    break;
                }
                chain.pop();
            }
            chain.push(place);
        }
        chain.pop();
        chain
    };
    let mut found = half(&mut sorted.iter().copied());
    found.extend(half(&mut sorted.iter().rev().copied()));
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    const RULE: LapRule = LapRule { roll_mm: 1000.0, lap_mm: 50.0, stagger_mm: 100.0 };

    fn oblong(length_mm: f64, width_mm: f64, turned: f64) -> Vec<Point2<f64>> {
        let (sin, cos) = turned.sin_cos();
        [(0.0, 0.0), (length_mm, 0.0), (length_mm, width_mm), (0.0, width_mm)]
            .map(|(x, y)| Point2::new(cos * x - sin * y, sin * x + cos * y))
            .to_vec()
    }

    #[test]
    fn what_comes_off_the_roll_in_one_piece_has_no_lap() {
        assert_eq!(of(&oblong(3000.0, 1000.0, 0.7), Reinforcement::Mat, 0, &RULE), None);
        assert_eq!(of(&[], Reinforcement::Mat, 0, &RULE), None);
        assert_eq!(of(&[Point2::new(1.0, 1.0)], Reinforcement::Mat, 0, &RULE), None);
    }

    #[test]
    fn mat_is_turned_the_narrow_way_and_laps_run_along_it() {
        let laps = of(&oblong(2000.0, 1500.0, 0.4), Reinforcement::Mat, 0, &RULE).unwrap();
        assert_eq!(laps.strips, 2);
        assert_relative_eq!(laps.length_mm, 2000.0, max_relative = 1e-9);
        assert_relative_eq!(laps.area_mm2, 100_000.0, max_relative = 1e-9);
        // Two laps: 1000 + 2 x 950 = 2900 mm is the most that three strips cover.
        let three = of(&oblong(4000.0, 2900.0, 0.0), Reinforcement::Mat, 0, &RULE).unwrap();
        assert_eq!(three.strips, 3);
        let four = of(&oblong(4000.0, 2901.0, 0.0), Reinforcement::Mat, 0, &RULE).unwrap();
        assert_eq!(four.strips, 4);
    }

    #[test]
    fn every_other_ply_is_lapped_100_mm_beside() {
        // 1950 mm are two strips with the lap at 950 mm; with the lap at 850 mm they take a third.
        let flat = oblong(2500.0, 1950.0, 0.0);
        assert_eq!(of(&flat, Reinforcement::Mat, 0, &RULE).unwrap().strips, 2);
        assert_eq!(of(&flat, Reinforcement::Mat, 1, &RULE).unwrap().strips, 3);
        assert_eq!(of(&flat, Reinforcement::Mat, 2, &RULE).unwrap().strips, 2);
    }

    #[test]
    fn woven_glass_is_not_turned_off_the_panel() {
        let turned = oblong(2000.0, 900.0, 0.7);
        assert_eq!(of(&turned, Reinforcement::Mat, 0, &RULE), None);
        assert!(of(&turned, Reinforcement::Woven, 0, &RULE).is_some());
    }

    #[test]
    fn a_disc_is_lapped_over_its_chord() {
        let disc: Vec<Point2<f64>> = (0..720)
            .map(|n| (f64::from(n) / 2.0).to_radians())
            .map(|turn| Point2::new(800.0 * turn.cos(), 800.0 * turn.sin()))
            .collect();
        let laps = of(&disc, Reinforcement::Mat, 0, &RULE).unwrap();
        // The lap lies from 150 to 200 mm off the middle: the chord at 175 mm.
        assert_relative_eq!(
            laps.length_mm,
            2.0 * (800.0_f64.powi(2) - 175.0_f64.powi(2)).sqrt(),
            max_relative = 1e-4
        );
    }
}
