//! How far off may a taped place be, and which way?
//!
//! Each tape holds the place along the way it arrives; a place is loose across that way. Takes
//! the bearings at which tapes arrive (degrees from +u towards +v) and the error of one tape (mm,
//! half-width at 95 %); gives the ellipse of the least-squares place. With the normal matrix
//! N = sum of g gT over the unit directions g, the half axes are the error over the roots of N's
//! eigenvalues (Ghilani, Adjustment Computations, chapter on error ellipses; published).

/// Half-widths at 95 % of a place along two ways square to each other, each by itself.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ellipse {
    /// The longer half axis, mm.
    pub long_mm: f64,
    /// The shorter half axis, mm.
    pub short_mm: f64,
    /// Way of the longer axis, 0 to under 180 degrees from +u towards +v.
    pub angle_deg: f64,
}

impl Ellipse {
    /// The same every way.
    #[must_use]
    pub fn round(radius_mm: f64) -> Self {
        Self { long_mm: radius_mm, short_mm: radius_mm, angle_deg: 0.0 }
    }

    /// From the bearings of two tapes or more, each off by `error_mm`. Tapes along one line leave
    /// the longer axis infinite.
    #[must_use]
    pub fn of_tapes(bearings_deg: &[f64], error_mm: f64) -> Self {
        // N has the eigenvalues (n +- |sum of exp(2 i bearing)|) / 2.
        let (mut cos, mut sin) = (0.0_f64, 0.0_f64);
        for bearing in bearings_deg {
            let doubled = 2.0 * bearing.to_radians();
            cos += doubled.cos();
            sin += doubled.sin();
        }
        let (count, held) = (bearings_deg.len() as f64, cos.hypot(sin));
        let half_axis = |eigenvalue: f64| {
            if eigenvalue > 1e-9 { error_mm / eigenvalue.sqrt() } else { f64::INFINITY }
        };
        // Held best along the mean bearing, so loose across it.
        let across = 0.5 * sin.atan2(cos).to_degrees() + 90.0;
        Self {
            long_mm: half_axis(0.5 * (count - held)),
            short_mm: half_axis(0.5 * (count + held)),
            angle_deg: if held > 1e-9 { across.rem_euclid(180.0) } else { 0.0 },
        }
    }

    /// No longer than what is known otherwise.
    #[must_use]
    pub fn capped(self, most_mm: f64) -> Self {
        Self { long_mm: self.long_mm.min(most_mm), short_mm: self.short_mm.min(most_mm), ..self }
    }

    /// Root of the squares of both half axes, mm.
    #[must_use]
    pub fn radius_mm(&self) -> f64 {
        self.long_mm.hypot(self.short_mm)
    }
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::Ellipse;

    #[test]
    fn square_tapes_hold_a_place_alike_every_way() {
        let found = Ellipse::of_tapes(&[10.0, 100.0], 8.0);
        assert_relative_eq!(found.long_mm, 8.0, max_relative = 1e-12);
        assert_relative_eq!(found.short_mm, 8.0, max_relative = 1e-12);
    }

    #[test]
    fn two_tapes_match_the_closed_form_of_their_crossing_angle() {
        // Half axes s / sqrt(1 -+ cos c), the longer across the line between the bearings
        // (closed form of the two-circle fix).
        for crossing in [5.0_f64, 20.0, 60.0, 85.0] {
            let found = Ellipse::of_tapes(&[30.0, 30.0 + crossing], 10.0);
            let c = crossing.to_radians().cos();
            assert_relative_eq!(found.long_mm, 10.0 / (1.0 - c).sqrt(), max_relative = 1e-9);
            assert_relative_eq!(found.short_mm, 10.0 / (1.0 + c).sqrt(), max_relative = 1e-9);
            assert_relative_eq!(found.angle_deg, 120.0 + crossing / 2.0, max_relative = 1e-9);
            let together = 10.0 * 2.0_f64.sqrt() / crossing.to_radians().sin();
            assert_relative_eq!(found.radius_mm(), together, max_relative = 1e-9);
        }
    }

    #[test]
    fn opposite_tapes_count_as_one_line_and_a_third_settles_it() {
        assert!(Ellipse::of_tapes(&[0.0, 180.0], 10.0).long_mm.is_infinite());
        let settled = Ellipse::of_tapes(&[0.0, 180.0, 90.0], 10.0);
        assert_relative_eq!(settled.long_mm, 10.0, max_relative = 1e-9);
        assert_relative_eq!(settled.short_mm, 10.0 / 2.0_f64.sqrt(), max_relative = 1e-9);
        assert_relative_eq!(settled.angle_deg, 90.0, max_relative = 1e-9);
    }

    #[test]
    fn errors_thrown_at_random_spread_as_the_ellipse_says() {
        // A linear fix of two flat tapes, each off by a normal error; variance along both axes.
        let bearings = [15.0_f64, 60.0];
        let found = Ellipse::of_tapes(&bearings, 1.0);
        let way = |deg: f64| nalgebra::Vector2::new(deg.to_radians().cos(), deg.to_radians().sin());
        let [a, b] = bearings.map(way);
        let fix = nalgebra::Matrix2::from_rows(&[a.transpose(), b.transpose()]);
        let back = fix.try_inverse().expect("they cross");
        let (sin, cos) = found.angle_deg.to_radians().sin_cos();
        let (long, short) = (nalgebra::Vector2::new(cos, sin), nalgebra::Vector2::new(-sin, cos));
        let mut state = 7_u64;
        let mut dice = || {
            // Twelve even throws less six: variance one.
            (0..12)
                .map(|_| {
                    state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
                    (state >> 11) as f64 / (1_u64 << 53) as f64
                })
                .sum::<f64>()
                - 6.0
        };
        let (mut along, mut across) = (0.0, 0.0);
        let throws = 20_000;
        for _ in 0..throws {
            let place = back * nalgebra::Vector2::new(dice(), dice());
            along += place.dot(&long).powi(2);
            across += place.dot(&short).powi(2);
        }
        let throws = f64::from(throws);
        assert_relative_eq!((along / throws).sqrt(), found.long_mm, max_relative = 0.03);
        assert_relative_eq!((across / throws).sqrt(), found.short_mm, max_relative = 0.03);
    }
}
