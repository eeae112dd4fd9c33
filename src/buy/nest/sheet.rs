//! Pieces on a strip of a given length, which may overlap while the search sorts them out.

use nalgebra::Vector2;

use super::clearance::lacking_mm;
use super::exact::{self, Laid};
use super::shape::{Lie, Shape, Turned};

/// The gap is held to this much: positions and turns are rounded, and the search stops at the gap.
pub(super) const GAP_SLACK_MM: f64 = 0.004;
/// Pieces stay on the roll to this much.
pub(super) const ROLL_SLACK_MM: f64 = 0.001;

/// What has to be laid.
#[derive(Debug)]
pub(super) struct Task {
    pub(super) shapes: Vec<Shape>,
    /// The shape of every copy.
    pub(super) copies: Vec<usize>,
    pub(super) width_mm: f64,
    pub(super) gap_mm: f64,
}

impl Task {
    /// Shapes of all copies in order.
    pub(super) fn each(&self) -> impl Iterator<Item = &Shape> {
        self.copies.iter().filter_map(|shape| self.shapes.get(*shape))
    }

    /// Sum of all areas over the width: no layout is shorter.
    pub(super) fn area_bound_mm(&self) -> f64 {
        self.each().map(|shape| shape.area_mm2).sum::<f64>() / self.width_mm
    }

    /// All drawings as they lie.
    pub(super) fn laid(&self, poses: &[Pose]) -> Vec<Laid> {
        let both = self.each().zip(poses);
        both.map(|(shape, pose)| Laid::new(&shape.outline, pose.lie, &pose.at)).collect()
    }

    /// The length that a layout uses, if it holds the width and the gap.
    pub(super) fn length_if_sound_mm(&self, poses: &[Pose]) -> Option<f64> {
        let laid = self.laid(poses);
        let apart_mm = self.gap_mm - 1.5 * GAP_SLACK_MM;
        let sound = exact::holds(&laid, self.width_mm, apart_mm, ROLL_SLACK_MM);
        sound.then(|| laid.iter().map(|one| one.bounds.high.x).fold(0.0, f64::max))
    }
}

/// Where the middle of a piece lies, and how.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Pose {
    pub(super) lie: Lie,
    pub(super) at: Vector2<f64>,
}

/// A square table of figures, the same across its diagonal.
#[derive(Clone, Debug)]
pub(super) struct Table {
    size: usize,
    values: Vec<f64>,
}

impl Table {
    fn new(size: usize, value: f64) -> Self {
        Self { size, values: vec![value; size * size] }
    }

    /// A row.
    pub(super) fn row(&self, row: usize) -> &[f64] {
        self.values.get(row * self.size..(row + 1) * self.size).unwrap_or_default()
    }

    fn set(&mut self, row: usize, column: usize, value: f64) {
        for place in [row * self.size + column, column * self.size + row] {
            if let Some(own) = self.values.get_mut(place) {
                *own = value;
            }
        }
    }
}

/// One copy as it lies.
#[derive(Clone, Debug)]
pub(super) struct Copy<'t> {
    pub(super) shape: &'t Shape,
    pub(super) pose: Pose,
    pub(super) turned: Turned,
}

/// The strip.
#[derive(Clone, Debug)]
pub(super) struct Sheet<'t> {
    pub(super) copies: Vec<Copy<'t>>,
    pub(super) length_mm: f64,
    width_mm: f64,
    /// The gap the search aims at.
    pub(super) gap_mm: f64,
    /// What each pair lacks to its gap; on the diagonal what sticks out of the strip.
    pub(super) lacks: Table,
    /// How much a pair's lack counts.
    weights: Table,
}

impl<'t> Sheet<'t> {
    pub(super) fn new(task: &'t Task, poses: &[Pose], length_mm: f64) -> Self {
        let copies: Vec<Copy<'t>> = task
            .each()
            .zip(poses)
            .map(|(shape, pose)| Copy { shape, pose: *pose, turned: shape.turned(pose.lie) })
            .collect();
        let size = copies.len();
        let mut own = Self {
            copies,
            length_mm,
            width_mm: task.width_mm,
            gap_mm: task.gap_mm - GAP_SLACK_MM,
            lacks: Table::new(size, 0.0),
            weights: Table::new(size, 1.0),
        };
        own.measure();
        own
    }

    /// Poses of all copies.
    pub(super) fn poses(&self) -> Vec<Pose> {
        self.copies.iter().map(|copy| copy.pose).collect()
    }

