//! The skin of a usual moulding, made so that tape and straight edge read on it what the panel
//! file says: a section across, carried along a line along, both bent by their own turning.
//!
//! On the two middle lines the grid is the tape over the skin. On a tapered panel the grid
//! narrows with it, so that both long edges keep their v and the origin stays at the lower front
//! corner; across the middle of the length v is the tape everywhere. Takes mm, gives mm.

use nalgebra::{Point2, Point3};

use super::Form;
use super::family::{self, Carried, Family};
use crate::model::panel::Moulding;
use crate::surface::skin::SkinFault;

/// Least and greatest side of a moulding, mm.
const SIDES_MM: (f64, f64) = (20.0, 6000.0);
/// The far end of a tapered panel keeps at least this share of the middle width.
const LEAST_FAR_END: f64 = 0.25;
/// Sine of the least angle between the grid's two directions.
const LEAST_SINE: f64 = 0.3;

/// A moulding's smooth skin.
#[derive(Debug, Clone)]
pub(crate) struct Moulded {
    length: f64,
    width: f64,
    taper: f64,
    family: Family,
    along_turn: f64,
    across_turn: f64,
    /// Outward shift of the corners, mm: as a saddle, nothing on the middle lines.
    twist: f64,
    /// Which way that shift goes, across and outward: square to the straight line between the
    /// ends of the middle section, so that it leaves lengths across as they are.
    twist_way: (f64, f64),
}

impl Moulded {
    /// The skin that gives the panel file's readings back.
    ///
    /// # Errors
    /// Every reading no such skin can have.
    pub(crate) fn new(moulding: &Moulding) -> Result<Self, Vec<SkinFault>> {
        let (length, width) = (moulding.length_mm.value(), moulding.width_mm.value());
        let mut faults = Vec::new();
        for (name, side) in [("length_mm", length), ("width_mm", width)] {
            if !(SIDES_MM.0..=SIDES_MM.1).contains(&side) {
                faults.push(SkinFault::new(
                    format!("surface.{name}"),
                    format!("found {side} mm"),
                    format!("{} to {} mm", SIDES_MM.0, SIDES_MM.1),
                    "give the tape reading over the skin, edge to edge, in mm",
                ));
            }
        }
        if !faults.is_empty() {
            return Err(faults);
        }
        let family = family::of(moulding.kind);
        let mut turn = |name: &str, spread: super::bend::Spread, crown: f64, size: f64| {
            let wrong = |most: f64, what: String| {
                SkinFault::new(
                    format!("surface.{name}"),
                    what,
                    format!("0 to {most:.0} mm"),
                    "the crown is the greatest gap under a straight edge held level over the \
                     ends of the middle line; a hollow panel is given by `Sections`",
                )
            };
            let most = size * spread.crown(super::bend::MOST_TURN);
            if crown.is_nan() || crown < 0.0 {
                faults.push(wrong(most, format!("found a crown of {crown} mm")));
                return 0.0;
            }
            spread.turn_for(crown / size).unwrap_or_else(|_| {
                faults.push(wrong(
                    most,
                    format!(
                        "a {} {size:.0} mm over the skin cannot rise by {crown} mm",
                        moulding.kind.words()
                    ),
                ));
                0.0
            })
        };
        let along_turn =
            turn("crown_along_mm", family.along, moulding.crown_along_mm.value(), length);
        let across_turn =
            turn("crown_across_mm", family.across, moulding.crown_across_mm.value(), width);
        let taper = moulding.taper_mm.value();
        let most = 2.0 * width * (1.0 - LEAST_FAR_END);
        if !(-most..=most).contains(&taper) {
            faults.push(SkinFault::new(
                "surface.taper_mm",
                format!("found {taper} mm on a width of {width:.0} mm across the middle"),
                format!("{:.0} to {most:.0} mm", -most),
                "give width at the near end less width at the far end",
            ));
        }
        let twist = moulding.twist_mm.value();
        let most = 0.5 * length.min(width);
        if !(-most..=most).contains(&twist) {
            faults.push(SkinFault::new(
                "surface.twist_mm",
                format!("found {twist} mm"),
                format!("{:.0} to {most:.0} mm", -most),
                "lay the panel on three corners and give the height of the fourth, outward positive",
            ));
        }
        if !faults.is_empty() {
            return Err(faults);
        }
        let [low, high] = [0.0, 1.0].map(|t| family.across.place(across_turn, t));
        let chord = (high.0 - low.0).hypot(high.1 - low.1).max(1e-9);
        let twist_way = (-(high.1 - low.1) / chord, (high.0 - low.0) / chord);
        let mut skin =
            Self { length, width, taper, family, along_turn, across_turn, twist: 0.0, twist_way };
        skin.twist_to(twist);
        skin.check_fold()?;
        Ok(skin)
    }

