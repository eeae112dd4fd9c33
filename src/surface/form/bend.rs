//! A line of a moulding: how it bends from end to end, and how far it then rises.
//!
//! A line is given by its length, its whole turning (radians, end tangent to end tangent) and how
//! the turning is spread along it. It is described by its own length, so a tape laid along it
//! reads the parameter. Closed forms for the direction; places by Gauss-Legendre integration
//! (Abramowitz and Stegun, Handbook of Mathematical Functions, table 25.4; published).

use std::f64::consts::PI;

/// Turning further than this a line would meet the straight edge laid over it again.
pub(crate) const MOST_TURN: f64 = PI;

/// Beyond this from the solution a turning is taken to lie on its side of it, radians.
const NEAR_TURN: f64 = 1e-10;

const GAUSS: [(f64, f64); 5] = [
    (-0.906_179_845_938_664, 0.236_926_885_056_189_1),
    (-0.538_469_310_105_683_1, 0.478_628_670_499_366_5),
    (0.0, 0.568_888_888_888_888_9),
    (0.538_469_310_105_683_1, 0.478_628_670_499_366_5),
    (0.906_179_845_938_664, 0.236_926_885_056_189_1),
];

/// Where along a line its turning sits. The share `t` runs 0 to 1 from the origin's end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Spread {
    /// The same everywhere: an arc.
    Even,
    /// From tight at the origin's end to a third of that at the far end.
    TightBelow,
    /// Least at the origin's end, most at the far end.
    TightAbove,
    /// Nothing in the middle, most at both ends.
    Ends,
    /// Most in the middle, dying out at both ends.
    Middle,
    /// Straight up to the first share, easing into an arc from the second on.
    Above(f64, f64),
    /// An arc up to the first share, easing into a straight from the second on.
    Below(f64, f64),
    /// Straight but for a wide bend in the outer share at each end.
    Sides(f64),
}

/// Share of an arc that begins at `a`, is full from `b` on and ends at 1; straight before.
fn eased(t: f64, a: f64, b: f64) -> f64 {
    let whole = 1.0 - 0.5 * (a + b);
    if t <= a {
        0.0
    } else if t < b {
        0.5 * (t - a).powi(2) / (b - a) / whole
    } else {
        (t - 0.5 * (a + b)) / whole
    }
}

impl Spread {
    /// Share of the whole turning done at share `t` of the length.
    fn done(self, t: f64) -> f64 {
        // Beyond its ends a line runs on with the bend it has there.
        let c = t.clamp(0.0, 1.0);
        let inside = match self {
            Self::Even => c,
            Self::TightBelow => c * (1.5 - 0.5 * c),
            Self::TightAbove => c * (0.4 + 0.6 * c),
            Self::Ends => 0.5 * ((2.0 * c - 1.0).powi(3) + 1.0),
            Self::Middle => c * c * (3.0 - 2.0 * c),
            Self::Above(a, b) => eased(c, a, b),
            Self::Below(a, b) => 1.0 - eased(1.0 - c, 1.0 - b, 1.0 - a),
            Self::Sides(side) => {
                let bend = |x: f64| eased(x, 1.0 - side, 1.0 - 0.5 * side);
                0.5 * (1.0 - bend(1.0 - c) + bend(c))
            }
        };
        if (0.0..=1.0).contains(&t) { inside } else { inside + (t - c) * self.end_rate(t > 0.5) }
    }

    fn end_rate(self, far: bool) -> f64 {
        let step = 1e-6;
        if far { (1.0 - self.done(1.0 - step)) / step } else { self.done(step) / step }
    }

    /// Place on a line of length 1 at share `t`: along and outward, from its middle, where the
    /// line runs level; it bows outward at the middle and falls towards both ends.
    pub(crate) fn place(self, turn: f64, t: f64) -> (f64, f64) {
        let level = self.done(0.5);
        let pieces = 4.0;
        let (mut x, mut z) = (0.0, 0.0);
        let half = 0.5 * (t - 0.5) / pieces;
        let mut middle = 0.5 + half;
        for _ in 0..4 {
            for (at, weight) in GAUSS {
                let angle = turn * (level - self.done(middle + half * at));
                x += half * weight * angle.cos();
                z += half * weight * angle.sin();
            }
            middle += 2.0 * half;
        }
        (x, z)
    }

