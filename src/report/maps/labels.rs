//! Where words stand on a map, so that no two boxes meet and none leaves the sheet.

use nalgebra::{Point2, Vector2};

use crate::report::full_size::letters;

/// Size of the letters, mm: capitals are about 2.3 mm high.
pub(super) const SIZE_MM: f64 = 3.2;
/// From base line to base line, mm.
pub(super) const LINE_MM: f64 = 3.9;
/// Letters of other typefaces are wider than those that are measured by, plain and bold (choice: as
/// wide as those of common free typefaces).
const WIDER: (f64, f64) = (1.18, 1.3);
/// White round the words, mm.
const ROUND_MM: f64 = 0.6;
/// First distance from the place, and the step, mm.
const STEP_MM: f64 = 2.5;
/// Rings of candidates before a label goes under the map.
const RINGS: u32 = 24;
/// Sides of its place that a label may stand on.
const SIDES: u32 = 16;

/// A box on the sheet, mm, y down.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LabelBox {
    /// Corner with the least x and y.
    pub low: Point2<f64>,
    /// Corner with the greatest.
    pub high: Point2<f64>,
}

impl LabelBox {
    /// Two boxes have some area in common.
    #[must_use]
    pub fn meets(&self, other: &Self) -> bool {
        self.low.x < other.high.x
            && other.low.x < self.high.x
            && self.low.y < other.high.y
            && other.low.y < self.high.y
    }

    /// It lies wholly within another one.
    #[must_use]
    pub fn within(&self, other: &Self) -> bool {
        self.low.x >= other.low.x
            && self.low.y >= other.low.y
            && self.high.x <= other.high.x
            && self.high.y <= other.high.y
    }

    fn holds(&self, at: &Point2<f64>) -> bool {
        at.x > self.low.x && at.x < self.high.x && at.y > self.low.y && at.y < self.high.y
    }

    /// The place of the box nearest to another place.
    pub(super) fn nearest(&self, at: &Point2<f64>) -> Point2<f64> {
        Point2::new(at.x.clamp(self.low.x, self.high.x), at.y.clamp(self.low.y, self.high.y))
    }

    fn crossed(&self, from: &Point2<f64>, to: &Point2<f64>) -> bool {
        (0..=20_u32).any(|step| self.holds(&(from + (to - from) * (f64::from(step) / 20.0))))
    }
}

/// Words that belong to a place.
#[derive(Debug, Clone)]
pub(super) struct Label {
    pub(super) at: Point2<f64>,
    pub(super) lines: Vec<String>,
    pub(super) bold: bool,
    /// It stands on its place where there is room.
    pub(super) on_it: bool,
}

const fn wider(bold: bool) -> f64 {
    if bold { WIDER.1 } else { WIDER.0 }
}

/// Width of words as they may come out, mm.
pub(super) fn width_mm(text: &str, size_mm: f64, bold: bool) -> f64 {
    wider(bold) * letters::width_mm(text, size_mm, bold)
}

/// Words broken into lines no wider than so much.
pub(super) fn broken(text: &str, size_mm: f64, bold: bool, room_mm: f64) -> Vec<String> {
    letters::broken(text, size_mm, bold, room_mm / wider(bold))
}

/// Size of the box of a label.
pub(super) fn size(lines: &[String], bold: bool) -> Vector2<f64> {
    let wide = lines.iter().map(|line| width_mm(line, SIZE_MM, bold)).fold(0.0, f64::max);
    let high = LINE_MM * lines.len() as f64;
    Vector2::new(wide + 2.0 * ROUND_MM, high + 2.0 * ROUND_MM)
}

/// Base line of a line of a label.
pub(super) fn base(of: &LabelBox, line: usize) -> (f64, f64) {
    (of.low.x + ROUND_MM, of.low.y + ROUND_MM + LINE_MM * (line as f64 + 0.8))
}

/// Puts every label somewhere, in order: where it is near its place and hides little of what is
/// drawn, by its weight; what finds no room goes into rows under `room`. Gives the boxes, and where the rows end.
pub(super) fn placed(
    labels: &[Label],
    room: &LabelBox,
    kept_free: &[LabelBox],
    drawn: &[(Point2<f64>, f64)],
) -> (Vec<LabelBox>, f64) {
    let mut taken: Vec<LabelBox> = Vec::new();
    let mut leaders: Vec<(Point2<f64>, Point2<f64>)> = Vec::new();
    let (mut row, mut row_end) = (Point2::new(room.low.x, room.high.y + 1.5), room.high.y);
    for label in labels {
        let size = size(&label.lines, label.bold);
        let free = |one: &LabelBox| {
            one.within(room) && !taken.iter().chain(kept_free).any(|other| one.meets(other))
        };
        let cost = |one: &LabelBox| {
            let end = one.nearest(&label.at);
            let hidden = drawn.iter().filter(|(at, _)| one.holds(at));
            let hidden: f64 = hidden.map(|(_, weight)| weight).sum();
            let over = taken.iter().filter(|other| other.crossed(&label.at, &end)).count() as f64;
            let under = leaders.iter().filter(|(from, to)| one.crossed(from, to)).count() as f64;
            (end - label.at).norm() + hidden + 15.0 * (over + under)
        };
        let mut tried: Vec<LabelBox> = Vec::new();
        if label.on_it {
            tried.push(LabelBox { low: label.at - size / 2.0, high: label.at + size / 2.0 });
        }
        for ring in 1..=RINGS {
            for side in 0..SIDES {
                let turn = std::f64::consts::TAU * (f64::from(side) + 0.5) / f64::from(SIDES);
                let way = Vector2::new(turn.cos(), -turn.sin());
                let out = STEP_MM * f64::from(ring);
                let middle = label.at + way * out + way.component_mul(&size) / 2.0;
                tried.push(LabelBox { low: middle - size / 2.0, high: middle + size / 2.0 });
            }
        }
        let best = tried
            .into_iter()
            .filter(|one| free(one))
            .map(|one| (cost(&one), one))
            .min_by(|one, other| one.0.total_cmp(&other.0));
        let found = match best {
            Some((_, one)) => one,
            None => {
                if row.x > room.low.x && row.x + size.x > room.high.x {
                    row = Point2::new(room.low.x, row_end + 0.5);
                }
                let one = LabelBox { low: row, high: row + size };
                row.x = one.high.x + 2.0;
                row_end = row_end.max(one.high.y);
                one
            }
        };
        leaders.push((label.at, found.nearest(&label.at)));
        taken.push(found);
    }
    (taken, row_end)
}