    /// Where a middle may lie so that a turned shape is inside; where it fits nowhere, at the start.
    pub(super) fn room(&self, turned: &Turned) -> (Vector2<f64>, Vector2<f64>) {
        let low = -turned.bounds.low;
        let high = Vector2::new(self.length_mm, self.width_mm) - turned.bounds.high;
        (low, high.sup(&low))
    }

    /// What sticks out of the strip when the shape lies as near its start as it can.
    fn outside_mm(&self, turned: &Turned) -> f64 {
        let size = turned.bounds.size();
        let across = size.y - self.width_mm - ROLL_SLACK_MM;
        (size.x - self.length_mm - ROLL_SLACK_MM).max(0.0) + across.max(0.0)
    }

    /// Weighted sum of what a copy would lack somewhere; stops adding at `enough`.
    pub(super) fn score(&self, who: usize, turned: &Turned, at: &Vector2<f64>, enough: f64) -> f64 {
        let row = self.weights.row(who);
        let mut sum = 0.0;
        for ((number, copy), weight) in self.copies.iter().enumerate().zip(row) {
            if number == who {
                sum += weight * self.outside_mm(turned);
            } else {
                let offset = copy.pose.at - at;
                let left = (enough - sum) / weight;
                sum += weight * lacking_mm(turned, &copy.turned, &offset, self.gap_mm, left);
            }
            if sum >= enough {
                break;
            }
        }
        sum
    }

    /// Puts a copy somewhere and measures it against the rest.
    pub(super) fn put(&mut self, who: usize, pose: Pose) {
        if let Some(copy) = self.copies.get_mut(who) {
            copy.shape.turn_into(pose.lie, &mut copy.turned);
            copy.pose = pose;
        }
        self.measure_one(who, 0);
    }

    fn measure_one(&mut self, who: usize, from: usize) {
        let Some(own) = self.copies.get(who) else { return };
        self.lacks.set(who, who, self.outside_mm(&own.turned));
        for (number, copy) in self.copies.iter().enumerate().skip(from) {
            if number != who {
                let offset = copy.pose.at - own.pose.at;
                let lack =
                    lacking_mm(&own.turned, &copy.turned, &offset, self.gap_mm, f64::INFINITY);
                self.lacks.set(who, number, lack);
            }
        }
    }

    fn measure(&mut self) {
        for who in 0..self.copies.len() {
            self.measure_one(who, who);
        }
    }

    /// What all copies lack together.
    pub(super) fn total_mm(&self) -> f64 {
        self.lacks.values.iter().sum()
    }

    /// What one copy lacks.
    pub(super) fn lack_mm(&self, who: usize) -> f64 {
        self.lacks.row(who).iter().sum()
    }

    /// Makes pairs that still lack something count more, the worst doubly, and lets the others
    /// fall back: so the search leaves a place where it is stuck (guided local search,
    /// C. Voudouris and E. Tsang, 1999; for nesting J. Egeblad, B. Nielsen and A. Odgaard, 2007).
    pub(super) fn reweigh(&mut self) {
        let most = self.lacks.values.iter().copied().fold(0.0, f64::max);
        if most > 0.0 {
            for (weight, lack) in self.weights.values.iter_mut().zip(&self.lacks.values) {
                let factor = if *lack > 0.0 { 1.2 + 0.8 * lack / most } else { 0.95 };
                *weight = (*weight * factor).clamp(1.0, 1e12);
            }
        }
    }

    /// All pairs count alike again.
    pub(super) fn forget(&mut self) {
        self.weights.values.fill(1.0);
    }

    /// Takes on other poses.
    pub(super) fn take(&mut self, poses: &[Pose]) {
        for (copy, pose) in self.copies.iter_mut().zip(poses) {
            if copy.pose.lie != pose.lie {
                copy.shape.turn_into(pose.lie, &mut copy.turned);
            }
            copy.pose = *pose;
        }
        self.measure();
    }

    /// Shortens the strip: what lies beyond `cut_mm` moves back, and all move inside.
    pub(super) fn shorten(&mut self, to_mm: f64, cut_mm: f64) {
        let by_mm = self.length_mm - to_mm;
        self.length_mm = to_mm;
        for number in 0..self.copies.len() {
            let Some(copy) = self.copies.get(number) else { continue };
            let (low, high) = self.room(&copy.turned);
            let mut at = copy.pose.at;
            if at.x > cut_mm {
                at.x -= by_mm;
            }
            let at = at.sup(&low).inf(&high);
            if let Some(copy) = self.copies.get_mut(number) {
                copy.pose.at = at;
            }
        }
        self.measure();
    }
}