    /// Rise over the straight line between its ends, of a line of length 1.
    pub(crate) fn crown(self, turn: f64) -> f64 {
        let (a, b) = (self.place(turn, 0.0), self.place(turn, 1.0));
        let chord = (b.0 - a.0, b.1 - a.1);
        let span = chord.0.hypot(chord.1);
        if span < 1e-9 {
            return 0.0;
        }
        let rise = |t: f64| {
            let p = self.place(turn, t);
            ((p.1 - a.1) * chord.0 - (p.0 - a.0) * chord.1) / span
        };
        let count = 60;
        let best = (0..=count)
            .map(|i| f64::from(i) / f64::from(count))
            .map(|t| (t, rise(t)))
            .max_by(|one, other| one.1.total_cmp(&other.1))
            .map_or(0.5, |(t, _)| t);
        let (mut low, mut high) = (best - 1.0 / f64::from(count), best + 1.0 / f64::from(count));
        for _ in 0..40 {
            let (s, t) = (low + (high - low) / 3.0, high - (high - low) / 3.0);
            if rise(s) < rise(t) {
                low = s;
            } else {
                high = t;
            }
        }
        rise(0.5 * (low + high))
    }

    /// Turning at which a line of length 1 rises by `crown`, or the most it can rise.
    ///
    /// # Errors
    /// The greatest crown a line bent this way can have, as a share of its length.
    pub(crate) fn turn_for(self, crown: f64) -> Result<f64, f64> {
        if crown <= 0.0 {
            return Ok(0.0);
        }
        let most = self.crown(MOST_TURN);
        if crown > most {
            return Err(most);
        }
        // Where it lies is soon known closely: halving need ask for a crown near there only.
        let near = self.turn_near(crown, most);
        let (mut low, mut high) = (0.0, MOST_TURN);
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            let below = if (middle - near).abs() > NEAR_TURN {
                middle < near
            } else {
                self.crown(middle) < crown
            };
            if below {
                low = middle;
            } else {
                high = middle;
            }
        }
        Ok(0.5 * (low + high))
    }

    /// The turning for a crown to well within [`NEAR_TURN`]: false position, the end that stays
    /// halved each time (Illinois).
    fn turn_near(self, crown: f64, most: f64) -> f64 {
        let (mut low, mut high) = ((0.0, -crown), (MOST_TURN, most - crown));
        let mut moved_low = None;
        let mut turn = MOST_TURN;
        for _ in 0..80 {
            if high.1 <= 0.0 {
                break;
            }
            turn = (low.0 * high.1 - high.0 * low.1) / (high.1 - low.1);
            let off = self.crown(turn) - crown;
            if off.abs() < 1e-15 || high.0 - low.0 < 1e-15 {
                break;
            }
            let is_low = off < 0.0;
            let share = if moved_low == Some(is_low) { 0.5 } else { 1.0 };
            if is_low {
                low = (turn, off);
                high.1 *= share;
            } else {
                high = (turn, off);
                low.1 *= share;
            }
            moved_low = Some(is_low);
        }
        turn
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const ALL: [Spread; 8] = [
        Spread::Even,
        Spread::TightBelow,
        Spread::TightAbove,
        Spread::Ends,
        Spread::Middle,
        Spread::Above(0.5, 0.6),
        Spread::Below(0.4, 0.5),
        Spread::Sides(0.3),
    ];

    #[test]
    fn an_arc_rises_by_its_sagitta() {
        // Closed form: sagitta of an arc of length s and turning a is s (1 - cos(a/2)) / a.
        for turn in [0.1, 0.7, 2.0, PI] {
            let truth = (1.0 - (0.5_f64 * turn).cos()) / turn;
            approx::assert_abs_diff_eq!(Spread::Even.crown(turn), truth, epsilon = 1e-9);
        }
    }

    #[test]
    fn every_spread_turns_from_nothing_to_all_and_never_back() {
        for spread in ALL {
            approx::assert_abs_diff_eq!(spread.done(0.0), 0.0, epsilon = 1e-12);
            approx::assert_abs_diff_eq!(spread.done(1.0), 1.0, epsilon = 1e-12);
            for i in 0..100 {
                let t = f64::from(i) / 100.0;
                assert!(spread.done(t + 0.01) >= spread.done(t) - 1e-12, "{spread:?} at {t}");
            }
        }
    }

    #[test]
    fn the_solved_turning_gives_the_crown_back() {
        for spread in ALL {
            for crown in [0.001, 0.02, 0.08] {
                let turn = spread.turn_for(crown).unwrap();
                approx::assert_abs_diff_eq!(spread.crown(turn), crown, epsilon = 1e-9);
            }
            assert!(spread.turn_for(0.6).is_err(), "{spread:?}");
        }
    }
}
