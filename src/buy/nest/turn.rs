//! Turns of a piece, in whole ten-thousandths of a degree, with sines of our own: those of the
//! system differ in the last bit from machine to machine, and a search follows the last bit.

use nalgebra::Vector2;

/// A full turn.
pub(super) const FULL: u32 = 3_600_000;
/// A quarter turn.
pub(super) const QUARTER: u32 = FULL / 4;

/// A turn in degrees, counter-clockwise.
pub(super) fn degrees(turn: u32) -> f64 {
    f64::from(turn) / 10_000.0
}

/// Cosine and sine of a turn: exact at quarter turns, else within 2e-16.
pub(super) fn cos_sin(turn: u32) -> (f64, f64) {
    let turn = turn % FULL;
    let within = turn % QUARTER;
    let (cos, sin) = if within <= QUARTER / 2 {
        small(within)
    } else {
        let (cos, sin) = small(QUARTER - within);
        (sin, cos)
    };
    match turn / QUARTER {
        0 => (cos, sin),
        1 => (-sin, cos),
        2 => (-cos, -sin),
        _ => (sin, -cos),
    }
}

/// Power series up to an eighth of a turn; the first term left out is below 1e-17.
fn small(turn: u32) -> (f64, f64) {
    let x = f64::from(turn) * (std::f64::consts::PI / f64::from(FULL / 2));
    let square = x * x;
    let series = |first: u32| {
        let mut sum = 1.0;
        for step in (0..9_u32).rev() {
            let below = f64::from((2 * step + first) * (2 * step + first + 1));
            sum = 1.0 - sum * square / below;
        }
        sum
    };
    (series(1), x * series(2))
}

/// The turn that lays a direction along +x, to the nearest ten-thousandth of a degree.
pub(super) fn laying_along_x(direction: Vector2<f64>) -> u32 {
    let mut rest = direction;
    let mut quarters = 0;
    while (rest.x <= 0.0 || rest.y < 0.0) && quarters < 3 {
        rest = Vector2::new(rest.y, -rest.x);
        quarters += 1;
    }
    // Now the angle of `rest` lies in the first quarter: halve until it is met.
    let beyond = |turn: u32| {
        let (cos, sin) = cos_sin(turn);
        cos * rest.y - sin * rest.x
    };
    let (mut low, mut high) = (0, QUARTER);
    while high - low > 1 {
        let middle = u32::midpoint(low, high);
        if beyond(middle) >= 0.0 { low = middle } else { high = middle }
    }
    let nearest = if beyond(low).abs() <= beyond(high).abs() { low } else { high };
    (FULL - (quarters * QUARTER + nearest) % FULL) % FULL
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sines_are_those_of_the_standard_library() {
        for turn in (0..FULL).step_by(997) {
            let (cos, sin) = cos_sin(turn);
            let angle = degrees(turn).to_radians();
            assert!((cos - angle.cos()).abs() < 1e-15 && (sin - angle.sin()).abs() < 1e-15);
        }
        assert_eq!(
            [0, 1, 2, 3].map(|q| cos_sin(q * QUARTER)),
            [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)]
        );
    }

    #[test]
    fn a_direction_is_laid_along_x() {
        for turn in (0..FULL).step_by(13_577) {
            let (cos, sin) = cos_sin(turn);
            assert_eq!(laying_along_x(Vector2::new(cos, sin) * 37.0), (FULL - turn) % FULL);
        }
    }
}