    /// Finds the saddle that puts the fourth corner `stand_off` mm off the plane of the others.
    fn twist_to(&mut self, stand_off: f64) {
        let reading =
            |skin: &Self, twist: f64| Self { twist, ..skin.clone() }.corner_stand_off() - stand_off;
        // Nearly linear: a few secant steps are exact.
        let (mut a, mut b) = (0.0, 0.25 * stand_off + 1.0);
        let (mut at_a, mut at_b) = (reading(self, a), reading(self, b));
        for _ in 0..30 {
            if (at_b - at_a).abs() < 1e-12 {
                break;
            }
            let c = b - at_b * (b - a) / (at_b - at_a);
            (a, at_a) = (b, at_b);
            (b, at_b) = (c, reading(self, c));
        }
        self.twist = b;
    }

    /// How far the corner at the greatest u and v stands outward of the plane of the other three.
    pub(crate) fn corner_stand_off(&self) -> f64 {
        let corner = |along: f64, up: f64| self.at(self.at_share(along, up));
        let (a, b, c) = (corner(0.0, 0.0), corner(1.0, 0.0), corner(0.0, 1.0));
        (b - a).cross(&(c - a)).normalize().dot(&(corner(1.0, 1.0) - a))
    }

    fn check_fold(&self) -> Result<(), Vec<SkinFault>> {
        let count = 24;
        let middle = self.normal(self.at_share(0.5, 0.5));
        let mut worst: f64 = 1.0;
        let mut turned = false;
        for i in 0..=count {
            for j in 0..=count {
                let share = |k: i32| f64::from(k) / f64::from(count);
                let (along, across) = self.tangents(self.at_share(share(i), share(j)));
                let normal = along.cross(&across);
                worst = worst.min(normal.norm() / (along.norm() * across.norm()));
                turned |= normal.dot(&middle) < -0.5 * normal.norm() || along.norm() < 0.05;
            }
        }
        if worst < LEAST_SINE || turned {
            let most = |spread: super::bend::Spread, size: f64| 0.5 * size * spread.crown(1.5);
            return Err(vec![SkinFault::new(
                "surface.crown_across_mm",
                format!(
                    "a skin that turns {:.0} degrees along and {:.0} degrees across folds at its corners",
                    self.along_turn.to_degrees(),
                    self.across_turn.to_degrees()
                ),
                format!(
                    "for example a crown of {:.0} mm along with one of {:.0} mm across",
                    most(self.family.along, self.length),
                    most(self.family.across, self.width)
                ),
                "lessen one of the two crowns, or give the panel by `Sections`",
            )]);
        }
        Ok(())
    }

    /// Width at a place along, as a share of the width across the middle.
    fn narrowing(&self, u: f64) -> f64 {
        1.0 + self.taper * (0.5 - u / self.length) / self.width
    }
}

impl Form for Moulded {
    fn at(&self, grid: Point2<f64>) -> Point3<f64> {
        let laid = self.laid_out(grid);
        let (s, t) = (laid.x / self.length, laid.y / self.width);
        let growth = match self.family.carried {
            Carried::Growing => 0.4 + 1.2 * s,
            Carried::Shifted | Carried::Swung => 1.0,
        };
        let (y, out) = self.family.across.place(self.across_turn * growth, t);
        let saddle = self.twist * 4.0 * (s - 0.5) * (t - 0.5);
        let y = y * self.width + self.twist_way.0 * saddle;
        let (out, saddle) = (out * self.width, self.twist_way.1 * saddle);
        if self.family.carried == Carried::Swung && self.along_turn > 1e-6 {
            let radius = self.length / self.along_turn;
            let angle = self.along_turn * (s - 0.5);
            let x = (radius + out) * angle.sin();
            return Point3::new(x, y, (radius + out) * angle.cos() - radius + saddle);
        }
        let (x, rise) = self.family.along.place(self.along_turn, s);
        Point3::new(x * self.length, y, rise * self.length + out + saddle)
    }

    fn along(&self) -> (f64, f64) {
        (0.0, self.length)
    }

    fn top(&self, _: f64) -> f64 {
        self.width
    }

    fn laid_out(&self, grid: Point2<f64>) -> Point2<f64> {
        let half = 0.5 * self.width;
        Point2::new(grid.x, half + (grid.y - half) * self.narrowing(grid.x))
    }

    fn on_grid(&self, laid_out: Point2<f64>) -> Point2<f64> {
        let half = 0.5 * self.width;
        Point2::new(laid_out.x, half + (laid_out.y - half) / self.narrowing(laid_out.x))
    }
}
